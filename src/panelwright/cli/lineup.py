"""``panelwright lineup``: panel files, shop words and known solids in, a table out."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from panelwright.cli.catalogue import catalogue_with
from panelwright.cli.files import is_panel_file, read_file, save_all
from panelwright.errors import InputError, Problem
from panelwright.jobs.lineup import Entrant, entrant, known_solid, line_up
from panelwright.jobs.pricing import unit_prices
from panelwright.materials.catalogue import Catalogue
from panelwright.panels import description as panels
from panelwright.panels.lineup_records import (
    ACROSS,
    ALONG,
    STIFFNESS,
    STRENGTH,
    WEAKER,
    LineUp,
    Terms,
)
from panelwright.panels.records import FIRST, ULTIMATE
from panelwright.panels.shop_words import panel_file
from panelwright.reports.lineup_json import lineup_json
from panelwright.reports.lineup_text import csv_rows, lineup_text


@dataclass(frozen=True)
class Wanted:
    """What was asked for."""

    panels: Sequence[str]
    terms: Terms
    full: bool
    json: bool
    system: str


def terms_of(equal: str, along: bool, across: bool, level: str, part: str, whole: bool) -> Terms:
    """The terms that were asked for. Raises :class:`InputError` where two contradict."""
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
    if asked:
        what = f"{asked[0]} says how panels are made equal, and nothing is made equal"
        if equal:
            what = f"{asked[0]} goes with stiffness or strength; {equal} has no direction"
        raise InputError(Problem(what, hint="--equal stiffness or --equal strength with it"))
    way = ALONG if along else ACROSS if across else WEAKER
    return Terms(equal, way, ULTIMATE if level == "ultimate" else FIRST, part, whole)


def entrants(words: Sequence[str], catalogue: Catalogue) -> list[Entrant]:
    """Panel files, known solids, and shop words, in that order of trying."""
    found = []
    for text in words:
        if is_panel_file(text):
            found.append(entrant(read_file(text), catalogue))
            continue
        solid = known_solid(text, catalogue)
        if solid is not None:
            found.append(solid)
            continue
        file = panel_file(text, catalogue, title=text)
        found.append(entrant(panels.read(file, text), catalogue))
    return found


def lineup(wanted: Wanted, shelf: str, sheet: Path | None, materials: Path | None) -> str:
    """The text that the command prints."""
    catalogue = catalogue_with(materials)
    prices = unit_prices(shelf) if shelf else {}
    found = line_up(entrants(wanted.panels, catalogue), catalogue, wanted.terms, prices)
    files = [] if sheet is None else [(sheet, _csv(found))]
    notes = save_all(files)
    if wanted.json:
        return json.dumps(lineup_json(found), ensure_ascii=False, indent=1)
    return "\n\n".join([lineup_text(found, wanted.system, wanted.full), *notes])


def _csv(found: LineUp) -> str:
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(csv_rows(found))
    return text.getvalue()
