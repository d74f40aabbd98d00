"""A panel while it is changed: each change is answered with what is to be painted anew.

The panel file in the browser is what counts. A change comes with it, is made in it, and goes back
with the middle values; the ranges are asked for after that and come with all the rest.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData

from panelwright.errors import InputError, PanelwrightError, Problem
from panelwright.jobs.check import check_text
from panelwright.jobs.starts import STARTS
from panelwright.jobs.trying import changed, glanced, tried
from panelwright.jobs.writing import panel_text, sides
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.editing import set_value
from panelwright.panels.records import Prediction
from panelwright.panels.verdicts import DutyRecord
from panelwright.reports import drawing
from panelwright.reports.figures import headlines, stack_units
from panelwright.reports.stiffness_text import like
from panelwright.web.desks import Desk, Desks, Overtaken
from panelwright.web.editor import (
    duty_rows,
    duty_views,
    glance_cells,
    panel_fields,
    ranged_cells,
    rows,
    selected_number,
    stands_on,
)
from panelwright.web.panels import Shown, lines_of_form, panel_values, shelf_of
from panelwright.web.shop import OwnForm
from panelwright.web.views import NARROW, WIDTHS, look_of, page

router = APIRouter()


# --- What is asked --------------------------------------------------------------------------------


@dataclass(frozen=True)
class Asked:
    """One change as the window sends it."""

    do: str
    text: str
    stands: str  # the last text that could be read
    held: str
    open: str  # the layer whose fields are open
    wide: str
    cut: str
    number: str
    after: str
    desk: str
    was_refused: bool  # whether something is marked on the page
    form: FormData

    def words(self) -> str:
        """What was typed that the change is about."""
        word, _, rest = self.do.partition(" ")
        fields = {
            "set": f"at.{rest}",
            "add": "layer_words",
            "group": "group_name",
            "duty": "ready_duty",
        }
        return self.field(fields[word]) if word in fields else ""

    def field(self, name: str) -> str:
        """What stands in a field of the form."""
        value = self.form.get(name, "")
        return value if isinstance(value, str) else ""

    @property
    def change(self) -> str:
        """The change, with the numbers that stand in fields of their own."""
        if self.do != "group":
            return self.do
        ends = [self.field("group_from").strip(), self.field("group_to").strip()]
        if not all(end.isdecimal() for end in ends):
            what = "a group is made of layers by their numbers"
            given = " to ".join(end or "nothing" for end in ends)
            raise InputError(Problem(what, given, "the first and the last, such as 1 to 2"))
        return f"group {ends[0]} {ends[1]}"


def _asked(form: FormData) -> Asked:
    def one(name: str) -> str:
        value = form.get(name, "")
        return value if isinstance(value, str) else ""

    wide = one("wide")
    return Asked(
        do=one("do"),
        text=lines_of_form(one("text")),
        stands=lines_of_form(one("stands")),
        held=lines_of_form(one("held")),
        open=one("open"),
        wide=wide if wide in WIDTHS else "desk",
        cut="along" if one("cut") == "along" else "across",
        number=one("number"),
        after=one("after"),
        desk=one("desk"),
        was_refused=bool(one("refused")),
        form=form,
    )


#: Changes after which the fields that are being typed into stay as they are.
_TYPING = ("set", "open", "text", "hold", "release")


# --- What is made of it ---------------------------------------------------------------------------


def _text_after(asked: Asked, catalogue: Catalogue) -> str:
    """The file after the change. Raises :class:`InputError`."""
    word, _, rest = asked.do.partition(" ")
    if word in {"words", "start"}:
        return _from_words(asked, catalogue, rest)
    if word == "say":
        return _said(asked, rest)
    if word in {"text", "open", "hold", "release", "look"}:
        return asked.text
    return changed(asked.text, asked.change, asked.words(), catalogue)


def _from_words(asked: Asked, catalogue: Catalogue, start: str) -> str:
    """The file of a stack in words; the duties that were there already stay."""
    made = panel_text(catalogue=catalogue, **_typed(asked, start))
    _, mark, duties = asked.text.partition("[[duty]]")
    return f"{made}\n{mark}{duties}" if mark else made


def _typed(asked: Asked, start: str) -> dict[str, str]:
    """What stands in the fields of a new panel, or what a start puts there."""
    chosen = next((one for one in STARTS if one.id == start), None)
    names = ("words", "title", "process", "resin", "size")
    typed = {name: asked.field(name) for name in names}
    if chosen is None:
        return typed
    named = {"title": chosen.like, "process": chosen.process, "size": chosen.size}
    return {**typed, **named, "words": chosen.words}


def _said(asked: Asked, name: str) -> str:
    """The file with what is said of a new panel beside its stack."""
    typed = asked.field(name)
    if not asked.text.strip():
        return asked.text
    if name != "size":
        return set_value(asked.text, (name,), typed)
    length, width = sides(typed) or ("", "")
    whole = set_value(asked.text, ("size", "length"), length)
    return set_value(whole, ("size", "width"), width)


# --- Routes ---------------------------------------------------------------------------------------


def desks_of(request: Request) -> Desks:
    """The desks of this run of the server."""
    desks: Desks = request.app.state.desks
    return desks


@router.post("/live", dependencies=[OwnForm], response_class=HTMLResponse)
async def live(request: Request) -> Response:
    """One change: the file after it, the middle values, the section."""
    asked = _asked(await request.form())
    desk = desks_of(request).of(asked.desk)
    desk.take()
    return await run_in_threadpool(_answered, request, asked, desk)


def _answered(request: Request, asked: Asked, desk: Desk) -> Response:
    catalogue = shelf_of(request).catalogue()
    system = look_of(request).system
    text, now = asked.text, None
    problems: tuple[Problem, ...] = ()
    try:
        text = _text_after(asked, catalogue)
        now = glanced(text, catalogue) if text.strip() else None
    except PanelwrightError as refused:
        problems = refused.problems
    held_text = text if asked.do == "hold" else "" if asked.do == "release" else asked.held
    held = tried(held_text, catalogue) if held_text else None
    values: dict[str, Any] = {
        "asked": asked,
        "text": text,
        "rows": rows(text, now or _quietly(asked.stands, catalogue), system, problems),
        "units": stack_units(system),
        "problems": problems,
        "general": [
            one.sentence() for one in problems if not one.key.startswith(("layer", "group"))
        ],
        "stands": stands_on(problems, asked.stands) if problems and asked.stands else "",
        "now": now,
        "held": held,
        "held_text": held_text,
        "is_typing": asked.do.partition(" ")[0] in _TYPING,
        "duty_rows": duty_rows(text, problems),
        "fields": panel_fields(text),
        "opened": _opened(asked),
        "typed": _typed(asked, asked.do.partition(" ")[2]),
    }
    if now is not None:
        width, selected = WIDTHS[asked.wide], selected_number(values["rows"], values["opened"])
        values |= {
            "cells": glance_cells(now, held, _known(desk, asked, catalogue), system),
            "section": drawing.section_svg(now, width, asked.cut, selected, system),
            "caption": drawing.section_caption(now, width, asked.cut),
            "like": like(now, system),
            "against": ""
            if held is None
            else drawing.against_svg(held, now, width, asked.cut, system),
        }
    return page(request, "live.html", **values)


def _is_of_layer(problem: Problem) -> bool:
    """Whether it is told beside a layer or a duty."""
    return problem.key.startswith(("layer ", "group ", "duty "))


def _known(desk: Desk, asked: Asked, catalogue: Catalogue) -> Desk:
    """The desk with the ranges that the window shows, where it was forgotten."""
    if not desk.ranged and asked.stands and asked.stands != asked.text:
        desk.take_up(headlines(tried(asked.stands, catalogue)))
    return desk


def _quietly(text: str, catalogue: Catalogue) -> Prediction | None:
    """What the last text that could be read comes to."""
    if not text.strip():
        return None
    try:
        return glanced(text, catalogue)
    except PanelwrightError:
        return None


def _opened(asked: Asked) -> str:
    """The layer that is open after the change: it goes where the layer went."""
    word, *given = asked.do.split()
    if not asked.open:
        return ""
    if word in {"up", "down"} and given and given[0].isdecimal():
        return f"layer.{int(given[0]) + (1 if word == 'down' else -1)}"
    if word == "move" and len(given) == 2:
        return f"layer.{given[1]}"
    if word == "copy" and given and given[0].isdecimal():
        return f"layer.{int(given[0]) + 1}"
    return "" if word in {"remove", "group"} else asked.open


@router.post("/live/ranges", dependencies=[OwnForm], response_class=HTMLResponse)
async def ranges(request: Request) -> Response:
    """The same text with its ranges and all that a page shows; nothing where it is overtaken."""
    asked = _asked(await request.form())
    desk = desks_of(request).of(asked.desk)
    turn = desk.turn
    desk.parts = 0
    try:
        return await run_in_threadpool(_with_ranges, request, asked, desk, turn)
    except Overtaken:
        return Response(status_code=204)


def _with_ranges(request: Request, asked: Asked, desk: Desk, turn: int) -> Response:
    catalogue = shelf_of(request).catalogue()
    system = look_of(request).system
    try:
        now = tried(asked.text, catalogue, lambda: desk.go_on(turn))
    except InputError:
        return Response(status_code=204)
    held = tried(asked.held, catalogue) if asked.held else None
    only = None if asked.field("all") else asked.wide
    desk.go_on(turn)
    found = rows(asked.text, now, system)
    shown = Shown(only, selected_number(found, asked.open))
    values = panel_values(now, system, asked.cut, shown)
    desk.go_on(turn)
    return page(
        request,
        "ranges.html",
        asked=asked,
        rows=found,
        cells=ranged_cells(now, held, desk, system),
        **{name: value for name, value in values.items() if name != "cells"},
    )


@router.post("/live/duties", dependencies=[OwnForm], response_class=HTMLResponse)
async def duties(request: Request) -> Response:
    """The duties of the same text, judged; nothing where that is overtaken."""
    asked = _asked(await request.form())
    desk = desks_of(request).of(asked.desk)
    try:
        return await run_in_threadpool(_judged, request, asked, desk, desk.turn)
    except Overtaken:
        return Response(status_code=204)


def _judged(request: Request, asked: Asked, desk: Desk, turn: int) -> Response:
    system = look_of(request).system
    wrong: tuple[Problem, ...] = ()
    found: tuple[DutyRecord, ...] = ()
    try:
        found = check_text(
            asked.text, shelf_of(request).catalogue(), between=lambda: desk.go_on(turn)
        )
    except InputError as refused:
        wrong = refused.problems
    widths = Shown(None if asked.field("all") else asked.wide).of(NARROW)
    return page(
        request,
        "duties.html",
        duties=duty_views(found, system, widths),
        duty_rows=duty_rows(asked.text, wrong),
        general=[one.sentence() for one in wrong if not one.key.startswith("duty ")],
    )


@router.get("/live/progress/{desk}", response_class=HTMLResponse)
def progress(request: Request, desk: str) -> Response:
    """How many parts of the work on ranges are done."""
    return HTMLResponse(str(desks_of(request).of(desk).parts))


@router.post("/live/stop", dependencies=[OwnForm], response_class=HTMLResponse)
async def stop(request: Request) -> Response:
    """End the work on ranges; the middle values stay."""
    desks_of(request).of(_asked(await request.form()).desk).take()
    return Response(status_code=204)
