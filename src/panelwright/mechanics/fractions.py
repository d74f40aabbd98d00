"""From cloth and resin to a ply: fractions, density, thickness.

Symbols: w areal mass of the fibre [kg/m2], r of the resin, m fibre mass fraction, Vf fibre volume
fraction, v void fraction, rho densities [kg/m3], t thickness [m]. A layer without fibre has w = 0
and comes out with zero thickness.
"""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.working import formula

#: The densest that round parallel fibres can lie: square and hexagonal packing.
SQUARE_PACKING = np.pi / 4
HEXAGONAL_PACKING = np.pi / (2 * np.sqrt(3))

_RHO = {"fibre_density": "ρf [kg/m³]", "resin_density": "ρm [kg/m³]"}


@formula(
    symbol="r",
    unit="kg/m²",
    equation="r = max(w (1 − m)/m − s, 0)",
    source="mass balance",
    inputs={
        "fibre_mass": "w [kg/m²]",
        "fibre_mass_fraction": "m [-]",
        "thread_mass": "s [kg/m²]",
    },
    valid="0 < m < 1; stitching thread burns off with the resin, so it lies in the 1 − m",
)
def resin_in_cloth(
    fibre_mass: ArrayLike, fibre_mass_fraction: ArrayLike, thread_mass: ArrayLike = 0.0
) -> Array:
    """Resin that a wetted-out cloth holds, per area.

    All arguments broadcast. Layers without cloth have ``fibre_mass`` 0 and give 0.
    """
    wanted = array(fibre_mass) * ratio(1.0 - array(fibre_mass_fraction), fibre_mass_fraction)
    return np.maximum(wanted - thread_mass, 0.0)


@formula(
    symbol="t",
    unit="m",
    equation="t = (w/ρf + r/ρm + s/ρs)/(1 − v)",
    source="mass balance",
    inputs={
        "fibre_mass": "w [kg/m²]",
        "resin_mass": "r [kg/m²]",
        "fibre_density": "ρf [kg/m³]",
        "resin_density": "ρm [kg/m³]",
        "void_fraction": "v [-]",
        "thread_mass": "s [kg/m²]",
        "thread_density": "ρs [kg/m³]",
    },
    valid="v < 1",
)
def ply_thickness(
    fibre_mass: ArrayLike,
    resin_mass: ArrayLike,
    fibre_density: ArrayLike,
    resin_density: ArrayLike,
    void_fraction: ArrayLike = 0.0,
    thread_mass: ArrayLike = 0.0,
    thread_density: ArrayLike = 0.0,
) -> Array:
    """Thickness of a ply from what lies in it.

    All arguments broadcast; the result has their shape, in m.
    """
    solid = (
        ratio(fibre_mass, fibre_density)
        + ratio(resin_mass, resin_density)
        + ratio(thread_mass, thread_density)
    )
    return solid / (1.0 - array(void_fraction))


@formula(
    symbol="m",
    unit="-",
    equation="m = w/(w + s + ρm (t (1 − v) − w/ρf − s/ρs))",
    source="mass balance",
    inputs={
        "thickness": "t [m]",
        "fibre_mass": "w [kg/m²]",
        "fibre_density": "ρf [kg/m³]",
        "resin_density": "ρm [kg/m³]",
        "void_fraction": "v [-]",
        "thread_mass": "s [kg/m²]",
        "thread_density": "ρs [kg/m³]",
    },
    valid="t (1 − v) > w/ρf: thinner than the bare fibre cannot be (m above 1 says so)",
)
def fibre_mass_fraction_from_thickness(
    thickness: ArrayLike,
    fibre_mass: ArrayLike,
    fibre_density: ArrayLike,
    resin_density: ArrayLike,
    void_fraction: ArrayLike = 0.0,
    thread_mass: ArrayLike = 0.0,
    thread_density: ArrayLike = 0.0,
) -> Array:
    """Fibre mass fraction that a gauged ply thickness implies.

    All arguments broadcast. The inverse of :func:`ply_thickness` with :func:`resin_in_cloth`.
    """
    solid = array(thickness) * (1.0 - array(void_fraction))
    room = solid - ratio(fibre_mass, fibre_density) - ratio(thread_mass, thread_density)
    return ratio(
        fibre_mass,
        array(fibre_mass) + thread_mass + array(resin_density) * room,
    )


