"""Water in timber: how much, how heavy it makes the wood, how much the wood moves.

Moisture M is a fraction of the oven-dry mass (0.12, not 12) everywhere in the code; the handbook's
equations are in percent and are written so in ``equation``.
"""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.working import formula

#: Moisture above which wood no longer swells, as the handbook assumes it.
FIBRE_SATURATION = 0.30
#: Volumetric shrinkage from green to oven-dry over basic specific gravity, average of species.
SHRINKAGE_OVER_GRAVITY = 0.265
ZERO_CELSIUS = 273.15
#: Density of the wall of a wood cell, kg/m3 (fpl-gtr-190, from memory).
CELL_WALL_DENSITY = 1500.0


def _dryness(moisture: ArrayLike) -> Array:
    """How far below fibre saturation: 0 at and above it, 1 oven-dry."""
    return np.clip(1.0 - array(moisture) / FIBRE_SATURATION, 0.0, 1.0)


@formula(
    symbol="M",
    unit="-",
    equation=(
        "M % = 1800/W [Kh/(1 − Kh) + (K₁Kh + 2K₁K₂K²h²)/(1 + K₁Kh + K₁K₂K²h²)], T in °C: "
        "W = 349 + 1.29T + 0.0135T²; K = 0.805 + 0.000736T − 0.00000273T²; "
        "K₁ = 6.27 − 0.00938T − 0.000303T²; K₂ = 1.91 + 0.0407T − 0.000293T²"
    ),
    source="fpl-rn-0268",
    inputs={"temperature": "T [K]", "humidity": "h [-]"},
    valid="−1 to 38 °C, 5 to 95 % humidity; wetting and drying differ by 1 to 2 points",
)
def equilibrium_moisture(temperature: ArrayLike, humidity: ArrayLike) -> Array:
    """Moisture that timber settles at in air of this temperature and humidity.

    temperature : K; humidity : relative, 0 to 1. Both broadcast. Gives a fraction of dry mass.
    """
    return _settled(array(temperature), array(humidity))


def _settled(temperature: Array, humidity: Array) -> Array:
    celsius = temperature - ZERO_CELSIUS
    w = 349.0 + 1.29 * celsius + 0.0135 * celsius**2
    k = 0.805 + 0.000736 * celsius - 0.00000273 * celsius**2
    k1 = 6.27 - 0.00938 * celsius - 0.000303 * celsius**2
    k2 = 1.91 + 0.0407 * celsius - 0.000293 * celsius**2
    kh = k * humidity
    bound = (k1 * kh + 2.0 * k1 * k2 * kh**2) / (1.0 + k1 * kh + k1 * k2 * kh**2)
    return 18.0 / w * (kh / (1.0 - kh) + bound)


#: Halvings of the range 0 to 1 of humidity: to the last digit.
_HALVINGS = 52


@formula(
    symbol="h",
    unit="-",
    equation="h such that M(T, h) = M, by halving the range 0 to 1",
    source="fpl-rn-0268, solved for the humidity",
    inputs={"temperature": "T [K]", "moisture": "M [-]"},
    valid="−1 to 38 °C, 5 to 95 % humidity; 1 where no air makes the timber so wet",
)
def humidity_for_moisture(temperature: ArrayLike, moisture: ArrayLike) -> Array:
    """Humidity of air in which timber settles at a moisture.

    temperature : K; moisture : fraction of the dry mass. Both broadcast; relative, 0 to 1.
    """
    kelvin, wanted = np.broadcast_arrays(array(temperature), array(moisture))
    low, high = np.zeros(wanted.shape), np.ones(wanted.shape)
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        damp = _settled(kelvin, middle) > wanted
        low, high = np.where(damp, low, middle), np.where(damp, middle, high)
    return array(high)


