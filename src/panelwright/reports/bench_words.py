"""What a measured piece comes to in the words of both faces: rows of tables and sentences."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import replace

from panelwright import units
from panelwright.panels.verdicts import KEPT, NOT_KEPT, ONLY_JUST, DutyRecord, LimitRecord
from panelwright.provenance import SIGMAS_OF_90
from panelwright.reports.duty_text import shown as shown_value
from panelwright.reports.layout import plural
from panelwright.samples.found import Closure, Edge, EdgeLayer, Finding, Findings, ThicknessMap
from panelwright.samples.house import HouseValue
from panelwright.samples.readings import KINDS, ON_A_PHOTO, Kind, Reading
from panelwright.samples.reconcile import BookLine, Compared

#: A point of a grid, such as A1.
_SPOT = re.compile(r"[A-Z][1-9][0-9]?")
#: Contributions below this share of the variance are not told.
LEAST = 0.10
#: Draws that differ by more than this share from first derivatives are told.
BENDS = 0.15
#: Thickness is told no finer than a caliper tells it, m.
LEAST_SCATTER = 1e-5


def shown(value: float, u: float, dimension: str, system: str) -> str:
    """A value in the digits that its standard uncertainty leaves."""
    half = SIGMAS_OF_90 * u
    return units.show(value, dimension, system, value - half, value + half)


def _half(half: float, dimension: str, system: str) -> str:
    """Half of a range, in the two digits that are known of it."""
    return units.show(half, dimension, system, 0.0, 2.0 * half)


def _small(dimension: str) -> str:
    """The dimension whose units suit parts of an amount."""
    return "cloth_mass" if dimension == "areal_mass" else dimension


def _signed(value: float, half: float, dimension: str, system: str) -> str:
    """A value that may be below zero, in the digits that its range leaves."""
    size, small = abs(value), _small(dimension)
    number = units.show(size, small, system, size - half, size + half).partition(" (")[0]
    if not any(digit in number.partition(" ")[0] for digit in "123456789"):
        return number
    return f"{'−' if value < 0.0 else '+'}{number}"


def _amount(value: float, u: float, dimension: str, system: str) -> str:
    """A value that may be below zero, with half of its 90 % range."""
    half = SIGMAS_OF_90 * u
    return f"{_signed(value, half, dimension, system)} ± {_half(half, _small(dimension), system)}"


def _one_digit(half: float) -> float:
    """A half that has its second digit where this one has its first, or its second after a 1."""
    return half if f"{half:e}".startswith("1") else 10.0 * half


def _part(value: float, half: float, dimension: str, system: str) -> str:
    """A part of a difference, which is never known well: half of its range to one digit."""
    fine, small = _one_digit(half), _small(dimension)
    shown = units.show(half, small, system, half - fine, half + fine)
    return f"{_signed(value, fine, dimension, system)} ± {shown}"


# Readings ---------------------------------------------------------------------------------------


def unit_of(kind: Kind) -> str:
    """The unit of a number alone, as it is printed."""
    return kind.alone.replace("degC", "°C").replace("2", "²").replace("3", "³")


def one_of(kind: Kind) -> float:
    """How much one of that unit is, SI; of a temperature, a step of one."""
    return 1.0 if kind.dimension == "temperature" else units.factor(kind.alone or "1")


def as_read(reading: Reading) -> str:
    """A reading as it was read: in the unit of its field, no digit rounded away."""
    kind = KINDS[reading.what]
    if kind.dimension == "temperature":
        return units.show(reading.value, kind.dimension)
    return f"{reading.value / one_of(kind):.7g} {unit_of(kind)}".rstrip()


def of_readings(readings: Sequence[Reading]) -> list[str]:
    """Readings of one record in words, a kind each; with the reason of what was read anew."""
    said: dict[str, list[str]] = {}
    marks = 0
    for one in readings:
        if KINDS[one.what].when == ON_A_PHOTO:
            marks += one.what.endswith(" x")
            continue
        at = f"{one.at} " if one.at else ""
        why = f" (anew: {one.reason})" if one.reason else ""
        said.setdefault(one.what, []).append(f"{at}{as_read(one)}{why}")
    told = [f"{what} {', '.join(values)}" for what, values in said.items()]
    return [*told, f"{plural(marks, 'mark')} on a photo of the cut edge"] if marks else told


# Findings ---------------------------------------------------------------------------------------


def finding_rows(findings: Findings, system: str, *, unsure: bool) -> list[tuple[str, ...]]:
    """A head and a row for each finding; ``unsure``: with who makes it so."""
    head = ("found", "", "within (90 %)", "unsure mostly by" if unsure else "")
    return [head, *(_finding_row(found, system, unsure) for found in findings.found)]


def _finding_row(found: Finding, system: str, unsure: bool) -> tuple[str, ...]:
    half = _half(SIGMAS_OF_90 * found.u, found.dimension, system)
    value = units.show(found.value, found.dimension, system, found.low, found.high)
    told = "; cannot be told from zero" if found.told is False else ""
    return found.name, value, f"± {half}{told}", _unsure(found) if unsure else ""


def _unsure(found: Finding) -> str:
    told = [c for c in found.contributions if c.share >= LEAST][:3]
    words = [f"{c.name}{' by the book' if c.source == 'the book' else ''}" for c in told]
    said = [f"{word} {100 * c.share:.0f} %" for word, c in zip(words, told, strict=True)]
    if found.u_drawn is not None and abs(found.u_drawn - found.u) > BENDS * found.u:
        said.append(f"by draws {found.u_drawn / found.u:.1f} times as unsure")
    return ", ".join(said)


def of_the_map(found: ThicknessMap, system: str) -> str:
    """How thickness scatters over a piece, in one sentence."""
    count = plural(len(found.points), "point")
    if found.scatter is None or found.half_width_95 is None:
        return f"Thickness at {count}: gauge nine or more for its scatter."
    least, most = (
        f"{_gauged(found, value, system)}{_at(found, value)}" for value in (found.least, found.most)
    )
    half = _half(found.half_width_95, "thickness", system)
    share = 100.0 * found.scatter / found.mean
    scatter = _half(found.scatter, "thickness", system)
    return (
        f"Thickness at {count}: {least} to {most}, scatter {scatter} ({share:.1f} %); the mean is "
        f"good to {half} (95 %)."
    )


def _gauged(found: ThicknessMap, value: float, system: str) -> str:
    """One thickness, in the digits that the scatter of all leaves."""
    half = _one_digit(max(found.scatter or 0.0, LEAST_SCATTER))
    return units.show(value, "thickness", system, value - half, value + half).partition(" (")[0]


def _at(found: ThicknessMap, value: float) -> str:
    """The point of a thickness, where it has a name."""
    name = next(at for at, read in found.points if read == value)
    return f" ({name})" if name else ""


def map_rows(found: ThicknessMap, system: str) -> list[tuple[str, ...]]:
    """Thickness as the points lie on the piece, A1 to C3 and beyond; nothing for other names."""
    spots = {at: value for at, value in found.points if _SPOT.fullmatch(at)}
    if len(spots) < 2 or len(spots) < len({at for at, _ in found.points}):
        return []
    rows, columns = sorted({at[0] for at in spots}), sorted({int(at[1:]) for at in spots})

    def cell(at: str) -> str:
        if at not in spots:
            return ""
        return _gauged(found, spots[at], system)

    head = ("", *(f"{column}" for column in columns))
    return [head, *((row, *(cell(f"{row}{column}") for column in columns)) for row in rows)]


def of_closure(closure: Closure, system: str) -> str:
    """Whether readings that must agree do, in words."""
    gap = _amount(closure.gap, closure.u, closure.dimension, system)
    if closure.closes:
        return f"It closes: {closure.says}, apart by {gap}."
    return (
        f"It does not close: {closure.says}, apart by {gap}. One of the readings is off, or "
        "texture of the surface was gauged: look at them before anything is learnt."
    )


# Reconcile --------------------------------------------------------------------------------------


def compared_rows(compared: Sequence[Compared], system: str) -> list[tuple[str, ...]]:
    """A head and a row for each quantity: predicted, found, and how they differ."""
    return [
        ("", "predicted", "range", "found", "difference", ""),
        *(
            (
                one.name,
                units.show(one.predicted, one.dimension, system, one.low, one.high),
                units.show_range(one.low, one.high, one.dimension, system),
                shown(one.found, one.u, one.dimension, system),
                _difference(one, system),
                "within" if one.within else "outside",
            )
            for one in compared
        ),
    ]


def _difference(one: Compared, system: str) -> str:
    percent = 100.0 * one.difference / one.predicted
    number = _signed(one.difference, SIGMAS_OF_90 * one.u, one.dimension, system)
    return f"{number} ({percent:+.1f} %)".replace("(-", "(−").replace("−0.0 %", "0.0 %")


def split_rows(one: Compared, system: str) -> list[tuple[str, ...]]:
    """A row for each part of a difference, and what is not explained."""
    told = [s for s in one.splits if max(abs(s.value), s.u) >= 1e-3 * one.predicted]
    rows = [
        (
            split.part,
            _part(split.value, SIGMAS_OF_90 * split.u, one.dimension, system),
            "" if split.told else "cannot be told from nothing",
        )
        for split in told
    ]
    least = SIGMAS_OF_90 * max([one.u, *(split.u for split in told)])
    rest = _signed(one.rest, _one_digit(least), one.dimension, system)
    return [*rows, ("not explained", rest, "")]


def of_effects(effects: Sequence[tuple[str, float]]) -> str:
    """What the causes as found do: each property with its ratio to the predicted one."""
    said = ", ".join(f"{name} {100 * (ratio - 1):+.0f} %" for name, ratio in effects)
    return f"What it does: {said}.".replace("-", "−")


#: Limits in a builder's words; others by their own name.
_LIMITS = {
    "reserve factor": "its reserve",
    "reserve factor at first damage": "its reserve at first damage",
    "deflection": "its deflection",
    "strain along fibre or grain": "its strain",
}
#: What a verdict is to a builder: before, and with what was measured.
_KEEPS = {
    (KEPT, KEPT): "still keeps {}",
    (KEPT, ONLY_JUST): "keeps {} only just, which it kept before",
    (KEPT, NOT_KEPT): "no longer keeps {}",
    (ONLY_JUST, KEPT): "keeps {}, which was kept only just before",
    (ONLY_JUST, ONLY_JUST): "still keeps {} only just",
    (ONLY_JUST, NOT_KEPT): "does not keep {}, which was kept only just before",
    (NOT_KEPT, KEPT): "keeps {}, which was not kept before",
    (NOT_KEPT, ONLY_JUST): "keeps {} only just, which was not kept before",
    (NOT_KEPT, NOT_KEPT): "still does not keep {}",
}
#: A value that moved by less stays as it was.
SAME = 0.005


def of_duty(title: str, before: DutyRecord, after: DutyRecord, system: str) -> str:
    """What the findings do to a duty, in one sentence."""
    keeps = _KEEPS[before.kept, after.kept].format(f"“{after.name}”")
    was = {limit.name: limit for limit in before.limits}
    told = [_moved(was[limit.name], limit, system) for limit in after.limits if limit.name in was]
    rest = f": {', '.join(part for part in told if part)}" if any(told) else ""
    return f"With what was measured {title} {keeps}{rest}."


def _moved(before: LimitRecord, after: LimitRecord, system: str) -> str:
    """How the value of a limit moved; empty where it is not known."""
    if before.value is None or after.value is None:
        return ""
    name = _LIMITS.get(after.name, f"its {after.name}")
    then, now, of = before.value.value, after.value.value, (after.dimension, system)
    half = max(0.5 * (one.high - one.low) for one in (before.value, after.value))
    said = [
        shown_value(replace(one, low=one.value - half, high=one.value + half), *of)
        for one in (before.value, after.value)
    ]
    if abs(now - then) <= SAME * abs(then) or said[0] == said[1]:
        return f"{name} stays {said[1]}"
    return f"{name} {'rises' if now > then else 'falls'} from {said[0]} to {said[1]}"


def book_rows(lines: Sequence[BookLine], system: str) -> list[tuple[str, ...]]:
    """A head and a row for each finding that the book has beside it."""
    return [
        ("beside the book", "found", "as printed", "brought here", "ratio"),
        *(
            (
                line.name,
                shown(line.found, line.u, line.dimension, system),
                units.show(line.printed, line.dimension, system),
                units.show(line.here, line.dimension, system),
                f"{line.ratio:.2f} ± {max(SIGMAS_OF_90 * line.ratio_u, 0.01):.2f}",
            )
            for line in lines
        ),
    ]


def of_book(line: BookLine) -> str:
    """Where the book's value is from and how it was brought here; the finding for its mass."""
    what, found, here = line.specific
    each = f" For its mass: {found:.2g} {what}, the book {here:.2g}." if what else ""
    return f"{line.name}: {line.relation}.{each} {line.source}"


