"""Labels of a build: for pieces of cloth as they are cut, and for pots as they are mixed."""

from __future__ import annotations

from collections.abc import Iterator

from panelwright import units
from panelwright.errors import InputError, Problem
from panelwright.fabrication.plan import BuildPlan, PartPlan
from panelwright.fabrication.pots import Pot
from panelwright.fabrication.schedule import Session
from panelwright.fabrication.times import DAY, clock
from panelwright.reports.build_words import DASH, grams, parts_of
from panelwright.reports.layout import first_system, printed
from panelwright.reports.paper.labels import MOST, Label, labels_page
from panelwright.reports.paper.pages import Paper, pdf


def build_labels(plan: BuildPlan, system: str = "si") -> list[Label]:
    """A label for each piece of cloth of each part, then for each pot.

    Raises :class:`InputError` for more than can be printed at once.
    """
    many = many_labels(plan)
    if many > MOST:
        what = "the build has more labels than can be printed at once"
        raise InputError(Problem(what, str(many), f"up to {MOST}", "fewer parts at once"))
    one = first_system(system)
    pieces = (label for part in plan.parts for label in _pieces(part, one))
    pots = (label for session in plan.sessions for label in _pots(plan, session))
    return [*pieces, *pots]


def many_labels(plan: BuildPlan) -> int:
    """How many labels a build has."""
    counts = {part.name: part.count for part in plan.parts}
    pieces = sum(
        part.count * len(cloth.chosen.pieces) for part in plan.parts for cloth in part.cut.cloth
    )
    pots = (counts[s.part] * len(b.pots) for s in plan.sessions for b in s.batches)
    return pieces + sum(pots)


def _pieces(part: PartPlan, system: str) -> Iterator[Label]:
    letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    for index, cloth in enumerate(part.cut.cloth):
        letter = letters[index % len(letters)]
        for copy in range(part.count):
            for number, piece in enumerate(cloth.chosen.pieces, start=1):
                size = " × ".join(
                    units.show(side, "length", system) for side in (piece.length, piece.width)
                )
                which = f", {copy + 1} of {part.count}" if part.count > 1 else ""
                lines = (
                    f"{printed(part.name)}{which}",
                    f"ply {piece.ply + 1}, {size}",
                    f"roll {cloth.chosen.way} →",
                )
                code = f"{letter}{number}"
                yield Label(code, printed(cloth.name), lines, f"{part.name} {code}{which}")


def _pots(plan: BuildPlan, session: Session) -> Iterator[Label]:
    count = next((part.count for part in plan.parts if part.name == session.part), 1)
    for copy in range(count):
        which = f", {copy + 1} of {count}" if count > 1 else ""
        for batch in session.batches:
            for pot in batch.pots:
                yield _pot(session, batch.product, pot, which)


def _pot(session: Session, product: str, pot: Pot, which: str) -> Label:
    parts = parts_of(pot)
    of = f": {parts}" if parts != DASH else ""
    lines = (
        f"{printed(session.part)}{which}, day {session.day}",
        f"{grams(pot.mass)} g{of}",
        f"{clock(pot.start % DAY)}, use by {clock(pot.use_by % DAY)}",
        "left ……… g",
    )
    holds = f"{session.part} {session.stage.name} {product} {pot.number}{which}"
    return Label(f"Pot {pot.number}", printed(session.stage.name), lines, holds)


def build_labels_pdf(plan: BuildPlan, paper: Paper = Paper.A4, system: str = "si") -> bytes:
    """The labels as PDF. Raises NoPrinter, and :class:`InputError` for more than can be printed."""
    return pdf(labels_page(build_labels(plan, system), paper))
