"""The faces of a panel with a core: which layers they are, and the forces in them.

A face is what lies outside all cores; faces stand on the last axis, outer first, or before the
``K`` directions where there are some.
"""

from __future__ import annotations

import numpy as np

from panelwright.mechanics import lamina, laminate
from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.mechanics.criteria import share
from panelwright.working import formula

#: Directions in which wrinkles are looked for, from x, rad: every 5 degrees.
DIRECTIONS = np.radians(np.arange(0.0, 180.0, 5.0))


def _cores_outside(core: Array) -> tuple[Array, Array]:
    """How many cores there are up to each layer, from the outside and from the inside."""
    return np.cumsum(core, axis=-1), np.flip(np.cumsum(np.flip(core, axis=-1), axis=-1), axis=-1)


@formula(
    symbol="f",
    unit="-",
    equation="f = 1 for layers with no core outside them, or none inside; 0 for the others",
    source="definition",
    inputs={"core": "1 or 0 [-]"},
)
def layers_of_faces(core: ArrayLike) -> Array:
    """The layers of the outer and the inner face.

    core : 1 for a core, ``(..., L)``. Gives ones and noughts, ``(..., L, 2)``; all noughts where
    there is no core.
    """
    is_core = array(core)
    outside, inside = _cores_outside(is_core)
    any_core = np.max(is_core, axis=-1, keepdims=True)
    return np.stack([(outside == 0.0) * any_core, (inside == 0.0) * any_core], axis=-1)


@formula(
    symbol="n",
    unit="-",
    equation="n = 1 for the first core from the outside, or from the inside; 0 for the others",
    source="definition",
    inputs={"core": "1 or 0 [-]"},
)
def nearest_cores(core: ArrayLike) -> Array:
    """The core next to the outer and to the inner face.

    core : 1 for a core, ``(..., L)``. Gives ones and noughts, ``(..., L, 2)``.
    """
    is_core = array(core)
    outside, inside = _cores_outside(is_core)
    return np.stack([is_core * (outside == 1.0), is_core * (inside == 1.0)], axis=-1)


@formula(
    symbol="x_n",
    unit="as x",
    equation="x_n = x of the core next to the face",
    source="definition",
    inputs={"nearest": "1 or 0 of both faces [-]", "values": "x [any]"},
)
def of_nearest(nearest: ArrayLike, values: ArrayLike) -> Array:
    """A property of the core next to each face.

    nearest : of :func:`nearest_cores`; values : ``(..., L)``. Gives ``(..., 2)``.
    """
    return array(np.sum(array(nearest) * array(values)[..., None], axis=-2))


@formula(
    symbol="t_c",
    unit="m",
    equation="t_c = Σ t_i of all cores",
    source="definition",
    inputs={"thickness": "t_i [m]", "core": "1 or 0 [-]"},
)
def depth_of_cores(thickness: ArrayLike, core: ArrayLike) -> Array:
    """Thickness of all cores together.

    thickness, core : ``(..., L)``, m and 1 or 0. Gives ``(..., 1)``.
    """
    return array(np.sum(array(thickness) * array(core), axis=-1, keepdims=True))


@formula(
    symbol="D_f",
    unit="N m",
    equation="D_f(φ) = bending stiffness of the layers of a face, turned by φ, free to stretch",
    source="definition; kaw-2006, equation 4.28",
    inputs={
        "stiffness": "Q̄_i [Pa]",
        "thickness": "t_i [m]",
        "heights": "z_i [m]",
        "layers": "1 or 0 of both faces [-]",
        "directions": "φ [rad]",
    },
)
def bending_of_faces(
    stiffness: ArrayLike,
    thickness: ArrayLike,
    heights: ArrayLike,
    layers: ArrayLike,
    directions: ArrayLike = DIRECTIONS,
) -> Array:
    """Own bending stiffness of each face in each direction.

    stiffness : ``(..., L, 6)``; thickness, heights : ``(..., L)``; layers : of
    :func:`layers_of_faces`; directions : ``(K,)``. Gives ``(..., 2, K)``.
    """
    own = array(stiffness)[..., None, :, :] * np.swapaxes(array(layers), -1, -2)[..., None]
    t, z = array(thickness)[..., None, :], array(heights)[..., None, :]
    found = laminate.bending_at(
        laminate.extension_stiffness(own, t),
        laminate.coupling_stiffness(own, t, z),
        laminate.bending_stiffness(own, t, z),
        directions,
    )
    return np.array(found)  # an array of its own, so that its working is that of this formula


