"""What is left over of materials: written after a build, found before the next."""

from __future__ import annotations

from collections.abc import Mapping

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, Response

from panelwright.errors import PanelwrightError
from panelwright.jobs.floor import floor
from panelwright.jobs.shelf import Remnant
from panelwright.reports.left_over import left_over
from panelwright.web.floor import Fields
from panelwright.web.panels import seen, shelf_of
from panelwright.web.shop import OwnForm
from panelwright.web.views import look_of, page

router = APIRouter()
#: Empty lines of a form for what the plan did not foresee.
FREE = 3
MOST_LINES = 200


def _page(
    request: Request, typed: Mapping[str, str], refused: PanelwrightError | None = None
) -> Response:
    wrong = [] if refused is None else [problem.sentence() for problem in refused.problems]
    every = shelf_of(request).remnants()
    return page(
        request,
        "remnants.html",
        status=400 if wrong else 200,
        there=[one for one in every if not one.gone],
        gone=[one for one in every if one.gone],
        typed=typed,
        wrong=wrong,
    )


@router.get("/remnants", response_class=HTMLResponse)
def remnants(request: Request) -> Response:
    """All that is left over, and what was used up."""
    return _page(request, {})


@router.post("/remnants", dependencies=[OwnForm])
def keep_remnant(request: Request, fields: Fields) -> Response:
    """Keep one remnant, or write that one is used up."""
    shelf = shelf_of(request)
    try:
        if number := fields.get("gone", ""):
            shelf.use_up(int(number) if number.isascii() and number.isdigit() else 0)
        else:
            material, amount = fields.get("material", ""), fields.get("amount", "")
            shelf.save_remnants([Remnant(material, amount, remark=fields.get("remark", ""))])
    except PanelwrightError as refused:
        return _page(request, fields, refused)
    return seen("/remnants")


# --- Of a build -----------------------------------------------------------------------------------


def _lines(fields: Mapping[str, str]) -> list[tuple[str, str]]:
    """Material and amount of each line of a form, as typed."""
    numbers = range(MOST_LINES)
    pairs = [(fields.get(f"material {n}", ""), fields.get(f"amount {n}", "")) for n in numbers]
    return [pair for pair in pairs if any(word.strip() for word in pair)]


def _of_build(
    request: Request,
    number: str,
    lines: list[tuple[str, str]] | None = None,
    refused: PanelwrightError | None = None,
) -> Response:
    shelf = shelf_of(request)
    now = floor(shelf, number)
    wrong = [] if refused is None else [problem.sentence() for problem in refused.problems]
    kept = [one for one in shelf.remnants() if one.piece == now.piece.number]
    if lines is None:
        lines = [] if kept else left_over(now.plan, look_of(request).system)
    return page(
        request,
        "left.html",
        status=400 if wrong else 200,
        now=now,
        kept=kept,
        lines=[*lines, *[("", "")] * FREE],
        wrong=wrong,
    )


@router.get("/piece/{number}/left", response_class=HTMLResponse)
def left(request: Request, number: str) -> Response:
    """What a build left, as the plan has it, to be corrected."""
    return _of_build(request, number)


@router.post("/piece/{number}/left", dependencies=[OwnForm])
def keep_left(request: Request, number: str, fields: Fields) -> Response:
    """Keep what a build left; lines without an amount are left out."""
    lines = _lines(fields)
    remnants = [Remnant(material, amount, number) for material, amount in lines if amount.strip()]
    try:
        shelf_of(request).save_remnants(remnants)
    except PanelwrightError as refused:
        return _of_build(request, number, lines, refused)
    return seen("/remnants" if remnants else f"/piece/{number}/left")
