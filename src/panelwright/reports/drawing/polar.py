"""Stiffness by direction."""

from __future__ import annotations

import math
from collections.abc import Sequence

from panelwright import units
from panelwright.panels.records import AngleRecord, Prediction
from panelwright.reports.drawing.axes import of_one, plain, ticks
from panelwright.reports.drawing.svg import circle, drawing, line, number, path, words
from panelwright.reports.layout import printed

#: Most radius, px, and the room for words around.
RADIUS, ROOM_X, ROOM_Y = 150.0, 62.0, 30.0

Point = tuple[float, float]


def polar_svg(
    prediction: Prediction, width: float, system: str = "si", most: float = RADIUS
) -> str:
    """Modulus in bending and in the plane by angle; nothing where the stiffness is not known.

    0° to the right, 90° upwards, as the panel lies seen from outside; ``most``: radius, px.
    """
    if prediction.section is None or len(prediction.section.by_angle) < 3:
        return ""
    angles = [one for one in prediction.section.by_angle if one.angle < 180.0]
    radius = min(most, (width - 2.0 * ROOM_X) / 2.0)
    x, y = width / 2.0, radius + ROOM_Y
    one, unit = of_one("modulus", system)
    largest = max(max(at.bending.high, at.in_plane.value) for at in angles)
    if system != "imperial" and largest >= 1e9:
        one, unit = 1e9, "GPa"
    elif system == "imperial" and largest >= 1e3 * one:
        one, unit = 1e3 * one, "Msi"
    rings = ticks(1.02 * largest / one, 4)
    outer = rings[-1] + (rings[1] if rings[-1] * one < largest else 0.0)
    rings = [ring for ring in (*rings, outer) if ring > 0.0]
    per = radius / (outer * one)

    def curve(values: Sequence[float], kind: str) -> str:
        turns = [math.radians(at.angle) for at in angles]
        turns += [turn + math.pi for turn in turns]
        radii = [max(value, 0.0) * per for value in (*values, *values)]
        points = [
            (x + r * math.cos(turn), y - r * math.sin(turn))
            for r, turn in zip(radii, turns, strict=True)
        ]
        return path(_smooth(points), kind)

    parts = [_grain(prediction, x, y, radius), _grid(x, y, radius, rings, outer)]
    parts.append(curve([at.bending.low for at in angles], "hair"))
    parts.append(curve([at.bending.high for at in angles], "hair"))
    parts.append(curve([at.in_plane.value for at in angles], "dashed-med"))
    parts.append(curve([at.bending.value for at in angles], "wide"))
    parts += _words(x, y, radius)
    shown = list(dict.fromkeys(rings))[-2:]
    for ring in shown:
        at_y = y + radius * ring / outer
        parts.append(words(x, at_y + 15.0, plain(ring), "letter halo", "middle"))
    foot = y + radius + 42.0
    parts += _legend(foot, unit)
    told = "; ".join(", ".join(row) for row in polar_table(prediction, system)[1:])
    title = (
        f"Stiffness by direction of {printed(prediction.title)}, outer ring {plain(outer)} {unit}"
    )
    return drawing("".join(parts), width, foot + 50.0, title, f"{told}.")


def _smooth(points: Sequence[Point]) -> str:
    """A closed smooth curve through points: each tangent along the chord of its neighbours."""
    count = len(points)
    parts = [f"M{number(points[0][0])} {number(points[0][1])}"]
    for index in range(count):
        before, here = points[index - 1], points[index]
        after, next_ = points[(index + 1) % count], points[(index + 2) % count]
        one = [here[k] + (after[k] - before[k]) / 6.0 for k in (0, 1)]
        two = [after[k] - (next_[k] - here[k]) / 6.0 for k in (0, 1)]
        parts.append("C" + " ".join(number(value) for value in (*one, *two, *after)))
    return "".join(parts) + "z"


def _grain(prediction: Prediction, x: float, y: float, radius: float) -> str:
    """The grain of the thickest timber behind the curves."""
    timber = [one for one in prediction.layers if one.kind in {"strips", "board", "veneer"}]
    if not timber:
        return ""
    thickest = max(timber, key=lambda layer: layer.thickness.value)
    turn = math.radians(thickest.angles[0] or 0.0)
    parts = []
    for step in range(-7, 8):
        off = radius * step / 8.0
        half = math.sqrt(radius**2 - off**2) * (0.93 + 0.05 * (step % 2))
        ends = [
            (
                x + s * half * math.cos(turn) - off * math.sin(turn),
                y - s * half * math.sin(turn) - off * math.cos(turn),
            )
            for s in (-1.0, 1.0)
        ]
        parts.append(line(*ends[0], *ends[1], "faint"))
    return "".join(parts)


def _grid(x: float, y: float, radius: float, rings: Sequence[float], outer: float) -> str:
    parts = [circle(x, y, radius * ring / outer, "grid") for ring in dict.fromkeys(rings)]
    for turn in range(0, 180, 45):
        dx, dy = radius * math.cos(math.radians(turn)), radius * math.sin(math.radians(turn))
        parts.append(line(x - dx, y + dy, x + dx, y - dy, "grid"))
    return "".join(parts)


def _words(x: float, y: float, radius: float) -> list[str]:
    slant = radius * math.sqrt(0.5)
    return [
        words(x, y - radius - 9.0, "90° across", "word", "middle"),
        words(x + radius + 8.0, y - 3.0, "0°", "word"),
        words(x + radius + 8.0, y + 15.0, "along", "word"),
        words(x + slant + 7.0, y - slant - 5.0, "45°", "word"),
    ]


def _legend(y: float, unit: str) -> list[str]:
    return [
        line(2.0, y - 5.0, 34.0, y - 5.0, "wide"),
        words(42.0, y, f"in bending, {unit}; range of 9 in 10", "word small"),
        line(2.0, y + 17.0, 34.0, y + 17.0, "dashed-med"),
        words(42.0, y + 22.0, f"in its plane, {unit}", "word small"),
    ]


def _modulus(at: AngleRecord, name: str, system: str) -> str:
    value = getattr(at, name)
    return units.show(value.value, "modulus", system, value.low, value.high)


def polar_table(prediction: Prediction, system: str = "si") -> list[tuple[str, ...]]:
    """Stiffness by direction in words."""
    angles = () if prediction.section is None else prediction.section.by_angle
    rows = [
        (f"{at.angle:g}°", _modulus(at, "bending", system), _modulus(at, "in_plane", system))
        for at in angles
        if at.angle < 180.0
    ]
    return [("direction", "modulus in bending", "modulus in its plane"), *rows]
