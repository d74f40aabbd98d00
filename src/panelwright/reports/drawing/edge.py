"""A photo of a cut edge beside the drawn section, both at one scale and the outside up."""

from __future__ import annotations

import math
from dataclasses import dataclass

from panelwright import units
from panelwright.panels.records import Prediction
from panelwright.reports.drawing.bands import column_of, items_of, rows_of
from panelwright.reports.drawing.paint import Frame, whole
from panelwright.reports.drawing.scales import PX_PER_M, largest
from panelwright.reports.drawing.section import most_for, scale_bar
from panelwright.reports.drawing.svg import box, drawing, element, line, words
from panelwright.reports.drawing.told import length_in_words
from panelwright.samples.found import Edge

#: Room above and beneath, between photo and section, and of the photo past the faces, px.
ABOVE, BENEATH, BETWEEN, PAST = 40.0, 44.0, 56.0, 14.0


@dataclass(frozen=True)
class Picture:
    """A photo as a drawing shows it: its address, and its sides in px of the marks on it."""

    href: str
    width: int
    height: int


def edge_svg(
    picture: Picture, edge: Edge, prediction: Prediction, width: float, system: str = "si"
) -> str:
    """The photo on the left, the section as predicted on the right.

    edge : with its scale and marks on two boundaries. Lines lead from each boundary as it was
    marked to where it was predicted.
    """
    depths = _depths(edge, prediction)
    predicted = prediction.thickness.value
    thickest = max(*depths.values(), predicted)
    scale = largest(thickest, most_for(width))
    px = scale * PX_PER_M
    most = max(most_for(width), thickest * px)  # nothing is cut short beside a photo
    column = column_of(items_of(rows_of(prediction.layers)), px, most)
    top = ABOVE + PAST
    half = (width - BETWEEN) / 2.0
    high = max(max(depths.values()) * px, column.height)
    frame = Frame(half + BETWEEN, width, top, px, "across")
    content = _window(picture, edge, px, half, high, min(depths.values()))
    content += whole(column, frame)
    content += _leaders(depths, prediction, px, half)
    told = (_found(edge, system), f"predicted {length_in_words(prediction.thickness, system)}")
    content += words(0.0, 16.0, told[0]) + words(frame.left, 16.0, told[1])
    foot = top + high + PAST + BENEATH
    content += scale_bar(width, foot - 12.0, scale, 0.45 * width, system)
    return drawing(
        content,
        width,
        foot,
        f"Photo of the cut edge beside the section, {scale}:1",
        "; ".join(told),
    )


def _found(edge: Edge, system: str) -> str:
    if edge.whole is None:
        return "found"
    found = edge.whole.found
    return f"found {units.show(found.value, 'thickness', system, found.low, found.high)}"


def _planned(prediction: Prediction, boundary: int) -> float:
    """How deep a boundary was predicted to lie, m."""
    return sum(layer.thickness.value for layer in prediction.layers[:boundary])


def _depths(edge: Edge, prediction: Prediction) -> dict[int, float]:
    """How deep each boundary lies, m; the first that is marked as deep as it was predicted."""
    first = edge.layers[0].first - 1
    found = {first: _planned(prediction, first)}
    for one in edge.layers:
        found[one.last] = found.get(one.first - 1, 0.0) + one.found.value
    return found


def _window(picture: Picture, edge: Edge, px: float, half: float, high: float, start: float) -> str:
    """The photo, straight and to scale, what lies about the edge alone."""
    photo = edge.photo
    first = edge.layers[0].first - 1
    marks = [of[first] for of in photo.places.values() if first in of]
    x, y = (sum(getattr(m, axis) for m in marks) / len(marks) for axis in "xy")
    every = [mark for of in photo.places.values() for mark in of.values()]
    turn = photo.direction
    along = [(m.x - x) * math.cos(turn) + (m.y - y) * math.sin(turn) for m in every]
    middle = (min(along) + max(along)) / 2.0
    size, left = px / photo.px_per_m, half / 2.0
    shown = element(
        "image",
        href=picture.href,
        width=picture.width,
        height=picture.height,
        transform=(
            f"translate({left - middle * size:.2f} {PAST + start * px:.2f}) "
            f"scale({size:.6f}) rotate({-math.degrees(turn):.4f}) translate({-x:.2f} {-y:.2f})"
        ),
    )
    tall = high + 2.0 * PAST
    inside = element(
        "svg", shown, x=0.0, y=ABOVE, width=half, height=tall, viewBox=f"0 0 {half:.1f} {tall:.1f}"
    )
    return inside + box(0.0, ABOVE, half, tall, "thin")


def _leaders(depths: dict[int, float], prediction: Prediction, px: float, half: float) -> str:
    """From each boundary as marked to where it was predicted."""
    top, drawn = ABOVE + PAST, ""
    for boundary, depth in depths.items():
        y, other = top + depth * px, top + _planned(prediction, boundary) * px
        drawn += line(half - 10.0, y, half + 6.0, y, "thin")
        drawn += line(half + 6.0, y, half + BETWEEN - 8.0, other, "dashed")
        drawn += line(half + BETWEEN - 8.0, other, half + BETWEEN, other, "thin")
    return drawn
