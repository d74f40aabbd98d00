"""``panelwright lineup``: panel files, shop words and known solids in, a table out."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from panelwright.cli.catalogue import catalogue_with
from panelwright.cli.files import (
    is_panel_file,
    read_bytes,
    read_file,
    read_text,
    save_all,
    taken,
)
from panelwright.errors import InputError, Problem
from panelwright.jobs.lineup import (
    OWN,
    Entrant,
    asked_in_words,
    line_up,
    own_duties,
)
from panelwright.jobs.lineup_card import hung
from panelwright.jobs.lineup_members import is_number, member, piece_of_file, variant
from panelwright.jobs.pricing import newest_prices, typed_prices
from panelwright.jobs.shelf import Shelf, open_shelf
from panelwright.materials.catalogue import Catalogue
from panelwright.panels import description as panels
from panelwright.panels.lineup_records import (
    ACROSS,
    ALONG,
    KEEP,
    STIFFNESS,
    STRENGTH,
    WEAKER,
    LineUp,
    Terms,
)
from panelwright.panels.records import FIRST, ULTIMATE
from panelwright.reports.drawing.lineup import bars_svg, merit_svg, shares_sheet
from panelwright.reports.lineup_json import lineup_json
from panelwright.reports.lineup_sheet import csv_text
from panelwright.reports.lineup_text import lineup_text
from panelwright.reports.paper.exhibit import exhibit_pdf
from panelwright.reports.paper.pages import Paper
from panelwright.samples.sheets import readings_of_file

#: Between the file of a panel and a table of readings of a piece of it.
WITH = " + "


@dataclass(frozen=True)
class Wanted:
    """What was asked for."""

    panels: Sequence[str]
    terms: Terms
    duties: Sequence[str]
    prices: Sequence[str]
    full: bool
    json: bool
    system: str


def terms_of(
    equal: str, keep: bool, along: bool, across: bool, level: str, part: str, whole: bool
) -> Terms:
    """The terms that were asked for. Raises :class:`InputError` where two contradict."""
    if equal and keep:
        what = "panels are made equal, or each just keeps its duty, not both"
        raise InputError(Problem(what, f"--equal {equal} --keep", hint="one of the two"))
    equal = KEEP if keep else equal
    if along and across:
        what = "panels are made equal along or across, not both"
        raise InputError(Problem(what, "--along --across", hint="one of the two, or neither"))
    asked = [
        option
        for option, given in (("--along", along), ("--across", across))
        if given and equal not in {STIFFNESS, STRENGTH}
    ]
    asked += [
        option for option, given in (("--scale", part), ("--whole", whole)) if given and not equal
    ]
    if asked and keep:
        what = f"{asked[0]} goes with --equal stiffness or strength; a duty has its own direction"
        raise InputError(Problem(what, hint="--keep without it"))
    if asked:
        what = f"{asked[0]} says how panels are made equal, and nothing is made equal"
        if equal:
            what = f"{asked[0]} goes with stiffness or strength; {equal} has no direction"
        raise InputError(Problem(what, hint="--equal stiffness or --equal strength with it"))
    way = ALONG if along else ACROSS if across else WEAKER
    return Terms(equal, way, ULTIMATE if level == "ultimate" else FIRST, part, whole)


def entrants(words: Sequence[str], catalogue: Catalogue, shelf: Shelf | None) -> list[Entrant]:
    """Panel files, a file with readings, numbers of the shelf, known solids, and shop words."""
    return [_entrant(text, catalogue, shelf) for text in words]


def _entrant(text: str, catalogue: Catalogue, shelf: Shelf | None) -> Entrant:
    panel, _, readings = text.partition(WITH)
    if readings and is_panel_file(panel.strip()):
        table = Path(readings.strip())
        taken_off = readings_of_file(read_bytes(table), table.name)
        return piece_of_file(read_file(panel.strip()), taken_off, catalogue)
    file, *changes = text.split(" with ")
    if is_panel_file(file.strip()):
        return variant(read_text(file.strip()), changes, file.strip(), catalogue)
    return member(text, catalogue, shelf)


@contextmanager
def _opened(words: Sequence[str], place: str) -> Iterator[Shelf | None]:
    """The shelf that is named, or the usual one where a number asks for it; else none."""
    if not place and not any(is_number(word) for word in words):
        yield None
        return
    shelf = open_shelf(place or None)
    try:
        yield shelf
    finally:
        shelf.close()


def _catalogue(shelf: Shelf | None, materials: Path | None) -> Catalogue:
    """What panels of the shelf are predicted with where one is open, and the rows of a file."""
    if shelf is None:
        return catalogue_with(materials)
    return shelf.catalogue() if materials is None else shelf.catalogue().with_file(materials)


def duties(
    words: Sequence[str], lined: Sequence[Entrant], catalogue: Catalogue
) -> list[panels.Description]:
    """Files with duties, the panels' own duties, and duties in shop words."""
    found: list[panels.Description] = []
    for text in words:
        if text.strip() == OWN:
            found += own_duties(lined)
        elif is_panel_file(text):
            found.append(panels.read_duties(read_text(text), text))
        else:
            found.append(asked_in_words(text, catalogue))
    return found


