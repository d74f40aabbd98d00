"""Timber as an orthotropic layer: from a species, its moisture, its density and its rings.

L runs along the grain, R across the rings, T along them. A strip-planked layer is a layer like any
other: glued edges add no stiffness across the grain.
"""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.working import formula

#: True modulus along the grain over that of the handbook bending test (fpl-gtr-190, from memory).
TRUE_OVER_BENDING = 1.10


@formula(
    symbol="E_L",
    unit="Pa",
    equation="E_L = 1.10 MOE",
    source="fpl-gtr-190, chapter 5 (from memory): the tabulated MOE includes shear deflection",
    inputs={"bending_modulus": "MOE [Pa]", "factor": "1.10 [-]"},
    valid="an average over species; a test at two spans tells better",
)
def true_modulus(bending_modulus: ArrayLike, factor: ArrayLike = TRUE_OVER_BENDING) -> Array:
    """Modulus along the grain from the modulus of a handbook bending test.

    Both broadcast; Pa.
    """
    return array(bending_modulus) * array(factor)


@formula(
    symbol="E/E_app",
    unit="-",
    equation="E/E_app = 1 + 1.2 (E/G)(h/L)²",
    source="beam theory, rectangular section, shear form factor 1.2",
    inputs={"over_shear": "E/G [-]", "depth_over_span": "h/L [-]"},
    valid="load at the middle of a simply supported span",
)
def shear_in_bending_test(over_shear: ArrayLike, depth_over_span: ArrayLike) -> Array:
    """True modulus over the apparent one of a beam loaded at the middle.

    Both broadcast.
    """
    return 1.0 + 1.2 * array(over_shear) * array(depth_over_span) ** 2


@formula(
    symbol="E_ρ",
    unit="Pa",
    equation="E_ρ = E (G/G_tab)^n",
    source="fpl-gtr-190, table 5-11 (from memory): MOE as G^0.84 (softwoods), G^0.70 (hardwoods)",
    inputs={
        "modulus": "E [Pa]",
        "gravity": "G [-]",
        "tabulated_gravity": "G_tab [-]",
        "power": "n [-]",
    },
    valid="both specific gravities at the same moisture; G within a half of G_tab",
)
def property_at_gravity(
    modulus: ArrayLike, gravity: ArrayLike, tabulated_gravity: ArrayLike, power: ArrayLike
) -> Array:
    """A modulus or a strength carried from the density of a species to the one that was weighed.

    All broadcast; Pa. Unchanged where nothing was weighed (gravity 0).
    """
    over = ratio(gravity, tabulated_gravity)
    return array(modulus) * np.where(over > 0.0, over, 1.0) ** array(power)


@formula(
    symbol="G_w",
    unit="-",
    equation="G_w = ρ/(1000 (1 + M))",
    source="definition; fpl-gtr-190, chapter 4",
    inputs={"density": "ρ [kg/m³]", "moisture": "M [-]"},
)
def weighed_gravity(density: ArrayLike, moisture: ArrayLike) -> Array:
    """Oven-dry mass over volume of a piece weighed at a moisture.

    Both broadcast; 0 where nothing was weighed.
    """
    return array(density) / (1000.0 * (1.0 + array(moisture)))


@formula(
    symbol="P",
    unit="as P",
    equation="P = s P_T + (1 − s) P_R",
    source="definition: s is the share of flat-sawn strips, a half if unknown",
    inputs={"tangential": "P_T [any]", "radial": "P_R [any]", "flat_share": "s [-]"},
)
def over_the_rings(tangential: ArrayLike, radial: ArrayLike, flat_share: ArrayLike) -> Array:
    """A property across the grain of strips with mixed rings.

    flat_share : 1 flat-sawn, 0 quarter-sawn, 0.5 not known. All broadcast.
    """
    s = array(flat_share)
    return s * array(tangential) + (1.0 - s) * array(radial)


@formula(
    symbol="P",
    unit="Pa",
    equation="P = c E_L",
    source="fpl-gtr-190, table 5-1: ratios to the modulus along the grain",
    inputs={"along": "E_L [Pa]", "share": "c [-]"},
)
def share_of_grain_modulus(along: ArrayLike, share: ArrayLike) -> Array:
    """A modulus across the grain or in shear, as a share of the one along it.

    Both broadcast; Pa.
    """
    return array(along) * array(share)


