"""What to cut of cloth and of core, from rolls and sheets as they are sold.

A width is one run of the roll across a part. Every ply of a cloth begins its widths a stagger
further than the one below, so that no seam lies over another. Pieces are cut square, as long as
the part reaches under them, with a trim left over each end.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from panelwright import units
from panelwright.errors import InputError, Problem
from panelwright.fabrication.outline import Outline
from panelwright.mechanics import cutting, sandwich
from panelwright.mechanics.arrays import Array

#: A joint of cloth that runs at another angle than these is laid slanting from the roll.
SQUARE = (0.0, 90.0)
#: More widths than this nobody lays side by side.
MOST_WIDTHS = 200
#: Most strips side by side that are tried for cloth cut on the bias.
MOST_BIAS = 60
#: Offcuts narrower than this go to waste, m.
LEAST_OFFCUT = 0.05
#: Lengths on a cut list are rounded up to this, m.
ROUNDED = 0.01


# --- Asked ----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Roll:
    """A roll as it is sold, m. ``length`` : None where it is cut to measure."""

    width: float
    length: float | None = None


@dataclass(frozen=True)
class Cloth:
    """One cloth of a part.

    ``angle`` of the roll from the length of the part, degrees, None for cloth without a direction;
    ``either`` : run across instead of along it gives the same directions of fibre; ``swaps`` : then
    in the other order, as plies stitched at ±45 do. ``lap`` of
    neighbours, 0 for butts; ``trim`` over each end; ``stagger`` of seams from ply to ply; m.
    ``one_piece`` : may have no seam, as a bag film. ``on_the_bias`` : cut from the roll at 45° in
    place of being laid slanting. ``run`` : what the person wants, "along" or "across".
    """

    name: str
    roll: Roll
    plies: int = 1
    angle: float | None = 0.0
    either: bool = False
    lap: float = 0.0
    trim: float = 0.0
    stagger: float = 0.0
    one_piece: bool = False
    on_the_bias: bool = False
    run: str = ""
    swaps: bool = False


@dataclass(frozen=True)
class Sheet:
    """A sheet of core as it is sold, m. ``pitch`` : of its knife cuts, 0 for a plain sheet."""

    length: float
    width: float
    pitch: float = 0.0


# --- Found ----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Piece:
    """A piece of cloth, m. ``begins`` : place of its edge across the run, from the part's edge."""

    ply: int
    begins: float
    width: float
    length: float


@dataclass(frozen=True)
class CutLine:
    """One line of a cut list: so many pieces alike, m."""

    count: int
    length: float
    width: float


@dataclass(frozen=True)
class Run:
    """One way of laying a cloth.

    ``angle`` : of the roll from the length, degrees; ``widths`` : of each ply; ``metres`` : of
    roll; ``area`` : of cloth cut, m2; ``wasted`` : share of it that is not in the part; ``lapped``
    : share of the covered cloth that lies double; ``seams`` : of each ply, from the part's edge, m.
    """

    way: str
    angle: float
    widths: tuple[int, ...]
    metres: float
    area: float
    wasted: float
    lapped: float
    pieces: tuple[Piece, ...]
    seams: tuple[tuple[float, ...], ...]

    @property
    def lines(self) -> tuple[CutLine, ...]:
        """The cut list: alike pieces together, the longest first."""
        alike = Counter((_up(one.length), _up(one.width)) for one in self.pieces)
        ordered = sorted(alike.items(), reverse=True)
        return tuple(CutLine(count, length, width) for (length, width), count in ordered)


