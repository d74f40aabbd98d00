"""Any property of panels against any other: the chart, its twin for the script, and its sheet."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from typing import Annotated
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, Query, Request
from fastapi.responses import HTMLResponse, JSONResponse, PlainTextResponse, Response

from panelwright.errors import InputError, PanelwrightError, Problem
from panelwright.jobs.chart import NAMED, NONE, SETS, SHELF, Wanted, chart, property_of
from panelwright.jobs.lineup import MOST_PANELS
from panelwright.jobs.lineup_rows import FEWEST
from panelwright.jobs.shelf import Filter
from panelwright.panels.charted import FOAM, PROPERTIES, Property
from panelwright.panels.charts import FOUND, HALF_FOUND, PREDICTED, Axis, Chart
from panelwright.reports.chart_spec import FEW, SHAPES, TOLD, columns, renderer, spec
from panelwright.reports.chart_words import (
    ROWS,
    csv_rows,
    heading,
    kind_words,
    merit_sentence,
    sentences,
    standing_words,
    table_rows,
    unit_of,
)
from panelwright.reports.drawing import chart as picture
from panelwright.web.panels import shelf_of
from panelwright.web.views import WIDTHS, look_of, page

router = APIRouter()
PATH = "/lineup/chart"
LOG, EVEN = "log", "even"
SCALES = {LOG: "logarithmic", EVEN: "even, from nought"}
SET_WORDS = {SHELF: "the shelf", NAMED: "those named", NONE: "solids alone"}
#: Thickness that known solids are set beside in where nothing else is asked.
USUAL = "10 mm"


@dataclass(frozen=True)
class Asked:
    """What stands in the fields of the page, as typed; ``part`` : system, then four ends."""

    across: str = "areal_mass"
    up: str = "stiffness_along"
    across_axis: str = LOG
    up_axis: str = LOG
    of: str = SHELF
    members: str = ""
    solids: str = USUAL
    through: str = ""
    part: str = ""
    find: str = ""
    core: str = ""
    process: str = ""
    tag: str = ""
    standing: str = ""

    def link(self, path: str = PATH, **others: str) -> str:
        """The address of the same chart, or of one that differs so."""
        usual = Asked()
        told = vars(self) | {name: text for name, text in others.items() if name in vars(self)}
        kept = {name: text for name, text in told.items() if text != getattr(usual, name)}
        more = {name: text for name, text in others.items() if name not in vars(self)}
        query = urlencode({**kept, **more})
        return f"{path}?{query}" if query else path

    @property
    def line_up(self) -> str:
        """The address of a line-up of those named; of the empty one where they are no line-up."""
        few = FEWEST <= len(_listed(self.members)) <= MOST_PANELS
        return f"/lineup?{urlencode({'members': self.members})}" if few else "/lineup"

    @property
    def filter(self) -> Filter:
        """What of the shelf is meant."""
        return Filter(
            text=self.find,
            tags=(self.tag,) if self.tag else (),
            cores=(self.core,) if self.core else (),
            processes=(self.process,) if self.process else (),
            standing=self.standing,
        )

    def wanted(self, system: str) -> Wanted:
        """The chart that is meant. Raises :class:`InputError` for words that mean none."""
        across, up = property_of(self.across, "across"), property_of(self.up, "up")
        for key, word in (("across_axis", self.across_axis), ("up_axis", self.up_axis)):
            if word not in SCALES:
                problem = Problem("no axis is called so", word[:40], f"{LOG} or {EVEN}", key=key)
                raise InputError(problem)
        if self.of not in SETS:
            what = "no set of panels is called so"
            raise InputError(Problem(what, self.of[:40], ", ".join(SETS), key="of"))
        return Wanted(
            across.key,
            up.key,
            self.across_axis == LOG,
            self.up_axis == LOG,
            self.of,
            self.filter,
            _listed(self.members),
            _listed(self.solids),
            self.through,
            _part(self.part, across, up),
        )


def _listed(text: str) -> tuple[str, ...]:
    """What is parted by semicolons, each once."""
    return tuple(dict.fromkeys(one.strip() for one in text.split(";") if one.strip()))


def _part(text: str, across: Property, up: Property) -> tuple[float, float, float, float] | None:
    """From and to across, from and to up, SI, of a part. Raises :class:`InputError`."""
    if not text:
        return None
    system, *numbers = text.split(",")
    try:
        left, right, low, high = (float(one) for one in numbers)
    except ValueError:
        raise _no_part(text) from None
    if system not in {"si", "imperial"} or not all(abs(e) < 1e15 for e in (left, right, low, high)):
        raise _no_part(text)
    x, y = unit_of(across, system).size, unit_of(up, system).size
    return left * x, right * x, low * y, high * y


def _no_part(text: str) -> InputError:
    allowed = "si or imperial and four numbers: si,2,8,100,5000"
    hint = "draw a box on the chart"
    return InputError(Problem("this is no part of a chart", text[:60], allowed, hint, key="part"))


def _asked(
    panel: Annotated[list[str] | None, Query()] = None,
    across: str = Asked.across,
    up: str = Asked.up,
    across_axis: str = LOG,
    up_axis: str = LOG,
    of: str = SHELF,
    members: str = "",
    solids: str = USUAL,
    through: str = "",
    part: str = "",
    find: str = "",
    core: str = "",
    process: str = "",
    tag: str = "",
    standing: str = "",
) -> Asked:
    """The fields; panels marked on the shelf stand before those named."""
    named = "; ".join(_listed("; ".join([*(panel or []), members])))
    return Asked(
        across,
        up,
        across_axis,
        up_axis,
        of,
        named,
        solids,
        through,
        part,
        find,
        core,
        process,
        tag,
        standing,
    )


AskedForm = Annotated[Asked, Depends(_asked)]


def _groups() -> dict[str, list[tuple[str, str]]]:
    """Keys and names of the properties by their group."""
    found: dict[str, list[tuple[str, str]]] = {}
    for one in PROPERTIES.values():
        found.setdefault(one.group, []).append((one.key, one.name))
    return found


def _first(request: Request) -> int:
    """The first row of the table that is wanted."""
    text = request.query_params.get("rows", "0")
    return int(text) if text.isascii() and text.isdigit() and len(text) < 6 else 0


@router.get(PATH, response_class=HTMLResponse)
def charted(request: Request, asked: AskedForm, sheet: str = "") -> Response:
    """The chart with its table; drawn here, and drawn anew by the script where there is one."""
    system = look_of(request).system
    wrong: list[str] = []
    found = None
    try:
        found = chart(shelf_of(request), asked.wanted(system))
    except PanelwrightError as refused:
        wrong = [problem.sentence() for problem in refused.problems]
    if sheet == "csv" and found is not None:
        return _csv(found)
    first = _first(request)
    shown = found is not None and bool(found.points)
    return page(
        request,
        "chart.html",
        status=400 if wrong else 200,
        asked=asked,
        wrong=wrong,
        groups=_groups(),
        scales=SCALES,
        sets=SET_WORDS,
        found=found,
        shown=shown,
        pictures={} if found is None or not shown else _pictures(found, system),
        key=[] if found is None else _key(found),
        bar=picture.bar_svg(),
        chain=picture.chain_svg(),
        heads=[] if found is None else _heads(found, system),
        rows=[] if found is None else table_rows(found, system, first),
        first=first,
        most=ROWS,
        few=found is not None and len(found.points) <= FEW,
        says="" if found is None else merit_sentence(found),
        said=[] if found is None else sentences(found),
    )


@router.get(f"{PATH}.json")
def twin(request: Request, asked: AskedForm) -> Response:
    """What the script draws: the specification, by whom it is drawn best, and in which units."""
    system = look_of(request).system
    try:
        found = chart(shelf_of(request), asked.wanted(system))
    except PanelwrightError as refused:
        problems = [problem.sentence() for problem in refused.problems]
        return JSONResponse({"problems": problems}, status_code=400)
    few = len(found.points) <= FEW
    # charts of one form differ in their data and parameters alone
    half = any(one.standing == HALF_FOUND for one in found.points)
    form = f"{asked.across_axis} {asked.up_axis} {few} {half} {renderer(found)}"
    units = "imperial" if system == "imperial" else "si"
    return JSONResponse(
        {
            "spec": spec(found, system, rows=False),
            "points": columns(found, system),
            "renderer": renderer(found),
            "form": form,
            "units": units,
        }
    )


def _pictures(found: Chart, system: str) -> dict[str, str]:
    """Drawings for every width of page; of very many points one for all."""
    widths = WIDTHS if len(found.points) <= TOLD else {"all": WIDTHS["tablet"]}
    return {name: picture.chart_svg(found, width, system) for name, width in widths.items()}


def _key(found: Chart) -> list[tuple[str, str]]:
    """Marks that stand on the chart, each with its word."""
    kinds = {kind_words(one) for one in found.points}
    stands = {standing_words(one) for one in found.points}
    marks = [(picture.mark_svg(kind, PREDICTED), kind) for kind in SHAPES if kind in kinds]
    if {FOUND, HALF_FOUND} & stands:
        words = {
            PREDICTED: "hollow: predicted",
            HALF_FOUND: "with a dot: one of the two measured",
            FOUND: "solid: both measured",
        }
        marks += [(picture.mark_svg(FOAM, one), words[one]) for one in words if one in stands]
    return marks


def _heads(found: Chart, system: str) -> list[str]:
    def words(axis: Axis) -> str:
        return heading(axis, system, found.currency)

    return [words(found.across), words(found.up)]


def _csv(found: Chart) -> Response:
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(csv_rows(found))
    name = {"Content-Disposition": 'attachment; filename="chart.csv"'}
    return PlainTextResponse(text.getvalue(), media_type="text/csv", headers=name)
