"""The hatches: how each material is drawn, wherever it is drawn.

A hatch is a function of the ink of its area and of a look: what was told of the layer, the scale,
and chance that starts from the layer's name, so that one stack gives one picture.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from random import Random
from typing import NamedTuple

import numpy as np

from panelwright.mechanics.arrays import Array
from panelwright.panels.records import Drawn
from panelwright.reports.drawing.ink import STEP, Area, Ink, Mask

#: Least distance of hatch lines, px.
CLOSEST = 5.0
#: A cell wall pitch is drawn true from here on, px; below, walls are left out evenly.
LEAST_CELL = 8.0
#: Grain and fibre within so many degrees of the cut run along it; so far off, they stand on it.
ALONG, ENDWISE = 20.0, 60.0


@dataclass(frozen=True)
class Look:
    """How one ply lies under the cut, and at what scale; px per m.

    ``angle`` : of grain or fibre, degrees, None without a direction; ``cut`` : across or along.
    """

    drawn: Drawn
    angle: float | None
    cut: str
    scale: float
    chance: Random
    odd: bool = False

    @property
    def turn(self) -> float:
        """Degrees between the cut and the grain or fibre, 0 to 90."""
        level = 90.0 if self.cut == "across" else 0.0
        turn = abs((self.angle or 0.0) - level) % 180.0
        return min(turn, 180.0 - turn)

    @property
    def is_along(self) -> bool:
        """Whether grain or fibre runs along the cut."""
        return self.angle is not None and self.turn <= ALONG

    @property
    def is_endwise(self) -> bool:
        """Whether grain or fibre is cut across."""
        return self.angle is not None and self.turn >= ENDWISE

    @property
    def stretch(self) -> float:
        """How much longer a slanting cut shows what lies across the grain."""
        if self.angle is None:
            return 1.0
        return 1.0 / max(math.sin(math.radians(self.turn)), 0.3)

    @property
    def lean(self) -> float:
        """Which way a slanted ply is drawn: +45 rises to the right however the panel is cut."""
        return math.copysign(1.0, math.sin(math.radians(2.0 * (self.angle or 0.0))))


Hatch = Callable[[Ink, Look], None]


# --- Timber ---------------------------------------------------------------------------------------


def _grain_lines(ink: Ink, look: Look) -> None:
    """Long uneven lines with breaks: timber cut along the grain."""
    area, chance = ink.area, look.chance
    y = area.top + chance.uniform(2.0, 5.0)
    while y < area.bottom - 1.0:
        x = area.left - chance.uniform(0.0, 60.0)
        while x < area.right:
            end = x + chance.uniform(90.0, 260.0)
            drift = chance.uniform(-0.9, 0.9)
            ink.line(x, y, end, y + drift)
            x = end + chance.choice((0.0, 9.0, 16.0))
        y += chance.uniform(CLOSEST, 8.5)


class _Seen(NamedTuple):
    """How much of the rings about a pith lies in what is drawn: radii, px, and turns, rad."""

    near: float
    far: float
    start: float
    stop: float


def _seen(area: Area, piece: Area, pith: tuple[float, float], flat: float, facing: float) -> _Seen:
    """What is seen of a piece's rings in the area that is drawn; a detail shows little of it."""
    beyond = flat * piece.height  # a joint stands out of its piece
    left, right = max(area.left, piece.left - beyond), min(area.right, piece.right + beyond)
    top, bottom = max(area.top, piece.top), min(area.bottom, piece.bottom)
    x = (np.array([left, right, left, right]) - pith[0]) / flat
    y = np.array([top, top, bottom, bottom]) - pith[1]
    aside = max(x.min(), -x.max(), 0.0), max(y.min(), -y.max(), 0.0)
    if left >= right or top >= bottom or max(aside) == 0.0:  # nothing of it, or the pith itself
        return _Seen(0.0, 0.0 if left >= right or top >= bottom else np.inf, -np.pi, np.pi)
    turns = (np.arctan2(y, x) - facing + np.pi) % (2.0 * np.pi) - np.pi
    slack = STEP / max(math.hypot(*aside), 1.0)
    return _Seen(
        math.hypot(*aside), float(np.hypot(x, y).max()), turns.min() - slack, turns.max() + slack
    )


