"""A line-up drawn: bars with their ranges, and any property against any other."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from random import Random

from panelwright.panels.lineup_records import Cell, LineUp, Member, Row
from panelwright.panels.records import LayerRecord
from panelwright.panels.spread import Ranged
from panelwright.reports.drawing.bands import plies_of
from panelwright.reports.drawing.hatches import Look, hatched
from panelwright.reports.drawing.ink import Area
from panelwright.reports.drawing.letters import lines_of, shortened
from panelwright.reports.drawing.scales import PX_PER_M
from panelwright.reports.drawing.shares import shares_svg
from panelwright.reports.drawing.sheet import height_of, standalone
from panelwright.reports.drawing.svg import box, drawing, group, line, number, words
from panelwright.reports.layout import first_system, printed
from panelwright.reports.lineup_words import shown, terms_words

#: Rows that are drawn as bars where nothing else is asked.
BARS = ("areal_mass", "stiffness_along", "stiffness_across", "moment_along_first", "thickness")
BAR, PITCH, MARK = 16.0, 26.0, 22.0
#: Room beside the axes, px.
LEFT, RIGHT, TOP, FOOT = 70.0, 24.0, 56.0, 64.0
#: How an axis goes with the mass of an equally good plate: EI with its cube, the rest with it.
POWERS = {"stiffness_along": 3.0, "stiffness_across": 3.0}
MERIT = "equally stiff plate per kilogram"


def main_layer(member: Member) -> LayerRecord:
    """The layer whose hatch stands for a panel: its core, else its thickest."""
    cores = [layer for layer in member.layers if layer.drawn.is_core]
    return max(cores or member.layers, key=lambda layer: layer.thickness.value)


def _hatch(member: Member, area: Area) -> str:
    layer = main_layer(member)
    ply = max(plies_of(layer), key=lambda one: one.thickness)
    look = Look(layer.drawn, ply.angle, "across", PX_PER_M, Random(layer.name))
    edge = box(area.left, area.top, area.width, area.height, "outline")
    return hatched(area, ply.hatch, look) + edge


def _told(value: Ranged, row: Row, lineup: LineUp, system: str) -> str:
    number, ends, unit = shown(value, row, first_system(system), lineup.currency)
    return f"{number} {unit}" + (f" ({ends})" if ends else "")


# --- Bars -----------------------------------------------------------------------------------------


def bars_svg(
    lineup: LineUp, width: float = 826.0, system: str = "si", keys: Sequence[str] = BARS
) -> str:
    """Bars from nought, each with its range, row by row; to be a file of its own.

    keys : of the rows; what is not known of a panel is said in words.
    """
    return standalone(bars_drawing(lineup, width, system, keys))


def bars_drawing(
    lineup: LineUp, width: float, system: str = "si", keys: Sequence[str] = BARS, head: bool = True
) -> str:
    """The same, to be part of a page; head: with a heading and the terms."""
    margin, left = 16.0 if head else 0.0, 0.26 * width
    parts, told = [], []
    y = margin
    if head:
        parts.append(words(margin, y + 22.0, "Line-up", "heading"))
        parts.append(words(margin, y + 46.0, terms_words(lineup)))
        y += 58.0
    for row in (lineup.row(key) for key in keys):
        known = [cell.value for cell in row.cells if cell.value is not None]
        if not known:
            continue
        y += 30.0
        verdict = f" \N{EM DASH} {row.verdict}" if row.verdict else ""
        parts.append(words(margin, y, f"{row.name}{verdict}", "word bold"))
        y += 8.0
        longest = max(value.high for value in known)
        per = (width - left - margin - 210.0) / longest if longest > 0.0 else 0.0
        top = y
        for member, cell in zip(lineup.members, row.cells, strict=True):
            title = printed(member.title).replace(" (handbook only)", "")
            name = shortened(f"{member.letter}  {title}", 13.0, left - margin - 8.0)
            parts.append(words(margin, y + 14.0, name, "letter"))
            parts.append(_bar(member, cell, row, (left, y, per), lineup, system))
            if cell.value is not None:
                told.append(f"{row.name} {member.letter} {_told(cell.value, row, lineup, system)}")
            y += PITCH
        parts.append(line(left, top - 2.0, left, y - 4.0, "wide"))
    parts.append(words(margin, y + 22.0, "bars to the middle; ranges of 9 in 10", "word small"))
    return drawing("".join(parts), width, y + 36.0, "Line-up", f"{'; '.join(told)}.")


def _bar(
    member: Member,
    cell: Cell,
    row: Row,
    place: tuple[float, float, float],
    lineup: LineUp,
    system: str,
) -> str:
    left, y, per = place
    if cell.value is None:
        return words(left + 8.0, y + 14.0, shortened(cell.said, 13.0, 300.0), "word small")
    value = cell.value
    long = max(value.value * per, 0.0)
    middle = y + 1.0 + BAR / 2.0
    parts = []
    if long > 1.0:
        parts.append(_hatch(member, Area(left, y + 1.0, left + long, y + 1.0 + BAR)))
    low, high = left + value.low * per, left + value.high * per
    if value.high > value.low:
        parts.append(line(low, middle, high, middle, "wide"))
        parts += [line(x, middle - 6.0, x, middle + 6.0, "med") for x in (low, high)]
    label = _told(value, row, lineup, system)
    parts.append(words(max(high, left + long) + 8.0, y + 14.0, label, "letter"))
    return "".join(parts)


def shares_sheet(lineup: LineUp, width: float = 826.0) -> str:
    """Each layer's part of thickness, mass and bending, panel under panel on the same columns."""
    margin = 16.0
    inner = width - 2.0 * margin
    parts = [words(margin, margin + 22.0, "What each layer gives", "heading")]
    y = margin + 40.0
    for member in lineup.members:
        y += 26.0
        parts.append(words(margin, y, f"{member.letter}  {printed(member.title)}", "word bold"))
        picture = shares_svg(member, inner)
        shift = f"translate({number(margin)} {number(y + 8.0)})"
        parts.append(group(picture, transform=shift))
        y += 8.0 + height_of(picture)
    title = "What each layer gives, panel under panel"
    return standalone(drawing("".join(parts), width, y + margin, title))


