"""Thickness from marks on a photo of a cut edge: geometry in the picture, and its uncertainty.

Places in the picture are in px, x to the right and y downwards.
"""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array
from panelwright.working import formula


@formula(
    symbol="D",
    unit="px",
    equation="D = √(Δx² + Δy²)",
    source="geometry",
    inputs={"along": "Δx [px]", "down": "Δy [px]"},
)
def distance_of_marks(along: ArrayLike, down: ArrayLike) -> Array:
    """How far two marks lie from each other in a picture.

    along, down : from one to the other, px. Both broadcast; px.
    """
    return array(np.hypot(array(along), array(down)))


@formula(
    symbol="θ",
    unit="rad",
    equation="θ = ½ atan2(2 Σ Δx Δy, Σ (Δx² − Δy²))",
    source="geometry: the principal axis of marks about the middle of their boundary",
    inputs={"along": "Δx [px]", "down": "Δy [px]"},
    valid="two places or more, further apart than a mark may be off; total least squares",
)
def direction_of_layers(along: ArrayLike, down: ArrayLike) -> Array:
    """Which way layers run in a picture, from the marks on their boundaries.

    along, down : of each mark from the middle of the marks on its boundary, px, ``(..., n)``. Both
    broadcast; rad from x towards y, ``(...)``.
    """
    x, y = array(along), array(down)
    return array(0.5 * np.arctan2(2.0 * np.sum(x * y, axis=-1), np.sum(x**2 - y**2, axis=-1)))


@formula(
    symbol="d",
    unit="px",
    equation="d = Δy cos θ − Δx sin θ",
    source="geometry",
    inputs={"along": "Δx [px]", "down": "Δy [px]", "direction": "θ [rad]"},
)
def distance_across(along: ArrayLike, down: ArrayLike, direction: ArrayLike) -> Array:
    """Part of the way between two marks that is square to the layers.

    along, down : from one mark to the other, px; direction : of the layers, rad. All broadcast; px,
    negative against the side that y turns to.
    """
    turn = array(direction)
    return array(array(down) * np.cos(turn) - array(along) * np.sin(turn))


@formula(
    symbol="t",
    unit="m",
    equation="t = L d/D",
    source="geometry",
    inputs={"across": "d [px]", "scale_marks": "D [px]", "scale_length": "L [m]"},
    valid="what shows the scale lies in the plane of the edge, and the lens looks square at it",
)
def length_by_scale(across: ArrayLike, scale_marks: ArrayLike, scale_length: ArrayLike) -> Array:
    """A length in a picture by two marks whose distance is known.

    across : in the picture; scale_marks : the two from each other, px; scale_length : what they are
    apart, m. All broadcast; m.
    """
    return array(scale_length) * array(across) / array(scale_marks)


@formula(
    symbol="u_d",
    unit="px",
    equation="u_d = √(max(s², 2 u_p²)/n)",
    source="jcgm-100, 4.2.3 and 4.3.7",
    inputs={"scatter": "s [px]", "placing": "u_p [px]", "count": "n [count]"},
    valid="few places tell little of their scatter: it is not taken below what placing makes",
)
def distance_uncertainty(scatter: ArrayLike, placing: ArrayLike, count: ArrayLike) -> Array:
    """Standard uncertainty of the mean distance between two boundaries, from several places.

    scatter : standard deviation of the distances (n − 1); placing : of one mark, px; count : of
    places. All broadcast; px.
    """
    least = np.sqrt(2.0) * array(placing)
    return array(np.maximum(array(scatter), least) / np.sqrt(array(count)))
