"""What a measured piece comes to, as text and as plain values for machines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from panelwright import units
from panelwright.cli.shelf_text import plain
from panelwright.jobs.house import said_of_book, shown_value
from panelwright.jobs.measure import Measured, Worked
from panelwright.jobs.reconcile import BookLine, Reconciliation
from panelwright.provenance import SIGMAS_OF_90
from panelwright.reports.layout import first_system, plural, table, wrapped
from panelwright.samples.findings import Closure, Finding
from panelwright.samples.house import HouseValue
from panelwright.samples.reconcile import Compared, Lesson

SCHEMAS = {"measure": "panelwright/measure/1", "reconcile": "panelwright/reconcile/1"}
#: Contributions below this share of the variance are not told.
LEAST = 0.10


def _shown(value: float, u: float, dimension: str, system: str) -> str:
    half = SIGMAS_OF_90 * u
    return units.show(value, dimension, system, value - half, value + half)


def _half(half: float, dimension: str, system: str) -> str:
    """Half of a range, in the two digits that are known of it."""
    return units.show(half, dimension, system, 0.8 * half, 1.2 * half)


def _signed(value: float, half: float, dimension: str, system: str) -> str:
    """A value that may be below zero, in the digits that its range leaves."""
    small = "cloth_mass" if dimension == "areal_mass" else dimension
    shown = units.show(abs(value), small, system, abs(value) - half, abs(value) + half)
    return f"{'−' if value < 0.0 else '+'}{shown}"


def _amount(value: float, u: float, dimension: str, system: str) -> str:
    """A value that may be below zero, with half of its 90 % range."""
    half = SIGMAS_OF_90 * u
    small = "cloth_mass" if dimension == "areal_mass" else dimension
    return f"{_signed(value, half, dimension, system)} ± {_half(half, small, system)}"


def _head(work: Worked) -> str:
    title = work.panel.prediction.title
    number = work.piece.number or "a new piece"
    return f"{number}, of {work.panel.number} ({title}), revision {work.piece.revision}"


# Findings ---------------------------------------------------------------------------------------


def findings_text(work: Worked, system: str, *, full: bool = False) -> str:
    """The findings of a piece, what makes them unsure, and what does not fit together."""
    one = first_system(system)
    rows: list[tuple[str, ...]] = [
        ("found", "", "within (90 %)", "unsure mostly by" if full else "")
    ]
    rows += [_row(found, one, full) for found in work.findings.found]
    parts = [table(rows)] if len(rows) > 1 else ["Nothing is found yet."]
    notes = [f"{f.name}: {f.note}" for f in work.findings.found if f.note]
    parts += ["\n".join(wrapped(note, first="  ") for note in notes)] if notes else []
    if work.findings.map is not None:
        parts.append(_map_text(work, one))
    parts += [_closure_text(closure, one) for closure in work.findings.closures]
    if work.findings.missing:
        rest = "; ".join(work.findings.missing)
        parts.append(wrapped(f"What would tell more: {rest}."))
    return "\n\n".join(parts)


def _row(found: Finding, system: str, full: bool) -> tuple[str, ...]:
    half = _half(SIGMAS_OF_90 * found.u, found.dimension, system)
    shown = units.show(found.value, found.dimension, system, found.low, found.high)
    told = "; cannot be told from zero" if found.told is False else ""
    return found.name, shown, f"± {half}{told}", _unsure(found) if full else ""


def _unsure(found: Finding) -> str:
    told = [c for c in found.contributions if c.share >= LEAST][:3]
    words = [f"{c.name}{' by the book' if c.source == 'the book' else ''}" for c in told]
    return ", ".join(f"{word} {100 * c.share:.0f} %" for word, c in zip(words, told, strict=True))


def _map_text(work: Worked, system: str) -> str:
    found = work.findings.map
    assert found is not None
    count = plural(len(found.points), "point")
    if found.scatter is None or found.half_width_95 is None:
        return f"Thickness at {count}: gauge nine or more for its scatter."
    least, most = (units.show(value, "thickness", system) for value in (found.least, found.most))
    half = _half(found.half_width_95, "thickness", system)
    share = 100.0 * found.scatter / found.mean
    scatter = _half(found.scatter, "thickness", system)
    return wrapped(
        f"Thickness at {count}: {least} to {most}, scatter {scatter} ({share:.1f} %); the mean is "
        f"good to {half} (95 %)."
    )


def _closure_text(closure: Closure, system: str) -> str:
    gap = _amount(closure.gap, closure.u, closure.dimension, system)
    if closure.closes:
        return wrapped(f"It closes: {closure.says}, apart by {gap}.")
    return wrapped(
        f"It does not close: {closure.says}, apart by {gap}. One of the readings is off, or "
        "texture of the surface was gauged: look at them before anything is learnt."
    )


def measured_text(done: Measured, system: str) -> str:
    """What a measuring left."""
    parts = [_head(done.worked), findings_text(done.worked, system)]
    if done.lessons:
        count = plural(len(done.lessons), "house value")
        parts.append(f"{count} learnt from it: `panelwright house` shows them.")
    parts.append(f"Next: `panelwright reconcile {done.worked.piece.number}`")
    return "\n\n".join(parts)


# Reconcile --------------------------------------------------------------------------------------


def reconciled_text(done: Reconciliation, system: str, *, full: bool = False) -> str:
    """A piece against its prediction."""
    one = first_system(system)
    parts = [_head(done.work), wrapped(done.sentence)]
    broken = [closure for closure in done.work.findings.closures if not closure.closes]
    parts += [_closure_text(closure, one) for closure in broken]
    if done.reconciled is not None:
        parts.append(_compared_text(done.reconciled.compared, one))
        parts += [_splits_text(compared, one) for compared in done.reconciled.compared]
    if done.effects:
        said = ", ".join(f"{e.name} {100 * (e.ratio - 1):+.0f} %" for e in done.effects)
        parts.append(f"What it does: {said}.".replace("-", "−"))
    if done.book:
        parts.append(_book_text(done.book, one))
    if full:
        parts.append(findings_text(done.work, system, full=True))
    parts.append(house_text(done.house) if done.house else _nothing_learnt(done.lessons))
    return "\n\n".join(parts)


def _compared_text(compared: Sequence[Compared], system: str) -> str:
    rows = [("", "predicted", "range", "found", "difference", "")]
    rows += [
        (
            one.name,
            units.show(one.predicted, one.dimension, system, one.low, one.high),
            units.show_range(one.low, one.high, one.dimension, system),
            _shown(one.found, one.u, one.dimension, system),
            _difference(one, system),
            "within" if one.within else "outside",
        )
        for one in compared
    ]
    return table(rows)


def _difference(one: Compared, system: str) -> str:
    percent = 100.0 * one.difference / one.predicted
    shown = _signed(one.difference, SIGMAS_OF_90 * one.u, one.dimension, system)
    return f"{shown} ({percent:+.1f} %)".replace("(-", "(−").replace("−0.0 %", "0.0 %")


def _splits_text(one: Compared, system: str) -> str:
    rows: list[tuple[str, ...]] = [(f"Why the {one.name} differs", "± 90 %", "")]
    for split in one.splits:
        if max(abs(split.value), split.u) < 1e-3 * one.predicted:
            continue
        told = "" if split.told else "cannot be told from nothing"
        rows.append((f"  {split.part}", _amount(split.value, split.u, one.dimension, system), told))
    rest = _signed(one.rest, SIGMAS_OF_90 * one.u, one.dimension, system)
    rows.append(("  not explained", rest, ""))
    return table(rows)


def _book_text(lines: Sequence[BookLine], system: str) -> str:
    rows = [("beside the book", "found", "as printed", "brought here", "ratio")]
    rows += [
        (
            line.name,
            _shown(line.found, line.u, line.dimension, system),
            units.show(line.printed, line.dimension, system),
            units.show(line.here, line.dimension, system),
            f"{line.ratio:.2f} ± {max(SIGMAS_OF_90 * line.ratio_u, 0.01):.2f}",
        )
        for line in lines
    ]
    notes = [wrapped(f"{x.name}: {x.relation}. {x.source}", first="  ") for x in lines]
    return "\n".join([table(rows), *notes])


def _nothing_learnt(lessons: Sequence[Lesson]) -> str:
    if lessons:
        return "What it tells of house values is not kept yet: measure it once more."
    return wrapped(
        "No house value is learnt from it: its fibre fraction or soak was given in the panel file, "
        "or these readings do not pin one down."
    )


# House values -----------------------------------------------------------------------------------


def house_text(values: Sequence[HouseValue]) -> str:
    """House values with the book's beside them and how much stands behind them."""
    if not values:
        return "No house values yet: measure a piece."
    return "\n".join(line for value in values for line in _house_lines(value))


