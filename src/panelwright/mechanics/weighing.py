"""What a pair of weighings tells: uptake for each square metre, and how sure it is."""

from __future__ import annotations

import math

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array
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