@formula(
    symbol="P",
    unit="as P",
    equation="P = P_θ where the rings were looked at, else P_mean",
    source="definition",
    inputs={"mean": "P_mean [any]", "seen": "P_θ [any]", "rings_seen": "1 or 0 [-]"},
)
def by_rings(mean: ArrayLike, seen: ArrayLike, rings_seen: ArrayLike) -> Array:
    """A property across the grain, by the rings of the piece where they are known.

    All broadcast.
    """
    return np.where(array(rings_seen) > 0.0, array(seen), array(mean))


@formula(
    symbol="E_θ",
    unit="Pa",
    equation="1/E_θ = cos⁴θ/E_T + sin⁴θ/E_R + sin²θcos²θ (1/G_RT − 2ν_RT/E_R)",
    source="turning an orthotropic compliance; kaw-2006, equation 2.111",
    inputs={
        "E_T": "E_T [Pa]",
        "E_R": "E_R [Pa]",
        "G_RT": "G_RT [Pa]",
        "nu_RT": "ν_RT [-]",
        "ring_angle": "θ [rad]",
    },
    valid="θ between the width and the rings: 0 flat-sawn, π/2 quarter-sawn",
)
def modulus_at_ring_angle(
    E_T: ArrayLike, E_R: ArrayLike, G_RT: ArrayLike, nu_RT: ArrayLike, ring_angle: ArrayLike
) -> Array:
    """Modulus across the grain of a board whose rings lie at an angle to its width.

    Least near 45 degrees, because rolling shear is so soft. All broadcast; Pa.
    """
    c, s = np.cos(array(ring_angle)) ** 2, np.sin(array(ring_angle)) ** 2
    cross = ratio(1.0, G_RT) - ratio(2.0 * array(nu_RT), E_R)
    return ratio(1.0, c * c * ratio(1.0, E_T) + s * s * ratio(1.0, E_R) + s * c * cross)


@formula(
    symbol="G_Lθ",
    unit="Pa",
    equation="1/G_Lθ = cos²θ/G_LT + sin²θ/G_LR",
    source="turning an orthotropic compliance",
    inputs={"G_LT": "G_LT [Pa]", "G_LR": "G_LR [Pa]", "ring_angle": "θ [rad]"},
)
def shear_at_ring_angle(G_LT: ArrayLike, G_LR: ArrayLike, ring_angle: ArrayLike) -> Array:
    """Shear modulus of the board's face, L against its width.

    All broadcast; Pa.
    """
    c, s = np.cos(array(ring_angle)) ** 2, np.sin(array(ring_angle)) ** 2
    return ratio(1.0, c * ratio(1.0, G_LT) + s * ratio(1.0, G_LR))


@formula(
    symbol="N",
    unit="as P",
    equation="N = P Q/(P sinⁿφ + Q cosⁿφ)",
    source="fpl-gtr-190, equation 5-2 (from memory), Hankinson",
    inputs={"along": "P [any]", "across": "Q [any]", "slope": "φ [rad]", "power": "n [-]"},
    valid="n 2 for the modulus; 1.5 to 2.5 for strengths",
)
def hankinson(
    along: ArrayLike, across: ArrayLike, slope: ArrayLike, power: ArrayLike = 2.0
) -> Array:
    """A property of timber at an angle to the grain.

    All broadcast.
    """
    p, q, n = array(along), array(across), array(power)
    s, c = np.abs(np.sin(array(slope))) ** n, np.abs(np.cos(array(slope))) ** n
    return ratio(p * q, p * s + q * c)


@formula(
    symbol="α",
    unit="1/K",
    equation="α_R = (32.4 G₀ + 9.9)·10⁻⁶, α_T = (32.4 G₀ + 18.4)·10⁻⁶",
    source="fpl-gtr-190, chapter 4 (from memory)",
    inputs={"dry_gravity": "G₀ [-]", "flat_share": "s [-]"},
    valid="oven-dry, G₀ 0.1 to 0.8; moist wood that warms also dries and shrinks",
)
def heat_across(dry_gravity: ArrayLike, flat_share: ArrayLike) -> Array:
    """Thermal expansion of timber across the grain, between its two directions.

    dry_gravity : oven-dry mass over oven-dry volume; 0 for what is not timber, which gives 0.
    Both broadcast; 1/K.
    """
    g, s = array(dry_gravity), array(flat_share)
    own = (32.4 * g + 9.9 + 8.5 * s) * 1e-6
    return np.where(g > 0.0, own, 0.0)