def _rings(ink: Ink, piece: Area, look: Look, angle: float, flat: float) -> None:
    """Growth rings of one piece of timber about a pith far off, with short rays.

    angle : between the width and the rings, degrees, its sign the side; flat : stretch sideways.
    """
    chance, tilt = look.chance, math.radians(angle)
    wide, high = piece.width / flat, piece.height
    far = max(wide, high) * chance.uniform(1.1, 1.6) + 30.0
    up = chance.choice((-1.0, 1.0))
    pith = (far * math.sin(tilt), up * far * math.cos(tilt))
    middle = ((piece.left + piece.right) / 2.0, (piece.top + piece.bottom) / 2.0)
    reach = math.hypot(wide, high) / 2.0
    facing = math.atan2(-pith[1], -pith[0])
    span = math.asin(min(1.0, reach / far)) + 0.05
    seen = _seen(ink.area, piece, (middle[0] + flat * pith[0], middle[1] + pith[1]), flat, facing)
    start, stop = max(-span, seen.start), min(span, seen.stop)
    radius = max(far - reach, 4.0)
    while radius < min(far + reach, seen.far):
        if radius >= seen.near and start < stop:
            points = max(8, int((stop - start) * radius * flat / STEP))
            turn = facing + np.linspace(start, stop, points)
            ink.curve(
                middle[0] + flat * (pith[0] + radius * np.cos(turn)),
                middle[1] + pith[1] + radius * np.sin(turn),
            )
        radius += chance.uniform(CLOSEST + 0.5, 9.5)
    for _ in range(int(piece.width * high / 2600.0)):
        _ray(ink, piece, chance, (middle[0] + flat * pith[0], middle[1] + pith[1]))


def _ray(ink: Ink, piece: Area, chance: Random, pith: tuple[float, float]) -> None:
    x, y = chance.uniform(piece.left, piece.right), chance.uniform(piece.top, piece.bottom)
    away = math.hypot(x - pith[0], y - pith[1]) or 1.0
    long = chance.uniform(5.0, 12.0) / away
    area = ink.area
    if not (area.left - 12.0 < x < area.right + 12.0 and area.top - 12.0 < y < area.bottom + 12.0):
        return
    ink.line(x, y, x + (x - pith[0]) * long, y + (y - pith[1]) * long)


def _tilt(look: Look, steepest: float) -> float:
    """Ring angle as given, or one by chance where nobody looked; either way round."""
    given = look.drawn.ring_angle
    angle = look.chance.uniform(8.0, steepest) if given is None else given
    return angle * look.chance.choice((-1.0, 1.0))


def timber(ink: Ink, look: Look) -> None:
    """Rings across the grain, lines along it."""
    if look.is_along:
        _grain_lines(ink, look)
    else:
        _rings(ink, ink.area, look, _tilt(look, 30.0), look.stretch)


Joint = Callable[[Array], Array]


def _joint(look: Look, high: float) -> Joint:
    """How far the joint of two strips stands out at a share of the thickness, px."""
    deep, flat = _joint_depth(look, high), look.stretch
    radius = (high**2 / 4.0 + deep**2) / (2.0 * deep) if deep > 0.0 else 0.0

    def bead(v: Array) -> Array:
        level = np.clip(v, 0.0, 1.0) - 0.5
        return np.asarray(np.sqrt(np.maximum(radius**2 - (high * level) ** 2, 0.0)) - radius + deep)

    shapes: dict[str, Joint] = {
        "bead and cove": bead,
        "tongue and groove": lambda v: np.where(abs(v - 0.5) < 1.0 / 6.0, deep, 0.0),
        "bevelled": lambda v: 0.18 * high * v,
    }
    shape = shapes.get(look.drawn.profile, np.zeros_like)

    def seen(v: Array) -> Array:
        return flat * shape(v)

    return seen


def _joint_depth(look: Look, high: float) -> float:
    """What a strip is wider than it covers, px; a fifth of the thickness where that is not told."""
    width, cover = look.drawn.width, look.drawn.cover
    if width is None or cover is None or width <= cover:
        return 0.2 * high
    return min((width - cover) * look.scale, 0.5 * high)


def strips(ink: Ink, look: Look) -> None:
    """Timber strip by strip with the real joint between; one piece where no cover is told."""
    cover, area = look.drawn.cover, ink.area
    pitch = 0.0 if cover is None else cover * look.scale * look.stretch
    if look.is_along or pitch < 3.0 * CLOSEST:
        timber(ink, look)
        return
    shape = _joint(look, area.height)
    at = area.left - pitch * look.chance.uniform(0.25, 0.7)
    while at < area.right:
        _strip(ink, look, at, pitch, shape)
        at += pitch


def _strip(ink: Ink, look: Look, at: float, pitch: float, shape: Joint) -> None:
    area = ink.area

    def out(y: Array) -> Array:
        return at + shape((y - area.top) / area.height)

    def between(x: Array, y: Array) -> Mask:
        found = (x >= out(y)) & (x <= out(y) + pitch)
        return found if area.within is None else found & area.within(x, y)

    own = Ink(Area(area.left, area.top, area.right, area.bottom, between), ink.data)
    _rings(own, Area(at, area.top, at + pitch, area.bottom), look, _tilt(look, 75.0), look.stretch)
    y = np.linspace(area.top, area.bottom, max(12, int(2.0 * area.height / STEP)))
    ink.curve(out(y), y, "glue")


