"""A go by the clock: its pots, how long the first one keeps, the next coat, the air of the shop."""

from __future__ import annotations

import math
from dataclasses import dataclass

from panelwright import units
from panelwright.fabrication.clock import Day
from panelwright.fabrication.pots import Pot
from panelwright.fabrication.schedule import Batch, Session
from panelwright.fabrication.times import DAY, clock
from panelwright.reports.drawing.ink import Area, Ink
from panelwright.reports.drawing.letters import shortened, width_of
from panelwright.reports.drawing.svg import box, drawing, group, line, words
from panelwright.reports.layout import first_system, printed

#: Px: room for the names of the rows, height of a row and of a bar, room for the hours on top.
NAMES, ROW, BAR, TOP = 150.0, 31.0, 20.0, 24.0
#: Minutes between lines; the first that gives no more lines than fit is taken.
STEPS = (5, 10, 15, 30, 60, 120, 240, 480, 1440)
MOST_LINES = 8
#: Px between the lines of the hatch, and beside the number of a pot.
HATCH, SIDES = 5.0, 6.0


@dataclass(frozen=True)
class _Axis:
    """Times of a day [s] on paper."""

    first: float
    last: float
    step: float
    width: float

    def x(self, time: float) -> float:
        """Where a time stands, px."""
        share = (time - self.first) / (self.last - self.first)
        return NAMES + share * (self.width - NAMES - 20.0)

    @property
    def lines(self) -> list[float]:
        """The times that are marked."""
        count = round((self.last - self.first) / self.step)
        return [self.first + self.step * number for number in range(count + 1)]


def pots_svg(session: Session, batch: Batch, day: Day, width: float, system: str = "si") -> str:
    """One product of a go by the clock; nothing for a batch without timed pots."""
    if not batch.pots:
        return ""
    pots = batch.pots
    axis = _axis(session, pots, width)
    rows = [
        _pots(pots, axis, printed(session.stage.name)),
        _keeps(pots, axis),
        _next(session, axis),
        _air(day, axis, system),
    ]
    shown = [row for row in rows if row]
    height = TOP + ROW * len(shown) + 4.0
    parts = [_hours(axis, height)]
    parts += [
        group(row, transform=f"translate(0 {TOP + ROW * number:.0f})")
        for number, row in enumerate(shown)
    ]
    title = f"{printed(session.part)}: {printed(session.stage.name)} by the clock"
    return drawing("".join(parts), width, height, title, _told(session, pots))


def _told(session: Session, pots: tuple[Pot, ...]) -> str:
    begun = ", ".join(f"{pot.number} at {clock(pot.start)}" for pot in pots)
    first = pots[0]
    keeps = f"used by {clock(first.use_by)}, gels {clock(first.gels)}"
    text = f"Pots begun: {begun}. The first is {keeps}."
    window = _window_words(session)
    return f"{text} {window[:1].upper()}{window[1:]}." if window else text


