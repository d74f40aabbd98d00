"""The shelf and its panels: find, read, write anew."""

from __future__ import annotations

import difflib
import secrets
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Annotated, Any
from urllib.parse import urlencode

from fastapi import APIRouter, Form, Query, Request, UploadFile
from fastapi.responses import HTMLResponse, PlainTextResponse, RedirectResponse, Response

from panelwright import units
from panelwright.errors import PanelwrightError, UnitError
from panelwright.jobs.check import ready_duties
from panelwright.jobs.shelf import ORDERS, Filter, PanelOnShelf, Shelf
from panelwright.jobs.starts import STARTS
from panelwright.jobs.trying import changed, layer_names, tried
from panelwright.jobs.working import headline_names, work
from panelwright.jobs.writing import panel_text
from panelwright.panels.description import read
from panelwright.panels.editing import set_value
from panelwright.panels.records import Prediction
from panelwright.reports import drawing
from panelwright.reports.figures import Figure, headlines, stack_rows, stack_units
from panelwright.reports.layout import first_system
from panelwright.reports.prediction_text import full
from panelwright.reports.stiffness_text import like
from panelwright.reports.strength_text import (
    in_service,
    not_told,
    service_rows,
    strength_rows,
    weakest_at,
)
from panelwright.reports.working_text import working_passages
from panelwright.web.desks import Desks
from panelwright.web.editor import cells, duty_rows, duty_views, panel_fields, rows
from panelwright.web.shop import OwnForm
from panelwright.web.views import NARROW, WIDTHS, look_of, page, with_unit

router = APIRouter()
#: A revision that is asked for; no shelf has more, and a database takes no larger number.
Revised = Annotated[int | None, Query(ge=1, le=10**6)]


def shelf_of(request: Request) -> Shelf:
    """The open shelf."""
    shelf: Shelf = request.app.state.shelf
    return shelf


def seen(path: str, **query: object) -> RedirectResponse:
    """On to another page after a form."""
    asked = f"?{urlencode(query)}" if query else ""
    return RedirectResponse(path + asked, status_code=303)


# --- The shelf ------------------------------------------------------------------------------------


#: What a number alone is meant in, by dimension; the fields say so.
ALONE = {"thickness": "mm", "areal_mass": "kg/m2"}


def _bound(text: str, dimension: str, wrong: list[str]) -> float | None:
    """A bound as typed, in SI; what cannot be read is said and left out."""
    if not text.strip():
        return None
    try:
        return units.parse(with_unit(text, ALONE[dimension]), dimension).value
    except UnitError as refused:
        wrong += [problem.sentence() for problem in refused.problems]
        return None


@dataclass(frozen=True)
class Asked:
    """What stands in the fields of the shelf page, as typed."""

    find: str = ""
    tag: str = ""
    core: str = ""
    process: str = ""
    standing: str = ""
    order: str = "newest"
    thicker: str = ""
    thinner: str = ""
    heavier: str = ""
    lighter: str = ""

    def filter(self, number: int, wrong: list[str]) -> Filter:
        """The filter that is meant; problems go to ``wrong``."""
        return Filter(
            text=self.find,
            tags=(self.tag,) if self.tag else (),
            thickness=(
                _bound(self.thicker, "thickness", wrong),
                _bound(self.thinner, "thickness", wrong),
            ),
            areal_mass=(
                _bound(self.heavier, "areal_mass", wrong),
                _bound(self.lighter, "areal_mass", wrong),
            ),
            cores=(self.core,) if self.core else (),
            processes=(self.process,) if self.process else (),
            standing=self.standing,
            order=self.order,
            offset=(number - 1) * Filter.size,
        )

    @property
    def charted(self) -> str:
        """The query of a chart of what is found; bounds and order are left out."""
        names = ("find", "tag", "core", "process", "standing")
        filled = {name: getattr(self, name) for name in names if getattr(self, name)}
        return f"?{urlencode(filled)}" if filled else ""

    def link(self, number: int) -> str:
        """The address of another page of the same search."""
        filled = {name: value for name, value in vars(self).items() if value}
        return "/shelf?" + urlencode({**filled, "page": number})


