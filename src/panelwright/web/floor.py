"""A build while it is made: the next step, pots against the clock, what is written once."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from typing import Annotated

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import HTMLResponse, Response

from panelwright import units
from panelwright.errors import PanelwrightError
from panelwright.fabrication.plan import Box
from panelwright.jobs.floor import (
    TOUCHED,
    UNTOUCHED,
    Floor,
    PotNow,
    floor,
    open_step,
    write_pot,
    write_step,
)
from panelwright.reports.build_words import grams, parts_of
from panelwright.web.builds import goes
from panelwright.web.panels import seen, shelf_of
from panelwright.web.shop import OwnForm
from panelwright.web.views import page

router = APIRouter()
Chosen = Annotated[int | None, Query(ge=1, le=10**6)]


async def _fields(request: Request) -> dict[str, str]:
    form = await request.form()
    return {name: text for name, text in form.items() if isinstance(text, str)}


Fields = Annotated[dict[str, str], Depends(_fields)]


def _clock(when: datetime | None) -> str:
    """A moment by the clock of the shop."""
    return "" if when is None else f"{when.astimezone():%H:%M}"


def _stamp(when: datetime | None) -> int:
    """A moment in ms, as scripts count them."""
    return 0 if when is None else int(1e3 * when.timestamp())


def _left(pot: PotNow, now: datetime) -> str:
    """What the clock of a pot says when the page is made; the script goes on from there."""
    assert pot.use_by is not None
    assert pot.gels_at is not None
    minutes = int((pot.use_by - now).total_seconds() // 60.0)
    if now >= pot.gels_at:
        return "gels"
    return f"{minutes} min" if minutes >= 0 else "past its time"


def _sums(now: Floor) -> tuple[float, float]:
    """Grams mixed and left of all pots so far."""
    written = [one.written for one in now.pots]
    return sum(one.mixed or 0.0 for one in written), sum(one.left or 0.0 for one in written)


def _expected(box: Box) -> str:
    """What a box would hold by the plan, in its own unit."""
    if box.expected is None:
        return ""
    return f"{float(f'{box.expected / units.factor(box.unit):.3g}'):g}"


def _page(
    request: Request,
    number: str,
    chosen: int | None,
    typed: Mapping[str, str] | None = None,
    refused: PanelwrightError | None = None,
) -> Response:
    now = floor(shelf_of(request), number)
    step = now.next if chosen is None else chosen
    if step is not None:
        now.step(step)
    pots = now.pots_at(step)
    fresh = next((one for one in pots if one.written.begun is None), None)
    moment = datetime.now(UTC)
    return page(
        request,
        "floor.html",
        status=200 if refused is None else 400,
        wrong=[] if refused is None else [problem.sentence() for problem in refused.problems],
        typed=typed or {},
        keys=set() if refused is None else {problem.key for problem in refused.problems},
        expected=_expected,
        now=now,
        step=step,
        fresh=fresh,
        pots=pots,
        goes=goes(now.plan),
        sums=_sums(now),
        stamp=_stamp,
        at=_clock,
        left=lambda pot: _left(pot, moment),
        grams=grams,
        parts_of=parts_of,
        loaded=_stamp(moment),
    )


@router.get("/piece/{number}/build", response_class=HTMLResponse)
def floor_page(request: Request, number: str, step: Chosen = None) -> Response:
    """The next step of a build and its pots; another step where one is chosen."""
    return _page(request, number, step)


@router.get("/piece/{number}/build/pot")
@router.get("/piece/{number}/build/step")
def back(number: str) -> Response:
    """Where a form was refused stands the page itself: units and colours are chosen from there."""
    return seen(f"/piece/{number}/build")


@router.post("/piece/{number}/build/step", dependencies=[OwnForm])
def tick(request: Request, number: str, fields: Fields) -> Response:
    """A step is done, or not after all."""
    shelf, step = shelf_of(request), _whole(fields.get("step", ""))
    boxes = {name.removeprefix("box "): text for name, text in fields.items()}
    if fields.get("do") == "open":
        open_step(shelf, number, step)
        return seen(f"/piece/{number}/build")
    try:
        write_step(shelf, number, step, boxes, fields.get("at", ""))
    except PanelwrightError as refused:
        return _page(request, number, step, fields, refused)
    return seen(f"/piece/{number}/build")


@router.post("/piece/{number}/build/pot", dependencies=[OwnForm])
def pot(request: Request, number: str, fields: Fields) -> Response:
    """A pot is mixed, or what was mixed and left of it is written."""
    key = _whole(fields.get("go", "")), _whole(fields.get("pot", ""))
    do = fields.get("do", "")
    how = {"mixed": TOUCHED, "not": UNTOUCHED}.get(do, "")
    typed = {} if do == "not" else fields
    try:
        write_pot(shelf_of(request), number, key, typed, how, fields.get("at", ""))
    except PanelwrightError as refused:
        return _page(request, number, None, fields, refused)
    return seen(f"/piece/{number}/build")


def _whole(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 7 else 0
