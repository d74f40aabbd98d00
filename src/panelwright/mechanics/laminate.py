"""Sums over the layers of a stack, shape ``(..., L)``."""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.mechanics.lamina import components, matrix
from panelwright.working import formula


@formula(
    symbol="t_i",
    unit="m",
    equation="t_i = t_ply + t_solid + t_film (a layer is one of them; the others are 0)",
    source="definition",
    inputs={
        "ply": "t_ply [m]",
        "solid": "t_solid [m]",
        "film": "t_film [m]",
    },
)
def layer_thickness(ply: ArrayLike, solid: ArrayLike, film: ArrayLike) -> Array:
    """Thickness of each layer, whatever it is made of.

    All of shape ``(..., L)``; m.
    """
    return array(ply) + array(solid) + array(film)


@formula(
    symbol="m_i",
    unit="kg/m²",
    equation="m_i = w + u + s + r + r_f + k + f + g + r_k + m_c",
    source="definition",
    inputs={
        "fibre": "w [kg/m²]",
        "water": "u [kg/m²]",
        "thread": "s [kg/m²]",
        "cloth_resin": "r [kg/m²]",
        "fill": "r_f [kg/m²]",
        "soak": "k [kg/m²]",
        "film": "f [kg/m²]",
        "glue": "g [kg/m²]",
        "kerf": "r_k [kg/m²]",
        "solid": "m_c [kg/m²]",
    },
)
def layer_mass(
    fibre: ArrayLike,
    water: ArrayLike,
    thread: ArrayLike,
    cloth_resin: ArrayLike,
    fill: ArrayLike,
    soak: ArrayLike,
    film: ArrayLike,
    glue: ArrayLike,
    kerf: ArrayLike,
    solid: ArrayLike,
) -> Array:
    """Mass per area of each layer, with all that it holds.

    All of shape ``(..., L)``; kg/m2.
    """
    parts = (fibre, water, thread, cloth_resin, fill, soak, film, glue, kerf, solid)
    return array(np.sum(np.stack(np.broadcast_arrays(*parts)), axis=0))


@formula(
    symbol="t",
    unit="m",
    equation="t = Σ t_i",
    source="definition",
    inputs={"thickness": "t_i [m]"},
)
def panel_thickness(thickness: ArrayLike) -> Array:
    """Thickness of the panel.

    thickness : of the layers, ``(..., L)``, m. Gives shape ``(...)``.
    """
    return array(np.sum(thickness, axis=-1))


@formula(
    symbol="m",
    unit="kg/m²",
    equation="m = Σ m_i",
    source="definition",
    inputs={"mass": "m_i [kg/m²]"},
)
def areal_mass(mass: ArrayLike) -> Array:
    """Mass per area of the panel.

    mass : of the layers, ``(..., L)``, kg/m2. Gives shape ``(...)``.
    """
    return array(np.sum(mass, axis=-1))


@formula(
    symbol="share",
    unit="-",
    equation="share_i = x_i/Σ x_i",
    source="definition",
    inputs={"parts": "x_i [any]"},
)
def shares(parts: ArrayLike) -> Array:
    """Share of each layer in a sum over the layers.

    parts : ``(..., L)``; gives the same shape, summing to 1 (to 0 where all are 0).
    """
    x = array(parts)
    return ratio(x, np.sum(x, axis=-1, keepdims=True))


@formula(
    symbol="m_A",
    unit="kg",
    equation="m_A = m A",
    source="definition",
    inputs={"per_area": "m [kg/m²]", "area": "A [m²]"},
)
def mass_of_area(per_area: ArrayLike, area: ArrayLike) -> Array:
    """Mass of a panel of a given area.

    per_area : kg/m2; area : m2. Both broadcast; kg.
    """
    return array(per_area) * array(area)