@formula(
    symbol="m",
    unit="-",
    equation="m = m_t where a thickness was gauged, else m_V where Vf was given, else m_p",
    source="definition",
    inputs={
        "by_process": "m_p [-]",
        "by_volume": "m_V [-]",
        "by_thickness": "m_t [-]",
        "volume_given": "Vf [-]",
        "thickness_given": "t [m]",
    },
)
def fibre_mass_fraction_in_use(
    by_process: ArrayLike,
    by_volume: ArrayLike,
    by_thickness: ArrayLike,
    volume_given: ArrayLike,
    thickness_given: ArrayLike,
) -> Array:
    """Fibre mass fraction that a layer is taken to have, from the best that is known of it.

    The two ``given`` arguments are 0 where nothing was given. All broadcast.
    """
    by_mass = np.where(array(volume_given) > 0.0, by_volume, by_process)
    return np.where(array(thickness_given) > 0.0, by_thickness, by_mass)


@formula(
    symbol="u",
    unit="kg/m²",
    equation="u = w M",
    source="definition of moisture on the dry mass",
    inputs={"fibre_mass": "w [kg/m²]", "moisture": "M [-]"},
)
def water_in_cloth(fibre_mass: ArrayLike, moisture: ArrayLike) -> Array:
    """Water that a plant-fibre cloth brings into the panel.

    fibre_mass : dry, kg/m2; moisture : fraction of the dry mass. Both broadcast.
    """
    return array(fibre_mass) * array(moisture)


@formula(
    symbol="Vf",
    unit="-",
    equation="Vf = w/(ρf t)",
    source="definition",
    inputs={
        "fibre_mass": "w [kg/m²]",
        "fibre_density": "ρf [kg/m³]",
        "thickness": "t [m]",
    },
    valid="above 0.785 parallel fibres no longer pack in a square, above 0.907 not at all",
)
def fibre_volume_fraction(
    fibre_mass: ArrayLike, fibre_density: ArrayLike, thickness: ArrayLike
) -> Array:
    """Share of a ply's volume, voids included, that is fibre.

    All arguments broadcast; 0 where there is no ply.
    """
    return ratio(ratio(fibre_mass, fibre_density), thickness)


@formula(
    symbol="Vf",
    unit="-",
    equation="Vf = (m/ρf)/(m/ρf + (1 − m)/ρm)",
    source="mass balance; kaw-2006, section 3.2",
    inputs={"fibre_mass_fraction": "m [-]", **_RHO},
)
def volume_from_mass_fraction(
    fibre_mass_fraction: ArrayLike, fibre_density: ArrayLike, resin_density: ArrayLike
) -> Array:
    """Fibre volume fraction of a void-free ply from its fibre mass fraction.

    All arguments broadcast.
    """
    fibre = array(fibre_mass_fraction) / array(fibre_density)
    resin = (1.0 - array(fibre_mass_fraction)) / array(resin_density)
    return fibre / (fibre + resin)


@formula(
    symbol="m",
    unit="-",
    equation="m = Vf ρf/(Vf ρf + (1 − Vf − v) ρm)",
    source="mass balance; kaw-2006, example 3.1",
    inputs={"volume_fraction": "Vf [-]", **_RHO, "void_fraction": "v [-]"},
)
def mass_from_volume_fraction(
    volume_fraction: ArrayLike,
    fibre_density: ArrayLike,
    resin_density: ArrayLike,
    void_fraction: ArrayLike = 0.0,
) -> Array:
    """Fibre mass fraction of a ply from its fibre volume fraction.

    Both fractions are of the whole volume, voids included. All arguments broadcast.
    """
    fibre = array(volume_fraction) * array(fibre_density)
    resin = (1.0 - array(volume_fraction) - array(void_fraction)) * array(resin_density)
    return ratio(fibre, fibre + resin)


@formula(
    symbol="ρ",
    unit="kg/m³",
    equation="1/ρ = m/ρf + (1 − m)/ρm",
    source="mass balance; astm-d2734",
    inputs={"fibre_mass_fraction": "m [-]", **_RHO},
)
def void_free_density(
    fibre_mass_fraction: ArrayLike, fibre_density: ArrayLike, resin_density: ArrayLike
) -> Array:
    """Density of fibre and resin together, without voids (the theoretical density).

    All arguments broadcast; kg/m3.
    """
    m = array(fibre_mass_fraction)
    return 1.0 / (m / array(fibre_density) + (1.0 - m) / array(resin_density))


@formula(
    symbol="v",
    unit="-",
    equation="v = 1 − ρ/ρ₀",
    source="astm-d2734",
    inputs={"density": "ρ [kg/m³]", "void_free": "ρ₀ [kg/m³]"},
    valid="−0.02 to 0.02 is within the error of the method; a negative result is a result",
)
def void_fraction(density: ArrayLike, void_free: ArrayLike) -> Array:
    """Void fraction of a weighed ply against its void-free density.

    Both arguments broadcast, in kg/m3.
    """
    return 1.0 - array(density) / array(void_free)