@formula(
    symbol="G_M",
    unit="-",
    equation="G_M = G_b/(1 − 0.265 a G_b), a = (30 − M)/30 and 0 above 30 %",
    source="fpl-gtr-76",
    inputs={"basic": "G_b [-]", "moisture": "M [-]"},
)
def specific_gravity(basic: ArrayLike, moisture: ArrayLike) -> Array:
    """Oven-dry mass over the volume at a moisture, from the basic specific gravity.

    basic : oven-dry mass over green volume, over that of water; moisture : fraction of dry mass.
    Both broadcast. Layers that are not timber have ``basic`` 0 and give 0.
    """
    g = array(basic)
    return g / (1.0 - SHRINKAGE_OVER_GRAVITY * _dryness(moisture) * g)


@formula(
    symbol="G_b",
    unit="-",
    equation="G_b = G_M/(1 + 0.265 a G_M)",
    source="fpl-gtr-76, solved for the basic specific gravity",
    inputs={"gravity": "G_M [-]", "moisture": "M [-]"},
)
def basic_specific_gravity(gravity: ArrayLike, moisture: ArrayLike) -> Array:
    """Basic specific gravity from the one tabulated or weighed at a moisture.

    gravity : oven-dry mass over the volume at ``moisture``. Both broadcast.
    """
    g = array(gravity)
    return g / (1.0 + SHRINKAGE_OVER_GRAVITY * _dryness(moisture) * g)


@formula(
    symbol="ρ_M",
    unit="kg/m³",
    equation="ρ_M = 1000 G_M (1 + M)",
    source="fpl-gtr-190, chapter 4",
    inputs={"gravity": "G_M [-]", "moisture": "M [-]"},
)
def timber_density(gravity: ArrayLike, moisture: ArrayLike) -> Array:
    """Density of timber with its water.

    gravity : at this moisture; moisture : fraction of dry mass. Both broadcast; kg/m3.
    """
    return 1000.0 * array(gravity) * (1.0 + array(moisture))


@formula(
    symbol="S_M",
    unit="-",
    equation="S_M = S₀ (30 − M)/30",
    source="fpl-gtr-190, form of equation 4-7",
    inputs={"total": "S₀ [-]", "moisture": "M [-]"},
)
def shrinkage(total: ArrayLike, moisture: ArrayLike) -> Array:
    """Shrinkage from green down to a moisture, as a share of the green size.

    total : from green to oven-dry (radial, tangential or volumetric). Both broadcast.
    """
    return array(total) * _dryness(moisture)


@formula(
    symbol="ΔD",
    unit="m",
    equation="ΔD = D (M₂ − M₁)/(30/S − 30 + M₁), all in percent",
    source="fpl-gtr-190, chapter 13",
    inputs={
        "size": "D [m]",
        "total": "S [-]",
        "moisture_from": "M₁ [-]",
        "moisture_to": "M₂ [-]",
    },
    valid="both moistures below 30 %; free timber (skins hold a glued panel back)",
)
def change_of_size(
    size: ArrayLike, total: ArrayLike, moisture_from: ArrayLike, moisture_to: ArrayLike
) -> Array:
    """How much a free piece grows or shrinks between two moistures.

    size : at ``moisture_from``; total : shrinkage from green to oven-dry in that direction.
    All broadcast; same unit as ``size``.
    """
    start = array(moisture_from)
    span = FIBRE_SATURATION / array(total) - FIBRE_SATURATION + start
    return array(size) * (array(moisture_to) - start) / span


@formula(
    symbol="C",
    unit="-",
    equation="C = (S/30)/(100 − S·20/30), S in percent, per 1 % of moisture",
    source="fpl-gtr-190, closed form of table 13-5",
    inputs={"total": "S [-]"},
    valid="6 to 14 % moisture",
)
def movement_coefficient(total: ArrayLike) -> Array:
    """Change of size for each percent of moisture, as a share of the size at 10 %.

    total : shrinkage from green to oven-dry, a fraction. Gives a fraction per 1 % of moisture.
    """
    percent = 100.0 * array(total)
    return (percent / 30.0) / (100.0 - percent * 20.0 / 30.0)


