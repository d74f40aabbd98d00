"""A duty drawn: the field with its edges, its loads and how it bends; stress; go gauges."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence

from panelwright import units
from panelwright.panels.spread import Ranged
from panelwright.panels.verdicts import AT_MOST, DutyRecord, LimitRecord, LoadRecord, WayRecord
from panelwright.reports.drawing.letters import width_of
from panelwright.reports.drawing.svg import box, drawing, line, number, path, words
from panelwright.reports.layout import first_system, narrow, printed

#: Room about the field, px, and its most height.
MARGIN, MOST_HIGH, FOOT = 44.0, 300.0, 26.0
#: Steps of deflection that are labelled, in the unit shown.
_ROUND = (1.0, 2.0, 5.0)
#: A gauge: where the line of 100 % stands, as a share of the width; height of a bar, px.
FULL, BAR, GAUGE = 0.72, 10.0, 34.0


# --- The field ------------------------------------------------------------------------------------


def field_svg(duty: DutyRecord, width: float, system: str = "si") -> str:
    """The field as it lies, its edges, what stands on it, and lines of equal deflection.

    Empty for a strip.
    """
    if not duty.deflections:
        return ""
    way = max(duty.ways, key=lambda one: one.deflection.value)
    scale = min((width - 2.0 * MARGIN) / duty.length, MOST_HIGH / duty.width)
    long, high = duty.length * scale, duty.width * scale
    left, top = (width - long) / 2.0, MARGIN
    parts = [
        *_contours(duty, left, top, long, high, system),
        *(_load(one, duty, left, top, scale) for one in duty.loads),
        *_edges(way, duty, left, top, long, high),
        *_sizes(duty, left, top, long, high, system),
    ]
    told = f"held {', '.join(way.edges)} at left, right, bottom and top"
    return drawing(
        "".join(parts),
        width,
        high + 2.0 * MARGIN + FOOT,
        f"Field of {printed(duty.name)} with lines of equal deflection",
        f"{told}; the largest deflection is {_length(way.deflection.value, system)}.",
    )


def _length(value: float, system: str) -> str:
    return units.show(value, "thickness", first_system(system)).partition(" (")[0]


def _edges(
    way: WayRecord, duty: DutyRecord, left: float, top: float, long: float, high: float
) -> Iterator[str]:
    """Clamped: a hatched band; simply supported: a wide line; free: a thin dashed one."""
    sides = zip(("left", "right", "bottom", "top"), way.edges, strict=True)
    unsure = len(duty.ways) > 1
    other = min(duty.ways, key=lambda one: one.deflection.value)
    for at, (side, held) in enumerate(sides):
        x0, y0, x1, y1 = {
            "left": (left, top, left, top + high),
            "right": (left + long, top, left + long, top + high),
            "bottom": (left, top + high, left + long, top + high),
            "top": (left, top, left + long, top),
        }[side]
        kind = {"simply supported": "wide", "clamped": "wide", "free": "dashed"}[held]
        yield line(x0, y0, x1, y1, kind)
        is_unsure = unsure and other.edges[at] != held
        if held == "clamped":
            yield _ticks(side, x0, y0, x1, y1)
        word = "unsure" if is_unsure else held
        yield _edge_word(side, word, (x0 + x1) / 2.0, (y0 + y1) / 2.0)


def _ticks(side: str, x0: float, y0: float, x1: float, y1: float) -> str:
    """Short slanted lines outside an edge that is clamped."""
    out = {"left": (-7.0, 5.0), "right": (7.0, 5.0), "bottom": (5.0, 7.0), "top": (5.0, -7.0)}[side]
    steps = max(2, int(math.hypot(x1 - x0, y1 - y0) / 9.0))
    data = ""
    for step in range(steps):
        x, y = x0 + (x1 - x0) * step / steps, y0 + (y1 - y0) * step / steps
        data += f"M{number(x)} {number(y)}l{number(out[0])} {number(out[1])}"
    return path(data, "thin")


def _edge_word(side: str, word: str, x: float, y: float) -> str:
    shift = {"left": (-14.0, 0.0), "right": (22.0, 0.0), "bottom": (0.0, 24.0), "top": (0.0, -12.0)}
    dx, dy = shift[side]
    if side in {"left", "right"}:
        return words(x + dx, y, word, "word", "middle", turned=True)
    return words(x, y + dy, word, "word", "middle")


def _sizes(
    duty: DutyRecord, left: float, top: float, long: float, high: float, system: str
) -> Iterator[str]:
    """Length and width beneath."""
    said = f"{_length(duty.length, system)} x {_length(duty.width, system)}"
    yield words(left + long / 2.0, top + high + MARGIN + 8.0, said, "figure", "middle")


def _load(load: LoadRecord, duty: DutyRecord, left: float, top: float, scale: float) -> str:
    """A footprint, crossed; a load over the whole field has no place of its own."""
    if load.over is None:
        return ""
    (x0, x1), (y0, y1) = load.over
    x, y = left + x0 * scale, top + (duty.width - y1) * scale
    wide, high = max((x1 - x0) * scale, 2.0), max((y1 - y0) * scale, 2.0)
    cross = f"M{number(x)} {number(y)}l{number(wide)} {number(high)}"
    cross += f"M{number(x + wide)} {number(y)}l{number(-wide)} {number(high)}"
    return box(x, y, wide, high, "outline") + path(cross, "thin")


# --- Lines of equal deflection --------------------------------------------------------------------


def _levels(most: float) -> list[float]:
    """Three to six round levels below the largest value."""
    if most <= 0.0:
        return []
    rough = most / 4.0
    power = 10.0 ** math.floor(math.log10(rough))
    step = next((m * power for m in _ROUND if m * power >= rough * 0.75), 10.0 * power)
    return [step * k for k in range(1, int(most / step) + 1)]


def _contours(
    duty: DutyRecord, left: float, top: float, long: float, high: float, system: str
) -> Iterator[str]:
    factor = units.factor("in" if first_system(system) == "imperial" else "mm")
    grid = [[value / factor for value in column] for column in duty.deflections]
    nx, ny = len(grid), len(grid[0])
    most = max(max(column) for column in grid)
    unit = "in" if first_system(system) == "imperial" else "mm"

    def place(i: float, j: float) -> tuple[float, float]:
        return left + long * i / (nx - 1), top + high * (1.0 - j / (ny - 1))

    taken: list[tuple[float, float, float]] = []  # middle, height and width of labels
    for turn, level in enumerate(_levels(most)):
        pieces = list(_pieces(grid, level))
        data = "".join(
            "M{} {}L{} {}".format(*(number(v) for point in piece for v in place(*point)))
            for piece in pieces
        )
        yield path(data, "thin")
        away = math.radians(-90.0 + 38.0 * turn)
        way = math.cos(away), math.sin(away)
        middle = (nx - 1) / 2.0, (ny - 1) / 2.0
        spot = max(
            (piece[0] for piece in pieces),
            key=lambda at: _along(at, middle, way),
            default=None,
        )
        if spot is not None:
            x, y = place(*spot)
            said = f"{level:g} {unit}"
            label = (x, y, width_of(said, 13.0))
            if not any(_meets(label, other) for other in taken):
                taken.append(label)
                yield words(x, y + 4.0, said, "small halo", "middle")


Point = tuple[float, float]


def _meets(one: tuple[float, float, float], other: tuple[float, float, float]) -> bool:
    """Whether two labels would lie on each other."""
    aside = abs(one[0] - other[0]) < (one[2] + other[2]) / 2.0 + 8.0
    return aside and abs(one[1] - other[1]) < 18.0


def _along(at: tuple[float, float], middle: tuple[float, float], way: tuple[float, float]) -> float:
    """How nearly a point lies on a ray from the middle: labels go round, clear of each other."""
    x, y = at[0] - middle[0], at[1] - middle[1]
    return (x * way[0] + y * way[1]) / max(math.hypot(x, y), 1e-9)


def _pieces(grid: Sequence[Sequence[float]], level: float) -> Iterator[tuple[Point, Point]]:
    """Straight pieces of a line of equal value, cell by cell (marching squares)."""
    for i in range(len(grid) - 1):
        for j in range(len(grid[0]) - 1):
            corners = [
                ((i, j), grid[i][j]),
                ((i + 1, j), grid[i + 1][j]),
                ((i + 1, j + 1), grid[i + 1][j + 1]),
                ((i, j + 1), grid[i][j + 1]),
            ]
            found = [
                _between(corners[k], corners[(k + 1) % 4], level)
                for k in range(4)
                if (corners[k][1] < level) != (corners[(k + 1) % 4][1] < level)
            ]
            for k in range(0, len(found) - 1, 2):
                yield found[k], found[k + 1]


def _between(
    one: tuple[tuple[int, int], float], other: tuple[tuple[int, int], float], level: float
) -> Point:
    share = (level - one[1]) / (other[1] - one[1])
    (x0, y0), (x1, y1) = one[0], other[0]
    return x0 + share * (x1 - x0), y0 + share * (y1 - y0)


# --- Stress through the thickness -----------------------------------------------------------------


def through_svg(duty: DutyRecord, width: float, system: str = "si") -> str:
    """Stress along fibre or grain through the thickness, where first damage governs.

    The layer that governs is solid. Empty for a strip.
    """
    if not duty.through:
        return ""
    top = max(one.top for one in duty.through)
    bottom = min(one.bottom for one in duty.through)
    most = max(max(abs(s) for s in one.stresses) for one in duty.through) or 1.0
    high, middle, half = 180.0, width / 2.0, width / 2.0 - 70.0
    parts = [line(middle, 26.0, middle, 26.0 + high, "chain")]

    def y(z: float) -> float:
        return 26.0 + high * (top - z) / (top - bottom)

    for at, one in enumerate(duty.through):
        x0, x1 = (middle + half * stress / most for stress in one.stresses)
        data = (
            f"M{number(middle)} {number(y(one.top))}H{number(x0)}"
            f"L{number(x1)} {number(y(one.bottom))}H{number(middle)}Z"
        )
        parts.append(path(data, "solid" if at == duty.governing_layer else "outline"))
    end = units.show(most, "stress", first_system(system)).partition(" (")[0]
    parts += [
        words(middle - half, 26.0 + high + 20.0, f"\N{MINUS SIGN}{end}", "figure", "middle"),
        words(middle + half, 26.0 + high + 20.0, end, "figure", "middle"),
        words(middle, 14.0, "outside", "word", "middle"),
        words(middle - 8.0, 26.0 + high + 38.0, "pressed", "small", "end"),
        words(middle + 8.0, 26.0 + high + 38.0, "pulled", "small"),
    ]
    governs = duty.governing_layer
    named = "" if governs is None else printed(duty.through[governs].layer)
    return drawing(
        "".join(parts),
        width,
        high + 76.0,
        "Stress along fibre or grain through the thickness",
        f"From the outside down; the layer that governs first damage is solid: {named}.",
    )


# --- Go gauges ------------------------------------------------------------------------------------


def gauge_svg(limit: LimitRecord, width: float) -> str:
    """What of a limit is used up: a bar open below 100 % and solid past it, its range beneath."""
    at_full = FULL * width

    def x(share: float) -> float:
        return min(max(share, 0.0) * at_full, width - 4.0)

    parts = [line(at_full, 1.0, at_full, GAUGE - 3.0, "wide")]
    used = limit.used
    if used is None or limit.value is None:
        parts.append(words(2.0, 15.0, "not known", "small"))
    else:
        open_to = min(x(used), at_full)
        parts.append(box(1.0, 4.0, max(open_to - 1.0, 1.0), BAR, "outline"))
        if used > 1.0:
            parts.append(box(at_full, 4.0, x(used) - at_full, BAR, "solid"))
        parts.append(_range(limit.value, limit, x))
    share = "not known" if used is None else f"{100.0 * used:.0f} % of the limit used up"
    return drawing("".join(parts), width, GAUGE, narrow(share, 60), "")


def _range(value: Ranged, limit: LimitRecord, x: Callable[[float], float]) -> str:
    """The span of the shares, with ticks, and the middle as a diamond."""

    def share(found: float) -> float:
        if found <= 0.0:
            return 9.0
        return found / limit.limit if limit.sense == AT_MOST else limit.limit / found

    low, high = sorted((x(share(value.low)), x(share(value.high))))
    middle, y = x(share(value.value)), 24.0
    ticks = "".join(line(end, y - 4.0, end, y + 4.0, "med") for end in (low, high))
    diamond = f"M{number(middle)} {number(y - 4.6)}l4.6 4.6l-4.6 4.6l-4.6 -4.6z"
    return line(low, y, high, y, "med") + ticks + path(diamond, "open")
