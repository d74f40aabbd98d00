"""Resin and hardener, resin and filler: ratios by mass and by volume."""

from __future__ import annotations

from panelwright.mechanics.arrays import Array, ArrayLike, array
from panelwright.working import formula

#: Share of the volume that spheres thrown together take up (random close packing, from memory).
RANDOM_PACKING = 0.64


@formula(
    symbol="x_V",
    unit="-",
    equation="x_V = x_m ρh/ρm",
    source="definition",
    inputs={
        "mass_ratio": "x_m [-]",
        "resin_density": "ρm [kg/m³]",
        "hardener_density": "ρh [kg/m³]",
    },
)
def mix_ratio_by_volume(
    mass_ratio: ArrayLike, resin_density: ArrayLike, hardener_density: ArrayLike
) -> Array:
    """Mix ratio by volume, resin over hardener, from the ratio by mass.

    mass_ratio : resin over hardener [-]; densities of the two unmixed [kg/m3]. All broadcast.
    """
    return array(mass_ratio) * array(hardener_density) / array(resin_density)


@formula(
    symbol="x_m",
    unit="-",
    equation="x_m = x_V ρm/ρh",
    source="definition",
    inputs={
        "volume_ratio": "x_V [-]",
        "resin_density": "ρm [kg/m³]",
        "hardener_density": "ρh [kg/m³]",
    },
)
def mix_ratio_by_mass(
    volume_ratio: ArrayLike, resin_density: ArrayLike, hardener_density: ArrayLike
) -> Array:
    """Mix ratio by mass, resin over hardener, from the ratio by volume.

    volume_ratio : resin over hardener [-]; densities of the two unmixed [kg/m3]. All broadcast.
    """
    return array(volume_ratio) * array(resin_density) / array(hardener_density)


@formula(
    symbol="h",
    unit="as resin",
    equation="h = r/x",
    source="definition",
    inputs={"resin": "r [any]", "ratio": "x [-]"},
    valid="r by mass with a ratio by mass, by volume with a ratio by volume",
)
def hardener_for(resin: ArrayLike, ratio: ArrayLike) -> Array:
    """Hardener that belongs to an amount of resin.

    resin : by mass or by volume, any unit; ratio : resin over hardener, of the same kind.
    Both broadcast; same unit as ``resin``.
    """
    return array(resin) / array(ratio)


@formula(
    symbol="e",
    unit="-",
    equation="e = h_used/h_right − 1",
    source="definition",
    inputs={"used": "h_used [any]", "right": "h_right [any]"},
)
def hardener_excess(used: ArrayLike, right: ArrayLike) -> Array:
    """How far the hardener is over (or, negative, under) what it should be.

    Both broadcast, in one unit. Gives a share of ``right``.
    """
    return array(used) / array(right) - 1.0


@formula(
    symbol="V_b",
    unit="-",
    equation="V_b = (m_b/ρb)/(m_r/ρm + m_b/ρb)",
    source="definition",
    inputs={
        "resin_mass": "m_r [kg]",
        "resin_density": "ρm [kg/m³]",
        "filler_mass": "m_b [kg]",
        "filler_density": "ρb [kg/m³]",
    },
    valid="above RANDOM_PACKING, 0.64, spheres no longer fit and the mix holds air",
)
def filler_volume_fraction(
    resin_mass: ArrayLike,
    resin_density: ArrayLike,
    filler_mass: ArrayLike,
    filler_density: ArrayLike,
) -> Array:
    """Share of a filled resin's volume that is filler.

    Masses in any one unit; densities kg/m3. All broadcast.
    """
    resin = array(resin_mass) / array(resin_density)
    filler = array(filler_mass) / array(filler_density)
    return filler / (resin + filler)


@formula(
    symbol="m_r",
    unit="as mix",
    equation="m_r = m x/(1 + x)",
    source="definition",
    inputs={"mix": "m [any]", "ratio": "x [-]"},
    valid="by mass with a ratio by mass, by volume with a ratio by volume",
)
def resin_of_mix(mix: ArrayLike, ratio: ArrayLike) -> Array:
    """Resin in an amount of mix; the rest is hardener.

    mix : resin and hardener together, any unit; ratio : resin over hardener, of the same kind.
    Both broadcast; same unit as ``mix``.
    """
    return array(mix) * array(ratio) / (1.0 + array(ratio))


@formula(
    symbol="x_s",
    unit="-",
    equation="x_s = x s",
    source="definition",
    inputs={"pump_ratio": "x [-]", "strokes": "s of resin for one of hardener [-]"},
)
def ratio_of_strokes(pump_ratio: ArrayLike, strokes: ArrayLike) -> Array:
    """Ratio that comes out of a pair of pumps that are set for a ratio already.

    pump_ratio : resin over hardener for one stroke of each; strokes : of resin for one of
    hardener. Both broadcast; resin over hardener.
    """
    return array(pump_ratio) * array(strokes)