@formula(
    symbol="S_θ",
    unit="-",
    equation="S_θ = S_T cos²θ + S_R sin²θ",
    source="common practice",
    inputs={
        "radial": "S_R [-]",
        "tangential": "S_T [-]",
        "ring_angle": "θ [rad]",
    },
)
def shrinkage_at_ring_angle(
    radial: ArrayLike, tangential: ArrayLike, ring_angle: ArrayLike
) -> Array:
    """Shrinkage across a board whose width lies at an angle to the growth rings.

    ring_angle : between the width and the tangential direction, rad. All broadcast.
    """
    cosine: Array = np.cos(array(ring_angle)) ** 2
    return array(tangential) * cosine + array(radial) * (1.0 - cosine)


@formula(
    symbol="u",
    unit="kg/m²",
    equation="u = m M/(1 + M)",
    source="definition; fpl-gtr-190, chapter 4",
    inputs={"moist_mass": "m [kg/m²]", "moisture": "M [-]"},
)
def water_in(moist_mass: ArrayLike, moisture: ArrayLike) -> Array:
    """Water in a mass of moist timber, balsa or flax.

    moist_mass : with its water, any unit of mass; moisture : fraction of the dry mass.
    """
    return array(moist_mass) * array(moisture) / (1.0 + array(moisture))


@formula(
    symbol="P_M",
    unit="as P",
    equation="P_M = P₁₂ (P₁₂/P_g)^((12 − M)/(M_p − 12))",
    source="fpl-gtr-190, equation 5-3 (from memory)",
    inputs={
        "at_12": "P₁₂ [any]",
        "green": "P_g [any]",
        "moisture": "M [-]",
        "intersection": "M_p [-]",
    },
    valid="clear wood near 20 °C, from green down to about 8 %",
)
def property_at_moisture(
    at_12: ArrayLike,
    green: ArrayLike,
    moisture: ArrayLike,
    intersection: ArrayLike = 0.25,
) -> Array:
    """A property of clear wood at a moisture, from its values green and at 12 %.

    intersection : moisture M_p above which the property is that of green wood. All broadcast;
    unchanged where ``green`` is not known (0).
    """
    held = np.minimum(array(moisture), array(intersection))
    room = array(intersection) - 0.12
    power = ratio(0.12 - held, room)
    over = ratio(at_12, green)
    return array(at_12) * np.where(over > 0.0, over, 1.0) ** power


@formula(
    symbol="V_a",
    unit="m",
    equation="V_a = t (1 − ρ₀/ρ_w)",
    source="geometry; fpl-gtr-190, density of the cell wall (from memory)",
    inputs={
        "thickness": "t [m]",
        "dry_density": "ρ₀ [kg/m³]",
        "wall_density": "ρ_w [kg/m³]",
    },
    valid="dry timber; water in the wood takes some of the room",
)
def air_in_timber(
    thickness: ArrayLike, dry_density: ArrayLike, wall_density: ArrayLike = CELL_WALL_DENSITY
) -> Array:
    """Air held in a timber core, per area.

    thickness : m; dry_density : oven-dry [kg/m3]; wall_density : of the cell wall [kg/m3].
    All broadcast; m3/m2.
    """
    return array(thickness) * (1.0 - array(dry_density) / array(wall_density))


@formula(
    symbol="ΔV_a",
    unit="m",
    equation="ΔV_a = V_a (T₂ − T₁)/T₁",
    source="definition of an ideal gas at constant pressure",
    inputs={"air": "V_a [m]", "temperature_from": "T₁ [K]", "temperature_to": "T₂ [K]"},
    valid="an upper bound, for both faces together; negative when the core cools and draws in",
)
def expelled_air(air: ArrayLike, temperature_from: ArrayLike, temperature_to: ArrayLike) -> Array:
    """Air that must leave a core as it warms, per area.

    air : in the core [m3/m2]; temperatures : K. All broadcast; m3/m2.
    """
    start = array(temperature_from)
    return array(air) * (array(temperature_to) - start) / start


