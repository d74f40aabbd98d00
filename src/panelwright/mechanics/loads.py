"""Loads as they come to a panel: water, moving air, what is carried."""

from __future__ import annotations

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.working import formula

#: Standard acceleration of free fall, m/s² (ISO 80000-3, from memory).
GRAVITY = 9.80665
#: Density of sea water at 15 °C and of air at 15 °C, kg/m³; common practice.
SEA_WATER, AIR = 1025.0, 1.225


@formula(
    symbol="p",
    unit="Pa",
    equation="p = ρ g h",
    source="definition: the weight of a column of the liquid",
    inputs={"density": "ρ [kg/m³]", "gravity": "g [m/s²]", "depth": "h [m]"},
)
def pressure_of_head(density: ArrayLike, gravity: ArrayLike, depth: ArrayLike) -> Array:
    """Pressure under a head of a liquid at rest.

    All broadcast; Pa.
    """
    return array(array(density) * array(gravity) * array(depth))


@formula(
    symbol="q",
    unit="Pa",
    equation="q = c_p ρ v²/2",
    source="definition of the dynamic pressure",
    inputs={"density": "ρ [kg/m³]", "speed": "v [m/s]", "coefficient": "c_p [-]"},
)
def pressure_of_wind(density: ArrayLike, speed: ArrayLike, coefficient: ArrayLike = 1.0) -> Array:
    """Pressure of moving air that is stopped, times a coefficient.

    All broadcast; Pa.
    """
    return array(array(coefficient) * array(density) * array(speed) ** 2 / 2.0)


@formula(
    symbol="F",
    unit="N",
    equation="F = m n g",
    source="definition: mass times acceleration",
    inputs={"mass": "m [kg]", "times": "n [-]", "gravity": "g [m/s²]"},
)
def force_of_mass(mass: ArrayLike, times: ArrayLike, gravity: ArrayLike = GRAVITY) -> Array:
    """Force of a mass that is carried, or held back, at so many times gravity.

    All broadcast; N.
    """
    return array(array(mass) * array(times) * array(gravity))


@formula(
    symbol="EI",
    unit="N m²",
    equation="EI = 5 q b L⁴/(384 (w/10))",
    source="beam theory: even load q b on a simply supported bearer, a tenth of the deflection w",
    inputs={
        "pressure": "q [Pa]",
        "breadth": "b [m]",
        "span": "L [m]",
        "deflection": "w [m]",
    },
    valid="what a bearer carries taken as even over it; a first figure for its size",
)
def stiff_enough_bearer(
    pressure: ArrayLike, breadth: ArrayLike, span: ArrayLike, deflection: ArrayLike
) -> Array:
    """Bending stiffness of a bearer that gives less than a tenth of a panel's own deflection.

    pressure : mean on the panel; breadth : of panel that leans on the bearer; span : of the bearer;
    deflection : of the panel. All broadcast; N m2.
    """
    carried = array(pressure) * array(breadth) * array(span) ** 4
    return 50.0 * ratio(carried, 384.0 * array(deflection))
