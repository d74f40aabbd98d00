"""A chart in words and figures: units of its axes, its table, who is left out, a sheet of it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from panelwright import units
from panelwright.panels.charted import PROPERTIES, Property
from panelwright.panels.charts import Axis, Chart, Guide, LeftOut, Point
from panelwright.panels.lineup_records import Row
from panelwright.panels.spread import Ranged
from panelwright.provenance import Evidence
from panelwright.reports.drawing.axes import of_one
from panelwright.reports.layout import first_system, plural, printed, sentence
from panelwright.reports.lineup_words import shown
from panelwright.reports.stiffness_text import MERITS, merit_size
from panelwright.reports.strength_text import WIDTHS

#: Names that are told in one sentence, and rows of the table on a page.
MOST_NAMES, ROWS = 4, 100
HANDBOOK = "handbook only"
#: Units of properties that are told in a larger one than the smallest.
_LARGE = {("modulus", "si"): "GPa", ("modulus", "imperial"): "Msi"}
_MERIT_UNITS = {key: (power, by_system) for _, key, power, by_system in MERITS}
_PER = {"si": " per m", "imperial": " per ft"}


@dataclass(frozen=True)
class Unit:
    """The one unit of an axis: its size in SI and its name."""

    size: float
    name: str


def unit_of(of: Property, system: str, currency: str = "") -> Unit:
    """The unit of an axis in a choice of units, the first of two."""
    one = first_system(system)
    if not of.dimension:
        return Unit(1.0, f"{currency or 'money'}/m²")
    if of.dimension in _MERIT_UNITS:
        power, by_system = _MERIT_UNITS[of.dimension]
        name, above, below = by_system[one]
        return Unit(merit_size(power, above, below), name)
    if of.dimension == "width_moment":
        size, name = of_one("moment", one)
        return Unit(size / WIDTHS[one], name + _PER[one])
    large = _LARGE.get((of.dimension, one))
    if large is not None:
        return Unit(units.factor(large), large)
    return Unit(*of_one(of.dimension, one))


@lru_cache(maxsize=16384)
def _figures(
    middle: float, low: float, high: float, key: str, system: str, currency: str
) -> tuple[str, str, str]:
    of = PROPERTIES[key]
    if of.dimension in _MERIT_UNITS:
        unit = unit_of(of, system)
        middle, low, high = (end / unit.size for end in (middle, low, high))
        span = units.show_range(low, high, "ratio") if high > low else ""
        return units.show(middle, "ratio", "si", low, high), span, unit.name
    row = Row(of.key, of.name, of.dimension, "", ())
    is_moment = of.dimension == "width_moment"
    value = Ranged(middle, low, high, "N" if is_moment else "", Evidence.GIVEN)
    number, span, name = shown(value, row, first_system(system), currency)
    return number, span, name + (_PER[first_system(system)] if is_moment else "")


@lru_cache(maxsize=16384)
def _told(middle: float, low: float, high: float, key: str, system: str, currency: str) -> str:
    number, span, unit = _figures(middle, low, high, key, system, currency)
    return f"{number} {unit}" + (f" ({span})" if span else "")


def figures(value: Ranged, of: Property, system: str, currency: str = "") -> tuple[str, str, str]:
    """Middle, range and unit of a value as it is told."""
    return _figures(value.value, value.low, value.high, of.key, system, currency)


def told(value: Ranged, of: Property, system: str, currency: str = "") -> str:
    """The middle with its unit, and its range in brackets."""
    return _told(value.value, value.low, value.high, of.key, system, currency)


def heading(axis: Axis, system: str, currency: str) -> str:
    """The name of an axis with its unit."""
    return f"{axis.of.name}, {unit_of(axis.of, system, currency).name}"


# --- Lines ----------------------------------------------------------------------------------------

_POWERS = {
    1.0: "in proportion to",
    2.0: "with the square of",
    3.0: "with the cube of",
    0.5: "with the square root of",
    1.0 / 3.0: "with the cube root of",
}
_PARTS = {0.5: "half of that", 0.25: "a quarter of that", 0.125: "an eighth of that"}
_TENTHS = {0.1: "a tenth of that", 0.01: "a hundredth of that", 0.001: "a thousandth of that"}


def line_words(guide: Guide, says: str) -> str:
    """What is written on a line of equal merit."""
    if guide.times == 1.0:
        return says
    for times, words in (_PARTS | _TENTHS).items():
        if math.isclose(guide.times, times):
            return words
    return f"{guide.times:g} times that"


def merit_sentence(chart: Chart) -> str:
    """What the lines mean; empty where there are none."""
    if chart.merit is None or not chart.guides:
        return ""
    up = chart.up.of.name.lower()
    across = chart.across.of.name.lower()
    power = chart.merit.power
    goes = next(
        (words for other, words in _POWERS.items() if math.isclose(power, other)),
        f"as the power {power:.3g} of",
    )
    return (
        f"Chain lines: {chart.merit.says}; along one, {up} goes {goes} {across}. "
        f"The first goes through {printed(chart.through)}."
    )


# --- Who is left out ------------------------------------------------------------------------------


def left_out_words(one: LeftOut) -> str:
    """Who is left out and why, in one sentence."""
    names = [printed(title) for title in one.titles[:MOST_NAMES]]
    more = len(one.titles) - len(names)
    listed = "; ".join(names) + (f"; and {more} more" if more else "")
    return sentence(f"{len(one.titles)} left out, because {one.why}: {listed}")


def sentences(chart: Chart) -> list[str]:
    """All that is to be said beside the chart: who is left out and why, and what holds for it."""
    found = []
    if chart.hidden:
        one = "1 point lies" if chart.hidden == 1 else f"{chart.hidden} points lie"
        found.append(f"{one} outside the part that is shown.")
    found += [left_out_words(one) for one in chart.left_out]
    return [*found, *(sentence(note) for note in chart.notes)]


def summary(chart: Chart, system: str) -> str:
    """What the chart shows, in one sentence for those who do not see it."""
    across, up = (heading(axis, system, chart.currency) for axis in (chart.across, chart.up))
    scales = ("logarithmic" if axis.log else "even" for axis in (chart.across, chart.up))
    return (
        f"{up} against {across}: {plural(len(chart.points), 'point')}; "
        f"axes {' and '.join(scales)}. The table beneath has the same numbers."
    )


# --- The table ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class TableRow:
    """A point as it stands in the table; ``across``, ``up`` : middle and range."""

    number: int
    id: str
    title: str
    href: str
    kind: str
    standing: str
    across: tuple[str, str]
    up: tuple[str, str]
    evidence: str
    remark: str


def standing_words(point: Point) -> str:
    """Whether a point is predicted, measured, or of the handbook."""
    return HANDBOOK if point.of.handbook_only else point.standing


def kind_words(point: Point) -> str:
    """What a point is, for its mark."""
    return HANDBOOK if point.of.handbook_only else point.of.charted.kind


def in_order(chart: Chart) -> list[Point]:
    """The points as they are numbered: the highest first."""
    return sorted(chart.points, key=lambda one: -one.up.value)


def table_rows(chart: Chart, system: str, first: int = 0, most: int = ROWS) -> list[TableRow]:
    """Some rows of the table, in the order of the numbers on the chart."""
    return [
        _row(chart, number, point, system)
        for number, point in enumerate(in_order(chart), start=1)
        if first < number <= first + most
    ]


def _row(chart: Chart, number: int, point: Point, system: str) -> TableRow:
    cells = []
    for axis, value in ((chart.across, point.across), (chart.up, point.up)):
        middle, span, unit = figures(value, axis.of, system, chart.currency)
        cells.append((f"{middle} {unit}", span))
    return TableRow(
        number,
        point.of.id,
        printed(point.of.title),
        point.of.href,
        point.of.charted.kind,
        standing_words(point),
        cells[0],
        cells[1],
        max(point.across.evidence, point.up.evidence, key=lambda kind: kind.rank).value,
        remark(chart, point),
    )


def remark(chart: Chart, point: Point) -> str:
    """What a strength does not count; empty where it counts all."""
    names = point.of.charted.strength_unknown
    if not names or not {"Strength"} & {chart.across.of.group, chart.up.of.group}:
        return ""
    return f"strength of {' and of '.join(map(printed, names))} not known"


def csv_rows(chart: Chart) -> Iterator[Sequence[str]]:
    """The chart as rows of a sheet in SI: names, units, one row for each point, sources last."""
    axes = (chart.across, chart.up)
    head, unit = ["number", "id", "title", "core", "standing"], ["-"] * 5
    for one in axes:
        si = _si(chart, one)
        head += [one.of.key, f"{one.of.key}_low", f"{one.of.key}_high"]
        unit += [si, si, si]
    yield [*head, "evidence", "remark", "sources"]
    yield [*unit, "-", "-", "-"]
    for number, point in enumerate(in_order(chart), start=1):
        ends = [
            f"{end:.6g}"
            for value in (point.across, point.up)
            for end in (value.value, value.low, value.high)
        ]
        evidence = " | ".join(dict.fromkeys((point.across.evidence.value, point.up.evidence.value)))
        charted = point.of.charted
        start = [str(number), point.of.id, point.of.title, charted.kind, standing_words(point)]
        yield [*start, *ends, evidence, remark(chart, point), " | ".join(charted.sources)]


def _si(chart: Chart, axis: Axis) -> str:
    """The SI unit of an axis."""
    if not axis.of.dimension:
        return f"{chart.currency or 'money'}/m2"
    values = (getattr(one, "across" if axis is chart.across else "up") for one in chart.points)
    return next((value.unit for value in values), units_in_si(axis.of))


def units_in_si(of: Property) -> str:
    """The SI unit of a property that nothing is known of."""
    return units.DIMENSIONS[of.dimension].si if of.dimension in units.DIMENSIONS else "-"
