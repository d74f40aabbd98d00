"""One layer as an orthotropic plate: stiffness in its own axes and in those of the panel.

Axis 1 runs along the fibre, the grain or the ribbon; angles are counter-clockwise from x to 1, seen
from outside, in rad. Symmetric 3 x 3 matrices in (11, 22, 12) are kept as six components on the
last axis, in the order 11, 12, 22, 16, 26, 66: a stack of shape ``(..., L)`` has stiffness
``(..., L, 6)``.
"""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.working import formula

#: Order of the six components of a symmetric plane matrix.
COMPONENTS = ("11", "12", "22", "16", "26", "66")
_ROWS = np.array([[0, 1, 3], [1, 2, 4], [3, 4, 5]])


def matrix(components: ArrayLike) -> Array:
    """Six components as a symmetric 3 x 3 matrix: ``(..., 6)`` to ``(..., 3, 3)``."""
    return array(components)[..., _ROWS]


def components(matrices: ArrayLike) -> Array:
    """A symmetric 3 x 3 matrix as its six components: ``(..., 3, 3)`` to ``(..., 6)``."""
    m = array(matrices)
    return np.stack(
        [m[..., 0, 0], m[..., 0, 1], m[..., 1, 1], m[..., 0, 2], m[..., 1, 2], m[..., 2, 2]],
        axis=-1,
    )


@formula(
    symbol="x_k",
    unit="as x",
    equation="x_k = the k-th of several results",
    source="definition",
    inputs={"values": "x [any]", "which": "k [-]"},
)
def part(values: ArrayLike, which: int) -> Array:
    """One of several results that a formula gives together.

    values : ``(..., K)``; which : 0 to K - 1. Gives ``(...)``.
    """
    return array(values)[..., which]


@formula(
    symbol="Q",
    unit="Pa",
    equation=(
        "Q₁₁ = E₁/(1 − ν₁₂ν₂₁), Q₂₂ = E₂/(1 − ν₁₂ν₂₁), Q₁₂ = ν₁₂Q₂₂, Q₆₆ = G₁₂; ν₂₁ = ν₁₂E₂/E₁"
    ),
    source="kaw-2006, equations 2.93",
    inputs={"E1": "E₁ [Pa]", "E2": "E₂ [Pa]", "G12": "G₁₂ [Pa]", "nu12": "ν₁₂ [-]"},
    valid="plane stress; ν₁₂² < E₁/E₂",
)
def reduced_stiffness(E1: ArrayLike, E2: ArrayLike, G12: ArrayLike, nu12: ArrayLike) -> Array:
    """Plane-stress stiffness of a layer in its own axes.

    All of shape ``(..., L)``, Pa. Gives ``(..., L, 6)``; zero for a layer with E1 = 0.
    """
    nu = array(nu12)
    nu21 = nu * ratio(E2, E1)
    free = 1.0 - nu * nu21
    q11, q22 = array(E1) / free, array(E2) / free
    q12, q66 = nu * q22, array(G12) + 0.0 * free
    none = 0.0 * (q11 + q66)
    return np.stack([q11 + none, q12 + none, q22 + none, none, none, q66 + none], axis=-1)


