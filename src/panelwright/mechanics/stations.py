"""A curved part by its stations: how large it is and how far it bends."""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.working import formula


@formula(
    symbol="A",
    unit="m²",
    equation="A = Σ (x_i+1 − x_i)(g_i + g_i+1)/2",
    source="geometry, trapezia between stations",
    inputs={"position": "x_i [m]", "girth": "g_i [m]"},
    valid="stations in order; a little under the true area where the girth bulges between them",
)
def area_of_stations(position: ArrayLike, girth: ArrayLike) -> Array:
    """Area of a shell from its girth at stations.

    position : along the part, rising; girth : round the section there. Both ``(..., S)``, m;
    they broadcast. Gives m2, shape ``(...)``.
    """
    place, round_it = np.broadcast_arrays(array(position), array(girth))
    return array(np.sum(np.diff(place) * (round_it[..., 1:] + round_it[..., :-1]) / 2.0, axis=-1))


@formula(
    symbol="κ_m",
    unit="1/m",
    equation="κ_m = φ/g",
    source="geometry: the curvature summed round a section is the angle that it turns",
    inputs={"turn": "φ [rad]", "girth": "g [m]"},
)
def mean_curvature(turn: ArrayLike, girth: ArrayLike) -> Array:
    """Mean curvature of a section that turns by an angle over its girth.

    turn : rad; girth : m. Both broadcast; 1/m. Cuts of a core open by as much, bent evenly or not.
    """
    return ratio(turn, girth)


@formula(
    symbol="φ",
    unit="rad",
    equation="φ = min(g/R, π)",
    source="geometry: a section bent throughout at its smallest radius, open like a hull",
    inputs={"girth": "g [m]", "radius": "R [m]"},
    valid="the most that an open section turns; give the angle where it is known",
)
def most_turn(girth: ArrayLike, radius: ArrayLike) -> Array:
    """The most that an open section can turn, from its girth and its smallest radius.

    girth, radius : m. Both broadcast; rad.
    """
    return array(np.minimum(ratio(girth, radius), np.pi))