@formula(
    symbol="z",
    unit="m",
    equation="z_i = t/2 − Σ_{j<i} t_j − t_i/2",
    source="definition: z outwards from the mid-plane, layers from the outside in",
    inputs={"thickness": "t_i [m]"},
)
def middle_heights(thickness: ArrayLike) -> Array:
    """Height of the middle of each layer over the mid-plane of the panel.

    thickness : of the layers from the outside in, ``(..., L)``, m. Gives the same shape.
    """
    t = array(thickness)
    whole = array(np.sum(t, axis=-1, keepdims=True))
    return whole / 2.0 - np.cumsum(t, axis=-1) + t / 2.0


@formula(
    symbol="A",
    unit="N/m",
    equation="A = Σ Q̄_i t_i",
    source="kaw-2006, equation 4.28",
    inputs={"stiffness": "Q̄_i [Pa]", "thickness": "t_i [m]"},
)
def extension_stiffness(stiffness: ArrayLike, thickness: ArrayLike) -> Array:
    """Stiffness of the panel in its plane.

    stiffness : ``(..., L, 6)``, Pa; thickness : ``(..., L)``, m. Gives ``(..., 6)``.
    """
    return _over_layers(stiffness, array(thickness))


@formula(
    symbol="B",
    unit="N",
    equation="B = Σ Q̄_i t_i z_i",
    source="kaw-2006, equation 4.28",
    inputs={"stiffness": "Q̄_i [Pa]", "thickness": "t_i [m]", "heights": "z_i [m]"},
)
def coupling_stiffness(stiffness: ArrayLike, thickness: ArrayLike, heights: ArrayLike) -> Array:
    """Coupling of stretching and bending.

    stiffness : ``(..., L, 6)``, Pa; thickness, heights : ``(..., L)``, m. Gives ``(..., 6)``.
    """
    return _over_layers(stiffness, array(thickness) * array(heights))


@formula(
    symbol="D",
    unit="N m",
    equation="D = Σ Q̄_i (t_i z_i² + t_i³/12)",
    source="kaw-2006, equation 4.28",
    inputs={"stiffness": "Q̄_i [Pa]", "thickness": "t_i [m]", "heights": "z_i [m]"},
)
def bending_stiffness(stiffness: ArrayLike, thickness: ArrayLike, heights: ArrayLike) -> Array:
    """Stiffness of the panel in bending about its mid-plane.

    stiffness : ``(..., L, 6)``, Pa; thickness, heights : ``(..., L)``, m. Gives ``(..., 6)``.
    """
    t, z = array(thickness), array(heights)
    return _over_layers(stiffness, t * (z * z + t * t / 12.0))


def _over_layers(stiffness: ArrayLike, weights: Array) -> Array:
    """Sum of the components over the layers, weighted."""
    summed: Array = np.einsum("...lc,...l->...c", array(stiffness), weights)
    return summed


@formula(
    symbol="K",
    unit="N/m, N, N m",
    equation="K = [A B; B D]: N = A ε + B κ, M = B ε + D κ",
    source="kaw-2006, equation 4.29",
    inputs={"extension": "A [N/m]", "coupling": "B [N]", "bending": "D [N m]"},
)
def whole_stiffness(extension: ArrayLike, coupling: ArrayLike, bending: ArrayLike) -> Array:
    """The 6 x 6 stiffness of a panel, forces and moments per width.

    All of components ``(..., 6)``; gives ``(..., 6, 6)``.
    """
    a, b, d = matrix(extension), matrix(coupling), matrix(bending)
    upper = np.concatenate([a, b], axis=-1)
    lower = np.concatenate([b, d], axis=-1)
    return np.concatenate([upper, lower], axis=-2)