@router.get("/shelf", response_class=HTMLResponse)
def shelf(
    request: Request,
    find: str = "",
    tag: str = "",
    core: str = "",
    process: str = "",
    standing: str = "",
    order: str = "newest",
    thicker: str = "",
    thinner: str = "",
    heavier: str = "",
    lighter: str = "",
) -> Response:
    """Cards of the panels for which all that is asked holds."""
    order = order if order in ORDERS else ORDERS[0]
    asked = Asked(find, tag, core, process, standing, order, thicker, thinner, heavier, lighter)
    number = max(1, _whole(request.query_params.get("page", "1")))
    wrong: list[str] = []
    found = shelf_of(request).find(asked.filter(number, wrong))
    cards = [
        (card, drawing.card_svg(card.layers, card.thickness.value, 300)) for card in found.items
    ]
    last = max(1, -(-found.total // found.size))
    return page(
        request,
        "shelf.html",
        asked=asked,
        found=found,
        cards=cards,
        wrong=wrong,
        number=number,
        last=last,
        orders=ORDERS,
    )


def _whole(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 7 else 1


# --- A panel --------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Shown:
    """Widths of page that drawings are wanted for, all where none is named; the layer selected."""

    only: str | None = None
    selected: int | None = None

    def of(self, widths: dict[str, int]) -> dict[str, int]:
        """The widths, by the class of what shows them."""
        return {name: px for name, px in widths.items() if self.only in {None, name}}


def _pictures(
    prediction: Prediction, system: str, cut: str, shown: Shown
) -> dict[str, dict[str, str]]:
    """Every drawing for every width of page."""
    wide, narrow = shown.of(WIDTHS), shown.of(NARROW)
    made = {
        "section": {
            name: drawing.section_svg(prediction, width, cut, shown.selected, system)
            for name, width in wide.items()
        },
        "details": {
            name: drawing.details_svg(prediction, width, system=system)
            for name, width in wide.items()
        },
        "ledger": {
            name: drawing.ledger_svg(prediction, width, system) for name, width in wide.items()
        },
        "shares": {name: drawing.shares_svg(prediction, width) for name, width in narrow.items()},
    }
    if prediction.section is not None:
        made["polar"] = {
            name: drawing.polar_svg(prediction, width, system) for name, width in narrow.items()
        }
    return made


def panel_values(
    prediction: Prediction, system: str, cut: str, shown: Shown = Shown()
) -> dict[str, Any]:
    """All that the page of a panel says of its prediction."""
    one = first_system(system)
    strength = strength_rows(prediction, one) if prediction.strength else []
    return {
        "prediction": prediction,
        "cells": cells(prediction, system),
        "stack": stack_rows(prediction, system),
        "drawn": _pictures(prediction, system, cut, shown),
        "caption": drawing.section_caption(prediction, WIDTHS["desk"], cut),
        "ledger_table": drawing.ledger_table(prediction, system),
        "polar_table": drawing.polar_table(prediction, system) if prediction.section else [],
        "shares_table": drawing.shares_table(prediction),
        "says": [
            text
            for text in (
                like(prediction, system),
                weakest_at(prediction, system),
                in_service(prediction, system),
            )
            if text
        ],
        "strength": [row for row in strength if row[1] != "or"],
        "strength_all": strength,
        "service": service_rows(prediction, one),
        "service_unknown": not_told(prediction, one),
    }


@dataclass(frozen=True)
class _Stored:
    """A prediction as it was stored, known by where it stands: that never changes."""

    which: tuple[str, str, int, str]
    prediction: Prediction = field(compare=False)


@lru_cache(maxsize=32)
def _lately(stored: _Stored, system: str, cut: str) -> dict[str, Any]:
    """What a page says of a prediction; its drawings are not drawn anew each time."""
    return panel_values(stored.prediction, system, cut)


@router.get("/panel/{number}", response_class=HTMLResponse)
def panel(request: Request, number: str, revision: Revised = None, cut: str = "across") -> Response:
    """A panel as it was predicted when it was saved."""
    kept = shelf_of(request).panel(number, revision)
    cut = cut if cut in {"across", "along"} else "across"
    which = (shelf_of(request).name, kept.number, kept.revision, kept.made)
    prediction, system = kept.snapshot.prediction, look_of(request).system
    values = _lately(_Stored(which, prediction), system, cut)
    is_newest = kept.revision == kept.revisions[0].number
    more = {
        "kept": kept,
        "cut": cut,
        "duties": duty_views(kept.snapshot.duties, system, NARROW),
        "ready": ready_duties(shelf_of(request).catalogue()),
        "is_open": is_newest and not shelf_of(request).read_only,
        **desk_values(request, kept.text, prediction),
    }
    return page(request, "panel.html", **more, **values)


def desk_values(request: Request, text: str, prediction: Prediction | None) -> dict[str, Any]:
    """What the editor of a panel starts from."""
    desks: Desks = request.app.state.desks
    word = secrets.token_urlsafe(9)
    system = look_of(request).system
    if prediction is not None:
        desks.of(word).take_up(headlines(prediction, system))
    return {
        "desk": word,
        "text": text,
        "rows": rows(text, prediction, system),
        "duty_rows": duty_rows(text),
        "units": stack_units(system),
        "fields": panel_fields(text),
        "opened": "",
    }


@router.get("/panel/{number}/today", response_class=HTMLResponse)
def today(request: Request, number: str, revision: Revised = None) -> Response:
    """The stored prediction beside today's, and where a headline has moved and why."""
    shelf = shelf_of(request)
    kept = shelf.panel(number, revision)
    now, moved = shelf.today(number, revision)
    system = look_of(request).system
    pairs = list(
        zip(headlines(kept.snapshot.prediction, system), headlines(now, system), strict=False)
    )
    return page(request, "today.html", kept=kept, now=now, moved=moved, pairs=pairs)


@router.get("/panel/{number}/full", response_class=HTMLResponse)
def everything(request: Request, number: str, revision: Revised = None) -> Response:
    """All that was predicted, as text."""
    kept = shelf_of(request).panel(number, revision)
    text = full(kept.snapshot.prediction, look_of(request).system)
    return page(request, "full.html", kept=kept, text=text)


@router.get("/panel/{number}/file", response_class=PlainTextResponse)
def file(request: Request, number: str, revision: Revised = None) -> Response:
    """The panel file."""
    kept = shelf_of(request).panel(number, revision)
    name = f'attachment; filename="{kept.number}-{kept.revision}.toml"'
    return PlainTextResponse(kept.text, headers={"Content-Disposition": name})


# --- Working --------------------------------------------------------------------------------------


@router.get("/panel/{number}/working", response_class=HTMLResponse)
def workings(request: Request, number: str, revision: Revised = None) -> Response:
    """Every number that has a working."""
    kept = shelf_of(request).panel(number, revision)
    names = headline_names(read(kept.text), shelf_of(request).catalogue())
    return page(request, "workings.html", kept=kept, names=names)


@router.get("/panel/{number}/working/{name}", response_class=HTMLResponse)
def working(request: Request, number: str, name: str, revision: Revised = None) -> Response:
    """How one number is made, step by step, down to the rows of the catalogue."""
    shelf = shelf_of(request)
    kept = shelf.panel(number, revision)
    done = work(read(kept.text), shelf.catalogue(), name)
    steps, givens = working_passages(done.node, done.layers)
    system = look_of(request).system
    one = first_system(system)
    value = units.show(float(done.node.value), done.dimension, one).partition(" (")[0]
    stored = next(
        (f for f in headlines(kept.snapshot.prediction, one) if f.working == done.name), None
    )
    return page(
        request,
        "working.html",
        kept=kept,
        done=done,
        value=value,
        stored=stored,
        steps=steps,
        givens=givens,
    )


# --- Writing --------------------------------------------------------------------------------------


@router.get("/new", response_class=HTMLResponse)
def new(request: Request) -> Response:
    """The form of a new panel."""
    return _new(request, {}, [])


def _new(request: Request, typed: dict[str, str], wrong: list[str]) -> Response:
    """The form of a new panel with what was typed, and what is wrong with it."""
    values = desk_values(request, typed.get("text", ""), None)
    values["ready"] = ready_duties(shelf_of(request).catalogue())
    status = 400 if wrong else 200
    return page(
        request, "new.html", status=status, typed=typed, wrong=wrong, starts=STARTS, **values
    )


@router.post("/new", dependencies=[OwnForm])
def make(
    request: Request,
    words: Annotated[str, Form()] = "",
    process: Annotated[str, Form()] = "",
    resin: Annotated[str, Form()] = "",
    size: Annotated[str, Form()] = "",
    title: Annotated[str, Form()] = "",
    text: Annotated[str, Form()] = "",
    tags: Annotated[str, Form()] = "",
    do: Annotated[str, Form()] = "",
) -> Response:
    """Keep a new panel, from a panel file or from shop words."""
    shelf = shelf_of(request)
    start = next((one for one in STARTS if do == f"start {one.id}"), None)
    if start is not None:
        typed = {"words": start.words, "process": start.process, "size": start.size}
        return _new(request, {**typed, "title": start.like, "tags": tags}, [])
    typed = {
        "words": words,
        "process": process,
        "resin": resin,
        "size": size,
        "title": title,
        "text": text,
        "tags": tags,
    }
    try:
        said = panel_text(words, shelf.catalogue(), title, process, resin, size) if words else ""
        written = text if text.strip() else said
        number, _ = shelf.save_panel(lines_of_form(written), tags=_tags(tags), file="panel file")
    except PanelwrightError as refused:
        wrong = [problem.sentence() for problem in refused.problems]
        return _new(request, typed, wrong)
    return seen(f"/panel/{number}")


def lines_of_form(text: str) -> str:
    """Text of a form with the line ends of a file."""
    return text.replace("\r\n", "\n").replace("\r", "\n")


def _tags(text: str) -> tuple[str, ...]:
    return tuple(dict.fromkeys(tag.strip() for tag in text.split(",") if tag.strip()))


def _writing(
    request: Request,
    kept: PanelOnShelf,
    text: str,
    typed: dict[str, Any],
    wrong: list[str],
    status: int = 200,
) -> Response:
    """The panel file being written anew: its layers to change, and what it would come to."""
    catalogue = shelf_of(request).catalogue()
    one = look_of(request).system
    pairs: list[tuple[Figure, Figure]] = []
    if not wrong:
        try:
            now = tried(text, catalogue)
            before = headlines(kept.snapshot.prediction, one)
            after = {figure.name: figure for figure in headlines(now, one)}
            pairs = [(figure, after[figure.name]) for figure in before if figure.name in after]
        except PanelwrightError as refused:
            wrong = [problem.sentence() for problem in refused.problems]
    usual = {"after": kept.revision, "remark": "", "layer_words": "", "theirs": "", "differs": []}
    values: dict[str, Any] = {**usual, **typed}
    return page(
        request,
        "write.html",
        status=400 if wrong else status,
        kept=kept,
        text=text,
        wrong=wrong,
        layers=layer_names(text),
        pairs=pairs,
        **values,
    )


@router.get("/panel/{number}/write", response_class=HTMLResponse)
def write(request: Request, number: str) -> Response:
    """The panel file to be written anew."""
    kept = shelf_of(request).panel(number)
    return _writing(request, kept, kept.text, {}, [])


@router.post("/panel/{number}/write", dependencies=[OwnForm])
def rewrite(
    request: Request,
    number: str,
    text: Annotated[str, Form()] = "",
    remark: Annotated[str, Form()] = "",
    after: Annotated[int | None, Form()] = None,
    do: Annotated[str, Form()] = "",
    layer_words: Annotated[str, Form()] = "",
) -> Response:
    """Try a change of the layers, keep a new revision of a panel, or a variant of it."""
    shelf = shelf_of(request)
    kept = shelf.panel(number)
    text = lines_of_form(text)
    typed: dict[str, Any] = {"remark": remark, "after": after, "layer_words": layer_words}
    try:
        if do == "variant":
            return seen(f"/panel/{_variant(shelf, kept, text, remark, after)}")
        if do not in {"keep", "keep mine"}:
            text = changed(text, "" if do == "try" else do, layer_words, shelf.catalogue())
            return _writing(request, kept, text, {**typed, "layer_words": ""}, [])
        newest = kept.revision if do == "keep mine" else after
        if newest is not None and newest != kept.revision:
            return _two_windows(request, kept, text, typed)
        shelf.save_panel(text, number, remark=remark, after=newest)
    except PanelwrightError as refused:
        wrong = [problem.sentence() for problem in refused.problems]
        return _writing(request, kept, text, typed, wrong)
    return seen(f"/panel/{number}")


def _variant(shelf: Shelf, kept: PanelOnShelf, text: str, remark: str, after: int | None) -> str:
    """Keep a text as a panel of its own that says what it is a variant of; its number."""
    title = read(text).panel.title
    if title == kept.title:
        text = set_value(text, ("title",), f"{title}, variant")
    said = f"variant of {kept.number}, revision {after or kept.revision}"
    made, _ = shelf.save_panel(text, remark=f"{said}: {remark}" if remark else said, tags=kept.tags)
    return made


def _marked(line: str) -> str:
    """A line of a difference, what is gone with a true minus."""
    return f"\N{MINUS SIGN}{line[1:]}" if line.startswith("-") else line


def _two_windows(
    request: Request, kept: PanelOnShelf, text: str, typed: dict[str, Any]
) -> Response:
    """Somebody has kept another revision since: both texts, and what may be done."""
    differs = difflib.unified_diff(kept.text.splitlines(), text.splitlines(), n=1, lineterm="")
    lines = [_marked(line) for line in list(differs)[2:] if not line.startswith("@@")]
    return _writing(request, kept, text, {**typed, "theirs": kept.text, "differs": lines}, [], 409)


@router.post("/panel/{number}/tags", dependencies=[OwnForm])
def tag(request: Request, number: str, tags: Annotated[str, Form()] = "") -> Response:
    """Give a panel other tags."""
    shelf_of(request).tag_panel(number, _tags(tags))
    return seen(f"/panel/{number}")


@router.post("/photo/{of}", dependencies=[OwnForm])
def add_photo(
    request: Request, of: str, photo: UploadFile, caption: Annotated[str, Form()] = ""
) -> Response:
    """Keep a photo of a panel or a piece."""
    content = photo.file.read()
    shelf_of(request).add_photo(content, photo.filename or "photo", of, caption)
    return seen(f"/{'piece' if of.upper().startswith('S') else 'panel'}/{of}")


@router.get("/photo/{sha256}.jpg")
def photo(request: Request, sha256: str) -> Response:
    """A photo by the hash of its content."""
    content = shelf_of(request).photo(sha256)
    keep = {"Cache-Control": "private, max-age=31536000, immutable"}
    return Response(content, media_type="image/jpeg", headers=keep)
