"""The day: what is done when, how warm it is then, when the next coat may go on."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from panelwright.fabrication.mixing import at_temperature
from panelwright.fabrication.part import At, Recoat, Shop
from panelwright.fabrication.times import DAY
from panelwright.provenance import Evidence, Input

#: From when to when a shop works where it has not said. Common practice.
USUAL_START, USUAL_STOP = 9.0 * 3600.0, 18.0 * 3600.0
#: Temperature of a shop where nothing says it, K.
USUAL_AIR = 293.15
#: Warmer by more than this while a core is wet and open counts as rising, K.
STEADY = 0.5


@dataclass(frozen=True)
class Day:
    """Hours and temperatures of the shop's day. ``points`` : s after midnight and K, in order."""

    start: float
    stop: float
    points: tuple[tuple[float, float], ...]

    def air(self, time: float) -> float:
        """Temperature at a time [s]: by straight lines from one point to the next, day by day."""
        times, temperatures = zip(*self.points, strict=True)
        return float(np.interp(time % DAY, times, temperatures, period=DAY))

    @property
    def is_steady(self) -> bool:
        """Whether nothing is known of how it changes."""
        return len(self.points) == 1


def day_of(shop: Shop, panel_air: float | None) -> Day:
    """The day of a shop.

    panel_air : temperature that the panel file says of the shop [K], or None.
    """
    fallback = panel_air if shop.temperature is None else shop.temperature.value
    points = _points(shop.day) or ((0.0, USUAL_AIR if fallback is None else fallback),)
    start = USUAL_START if shop.start is None else shop.start
    stop = max(USUAL_STOP, start + 3600.0) if shop.stop is None else shop.stop
    return Day(start, stop, points)


def _points(day: Sequence[At]) -> tuple[tuple[float, float], ...]:
    return tuple((entry.at, entry.temperature.value) for entry in day)


@dataclass(frozen=True)
class Window:
    """When the next coat may go on without sanding, s after the midnight before the work."""

    opens: float
    closes: float


def window_of(recoat: Recoat, laid: float, day: Day, faster: Input) -> Window:
    """The recoat window of what was laid at a time, at the shop's temperature then."""

    def carried(seconds: float) -> float:
        told = Input(seconds, seconds, seconds, "data sheet", Evidence.GIVEN, "")
        return at_temperature(told, recoat.at.value, day.air(laid), faster).value

    return Window(laid + carried(recoat.earliest.value), laid + carried(recoat.latest.value))


def rises(day: Day, start: float, end: float) -> float:
    """How much warmer it gets from the start of a while to any later time of it [K]."""
    end = min(end, start + DAY)  # one day is like the next
    steps = max(1, math.ceil((end - start) / 600.0))
    first = day.air(start)
    return max(day.air(start + (end - start) * step / steps) - first for step in range(steps + 1))


def falling_start(day: Day, lasts: float) -> float | None:
    """The first time from the start of the day at which it does not get warmer for a while [s].

    Tried every quarter of an hour until the evening; None where there is none.
    """
    if day.is_steady:
        return day.start
    for quarter in range(int((DAY - day.start) // 900.0)):
        start = day.start + 900.0 * quarter
        if rises(day, start, start + lasts) <= STEADY:
            return start
    return None
