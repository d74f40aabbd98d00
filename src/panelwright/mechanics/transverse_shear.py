"""Transverse shear stiffness of any lay-up, from equilibrium and complementary energy.

A panel is bent cylindrically about y, then about x. Its shear force is the change of the bending
moment, so the shear stress at a height follows from equilibrium of what lies below it, whatever the
layers are. The energy of that stress gives the stiffness: no correction factor is guessed.

Bending along x: strains across (y) are held at zero, in-plane shear is free and its force is nil.
So the pair (11, 16; 16, 66) of the stiffness matters, and for bending across the pair (22, 26; 26,
66). For layers along the axes this is the one-dimensional result with Q11.
"""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.working import formula

#: Components (normal, coupling, shear) of the pair for bending along and across.
_PAIRS = ((0, 3, 5), (2, 4, 5))
#: Three points of Gauss (share of the layer below them) and weights: exact for the square of a
#: parabola.
GAUSS_POINTS = (1.0 + np.array([-np.sqrt(0.6), 0.0, np.sqrt(0.6)])) / 2.0
GAUSS_WEIGHTS = np.array([5.0, 8.0, 5.0]) / 18.0


def _inverse(a: Array, b: Array, d: Array) -> tuple[Array, Array, Array]:
    """Inverse of symmetric 2 x 2 matrices, by their components."""
    free = a * d - b * b
    return d / free, -b / free, a / free


def _bent(sums: tuple[Array, Array, Array], pair: tuple[int, int, int]) -> tuple[Array, ...]:
    """Two curvatures for a unit moment in one pair, then the two strains that go with them.

    sums : A, B, D, ``(..., 6)``. The strain at a height z is that curvature times z, less these.
    """
    (a0, a1, a2), (b0, b1, b2), (d0, d1, d2) = ([m[..., place] for place in pair] for m in sums)
    i0, i1, i2 = _inverse(a0, a1, a2)
    shift = i0 * b0 + i1 * b1, i0 * b1 + i1 * b2, i1 * b0 + i2 * b1, i1 * b1 + i2 * b2  # A⁻¹ B
    k0, k1, _ = _inverse(
        d0 - b0 * shift[0] - b1 * shift[2],
        d1 - b0 * shift[1] - b1 * shift[3],
        d2 - b1 * shift[1] - b2 * shift[3],
    )
    return k0, k1, shift[0] * k0 + shift[1] * k1, shift[2] * k0 + shift[3] * k1


def from_the_inside(parts: Array) -> Array:
    """What lies below each layer, ``(..., L)``: the sum of those nearer the inside."""
    return np.flip(np.cumsum(np.flip(parts, axis=-1), axis=-1), axis=-1) - parts


@formula(
    symbol="τ",
    unit="1/m",
    equation="τ(z) = −∫ Q̄ (z − A⁻¹B) D*⁻¹ dz from the inside face, D* = D − B A⁻¹ B",
    source="whitney-1973, equilibrium shear of cylindrical bending",
    inputs={
        "stiffness": "Q̄_i [Pa]",
        "thickness": "t_i [m]",
        "heights": "z_i [m]",
        "extension": "A [N/m]",
        "coupling": "B [N]",
        "bending": "D [N m]",
    },
)
def shear_flow(
    stiffness: ArrayLike,
    thickness: ArrayLike,
    heights: ArrayLike,
    extension: ArrayLike,
    coupling: ArrayLike,
    bending: ArrayLike,
) -> Array:
    """Shear stress through the thickness for a unit shear force along, then across.

    stiffness : ``(..., L, 6)``; thickness, heights : ``(..., L)``; extension, coupling, bending :
    A, B and D, ``(..., 6)``. Gives ``(..., L, 3, 2, 2)``: at three Gauss points of each layer from
    the inside up, stress xz and yz, for the force along x and along y.
    """
    q, t, z = array(stiffness), array(thickness), array(heights)
    sums = (array(extension), array(coupling), array(bending))
    flow = np.empty((*np.broadcast_shapes(q.shape[:-1], t.shape, z.shape), 3, 2, 2))
    for way, (normal, both, shear) in enumerate(_PAIRS):
        k0, k1, e0, e1 = (values[..., None] for values in _bent(sums, (normal, both, shear)))
        # stress at the middle of a layer, its rise over the layer, and their sums from the inside
        s0, s1 = z * k0 - e0, z * k1 - e1
        for stress, (first, second) in ((way, (normal, both)), (1 - way, (both, shear))):
            through = t * (q[..., first] * s0 + q[..., second] * s1)
            bow = 0.5 * t * t * (q[..., first] * k0 + q[..., second] * k1)
            below = from_the_inside(through)
            for point, up in enumerate(GAUSS_POINTS):
                flow[..., point, stress, way] = up * (1.0 - up) * bow - up * through - below
    return flow


