"""What a measured piece comes to, as text and as plain values for machines."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from panelwright.cli.shelf_text import plain
from panelwright.jobs.house import said_of_book, shown_value
from panelwright.jobs.measure import Measured, Worked
from panelwright.jobs.reconcile import Reconciliation
from panelwright.reports import bench_words as words
from panelwright.reports.duty_text import ESTIMATES
from panelwright.reports.layout import first_system, plural, table, wrapped
from panelwright.samples.house import HouseValue
from panelwright.samples.reconcile import BookLine, Compared

SCHEMAS = {"measure": "panelwright/measure/1", "reconcile": "panelwright/reconcile/1"}


def _head(work: Worked) -> str:
    title = work.panel.prediction.title
    number = work.piece.number or "a new piece"
    return f"{number}, of {work.panel.number} ({title}), revision {work.piece.revision}"


# Findings ---------------------------------------------------------------------------------------


def findings_text(work: Worked, system: str, *, full: bool = False) -> str:
    """The findings of a piece, what makes them unsure, and what does not fit together."""
    one = first_system(system)
    rows = words.finding_rows(work.findings, one, unsure=full)
    parts = [table(rows)] if len(rows) > 1 else ["Nothing is found yet."]
    notes = [f"{f.name}: {f.note}" for f in work.findings.found if f.note]
    parts += ["\n".join(wrapped(note, first="  ") for note in notes)] if notes else []
    if work.findings.map is not None:
        parts.append(wrapped(words.of_the_map(work.findings.map, one)))
        rows = words.map_rows(work.findings.map, one) if full else []
        parts += [table(rows)] if rows else []
    parts += [wrapped(words.of_closure(closure, one)) for closure in work.findings.closures]
    if work.findings.missing:
        rest = "; ".join(work.findings.missing)
        parts.append(wrapped(f"What would tell more: {rest}."))
    return "\n\n".join(parts)


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
    parts = [_head(done.work), wrapped(done.sentence(one))]
    broken = [closure for closure in done.work.findings.closures if not closure.closes]
    parts += [wrapped(words.of_closure(closure, one)) for closure in broken]
    if done.reconciled is not None:
        parts.append(table(words.compared_rows(done.reconciled.compared, one)))
        parts += [_splits_text(compared, one) for compared in done.reconciled.compared]
    if done.effects:
        parts.append(words.of_effects([(e.name, e.ratio) for e in done.effects]))
    parts += [wrapped(said) for said in duties_told(done, one)]
    if done.book:
        parts.append(_book_text(done.book, one))
    if full:
        edges = [edge for edge in done.work.findings.edges if edge.layers]
        parts += [f"{table(words.edge_rows(e, one))}\n{wrapped(words.of_edge(e))}" for e in edges]
        parts.append(findings_text(done.work, system, full=True))
    parts.append(
        house_text(done.house) if done.house else wrapped(words.nothing_learnt(bool(done.lessons)))
    )
    return "\n\n".join(parts)


def duties_told(done: Reconciliation, system: str) -> list[str]:
    """What the findings do to each duty, and that an estimate is no certificate."""
    title = done.title
    told = [words.of_duty(title, one.before, one.after, system) for one in done.duties]
    return [*told, ESTIMATES] if told else []


def _splits_text(one: Compared, system: str) -> str:
    head = (f"Why the {one.name} differs", "± 90 %", "")
    rows = words.split_rows(one, system)
    return table([head, *((f"  {part}", *rest) for part, *rest in rows)])


def _book_text(lines: Sequence[BookLine], system: str) -> str:
    notes = [wrapped(words.of_book(line), first="  ") for line in lines]
    return "\n".join([table(words.book_rows(lines, system)), *notes])


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
        "sentence": done.sentence(),
        "agrees": done.agrees,
        "compared": [
            {**plain(one), "difference": one.difference, "within": one.within} for one in compared
        ],
        "book": plain(done.book),
        "effects": plain(done.effects),
        "duties": [
            {"name": one.after.name, "before": plain(one.before), "after": plain(one.after)}
            for one in done.duties
        ],
        "lessons": plain(done.lessons),
        "house": house_plain(done.house),
    }


def house_plain(values: Sequence[HouseValue]) -> list[dict[str, Any]]:
    """House values for machines, in SI."""
    return [{**plain(value), "plates": len(value.told), "pieces": value.pieces} for value in values]
