"""Strains at which a layer is damaged, how they move with fibre fraction, and loads from them.

A strain or strength of 0 means that it is not known: it sets no limit, and whoever shows the
result says so.
"""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.working import formula

#: Share of E2, G12 and nu12 that a damaged layer keeps: none, but the section must stay solvable.
LEFT_BY_DAMAGE = 0.01
#: Strength in shear of resin without fibre, Pa; below and above which fraction it holds or not.
RESIN_SHEAR, RESIN_RICH, FIBRE_RICH = 40e6, 0.20, 0.35


@formula(
    symbol="ε₁c",
    unit="-",
    equation="ε₁c = ε_ref max(Vf/V_ref, 1/1.6)^n",
    source="snl-msu-doe-v29, fit on 14 plates of stitched glass: n −0.52, taken as −0.5",
    inputs={
        "strain": "ε_ref [-]",
        "fraction": "Vf [-]",
        "reference": "V_ref [-]",
        "power": "n [-]",
    },
    valid="Vf 0.33 to 0.58; n 0 for cloth that is not straight and stitched",
)
def compression_strain(
    strain: ArrayLike, fraction: ArrayLike, reference: ArrayLike, power: ArrayLike
) -> Array:
    """Strain along the fibre at which a ply fails in compression, at its fibre fraction.

    All broadcast.
    """
    over = np.maximum(ratio(fraction, reference), 1.0 / 1.6)
    return array(strain) * over ** array(power)


@formula(
    symbol="ε_k",
    unit="-",
    equation="ε_k = ε_ref min((1 − Vf)/(1 − V_ref), 1.3)",
    source="common practice: strain is magnified between stiff fibres",
    inputs={"strain": "ε_ref [-]", "fraction": "Vf [-]", "reference": "V_ref [-]"},
)
def crack_strain(strain: ArrayLike, fraction: ArrayLike, reference: ArrayLike) -> Array:
    """Strain at which the resin of a ply first cracks, at its fibre fraction.

    All broadcast.
    """
    over = ratio(1.0 - array(fraction), 1.0 - array(reference))
    return array(strain) * np.minimum(over, 1.3)


@formula(
    symbol="τ₁₂",
    unit="Pa",
    equation="τ₁₂ = τ_ref from Vf 0.35 on, 40 MPa up to 0.20, straight between",
    source="snl-msu-doe-v29, half the pull of ±45 plates; common practice: resin about 40 MPa",
    inputs={"strength": "τ_ref [Pa]", "fraction": "Vf [-]"},
)
def ply_shear_strength(strength: ArrayLike, fraction: ArrayLike) -> Array:
    """In-plane shear strength of a ply at its fibre fraction.

    Both broadcast; Pa. 0, not known, stays 0.
    """
    known = array(strength)
    share = np.clip((array(fraction) - RESIN_RICH) / (FIBRE_RICH - RESIN_RICH), 0.0, 1.0)
    return np.where(known > 0.0, RESIN_SHEAR + share * (known - RESIN_SHEAR), 0.0)


@formula(
    symbol="τ_il",
    unit="Pa",
    equation="τ_il = τ_ref (1 − 7 min(v, 0.04))",
    source="common practice: 7 % for each per cent of voids up to 4 %",
    inputs={"strength": "τ_ref [Pa]", "voids": "v [-]"},
)
def shear_strength_between(strength: ArrayLike, voids: ArrayLike) -> Array:
    """Shear strength between the plies of a cloth with voids.

    Both broadcast; Pa.
    """
    return array(strength) * (1.0 - 7.0 * np.clip(array(voids), 0.0, 0.04))


@formula(
    symbol="X",
    unit="Pa",
    equation="X = ε E",
    source="definition: strains of the table are strength over the first modulus",
    inputs={"strain": "ε [-]", "modulus": "E [Pa]"},
)
def strength_of_strain(strain: ArrayLike, modulus: ArrayLike) -> Array:
    """Strength that goes with a strain at failure.

    Both broadcast; Pa.
    """
    return array(strain) * array(modulus)


@formula(
    symbol="ε",
    unit="-",
    equation="ε = X/E",
    source="definition",
    inputs={"strength": "X [Pa]", "modulus": "E [Pa]"},
)
def strain_of_strength(strength: ArrayLike, modulus: ArrayLike) -> Array:
    """Strain at which a strength is reached, the layer being straight up to there.

    Both broadcast; 0 where either is not known.
    """
    return ratio(strength, modulus)