@dataclass(frozen=True)
class ClothCut:
    """A cloth and how it is cut.

    ``other`` : the other way, where the fibre allows it; ``why`` : what decided between them,
    empty where it was the length.
    ``rolls`` : how many of the length sold, 0 where it is cut to measure; ``left`` on them, m.
    """

    name: str
    chosen: Run
    other: Run | None
    why: str
    rolls: int = 0
    left: float = 0.0
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True)
class SheetCut:
    """Core sheets in rows. ``by_area`` : what could ever do; ``offcuts`` : alike together, m.

    ``wasted`` : share of the sheets that is not in the part; ``turned`` : the sheet's length lies
    round the girth; ``mouth`` : to which knife cuts open at the tightest bend, m, 0 if plain.
    """

    sheets: int
    rows: tuple[int, ...]
    turned: bool
    other_way: int
    by_area: int
    wasted: float
    offcuts: tuple[CutLine, ...]
    cuts: int = 0
    mouth: float = 0.0


def _up(length: float) -> float:
    return round(math.ceil(length / ROUNDED - 1e-6) * ROUNDED, 6)


def either_run(directions: Sequence[tuple[float | None, float]]) -> bool:
    """Whether a quarter turn of the roll leaves the directions of the fibre as they are.

    directions : angle in degrees, None at random, and share of the fibre of each ply.
    """

    def by_angle(turn: float) -> dict[int, float]:
        shares: dict[int, float] = {}
        for angle, share in directions:
            if angle is not None:
                key = round(10.0 * (angle + turn)) % 1800
                shares[key] = shares.get(key, 0.0) + share
        return shares

    here, turned = by_angle(0.0), by_angle(90.0)
    return here.keys() == turned.keys() and all(
        math.isclose(share, turned[key], rel_tol=1e-3) for key, share in here.items()
    )


# --- Cloth ----------------------------------------------------------------------------------------


def cloth_cut(cloth: Cloth, outline: Outline) -> ClothCut:
    """The cut list of one cloth: both ways where the fibre allows, the shorter chosen.

    Raises :class:`InputError` for a lap as wide as the roll, a piece longer than a roll, and cloth
    that may have no seam where the roll is too narrow; each with the nearest figure that works.
    """
    _check_lap(cloth)
    if cloth.on_the_bias:
        return _rolled(cloth, _bias(cloth, outline), None, _BIAS)
    ways = [_run(cloth, outline, angle) for angle in _angles(cloth)]
    allowed = [way for way in ways if _fits(cloth, way)]
    if not allowed:
        raise _too_small(cloth, ways)
    chosen = _chosen(cloth, allowed)
    other = next((way for way in ways if way is not chosen), None)
    return _rolled(cloth, chosen, other, _why(cloth, chosen, other, allowed))


def _chosen(cloth: Cloth, allowed: Sequence[Run]) -> Run:
    """The way asked for; else, where the two are not alike, the one predicted; else the shorter."""
    wanted = [way for way in allowed if way.way == cloth.run]
    if wanted or cloth.swaps:
        return (wanted or list(allowed))[0]
    return min(allowed, key=lambda way: round(way.metres, 6))


_BIAS = "cut at 45°; cloth stitched at ±45 needs no such cuts, nor does cloth laid slanting"


def _angles(cloth: Cloth) -> tuple[float, ...]:
    """Directions of the roll to try, degrees from the length."""
    if cloth.angle is None:
        return SQUARE
    own = cloth.angle % 180.0
    return (own, (own + 90.0) % 180.0) if cloth.either else (own,)


def _way(angle: float) -> str:
    return {0.0: "along", 90.0: "across"}.get(angle, f"at {angle:g}°")


def _check_lap(cloth: Cloth) -> None:
    if cloth.lap < cloth.roll.width:
        return
    width = units.show(cloth.roll.width, "thickness")
    what = f"the lap of {cloth.name} is as wide as its roll"
    given, allowed = units.show(cloth.lap, "thickness"), f"below {width}"
    hint = f"a roll wider than {given}, or no lap"
    raise InputError(Problem(what, given, allowed, hint))


def _begin(cloth: Cloth, ply: int) -> float:
    """By how much the first width of a ply is narrower: seams of plies keep their stagger."""
    return math.fmod(ply * cloth.stagger, cloth.roll.width - cloth.lap)


