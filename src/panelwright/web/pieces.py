"""Pieces: what was really made, weighed and gauged on one screen."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Form, Request
from fastapi.responses import HTMLResponse, Response
from starlette.datastructures import UploadFile as File

from panelwright import units
from panelwright.errors import InputError, PanelwrightError, Problem, UnitError
from panelwright.jobs.floor import part_file_of
from panelwright.jobs.measure import readings_of_record
from panelwright.jobs.shelf import AGAIN, Gauged, PanelOnShelf, Piece, Record
from panelwright.reports.bench_words import of_readings
from panelwright.reports.figures import figure
from panelwright.web.panels import seen, shelf_of
from panelwright.web.shop import OwnForm
from panelwright.web.views import look_of, page, with_unit

router = APIRouter()
#: Places of the gauge on a piece, as they lie on it: three rows of three.
PLACES = tuple(f"{row}{column}" for row in "ABC" for column in "123")

#: What a number alone is meant in, by dimension; the form says so.
ALONE = {"mass": "g", "length": "mm", "thickness": "mm"}


def _read(text: str, dimension: str, field: str, wrong: list[Problem]) -> float | None:
    """A reading as typed, in SI; problems go to ``wrong`` with the name of the field."""
    if not text.strip():
        return None
    try:
        return units.parse(with_unit(text, ALONE[dimension]), dimension).value
    except UnitError as refused:
        wrong += [problem.at(key=field) for problem in refused.problems]
        return None


def _day(text: str, wrong: list[Problem]) -> str:
    """A day as typed; what is none goes to ``wrong``."""
    try:
        return date.fromisoformat(text.strip()).isoformat() if text.strip() else ""
    except ValueError:
        wrong.append(Problem("this is no day", text[:60], "year-month-day: 2026-11-25", key="date"))
        return ""


def _record(typed: dict[str, str]) -> Record | None:
    """The first record as typed; None where nothing was. Raises InputError with every problem."""
    wrong: list[Problem] = []
    gross = _read(typed["weight"], "mass", "weight", wrong)
    tare = _read(typed["tare"], "mass", "tare", wrong)
    length = _read(typed["length"], "length", "length", wrong)
    width = _read(typed["width"], "length", "width", wrong)
    day = _day(typed["date"], wrong)
    gauged = []
    for place in PLACES:
        thickness = _read(typed[place], "thickness", f"thickness at {place}", wrong)
        if thickness is not None:
            gauged.append(Gauged(place, thickness))
    if wrong:
        raise InputError(wrong)
    if gross is None and not gauged and not any(typed[name].strip() for name in _WORDS):
        return None
    return Record(
        date=day,
        gross=gross,
        tare=tare or 0.0,
        length=length,
        width=width,
        gauged=tuple(gauged),
        remark=typed["remark"],
        who=typed["who"],
        again=typed["again"],
        improve=typed["improve"],
    )


#: What may be said of a piece without any reading.
_WORDS = ("remark", "again", "improve")
_FIELDS = (
    "weight",
    "tare",
    "length",
    "width",
    "date",
    "remark",
    "who",
    "again",
    "improve",
    "place",
    "left",
    "title",
    "cut_at",
)


@dataclass(frozen=True)
class Sent:
    """A form of a record: its fields as typed, and its photos with their names."""

    typed: dict[str, str]
    photos: list[tuple[bytes, str]]


async def _sent(request: Request) -> Sent:
    form = await request.form()
    texts = {
        name: text if isinstance(text := form.get(name, ""), str) else ""
        for name in (*_FIELDS, *PLACES)
    }
    photos = [one for one in form.getlist("photo") if isinstance(one, File) and one.filename]
    return Sent(texts, [(await one.read(), one.filename or "photo") for one in photos])


SentForm = Annotated[Sent, Depends(_sent)]


def _empty() -> dict[str, str]:
    return dict.fromkeys((*_FIELDS, *PLACES), "")


def _form(
    request: Request,
    kept: PanelOnShelf | None,
    piece: Piece | None,
    typed: dict[str, str],
    refused: PanelwrightError | None = None,
) -> Response:
    """The screen of a record: of a new piece of a panel, or one more of a piece."""
    wrong = [] if refused is None else [problem.sentence() for problem in refused.problems]
    values: dict[str, Any] = {"kept": kept, "piece": piece, "typed": typed, "wrong": wrong}
    values |= {"places": PLACES, "verdicts_again": AGAIN}
    return page(request, "record.html", status=400 if wrong else 200, **values)


@router.get("/panel/{number}/piece", response_class=HTMLResponse)
def new_piece(request: Request, number: str) -> Response:
    """The form of a first record."""
    kept = shelf_of(request).panel(number)
    return _form(request, kept, None, _empty())


@router.post("/panel/{number}/piece", dependencies=[OwnForm])
def make_piece(request: Request, number: str, sent: SentForm) -> Response:
    """Keep a piece of a panel with its first record."""
    shelf = shelf_of(request)
    kept = shelf.panel(number)
    typed = sent.typed
    try:
        made = shelf.save_piece(
            number,
            title=typed["title"],
            place=typed["place"],
            left=typed["left"],
            remark="",
            record=_record(typed),
            photos=sent.photos,
        )
    except PanelwrightError as refused:
        return _form(request, kept, None, typed, refused)
    return seen(f"/piece/{made}")


@router.get("/piece/{number}", response_class=HTMLResponse)
def piece(request: Request, number: str) -> Response:
    """A piece: what was found on it beside what was predicted, its family, its photos."""
    shelf = shelf_of(request)
    kept = shelf.piece(number)
    panel = shelf.panel(kept.panel, kept.revision)
    prediction = panel.snapshot.prediction
    system = look_of(request).system
    pairs = [
        (
            figure("Thickness", prediction.thickness, "thickness", system),
            _newest(kept.records, "thickness"),
        ),
        (
            figure("Areal mass", prediction.areal_mass, "areal_mass", system),
            _newest(kept.records, "areal_mass"),
        ),
    ]
    return page(
        request,
        "piece.html",
        piece=kept,
        panel=panel,
        pairs=pairs,
        show=units.show,
        read_off=lambda record: of_readings(readings_of_record(record)),
        is_build=part_file_of(kept) is not None,
    )


def _newest(records: tuple[Record, ...], name: str) -> float | None:
    known = [value for one in records if (value := getattr(one, name)) is not None]
    return known[-1] if known else None


@router.get("/piece/{number}/record", response_class=HTMLResponse)
def new_record(request: Request, number: str) -> Response:
    """The form of another record of a piece."""
    kept = shelf_of(request).piece(number)
    typed = {**_empty(), "place": kept.place, "left": kept.left, "title": kept.title}
    return _form(request, None, kept, typed)


@router.post("/piece/{number}/record", dependencies=[OwnForm])
def add_record(request: Request, number: str, sent: SentForm) -> Response:
    """Add a record to a piece; those before stay."""
    shelf = shelf_of(request)
    kept = shelf.piece(number)
    typed = sent.typed
    try:
        shelf.save_piece(
            number=number,
            title=typed["title"],
            place=typed["place"],
            left=typed["left"],
            record=_record(typed),
            photos=sent.photos,
        )
    except PanelwrightError as refused:
        return _form(request, None, kept, typed, refused)
    return seen(f"/piece/{number}")


@router.post("/piece/{number}/cut", dependencies=[OwnForm])
def cut(
    request: Request,
    number: str,
    cut_at: Annotated[str, Form()] = "",
    title: Annotated[str, Form()] = "",
    left: Annotated[str, Form()] = "",
) -> Response:
    """Cut a piece from another."""
    made = shelf_of(request).save_piece(cut_from=number, cut_at=cut_at, title=title or None)
    if left.strip():
        shelf_of(request).save_piece(number=number, left=left)
    return seen(f"/piece/{made}")
