"""Who stands in a line-up, by a word each: numbers of the shelf, known solids, shop words."""

from __future__ import annotations

import re
from collections.abc import Sequence

from panelwright.errors import InputError, Problem
from panelwright.jobs.lineup_entrants import Entrant, entrant, known_solid
from panelwright.jobs.measure import worked
from panelwright.jobs.shelf import Shelf
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import Description, read
from panelwright.panels.resolve import resolve
from panelwright.panels.shop_words import panel_file
from panelwright.samples.findings import Book, Findings, reduce
from panelwright.samples.readings import Reading, refuse_mixed, standing

_NUMBER = re.compile(r"\s*([ps])\s*-?\s*\d+\s*", re.IGNORECASE)


def is_number(word: str) -> bool:
    """Whether a word is the number of a panel or piece: ``P-0007``, ``s12``."""
    return _NUMBER.fullmatch(word) is not None


def member(word: str, catalogue: Catalogue, shelf: Shelf | None = None) -> Entrant:
    """A panel or piece by its number, else a solid that is known, else a stack in shop words.

    Raises :class:`InputError` for a number that is not on the shelf or where none is open, and for
    words that are none of these.
    """
    number = _NUMBER.fullmatch(word)
    if number is not None and shelf is None:
        what = "a number is of a panel or piece on a shelf, and none is open"
        raise InputError(Problem(what, word, hint="--shelf with the folder of the shelf"))
    if number is not None and shelf is not None:
        if number[1] in "sS":
            return piece(shelf, word)
        return entrant(read(shelf.panel(word).text, word), catalogue)
    return known_solid(word, catalogue) or entrant(
        read(panel_file(word, catalogue, title=word), word), catalogue
    )


def piece(shelf: Shelf, number: str) -> Entrant:
    """A piece of the shelf: its panel in the numbers it was predicted with, and its findings.

    Raises :class:`InputError` for one of which nothing was measured.
    """
    found = worked(shelf, shelf.piece(number))
    name = " ".join(
        part for part in (found.piece.number, found.piece.title or found.panel.title) if part
    )
    _refuse_unmeasured(found.findings, name)
    return Entrant(found.resolved, name=name, findings=found.findings)


def piece_of_file(
    description: Description, readings: Sequence[Reading], catalogue: Catalogue
) -> Entrant:
    """A piece by the file of its panel and a table of its readings. Raises :class:`InputError`."""
    resolved = resolve(description, catalogue)
    stand = standing(readings)
    refuse_mixed(stand)
    findings = reduce(stand, Book(resolved.layers))
    name = f"piece of {description.panel.title}"
    _refuse_unmeasured(findings, name)
    return Entrant(resolved, name=name, findings=findings)


def _refuse_unmeasured(findings: Findings, name: str) -> None:
    if not findings.found:
        hint = "its mass, length, width and thickness; or its panel in its place"
        raise InputError(Problem(f"nothing was measured of {name} yet", hint=hint))
