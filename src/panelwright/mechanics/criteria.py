"""When a layer fails: the criteria of the plies side by side, and how far off failure is.

An *exposure* is the share of its strength that a stress uses: it grows in proportion with the load
and is 1 at failure. A criterion with modes gives one for each, on the last axis, in the order that
its tuple of modes names; :func:`least_reserve` and :func:`first_mode` read them. A criterion
without modes gives its reserve factor at once.

Stress has shape ``(..., 3)``: along, across and in shear, in the axes of the layer (its fibre, its
grain). Strengths are positive, compressive ones too; one that is 0 or not a number is not known.
What needs a strength that is not known is not judged: its exposure is 0, its reserve infinite. So a
layer that is not there, or of which nothing is known, never is the weakest.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.working import formula

Flags = npt.NDArray[np.bool_]
Codes = npt.NDArray[np.intp]

#: What the places on the last axis of the exposures stand for.
COMPONENT_MODES = (
    "tension along",
    "compression along",
    "tension across",
    "compression across",
    "shear",
)
#: Sign of the strain that counts in each.
_COUNTS = np.array([1.0, -1.0, 1.0, -1.0, 1.0])
HASHIN_MODES = ("fibre tension", "fibre compression", "matrix tension", "matrix compression")
PUCK_MODES = (
    "fibre tension",
    "fibre compression",
    "crack between fibres, opened (A)",
    "crack between fibres, sheared (B)",
    "wedge between fibres (C)",
)

#: Puck's slopes of the fracture curve (tension, compression) at no stress across (puck-1998, from
#: memory); glass also serves where nothing is known.
PUCK_GLASS = (0.30, 0.25)
PUCK_CARBON = (0.35, 0.30)

#: A stress below this share of the greatest one in the layer is rounding, no load.
_NOTHING = 1e-9


# --- What the criteria share ----------------------------------------------------------------------


def known(strength: ArrayLike) -> Flags:
    """Where a strength is known: above 0."""
    flags: Flags = array(strength) > 0.0
    return flags


def share(acting: ArrayLike, strength: ArrayLike) -> Array:
    """A stress over its strength, and 0 where the strength is not known."""
    return ratio(acting, np.where(known(strength), strength, np.inf))


def by_sign(stress: ArrayLike, tension: ArrayLike, compression: ArrayLike) -> Array:
    """The strength that counts for the sign of a stress."""
    return np.where(array(stress) < 0.0, array(compression), array(tension))


def matters(stress: Array) -> Flags:
    """Which components of a stress ``(..., K)`` are more than rounding."""
    size = np.abs(stress)
    flags: Flags = size > _NOTHING * np.max(size, axis=-1, keepdims=True)
    return flags


def root(quadratic: ArrayLike, linear: ArrayLike = 0.0) -> Array:
    """Exposure e of a criterion whose index at f times the load is ``quadratic f² + linear f``.

    1/e is the f at which the index is 1; 0 where no load of this direction brings failure.
    """
    a, b = np.broadcast_arrays(array(quadratic), array(linear))
    under = b * b + 4.0 * a
    reach = np.sqrt(np.maximum(under, 0.0))
    # two forms of one root: neither takes the difference of near equals
    found = np.where(b < 0.0, ratio(2.0 * a, reach - np.minimum(b, 0.0)), 0.5 * (b + reach))
    return np.where(under < 0.0, 0.0, np.maximum(found, 0.0))


def _components(stress: ArrayLike) -> tuple[Array, Array, Array]:
    s = array(stress)
    return s[..., 0], s[..., 1], s[..., 2]


def judged(stress: ArrayLike, along: Flags, across: Flags, shear: Flags) -> Flags:
    """Where every stress ``(..., 3)`` that matters has the strengths known that it needs."""
    m = matters(array(stress))
    flags: Flags = (along | ~m[..., 0]) & (across | ~m[..., 1]) & (shear | ~m[..., 2])
    return flags


def _pulled(stress: ArrayLike) -> Flags:
    """Where the stress across is no compression."""
    s = array(stress)
    flags: Flags = (s[..., 1] >= 0.0) | ~matters(s)[..., 1]
    return flags


def _reserve(exposure: ArrayLike) -> Array:
    e = array(exposure)
    reserve: Array = np.divide(1.0, e, out=np.full(e.shape, np.inf), where=e > 0.0)
    return reserve


# --- Reading exposures ----------------------------------------------------------------------------


@formula(
    symbol="e",
    unit="-",
    equation="e = |s|/X",
    source="definition",
    inputs={"acting": "s [any]", "strength": "X [any]"},
)
def used_share(acting: ArrayLike, strength: ArrayLike) -> Array:
    """Share of a strength that a stress, a force or a moment uses.

    acting : of either sign; strength : in the same unit; 0 where it is not known. Both broadcast.
    """
    return share(np.abs(array(acting)), strength)


@formula(
    symbol="r",
    unit="-",
    equation="r = 1/max e",
    source="definition: what multiplies the load to reach failure",
    inputs={"exposures": "e [-]"},
)
def least_reserve(exposures: ArrayLike) -> Array:
    """Reserve factor over several modes, or over several layers.

    exposures : ``(..., K)``. Gives ``(...)``; infinite where nothing is loaded or known.
    """
    return _reserve(np.max(array(exposures), axis=-1))


@formula(
    symbol="e",
    unit="-",
    equation="e = ±ε₁/ε₁t, ∓ε₁/ε₁c, ±ε₂/ε₂t, ∓ε₂/ε₂c, |γ₁₂|/γ₁₂s at both faces, not below 0",
    source="definition",
    inputs={
        "strains": "ε₁, ε₂, γ₁₂ of both faces for a load of 1 [-]",
        "sign": "± of the load [-]",
        "along_tension": "ε₁t [-]",
        "along_compression": "ε₁c [-]",
        "across_tension": "ε₂t [-]",
        "across_compression": "ε₂c [-]",
        "shear": "γ₁₂s [-]",
    },
    valid="layers straight up to their limit",
)
def used_strains(
    strains: ArrayLike,
    sign: ArrayLike,
    along_tension: ArrayLike,
    along_compression: ArrayLike,
    across_tension: ArrayLike,
    across_compression: ArrayLike,
    shear: ArrayLike,
) -> Array:
    """Share of what each layer bears that its strains use, at both faces and in each mode.

    strains : ``(..., L, 2, 3)``; sign : 1 or -1; along_tension, along_compression, across_tension,
    across_compression, shear : limits, ``(..., L)``, 0 where not known. Gives ``(..., L, 2, 5)``,
    modes as in ``COMPONENT_MODES``.
    """
    ways = array(sign) * array(strains)[..., (0, 0, 1, 1, 2)] * _COUNTS
    ways[..., 4] = np.abs(ways[..., 4])
    bears = (along_tension, along_compression, across_tension, across_compression, shear)
    limits = np.stack(np.broadcast_arrays(*bears), axis=-1)[..., None, :]
    return share(np.maximum(ways, 0.0), limits)


@formula(
    symbol="e",
    unit="-",
    equation="e = τ₁₃/(y S₁₃), τ₂₃/(y S₂₃) at three places of each layer",
    source="definition",
    inputs={
        "stress": "τ₁₃, τ₂₃ of three places for a force of 1 [1/m]",
        "along": "S₁₃ [Pa]",
        "across": "S₂₃ [Pa]",
        "yields": "y [-]",
    },
)
def used_shear(
    stress: ArrayLike, along: ArrayLike, across: ArrayLike, yields: ArrayLike = 1.0
) -> Array:
    """Share of its transverse shear strength that each layer uses.

    stress : ``(..., L, 3, 2)``; along, across : ``(..., L)``, Pa, 0 where not known; yields : share
    of them that counts, ``(..., L)``. Gives ``(..., L, 3, 2)``.
    """
    strength = np.stack(np.broadcast_arrays(along, across), axis=-1)[..., None, :]
    return share(np.abs(array(stress)), strength * array(yields)[..., None, None])


@formula(
    symbol="F",
    unit="N/m or N",
    equation="F = 1/max e over layers, places and modes",
    source="definition: the load of 1 grows until one place has reached what it bears",
    inputs={"exposures": "e of layers, places, modes [-]"},
)
def least_load(exposures: ArrayLike) -> Array:
    """Load at which the most exposed place reaches its limit.

    exposures : ``(..., L, places, modes)``. Gives ``(...)``; infinite where nothing is known.
    """
    e = array(exposures)
    return _reserve(np.max(e.reshape(*e.shape[:-3], -1), axis=-1))


@formula(
    symbol="F",
    unit="N/m or N",
    equation="F = max(F₁, F₂); where one is not known, the other",
    source="definition: a panel ends in the state of damage that bears most",
    inputs={"one": "F₁ [N/m or N]", "other": "F₂ [N/m or N]"},
)
def larger_known(one: ArrayLike, other: ArrayLike) -> Array:
    """The larger of the loads that two states of damage bear; infinite is not known.

    Both broadcast.
    """
    first, second = array(one), array(other)
    most = np.maximum(first, second)
    return np.where(np.isinf(first), second, np.where(np.isinf(second), first, most))


@formula(
    symbol="k",
    unit="-",
    equation="k = the mode of max e, −1 where none is above 0",
    source="definition",
    inputs={"exposures": "e [-]"},
)
def first_mode(exposures: ArrayLike) -> Codes:
    """Which mode comes first: its place on the last axis.

    exposures : ``(..., K)``. Gives whole numbers ``(...)``, -1 where nothing is loaded or known.
    """
    e = array(exposures)
    codes: Codes = np.where(np.max(e, axis=-1) > 0.0, np.argmax(e, axis=-1), -1)
    return codes


@formula(
    symbol="σ",
    unit="Pa",
    equation=(
        "σ₁ = σ_x cos²θ + σ_y sin²θ + 2τ sinθcosθ, σ₂ = σ_x sin²θ + σ_y cos²θ − 2τ sinθcosθ, "
        "τ₁₂ = (σ_y − σ_x) sinθcosθ + τ (cos²θ − sin²θ)"
    ),
    source="kaw-2006, equation 2.95",
    inputs={"stress": "σ_x, σ_y, τ [Pa]", "angle": "θ [rad]"},
)
def stress_in_layer(stress: ArrayLike, angle: ArrayLike) -> Array:
    """Stress in the axes of a layer from that in the axes of the panel.

    stress : ``(..., 3)``, Pa; angle : from x to axis 1, ``(...)``, rad. Gives ``(..., 3)``.
    """
    x, y, xy = _components(stress)
    c, s = np.cos(array(angle)), np.sin(array(angle))
    twist = 2.0 * xy * s * c
    along, across = x * c * c + y * s * s + twist, x * s * s + y * c * c - twist
    return np.stack([along, across, (y - x) * s * c + xy * (c * c - s * s)], axis=-1)


# --- Each component by itself ---------------------------------------------------------------------


def _each(along: Array, across: Array, shear: Array, strengths: tuple[ArrayLike, ...]) -> Array:
    acting = (along, -along, across, -across, np.abs(shear))
    shares = [
        share(np.maximum(stress, 0.0), strength)
        for stress, strength in zip(acting, strengths, strict=True)
    ]
    return np.stack(np.broadcast_arrays(*shares), axis=-1)


_STRENGTHS = {
    "X1t": "X₁t [Pa]",
    "X1c": "X₁c [Pa]",
    "X2t": "X₂t [Pa]",
    "X2c": "X₂c [Pa]",
    "S12": "S₁₂ [Pa]",
}


@formula(
    symbol="e",
    unit="-",
    equation="e = σ₁/X₁t, −σ₁/X₁c, σ₂/X₂t, −σ₂/X₂c, |τ₁₂|/S₁₂, those below 0 as 0",
    source="kaw-2006, section 2.8.1, maximum stress",
    inputs={"stress": "σ [Pa]", **_STRENGTHS},
)
def max_stress(
    stress: ArrayLike,
    X1t: ArrayLike,
    X1c: ArrayLike,
    X2t: ArrayLike,
    X2c: ArrayLike,
    S12: ArrayLike,
) -> Array:
    """Exposures by the criterion of maximum stress.

    stress : ``(..., 3)``; all strengths ``(...)``, Pa. Gives ``(..., 5)``: COMPONENT_MODES.
    """
    return _each(*_components(stress), (X1t, X1c, X2t, X2c, S12))


@formula(
    symbol="e",
    unit="-",
    equation=(
        "e = as for maximum stress, with E₁ε₁ = σ₁ − ν₁₂σ₂ and E₂ε₂ = σ₂ − ν₁₂(E₂/E₁)σ₁ in place "
        "of σ₁ and σ₂"
    ),
    source="kaw-2006, section 2.8.2, maximum strain",
    inputs={"stress": "σ [Pa]", "E1": "E₁ [Pa]", "E2": "E₂ [Pa]", "nu12": "ν₁₂ [-]", **_STRENGTHS},
    valid="straight stress-strain lines: the strain at failure is X/E, in shear S₁₂/G₁₂",
)
def max_strain(
    stress: ArrayLike,
    E1: ArrayLike,
    E2: ArrayLike,
    nu12: ArrayLike,
    X1t: ArrayLike,
    X1c: ArrayLike,
    X2t: ArrayLike,
    X2c: ArrayLike,
    S12: ArrayLike,
) -> Array:
    """Exposures by the criterion of maximum strain.

    stress : ``(..., 3)``; all moduli and strengths ``(...)``, Pa. The shear modulus cancels. Gives
    ``(..., 5)``: COMPONENT_MODES.
    """
    s1, s2, t = _components(stress)
    nu = array(nu12)
    along, across = s1 - nu * s2, s2 - nu * ratio(E2, E1) * s1
    return _each(along, across, t, (X1t, X1c, X2t, X2c, S12))


# --- Stresses together, without modes -------------------------------------------------------------


@formula(
    symbol="r",
    unit="-",
    equation="r = 1/√((σ₁/X₁)² − σ₁σ₂/X₁² + (σ₂/X₂)² + (τ₁₂/S₁₂)²), X by the sign of its σ",
    source="kaw-2006, section 2.8.3, Tsai and Hill",
    inputs={"stress": "σ [Pa]", **_STRENGTHS},
    valid="the tensile strengths in place of the compressive ones give the form without signs",
)
def tsai_hill(
    stress: ArrayLike,
    X1t: ArrayLike,
    X1c: ArrayLike,
    X2t: ArrayLike,
    X2c: ArrayLike,
    S12: ArrayLike,
) -> Array:
    """Reserve factor by Tsai and Hill.

    stress : ``(..., 3)``; all strengths ``(...)``, Pa. Gives ``(...)``.
    """
    s1, s2, t = _components(stress)
    along, across = by_sign(s1, X1t, X1c), by_sign(s2, X2t, X2c)
    a = share(s1, along)
    index = a * a - a * share(s2, along) + share(s2, across) ** 2 + share(t, S12) ** 2
    seen = judged(stress, known(along), known(across), known(S12))
    return _reserve(np.where(seen, root(index), 0.0))


@formula(
    symbol="r",
    unit="-",
    equation=(
        "(F₁₁σ₁² + F₂₂σ₂² + F₆₆τ₁₂² + 2F₁₂σ₁σ₂) r² + (F₁σ₁ + F₂σ₂) r = 1; F_i = 1/X_it − 1/X_ic, "
        "F_ii = 1/(X_it X_ic), F₆₆ = 1/S₁₂², F₁₂ = F* √(F₁₁F₂₂)"
    ),
    source="kaw-2006, section 2.8.4, Tsai and Wu; tsai-wu-1971",
    inputs={"stress": "σ [Pa]", **_STRENGTHS, "interaction": "F* [-]"},
    valid="F* between −1 and 1; −0.5 where no test under two stresses tells it",
)
def tsai_wu(
    stress: ArrayLike,
    X1t: ArrayLike,
    X1c: ArrayLike,
    X2t: ArrayLike,
    X2c: ArrayLike,
    S12: ArrayLike,
    interaction: ArrayLike = -0.5,
) -> Array:
    """Reserve factor by Tsai and Wu.

    stress : ``(..., 3)``; all strengths ``(...)``, Pa; interaction : F*. Gives ``(...)``. A stress
    along or across needs both its strengths, that in tension and that in compression.
    """
    s1, s2, t = _components(stress)
    a2, b2 = share(s1, X1t) * share(s1, X1c), share(s2, X2t) * share(s2, X2c)
    ab = np.sign(s1) * np.sign(s2) * np.sqrt(a2 * b2)
    quadratic = a2 + b2 + share(t, S12) ** 2 + 2.0 * array(interaction) * ab
    linear = share(s1, X1t) - share(s1, X1c) + share(s2, X2t) - share(s2, X2c)
    seen = judged(stress, known(X1t) & known(X1c), known(X2t) & known(X2c), known(S12))
    return _reserve(np.where(seen, root(quadratic, linear), 0.0))


# --- Hashin ---------------------------------------------------------------------------------------


def _hashin(
    stress: ArrayLike,
    X1t: ArrayLike,
    X1c: ArrayLike,
    X2t: ArrayLike,
    X2c: ArrayLike,
    S12: ArrayLike,
    S23: ArrayLike,
    fibre_shear: ArrayLike,
) -> tuple[Array, Array]:
    """Quadratic and linear part of the index of each mode, 0 where it is not judged."""
    s1, s2, t = _components(stress)
    push, shear = np.maximum(-s2, 0.0), share(t, S12) ** 2
    rolling = np.where(known(S23), S23, S12)
    parts = [
        share(np.maximum(s1, 0.0), X1t) ** 2 + array(fibre_shear) * shear,
        share(np.maximum(-s1, 0.0), X1c) ** 2,
        share(np.maximum(s2, 0.0), X2t) ** 2 + shear,
        (0.5 * share(push, rolling)) ** 2 + shear,
    ]
    pulled, there = _pulled(stress), np.array(True)
    m = matters(array(stress))
    seen = [
        (s1 > 0.0) & m[..., 0] & known(X1t) & (known(S12) | ~m[..., 2] | ~known(fibre_shear)),
        s1 < 0.0,
        pulled & judged(stress, there, known(X2t), known(S12)),
        ~pulled & judged(stress, there, known(X2c) & known(rolling), known(S12)),
    ]
    parts = [np.where(yes, part, 0.0) for yes, part in zip(seen, parts, strict=True)]
    quadratic = np.stack(np.broadcast_arrays(*parts), axis=-1)
    linear = np.zeros(quadratic.shape)
    slope = share(push, X2c) * (1.0 - (0.5 * share(X2c, rolling)) ** 2)
    linear[..., 3] = np.where(seen[3], slope, 0.0)
    return quadratic, linear


_HASHIN = {"stress": "σ [Pa]", **_STRENGTHS, "S23": "S₂₃ [Pa]", "fibre_shear": "α [-]"}
_HASHIN_EQUATION = (
    "fibre tension (σ₁/X₁t)² + α(τ₁₂/S₁₂)², fibre compression (σ₁/X₁c)², "
    "matrix tension (σ₂/X₂t)² + (τ₁₂/S₁₂)², "
    "matrix compression (σ₂/2S₂₃)² + ((X₂c/2S₂₃)² − 1)σ₂/X₂c + (τ₁₂/S₁₂)²"
)
_HASHIN_VALID = "plane stress; S₂₃ where not known is taken as S₁₂; α 1 as published, or 0"


@formula(
    symbol="f",
    unit="-",
    equation=f"f = {_HASHIN_EQUATION}",
    source="hashin-1980 (equations from memory)",
    inputs=_HASHIN,
    valid=_HASHIN_VALID,
)
def hashin_indices(
    stress: ArrayLike,
    X1t: ArrayLike,
    X1c: ArrayLike,
    X2t: ArrayLike,
    X2c: ArrayLike,
    S12: ArrayLike,
    S23: ArrayLike = 0.0,
    fibre_shear: ArrayLike = 1.0,
) -> Array:
    """Failure indices of Hashin as he writes them: 1 at failure, not in proportion to the load.

    stress : ``(..., 3)``; all strengths ``(...)``, Pa; S23 : across the plane of the fibres;
    fibre_shear : weight of the shear in fibre tension. Gives ``(..., 4)``: HASHIN_MODES.
    """
    quadratic, linear = _hashin(stress, X1t, X1c, X2t, X2c, S12, S23, fibre_shear)
    return quadratic + linear


@formula(
    symbol="e",
    unit="-",
    equation=f"e = 1/r, where r times the stress makes 1 of: {_HASHIN_EQUATION}",
    source="hashin-1980 (equations from memory)",
    inputs=_HASHIN,
    valid=_HASHIN_VALID,
)
def hashin(
    stress: ArrayLike,
    X1t: ArrayLike,
    X1c: ArrayLike,
    X2t: ArrayLike,
    X2c: ArrayLike,
    S12: ArrayLike,
    S23: ArrayLike = 0.0,
    fibre_shear: ArrayLike = 1.0,
) -> Array:
    """Exposures by Hashin: fibre and matrix, in tension and in compression.

    stress : ``(..., 3)``; all strengths ``(...)``, Pa; S23 : across the plane of the fibres;
    fibre_shear : weight of the shear in fibre tension. Gives ``(..., 4)``: HASHIN_MODES.
    """
    return root(*_hashin(stress, X1t, X1c, X2t, X2c, S12, S23, fibre_shear))


# --- Puck -----------------------------------------------------------------------------------------


def _action_plane(X2c: ArrayLike, S12: ArrayLike, slope: ArrayLike) -> tuple[Array, Array]:
    """Strength R_A of the plane of action against shear across, and the slope there."""
    p, s = array(slope), np.where(known(S12), S12, 1.0)
    strength = ratio(X2c, 1.0 + np.sqrt(1.0 + 2.0 * p * ratio(X2c, s)))
    return strength, p * strength / s


_PUCK_EQUATION = (
    "σ₁/X₁t, −σ₁/X₁c, "
    "A: √((τ₁₂/S₁₂)² + (1 − pt X₂t/S₁₂)²(σ₂/X₂t)²) + pt σ₂/S₁₂, "
    "B: (√(τ₁₂² + (pc σ₂)²) + pc σ₂)/S₁₂, "
    "C: ((τ₁₂/(2(1 + p⊥)S₁₂))² + (σ₂/X₂c)²) X₂c/(−σ₂); "
    "R_A = X₂c/(1 + √(1 + 2pc X₂c/S₁₂)), p⊥ = pc R_A/S₁₂, B where |σ₂/τ₁₂| ≤ R_A/(S₁₂√(1 + 2p⊥))"
)


@formula(
    symbol="e",
    unit="-",
    equation=f"e = {_PUCK_EQUATION}",
    source="puck-1998 (equations from memory)",
    inputs={
        "stress": "σ [Pa]",
        **_STRENGTHS,
        "slope_tension": "pt [-]",
        "slope_compression": "pc [-]",
    },
    valid="plane stress, no weakening by σ₁; slopes 0.30, 0.25 for glass, 0.35, 0.30 for carbon",
)
def puck(
    stress: ArrayLike,
    X1t: ArrayLike,
    X1c: ArrayLike,
    X2t: ArrayLike,
    X2c: ArrayLike,
    S12: ArrayLike,
    slope_tension: ArrayLike = PUCK_GLASS[0],
    slope_compression: ArrayLike = PUCK_GLASS[1],
) -> Array:
    """Exposures by Puck: fibre failure, and cracks between fibres of the modes A, B and C.

    stress : ``(..., 3)``; all strengths ``(...)``, Pa; slopes : of the fracture curve. Gives
    ``(..., 5)``: PUCK_MODES.
    """
    s1, s2, t = _components(stress)
    pull, push, shear = np.maximum(s2, 0.0), np.maximum(-s2, 0.0), share(np.abs(t), S12)
    lean = array(slope_tension) * share(pull, S12)
    opened = np.sqrt(shear**2 + (share(pull, X2t) - lean) ** 2) + lean
    lean = array(slope_compression) * share(push, S12)
    sheared = np.sqrt(shear**2 + lean**2) - lean
    plane, slope = _action_plane(X2c, S12, slope_compression)
    bent = 0.5 * shear / (1.0 + slope)
    wedge = share(push, X2c) + ratio(bent**2, share(push, X2c))
    pulled, there = _pulled(stress), np.array(True)
    flat = known(S12) & (push * array(S12) * np.sqrt(1.0 + 2.0 * slope) <= plane * np.abs(t))
    cracked = ~pulled & judged(stress, there, known(X2c), known(S12))
    between = [
        np.where(pulled & judged(stress, there, known(X2t), known(S12)), opened, 0.0),
        np.where(cracked & flat, sheared, 0.0),
        np.where(cracked & ~flat, wedge, 0.0),
    ]
    fibre = [share(np.maximum(s1, 0.0), X1t), share(np.maximum(-s1, 0.0), X1c)]
    return np.stack(np.broadcast_arrays(*fibre, *between), axis=-1)


@formula(
    symbol="θ",
    unit="rad",
    equation="θ: cos²θ = e R_A/(−σ₂) in mode C, 0 in the others",
    source="puck-1998 (equations from memory)",
    inputs={
        "stress": "σ [Pa]",
        "exposures": "e of each mode [-]",
        "X2c": "X₂c [Pa]",
        "S12": "S₁₂ [Pa]",
        "slope_compression": "pc [-]",
    },
)
def puck_fracture_angle(
    stress: ArrayLike,
    exposures: ArrayLike,
    X2c: ArrayLike,
    S12: ArrayLike,
    slope_compression: ArrayLike = PUCK_GLASS[1],
) -> Array:
    """Angle of the crack from the normal of the layer: steep cracks cross, wedges push it apart.

    stress : ``(..., 3)``, Pa; exposures : of :func:`puck`, ``(..., 5)``; all strengths ``(...)``,
    Pa; slope_compression : of the fracture curve. Gives ``(...)``, rad.
    """
    e, s2 = array(exposures)[..., 4], _components(stress)[1]
    plane, _ = _action_plane(X2c, S12, slope_compression)
    cosine = np.sqrt(np.clip(ratio(e * plane, np.maximum(-s2, 0.0)), 0.0, 1.0))
    return np.where(e > 0.0, np.arccos(cosine), 0.0)


# --- Through the thickness ------------------------------------------------------------------------


@formula(
    symbol="r",
    unit="-",
    equation="r = 1/√((τ₁₃/S₁₃)² + (τ₂₃/S₂₃)²)",
    source="common practice: the quadratic sum of both shears",
    inputs={"shear": "τ₁₃, τ₂₃ [Pa]", "S13": "S₁₃ [Pa]", "S23": "S₂₃ [Pa]"},
)
def transverse_shear_reserve(shear: ArrayLike, S13: ArrayLike, S23: ArrayLike) -> Array:
    """Reserve factor of a layer, of cloth or of core, against shear through its thickness.

    shear : in the axes of the layer, ``(..., 2)``, Pa; all strengths ``(...)``, Pa. Gives
    ``(...)``; each shear that acts needs its own strength.
    """
    t = array(shear)
    m = matters(t)
    seen = (known(S13) | ~m[..., 0]) & (known(S23) | ~m[..., 1])
    index = share(t[..., 0], S13) ** 2 + share(t[..., 1], S23) ** 2
    return _reserve(np.where(seen, root(index), 0.0))


@formula(
    symbol="X",
    unit="Pa",
    equation="X = min(X_a, X_b, X_g) of those that are known",
    source="definition: what is glued parts at its weakest",
    inputs={"below": "X_a [Pa]", "above": "X_b [Pa]", "glue": "X_g [Pa]"},
)
def interface_strength(below: ArrayLike, above: ArrayLike, glue: ArrayLike = 0.0) -> Array:
    """Strength between two layers: the weakest of both neighbours and the glue.

    All broadcast, Pa; 0 for one that is not known or not there, and where none is known.
    """
    parts = [np.where(known(part), part, np.inf) for part in (below, above, glue)]
    least = np.minimum(np.minimum(parts[0], parts[1]), parts[2])
    return np.where(np.isfinite(least), least, 0.0)


@formula(
    symbol="r",
    unit="-",
    equation="r = 1/√((τ/S)² + (σ_z/Z)²), σ_z counted in tension only",
    source="brewer-lagace-1988 (from memory), quadratic criterion of delamination",
    inputs={
        "shear": "τ_xz, τ_yz [Pa]",
        "shear_strength": "S [Pa]",
        "normal": "σ_z [Pa]",
        "normal_strength": "Z [Pa]",
    },
    valid="an interface as strong in shear one way as the other: give the lesser",
)
def interlaminar_reserve(
    shear: ArrayLike,
    shear_strength: ArrayLike,
    normal: ArrayLike = 0.0,
    normal_strength: ArrayLike = 0.0,
) -> Array:
    """Reserve factor of an interface between layers.

    shear : both directions, ``(..., 2)``, Pa; normal : tension across the interface is positive;
    all strengths ``(...)``, Pa. Gives ``(...)``.
    """
    t = array(shear)
    along, pull = np.hypot(t[..., 0], t[..., 1]), np.maximum(array(normal), 0.0)
    both = np.stack(np.broadcast_arrays(along, pull), axis=-1)
    return transverse_shear_reserve(both, shear_strength, normal_strength)
