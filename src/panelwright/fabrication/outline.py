"""The outline of a part laid flat, and how far it reaches between two parallel lines.

x along the part, y round its girth from the middle, m. Places across a run and along it are those
of the outline turned so that the run lies along its first axis.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from panelwright.mechanics.arrays import Array, array


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

    def reach(self, low: float, high: float) -> tuple[float, float] | None:
        """Least and greatest place along the run between two lines; None where nothing lies there.

        low, high : places across the run.
        """
        left = _cut(_cut(self.corners, low, 1.0), -high, -1.0)
        if not len(left):
            return None
        return float(np.min(left[:, 0])), float(np.max(left[:, 0]))


def _cut(corners: Array, bound: float, sign: float) -> Array:
    """The part of a polygon where ``sign`` times the place across is at least ``bound``."""
    if not len(corners):
        return corners
    height = sign * corners[:, 1] - bound
    kept: list[Array] = []
    for here, there, at, then in zip(
        corners, np.roll(corners, -1, axis=0), height, np.roll(height, -1), strict=True
    ):
        if at >= 0.0:
            kept.append(here)
        if at * then < 0.0:
            kept.append(here + (there - here) * at / (at - then))
    return array(np.array(kept)) if kept else array(np.zeros((0, 2)))


def outline_of(places: Sequence[float], girths: Sequence[float]) -> Outline:
    """The outline of a part from its girths, each half to either side of the middle.

    places : along the part, rising; two alike girths make a rectangle.
    """
    x, half = array(places), 0.5 * array(girths)
    there, back = np.stack([x, half], axis=1), np.stack([x, -half], axis=1)[::-1]
    return Outline(array(np.concatenate([there, back])))
