"""The key of hatches, and the mark of one in a chart."""

from __future__ import annotations

from panelwright.panels.records import LayerRecord
from panelwright.reports.drawing.svg import box, drawing


def key_svg(width: float) -> str:
    """Every hatch with its name."""
    return drawing(box(1.0, 1.0, width - 2.0, 40.0, "outline"), width, 42.0, "Key of hatches")


def mark_svg(layer: LayerRecord, size: float = 22.0) -> str:
    """The hatch of a layer as a square mark."""
    return drawing(box(1.0, 1.0, size - 2.0, size - 2.0, "outline"), size, size, layer.name)