# --- One property against another -----------------------------------------------------------------


@dataclass(frozen=True)
class _Axis:
    """A logarithmic axis: SI values to px; ``unit`` and ``of_one`` in the shop's units."""

    row: Row
    low: float
    high: float
    first: float
    last: float

    def at(self, value: float) -> float:
        """Place of a value, px."""
        share = math.log(value / self.low) / math.log(self.high / self.low)
        return self.first + share * (self.last - self.first)


def _axis(row: Row, values: Sequence[Ranged], first: float, last: float) -> _Axis:
    least = min(max(value.low, value.value / 10.0) for value in values)
    most = max(value.high for value in values)
    return _Axis(row, least / 1.3, most * 1.3, first, last)


def _ticks(axis: _Axis, system: str, currency: str) -> tuple[list[tuple[float, str]], str]:
    """Round values within an axis, in SI and as they are written; and the unit."""
    probe = replace(_known(axis.row)[0], value=1.0, low=1.0, high=1.0)
    number, _, unit = shown(probe, axis.row, first_system(system), currency)
    one = 1.0 / float(number.replace("\N{THIN SPACE}", "").replace("\N{NARROW NO-BREAK SPACE}", ""))
    found = []
    for power in range(
        math.floor(math.log10(axis.low / one)), math.ceil(math.log10(axis.high / one))
    ):
        for lead in (1.0, 2.0, 5.0):
            value = lead * 10.0**power
            if axis.low <= value * one <= axis.high:
                found.append((value * one, f"{value:g}"))
    return found, unit


def _known(row: Row) -> list[Ranged]:
    return [cell.value for cell in row.cells if cell.value is not None]