def _house_lines(value: HouseValue) -> Iterator[str]:
    shown = shown_value(value.key, value.value, value.low, value.high)
    off = "" if value.used else "  (switched off)"
    yield f"{value.name}{off}"
    yield f"  yours       {shown} for the next build"
    yield f"  the book    {said_of_book(value)}"
    yield f"  behind it   {value.words}"
    yield f"  its key     {value.key}"


# Machines ---------------------------------------------------------------------------------------


def measured_plain(done: Measured) -> dict[str, Any]:
    """A measuring for machines, in SI."""
    return {
        "schema": SCHEMAS["measure"],
        **_plain_work(done.worked),
        "lessons": plain(done.lessons),
    }


def _plain_work(work: Worked) -> dict[str, Any]:
    return {
        "piece": work.piece.number,
        "panel": work.panel.number,
        "revision": work.piece.revision,
        "readings": plain(work.readings),
        "findings": [
            {**plain(one), "low": one.low, "high": one.high} for one in work.findings.found
        ],
        "thickness_map": plain(work.findings.map),
        "closures": [{**plain(c), "closes": c.closes} for c in work.findings.closures],
        "missing": list(work.findings.missing),
    }


def reconciled_plain(done: Reconciliation) -> dict[str, Any]:
    """A reconciliation for machines, in SI."""
    compared = () if done.reconciled is None else done.reconciled.compared
    return {
        "schema": SCHEMAS["reconcile"],
        **_plain_work(done.work),
        "sentence": done.sentence,
        "agrees": done.agrees,
        "compared": [
            {**plain(one), "difference": one.difference, "within": one.within} for one in compared
        ],
        "book": plain(done.book),
        "effects": plain(done.effects),
        "lessons": plain(done.lessons),
        "house": house_plain(done.house),
    }


def house_plain(values: Sequence[HouseValue]) -> list[dict[str, Any]]:
    """House values for machines, in SI."""
    return [{**plain(value), "plates": len(value.told), "pieces": value.pieces} for value in values]
