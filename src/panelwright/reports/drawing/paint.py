"""Bands put on paper: solid ink, hatching, boundaries, break lines."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

import numpy as np

from panelwright.mechanics.arrays import Array
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


def _look(band: Band, frame: Frame) -> Look:
    assert band.ply is not None
    return Look(
        band.item.layer.drawn,
        band.ply.angle,
        frame.cut,
        frame.scale,
        Random(f"{band.item.layer.name} {band.ply.hatch}"),
        bool(band.item.number % 2),
    )


def painted(band: Band, frame: Frame, within: Inside | None = None) -> str:
    """One band in ink or in its hatch, with its break where it is cut short."""
    top, bottom = frame.top + band.top, frame.top + band.bottom
    if band.ply is None:
        return box(frame.left, top, frame.right - frame.left, bottom - top, "solid")
    wave = None
    if band.is_cut and within is None:
        wave = wave_of(band.item.layer.name, (top + bottom) / 2.0)
        within = _off(wave)
    drawn = hatched(
        Area(frame.left, top, frame.right, bottom, within), band.ply.hatch, _look(band, frame)
    )
    if wave is not None:
        drawn += wave.svg(frame.left, frame.right, -BREAK) + wave.svg(
            frame.left, frame.right, BREAK
        )
    return drawn


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
