"""Lines cut off at the edge of an area, collected by kind of line."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from panelwright.mechanics.arrays import Array
from panelwright.reports.drawing.svg import number, path

#: A line is tried against the edge of its area this often, px, and a curve bent this often.
STEP, CHORD = 0.7, 7.0

Mask = npt.NDArray[np.bool_]
Inside = Callable[[Array, Array], Mask]


@dataclass(frozen=True)
class Area:
    """Where something is hatched: a rectangle, px, and what of it lies inside."""

    left: float
    top: float
    right: float
    bottom: float
    within: Inside | None = None

    @property
    def width(self) -> float:
        """Width of the rectangle."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """Height of the rectangle."""
        return self.bottom - self.top

    def inside(self, x: Array, y: Array) -> Mask:
        """Which points lie in the area."""
        found = (
            (x >= self.left - 1e-6)
            & (x <= self.right + 1e-6)
            & (y >= self.top - 1e-6)
            & (y <= self.bottom + 1e-6)
        )
        return found if self.within is None else found & self.within(x, y)


@dataclass
class Ink:
    """Lines within one area, as path data by class."""

    area: Area
    data: dict[str, list[str]] = field(default_factory=dict)

    def svg(self) -> str:
        """All that was drawn, a path for each kind of line."""
        return "".join(path("".join(parts), kind) for kind, parts in self.data.items())

    def put(self, data: str, kind: str = "hair") -> None:
        """Path data that lies inside as it is."""
        self.data.setdefault(kind, []).append(data)

    def line(self, x1: float, y1: float, x2: float, y2: float, kind: str = "hair") -> None:
        """A straight line, what of it lies inside."""
        count = max(2, int(np.hypot(x2 - x1, y2 - y1) / STEP) + 1)
        self._runs(np.linspace(x1, x2, count), np.linspace(y1, y2, count), count, kind)

    def curve(self, x: Array, y: Array, kind: str = "hair") -> None:
        """A smooth curve through points no farther apart than a step, what of it lies inside."""
        self._runs(x, y, max(1, int(CHORD / STEP)), kind)

    def ring(self, x: float, y: float, radius: float, kind: str = "hair") -> None:
        """A small circle, what of it lies inside."""
        area = self.area
        clear = (
            area.within is None
            and area.left + radius <= x <= area.right - radius
            and area.top + radius <= y <= area.bottom - radius
        )
        if clear:
            r = number(radius)
            self.put(f"M{number(x)} {number(y - radius)}a{r} {r} 0 1 0 .1 0z", kind)
            return
        turn = np.linspace(0.0, 2.0 * np.pi, max(12, int(6.3 * radius / STEP)))
        self._runs(x + radius * np.cos(turn), y + radius * np.sin(turn), 2, kind)

    def dot(self, x: float, y: float, kind: str = "dots") -> None:
        """A dot, if it lies inside: its size is that of its line."""
        if bool(self.area.inside(np.array(x), np.array(y))):
            self.put(f"M{number(x)} {number(y)}h0", kind)

    def _runs(self, x: Array, y: Array, every: int, kind: str) -> None:
        kept = np.concatenate(([False], self.area.inside(x, y), [False]))
        edges = np.flatnonzero(kept[1:] != kept[:-1])
        for first, after in zip(edges[::2], edges[1::2], strict=True):
            if after - first < 2:
                continue
            picked = [*range(first, after - 1, every), after - 1]
            points = [f"{number(x[index])} {number(y[index])}" for index in picked]
            self.put(f"M{points[0]}L{' '.join(points[1:])}", kind)
