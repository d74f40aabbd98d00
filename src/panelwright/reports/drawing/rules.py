"""Small marks beside figures: the range rule and the bar of evidence."""

from __future__ import annotations

from panelwright.panels.spread import Ranged
from panelwright.provenance import SIGMAS_OF_90, Evidence
from panelwright.reports.drawing.svg import box, circle, drawing, line, number, path
from panelwright.samples.reconcile import Compared

#: Height of one rule, px, and room at its ends.
RULE, ENDS = 14.0, 8.0


def reach(ranged: Ranged) -> tuple[float, float]:
    """The ends of a rule: half the middle to either side, or what the range needs."""
    above, below = ranged.high - ranged.value, ranged.value - ranged.low
    half = max(0.5 * abs(ranged.value), 1.2 * above, 1.2 * below)
    return ranged.value - half, ranged.value + half


def range_rule_svg(
    ranged: Ranged,
    span: tuple[float, float],
    width: float,
    found: Ranged | None = None,
    said: str = "",
) -> str:
    """The range on an axis of two ends; ``found`` beneath. ``said``: the text twin."""
    low, high = span if span[1] > span[0] else (span[0] - 0.5, span[0] + 0.5)

    def at(value: float) -> float:
        share = (min(max(value, low), high) - low) / (high - low)
        return ENDS + share * (width - 2.0 * ENDS)

    content = line(ENDS, RULE / 2.0, width - ENDS, RULE / 2.0, "track")
    content += _span(at(ranged.low), at(ranged.high), RULE / 2.0)
    content += _diamond(at(ranged.value), RULE / 2.0)
    if found is not None:
        y = 1.5 * RULE
        content += line(at(ranged.value), RULE / 2.0 + 5.0, at(ranged.value), y, "track")
        content += _span(at(found.low), at(found.high), y)
        content += circle(at(found.value), y, 4.6, "solid")
    high_px = RULE if found is None else 2.0 * RULE
    return drawing(content, width, high_px, said or "Range of 9 in 10, middle as a diamond")


def compared_svg(one: Compared, width: float, said: str) -> str:
    """A quantity predicted over the same found, on one axis. said : the text twin."""
    half = SIGMAS_OF_90 * one.u
    low, high = min(one.low, one.found - half), max(one.high, one.found + half)
    room = 0.15 * (high - low)
    return range_rule_svg(
        Ranged(one.predicted, one.low, one.high, "", Evidence.ESTIMATED),
        (low - room, high + room),
        width,
        Ranged(one.found, one.found - half, one.found + half, "", Evidence.MEASURED),
        said,
    )


def _span(low: float, high: float, y: float) -> str:
    ends = "".join(line(x, y - 4.5, x, y + 4.5, "med") for x in (low, high))
    return line(low, y, high, y, "med") + ends


def _diamond(x: float, y: float) -> str:
    return path(f"M{number(x)} {number(y - 5.2)}l5.2 5.2l-5.2 5.2l-5.2 -5.2z", "open")


#: Quarters of the bar that are filled. What a person gave stands on that person's word alone.
_QUARTERS = {
    Evidence.MEASURED: 4,
    Evidence.GIVEN: 4,
    Evidence.PUBLISHED: 3,
    Evidence.MEMORY: 3,
    Evidence.PRACTICE: 2,
    Evidence.ESTIMATED: 1,
}


def evidence_svg(evidence: Evidence) -> str:
    """How sure a value is, as a bar; its word stands beside it.

    Dashed from memory; struck through at 45° where somebody gave it.
    """
    wide, high = 34.0, 9.0
    filled = (wide - 2.0) * _QUARTERS[evidence] / 4.0
    edge = "dashed" if evidence is Evidence.MEMORY else "thin"
    if evidence is Evidence.GIVEN:
        inner = "".join(line(x, high, x + high - 2.0, 2.0, "thin") for x in range(1, 28, 5))
    else:
        inner = box(1.0, 1.5, filled, high - 1.0, "solid")
    if evidence is Evidence.MEMORY:
        inner = "".join(box(1.0 + 6.0 * i, 1.5, 4.0, high - 1.0, "solid") for i in range(4))
    return drawing(inner + box(1.0, 1.5, wide - 2.0, high - 1.0, edge), wide, 11.0, evidence.value)