@formula(
    symbol="τ",
    unit="Pa",
    equation=(
        "τ_xz(z) = −∫ (σ_x,x + τ_xy,y) dz, τ_yz(z) = −∫ (τ_xy,x + σ_y,y) dz from the inside face, "
        "σ = Q̄_i (ε + z κ)"
    ),
    source="pagano-1970 (from memory), equilibrium of a slice in the plane",
    inputs={
        "stiffness": "Q̄_i [Pa]",
        "thickness": "t_i [m]",
        "heights": "z_i [m]",
        "along": "ε,x κ,x [1/m, 1/m²]",
        "across": "ε,y κ,y [1/m, 1/m²]",
    },
)
def shear_of_slopes(
    stiffness: ArrayLike,
    thickness: ArrayLike,
    heights: ArrayLike,
    along: ArrayLike,
    across: ArrayLike,
) -> Array:
    """Shear stress through the thickness where bending and twisting change from place to place.

    stiffness : ``(..., L, 6)``; thickness, heights : ``(..., L)``; along, across : how strains and
    curvatures change along x and y, ``(..., 6)``. Gives ``(..., L, 3, 2)``: at three Gauss points
    of each layer from the inside up, stress xz and yz.
    """
    q, t, z = array(stiffness), array(thickness), array(heights)
    x, y = array(along)[..., None, :], array(across)[..., None, :]
    made = []
    for first, second in (((0, 1, 3), (3, 4, 5)), ((3, 4, 5), (1, 2, 4))):
        level, rise = (
            np.sum(q[..., first] * x[..., part] + q[..., second] * y[..., part], axis=-1)
            for part in (slice(0, 3), slice(3, 6))
        )
        through, bow = t * (level + z * rise), 0.5 * t * t * rise
        below = from_the_inside(through)
        made.append([up * (1.0 - up) * bow - up * through - below for up in GAUSS_POINTS])
    return array(np.moveaxis(np.array(made), (0, 1), (-1, -2)))


@formula(
    symbol="τ",
    unit="Pa",
    equation="τ = τ_s + τ₁ (Q − Q_s), Q_s = Σ t_i ∫ τ_s",
    source="whitney-1973, what lacks of the shear force as in cylindrical bending",
    inputs={
        "of_slopes": "τ_s [Pa]",
        "flow": "τ [1/m]",
        "force": "Q [N/m]",
        "thickness": "t_i [m]",
    },
)
def shear_under_force(
    of_slopes: ArrayLike, flow: ArrayLike, force: ArrayLike, thickness: ArrayLike
) -> Array:
    """Shear stress through the thickness that adds up to the shear force.

    of_slopes : of :func:`shear_of_slopes`, ``(..., L, 3, 2)``; flow : of :func:`shear_flow`;
    force : xz and yz, ``(..., 2)``, N/m; thickness : ``(..., L)``, m. Gives ``(..., L, 3, 2)``.

    Slopes of a solution by sums are less exact than its shear force, but they know which share of
    it comes from twisting: in timber or crossed plies that share runs otherwise through the
    thickness. So the slopes give the shape and the force the amount.
    """
    shape = array(of_slopes)
    found = np.einsum("...l,...lpw,p->...w", array(thickness), shape, GAUSS_WEIGHTS)
    lacks = (array(force) - found)[..., None, None, None, :]
    return array(shape + np.sum(array(flow) * lacks, axis=-1))


@formula(
    symbol="1/S_i",
    unit="m/N",
    equation="1/S_i = ∫ τᵀ Ḡ⁻¹ τ dz over the layer",
    source="whitney-1973, complementary energy",
    inputs={"flow": "τ [1/m]", "shear": "Ḡ_i [Pa]", "thickness": "t_i [m]"},
)
def shear_flexibilities(flow: ArrayLike, shear: ArrayLike, thickness: ArrayLike) -> Array:
    """What each layer gives in transverse shear.

    flow : of :func:`shear_flow`; shear : (xz, yz, coupling), ``(..., L, 3)``, Pa; thickness :
    ``(..., L)``, m. Gives ``(..., L, 2, 2)``; their sum is the flexibility of the panel. A layer
    without shear stiffness is left out: a film of unknown moduli neither stiffens nor softens.
    """
    g = array(shear)
    xz, yz, both = g[..., 0], g[..., 1], g[..., 2]
    over = ratio(thickness, xz * yz - both * both)
    # components first: sums over the points then run along the memory
    x, y = np.ascontiguousarray(np.moveaxis(array(flow), (-2, -1), (0, 1)))

    def energy(a: int, b: int) -> Array:
        own = yz * ((x[a] * x[b]) @ GAUSS_WEIGHTS) + xz * ((y[a] * y[b]) @ GAUSS_WEIGHTS)
        return array(over * (own - both * ((x[a] * y[b] + y[a] * x[b]) @ GAUSS_WEIGHTS)))

    along, coupled, across = energy(0, 0), energy(0, 1), energy(1, 1)
    rows = (np.stack([along, coupled], axis=-1), np.stack([coupled, across], axis=-1))
    return np.stack(rows, axis=-2)


