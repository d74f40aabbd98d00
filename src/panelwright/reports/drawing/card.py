"""The section of a panel life size, for a card."""

from __future__ import annotations

from collections.abc import Sequence

from panelwright.panels.records import LayerRecord
from panelwright.reports.drawing.bands import column_of, items_of, rows_of
from panelwright.reports.drawing.paint import Frame, boundaries, end, face, painted
from panelwright.reports.drawing.scales import PX_PER_M
from panelwright.reports.drawing.svg import drawing
from panelwright.reports.drawing.told import row_in_words

#: Room above and beneath, px.
ROOM = 10.0


def card_svg(
    layers: Sequence[LayerRecord], thickness: float, width: float, height: float = 128.0
) -> str:
    """The section at 1:1, cut short by a break line where it is higher than its box.

    thickness : of the panel, m.
    """
    rows = rows_of(layers)
    column = column_of(items_of(rows), PX_PER_M, height - 2.0 * ROOM, thin=7.0)
    high = max(height, column.height + 2.0 * ROOM)
    top = (high - column.height) / 2.0
    frame = Frame(8.0, width - 8.0, top, PX_PER_M, "across")
    content = "".join(painted(band, frame) for band in column.bands)
    content += boundaries(column, frame) + face(column, frame, True) + face(column, frame, False)
    content += end(frame.left, top, top + column.height, 5.0)
    content += end(frame.right, top, top + column.height, 5.0)
    told = "; ".join(row_in_words(row, "si") for row in rows)
    size = "cut short" if column.is_cut else "life size"
    title = f"Section of {1e3 * thickness:.3g} mm, {size}"
    return drawing(content, width, high, title, f"From the outside inwards: {told}.")