@formula(
    symbol="C",
    unit="m/N, 1/N, 1/(N m)",
    equation="C = K⁻¹ = [a b; bᵀ d]",
    source="kaw-2006, section 4.4",
    inputs={"stiffness": "K [N/m, N, N m]"},
    valid="every direction of the panel has some stiffness",
)
def whole_compliance(stiffness: ArrayLike) -> Array:
    """The 6 x 6 compliance of a panel.

    stiffness : ``(..., 6, 6)``. Scaled to unit diagonal before it is inverted, so that a soft
    core does not cost digits. Raises :class:`numpy.linalg.LinAlgError` for a panel that is limp.
    """
    k = array(stiffness)
    own = np.diagonal(k, axis1=-2, axis2=-1)
    if np.any(own <= 0.0):
        raise np.linalg.LinAlgError("a panel without stiffness in some direction")
    scale = 1.0 / np.sqrt(own)
    even: Array = k * scale[..., :, None] * scale[..., None, :]
    inverse: Array = np.linalg.inv(even).astype(np.float64, copy=False)
    return inverse * scale[..., :, None] * scale[..., None, :]


@formula(
    symbol="D*",
    unit="N m",
    equation="D* = D − B A⁻¹ B",
    source="whitney-1973, bending with no force in the plane",
    inputs={"extension": "A [N/m]", "coupling": "B [N]", "bending": "D [N m]"},
)
def bending_free_to_stretch(extension: ArrayLike, coupling: ArrayLike, bending: ArrayLike) -> Array:
    """Bending stiffness of a panel whose mid-plane is free to stretch.

    All of components ``(..., 6)``; gives the same.
    """
    a, b, d = matrix(extension), matrix(coupling), matrix(bending)
    return components(d - b @ np.linalg.solve(a, b))


@formula(
    symbol="a",
    unit="m/N",
    equation="a = upper left of C",
    source="definition",
    inputs={"compliance": "C [m/N, 1/N, 1/(N m)]"},
)
def extension_compliance(compliance: ArrayLike) -> Array:
    """Strains from forces in the plane, the panel free to bend.

    compliance : ``(..., 6, 6)``. Gives components ``(..., 6)``.
    """
    return components(array(compliance)[..., :3, :3])


@formula(
    symbol="d",
    unit="1/(N m)",
    equation="d = lower right of C",
    source="definition",
    inputs={"compliance": "C [m/N, 1/N, 1/(N m)]"},
)
def bending_compliance(compliance: ArrayLike) -> Array:
    """Curvatures from moments, the panel free to stretch.

    compliance : ``(..., 6, 6)``. Gives components ``(..., 6)``.
    """
    return components(array(compliance)[..., 3:, 3:])


@formula(
    symbol="E_x, E_y, G_xy, ν_xy",
    unit="Pa, Pa, Pa, -",
    equation="E_x = 1/(t a₁₁), E_y = 1/(t a₂₂), G_xy = 1/(t a₆₆), ν_xy = −a₁₂/a₁₁",
    source="kaw-2006, section 4.4",
    inputs={"compliance": "a [m/N]", "thickness": "t [m]"},
)
def extension_moduli(compliance: ArrayLike, thickness: ArrayLike) -> Array:
    """Moduli of the panel in its plane, as if it were one material.

    compliance : ``(..., 6)``; thickness : ``(...)``, m. Gives ``(..., 4)``.
    """
    a, t = array(compliance), array(thickness)
    return np.stack(
        [
            1.0 / (t * a[..., 0]),
            1.0 / (t * a[..., 2]),
            1.0 / (t * a[..., 5]),
            -a[..., 1] / a[..., 0],
        ],
        axis=-1,
    )


@formula(
    symbol="E_b",
    unit="Pa",
    equation="E_bx = 12/(t³ d₁₁), E_by = 12/(t³ d₂₂), G_b = 12/(t³ d₆₆), ν_b = −d₁₂/d₁₁",
    source="kaw-2006, section 4.4",
    inputs={"compliance": "d [1/(N m)]", "thickness": "t [m]"},
)
def bending_moduli(compliance: ArrayLike, thickness: ArrayLike) -> Array:
    """Moduli of the panel in bending, as if it were one material.

    compliance : ``(..., 6)``; thickness : ``(...)``, m. Gives ``(..., 4)``.
    """
    d, t = array(compliance), array(thickness)
    cube = t**3 / 12.0
    return np.stack(
        [
            1.0 / (cube * d[..., 0]),
            1.0 / (cube * d[..., 2]),
            1.0 / (cube * d[..., 5]),
            -d[..., 1] / d[..., 0],
        ],
        axis=-1,
    )