def _run(cloth: Cloth, outline: Outline, angle: float) -> Run:
    """The cloth laid with its roll at an angle to the length."""
    seen = outline.turned(angle)
    low, high = seen.across
    pieces: list[Piece] = []
    widths: list[int] = []
    seams: list[tuple[float, ...]] = []
    for ply in range(cloth.plies):
        first = _begin(cloth, ply)
        count = int(cutting.lapped_pieces(high - low + first, cloth.roll.width, cloth.lap))
        _check_count(cloth, count, high - low)
        edges = np.arange(float(count)) * (cloth.roll.width - cloth.lap) - first
        pieces += _pieces(cloth, seen, ply, edges)
        widths.append(count)
        seams.append(tuple(float(edge) + 0.5 * cloth.lap for edge in edges[1:]))
    return _summed(_way(angle), angle, cloth, outline, widths, pieces, seams)


def _pieces(cloth: Cloth, seen: Outline, ply: int, edges: Array) -> list[Piece]:
    """The widths of one ply, each as long as the part reaches under it, as wide as it is used."""
    low, high = seen.across
    starts = np.maximum(low + edges, low)
    ends = np.minimum(low + edges + cloth.roll.width, high)
    lengths = cutting.roll_length(1.0, seen.lengths(starts, ends), cloth.trim)
    return [
        Piece(ply, max(float(edge), 0.0), float(end - start), float(length))
        for edge, start, end, length in zip(edges, starts, ends, lengths, strict=True)
    ]


def _check_count(cloth: Cloth, count: int, across: float) -> None:
    if count <= MOST_WIDTHS:
        return
    what = f"{count} widths of {cloth.name} would lie side by side"
    given = f"a roll {units.show(cloth.roll.width, 'thickness')} wide"
    allowed, least = f"up to {MOST_WIDTHS} widths", cloth.lap + across / MOST_WIDTHS
    hint = f"a roll {units.show(1.05 * least, 'thickness')} wide or wider"
    raise InputError(Problem(what, given, allowed, hint))


def _summed(
    way: str,
    angle: float,
    cloth: Cloth,
    outline: Outline,
    widths: Sequence[int],
    pieces: Sequence[Piece],
    seams: Sequence[tuple[float, ...]],
) -> Run:
    metres = math.fsum(piece.length for piece in pieces)
    area = metres * cloth.roll.width
    return Run(
        way,
        angle,
        tuple(widths),
        metres,
        area,
        float(cutting.share_wasted(cloth.plies * outline.area, area)),
        float(cutting.cloth_in_laps(cloth.roll.width, cloth.lap)) if max(widths) > 1 else 0.0,
        tuple(pieces),
        tuple(seams),
    )


def _fits(cloth: Cloth, way: Run) -> bool:
    if cloth.one_piece and max(way.widths) > 1:
        return False
    longest = max(piece.length for piece in way.pieces)
    return cloth.roll.length is None or longest <= cloth.roll.length * (1.0 + 1e-9)


def _too_small(cloth: Cloth, ways: Sequence[Run]) -> InputError:
    """No way fits the roll: the width or the length that would do."""
    show = units.show
    if cloth.one_piece:
        needed = min(
            math.fsum(piece.width for piece in way.pieces if piece.ply == 0) for way in ways
        )
        what = f"the roll of {cloth.name} is narrower than the piece, which may have no seam"
        given = show(cloth.roll.width, "length")
        hint = "a wider roll, or allow a taped seam"
        problem = Problem(what, given, f"{show(needed, 'length')} or more", hint)
        return InputError(problem)
    longest = min(max(piece.length for piece in way.pieces) for way in ways)
    what = f"the roll of {cloth.name} is shorter than its longest piece"
    given = show(cloth.roll.length or 0.0, "length")
    hint = "a longer roll, or the part in two bays with a lap between them"
    problem = Problem(what, given, f"{show(longest, 'length')} or more", hint)
    return InputError(problem)


