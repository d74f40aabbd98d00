"""The outline of a part laid flat, and how far it reaches between two parallel lines.

x along the part, y round its girth from the middle, m. Places across a run and along it are those
of the outline turned so that the run lies along its first axis.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array


@dataclass(frozen=True)
class Outline:
    """Corners in order, ``(n, 2)``, m."""

    corners: Array

    @property
    def area(self) -> float:
        """Area by the shoelace formula, m2."""
        x, y = self.corners[:, 0], self.corners[:, 1]
        return 0.5 * abs(float(np.dot(x, np.roll(y, -1)) - np.dot(y, np.roll(x, -1))))

    def turned(self, degrees: float) -> Outline:
        """As seen along a run at an angle to the length: first axis along it, second across."""
        turn = math.radians(degrees)
        # whole quarter turns leave no dust of rounding behind that would open another width
        c, s = (round(value, 15) for value in (math.cos(turn), math.sin(turn)))
        return Outline(self.corners @ array(np.array([[c, -s], [s, c]])))

    @property
    def across(self) -> tuple[float, float]:
        """Least and greatest place across the run."""
        return float(np.min(self.corners[:, 1])), float(np.max(self.corners[:, 1]))

    def reaches(self, lows: ArrayLike, highs: ArrayLike) -> Array:
        """Least and greatest place along the run within each of some bands; both 0 where empty.

        lows, highs : places across the run, ``(B,)``. Gives ``(B, 2)``.
        """
        start, end = array(lows)[:, None], array(highs)[:, None]
        x, y = self.corners[:, 0], self.corners[:, 1]
        inside = (y >= start) & (y <= end)
        places = [np.where(inside, x, np.nan)]
        places += [self._crossings(bound) for bound in (start, end)]
        found = np.concatenate(places, axis=1)
        empty = np.all(np.isnan(found), axis=1, keepdims=True)
        filled = np.where(empty, 0.0, found)
        return array(np.stack([np.nanmin(filled, axis=1), np.nanmax(filled, axis=1)], axis=1))

    def _crossings(self, bound: Array) -> Array:
        """Where each side crosses lines along the run, ``(B, n)``; nan where it does not."""
        x, y = self.corners[:, 0], self.corners[:, 1]
        next_x, next_y = np.roll(x, -1), np.roll(y, -1)
        crosses = (y - bound) * (next_y - bound) < 0.0
        rise = np.where(crosses, next_y - y, 1.0)
        return np.where(crosses, x + (next_x - x) * (bound - y) / rise, np.nan)

    def lengths(self, lows: ArrayLike, highs: ArrayLike) -> Array:
        """How far the outline reaches along the run within each band, ``(B,)``, m."""
        ends = self.reaches(lows, highs)
        return array(ends[:, 1] - ends[:, 0])


def outline_of(places: Sequence[float], girths: Sequence[float]) -> Outline:
    """The outline of a part from its girths, each half to either side of the middle.

    places : along the part, rising; two alike girths make a rectangle.
    """
    x, half = array(places), 0.5 * array(girths)
    there, back = np.stack([x, half], axis=1), np.stack([x, -half], axis=1)[::-1]
    return Outline(array(np.concatenate([there, back])))