@formula(
    symbol="S",
    unit="N/m",
    equation="S = (Σ 1/S_i)⁻¹",
    source="whitney-1973, complementary energy",
    inputs={"flexibilities": "1/S_i [m/N]"},
)
def shear_stiffness(flexibilities: ArrayLike) -> Array:
    """Transverse shear stiffness of the panel, per width.

    flexibilities : ``(..., L, 2, 2)``. Gives the symmetric ``(..., 2, 2)`` for (xz, yz), N/m.
    """
    soft = np.sum(array(flexibilities), axis=-3)
    a, b, d = _inverse(soft[..., 0, 0], soft[..., 0, 1], soft[..., 1, 1])
    return np.stack([np.stack([a, b], axis=-1), np.stack([b, d], axis=-1)], axis=-2)


@formula(
    symbol="share",
    unit="-",
    equation="share_i = (1/S_i)/Σ",
    source="definition",
    inputs={"flexibilities": "1/S_i [m/N]"},
)
def shear_shares(flexibilities: ArrayLike) -> Array:
    """Share of each layer in what the panel gives in shear, along and across.

    flexibilities : ``(..., L, 2, 2)``. Gives ``(..., L, 2)``, summing to 1.
    """
    own = np.diagonal(array(flexibilities), axis1=-2, axis2=-1)
    return array(own / np.sum(own, axis=-2, keepdims=True))


@formula(
    symbol="τ₁₃",
    unit="1/m",
    equation="τ₁₃ = |c τ_xz + s τ_yz|, τ₂₃ = |c τ_yz − s τ_xz|; within the layer at its top",
    source="whitney-1973: the parabola through its three points, at its ends and its top",
    inputs={"flow": "τ [1/m]", "angle": "θ [rad]"},
)
def shear_by_place(flow: ArrayLike, angle: ArrayLike) -> Array:
    """Shear stress along 1 and 2 at the outer face of each layer, within it, at its inner face.

    flow : of :func:`shear_flow`, ``(..., L, 3, 2, 2)``; angle : ``(..., L)``. Gives
    ``(..., L, 3, 2, 2)``: at the three places, stress 13 and 23, for a unit shear force along x and
    along y. At a face it is that of the interface; within, the top of its parabola, or 0 where
    that lies outside.
    """
    return _by_place(_in_layer(array(flow), array(angle)))


@formula(
    symbol="τ₁₃",
    unit="Pa",
    equation="τ₁₃ = |c τ_xz + s τ_yz|, τ₂₃ = |c τ_yz − s τ_xz|; within the layer at its top",
    source="whitney-1973: the parabola through its three points, at its ends and its top",
    inputs={"stress": "τ_xz, τ_yz at three points [Pa]", "angle": "θ [rad]"},
)
def shear_stress_by_place(stress: ArrayLike, angle: ArrayLike) -> Array:
    """Shear stress along 1 and 2 in each layer, at the places of :func:`shear_by_place`.

    stress : of :func:`shear_under_force`, ``(..., L, 3, 2)``; angle : ``(..., L)``. Gives
    ``(..., L, 3, 2)``: at the three places, stress 13 and 23.
    """
    return array(_by_place(_in_layer(array(stress)[..., None], array(angle)))[..., 0])


def _in_layer(flow: Array, angle: Array) -> Array:
    """Stress xz and yz on the last axis but one, turned into the axes of the layers."""
    c, s = (turn(angle)[..., None, None] for turn in (np.cos, np.sin))
    x, y = flow[..., 0, :], flow[..., 1, :]
    return np.stack([c * x + s * y, c * y - s * x], axis=-2)


def _by_place(own: Array) -> Array:
    """Size of parabolas through three Gauss points at their outer end, within, at the inner end."""
    low, middle, high = own[..., 0, :, :], own[..., 1, :, :], own[..., 2, :, :]
    reach = np.sqrt(0.6)
    slope, bow = (high - low) / (2.0 * reach), (high + low - 2.0 * middle) / 1.2
    top = -ratio(slope, 2.0 * bow)

    def at(place: ArrayLike) -> Array:
        return array(np.abs(middle + slope * array(place) + bow * array(place) ** 2))

    within = np.where(np.abs(top) < 1.0, at(np.clip(top, -1.0, 1.0)), 0.0)
    return np.stack([at(1.0), within, at(-1.0)], axis=-3)