def end_grain(ink: Ink, look: Look) -> None:
    """Upright broken lines; the joints of the blocks heavier."""
    area, chance = ink.area, look.chance
    block = max(30e-3 * look.scale, 42.0)
    joint = area.left + block * chance.uniform(0.2, 0.9)
    x = area.left + 3.0
    while x < area.right - 2.0:
        if x >= joint:
            ink.line(joint, area.top, joint, area.bottom, "thin")
            joint += block * chance.uniform(0.85, 1.15)
        y = area.top - chance.uniform(0.0, 40.0)
        while y < area.bottom:
            end = y + chance.uniform(18.0, 70.0)
            ink.line(x, y, x, end)
            y = end + chance.choice((0.0, 4.0, 7.0))
        x += chance.uniform(CLOSEST, 6.5)


# --- Cores and sheets -----------------------------------------------------------------------------


def _strewn(area: Area, apart: float, chance: Random) -> list[tuple[float, float]]:
    """Points strewn over an area about so far apart, px."""
    rows, columns = (max(1, round(side / apart)) for side in (area.height, area.width))
    high, wide = area.height / rows, area.width / columns
    return [
        (
            area.left + wide * (column + 0.5 + chance.uniform(-0.42, 0.42)),
            area.top + high * (row + 0.5 + chance.uniform(-0.42, 0.42)),
        )
        for row in range(rows)
        for column in range(columns)
    ]


#: Cells of a foam are drawn so far apart, px, at 0 kg/m3, and so much closer for each kg/m3.
_FOAM_APART, _FOAM_CLOSER = 17.0, 0.022


def foam(ink: Ink, look: Look) -> None:
    """Open cells of three sizes, wider apart when lighter."""
    density = look.drawn.density or 100.0
    for x, y in _strewn(ink.area, max(9.0, _FOAM_APART - _FOAM_CLOSER * density), look.chance):
        ink.ring(x, y, look.chance.choice((1.6, 2.4, 3.3)))


def cork(ink: Ink, look: Look) -> None:
    """Granules: small uneven polygons."""
    for x, y in _strewn(ink.area, 11.0, look.chance):
        corners = [
            (
                x + 4.4 * look.chance.uniform(0.6, 1.0) * math.cos(1.2566 * k),
                y + 4.4 * look.chance.uniform(0.6, 1.0) * math.sin(1.2566 * k),
            )
            for k in range(5)
        ]
        for (x1, y1), (x2, y2) in zip(corners, corners[1:] + corners[:1], strict=True):
            ink.line(x1, y1, x2, y2)


def honeycomb(ink: Ink, look: Look) -> None:
    """Upright walls at the true pitch of the cells, every second one double."""
    area = ink.area
    cell = (look.drawn.cell or 0.0) * look.scale
    pitch = cell * math.ceil(LEAST_CELL / cell) if cell > 0.1 else LEAST_CELL
    x, double = area.left + min(pitch, area.width) / 2.0, False
    while x < area.right:
        for wall in (x - 0.9, x + 0.9) if double else (x,):
            ink.line(wall, area.top, wall, area.bottom)
        x, double = x + pitch, not double


def _slanted(ink: Ink, apart: float, rise: float, kind: str = "hair", start: float = 0.0) -> None:
    """Parallel lines at 45°, ``rise`` 1 upwards to the right, −1 downwards; px along the level."""
    area = ink.area
    x = area.left - area.height + start % apart
    while x < area.right + area.height:
        low, high = (area.bottom, area.top) if rise > 0.0 else (area.top, area.bottom)
        ink.line(x, low, x + area.height, high, kind)
        x += apart


def damping(ink: Ink, look: Look) -> None:
    """Crossed 45° lines."""
    _slanted(ink, 8.0, 1.0)
    _slanted(ink, 8.0, -1.0)


def bulking_mat(ink: Ink, look: Look) -> None:
    """Small spheres among short strokes."""
    for index, (x, y) in enumerate(_strewn(ink.area, 9.0, look.chance)):
        if index % 2:
            ink.ring(x, y, 1.5)
        else:
            _stroke(ink, look.chance, x, y)


# --- Cloth ----------------------------------------------------------------------------------------


