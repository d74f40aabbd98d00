"""Panels, pieces and known solids, lined up on equal terms."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import HTMLResponse, PlainTextResponse, Response

from panelwright.errors import PanelwrightError
from panelwright.jobs.lineup import (
    OWN,
    Entrant,
    asked_in_words,
    line_up,
    own_duties,
)
from panelwright.jobs.lineup_card import hung
from panelwright.jobs.lineup_members import member
from panelwright.jobs.pricing import newest_prices
from panelwright.jobs.shelf import Shelf
from panelwright.panels.description import Description
from panelwright.panels.lineup_records import EQUAL, KEEP, LineUp, Member, Row, Terms
from panelwright.panels.records import FIRST, ULTIMATE
from panelwright.reports import drawing
from panelwright.reports.drawing.lineup import bars_drawing
from panelwright.reports.drawing.shares import shares_svg
from panelwright.reports.layout import first_system
from panelwright.reports.lineup_sheet import csv_text
from panelwright.reports.lineup_why_words import SPLIT, why_sentence
from panelwright.reports.lineup_words import (
    CORRECTED,
    MEASURED_MARK,
    change_words,
    corrected_rows,
    duty_words,
    evidence_kinds,
    kept_words,
    piece_words,
    remarks,
    shown,
    terms_words,
    title_of,
)
from panelwright.reports.paper.exhibit import exhibit_pdf
from panelwright.web.panels import shelf_of
from panelwright.web.sheets import paper_of
from panelwright.web.views import WIDTHS, look_of, page

router = APIRouter()
#: What panels are made equal in, and the word on the page.
TERMS = {"": "as they are", **{word: word for word in EQUAL}, "cost": "money", KEEP: KEEP}
WAYS = ("weaker", "along", "across")
LEVELS = {"first": "at first damage", "ultimate": "at the end"}
PARTS = {"": "the usual part", "core": "the core", "faces": "the faces", "all": "everything"}


@dataclass(frozen=True)
class Asked:
    """What stands in the fields of the page."""

    members: str = ""
    equal: str = ""
    way: str = "weaker"
    level: str = "first"
    part: str = ""
    whole: str = ""
    duty: str = ""
    hide: str = ""

    @property
    def words(self) -> list[str]:
        """Who is to stand there, each once."""
        return [one for one in dict.fromkeys(w.strip() for w in self.members.split(";")) if one]

    @property
    def terms(self) -> Terms:
        """On what terms; a word that is none is the usual one."""
        return Terms(
            self.equal if self.equal in TERMS else "",
            self.way if self.way in WAYS else "weaker",
            ULTIMATE if self.level == "ultimate" else FIRST,
            self.part if self.part in PARTS else "",
            bool(self.whole),
        )

    def link(self, **other: str) -> str:
        """The page with something else in its fields."""
        asked = {one.name: getattr(self, one.name) for one in fields(self)} | other
        return f"/lineup?{urlencode({name: word for name, word in asked.items() if word})}"


def _asked(
    panel: Annotated[list[str] | None, Query()] = None,
    members: str = "",
    equal: str = "",
    way: str = "weaker",
    level: str = "first",
    part: str = "",
    whole: str = "",
    duty: str = "",
    hide: str = "",
) -> Asked:
    """``panel`` : numbers marked on the shelf, before those that are typed."""
    told = "; ".join([*(panel or []), *([members] if members.strip() else [])])
    return Asked(told, equal, way, level, part, whole, duty.strip(), hide)


AskedPage = Annotated[Asked, Depends(_asked)]


@dataclass(frozen=True)
class CellView:
    """One panel's place in a row as it is shown."""

    number: str
    range: str
    said: str
    is_best: bool
    basis: str = ""  # measured or predicted, of a piece


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
    title: str
    shares: dict[str, str]


@router.get("/lineup", response_class=HTMLResponse)
def lineup(request: Request, asked: AskedPage, sheet: str = "", paper: str = "A4") -> Response:
    """Two to eight side by side, told by number, as known solids or in shop words.

    sheet : ``csv`` for a table, ``card`` for sheets to hang beside them.
    """
    shelf, wrong = shelf_of(request), []
    found = None
    try:
        if asked.words:
            entrants = _entrants(shelf, asked.words)
            if sheet == "card":
                return _cards(request, entrants, asked, paper)
            found = _found(shelf, entrants, asked)
    except PanelwrightError as refused:
        wrong = [problem.sentence() for problem in refused.problems]
    if sheet == "csv" and found is not None:
        return _csv(found)
    ready = [row.name for row in shelf.catalogue().table("ready_duties")]
    return page(
        request,
        "lineup.html",
        status=400 if wrong else 200,
        wrong=wrong,
        asked=asked,
        members="; ".join(asked.words),
        terms=asked.terms,
        all_terms=TERMS,
        ways=WAYS,
        levels=LEVELS,
        parts=PARTS,
        ready=ready,
        keep=KEEP,
        chart=_chart(asked.words),
        found=found,
        **({} if found is None else _told(found, look_of(request).system)),
    )


