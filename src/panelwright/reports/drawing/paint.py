"""Bands put on paper: solid ink, hatching, boundaries, break lines."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from random import Random

import numpy as np

from panelwright.mechanics.arrays import Array
from panelwright.panels.records import Drawn, DrawnPly
from panelwright.reports.drawing.bands import Band, Column
from panelwright.reports.drawing.hatches import Look, hatched
from panelwright.reports.drawing.ink import CHORD, Area, Inside, Mask
from panelwright.reports.drawing.svg import box, line, number, path

#: Half of the paper between the two lines of a break, px.
BREAK = 3.0


@dataclass(frozen=True)
class Wave:
    """A freehand break line about a level, px."""

    level: float
    phase: float

    def at(self, x: Array) -> Array:
        """Height of the line."""
        return self.level + 2.2 * np.sin(x / 19.0 + self.phase) + 1.3 * np.sin(x / 8.3)

    def svg(self, left: float, right: float, shift: float = 0.0) -> str:
        """The line itself."""
        x = np.linspace(left, right, max(4, int((right - left) / (CHORD / 2.0))))
        points = [f"{number(a)} {number(b + shift)}" for a, b in zip(x, self.at(x), strict=True)]
        return path("M" + "L".join(points), "thin")


@dataclass(frozen=True)
class Frame:
    """Where a column of bands stands, px, its scale in px per m, and how the panel is cut."""

    left: float
    right: float
    top: float
    scale: float
    cut: str


def wave_of(name: str, level: float) -> Wave:
    """The freehand line of a layer."""
    return Wave(level, Random(name).uniform(0.0, 6.0))


@dataclass(frozen=True)
class _Stretch:
    """All that the drawing of one band follows from, so that the same is not drawn twice."""

    name: str
    drawn: Drawn
    ply: DrawnPly
    is_odd: bool
    is_cut: bool
    frame: Frame
    top: float
    bottom: float

    @property
    def look(self) -> Look:
        """How it is hatched: by chance, but for one layer always the same."""
        return Look(
            self.drawn,
            self.ply.angle,
            self.frame.cut,
            self.frame.scale,
            Random(f"{self.name} {self.ply.hatch}"),
            self.is_odd,
        )

    def hatched(self, within: Inside | None) -> str:
        """Its hatch, what of it lies within."""
        area = Area(self.frame.left, self.top, self.frame.right, self.bottom, within)
        return hatched(area, self.ply.hatch, self.look)


def painted(band: Band, frame: Frame, within: Inside | None = None) -> str:
    """One band in ink or in its hatch, with its break where it is cut short."""
    top, bottom = frame.top + band.top, frame.top + band.bottom
    if band.ply is None:
        return box(frame.left, top, frame.right - frame.left, bottom - top, "solid")
    layer, is_odd = band.item.layer, bool(band.item.number % 2)
    one = _Stretch(layer.name, layer.drawn, band.ply, is_odd, band.is_cut, frame, top, bottom)
    return _whole(one) if within is None else one.hatched(within)


@lru_cache(maxsize=256)
def _whole(one: _Stretch) -> str:
    if not one.is_cut:
        return one.hatched(None)
    wave = wave_of(one.name, (one.top + one.bottom) / 2.0)
    left, right = one.frame.left, one.frame.right
    drawn = one.hatched(_off(wave))
    return drawn + wave.svg(left, right, -BREAK) + wave.svg(left, right, BREAK)


def _off(wave: Wave) -> Inside:
    def within(x: Array, y: Array) -> Mask:
        off: Mask = abs(y - wave.at(x)) >= BREAK
        return off

    return within


def boundaries(column: Column, frame: Frame) -> str:
    """Lines between hatched neighbours: medium between layers, thin between plies; faces wide."""
    drawn = []
    for above, below in zip(column.bands, column.bands[1:], strict=False):
        if above.ply and below.ply:
            y = frame.top + above.bottom
            kind = "thin" if above.place == below.place else "med"
            drawn.append(line(frame.left, y, frame.right, y, kind))
    return "".join(drawn)


def face(column: Column, frame: Frame, outside: bool) -> str:
    """The wide line of a face whose layer is hatched; solid ink is its own."""
    band = column.bands[0 if outside else -1]
    y = frame.top + (band.top if outside else band.bottom)
    return line(frame.left, y, frame.right, y, "wide") if band.ply else ""


def end(x: float, top: float, bottom: float, past: float = 7.0) -> str:
    """The zigzag break line of an end."""
    middle, jag = (top + bottom) / 2.0, min(9.0, (bottom - top) / 5.0)
    points = [
        (x, top - past),
        (x, middle - jag),
        (x - 0.5 * jag, middle - 0.4 * jag),
        (x + 0.5 * jag, middle + 0.4 * jag),
        (x, middle + jag),
        (x, bottom + past),
    ]
    return path("M" + "L".join(f"{number(a)} {number(b)}" for a, b in points), "thin")


def whole(column: Column, frame: Frame) -> str:
    """A section without its numbers: layers, boundaries, faces, ends."""
    top, bottom = frame.top, frame.top + column.height
    return (
        "".join(painted(band, frame) for band in column.bands)
        + boundaries(column, frame)
        + face(column, frame, True)
        + face(column, frame, False)
        + end(frame.left, top, bottom, 5.0)
        + end(frame.right, top, bottom, 5.0)
    )
