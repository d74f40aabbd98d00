"""What is built of a panel: what to buy, mix and cut, the clock, the steps; on pages and paper."""

from __future__ import annotations

import hashlib
import threading
from collections import OrderedDict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from typing import Annotated

from fastapi import APIRouter, Form, Request
from fastapi.responses import HTMLResponse, Response
from markupsafe import Markup
from starlette.exceptions import HTTPException

from panelwright import units
from panelwright.errors import InputError, PanelwrightError, Problem
from panelwright.fabrication.plan import BuildPlan, Step
from panelwright.jobs.building import first_part_file, plan_of, remnants_for
from panelwright.jobs.floor import begin, part_file_of
from panelwright.jobs.shelf import PanelOnShelf
from panelwright.reports import drawing
from panelwright.reports.build_words import (
    MOST_CHARTS,
    CutRow,
    amount,
    bought,
    cost_words,
    cut_rows,
    heat_words,
    hours,
    money,
    named,
    pot_rows,
    size_of,
    strip_lines,
    when,
)
from panelwright.reports.layout import first_system, plural, printed, sentence
from panelwright.reports.paper.build_labels import build_labels_pdf, many_labels
from panelwright.reports.paper.build_sheet import build_sheet
from panelwright.reports.paper.labels import MOST
from panelwright.reports.paper.pages import Paper
from panelwright.reports.shopping import shopping_csv, shopping_xlsx
from panelwright.web.panels import lines_of_form, seen, shelf_of
from panelwright.web.sheets import paper_of
from panelwright.web.shop import OwnForm
from panelwright.web.views import WIDTHS, look_of, page

router = APIRouter()
#: Part files that are remembered between pages; none is longer than the shelf takes.
MOST_REMEMBERED = 256


class PartFiles:
    """Part files as they were sent last, so that a page can be loaded again and its links lead on.

    Nothing here is needed to go on: a build that was begun has its part file on the shelf.
    """

    def __init__(self) -> None:
        self._kept: OrderedDict[str, str] = OrderedDict()
        self._lock = threading.Lock()

    def keep(self, text: str) -> str:
        """Remember a text; its name."""
        name = hashlib.sha256(text.encode("utf-8")).hexdigest()[:16]
        with self._lock:
            self._kept[name] = text
            self._kept.move_to_end(name)
            while len(self._kept) > MOST_REMEMBERED:
                self._kept.popitem(last=False)
        return name

    def get(self, name: str) -> str | None:
        """The text of a name, None once it is forgotten."""
        return self._kept.get(name)


def _part_files(request: Request) -> PartFiles:
    kept: PartFiles = request.app.state.part_files
    return kept


# --- The page -------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Go:
    """The steps of one go, or of what lies between, with their numbers from 1."""

    head: str
    steps: list[tuple[int, Step]]


def goes(plan: BuildPlan) -> list[Go]:
    """Steps in order, parted where another go begins."""
    found: list[Go] = []
    last: tuple[str, int | None] | None = None
    for number, step in enumerate(plan.steps, start=1):
        if (step.part, step.session) != last:
            found.append(Go(_head(plan, step), []))
        last = (step.part, step.session)
        found[-1].steps.append((number, step))
    return found


def _head(plan: BuildPlan, step: Step) -> str:
    part = f"{printed(step.part)}: " if len(plan.parts) > 1 else ""
    if step.session is None:
        return f"{part}before and after" if part else "Before and after"
    go = plan.sessions[step.session]
    people = plural(go.hands, "person", "people")
    return f"{part}{printed(go.stage.name)}, {when(go)}, {people}"


def _buys(plan: BuildPlan, system: str) -> Iterator[tuple[str, str, str, str, str]]:
    for line in plan.buys:
        cost = "" if line.bought is None else f"{line.bought:.2f}"
        used = amount(line, line.need, system)
        yield printed(line.what), bought(line, system), used, line.note, cost


def _cuts(plan: BuildPlan, system: str) -> list[tuple[str, CutRow]]:
    several = len(plan.parts) > 1
    return [
        (named(part) if several else "", row)
        for part in plan.parts
        for row in cut_rows(part, system)
    ]


