"""What is open for change in the browsers just now: the last ranges, and whose turn it is.

Nothing here is needed to go on: what was typed stands in the browser, and is kept on the shelf
when it is told to. A desk that was forgotten is laid anew.
"""

from __future__ import annotations

import math
import threading
import time
from collections import OrderedDict
from collections.abc import Iterable
from dataclasses import dataclass, field

from panelwright.panels.spread import Ranged
from panelwright.reports.figures import Figure, change

#: Desks that are remembered; more browsers than a shop has.
MOST_DESKS = 64


class Overtaken(Exception):
    """Something newer was asked for: what was begun is not wanted any more."""


#: How long a change is told, s.
TOLD = 4.0


@dataclass
class Desk:
    """One panel being changed in one window."""

    ranged: dict[str, Ranged] = field(default_factory=dict)  # headline figures, by name
    shown: dict[str, Figure] = field(default_factory=dict)
    told: dict[str, tuple[str, float]] = field(default_factory=dict)  # a change, and since when
    turn: int = 0
    parts: int = 0  # of the work on ranges that are done

    def take(self) -> int:
        """Something newer is asked for: its turn. What was begun before is ended."""
        self.turn += 1
        return self.turn

    def go_on(self, turn: int) -> None:
        """Count a part of the work of a turn. Raises :class:`Overtaken` where it is past."""
        if turn != self.turn:
            raise Overtaken
        self.parts += 1

    def take_up(self, figures: Iterable[Figure]) -> None:
        """Start from figures that the window shows with their ranges."""
        for one in figures:
            self.ranged[one.name] = one.value
            self.shown[one.name] = one

    def changes(self, name: str, now: Figure) -> None:
        """A figure is shown anew: note by how much it differs from what was shown before."""
        before = self.shown.get(name)
        # the same value may be shown with other digits once its range is there
        is_same = before is None or math.isclose(before.value.value, now.value.value, rel_tol=1e-9)
        off = "" if is_same or before is None else change(now, before)
        if off:
            self.told[name] = (off, time.monotonic())
        self.shown[name] = now

    def just(self, name: str) -> str:
        """By how much a figure changed in the last moments; empty where it did not."""
        off, since = self.told.get(name, ("", 0.0))
        return off if time.monotonic() - since < TOLD else ""


class Desks:
    """All of them, by a word that the window made up."""

    def __init__(self) -> None:
        self._desks: OrderedDict[str, Desk] = OrderedDict()
        self._lock = threading.Lock()

    def of(self, word: str) -> Desk:
        """The desk of a window; a new one where there is none."""
        with self._lock:
            desk = self._desks.setdefault(word[:40], Desk())
            self._desks.move_to_end(word[:40])
            while len(self._desks) > MOST_DESKS:
                self._desks.popitem(last=False)
            return desk
