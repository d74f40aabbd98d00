"""Infusion and the bag: time to fill, what gravity takes, how a bag presses."""

from __future__ import annotations

from panelwright.mechanics.arrays import Array, ArrayLike, array
from panelwright.working import formula

#: Standard gravity as the trade rounds it, m/s2.
GRAVITY = 9.81


@formula(
    symbol="t_f",
    unit="s",
    equation="t_f = φ μ L²/(2 K Δp)",
    source="from memory of liquid-moulding texts: Darcy's law, integrated along the flow",
    inputs={
        "porosity": "φ [-]",
        "viscosity": "μ [Pa s]",
        "length": "L [m]",
        "permeability": "K [m²]",
        "pressure": "Δp [Pa]",
    },
    valid="flow one way from a line; the time goes with the square of the length",
)
def line_feed_time(
    porosity: ArrayLike,
    viscosity: ArrayLike,
    length: ArrayLike,
    permeability: ArrayLike,
    pressure: ArrayLike,
) -> Array:
    """Time that resin takes from a feed line to a front.

    porosity : room that the resin fills, by volume; viscosity : Pa s; length : flowed [m];
    permeability : m2; pressure : difference that drives it [Pa]. All broadcast; s.
    """
    work = array(porosity) * array(viscosity) * array(length) ** 2
    return work / (2.0 * array(permeability) * array(pressure))


@formula(
    symbol="p_h",
    unit="Pa",
    equation="p_h = ρ g h",
    source="definition, g = 9.81 m/s²",
    inputs={"density": "ρ [kg/m³]", "height": "h [m]"},
)
def head(density: ArrayLike, height: ArrayLike) -> Array:
    """Pressure at the foot of a column of liquid: what a vacuum loses up a side.

    density : kg/m3; height : m. Both broadcast; Pa.
    """
    return array(density) * GRAVITY * array(height)


@formula(
    symbol="F_b",
    unit="N",
    equation="F_b = p A",
    source="definition",
    inputs={"pressure": "p [Pa]", "area": "A [m²]"},
)
def bag_force(pressure: ArrayLike, area: ArrayLike) -> Array:
    """What a vacuum bag presses a part and its mould with.

    pressure : below that of the air [Pa]; area : m2. Both broadcast; N.
    """
    return array(pressure) * array(area)


@formula(
    symbol="ṗ",
    unit="Pa/s",
    equation="ṗ = (p₁ − p₂)/t",
    source="definition",
    inputs={"before": "p₁ [Pa]", "after": "p₂ [Pa]", "time": "t [s]"},
)
def vacuum_lost(before: ArrayLike, after: ArrayLike, time: ArrayLike) -> Array:
    """How fast a closed-off bag loses its vacuum.

    before, after : vacuum [Pa]; time : between them [s]. All broadcast; Pa/s.
    """
    return (array(before) - array(after)) / array(time)
