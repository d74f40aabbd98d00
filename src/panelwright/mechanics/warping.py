"""How a cross-section warps where shear is soft: what straight normals leave out of the stresses.

Shear strain differs from layer to layer, so a normal does not stay straight: it bends at every
layer by what the shear stress there, over its modulus, says. Where the shear force changes from
place to place, so does that warp, and stretches the layers: a face on a soft core bends by itself.
Forces and moments of the panel are those that its strains and curvatures say already; what the warp
would add to them is taken out again.

The warp is that of a long way from where it is held or let go: at a clamped or a free edge, under a
line or a narrow patch, it is not.
"""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.mechanics.lamina import matrix
from panelwright.mechanics.transverse_shear import (
    GAUSS_POINTS,
    GAUSS_WEIGHTS,
    from_the_inside,
)
from panelwright.working import formula

#: Places in a layer, as shares of it from its inside face: there, three points of Gauss, outside.
_PLACES = np.array([0.0, *GAUSS_POINTS, 1.0])


def _sums_to_places() -> Array:
    """Integral from 0 to each place of the parabola through three points, ``(5, 3)``."""
    powers = np.arange(3)
    through = np.linalg.inv(GAUSS_POINTS[:, None] ** powers)
    return array((_PLACES[:, None] ** (powers + 1) / (powers + 1.0)) @ through)


_SUMS = _sums_to_places()


@formula(
    symbol="ψ",
    unit="m²/N",
    equation="ψ(z) = ∫ Ḡ⁻¹ τ dz from the inside face",
    source="whitney-1972 (from memory), the displacement that goes with shear from equilibrium",
    inputs={"flow": "τ [1/m]", "shear": "Ḡ_i [Pa]", "thickness": "t_i [m]"},
)
def warp(flow: ArrayLike, shear: ArrayLike, thickness: ArrayLike) -> Array:
    """Displacement along x and y through the thickness for a unit shear force along, then across.

    flow : of :func:`panelwright.mechanics.transverse_shear.shear_flow`; shear : (xz, yz,
    coupling), ``(..., L, 3)``, Pa; thickness : ``(..., L)``, m. Gives ``(..., L, 5, 2, 2)``: at the
    inside face of each layer, three Gauss points, its outside face; displacement along x and y,
    for the force along x and along y. A layer without shear stiffness does not warp.
    """
    stress, g = array(flow), array(shear)
    xz, yz, both = (g[..., part, None, None] for part in range(3))
    over = ratio(array(thickness)[..., None, None], xz * yz - both * both)
    x, y = stress[..., 0, :], stress[..., 1, :]
    strain = np.stack([over * (yz * x - both * y), over * (xz * y - both * x)], axis=-2)
    within = np.einsum("sp,...pif->...sif", _SUMS, strain)
    whole = np.moveaxis(within[..., -1, :, :], -3, -1)
    return array(within + np.moveaxis(from_the_inside(whole), -1, -3)[..., None, :, :])


@formula(
    symbol="ε_ψ",
    unit="m/N",
    equation="ε_ψ = ∇ψ Q − (ε₀ + z κ₀), K [ε₀; κ₀] = ∫ [1; z] Q̄ ∇ψ Q dz",
    source="whitney-1972 (from memory), less the part that adds to a force or a moment",
    inputs={
        "warped": "ψ [m²/N]",
        "stiffness": "Q̄_i [Pa]",
        "thickness": "t_i [m]",
        "heights": "z_i [m]",
        "compliance": "C = K⁻¹ [m/N, 1/N, 1/(N m)]",
    },
)
def warp_strains(
    warped: ArrayLike,
    stiffness: ArrayLike,
    thickness: ArrayLike,
    heights: ArrayLike,
    compliance: ArrayLike,
) -> Array:
    """Strains of the warp at both faces of each layer, for a unit slope of the shear force.

    warped : of :func:`warp`; stiffness : ``(..., L, 6)``, Pa; thickness, heights : ``(..., L)``,
    m; compliance : of :func:`panelwright.mechanics.laminate.whole_compliance`. Gives
    ``(..., L, 2, 3, 4)``: outer face first, strains in the axes of the panel, for the slopes along
    x of the forces xz and yz, then for those along y.
    """
    moved, t = array(warped), array(thickness)
    strains = np.zeros((*moved.shape[:-2], 3, 4))
    strains[..., 0, :2], strains[..., 2, :2] = moved[..., 0, :], moved[..., 1, :]
    strains[..., 1, 2:], strains[..., 2, 2:] = moved[..., 1, :], moved[..., 0, :]
    z = array(heights)[..., None] + (_PLACES - 0.5) * t[..., None]
    stress = matrix(array(stiffness))[..., None, :, :] @ strains[..., 1:-1, :, :]
    weight = t[..., None] * GAUSS_WEIGHTS
    forces, moments = (
        np.einsum("...lp,...lpiq->...iq", by, stress) for by in (weight, weight * z[..., 1:-1])
    )
    straight = array(compliance) @ np.concatenate([forces, moments], axis=-2)
    level, bent = (straight[..., None, None, part, :] for part in (slice(3), slice(3, 6)))
    ends = [-1, 0]
    return array(strains[..., ends, :, :] - level - z[..., ends, None, None] * bent)


@formula(
    symbol="ε(z)",
    unit="-",
    equation="ε(z) = ε₀ + z κ + ε_ψ · (Q,x; Q,y)",
    source="whitney-1972 (from memory)",
    inputs={
        "straight": "ε₀ + z κ [-]",
        "of_warp": "ε_ψ [m/N]",
        "along": "Q,x [N/m²]",
        "across": "Q,y [N/m²]",
    },
    valid="where the shear force changes slowly: not at clamped or free edges, nor under a patch",
)
def warped_strains(
    straight: ArrayLike, of_warp: ArrayLike, along: ArrayLike, across: ArrayLike
) -> Array:
    """Strains at the faces of the layers with those of the warp.

    straight : of :func:`panelwright.mechanics.laminate.face_strains`, ``(..., L, 2, 3)``; of_warp :
    of :func:`warp_strains`; along, across : slopes along x and y of the shear forces xz and yz,
    ``(..., 2)``, N/m². Gives ``(..., L, 2, 3)``.
    """
    slopes = np.concatenate([array(along), array(across)], axis=-1)
    return array(array(straight) + np.einsum("...lfiq,...q->...lfi", array(of_warp), slopes))
