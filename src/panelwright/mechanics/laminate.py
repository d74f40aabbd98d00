"""Sums over the layers of a stack, shape ``(..., L)``."""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
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