def woven(ink: Ink, look: Look) -> None:
    """A wave of tow round lens-shaped tows."""
    area = ink.area
    long = min(max(1.9 * area.height, 22.0), 110.0)
    swing, middle = 0.2 * area.height, (area.top + area.bottom) / 2.0
    phase = look.chance.uniform(0.0, 1.0) * long
    x = np.arange(area.left, area.right + STEP, STEP)
    wave = middle + swing * np.cos(2.0 * np.pi * (x - area.left - phase) / long)
    thick = 0.13 * area.height
    if area.height >= 22.0:
        ink.curve(x, wave - thick)
        ink.curve(x, wave + thick)
    else:
        ink.curve(x, wave, "thin")
    crest = area.left + phase - long
    low = True
    while crest < area.right + long:
        # where the wave lies low its crossing tow lies above
        _lens(ink, crest, middle + swing * (-1.15 if low else 1.15), 0.21 * long, thick)
        crest, low = crest + long / 2.0, not low


def _lens(ink: Ink, x: float, y: float, half: float, thick: float) -> None:
    along = np.linspace(-half, half, max(8, int(3.0 * half / STEP)))
    bow = thick * (1.0 - (along / half) ** 2)
    if ink.area.height < 22.0:
        ink.curve(np.concatenate((x + along, x - along)), np.concatenate((y - bow, y + bow)), "tow")
        return
    ink.curve(np.concatenate((x + along, x - along)), np.concatenate((y - bow, y + bow)))
    for shift in (-0.45, 0.0, 0.45):
        ink.dot(x + shift * half, y, "specks")


def unidirectional(ink: Ink, look: Look) -> None:
    """Paired lines along the cut, dots on end, slanted lines between; random as a mat."""
    if look.angle is None:
        mat(ink, look)
    elif look.is_along:
        _pairs(ink)
    elif look.is_endwise:
        _dots(ink)
    else:
        _slanted(ink, 11.0, look.lean, start=look.chance.uniform(0.0, 11.0))


def _pairs(ink: Ink) -> None:
    area = ink.area
    pairs = max(1, int(area.height // 7.5))
    for pair in range(pairs):
        y = area.top + area.height * (pair + 0.5) / pairs
        ink.line(area.left, y - 1.1, area.right, y - 1.1)
        ink.line(area.left, y + 1.1, area.right, y + 1.1)


def _dots(ink: Ink) -> None:
    area = ink.area
    rows = max(1, int(area.height // 6.5))
    for row in range(rows):
        y = area.top + area.height * (row + 0.5) / rows
        x = area.left + (4.0 if row % 2 else 8.5)
        while x < area.right - 1.0:
            ink.dot(x, y)
            x += 9.0


def _stroke(ink: Ink, chance: Random, x: float, y: float) -> None:
    half, turn = chance.uniform(4.0, 8.5), chance.gauss(0.0, 0.35)
    dx, dy = half * math.cos(turn), half * math.sin(turn)
    ink.line(x - dx, y - dy, x + dx, y + dy)


def mat(ink: Ink, look: Look) -> None:
    """Short strokes every way."""
    area, chance = ink.area, look.chance
    for _ in range(max(6, int(area.width * area.height / 58.0))):
        _stroke(
            ink,
            chance,
            chance.uniform(area.left, area.right),
            chance.uniform(area.top, area.bottom),
        )


# --- Films, and what is not known -----------------------------------------------------------------


def glue(ink: Ink, look: Look) -> None:
    """Solid ink."""
    area = ink.area
    ink.put(
        f"M{area.left:.1f} {area.top:.1f}H{area.right:.1f}V{area.bottom:.1f}H{area.left:.1f}z",
        "solid",
    )


def resin(ink: Ink, look: Look) -> None:
    """Broken level lines, as liquids are drawn."""
    area = ink.area
    rows = max(1, int(area.height // CLOSEST))
    for row in range(rows):
        y = area.top + area.height * (row + 0.5) / rows
        x = area.left - (9.0 if row % 2 else 0.0)
        while x < area.right:
            ink.line(x, y, x + 12.0, y)
            x += 18.0


def unknown(ink: Ink, look: Look) -> None:
    """45° lines, the other way in every second layer."""
    _slanted(ink, 9.0, -1.0 if look.odd else 1.0)


HATCHES: dict[str, Hatch] = {
    "timber": timber,
    "strips": strips,
    "end grain": end_grain,
    "foam": foam,
    "cork": cork,
    "honeycomb": honeycomb,
    "damping": damping,
    "bulking mat": bulking_mat,
    "woven": woven,
    "stitched": unidirectional,
    "unidirectional": unidirectional,
    "mat": mat,
    "glue": glue,
    "resin": resin,
    "unknown": unknown,
}


def hatched(area: Area, hatch: str, look: Look) -> str:
    """An area in its hatch; one that nobody has a hatch for is drawn as unknown."""
    ink = Ink(area)
    HATCHES.get(hatch, unknown)(ink, look)
    return ink.svg()