@formula(
    symbol="G_c",
    unit="Pa",
    equation="G_c(φ) = G₁₃ cos²(θ − φ) + G₂₃ sin²(θ − φ)",
    source="kaw-2006, turning transverse shear",
    inputs={"along": "G₁₃ [Pa]", "across": "G₂₃ [Pa]", "angle": "θ [rad]", "directions": "φ [rad]"},
)
def core_shear_at(
    along: ArrayLike, across: ArrayLike, angle: ArrayLike, directions: ArrayLike = DIRECTIONS
) -> Array:
    """Shear modulus of the core next to each face in each direction.

    along, across : through the thickness, along and across the core, ``(..., 2)``; angle : of the
    core; directions : ``(K,)``. Gives ``(..., 2, K)``.
    """
    one, other, turn = (array(values)[..., None] for values in (along, across, angle))
    return array(lamina.turned_shear(one, other, turn - array(directions))[..., 0])


@formula(
    symbol="x",
    unit="as x",
    equation="x the same in every direction",
    source="definition",
    inputs={"values": "x [any]"},
)
def every_way(values: ArrayLike) -> Array:
    """What is the same in every direction.

    values : ``(..., 2)``. Gives ``(..., 2, 1)``.
    """
    return array(values)[..., None]


@formula(
    symbol="N_m",
    unit="N/m",
    equation="N_m = N_w, and where the core has cells the lesser of N_w and that of springs",
    source="definition: only the walls of cells carry nothing along the plane of the core",
    inputs={"thick": "N_w [N/m]", "springs": "of springs [N/m]", "cells": "s [m]"},
)
def wrinkling_mirrored(thick: ArrayLike, springs: ArrayLike, cells: ArrayLike) -> Array:
    """Compression in both faces at which they wrinkle against each other, per width.

    thick : on a thick core; springs : on a core of springs; cells : their size, 0 without. All
    broadcast; N/m.
    """
    alone = np.where(array(cells) > 0.0, array(springs), np.inf)
    return array(np.minimum(array(thick), alone))


@formula(
    symbol="x",
    unit="as x",
    equation="x = ± x of a load of 1",
    source="definition",
    inputs={"values": "x of a load of 1 [any]", "sign": "± of the load [-]"},
)
def signed(values: ArrayLike, sign: ArrayLike) -> Array:
    """Strains of a panel under a load of 1 or of −1.

    values : ``(..., 6)``; sign : 1 or -1. Gives the shape of the values.
    """
    return array(array(sign) * array(values))


@formula(
    symbol="ρ",
    unit="-",
    equation="ρ = N of the other face over N, from −1 to 1; 1 for a face that is not pressed",
    source="definition",
    inputs={"pressed": "N of both faces [N/m]"},
)
def force_of_the_other(pressed: ArrayLike) -> Array:
    """Force in the other face over that in each.

    pressed : compression, ``(..., 2, K)``. Gives the same shape.
    """
    own = array(pressed)
    shares = np.clip(ratio(np.flip(own, axis=-2), own), -1.0, 1.0)
    return np.where(own > 0.0, shares, 1.0)


@formula(
    symbol="N",
    unit="N/m",
    equation="N = σ_d t",
    source="definition",
    inputs={"stress": "σ_d [Pa]", "thickness": "t [m]"},
)
def force_of_stress(stress: ArrayLike, thickness: ArrayLike) -> Array:
    """Force per width in a face under an even stress.

    stress : Pa; thickness : m. Both broadcast.
    """
    return array(array(stress) * array(thickness))


@formula(
    symbol="e",
    unit="-",
    equation="e = N/N_w in each face and direction, not below 0",
    source="definition",
    inputs={"pressed": "N of both faces [N/m]", "bears": "N_w of both faces [N/m]"},
)
def used_compression(pressed: ArrayLike, bears: ArrayLike) -> Array:
    """Share of the compression that a face bears that a load of 1 puts into it.

    pressed : ``(..., 2, K)``; bears : likewise, 0 where not known. Gives ``(..., 2, 1, K)``.
    """
    return share(np.maximum(array(pressed), 0.0), bears)[..., None, :]


@formula(
    symbol="D_f",
    unit="N m",
    equation="D_f = the least over all directions",
    source="definition",
    inputs={"bending": "D_f(φ) [N m]"},
)
def softest_way(bending: ArrayLike) -> Array:
    """Own bending stiffness of each face in its softest direction.

    bending : ``(..., K)``. Gives ``(...)``.
    """
    return array(np.min(array(bending), axis=-1))


@formula(
    symbol="F",
    unit="as F",
    equation="F as it is; without end where it is not known",
    source="definition",
    inputs={"load": "F [any]"},
)
def or_endless(load: ArrayLike) -> Array:
    """A load, infinite where it is not known.

    load : any shape, 0 where not known.
    """
    return np.where(array(load) > 0.0, array(load), np.inf)