def _mixes(plan: BuildPlan, system: str) -> Iterator[tuple[str, str, str, str]]:
    one = first_system(system)
    for mix in plan.mixes:
        mass = mix.to_mix
        middle = units.show(mass.value, "resin_mass", one, mass.low, mass.high)
        span = units.show_range(mass.low, mass.high, "resin_mass", one)
        split = ""
        if mix.resin is not None and mix.hardener is not None:
            resin, hardener = (units.show(m, "resin_mass", one) for m in (mix.resin, mix.hardener))
            split = f"{resin} resin, {hardener} hardener"
        yield printed(mix.product), middle, span, split


def _pots(plan: BuildPlan, system: str) -> list[tuple[str, object]]:
    counts = {part.name: named(part) for part in plan.parts}
    several = len(plan.parts) > 1
    rows = pot_rows(plan, system)
    return [
        (f"{counts[row.session.part]}: " * several + printed(row.session.stage.name), row)
        for row in rows
    ]


def _charts(plan: BuildPlan, system: str) -> list[tuple[str, Markup]]:
    drawn = [(s, b) for s in plan.sessions for b in s.batches if len(b.pots) > 1]
    several = len(plan.parts) > 1
    return [
        (
            f"{printed(session.part)}: " * several
            + f"{printed(session.stage.name)}, day {session.day}",
            Markup(drawing.pots_svg(session, batch, plan.day, WIDTHS["tablet"], system)),
        )
        for session, batch in drawn[:MOST_CHARTS]
    ]


def _tasks(plan: BuildPlan) -> list[tuple[str, ...]]:
    return [
        (task.name, hours(task.hours), f"{hours(task.low)} … {hours(task.high)}", task.evidence)
        for task in plan.tasks
    ]


def _ledger(plan: BuildPlan, system: str) -> list[tuple[str, ...]]:
    one = first_system(system)
    return [
        (
            row.cause,
            *(
                units.show(m.value, "resin_mass", one, m.low, m.high) if m.value else "–"
                for m in (row.in_part, row.to_mix, row.to_buy)
            ),
        )
        for row in plan.ledger
    ]


def _parts(plan: BuildPlan, system: str) -> Iterator[tuple[str, str, str]]:
    one = first_system(system)
    for part in plan.parts:
        mass = part.mass
        shown = units.show(mass.value, "mass", one, mass.low, mass.high)
        span = units.show_range(mass.low, mass.high, "mass", one)
        each = " each" if part.count > 1 else ""
        yield named(part), size_of(part, system), f"{shown}{each}, {span}"


def _planned(plan: BuildPlan, system: str) -> dict[str, object]:
    """All that a page shows of a plan."""
    one = first_system(system)
    whole = sum(part.count * part.mass.value for part in plan.parts)
    middle, low, high = plan.hours
    return {
        "plan": plan,
        "whole": units.show(whole, "mass", one),
        "days": plural(plan.days, "day"),
        "takes": f"{hours(middle)} h of work",
        "takes_range": f"{hours(low)} … {hours(high)} h",
        "cost": None if plan.priced is None else cost_words(plan.priced),
        "left": None if plan.priced is None else money(plan.priced.left, plan.priced.currency),
        "parts": list(_parts(plan, system)),
        "buys": list(_buys(plan, system)),
        "cuts": _cuts(plan, system),
        "strips": [sentence(text) for part in plan.parts for text in strip_lines(part, system)],
        "mixes": list(_mixes(plan, system)),
        "pots": _pots(plan, system),
        "charts": _charts(plan, system),
        "goes": goes(plan),
        "worries": [sentence(printed(text)) for text in plan.warnings],
        "assumed": [sentence(printed(text)) for text in plan.assumed],
        "heat": heat_words(plan.heat, system),
        "tasks": _tasks(plan),
        "ledger": _ledger(plan, system),
        "labels": 0 < many_labels(plan) <= MOST,
    }