def _why(cloth: Cloth, chosen: Run, other: Run | None, allowed: Sequence[Run]) -> str:
    """What decided the way, where it was not the length."""
    if other is None:
        return "the direction of its fibre leaves no other way"
    if other not in allowed:
        return f"{other.way} does not fit the roll"
    if chosen.way == cloth.run:
        return "as asked"
    if cloth.swaps and other.metres < chosen.metres:
        return "there its two directions would lie in the other order"
    return ""


def _rolled(cloth: Cloth, chosen: Run, other: Run | None, why: str) -> ClothCut:
    """The pieces taken from rolls of the length sold, the longest first."""
    warnings = (
        *_run_warnings(cloth, chosen),
        *_swap_warnings(cloth, chosen),
        *_seam_warnings(cloth, chosen),
    )
    if cloth.roll.length is None:
        return ClothCut(cloth.name, chosen, other, why, warnings=warnings)
    free: list[float] = []
    for piece in sorted(chosen.pieces, key=lambda one: -one.length):
        fitting = next((k for k, left in enumerate(free) if left >= piece.length - 1e-9), None)
        if fitting is None:
            free.append(cloth.roll.length - piece.length)
        else:
            free[fitting] -= piece.length
    return ClothCut(cloth.name, chosen, other, why, len(free), math.fsum(free), warnings)


def _run_warnings(cloth: Cloth, chosen: Run) -> list[str]:
    if cloth.run in {"", chosen.way}:
        return []
    return [
        f"{cloth.name} runs {chosen.way}, not {cloth.run} as asked: the direction of its fibre or "
        "the length of the roll forbids it"
    ]


def _swap_warnings(cloth: Cloth, chosen: Run) -> list[str]:
    own = 0.0 if cloth.angle is None else cloth.angle % 180.0
    if not cloth.swaps or chosen.angle == own:
        return []
    return [
        f"{cloth.name} run {chosen.way} lies with its two directions in the other order: write "
        f"angle = {chosen.angle:g} in the panel file to predict it so, or run it {_way(own)}"
    ]


def _seam_warnings(cloth: Cloth, chosen: Run) -> list[str]:
    if max(chosen.widths) == 1 or cloth.plies == 1 or cloth.stagger > 0.0:
        return []
    return [
        f"the seams of the {cloth.plies} plies of {cloth.name} lie over each other: stagger them, "
        f"50 mm is the least of one set of class rules"
    ]


# --- On the bias ----------------------------------------------------------------------------------


def _bias(cloth: Cloth, outline: Outline) -> Run:
    """Strips cut at 45° from edge to edge of the roll, laid side by side over the whole part.

    Of the widths of strip that go evenly into the part, the one that takes least roll.
    """
    low, high = outline.across
    length = float(outline.lengths([low], [high])[0])
    tried = [
        plan
        for count in range(1, MOST_BIAS + 1)
        for ends in ((length, high - low), (high - low, length))
        if (plan := _bias_plan(cloth, count, *ends)) is not None
    ]
    if not tried:
        what = f"no strip cut at 45° from the roll of {cloth.name} covers the part"
        given = units.show(cloth.roll.width, "length")
        hint = "cloth stitched at ±45, or the roll laid slanting"
        raise InputError(Problem(what, given, "a wider roll", hint))
    width, each, count = min(tried, key=lambda plan: plan[2] * plan[0])
    pieces = [Piece(ply, 0.0, width, each) for ply in range(cloth.plies) for _ in range(count)]
    total = cloth.plies * count
    metres = float(cutting.bias_roll_length(cloth.roll.width, width, total))
    area = metres * cloth.roll.width
    return Run(
        "on the bias",
        45.0,
        (count,) * cloth.plies,
        metres,
        area,
        float(cutting.share_wasted(cloth.plies * outline.area, area)),
        float(cutting.cloth_in_laps(width, cloth.lap)) if count > 1 else 0.0,
        tuple(pieces),
        (),
    )


