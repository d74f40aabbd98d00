"""Panels of the shelf and known solids, lined up on equal terms."""

from __future__ import annotations

import csv
import io
import re
from dataclasses import dataclass
from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Query, Request
from fastapi.responses import HTMLResponse, PlainTextResponse, Response

from panelwright.errors import PanelwrightError
from panelwright.jobs.lineup import Entrant, entrant, known_solid, line_up
from panelwright.jobs.pricing import newest_prices
from panelwright.jobs.shelf import Shelf
from panelwright.panels.description import read
from panelwright.panels.lineup_records import EQUAL, LineUp, Member, Row, Terms
from panelwright.panels.shop_words import panel_file
from panelwright.reports import drawing
from panelwright.reports.layout import first_system
from panelwright.reports.lineup_text import SPLIT, change_words, csv_rows, shown, why_sentence
from panelwright.web.panels import shelf_of
from panelwright.web.views import look_of, page

router = APIRouter()
#: What panels are made equal in, and the word on the page.
TERMS = {"": "as they are", **{word: word for word in EQUAL}, "cost": "money"}
WAYS = ("weaker", "along", "across")
PARTS = {"": "the usual part", "core": "the core", "faces": "the faces", "all": "everything"}
_NUMBER = re.compile(r"p-?\d+", re.IGNORECASE)


@dataclass(frozen=True)
class CellView:
    """One panel's place in a row as it is shown."""

    number: str
    range: str
    said: str
    is_best: bool


@dataclass(frozen=True)
class RowView:
    """One row of the table."""

    name: str
    unit: str
    verdict: str
    cells: tuple[CellView, ...]


@dataclass(frozen=True)
class MemberView:
    """One panel at the head of its column."""

    member: Member
    picture: str
    change: str


@router.get("/lineup", response_class=HTMLResponse)
def lineup(
    request: Request,
    panel: Annotated[list[str] | None, Query()] = None,
    members: str = "",
    equal: str = "",
    way: str = "weaker",
    part: str = "",
    whole: str = "",
    sheet: str = "",
) -> Response:
    """Two to eight panels side by side; ``members`` are told by number, or in shop words."""
    told = [*(panel or []), *(one.strip() for one in members.split(";"))]
    words = [one for one in dict.fromkeys(told) if one]
    terms = Terms(
        equal if equal in EQUAL else "",
        way if way in WAYS else "weaker",
        part=part if part in PARTS else "",
        whole=bool(whole),
    )
    wrong: list[str] = []
    found = None
    if words:
        try:
            found = _found(shelf_of(request), words, terms)
        except PanelwrightError as refused:
            wrong = [problem.sentence() for problem in refused.problems]
    if sheet == "csv" and found is not None:
        return _csv(found)
    system = look_of(request).system
    query = {"members": "; ".join(words), "equal": terms.equal, "way": terms.way}
    query |= {"part": terms.part, "whole": whole}
    return page(
        request,
        "lineup.html",
        status=400 if wrong else 200,
        wrong=wrong,
        members="; ".join(words),
        terms=terms,
        all_terms=TERMS,
        ways=WAYS,
        parts=PARTS,
        found=found,
        heads=[] if found is None else [_member(one, system) for one in found.members],
        rows=[] if found is None else _rows(found, system),
        whys=[] if found is None else [why_sentence(found, one, system) for one in found.why],
        split=SPLIT,
        csv=f"/lineup?{urlencode({**query, 'sheet': 'csv'})}",
    )


def _found(shelf: Shelf, words: list[str], terms: Terms) -> LineUp:
    """The line-up of numbers and shop words. Raises :class:`InputError`."""
    entrants = [_entrant(shelf, word) for word in words]
    prices = newest_prices(shelf.prices())
    return line_up(entrants, shelf.catalogue(), terms, prices)


def _entrant(shelf: Shelf, word: str) -> Entrant:
    """A panel by its number, else a solid that is known, else a panel in shop words."""
    catalogue = shelf.catalogue()
    if _NUMBER.fullmatch(word):
        return entrant(read(shelf.panel(word).text), catalogue)
    return known_solid(word, catalogue) or entrant(
        read(panel_file(word, catalogue, title=word)), catalogue
    )


def _member(member: Member, system: str) -> MemberView:
    thickness = sum(layer.thickness.value for layer in member.layers)
    picture = drawing.card_svg(member.layers, thickness, 200.0, 120.0)
    return MemberView(member, picture, change_words(member, system))


def _rows(found: LineUp, system: str) -> list[RowView]:
    rows = (*found.rows, *found.duties)
    known = [row for row in rows if any(cell.value is not None for cell in row.cells)]
    return [_row(row, found, first_system(system)) for row in known]


def _row(row: Row, found: LineUp, system: str) -> RowView:
    best = row.verdict.removeprefix("best: ") if row.verdict.startswith("best: ") else ""
    cells, unit = [], ""
    for member, cell in zip(found.members, row.cells, strict=True):
        if cell.value is None:
            cells.append(CellView("–", "", cell.said, False))
            continue
        number, ends, unit = shown(cell.value, row, system, found.currency)
        cells.append(CellView(number, ends, cell.said, member.letter == best))
    return RowView(row.name, unit, row.verdict, tuple(cells))


def _csv(found: LineUp) -> Response:
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(csv_rows(found))
    name = {"Content-Disposition": 'attachment; filename="line-up.csv"'}
    return PlainTextResponse(text.getvalue(), media_type="text/csv", headers=name)