@formula(
    symbol="ΔD",
    unit="m",
    equation="ΔD = D C (M₂ − M₁), M in percent",
    source="fpl-gtr-190, chapter 13, with the coefficients of table 13-5",
    inputs={
        "size": "D [m]",
        "coefficient": "C [-]",
        "moisture_from": "M₁ [-]",
        "moisture_to": "M₂ [-]",
    },
    valid="6 to 14 % moisture; free timber",
)
def change_of_size_by_coefficient(
    size: ArrayLike, coefficient: ArrayLike, moisture_from: ArrayLike, moisture_to: ArrayLike
) -> Array:
    """How much a free piece grows or shrinks, by a tabulated coefficient.

    size : at ``moisture_from`` [m]; coefficient : share for each percent of moisture; moistures :
    fractions of the dry mass. All broadcast; same unit as ``size``.
    """
    percent = 100.0 * (array(moisture_to) - array(moisture_from))
    return array(size) * array(coefficient) * percent


#: Terms of the series of a plate that takes up water: more change no digit at a thousandth of
#: the time to saturation.
_TERMS = 400


@formula(
    symbol="G",
    unit="-",
    equation="G = 1 − (8/π²) Σ exp(−(2j + 1)² π² D t/h²)/(2j + 1)², j from 0",
    source="astm-d5229 (from memory); solved for a plate by Fick's law",
    inputs={"diffusivity": "D [m²/s]", "time": "t [s]", "thickness": "h [m]"},
    valid="water through both faces, none through the edges",
)
def share_taken_up(diffusivity: ArrayLike, time: ArrayLike, thickness: ArrayLike) -> Array:
    """How far a plate has come to the water it will hold in the end.

    diffusivity : through the thickness, m2/s; time : s; thickness : m. All broadcast; 0 to 1.
    """
    passed = array(diffusivity) * array(time) / array(thickness) ** 2
    odd = 2.0 * np.arange(_TERMS) + 1.0
    left = np.exp(-(odd**2) * np.pi**2 * passed[..., None]) / odd**2
    return array(1.0 - 8.0 / np.pi**2 * np.sum(left, axis=-1))


@formula(
    symbol="G",
    unit="-",
    equation="G = 1 − exp(−7.3 (D t/h²)^0.75)",
    source="astm-d5229 (from memory)",
    inputs={"diffusivity": "D [m²/s]", "time": "t [s]", "thickness": "h [m]"},
    valid="up to 0.036 off near D t/h² = 0.05: the series is better",
)
def share_taken_up_roughly(diffusivity: ArrayLike, time: ArrayLike, thickness: ArrayLike) -> Array:
    """The usual approximation of :func:`share_taken_up`.

    diffusivity : m2/s; time : s; thickness : m. All broadcast.
    """
    passed = array(diffusivity) * array(time) / array(thickness) ** 2
    return array(1.0 - np.exp(-7.3 * passed**0.75))


@formula(
    symbol="D",
    unit="m²/s",
    equation="D = π (h b/(4 M_e))²",
    source="astm-d5229 (from memory)",
    inputs={"slope": "b [1/√s]", "in_the_end": "M_e [-]", "thickness": "h [m]"},
    valid="the straight part over the root of the time, up to 0.6 of the end",
)
def diffusivity_by_slope(slope: ArrayLike, in_the_end: ArrayLike, thickness: ArrayLike) -> Array:
    """Diffusivity from how fast a plate takes up water at first.

    slope : uptake over the root of the time; in_the_end : uptake at saturation, in the same
    measure; thickness : m. All broadcast; m2/s.
    """
    return np.pi * (array(thickness) * array(slope) / (4.0 * array(in_the_end))) ** 2


@formula(
    symbol="D_a",
    unit="m²/s",
    equation="D_a = D (1 + h/L + h/W)²",
    source="astm-d5229 (from memory)",
    inputs={
        "diffusivity": "D [m²/s]",
        "thickness": "h [m]",
        "length": "L [m]",
        "width": "W [m]",
    },
)
def diffusivity_with_open_edges(
    diffusivity: ArrayLike, thickness: ArrayLike, length: ArrayLike, width: ArrayLike
) -> Array:
    """What a plate with open edges seems to have.

    diffusivity : m2/s; thickness, length, width : m. All broadcast; m2/s.
    """
    h = array(thickness)
    return array(diffusivity) * (1.0 + h / array(length) + h / array(width)) ** 2