@formula(
    symbol="U",
    unit="Pa",
    equation=(
        "U₁ = (3Q₁₁ + 3Q₂₂ + 2Q₁₂ + 4Q₆₆)/8, U₂ = (Q₁₁ − Q₂₂)/2, "
        "U₃ = (Q₁₁ + Q₂₂ − 2Q₁₂ − 4Q₆₆)/8, U₄ = (Q₁₁ + Q₂₂ + 6Q₁₂ − 4Q₆₆)/8, "
        "U₅ = (Q₁₁ + Q₂₂ − 2Q₁₂ + 4Q₆₆)/8"
    ),
    source="tsai-pagano-1968",
    inputs={"stiffness": "Q [Pa]"},
    valid="orthotropic: Q₁₆ = Q₂₆ = 0",
)
def invariants(stiffness: ArrayLike) -> Array:
    """The five linear combinations of a layer's stiffness that turning it does not mix.

    stiffness : in the layer's axes, ``(..., 6)``. Gives ``(..., 5)``.
    """
    q = array(stiffness)
    q11, q12, q22, q66 = q[..., 0], q[..., 1], q[..., 2], q[..., 5]
    u1 = (3.0 * (q11 + q22) + 2.0 * q12 + 4.0 * q66) / 8.0
    u2 = (q11 - q22) / 2.0
    u3 = (q11 + q22 - 2.0 * q12 - 4.0 * q66) / 8.0
    u4 = (q11 + q22 + 6.0 * q12 - 4.0 * q66) / 8.0
    u5 = (q11 + q22 - 2.0 * q12 + 4.0 * q66) / 8.0
    return np.stack([u1, u2, u3, u4, u5], axis=-1)


@formula(
    symbol="Q̄",
    unit="Pa",
    equation=(
        "Q̄₁₁ = U₁ + U₂cos2θ + U₃cos4θ, Q̄₂₂ = U₁ − U₂cos2θ + U₃cos4θ, Q̄₁₂ = U₄ − U₃cos4θ, "
        "Q̄₆₆ = U₅ − U₃cos4θ, Q̄₁₆ = U₂sin2θ/2 + U₃sin4θ, Q̄₂₆ = U₂sin2θ/2 − U₃sin4θ"
    ),
    source="tsai-pagano-1968",
    inputs={"combinations": "U [Pa]", "angle": "θ [rad]"},
)
def turned_stiffness(combinations: ArrayLike, angle: ArrayLike) -> Array:
    """Stiffness of a layer in the axes of the panel.

    combinations : of :func:`invariants`, ``(..., L, 5)``; angle : from x to axis 1, ``(..., L)``,
    rad. Gives ``(..., L, 6)``.
    """
    u = array(combinations)
    theta = array(angle)
    c2, s2 = np.cos(2.0 * theta), np.sin(2.0 * theta)
    c4, s4 = 2.0 * c2 * c2 - 1.0, 2.0 * s2 * c2
    u1, u2, u3, u4, u5 = (u[..., index] for index in range(5))
    shear, twist = 0.5 * u2 * s2, u3 * s4
    even = u3 * c4
    return np.stack(
        [
            u1 + u2 * c2 + even,
            u4 - even,
            u1 - u2 * c2 + even,
            shear + twist,
            shear - twist,
            u5 - even,
        ],
        axis=-1,
    )


@formula(
    symbol="G",
    unit="Pa",
    equation="G_xz = G₁₃cos²θ + G₂₃sin²θ, G_yz = G₁₃sin²θ + G₂₃cos²θ, G_x·y = (G₁₃ − G₂₃)sinθcosθ",
    source="definition: turning a vector of shear",
    inputs={"G13": "G₁₃ [Pa]", "G23": "G₂₃ [Pa]", "angle": "θ [rad]"},
)
def turned_shear(G13: ArrayLike, G23: ArrayLike, angle: ArrayLike) -> Array:
    """Through-thickness shear stiffness of a layer in the axes of the panel.

    All of shape ``(..., L)``. Gives (xz, yz, coupling) as ``(..., L, 3)``, Pa.
    """
    theta = array(angle)
    c, s = np.cos(theta), np.sin(theta)
    g1, g2 = array(G13), array(G23)
    return np.stack([g1 * c * c + g2 * s * s, g1 * s * s + g2 * c * c, (g1 - g2) * s * c], axis=-1)


