"""When timber fails, by its grain; and what size, slope, knots, time and heat leave of strength.

L runs along the grain, R across the rings, T along them. Tension and compression, along and across,
are judged as for any layer (criteria.max_stress), an angle to the grain by timber.hankinson,
several stresses at once by :func:`norris`, shear on each of its planes by :func:`timber_shear`, so
that rolling shear, the weakest, is not missed. Density within a species goes by
timber.property_at_gravity with the powers WITHIN_SPECIES, moisture by
moisture.property_at_moisture.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.mechanics.criteria import by_sign, judged, known, least_reserve, root, share
from panelwright.working import formula

#: Planes of shear, in the order of the exposures of :func:`timber_shear`. RT is rolling shear.
SHEAR_PLANES = ("shear LR", "shear LT", "rolling shear RT")

# --- Numbers of the handbooks ---------------------------------------------------------------------

#: Factor [Pa] and power of clear wood at 12 % by specific gravity at 12 %, between species
#: (fpl-gtr-190, table 5-11, from memory).
SOFTWOOD: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "bending": (170.7e6, 1.01),
        "compression along": (93.7e6, 0.97),
        "compression across": (16.5e6, 1.57),
        "shear": (16.6e6, 0.85),
        "tension across": (6.0e6, 1.11),
    }
)
HARDWOOD: Mapping[str, tuple[float, float]] = MappingProxyType(
    {
        "bending": (171.3e6, 1.13),
        "compression along": (76.0e6, 0.89),
        "compression across": (21.6e6, 2.09),
        "shear": (21.9e6, 1.13),
        "tension across": (10.1e6, 1.30),
    }
)
#: Powers of density within a species (older editions of fpl-gtr-190, from memory); within 25 % of
#: the mean of the species.
WITHIN_SPECIES: Mapping[str, float] = MappingProxyType(
    {
        "bending": 1.25,
        "modulus": 1.25,
        "compression along": 1.25,
        "compression across": 2.25,
        "shear": 1.35,
        "tension across": 1.6,
    }
)
#: Slope of grain (rise over run), and what it leaves of the strength (fpl-gtr-190, table 5-12,
#: from memory).
SLOPES = (0.0, 1 / 25, 1 / 20, 1 / 15, 1 / 10, 1 / 5)
SLOPE_IN_BENDING = (1.0, 0.96, 0.93, 0.89, 0.81, 0.55)
SLOPE_IN_IMPACT = (1.0, 0.95, 0.90, 0.81, 0.62, 0.36)
SLOPE_IN_COMPRESSION = (1.0, 1.0, 1.0, 1.0, 0.99, 0.93)
#: Weight and power of the knot ratio (common practice, of the form of strength-ratio rules).
EDGE_KNOT = (1.0, 2.0)
CENTRE_KNOT_IN_BENDING = (1.0, 1.0)
CENTRE_KNOT_IN_TENSION = (1.2, 1.0)
KNOT_IN_COMPRESSION = (0.9, 1.0)
KNOT_IN_MODULUS = (0.4, 1.0)
#: Change from 20 °C to -50 and to +50 °C, by the moisture from and to which it holds (fpl-gtr-190,
#: chapter 5, middle trends, from memory). Not known: not a number. Green wood is wetter than 0.30.
_NO, _WET = float("nan"), float("inf")
HEAT: Mapping[str, tuple[tuple[float, float, float, float], ...]] = MappingProxyType(
    {
        "modulus along": (
            (0.0, 0.0, 0.11, -0.06),
            (0.12, 0.12, 0.17, -0.07),
            (0.30, _WET, 0.50, _NO),
        ),
        "modulus across": (
            (0.06, 0.06, _NO, -0.20),
            (0.12, 0.12, _NO, -0.35),
            (0.20, _WET, _NO, -0.38),
        ),
        "shear modulus": ((0.30, _WET, _NO, -0.25),),
        "bending": (
            (0.0, 0.04, 0.18, -0.10),
            (0.11, 0.15, 0.35, -0.20),
            (0.18, 0.20, 0.60, -0.25),
            (0.30, _WET, 1.10, -0.25),
        ),
        "tension along": ((0.0, 0.12, _NO, -0.04),),
        "compression along": ((0.0, 0.0, 0.20, -0.10), (0.12, 0.45, 0.50, -0.25)),
        "shear": ((0.30, _WET, _NO, -0.25),),
        "tension across": (
            (0.04, 0.06, _NO, -0.10),
            (0.11, 0.16, _NO, -0.20),
            (0.18, _WET, _NO, -0.30),
        ),
        "compression across": ((0.0, 0.06, _NO, -0.20), (0.10, _WET, _NO, -0.35)),
    }
)


# --- Criteria by the grain ------------------------------------------------------------------------


@formula(
    symbol="r",
    unit="-",
    equation="r = 1/√((σ₁/X₁)² − σ₁σ₂/(X₁X₂) + (σ₂/X₂)² + (τ₁₂/S₁₂)²), X by the sign of its σ",
    source="norris-1950 (from memory)",
    inputs={
        "stress": "σ [Pa]",
        "X1t": "X₁t [Pa]",
        "X1c": "X₁c [Pa]",
        "X2t": "X₂t [Pa]",
        "X2c": "X₂c [Pa]",
        "S12": "S₁₂ [Pa]",
    },
)
def norris(
    stress: ArrayLike,
    X1t: ArrayLike,
    X1c: ArrayLike,
    X2t: ArrayLike,
    X2c: ArrayLike,
    S12: ArrayLike,
) -> Array:
    """Reserve factor of timber under several stresses in its plane, by Norris.

    stress : along the grain, across and in shear, ``(..., 3)``; all strengths ``(...)``, Pa. Gives
    ``(...)``.
    """
    s = array(stress)
    along, across = by_sign(s[..., 0], X1t, X1c), by_sign(s[..., 1], X2t, X2c)
    a, b, c = share(s[..., 0], along), share(s[..., 1], across), share(s[..., 2], S12)
    seen = judged(s, known(along), known(across), known(S12))
    used = np.where(seen, root(a * a - a * b + b * b + c * c), 0.0)
    return least_reserve(used[..., None])


@formula(
    symbol="e",
    unit="-",
    equation=(
        "e = |τ|/S on each plane; flat-sawn LR τ₁₃, LT τ₁₂; quarter-sawn LR τ₁₂, LT τ₁₃; both cuts "
        "mixed, the greater; RT τ₂₃"
    ),
    source="definition: which shear acts on which plane of the grain",
    inputs={
        "shear": "τ₁₂, τ₁₃, τ₂₃ [Pa]",
        "S_LR": "S_LR [Pa]",
        "S_LT": "S_LT [Pa]",
        "S_RT": "S_RT [Pa]",
        "flat_share": "s [-]",
    },
    valid="rings along or square to the face; at 45° rolling shear still acts on RT",
)
def timber_shear(
    shear: ArrayLike,
    S_LR: ArrayLike,
    S_LT: ArrayLike,
    S_RT: ArrayLike,
    flat_share: ArrayLike = 0.5,
) -> Array:
    """Exposures of timber in shear on each plane of its grain.

    shear : in the plane, along and through, across and through, ``(..., 3)``, Pa; S_LR, S_LT, S_RT
    : strengths, Pa; flat_share : 1 flat-sawn, 0 quarter-sawn, between them strips of both cuts or
    not known. Gives ``(..., 3)``: SHEAR_PLANES.
    """
    t, s = np.abs(array(shear)), array(flat_share)
    flat, quarter = s > 0.0, s < 1.0
    in_plane, through = t[..., 0], t[..., 1]
    on_lr = np.maximum(np.where(flat, through, 0.0), np.where(quarter, in_plane, 0.0))
    on_lt = np.maximum(np.where(flat, in_plane, 0.0), np.where(quarter, through, 0.0))
    planes = share(on_lr, S_LR), share(on_lt, S_LT), share(t[..., 2], S_RT)
    return np.stack(np.broadcast_arrays(*planes), axis=-1)


# --- Strengths not in a table ---------------------------------------------------------------------


@formula(
    symbol="P",
    unit="Pa",
    equation="P = a G^n",
    source="fpl-gtr-190, table 5-11 (from memory)",
    inputs={"gravity": "G [-]", "factor": "a [Pa]", "power": "n [-]"},
    valid="clear wood at 12 % moisture; between species, G at 12 %",
)
def strength_of_gravity(gravity: ArrayLike, factor: ArrayLike, power: ArrayLike) -> Array:
    """A strength of clear wood from its specific gravity, where no table has the species.

    All broadcast; Pa.
    """
    return array(factor) * array(gravity) ** array(power)


@formula(
    symbol="S_RT",
    unit="Pa",
    equation="S_RT = c S",
    source="fpl-gtr-190, chapter 5 (from memory): 0.18 to 0.28 of the shear along the grain",
    inputs={"shear_along": "S [Pa]", "share_of_it": "c [-]"},
    valid="softwood; a test of the species tells better",
)
def rolling_shear_strength(shear_along: ArrayLike, share_of_it: ArrayLike = 0.23) -> Array:
    """Strength in rolling shear from that in shear along the grain.

    Both broadcast; Pa.
    """
    return array(shear_along) * array(share_of_it)


# --- Factors on a strength ------------------------------------------------------------------------


@formula(
    symbol="k",
    unit="-",
    equation="k = min((x₀/x)^m, k_most)",
    source="en-1995-1-1, 3.2, 3.3 and 6.1.2 (from memory); fpl-gtr-190, chapter 5 (from memory)",
    inputs={
        "size": "x [any]",
        "reference": "x₀ [any]",
        "power": "m [-]",
        "most": "k_most [-]",
    },
    valid=(
        "tension across and rolling shear: stressed volume, m 0.2; bending and tension along: "
        "depth to 0.15 m, m 0.2, at most 1.3; clear wood in bending: depth x span to "
        "0.051 x 0.711 m², m 1/9"
    ),
)
def size_factor(
    size: ArrayLike, reference: ArrayLike, power: ArrayLike, most: ArrayLike = np.inf
) -> Array:
    """What the size of a piece leaves of a strength that was found on a reference size.

    size, reference : volume, depth or depth x span, in the same unit; most : what the factor may
    not exceed. All broadcast; 1 where the size or the reference is not given (0).
    """
    over = ratio(reference, size)
    return np.minimum(np.where(over > 0.0, over, 1.0) ** array(power), array(most))


@formula(
    symbol="τ",
    unit="Pa",
    equation="τ = 1.3 C τ_block/A^(1/5), A in square inches",
    source="fpl-gtr-190, chapter 9 (from memory)",
    inputs={"block": "τ_block [Pa]", "area": "A [m²]", "step": "C [-]"},
    valid="C 2 for the standard block with its step",
)
def shear_of_beam(block: ArrayLike, area: ArrayLike, step: ArrayLike = 2.0) -> Array:
    """Shear strength of a beam along its grain from that of the small block.

    block : shear strength of the test block; area : sheared, m2; step : factor of the block. All
    broadcast; Pa.
    """
    inches = array(area) / 0.0254**2
    return 1.3 * array(step) * ratio(block, inches**0.2)


@formula(
    symbol="s",
    unit="-",
    equation="s = √(s_f² + s_e²)",
    source="fpl-gtr-190, chapter 5 (from memory)",
    inputs={"on_face": "s_f [-]", "on_edge": "s_e [-]"},
)
def whole_slope(on_face: ArrayLike, on_edge: ArrayLike) -> Array:
    """Slope of the grain where it runs out on the face and on the edge.

    Both broadcast; rise over run.
    """
    return np.hypot(array(on_face), array(on_edge))


@formula(
    symbol="k",
    unit="-",
    equation="k: straight between 1, k at 1:25, 1:20, 1:15, 1:10 and 1:5",
    source="fpl-gtr-190, table 5-12 (from memory)",
    inputs={"slope": "rise/run [-]", "left": "k at each slope [-]"},
    valid="up to 1:5; beyond it not known here: timber.hankinson instead",
)
def slope_factor(slope: ArrayLike, left: ArrayLike = SLOPE_IN_BENDING) -> Array:
    """What a slope of the grain leaves of a strength of straight grain.

    slope : rise over run, any shape; left : at each of SLOPES, ``(6,)``. Not a number beyond 1:5.
    """
    s = np.abs(array(slope))
    return np.where(s <= SLOPES[-1], np.interp(s, SLOPES, array(left)), np.nan)


@formula(
    symbol="k",
    unit="-",
    equation="k = max(1 − a K, 0)^n",
    source="common practice, of the form of strength-ratio rules",
    inputs={"knot_ratio": "K [-]", "weight": "a [-]", "power": "n [-]"},
    valid="K up to 0.6: diameter of the knot over the width of the face",
)
def knot_factor(knot_ratio: ArrayLike, weight: ArrayLike, power: ArrayLike = 1.0) -> Array:
    """What a knot leaves of a strength of clear wood.

    weight, power : one of EDGE_KNOT, CENTRE_KNOT_IN_BENDING and so on. All broadcast.
    """
    return np.maximum(1.0 - array(weight) * array(knot_ratio), 0.0) ** array(power)


@formula(
    symbol="n",
    unit="-",
    equation="n = n_s where the density of the species counts, else 0",
    source="definition",
    inputs={"power": "n_s [-]", "species_power": "n of the modulus [-]"},
)
def power_within(power: ArrayLike, species_power: ArrayLike) -> Array:
    """Power of the density within a species, of a layer that is of one.

    power : of ``WITHIN_SPECIES``; species_power : of its modulus, 0 where density does not count.
    Both broadcast.
    """
    return array(power) * np.where(array(species_power) > 0.0, 1.0, 0.0)


@formula(
    symbol="P_k",
    unit="Pa",
    equation="P_k = P k",
    source="common practice, of the form of strength-ratio rules",
    inputs={"clear": "P [Pa]", "knot_ratio": "K [-]", "weight": "a [-]", "power": "n [-]"},
    valid="K up to 0.6: diameter of the knot over the width of the face",
)
def with_knots(
    clear: ArrayLike, knot_ratio: ArrayLike, weight: ArrayLike, power: ArrayLike = 1.0
) -> Array:
    """A strength or the modulus of clear wood with a knot in it.

    weight, power : as of :func:`knot_factor`. All broadcast; Pa.
    """
    return array(clear) * knot_factor(knot_ratio, weight, power)


@formula(
    symbol="k",
    unit="-",
    equation="k = 1.084 T^(−0.04635) + 0.183, T in seconds",
    source="wood-1951 (from memory), the Madison curve",
    inputs={"time": "T [s]"},
    valid="1 s to 50 years; against the test of 7.5 minutes; stiffness creeps instead",
)
def duration_factor(time: ArrayLike) -> Array:
    """What a load that stays on leaves of the strength of timber in a short test.

    time : that the load acts all together, s. Any shape.
    """
    return 1.084 * array(time) ** -0.04635 + 0.183


@formula(
    symbol="k",
    unit="-",
    equation="k = 1 + h (T − 20 °C)/(30 K) above 20 °C, 1 + c (20 °C − T)/(70 K) below",
    source="fpl-gtr-190, chapter 5 (from memory), middle trends",
    inputs={"temperature": "T [K]", "cold": "c [-]", "hot": "h [-]"},
    valid="-50 to +50 °C, and back at 20 °C; above about 65 °C for long the loss stays",
)
def heat_factor(temperature: ArrayLike, cold: ArrayLike, hot: ArrayLike) -> Array:
    """What the temperature of the wood makes of a property at 20 °C, for as long as it lasts.

    temperature : K; cold, hot : change to -50 and to +50 °C, one of HEAT. All broadcast; not a
    number where that change is not known.
    """
    over = array(temperature) - 293.15
    change = np.where(over > 0.0, array(hot) * over / 30.0, array(cold) * -over / 70.0)
    return 1.0 + np.where(over == 0.0, 0.0, change)