@formula(
    symbol="E_d",
    unit="as E",
    equation="E_d = 0.01 E where damaged",
    source="kaw-2006, section 5.3: ply discount, nothing left but 1 % (from memory)",
    inputs={"constant": "E [any]", "damaged": "1 or 0 [-]"},
    valid="E₂, G₁₂ and ν₁₂ of layers that have cracked along a fibre or a grain that still holds",
)
def left_by_damage(constant: ArrayLike, damaged: ArrayLike) -> Array:
    """What is left of a constant of a layer that has cracked along its fibre.

    Both broadcast.
    """
    return array(constant) * np.where(array(damaged) > 0.0, LEFT_BY_DAMAGE, 1.0)


@formula(
    symbol="P_d",
    unit="Pa",
    equation="P_d = min(X/(k ε₁t), P), at least 0.01 P",
    source="hahn-tsai-1974: a cracked ply goes on bearing the stress it cracked at (from memory)",
    inputs={
        "constant": "P [Pa]",
        "strength": "X [Pa]",
        "fibre_strain": "ε₁t [-]",
        "times": "k [-]",
    },
    valid="secant at the strain at which the fibre breaks; k 1 across, 2 in the shear of ±45",
)
def left_by_crack(
    constant: ArrayLike, strength: ArrayLike, fibre_strain: ArrayLike, times: ArrayLike = 1.0
) -> Array:
    """What a cracked ply still has of E2 or G12 by the time its fibre breaks.

    All broadcast; Pa. 1 % where strength or fibre strain are not known.
    """
    whole = array(constant)
    secant = ratio(strength, array(times) * array(fibre_strain))
    return np.clip(secant, LEFT_BY_DAMAGE * whole, whole)


@formula(
    symbol="X₁t",
    unit="Pa",
    equation="X₁t = X_f Vf + E_m ε_f (1 − Vf)",
    source="kaw-2006, section 3.4.1",
    inputs={
        "strength": "X_f [Pa]",
        "matrix": "E_m [Pa]",
        "failure_strain": "ε_f [-]",
        "volume_fraction": "Vf [-]",
    },
    valid="resin that stretches further than the fibre; an upper bound for hand-laid plies",
)
def tensile_strength_along(
    strength: ArrayLike,
    matrix: ArrayLike,
    failure_strain: ArrayLike,
    volume_fraction: ArrayLike,
) -> Array:
    """Tensile strength of a unidirectional ply along its fibre, the fibre breaking first.

    All broadcast; Pa.
    """
    v = array(volume_fraction)
    return array(strength) * v + array(matrix) * array(failure_strain) * (1.0 - v)


# --- Which limit counts ---------------------------------------------------------------------------


@formula(
    symbol="X",
    unit="as X",
    equation="X = X₁ where the mark is above 0, else X₂",
    source="definition",
    inputs={"mark": "mark [any]", "marked": "X₁ [any]", "unmarked": "X₂ [any]"},
)
def either(mark: ArrayLike, marked: ArrayLike, unmarked: ArrayLike) -> Array:
    """One of two values, by what the layer is.

    All broadcast.
    """
    return np.where(array(mark) > 0.0, array(marked), array(unmarked))


@formula(
    symbol="1 or 0",
    unit="-",
    equation="1 or 0: whether P₁ or P₂ is above 0",
    source="definition",
    inputs={"first": "P₁ [any]", "second": "P₂ [any]"},
)
def is_known(first: ArrayLike, second: ArrayLike = 0.0) -> Array:
    """Whether something is known of a layer: a mark of 1 or 0.

    Both broadcast.
    """
    return np.where((array(first) > 0.0) | (array(second) > 0.0), 1.0, 0.0)


@formula(
    symbol="X",
    unit="as X",
    equation="X = X₀ (1 − g)",
    source="definition",
    inputs={"whole": "X₀ [any]", "gone": "g, 1 or 0 [-]"},
)
def unless_gone(whole: ArrayLike, gone: ArrayLike) -> Array:
    """A strength, or a mark, of the layers that still count.

    Both broadcast.
    """
    return array(whole) * (1.0 - array(gone))


@formula(
    symbol="ε",
    unit="-",
    equation="ε = min(ε₁, ε₂); where one is not known, the other",
    source="definition",
    inputs={"first": "ε₁ [-]", "second": "ε₂ [-]"},
)
def smaller_known(first: ArrayLike, second: ArrayLike) -> Array:
    """The smaller of two limits; where one is not known (0), the other.

    Both broadcast.
    """
    one, other = array(first), array(second)
    both = np.minimum(one, other)
    return np.where(one <= 0.0, other, np.where(other <= 0.0, one, both))


@formula(
    symbol="y",
    unit="-",
    equation="y = the share given, 1 where none is",
    source="definition",
    inputs={"share": "y [-]"},
)
def share_at_yield(share: ArrayLike) -> Array:
    """Share of its shear strength at which a layer is first damaged.

    share : any shape, 0 where the layer does not yield before it breaks.
    """
    return np.where(array(share) > 0.0, array(share), 1.0)