def _told(found: LineUp, system: str) -> dict[str, Any]:
    """Everything that the page shows of a line-up."""
    one, short = first_system(system), remarks(found, full=False)
    return {
        "on_terms": terms_words(found),
        "heads": [_member(found, each, system) for each in found.members],
        "rows": _rows(found, one),
        "evidence": evidence_kinds(found),
        "duties": [
            (duty_words(found, at, system), kept_words(found, at)) for at in range(len(found.asked))
        ],
        "bars": _bars(found, system),
        "whys": [why_sentence(found, each, system) for each in found.why],
        "split": SPLIT,
        "remarks": short,
        "under_duty": [one for one in remarks(found, full=True) if one not in short],
        "corrected": corrected_rows(found, one),
        "corrected_said": CORRECTED,
        "measured_mark": MEASURED_MARK,
    }


def _chart(words: Sequence[str]) -> str:
    """The address of a chart of those named, or of the shelf."""
    query = urlencode({"of": "named", "members": "; ".join(words)})
    return f"/lineup/chart?{query}" if words else "/lineup/chart"


def _bars(found: LineUp, system: str) -> dict[str, str]:
    """The main rows as bars, for those widths of page that have room for their figures."""
    wide = {name: px for name, px in WIDTHS.items() if name != "phone"}
    return {name: bars_drawing(found, float(px), system, head=False) for name, px in wide.items()}


def _entrants(shelf: Shelf, words: Sequence[str]) -> list[Entrant]:
    catalogue = shelf.catalogue()
    return [member(word, catalogue, shelf) for word in words]


def _duties(shelf: Shelf, entrants: Sequence[Entrant], words: str) -> Sequence[Description]:
    """What each must bear: the duties of the panels themselves, or one in shop words."""
    if not words:
        return ()
    return own_duties(entrants) if words == OWN else (asked_in_words(words, shelf.catalogue()),)


def _found(shelf: Shelf, entrants: Sequence[Entrant], asked: Asked) -> LineUp:
    """The line-up that is asked for. Raises :class:`InputError`."""
    duties = _duties(shelf, entrants, asked.duty)
    prices = newest_prices(shelf.prices())
    return line_up(entrants, shelf.catalogue(), asked.terms, prices, duties)


def _cards(request: Request, entrants: Sequence[Entrant], asked: Asked, paper: str) -> Response:
    """A sheet for each to hang beside it."""
    catalogue, system = shelf_of(request).catalogue(), first_system(look_of(request).system)
    sheets = [hung(one, catalogue) for one in entrants]
    content = exhibit_pdf(sheets, paper_of(paper), system, hide=bool(asked.hide))
    shown_as = {"Content-Disposition": 'inline; filename="sheets.pdf"'}
    return Response(content, media_type="application/pdf", headers=shown_as)


def _member(lineup: LineUp, one: Member, system: str) -> MemberView:
    thickness = sum(layer.thickness.value for layer in one.layers)
    picture = drawing.card_svg(one.layers, thickness, 200.0, 120.0)
    said = change_words(one, system) or piece_words(lineup, one)
    shares = {name: shares_svg(one, float(px)) for name, px in WIDTHS.items()}
    return MemberView(one, picture, said, title_of(one), shares)


def _rows(found: LineUp, system: str) -> list[RowView]:
    rows = (*found.rows, *found.duties)
    known = [row for row in rows if any(cell.value is not None for cell in row.cells)]
    return [_row(row, found, system) for row in known]


def _row(row: Row, found: LineUp, system: str) -> RowView:
    best = row.verdict.removeprefix("best: ") if row.verdict.startswith("best: ") else ""
    cells, unit = [], ""
    for one, cell in zip(found.members, row.cells, strict=True):
        if cell.value is None:
            cells.append(CellView("–", "", cell.said, False))
            continue
        number, ends, unit = shown(cell.value, row, system, found.currency)
        basis = ("predicted", "measured")[cell.is_measured] if one.is_piece else ""
        cells.append(CellView(number, ends, cell.said, one.letter == best, basis))
    return RowView(row.name, unit, row.verdict, tuple(cells))


def _csv(found: LineUp) -> Response:
    name = {"Content-Disposition": 'attachment; filename="line-up.csv"'}
    return PlainTextResponse(csv_text(found), media_type="text/csv", headers=name)
