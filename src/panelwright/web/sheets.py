"""Paper: datasheets and labels as PDF."""

from __future__ import annotations

from datetime import date

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from panelwright.errors import InputError, Problem
from panelwright.jobs.piece_sheet import sheet_of
from panelwright.reports.layout import first_system
from panelwright.reports.paper.datasheet import Standing, datasheet
from panelwright.reports.paper.labels import Label, labels_page, refuse_number
from panelwright.reports.paper.pages import Paper, pdf
from panelwright.web.panels import Revised, shelf_of
from panelwright.web.views import access_of, look_of, page, shown

router = APIRouter()
NOT_CERTIFIED = "not certified. A class rule, standard or engineer overrides this sheet."


def paper_of(name: str) -> Paper:
    """The paper of a name. Raises :class:`InputError`."""
    found = next((paper for paper in Paper if paper.value.lower() == name.lower()), None)
    if found is None:
        allowed = " or ".join(paper.value for paper in Paper)
        raise InputError(Problem("there is no paper of that name here", name, allowed))
    return found


def _holds(request: Request, number: str) -> str:
    """What a code says: the number, with an address only where the shop's network can open it."""
    if not access_of(request).open_to_network:
        return number
    kind = "piece" if number.startswith("S") else "panel"
    return f"{request.url.scheme}://{request.url.netloc}/{kind}/{number}"


def _answer(content: bytes, name: str) -> Response:
    shown_as = {"Content-Disposition": f'inline; filename="{name}.pdf"'}
    return Response(content, media_type="application/pdf", headers=shown_as)


@router.get("/panel/{number}/sheet.pdf")
def panel_sheet(
    request: Request, number: str, paper: str = "A4", revision: Revised = None
) -> Response:
    """A panel on one sheet."""
    kept = shelf_of(request).panel(number, revision)
    standing = Standing(
        kind="Panel",
        number=kept.number,
        revision=f"{kept.revision}, {kept.made[:10]}",
        standing=f"{kept.standing.capitalize()}, {NOT_CERTIFIED}",
        drawn=date.today(),
        holds=_holds(request, kept.number),
    )
    made = datasheet(kept.snapshot.prediction, standing, paper_of(paper), _one(request))
    return _answer(made, f"{kept.number}-{kept.revision}")


def _one(request: Request) -> str:
    return first_system(look_of(request).system)


@router.get("/piece/{number}/sheet.pdf")
def piece_sheet(request: Request, number: str, paper: str = "A4") -> Response:
    """A piece on one sheet: photo, section, what was found beside what was predicted, verdict."""
    made = sheet_of(
        shelf_of(request), number, paper_of(paper), _one(request), _holds(request, number)
    )
    return _answer(made, number)


def _label(request: Request, number: str) -> Label:
    shelf, system = shelf_of(request), look_of(request).system
    if number.upper().startswith("S"):
        piece = shelf.piece(number)
        lines = (f"of {piece.panel}, revision {piece.revision}", piece.place)
        title = piece.title or shelf.panel(piece.panel).title
        return Label(piece.number, title, tuple(filter(None, lines)), _holds(request, piece.number))
    kept = shelf.panel(number)
    prediction = kept.snapshot.prediction
    figures = ", ".join(
        shown(value, dimension, system)
        for value, dimension in (
            (prediction.thickness, "thickness"),
            (prediction.areal_mass, "areal_mass"),
        )
    )
    return Label(kept.number, kept.title, (figures, kept.standing), _holds(request, kept.number))


@router.get("/labels", response_class=HTMLResponse)
def choose_labels(request: Request, numbers: str = "") -> Response:
    """The form for sheets of labels."""
    return page(request, "labels.html", numbers=numbers)


@router.get("/labels.pdf")
def labels(request: Request, numbers: str = "", paper: str = "A4", skip: int = 0) -> Response:
    """Sheets of labels for panels and pieces."""
    wanted = numbers.replace(",", " ").split()
    refuse_number(len(wanted))  # before any of them is read
    made = labels_page([_label(request, number) for number in wanted], paper_of(paper), skip)
    return _answer(pdf(made), "labels")