def _page(
    request: Request, kept: PanelOnShelf, part: str, job: str, wrong: list[str], status: int = 200
) -> Response:
    """The page of a build: the plan where there is one, and the part file."""
    plan: BuildPlan | None = None
    if not wrong:
        try:
            plan = plan_of(shelf_of(request), kept.text, part)
        except PanelwrightError as refused:
            wrong, status = [problem.sentence() for problem in refused.problems], 400
    shown: dict[str, object] = {"plan": None}
    if plan is not None:
        shown = _planned(plan, look_of(request).system)
        shown["remnants"] = remnants_for(shelf_of(request), plan)
    return page(
        request,
        "build.html",
        status=status,
        kept=kept,
        part=part,
        job=job,
        asked=f"&job={job}" if job else "",
        begun=[one for one in kept.pieces if part_file_of(one) is not None],
        wrong=wrong,
        **shown,
    )


def _told(request: Request, number: str, job: str) -> tuple[PanelOnShelf, str]:
    """A panel with its part file: that of a name, else the one to start from."""
    kept = shelf_of(request).panel(number)
    if not job:
        return kept, first_part_file(kept.text)
    if job.startswith("S-"):  # of a build that was begun
        piece = shelf_of(request).piece(job)
        begun = shelf_of(request).panel(piece.panel, piece.revision)
        return begun, part_file_of(piece) or first_part_file(begun.text)
    part = _part_files(request).get(job)
    if part is None:
        what = "the part file of this page is not here any more: the workshop was started anew"
        hint = f"/panel/{kept.number}/build, and the part file once more"
        raise InputError(Problem(what, job[:20], hint=hint))
    return kept, part


@router.get("/panel/{number}/build", response_class=HTMLResponse)
def build_page(request: Request, number: str, job: str = "") -> Response:
    """What to buy, mix, cut and do for the newest revision of a panel."""
    kept, part = _told(request, number, job)
    return _page(request, kept, part, job, [])


@router.post("/panel/{number}/build", dependencies=[OwnForm])
def plan_anew(request: Request, number: str, part: Annotated[str, Form()] = "") -> Response:
    """Plan a build by a part file; what is refused stays as typed."""
    shelf = shelf_of(request)
    kept, part = shelf.panel(number), lines_of_form(part)
    try:
        plan_of(shelf, kept.text, part)
    except PanelwrightError as refused:
        wrong = [problem.sentence() for problem in refused.problems]
        return _page(request, kept, part, "", wrong, 400)
    return seen(f"/panel/{kept.number}/build", job=_part_files(request).keep(part))


@router.post("/panel/{number}/build/begin", dependencies=[OwnForm])
def begin_build(request: Request, number: str, job: Annotated[str, Form()] = "") -> Response:
    """Begin a build: from here on it has a number, and what is written of it is kept."""
    _, part = _told(request, number, job)
    return seen(f"/piece/{begin(shelf_of(request), number, part)}/build")


# --- Files ----------------------------------------------------------------------------------------

_PDF = "application/pdf"
_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
_Make = Callable[[BuildPlan, Paper, str], bytes]
#: Files of a build by name, as the command line writes them: what they are, and how made.
FILES: Mapping[str, tuple[str, _Make]] = {
    "build-sheet.pdf": (_PDF, lambda plan, paper, one: build_sheet(plan, date.today(), paper, one)),
    "labels.pdf": (_PDF, build_labels_pdf),
    "shopping.csv": ("text/csv; charset=utf-8", lambda plan, _, one: shopping_csv(plan, one)),
    "shopping.xlsx": (_XLSX, lambda plan, _, one: shopping_xlsx(plan, one)),
}


@router.get("/panel/{number}/build/{name}")
def build_file(
    request: Request, number: str, name: str, job: str = "", paper: str = "A4"
) -> Response:
    """A file of a build: the sheet, the labels, the shopping list."""
    if name not in FILES:
        raise HTTPException(404)
    kept, part = _told(request, number, job)
    kind, make = FILES[name]
    plan = plan_of(shelf_of(request), kept.text, part)
    content = make(plan, paper_of(paper), look_of(request).system)
    how = "inline" if kind == _PDF else "attachment"
    shown_as = {"Content-Disposition": f'{how}; filename="{kept.number}-{name}"'}
    return Response(content, media_type=kind, headers=shown_as)
