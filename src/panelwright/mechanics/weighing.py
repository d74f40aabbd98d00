"""What a pair of weighings tells: uptake for each square metre, and how sure it is."""

from __future__ import annotations

import math

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.working import formula


@formula(
    symbol="q",
    unit="kg/m²",
    equation="q = (m₂ − m₁)/A",
    source="mass balance",
    inputs={"before": "m₁ [kg]", "after": "m₂ [kg]", "area": "A [m²]"},
)
def weighed_uptake(before: ArrayLike, after: ArrayLike, area: ArrayLike) -> Array:
    """Mass that a piece took up between two weighings, per area.

    before, after : kg; area : m2. All broadcast; kg/m2, negative where it lost mass.
    """
    return (array(after) - array(before)) / np.asarray(area, np.float64)


@formula(
    symbol="u_q",
    unit="kg/m²",
    equation="u_q = √2 δ/(√12 A)",
    source="definition: an even spread over one division, two readings in quadrature",
    inputs={"division": "δ [kg]", "area": "A [m²]"},
    valid="only the reading of the scale, not its calibration",
)
def uptake_uncertainty(division: ArrayLike, area: ArrayLike) -> Array:
    """Standard uncertainty of a weighed uptake from the division of the scale.

    division : smallest step of the scale [kg]; area : m2. Both broadcast; kg/m2.
    """
    return array(division) / (math.sqrt(6.0) * array(area))


@formula(
    symbol="r_e",
    unit="kg/m²",
    equation="r_e = r_used − r",
    source="mass balance",
    inputs={"used": "r_used [kg/m²]", "in_cloth": "r [kg/m²]"},
)
def resin_elsewhere(used: ArrayLike, in_cloth: ArrayLike) -> Array:
    """Resin that was used but does not lie in the laminate, per area.

    used, in_cloth : kg/m2. Both broadcast; negative says that one of the two is wrong.
    """
    return array(used) - array(in_cloth)


@formula(
    symbol="V_i",
    unit="-",
    equation="V_i = m_i ρ/ρ_i",
    source="astm-d3171",
    inputs={
        "mass_fraction": "m_i [-]",
        "density": "ρ [kg/m³]",
        "constituent_density": "ρ_i [kg/m³]",
    },
    valid="from weighed density and burn-off; what is missing to 1 is void",
)
def constituent_volume_fraction(
    mass_fraction: ArrayLike, density: ArrayLike, constituent_density: ArrayLike
) -> Array:
    """Share of a weighed ply's volume, voids included, that is fibre (or resin).

    mass_fraction : of that constituent; density : of the ply; constituent_density : kg/m3.
    All broadcast.
    """
    return array(mass_fraction) * array(density) / array(constituent_density)


@formula(
    symbol="q₂",
    unit="kg/m²",
    equation="q₂ = q₁ (1 + M₂)/(1 + M₁)",
    source="definition of moisture on the dry mass; en-13183-1",
    inputs={
        "mass": "q₁ [kg/m²]",
        "moisture_then": "M₁ [-]",
        "moisture_now": "M₂ [-]",
    },
)
def mass_at_moisture(mass: ArrayLike, moisture_then: ArrayLike, moisture_now: ArrayLike) -> Array:
    """Mass of timber at another moisture than the one it was weighed at.

    mass : as weighed, per area or whole, in its unit; moistures : fractions of the dry mass. All
    broadcast; unit of ``mass``.
    """
    return array(mass) * (1.0 + array(moisture_now)) / (1.0 + array(moisture_then))


@formula(
    symbol="M",
    unit="-",
    equation="M = (m − m₀)/m₀",
    source="en-13183-1",
    inputs={"moist": "m [kg]", "dry": "m₀ [kg]"},
    valid="dried at 103 °C until the mass stands; resin in the wood falsifies it",
)
def oven_dry_moisture(moist: ArrayLike, dry: ArrayLike) -> Array:
    """Moisture of timber as a fraction of its oven-dry mass.

    moist, dry : kg. Both broadcast.
    """
    return (array(moist) - array(dry)) / array(dry)


@formula(
    symbol="r",
    unit="kg/m²",
    equation="r = q − q_c − w",
    source="mass balance",
    inputs={"panel": "q [kg/m²]", "core": "q_c [kg/m²]", "cloth": "w [kg/m²]"},
    valid="core at its moisture when the panel was weighed; negative: a weighing is wrong",
)
def resin_by_balance(panel: ArrayLike, core: ArrayLike, cloth: ArrayLike) -> Array:
    """All resin of a panel, wherever it lies, from what it weighs.

    panel : weighed; core : core, timber and dry glue; cloth : dry cloth; kg/m2. All broadcast.
    """
    return array(panel) - array(core) - array(cloth)