def _bias_plan(
    cloth: Cloth, side_by_side: int, length: float, across: float
) -> tuple[float, float, int] | None:
    """Width, length and number of strips; None where strips so wide have no square length."""
    width = (across + (side_by_side - 1) * cloth.lap) / side_by_side
    each = float(cutting.bias_length(cloth.roll.width, width))
    if each <= max(2.0 * cloth.lap, 0.0) or width <= cloth.lap:
        return None
    in_line = int(cutting.lapped_pieces(length, each, cloth.lap))
    return width, each, side_by_side * in_line


# --- Core -----------------------------------------------------------------------------------------


def core_sheets(sheet: Sheet, outline: Outline, thickness: float, curvature: float) -> SheetCut:
    """Sheets of core in rows, either way round, the fewer chosen; offcuts are not joined again.

    thickness : of the core, m; curvature : the greatest across its cuts, 1/m.
    """
    ways = [(_rows(outline, *sides), sides) for sides in _sides(sheet)]
    turned = sum(ways[1][0]) < sum(ways[0][0])
    (rows, sides), (other, _) = ways[::-1] if turned else ways
    count = sum(rows)
    each = sheet.length * sheet.width
    return SheetCut(
        count,
        rows,
        turned,
        sum(other),
        int(cutting.sheets_by_area(outline.area, each)),
        float(cutting.share_wasted(outline.area, count * each)),
        _offcuts(outline, rows, *sides),
        0 if not sheet.pitch else _cuts(sheet),
        float(sandwich.kerf_mouth(sheet.pitch, thickness, curvature)),
    )


def _sides(sheet: Sheet) -> tuple[tuple[float, float], ...]:
    return (sheet.length, sheet.width), (sheet.width, sheet.length)


def _cuts(sheet: Sheet) -> int:
    """Knife cuts in one sheet, both ways."""
    lengthwise, crosswise = sheet.length / sheet.pitch, sheet.width / sheet.pitch
    return sum(max(math.ceil(spaces - 1e-6) - 1, 0) for spaces in (lengthwise, crosswise))


def _bands(outline: Outline, across: float) -> list[tuple[float, float]]:
    """Length and height of the part in each row of sheets."""
    low, high = outline.across
    count = int(cutting.lapped_pieces(high - low, across, 0.0))
    starts = low + across * np.arange(float(count))
    ends = np.minimum(starts + across, high)
    lengths = outline.lengths(starts, ends)
    return [
        (float(length), float(height))
        for length, height in zip(lengths, ends - starts, strict=True)
    ]


def _rows(outline: Outline, along: float, across: float) -> tuple[int, ...]:
    """Sheets in each row."""
    return tuple(
        int(cutting.sheets_in_grid(length, height, along, across))
        for length, height in _bands(outline, across)
    )


def _offcuts(
    outline: Outline, rows: Sequence[int], along: float, across: float
) -> tuple[CutLine, ...]:
    """What is left of the last sheet of each row, and above the top row."""
    found: Counter[tuple[float, float]] = Counter()
    for count, (length, height) in zip(rows, _bands(outline, across), strict=True):
        end, above = count * along - length, across - height
        if min(end, across) >= LEAST_OFFCUT:
            found[_sorted(end, across)] += 1
        if min(above, along) >= LEAST_OFFCUT:
            whole = max(count - (1 if end >= LEAST_OFFCUT else 0), 0)
            if whole:
                found[_sorted(above, along)] += whole
            if end >= LEAST_OFFCUT and along - end >= LEAST_OFFCUT:
                found[_sorted(above, along - end)] += 1
    ordered = sorted(found.items(), key=lambda item: -item[0][0] * item[0][1])
    return tuple(CutLine(count, length, width) for (length, width), count in ordered)


def _sorted(one: float, two: float) -> tuple[float, float]:
    """Two sides of an offcut, the longer first, rounded down."""
    down = (math.floor(side / ROUNDED + 1e-6) * ROUNDED for side in (one, two))
    short, long = sorted(round(side, 6) for side in down)
    return long, short
