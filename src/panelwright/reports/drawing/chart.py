"""A chart on paper, and on pages without a script: points with ranges and lines of equal merit."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from panelwright.panels.charts import FOUND, HALF_FOUND, Axis, Chart, Point
from panelwright.reports.chart_spec import FEW, SHAPES
from panelwright.reports.chart_words import (
    HANDBOOK,
    heading,
    in_order,
    kind_words,
    line_words,
    standing_words,
    summary,
    unit_of,
)
from panelwright.reports.drawing.axes import plain, step_for
from panelwright.reports.drawing.letters import width_of
from panelwright.reports.drawing.svg import circle, drawing, element, line, number, path, words

#: Room beside the axes, px, height for the width, half a mark for few points and for many, its dot.
LEFT, RIGHT, TOP, FOOT = 66.0, 16.0, 34.0, 52.0
TALL, HALF, SMALL, DOT = 0.72, 6.5, 3.2, 2.4
#: What is written of each decade of an axis, by how many decades it has.
_LEADS = (
    (1.0, (1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0)),
    (2.0, (1.0, 2.0, 3.0, 5.0)),
    (5.0, (1.0, 2.0, 5.0)),
    (math.inf, (1.0,)),
)
#: Kinds of mark that have no inside.
_BARE = (HANDBOOK,)


@dataclass(frozen=True)
class _Scale:
    """SI values of an axis to px."""

    axis: Axis
    first: float
    last: float
    unit: float

    def at(self, value: float) -> float:
        """Place of a value; beyond the axis at its end."""
        within = min(max(value, self.axis.low), self.axis.high)
        return self.first + self.axis.share(within) * (self.last - self.first)

    def ticks(self) -> list[tuple[float, str]]:
        """Round values within the axis, SI, and as they are written."""
        low, high = self.axis.low / self.unit, self.axis.high / self.unit
        shown = _log_ticks(low, high) if self.axis.log else _even_ticks(low, high)
        return [(value * self.unit, plain(value)) for value in shown]


def _log_ticks(low: float, high: float) -> list[float]:
    wide = math.log10(high / low)
    decades = range(math.floor(math.log10(low)), math.ceil(math.log10(high)) + 1)
    leads = next(leads for most, leads in _LEADS if wide < most)
    every = (lead * 10.0**power for power in decades for lead in leads)
    return [value for value in every if low <= value <= high]


def _even_ticks(low: float, high: float) -> list[float]:
    step = step_for(high - low, 6)
    return [step * k for k in range(math.ceil(low / step - 1e-9), int(high / step + 1e-9) + 1)]


def outline(shape: str, x: float, y: float, half: float) -> str:
    """A shape of a square from -1 to 1, set about a point."""

    def placed(found: re.Match[str]) -> str:
        command, text = found[1], found[2]
        values = [float(one) for one in re.findall(r"-?\d*\.?\d+", text)]
        if command == "A":
            radii, flags, to = values[:2], values[2:5], values[5:]
            ends = f"{number(x + half * to[0])} {number(y + half * to[1])}"
            sizes = " ".join(number(half * one) for one in radii)
            return f"A{sizes} {' '.join(f'{one:.0f}' for one in flags)} {ends}"
        pairs = zip(values[::2], values[1::2], strict=True)
        return command + " ".join(
            f"{number(x + half * a)} {number(y + half * b)}" for a, b in pairs
        )

    # each arc by itself: a path may leave the command out before the next of its kind
    return re.sub(r"([MLAZ])([^MLAZ]*)", placed, shape)


def mark_svg(kind: str, standing: str, size: float = 22.0) -> str:
    """One mark of the key."""
    middle = size / 2.0
    content = path(outline(SHAPES[kind], middle, middle, HALF), _ink(kind, standing))
    if standing == HALF_FOUND:
        content += circle(middle, middle, DOT, "solid")
    return drawing(content, size, size, f"{kind}, {standing}")


def _ink(kind: str, standing: str) -> str:
    if kind in _BARE:
        return "med"
    return "solid" if standing == FOUND else "open"


def bar_svg(size: float = 44.0) -> str:
    """A point with its ranges, for the key."""
    middle, high = size / 2.0, 22.0
    parts = line(4.0, high / 2.0, size - 4.0, high / 2.0, "med")
    parts += line(middle, 1.0, middle, high - 1.0, "med")
    return drawing(parts, size, high, "range of 9 in 10")


def chain_svg(size: float = 44.0) -> str:
    """A piece of a line of equal merit, for the key."""
    return drawing(line(2.0, 19.0, size - 2.0, 3.0, "chain"), size, 22.0, "line of equal merit")


def chart_svg(chart: Chart, width: float, system: str = "si") -> str:
    """A chart for the width of its box, px. Without points, its axes alone."""
    height = max(TALL * width, 300.0)
    across = _Scale(
        chart.across,
        LEFT,
        width - RIGHT,
        unit_of(chart.across.of, system, chart.currency).size,
    )
    up = _Scale(chart.up, height - FOOT, TOP, unit_of(chart.up.of, system, chart.currency).size)
    parts = _grid(across, up)
    parts += [
        words(4.0, 16.0, heading(chart.up, system, chart.currency)),
        words(
            width - RIGHT,
            height - 8.0,
            heading(chart.across, system, chart.currency),
            anchor="end",
        ),
    ]
    parts += _guides(chart, across, up)
    parts += _points(chart, across, up)
    title = f"{chart.up.of.name} against {chart.across.of.name.lower()}"
    return drawing("".join(parts), width, height, title, summary(chart, system))


def _grid(across: _Scale, up: _Scale) -> list[str]:
    parts, last = [], -math.inf
    for value, text in across.ticks():
        x = across.at(value)
        parts.append(line(x, up.first, x, up.last, "faint"))
        if x - width_of(text, 13.0) / 2.0 > last + 6.0:
            parts.append(words(x, up.first + 18.0, text, "letter", "middle"))
            last = x + width_of(text, 13.0) / 2.0
    for value, text in up.ticks():
        y = up.at(value)
        parts.append(line(across.first, y, across.last, y, "faint"))
        parts.append(words(across.first - 8.0, y + 5.0, text, "letter", "end"))
    parts.append(line(across.first, up.first, across.last, up.first, "wide"))
    parts.append(line(across.first, up.first, across.first, up.last, "wide"))
    return parts


def _guides(chart: Chart, across: _Scale, up: _Scale) -> list[str]:
    """Lines of equal merit, each with its words along its upper end."""
    parts = []
    for guide in chart.guides:
        corners = [(across.at(x), up.at(y)) for x, y in zip(guide.across, guide.up, strict=True)]
        data = "L".join(f"{number(x)} {number(y)}" for x, y in corners)
        parts.append(path(f"M{data}", "chain"))
        says = "" if chart.merit is None else line_words(guide, chart.merit.says)
        (x0, y0), (x1, y1) = corners[-2], corners[-1]
        turn = math.degrees(math.atan2(y1 - y0, x1 - x0))
        if math.hypot(x1 - corners[0][0], y1 - corners[0][1]) < width_of(says, 13.0) + 24.0:
            continue
        along = f"rotate({number(turn)} {number(x1)} {number(y1)})"
        parts.append(
            element(
                "text",
                says,
                class_="word small halo",
                x=x1 - 10.0,
                y=y1 + 15.0,
                text_anchor="end",
                transform=along,
            )
        )
    return parts


def _points(chart: Chart, across: _Scale, up: _Scale) -> list[str]:
    """Ranges as one path, marks of a kind as one path each; few are numbered."""
    few = len(chart.points) <= FEW
    half = HALF if few else SMALL
    shown = [
        (count, one)
        for count, one in enumerate(in_order(chart), start=1)
        if _is_on(one.across.value, chart.across) and _is_on(one.up.value, chart.up)
    ]
    bars: list[str] = []
    numbers: list[str] = []
    dots: list[str] = []
    marks: dict[str, list[str]] = {}
    for count, one in shown:
        x, y = across.at(one.across.value), up.at(one.up.value)
        bars.append(_bars(one, across, up, (x, y)))
        ink = kind_words(one), standing_words(one)
        marks.setdefault(_ink(*ink), []).append(outline(SHAPES[ink[0]], x, y, half))
        if one.standing == HALF_FOUND:
            dots.append(circle(x, y, DOT * half / HALF, "solid"))
        if few:
            numbers.append(words(x + 8.0, y - 7.0, str(count), "letter halo"))
    return [
        path("".join(bars), "med" if few else "hair"),
        *(path("".join(data), ink) for ink, data in marks.items()),
        *dots,
        *numbers,
    ]


def _is_on(value: float, axis: Axis) -> bool:
    return axis.low <= value <= axis.high


def _bars(one: Point, across: _Scale, up: _Scale, middle: tuple[float, float]) -> str:
    x, y = middle
    low, high = (number(across.at(end)) for end in (one.across.low, one.across.high))
    least, most = (number(up.at(end)) for end in (one.up.low, one.up.high))
    return f"M{low} {number(y)}H{high}M{number(x)} {least}V{most}"