@formula(
    symbol="α",
    unit="1/K or 1/%",
    equation="α_x = α₁cos²θ + α₂sin²θ, α_y = α₁sin²θ + α₂cos²θ, α_xy = 2(α₁ − α₂)sinθcosθ",
    source="kaw-2006, section 2.9",
    inputs={"along": "α₁ [1/K]", "across": "α₂ [1/K]", "angle": "θ [rad]"},
)
def turned_expansion(along: ArrayLike, across: ArrayLike, angle: ArrayLike) -> Array:
    """Free strain of a layer for one step of heat or moisture, in the axes of the panel.

    along, across : in its own axes, ``(..., L)``; angle : from x to axis 1, rad. Gives (x, y, xy)
    as ``(..., L, 3)``.
    """
    theta = array(angle)
    c, s = np.cos(theta), np.sin(theta)
    a1, a2 = array(along), array(across)
    return np.stack(
        [a1 * c * c + a2 * s * s, a1 * s * s + a2 * c * c, 2.0 * (a1 - a2) * s * c], axis=-1
    )


@formula(
    symbol="S̄",
    unit="1/Pa",
    equation="S̄(φ) = T(φ)ᵀ S T(φ)",
    source="kaw-2006, equations 2.101 to 2.103",
    inputs={"compliance": "S [1/Pa]", "angle": "φ [rad]"},
)
def turned_compliance(compliance: ArrayLike, angle: ArrayLike) -> Array:
    """A plane compliance seen in axes turned by an angle: x' lies at the angle to x.

    compliance : ``(..., 6)`` with engineering shear; angle : rad, broadcasts with ``(...)``.
    Gives ``(..., 6)``.
    """
    s = matrix(compliance)
    theta = array(angle)
    c, n = np.cos(theta), np.sin(theta)
    # stress in x, y from stress in x', y'
    t = np.stack(
        [
            np.stack([c * c, n * n, -2.0 * n * c], axis=-1),
            np.stack([n * n, c * c, 2.0 * n * c], axis=-1),
            np.stack([n * c, -n * c, c * c - n * n], axis=-1),
        ],
        axis=-2,
    )
    return components(np.swapaxes(t, -1, -2) @ s @ t)


@formula(
    symbol="ε₁",
    unit="-",
    equation=(
        "ε₁ = c²ε_x + s²ε_y + cs γ_xy, ε₂ = s²ε_x + c²ε_y − cs γ_xy, "
        "γ₁₂ = 2cs(ε_y − ε_x) + (c² − s²)γ_xy"
    ),
    source="kaw-2006, equation 2.99",
    inputs={"strains": "ε_x, ε_y, γ_xy [-]", "angle": "θ [rad]"},
)
def own_strains(strains: ArrayLike, angle: ArrayLike) -> Array:
    """Strains along, across and in shear in the axes of a layer, from those of the panel.

    strains : ``(..., 3)``; angle : ``(...)``. Gives ``(..., 3)``.
    """
    return _in_own_axes(array(strains), array(angle))


@formula(
    symbol="ε₁",
    unit="-",
    equation=(
        "ε₁ = c²ε_x + s²ε_y + cs γ_xy, ε₂ = s²ε_x + c²ε_y − cs γ_xy, "
        "γ₁₂ = 2cs(ε_y − ε_x) + (c² − s²)γ_xy, at the outer and the inner face"
    ),
    source="kaw-2006, equation 2.99",
    inputs={"strains": "ε_x, ε_y, γ_xy of both faces [-]", "angle": "θ [rad]"},
)
def own_strains_of_faces(strains: ArrayLike, angle: ArrayLike) -> Array:
    """Strains along, across and in shear at both faces of each layer, in its own axes.

    strains : ``(..., L, 2, 3)``; angle : ``(..., L)``. Gives ``(..., L, 2, 3)``.
    """
    return _in_own_axes(array(strains), array(angle)[..., None])


def _in_own_axes(e: Array, angle: Array) -> Array:
    c, s = np.cos(angle), np.sin(angle)
    x, y, xy = e[..., 0], e[..., 1], e[..., 2]
    return np.stack(
        [
            c * c * x + s * s * y + c * s * xy,
            s * s * x + c * c * y - c * s * xy,
            2.0 * c * s * (y - x) + (c * c - s * s) * xy,
        ],
        axis=-1,
    )
