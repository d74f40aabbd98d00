"""Duties of a line-up: what is asked of every panel, and how each bends and holds under it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial

from panelwright.errors import InputError, PanelwrightError, Problem
from panelwright.jobs.check import answered
from panelwright.jobs.lineup_entrants import Entrant, Stood
from panelwright.jobs.lineup_rows import NOT_KNOWN, row_of
from panelwright.jobs.predict import Evaluated
from panelwright.jobs.stiffness import Stiffened
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import Description, read_duties
from panelwright.panels.duty_words import duty_file
from panelwright.panels.lineup_records import LEAST, MOST, Cell, Row
from panelwright.panels.verdicts import DutyRecord

#: Duties that are asked at once; each bends every panel.
MOST_DUTIES = 4
#: Words that ask for the duties of the panels themselves.
OWN = "own"


def asked_in_words(words: str, catalogue: Catalogue) -> Description:
    """A duty in shop words: "kneel on it, 600 mm x 310 mm". Raises :class:`InputError`."""
    try:
        found = read_duties(duty_file(words, catalogue), "")
    except InputError as wrong:
        raise InputError([replace(one, line=None) for one in wrong.problems]) from None
    return replace(found, lines={})  # nobody wrote the lines of that text


def own_duties(entrants: Sequence[Entrant]) -> tuple[Description, ...]:
    """Duties of the panels' own files, the same ones once. Raises :class:`InputError` for none."""
    found: dict[str, Description] = {}
    for one in entrants:
        panel = one.resolved.description.panel
        if panel.duty:
            key = repr((panel.duty, panel.size))
            found.setdefault(key, one.resolved.description)
    if not found:
        hint = '--duty with a file that has one, or in words such as "kneel on it, 600 mm x 310 mm"'
        raise InputError(Problem("none of the panels has a duty of its own", hint=hint))
    return tuple(found.values())


def refuse_many(duties: Sequence[Description]) -> None:
    """InputError for files without a duty, and for more duties than can be read side by side."""
    for one in duties:
        if not one.panel.duty:
            hint = '[[duty]] with ready = "kneel on it"'
            raise InputError(Problem("the file has no duty", file=one.file, hint=hint))
    count = sum(len(one.panel.duty) for one in duties)
    if count > MOST_DUTIES:
        what = f"{count} duties are too many to read side by side"
        raise InputError(Problem(what, allowed=f"up to {MOST_DUTIES}", hint="a file of fewer"))


@dataclass(frozen=True)
class Answers:
    """What is asked, and what each panel answers; None for one whose stiffness is not known."""

    asked: tuple[DutyRecord, ...]  # as the first panel answers that can
    of: tuple[tuple[DutyRecord, ...] | None, ...]  # by panel, then by duty


def answer(
    title: str,
    done: Evaluated,
    stiff: Stiffened,
    duties: Sequence[Description],
    catalogue: Catalogue,
) -> tuple[DutyRecord, ...]:
    """All duties answered for a panel whose stiffness is known.

    Raises :class:`InputError`, with the title of the panel, where one cannot be.
    """
    try:
        return tuple(record for one in duties for record in answered(one, catalogue, done, stiff))
    except PanelwrightError as wrong:
        told = [replace(one, what=f"{title}: {one.what}") for one in wrong.problems]
        raise InputError(told) from None


def answers(lined: Sequence[Stood], duties: Sequence[Description], catalogue: Catalogue) -> Answers:
    """Every duty answered for every panel. Raises :class:`InputError`."""
    found = tuple(
        None if of.stiff is None else answer(of.entrant.title, of.done, of.stiff, duties, catalogue)
        for of in lined
    )
    return of_records(found)


def of_records(found: Sequence[tuple[DutyRecord, ...] | None]) -> Answers:
    """What each panel answers, by panel and then by duty."""
    return Answers(next((one for one in found if one is not None), ()), tuple(found))


# --- Rows -----------------------------------------------------------------------------------------


def _deflection(record: DutyRecord) -> Cell:
    if record.deflection is None:
        return Cell(None, f"not known: how {' and '.join(record.after_unknown)} creeps")
    return Cell(record.deflection, "" if record.after is None else "once the load has lasted")


def _reserve(record: DutyRecord, value: str, governs: str) -> Cell:
    if record.unknown_strength:
        whose = " and of ".join(record.unknown_strength)
        return Cell(None, f"not known: what lasting loads leave of the strength of {whose}")
    known = [way for way in record.ways if getattr(way, value) is not None]
    if not known:
        return Cell(None, NOT_KNOWN)
    way = min(known, key=lambda one: getattr(one, value).value)
    return Cell(getattr(way, value), getattr(way, governs))


#: Judgements as they are said in a cell.
_KEPT = {"yes": "kept", "only just": "only just", "no": "not kept"}


def _used(record: DutyRecord) -> Cell:
    limit = record.governing
    if limit is None:
        return Cell(None, "no limit is set")
    if limit.share is None:
        said = limit.governs
        return Cell(None, said if NOT_KNOWN in said else f"{NOT_KNOWN}: {said}")
    return Cell(limit.share, f"{_KEPT[limit.kept]}: {limit.name}")


def _cells(records: Sequence[DutyRecord | None], made: Callable[[DutyRecord], Cell]) -> list[Cell]:
    return [Cell(None, NOT_KNOWN) if one is None else made(one) for one in records]


def duty_rows(told: Answers, kept: bool = False) -> Iterator[Row]:
    """Deflection, reserve at both levels, and how much of the limits is used up.

    kept : whether each panel is as thick as just keeps them, so that none is the best at it.
    """
    for at in range(len(told.asked)):
        records = [None if one is None else one[at] for one in told.of]
        which = f", duty {at + 1}" if len(told.asked) > 1 else ""
        key = f"duty_{at + 1}"
        sag = _cells(records, _deflection)
        yield row_of(f"{key}_deflection", f"Deflection{which}", "thickness", LEAST, sag)
        for level, word, governs in (
            ("first_damage", "at first damage", "first_governs"),
            ("reserve", "at the end", "governs"),
        ):
            held = _cells(records, partial(_reserve, value=level, governs=governs))
            yield row_of(f"{key}_{level}", f"Reserve {word}{which}", "ratio", MOST, held)
        if any(one is not None and one.limits for one in records):
            used = _cells(records, _used)
            yield row_of(
                f"{key}_used", f"Limit used up{which}", "fraction", "" if kept else LEAST, used
            )