def nothing_learnt(is_told: bool) -> str:
    """Why no house value stands on a piece; ``is_told``: it would tell of one."""
    if is_told:
        return "What it tells of house values is not kept yet: measure it once more."
    return (
        "No house value is learnt from it: its fibre fraction or soak was given in the panel file, "
        "or these readings do not pin one down."
    )


# House values -----------------------------------------------------------------------------------


def house_csv(values: Sequence[HouseValue]) -> str:
    """House values as a table for other programs, SI."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(
        ("key", "name", "value_si", "low_si", "high_si", "plates", "pieces", "used", "book_si")
    )
    for one in values:
        numbers = (one.value, one.low, one.high, len(one.told), one.pieces)
        used = "yes" if one.used else "no"
        writer.writerow((one.key, one.name, *numbers, used, one.book.value))
    return text.getvalue()


# A cut edge -------------------------------------------------------------------------------------


def edge_rows(edge: Edge, system: str) -> list[tuple[str, ...]]:
    """A head and a row for what lies between each pair of boundaries on a photo."""
    rows = [*edge.layers, *([edge.whole] if edge.whole and len(edge.layers) > 1 else ())]
    return [
        ("at the edge", "found", "within (90 %)", "predicted", "", "places"),
        *(_edge_row(row, row is edge.whole, system) for row in rows),
    ]


def _edge_row(row: EdgeLayer, is_whole: bool, system: str) -> tuple[str, ...]:
    found = row.found
    number = f"{row.first}" if row.first == row.last else f"{row.first} to {row.last}"
    half = SIGMAS_OF_90 * found.u
    return (
        "the whole" if is_whole else f"layer{'s' if row.first < row.last else ''} {number}",
        units.show(found.value, "thickness", system, found.low, found.high),
        f"± {_half(half, 'thickness', system)}",
        units.show(row.predicted, "thickness", system, row.low, row.high),
        units.show_range(row.low, row.high, "thickness", system),
        f"{row.places}",
    )


def of_edge(edge: Edge) -> str:
    """What makes the thickness on a photo unsure, and what it needs."""
    if edge.photo.missing:
        return f"Still needed: {edge.photo.missing}."
    told = edge.whole or (edge.layers[0] if edge.layers else None)
    if told is None:
        return "No place shows two neighbouring boundaries: mark both at one place."
    by = _unsure(told.found)
    more = (
        "" if told.places > 2 else " Mark three places or more: one tells nothing of the scatter."
    )
    return f"Unsure mostly by: {by}.{more}"


# A verdict --------------------------------------------------------------------------------------

#: What to change where a part of the difference is told: when there is more of it, and when less.
_CHANGES = {
    "cloth mass": ("weigh the roll and plan with its own mass",) * 2,
    "resin in the cloth": (
        "press out more resin, or plan with the fibre fraction you lay",
        "look for dry spots, or plan with the fibre fraction you lay",
    ),
    "soak": ("seal the core before the lay-up, or plan with your own soak", "plan with your soak"),
    "core density": ("weigh the core and plan with its own density",) * 2,
    "moisture": ("dry the timber, or plan with its moisture", "plan with the moisture it has"),
    "core thickness": ("gauge the core and plan with its own thickness",) * 2,
    "glue and coats": ("scrape more of it off, or plan with what stays on", "plan with what stays"),
    "densities and voids": ("have a cured button and the cloth weighed",) * 2,
}
YES, WITH_CHANGES, NO, NOT_YET = "yes", "with changes", "no", "not yet to be said"


def suggested(
    closes: bool, compared: Sequence[Compared], duties: Sequence[tuple[str, str]]
) -> tuple[str, str]:
    """Whether to build it so again, and what to change: what the findings alone say.

    closes : readings that must agree do; duties : the name and the verdict of each, as found.
    """
    if not compared:
        return NOT_YET, "weigh and gauge it first"
    if not closes:
        return NOT_YET, "readings that must agree do not: measure once more first"
    mass = compared[0]
    parts = [_CHANGES[s.part][0 if s.value > 0.0 else 1] for s in mass.splits if s.told][:2]
    lost = [f"“{name}”" for name, kept in duties if kept == NOT_KEPT]
    close = [f"“{name}”" for name, kept in duties if kept == ONLY_JUST]
    if lost:
        return NO, "; ".join([f"it does not keep {', '.join(lost)}", *parts])
    outside = [f"{one.name} lies outside what was predicted" for one in compared if not one.within]
    reasons = [*outside, *([f"{', '.join(close)} only just kept"] if close else []), *parts]
    if reasons:
        return WITH_CHANGES, "; ".join(reasons)
    kept = "every duty is kept" if duties else "no duty was set to hold it to"
    return YES, f"it lies within what was predicted, and {kept}"
