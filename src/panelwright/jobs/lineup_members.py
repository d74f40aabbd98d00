"""Who stands in a line-up, by a word each: numbers of the shelf, known solids, shop words."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from panelwright.errors import InputError, Problem
from panelwright.jobs.lineup_entrants import Entrant, entrant, known_solid
from panelwright.jobs.measure import worked
from panelwright.jobs.shelf import Shelf
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import Description, read
from panelwright.panels.editing import set_value
from panelwright.panels.layer_fields import path_of
from panelwright.panels.resolve import resolve
from panelwright.panels.shop_words import panel_file
from panelwright.samples.findings import reduce
from panelwright.samples.found import Findings
from panelwright.samples.known import Book
from panelwright.samples.readings import Reading, refuse_mixed, standing

_NUMBER = re.compile(
    r"(?P<number>(?P<kind>[ps])\s*-?\s*\d+)(?:,?\s*(?:revision|rev|r)\.?\s*(?P<revision>\d+))?",
    re.IGNORECASE,
)
#: Before each value in which a variant of a panel differs from it.
_WITH = re.compile(r"\s+with\s+")


def is_number(word: str) -> bool:
    """Whether a word is the number of a panel or piece: ``P-0007``, ``s12``, ``P-7 revision 2``."""
    return _NUMBER.fullmatch(_parted(word)[0]) is not None


def _parted(word: str) -> tuple[str, list[str]]:
    """A panel, and what is changed of it."""
    base, *changes = _WITH.split(word.strip())
    return base, changes


def member(word: str, catalogue: Catalogue, shelf: Shelf | None = None) -> Entrant:
    """A panel or piece by its number, else a solid that is known, else a stack in shop words.

    A panel may be followed by what a variant of it has: "P-0002 with layer 2 thickness = 20 mm",
    or its number by one of its revisions. Raises :class:`InputError` for a number that is not on
    the shelf or where none is open, and for words that are none of these.
    """
    base, changes = _parted(word)
    number = _NUMBER.fullmatch(base)
    if number is not None:
        return _of_number(number, changes, catalogue, shelf)
    solid = None if changes else known_solid(base, catalogue)
    return solid or variant(panel_file(base, catalogue, title=base), changes, base, catalogue)


def _of_number(
    number: re.Match[str], changes: Sequence[str], catalogue: Catalogue, shelf: Shelf | None
) -> Entrant:
    if shelf is None:
        what = "a number is of a panel or piece on a shelf, and none is open"
        raise InputError(Problem(what, number[0], hint="--shelf with the folder of the shelf"))
    if number["kind"] in "sS":
        if changes or number["revision"]:
            what = "a piece is as it was made: a variant is of its panel"
            raise InputError(Problem(what, number[0], hint=shelf.piece(number["number"]).panel))
        return piece(shelf, number["number"])
    revision = number["revision"]
    kept = shelf.panel(number["number"], int(revision) if revision else None)
    named = f"{kept.title}, revision {revision}" if revision else ""
    return variant(kept.text, changes, kept.number, catalogue, named)


def variant(
    text: str, changes: Sequence[str], file: str, catalogue: Catalogue, name: str = ""
) -> Entrant:
    """A panel by its file, with some values changed: "layer 2 thickness = 20 mm", "resin = ...".

    name : in place of its title. Raises :class:`InputError` for a value that is not there or cannot
    be.
    """
    for change in changes:
        key, sign, value = change.partition("=")
        if not sign or not key.strip():
            hint = '"with layer 2 thickness = 20 mm", or "with resin = vinyl ester"'
            raise InputError(Problem("a variant differs by key = value", change, hint=hint))
        try:
            text = set_value(text, _path(key), value.strip())
        except InputError as wrong:  # in the words of the change, not of a path
            told = [replace(one, given=change.strip()) for one in wrong.problems]
            raise InputError(told) from None
    one = entrant(read(text, file), catalogue)
    title = name or one.title
    return replace(one, name=" with ".join([title, *changes]) if changes else name)


def _path(key: str) -> tuple[str | int, ...]:
    """``layer 2 fibre mass fraction`` or ``layer.2.fibre_mass_fraction`` as a path."""
    words = key.replace(".", " ").split()
    if words[0] in {"layer", "duty"} and len(words) > 2 and words[1].isdecimal():
        return path_of(".".join((*words[:2], "_".join(words[2:]))))
    return path_of("_".join(words))


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