@formula(
    symbol="r",
    unit="kg/m²",
    equation="r = ρm ((h − h_c)(1 − v) − w/ρf)",
    source="mass balance",
    inputs={
        "thickness": "h [m]",
        "core_thickness": "h_c [m]",
        "void_fraction": "v [-]",
        "cloth": "w [kg/m²]",
        "fibre_density": "ρf [kg/m³]",
        "resin_density": "ρm [kg/m³]",
    },
    valid="resin that sank into the core has mass and no thickness: it is not in r",
)
def resin_by_thickness(
    thickness: ArrayLike,
    core_thickness: ArrayLike,
    void_fraction: ArrayLike,
    cloth: ArrayLike,
    fibre_density: ArrayLike,
    resin_density: ArrayLike,
) -> Array:
    """Resin that lies in the faces, from how thick they are.

    thickness, core_thickness : m; cloth : kg/m2; densities : kg/m3. All broadcast; kg/m2.
    """
    faces = (array(thickness) - array(core_thickness)) * (1.0 - array(void_fraction))
    return array(resin_density) * (faces - array(cloth) / array(fibre_density))


@formula(
    symbol="m",
    unit="-",
    equation="m = w/(w + r)",
    source="definition",
    inputs={"cloth": "w [kg/m²]", "resin": "r [kg/m²]"},
)
def fibre_mass_fraction(cloth: ArrayLike, resin: ArrayLike) -> Array:
    """Share of the mass of cloth and resin that is cloth.

    cloth, resin : kg/m2. Both broadcast.
    """
    return array(cloth) / (array(cloth) + array(resin))


@formula(
    symbol="v",
    unit="-",
    equation="v = 1 − t₀/t",
    source="mass balance",
    inputs={"void_free": "t₀ [m]", "gauged": "t [m]"},
    valid="0.03 mm on 2 mm is 1.5 % of void: good for gross errors only; negative is a result",
)
def voids_by_thickness(void_free: ArrayLike, gauged: ArrayLike) -> Array:
    """Voids from the thickness that fibre and resin would fill, and the one that was gauged.

    void_free, gauged : m. Both broadcast.
    """
    return 1.0 - array(void_free) / array(gauged)


@formula(
    symbol="ρ",
    unit="kg/m³",
    equation="ρ = q/t",
    source="definition",
    inputs={"areal_mass": "q [kg/m²]", "thickness": "t [m]"},
)
def bulk_density(areal_mass: ArrayLike, thickness: ArrayLike) -> Array:
    """Density of a piece from what a square metre weighs and how thick it is.

    areal_mass : kg/m2; thickness : m. Both broadcast; kg/m3.
    """
    return ratio(areal_mass, thickness)


@formula(
    symbol="ρ",
    unit="kg/m³",
    equation="ρ = ρ_w a/(a + w − b)",
    source="astm-d792",
    inputs={
        "in_air": "a [kg]",
        "in_water": "b [kg]",
        "wire_in_water": "w [kg]",
        "water_density": "ρ_w [kg/m³]",
    },
    valid="buoyancy of the air left out; bubbles make it too light, open edges too heavy",
)
def density_by_immersion(
    in_air: ArrayLike, in_water: ArrayLike, wire_in_water: ArrayLike, water_density: ArrayLike
) -> Array:
    """Density of a piece weighed in air and hanging in water.

    in_air : kg; in_water : piece and wire (and sinker); wire_in_water : wire (and sinker) alone;
    water_density : kg/m3. All broadcast; kg/m3.
    """
    a = array(in_air)
    return array(water_density) * a / (a + array(wire_in_water) - array(in_water))


@formula(
    symbol="m",
    unit="-",
    equation="m = (m_r − m_k)/((m_s − m_k)(1 − l))",
    source="astm-d2584; iso-1172; common practice for the size of the cloth",
    inputs={
        "residue": "m_r [kg]",
        "crucible": "m_k [kg]",
        "specimen": "m_s [kg]",
        "cloth_loss": "l [-]",
    },
    valid="glass and basalt; carbon oxidises, plant fibre burns, fillers stay in the residue",
)
def fibre_by_burn_off(
    residue: ArrayLike, crucible: ArrayLike, specimen: ArrayLike, cloth_loss: ArrayLike = 0.0
) -> Array:
    """Fibre mass fraction from what a furnace leaves of a piece.

    residue, specimen : each with the crucible [kg]; crucible : alone; cloth_loss : share that the
    dry cloth itself loses. All broadcast.
    """
    left = array(residue) - array(crucible)
    return left / ((array(specimen) - array(crucible)) * (1.0 - array(cloth_loss)))


@formula(
    symbol="V",
    unit="-",
    equation="V = hits/points, mean of the fields",
    source="astm-e562",
    inputs={"hits": "hits [-]", "points": "points [-]"},
    valid="a point on a boundary counts a half; voids come in clusters: 20 fields or more",
)
def counted_fraction(hits: ArrayLike, points: ArrayLike) -> Array:
    """Volume fraction from points of a grid that fall on it, over fields of a polished section.

    hits, points : of each field on the last axis. Both broadcast; the last axis is gone.
    """
    return array(np.mean(array(hits) / array(points), axis=-1))