@formula(
    symbol="EI",
    unit="N m",
    equation="EI_x = 1/d₁₁, EI_y = 1/d₂₂",
    source="kaw-2006, section 4.4",
    inputs={"compliance": "d [1/(N m)]"},
    valid="a strip free to bend across",
)
def strip_stiffness(compliance: ArrayLike) -> Array:
    """Bending stiffness of a strip per width, along and across.

    compliance : ``(..., 6)``. Gives ``(..., 2)``.
    """
    d = array(compliance)
    return 1.0 / np.stack([d[..., 0], d[..., 2]], axis=-1)


@formula(
    symbol="z_n",
    unit="m",
    equation="z_nx = B₁₁/A₁₁, z_ny = B₂₂/A₂₂",
    source="definition: where a section that bends one way is neither pulled nor pushed",
    inputs={"extension": "A [N/m]", "coupling": "B [N]"},
)
def neutral_heights(extension: ArrayLike, coupling: ArrayLike) -> Array:
    """Height of the neutral plane over the mid-plane, bending along and across.

    Both ``(..., 6)``. Gives ``(..., 2)``, m.
    """
    a, b = array(extension), array(coupling)
    return np.stack([b[..., 0] / a[..., 0], b[..., 2] / a[..., 2]], axis=-1)


@formula(
    symbol="share",
    unit="-",
    equation="share_i = Q̄_i (t_i (z_i − z_n)² + t_i³/12)/Σ",
    source="definition",
    inputs={
        "stiffness": "Q̄_i [Pa]",
        "thickness": "t_i [m]",
        "heights": "z_i [m]",
        "neutral": "z_n [m]",
    },
)
def bending_shares(
    stiffness: ArrayLike, thickness: ArrayLike, heights: ArrayLike, neutral: ArrayLike
) -> Array:
    """Share of each layer in the bending stiffness along and across, about the neutral plane.

    stiffness : ``(..., L, 6)``; thickness, heights : ``(..., L)``; neutral : ``(..., 2)``. Gives
    ``(..., L, 2)``, summing to 1.
    """
    t, z = array(thickness)[..., None], array(heights)[..., None]
    offset = z - array(neutral)[..., None, :]
    parts = array(stiffness)[..., (0, 2)] * (t * offset**2 + t**3 / 12.0)
    return parts / array(np.sum(parts, axis=-2, keepdims=True))


@formula(
    symbol="N_T, M_T",
    unit="N/m, N",
    equation="N_T = Σ Q̄_i ᾱ_i t_i, M_T = Σ Q̄_i ᾱ_i t_i z_i",
    source="kaw-2006, section 4.5",
    inputs={
        "stiffness": "Q̄_i [Pa]",
        "expansion": "ᾱ_i [1 per step]",
        "thickness": "t_i [m]",
        "heights": "z_i [m]",
    },
)
def free_resultants(
    stiffness: ArrayLike, expansion: ArrayLike, thickness: ArrayLike, heights: ArrayLike
) -> Array:
    """Forces and moments that would hold the panel flat through one step of heat or moisture.

    stiffness : ``(..., L, 6)``; expansion : ``(..., L, 3)``; thickness, heights : ``(..., L)``.
    Gives ``(..., 6)``: N then M.
    """
    stress = np.einsum("...lij,...lj->...li", matrix(stiffness), array(expansion))
    t, z = array(thickness)[..., None], array(heights)[..., None]
    return np.concatenate([np.sum(stress * t, axis=-2), np.sum(stress * t * z, axis=-2)], axis=-1)


