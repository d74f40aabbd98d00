"""Small marks beside figures: the range rule and the bar of evidence."""

from __future__ import annotations

from panelwright.panels.spread import Ranged
from panelwright.provenance import Evidence
from panelwright.reports.drawing.svg import drawing, line


def range_rule_svg(
    ranged: Ranged,
    span: tuple[float, float],
    width: float,
    found: Ranged | None = None,
    said: str = "",
) -> str:
    """The range on an axis of two ends; ``found`` beneath. ``said``: the text twin."""
    return drawing(line(0.0, 10.0, width, 10.0, "thin"), width, 20.0, said or "Range")


def evidence_svg(evidence: Evidence) -> str:
    """How sure a value is, as a bar; its word stands beside it."""
    return drawing(line(0.0, 6.0, 34.0, 6.0, "thin"), 34.0, 12.0, evidence.value)