def merit_svg(
    lineup: LineUp,
    across: str = "areal_mass",
    up: str = "stiffness_along",
    width: float = 826.0,
    system: str = "si",
) -> str:
    """One property against another, both on logarithmic axes; to be a file of its own.

    across, up : keys of rows. Marks bear the hatch of the core, bars are ranges of 9 in 10, chain
    lines join equally good plates where mass stands against stiffness. Raises KeyError.
    """
    x_row, y_row = lineup.row(across), lineup.row(up)
    pairs = [
        (member, x.value, y.value)
        for member, x, y in zip(lineup.members, x_row.cells, y_row.cells, strict=True)
        if x.value is not None and y.value is not None and min(x.value.value, y.value.value) > 0.0
    ]
    height = 0.72 * width
    title = f"{y_row.name} against {x_row.name.lower()}"
    if not pairs:
        return standalone(
            drawing(words(16.0, 30.0, "nothing is known of both"), width, 50.0, title)
        )
    x_axis = _axis(x_row, [pair[1] for pair in pairs], LEFT, width - RIGHT)
    y_axis = _axis(y_row, [pair[2] for pair in pairs], height - FOOT, TOP)
    parts = [words(16.0, 26.0, title, "heading"), words(16.0, 46.0, terms_words(lineup), "small")]
    parts += _grid(x_axis, y_axis, lineup, system)
    parts += _equal_lines(x_axis, y_axis, pairs)
    told = []
    for member, x, y in pairs:
        parts.append(_mark(member, x, y, x_axis, y_axis))
        told.append(
            f"{member.letter} {printed(member.title)}: {_told(x, x_row, lineup, system)}, "
            f"{_told(y, y_row, lineup, system)}"
        )
    y_at = height + 4.0
    for member, _, _ in pairs:
        text = f"{member.letter}  {printed(member.title)}, {printed(main_layer(member).name)}"
        for one in lines_of(text, 13.0, width - 32.0, 1):
            parts.append(words(16.0, y_at, one, "letter"))
        y_at += 18.0
    return standalone(drawing("".join(parts), width, y_at + 4.0, title, f"{'; '.join(told)}."))


def _grid(x: _Axis, y: _Axis, lineup: LineUp, system: str) -> list[str]:
    parts = []
    for axis, is_x in ((x, True), (y, False)):
        ticks, unit = _ticks(axis, system, lineup.currency)
        for value, text in ticks:
            at = axis.at(value)
            if is_x:
                parts.append(line(at, y.first, at, y.last, "grid"))
                parts.append(words(at, y.first + 18.0, text, "letter", "middle"))
            else:
                parts.append(line(x.first, at, x.last, at, "grid"))
                parts.append(words(x.first - 8.0, at + 5.0, text, "letter", "end"))
        name = f"{axis.row.name}, {unit}"
        middle = (axis.first + axis.last) / 2.0
        if is_x:
            parts.append(words(middle, y.first + 42.0, name, "word", "middle"))
        else:
            parts.append(words(20.0, middle, name, "word", "middle", turned=True))
    parts.append(line(x.first, y.first, x.last, y.first, "wide"))
    parts.append(line(x.first, y.first, x.first, y.last, "wide"))
    return parts


def _equal_lines(x: _Axis, y: _Axis, pairs: Sequence[tuple[Member, Ranged, Ranged]]) -> list[str]:
    """Lines of plates that are equally good for their mass, through each panel; one is named."""
    power = POWERS.get(y.row.key)
    if x.row.key != "areal_mass" or power is None:
        return []
    parts, named = [], False
    for _, mass, stiffness in sorted(pairs, key=lambda pair: -pair[2].value / pair[1].value ** 3):
        merit = stiffness.value / mass.value**power
        low = max(x.low, (y.low / merit) ** (1.0 / power))
        high = min(x.high, (y.high / merit) ** (1.0 / power))
        if low >= high:
            continue
        ends = [(x.at(m), y.at(merit * m**power)) for m in (low, high)]
        parts.append(line(*ends[0], *ends[1], "chain"))
        if not named:
            named = True
            at = (max(ends[1][0] + 6.0, x.first + 6.0), ends[1][1] + 16.0)
            room = x.last - at[0]
            if room < 230.0:
                at = (ends[1][0] - 6.0, ends[1][1] + 16.0)
            anchor = "start" if room >= 230.0 else "end"
            parts.append(words(*at, MERIT, "word small halo", anchor))
    return parts


def _mark(member: Member, x: Ranged, y: Ranged, across: _Axis, up: _Axis) -> str:
    middle = across.at(x.value), up.at(y.value)
    parts = []
    if x.high > x.low:
        ends = [across.at(max(value, across.low)) for value in (x.low, x.high)]
        parts.append(line(ends[0], middle[1], ends[1], middle[1], "med"))
    if y.high > y.low:
        ends = [up.at(max(value, up.low)) for value in (y.low, y.high)]
        parts.append(line(middle[0], ends[0], middle[0], ends[1], "med"))
    half = MARK / 2.0
    area = Area(middle[0] - half, middle[1] - half, middle[0] + half, middle[1] + half)
    parts.append(box(area.left, area.top, MARK, MARK, "open"))
    parts.append(_hatch(member, area))
    parts.append(words(area.right + 5.0, area.top - 3.0, member.letter, "word bold halo"))
    return "".join(parts)