def _axis(session: Session, pots: tuple[Pot, ...], width: float) -> _Axis:
    start = pots[0].start
    end = max(pots[-1].laid, pots[0].gels)
    if session.window is not None:
        opens = session.window.opens - DAY * (session.start // DAY)
        if opens < start + 2.5 * (end - start):
            end = max(end, opens + 0.1 * (end - start))
    step = 60.0 * next((m for m in STEPS if (end - start) / (60.0 * m) <= MOST_LINES), STEPS[-1])
    first = step * math.floor(start / step + 1e-9)
    last = step * math.ceil(end / step - 1e-9)
    return _Axis(first, max(last, first + step), step, width)


def _hours(axis: _Axis, height: float) -> str:
    parts = []
    for time in axis.lines:
        x = axis.x(time)
        parts.append(line(x, TOP - 4.0, x, height, "grid"))
        parts.append(words(x, TOP - 9.0, clock(time % DAY), "figure", "middle"))
    return "".join(parts)


def _name(text: str) -> str:
    return words(0.0, BAR - 4.0, shortened(text, 15.0, NAMES - 10.0))


def _pots(pots: tuple[Pot, ...], axis: _Axis, name: str) -> str:
    parts = [_name(name)]
    wide = axis.x(pots[0].laid) - axis.x(pots[0].start)
    needed = width_of(str(pots[-1].number), 15.0) + SIDES
    every = max(1, math.ceil(needed / max(wide, 0.1)))
    for pot in pots:
        left, right = axis.x(pot.start), axis.x(pot.laid)
        gap = min(2.0, 0.15 * (right - left))
        parts.append(_hatched(left, right - gap))
        if (pot.number - 1) % every == 0 or pot is pots[-1]:
            middle = (left + right - gap) / 2.0
            if pot is pots[-1] or every == 1 or pots[-1].number - pot.number >= every:
                parts.append(_clear(middle, str(pot.number), "figure", "middle"))
    return "".join(parts)


def _hatched(left: float, right: float) -> str:
    ink = Ink(Area(left, 0.0, right, BAR))
    start = left - BAR
    while start < right:
        ink.line(start, BAR, start + BAR, 0.0)
        start += HATCH
    return ink.svg() + box(left, 0.0, right - left, BAR, "thin")


def _keeps(pots: tuple[Pot, ...], axis: _Axis) -> str:
    first = pots[0]
    left, used, gels = (axis.x(time) for time in (first.start, first.use_by, first.gels))
    middle = BAR / 2.0
    parts = [
        _name("Pot 1 keeps"),
        box(left, 0.0, used - left, BAR, "thin"),
        line(used, middle, gels, middle, "dashed"),
        line(gels, 3.0, gels, BAR - 3.0, "thin"),
    ]
    text = f"use by {clock(first.use_by)}, gels {clock(first.gels)}"
    parts.append(_beside(text, gels + 6.0, left - 6.0, axis))
    return "".join(parts)


def _clear(x: float, text: str, kind: str = "word", anchor: str = "start") -> str:
    """Words with paper behind them, so that no line runs through."""
    wide = width_of(text, 15.0)
    left = x - {"start": 0.0, "middle": wide / 2.0, "end": wide}[anchor]
    paper = box(left - 2.0, 2.0, wide + 4.0, BAR - 4.0, "paper")
    return paper + words(x, BAR - 4.5, text, kind, anchor)


def _beside(text: str, after: float, before: float, axis: _Axis) -> str:
    """Words after a mark, or before it where there is no room."""
    if after + width_of(text, 15.0) <= axis.width:
        return _clear(after, text)
    if before - width_of(text, 15.0) >= NAMES:
        return _clear(before, text, anchor="end")
    return _clear(axis.width - 2.0, text, anchor="end")


def _window_words(session: Session) -> str:
    if session.window is None:
        return ""
    opens, closes = (
        clock(time - DAY * (session.start // DAY))
        for time in (session.window.opens, session.window.closes)
    )
    return f"next coat from {opens} to {closes}, a thumb print still shows"


def _next(session: Session, axis: _Axis) -> str:
    if session.window is None:
        return ""
    opens = session.window.opens - DAY * (session.start // DAY)
    text = _window_words(session).replace("next coat ", "", 1)
    if opens > axis.last:
        return _name("Next coat") + _clear(NAMES + 2.0, text)
    x = axis.x(opens)
    bar = box(x, 0.0, axis.x(axis.last) - x, BAR, "dashed")
    return _name("Next coat") + bar + _beside(text, axis.width, x - 6.0, axis)


def _air(day: Day, axis: _Axis, system: str) -> str:
    one = first_system(system)
    parts = [_name("Air of the shop")]
    left, right = axis.x(axis.first), axis.x(axis.last)
    parts.append(box(left, 0.0, right - left, BAR, "thin"))
    marks = axis.lines[:: max(1, math.ceil(len(axis.lines) / 4))]
    if day.is_steady:
        warm = units.show(day.air(axis.first), "temperature", one)
        text = f"{warm} or falling; never rising"
        return "".join([*parts, _clear(left + 8.0, text)])
    for time in marks:
        warm = units.show(round(day.air(time), 1), "temperature", one)
        if axis.x(time) + 8.0 + width_of(warm, 15.0) <= right:
            parts.append(_clear(axis.x(time) + 8.0, warm, "figure"))
    return "".join(parts)