@formula(
    symbol="ε, κ",
    unit="-, 1/m",
    equation="ε, κ = C (N, M)",
    source="kaw-2006, equation 4.29",
    inputs={"compliance": "C [m/N, 1/N, 1/(N m)]", "resultants": "N, M [N/m, N]"},
)
def strains(compliance: ArrayLike, resultants: ArrayLike) -> Array:
    """Strains of the mid-plane and curvatures under forces and moments per width.

    compliance : ``(..., 6, 6)``; resultants : ``(..., 6)``. Gives ``(..., 6)``.
    """
    found: Array = np.einsum("...ij,...j->...i", array(compliance), array(resultants))
    return found


@formula(
    symbol="h",
    unit="m",
    equation="h = κ c²/8",
    source="geometry: a flat arc over a chord",
    inputs={"curvature": "κ [1/m]", "chord": "c [m]"},
)
def rise(curvature: ArrayLike, chord: ArrayLike) -> Array:
    """How far the middle of a strip rises over its chord.

    Both broadcast; m.
    """
    return array(curvature) * array(chord) ** 2 / 8.0


@formula(
    symbol="c",
    unit="-",
    equation="c = |B|/√(|A||D|), each the largest component",
    source="definition",
    inputs={"extension": "A [N/m]", "coupling": "B [N]", "bending": "D [N m]"},
)
def unlikeness(extension: ArrayLike, coupling: ArrayLike, bending: ArrayLike) -> Array:
    """How far a panel is from symmetric: 0 for none, towards 1 for one stiff face alone.

    All of components ``(..., 6)``. Gives ``(...)``.
    """

    def largest(values: ArrayLike) -> Array:
        return array(np.max(np.abs(array(values)), axis=-1))

    return largest(coupling) / np.sqrt(largest(extension) * largest(bending))


@formula(
    symbol="σ",
    unit="Pa",
    equation="σ(z) = Q̄_i (ε + z κ − ᾱ_i)",
    source="kaw-2006, equations 4.13 and 4.58",
    inputs={
        "stiffness": "Q̄_i [Pa]",
        "strains": "ε, κ [-, 1/m]",
        "heights": "z_i [m]",
        "expansion": "ᾱ_i [1 per step]",
    },
    valid="away from free edges, where layers also pull on each other through the thickness",
)
def layer_stress(
    stiffness: ArrayLike, strains: ArrayLike, heights: ArrayLike, expansion: ArrayLike
) -> Array:
    """Stress along, across and in shear, in the axes of the panel, at a height in each layer.

    stiffness : ``(..., L, 6)``; strains : of the mid-plane, then curvatures, ``(..., 6)``;
    heights : one in each layer, ``(..., L)``, m; expansion : free strain, ``(..., L, 3)``. Gives
    ``(..., L, 3)``.
    """
    whole, z = array(strains)[..., None, :], array(heights)[..., None]
    held = whole[..., :3] + z * whole[..., 3:] - array(expansion)
    stress: Array = np.einsum("...lij,...lj->...li", matrix(stiffness), held)
    return stress


@formula(
    symbol="ε(z)",
    unit="-",
    equation="ε(z) = ε₀ + z κ",
    source="kaw-2006, equation 4.16",
    inputs={"strains": "ε, κ [-, 1/m]", "heights": "z [m]", "thickness": "t_i [m]"},
)
def face_strains(strains: ArrayLike, heights: ArrayLike, thickness: ArrayLike) -> Array:
    """Strains at the outer and the inner face of each layer, in the axes of the panel.

    strains : of the mid-plane, then curvatures, ``(..., 6)``; heights, thickness : ``(..., L)``,
    m. Gives ``(..., L, 2, 3)``: outer face first.
    """
    whole, half = array(strains)[..., None, None, :], array(thickness) / 2.0
    z = np.stack([array(heights) + half, array(heights) - half], axis=-1)[..., None]
    return array(whole[..., :3] + z * whole[..., 3:])


