"""The section of a panel life size, for a card."""

from __future__ import annotations

from collections.abc import Sequence

from panelwright.panels.records import LayerRecord
from panelwright.reports.drawing.svg import box, drawing


def card_svg(
    layers: Sequence[LayerRecord], thickness: float, width: float, height: float = 128.0
) -> str:
    """The section at 1:1; thickness in m."""
    return drawing(box(4.0, 4.0, width - 8.0, height - 8.0, "outline"), width, height, "Section")
