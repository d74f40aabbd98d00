"""Two sections side by side at one scale: a panel as it was held, and as it is now."""

from __future__ import annotations

from panelwright.panels.records import Prediction
from panelwright.reports.drawing.bands import Column, column_of, items_of, rows_of
from panelwright.reports.drawing.paint import Frame, whole
from panelwright.reports.drawing.scales import PX_PER_M, largest
from panelwright.reports.drawing.section import most_for
from panelwright.reports.drawing.svg import drawing, line, words
from panelwright.reports.drawing.told import length_in_words

#: Room above and beneath the sections, between them, and for a figure at the right, px.
ABOVE, BENEATH, BETWEEN = 28.0, 14.0, 28.0


def against_svg(
    held: Prediction, now: Prediction, width: float, cut: str = "across", system: str = "si"
) -> str:
    """The held panel on the left, the panel as it is on the right, both outside up.

    Both faces of the held one run on as dashed lines, so that what was gained or lost shows.
    """
    most = most_for(width)
    thickest = max(held.thickness.value, now.thickness.value)
    scale = largest(thickest, most) * PX_PER_M
    columns = [column_of(items_of(rows_of(one.layers)), scale, most) for one in (held, now)]
    high = max(column.height for column in columns)
    half = (width - BETWEEN - 12.0) / 2.0
    frames = [
        Frame(6.0 + i * (half + BETWEEN), 6.0 + i * (half + BETWEEN) + half, ABOVE, scale, cut)
        for i in (0, 1)
    ]
    told = [
        f"{word}, {length_in_words(one.thickness, system)}"
        for word, one in (("held", held), ("now", now))
    ]
    content = "".join(
        whole(column, frame) + words(frame.left + 6.0, ABOVE - 10.0, said)
        for column, frame, said in zip(columns, frames, told, strict=True)
    )
    content += _run_on(columns[0], frames, high)
    return drawing(
        content,
        width,
        high + ABOVE + BENEATH,
        f"Section as held beside the section now, {scale / PX_PER_M:.0f}:1",
        "; ".join(told) + ".",
    )


def _run_on(held: Column, frames: list[Frame], high: float) -> str:
    """The inside face of the held panel, dashed on over the other."""
    y = ABOVE + held.height
    return line(frames[0].right, y, frames[1].right, y, "dashed") if high > 0.0 else ""