@formula(
    symbol="t_p",
    unit="m",
    equation="t_p = Σ t_i of its layers",
    source="definition",
    inputs={"thickness": "t_i [m]", "belongs": "1 or 0 of each part [-]"},
)
def thickness_of_parts(thickness: ArrayLike, belongs: ArrayLike) -> Array:
    """Thickness of parts of a panel.

    thickness : ``(..., L)``, m; belongs : 1 where a layer is of a part, ``(..., L, K)``. Gives
    ``(..., K)``.
    """
    return array(np.sum(array(thickness)[..., None] * array(belongs), axis=-2))


@formula(
    symbol="N_p",
    unit="N/m",
    equation="N_p = Σ σ_i t_i of its layers",
    source="definition",
    inputs={
        "stress": "σ_i at mid-height [Pa]",
        "thickness": "t_i [m]",
        "belongs": "1 or 0 of each part [-]",
    },
)
def force_of_parts(stress: ArrayLike, thickness: ArrayLike, belongs: ArrayLike) -> Array:
    """Force per width in parts of a panel.

    stress : one component, at the middle of each layer, ``(..., L)``, Pa; thickness : ``(..., L)``,
    m; belongs : 1 where a layer is of a part, ``(..., L, K)``. Gives ``(..., K)``.
    """
    forces = array(stress) * array(thickness)
    return array(np.sum(forces[..., None] * array(belongs), axis=-2))


@formula(
    symbol="E_b",
    unit="Pa",
    equation="E_b = 12 D_f/t³",
    source="beam theory",
    inputs={"stiffness": "D_f [N m]", "thickness": "t [m]"},
)
def modulus_of_bending(stiffness: ArrayLike, thickness: ArrayLike) -> Array:
    """Modulus of a solid sheet of the same thickness that is as stiff in bending.

    Both broadcast; Pa; 0 where there is nothing.
    """
    return ratio(12.0 * array(stiffness), array(thickness) ** 3)


@formula(
    symbol="D_f",
    unit="N m",
    equation=(
        "D_f(φ) = D_nn − (B_nn²A_tt − 2B_nn B_nt A_nt + B_nt²A_nn)/(A_nn A_tt − A_nt²), each "
        "turned to φ: X_nn = mᵀX m, X_nt = mᵀX p, X_tt = pᵀX p; m = (c², s², 2cs), "
        "p = (−cs, cs, c² − s²)"
    ),
    source="kaw-2006, section 4.3, solved for waves in one direction: N_n = N_nt = 0",
    inputs={
        "extension": "A [N/m]",
        "coupling": "B [N]",
        "bending": "D [N m]",
        "direction": "φ of each wave [rad]",
    },
    valid="cylindrical bending",
)
def bending_at(
    extension: ArrayLike, coupling: ArrayLike, bending: ArrayLike, direction: ArrayLike
) -> Array:
    """Stiffness of a laminate against waves that follow one another in a direction.

    extension, coupling, bending : A, B and D, ``(..., 6)``; direction : from x, ``(..., K)``, rad.
    Gives ``(..., K)``; 0 for a laminate that is not there.
    """
    c, s = np.cos(array(direction)), np.sin(array(direction))
    bent = np.stack([c * c, s * s, 2.0 * c * s], axis=-1)
    sheared = np.stack([-c * s, c * s, c * c - s * s], axis=-1)

    def turned(components: ArrayLike, first: Array, second: Array) -> Array:
        return array(np.sum((first @ matrix(components)) * second, axis=-1))

    a, g, both = (
        turned(extension, bent, bent),
        turned(extension, sheared, sheared),
        turned(extension, bent, sheared),
    )
    b, twist = turned(coupling, bent, bent), turned(coupling, bent, sheared)
    freed = ratio(b * b * g - 2.0 * b * twist * both + twist * twist * a, a * g - both * both)
    return turned(bending, bent, bent) - freed