@dataclass(frozen=True)
class Files:
    """Where to write what; ``axes``: the two rows of the merit picture, across and up."""

    sheet: Path | None
    bars: Path | None
    shares: Path | None
    merit: Path | None
    axes: str


def _merit(found: LineUp, axes: str, system: str) -> str:
    known = [row.key for row in (*found.rows, *found.duties)]
    keys = [key.strip() for key in axes.split(",")]
    if len(keys) != 2 or not set(keys) <= set(known):
        allowed = f"two of {', '.join(known)}, with a comma between"
        raise InputError(Problem("the axes are no two rows of the line-up", axes, allowed))
    return merit_svg(found, keys[0], keys[1], system=system)


def _made(found: LineUp, files: Files, system: str) -> list[tuple[Path, str]]:
    made = []
    if files.sheet is not None:
        made.append((files.sheet, csv_text(found)))
    if files.bars is not None:
        made.append((files.bars, bars_svg(found, system=system)))
    if files.shares is not None:
        made.append((files.shares, shares_sheet(found)))
    if files.merit is not None:
        made.append((files.merit, _merit(found, files.axes, system)))
    return made


def lineup(wanted: Wanted, shelf: str, files: Files, materials: Path | None) -> str:
    """The text that the command prints."""
    with _opened(wanted.panels, shelf) as opened:
        catalogue = _catalogue(opened, materials)
        kept = {} if opened is None else newest_prices(opened.prices())
        typed = typed_prices(wanted.prices)
        prices = typed | {words: price for words, price in kept.items() if words not in typed}
        lined = entrants(wanted.panels, catalogue, opened)
    asked = duties(wanted.duties, lined, catalogue)
    found = line_up(lined, catalogue, wanted.terms, prices, asked)
    notes = save_all(_made(found, files, wanted.system))
    if wanted.json:
        return json.dumps(lineup_json(found), ensure_ascii=False, indent=1)
    return "\n\n".join([lineup_text(found, wanted.system, wanted.full), *notes])


@dataclass(frozen=True)
class Cards:
    """What sheets are wanted, and where to."""

    panels: Sequence[str]
    path: Path
    hide: bool
    paper: str
    system: str


def card(wanted: Cards, shelf: str, materials: Path | None) -> str:
    """Sheets to hang beside panels and pieces; where they were written."""
    path = wanted.path
    if path.exists():
        raise taken(path)
    with _opened(wanted.panels, shelf) as opened:
        catalogue = _catalogue(opened, materials)
        found = entrants(wanted.panels, catalogue, opened)
    made = [hung(one, catalogue) for one in found]
    content = exhibit_pdf(made, Paper(wanted.paper), wanted.system, wanted.hide)
    try:
        with path.open("xb") as file:
            file.write(content)
    except OSError as wrong:
        raise InputError(Problem(f"cannot write the file: {wrong.strerror}", str(path))) from None
    return f"Written to {path}"
