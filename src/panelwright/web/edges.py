"""A photo of a cut edge: two marks set the scale, marks on the boundaries give the thickness."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Request
from fastapi.responses import HTMLResponse, Response
from markupsafe import Markup

from panelwright.errors import InputError, PanelwrightError, Problem
from panelwright.jobs.edge import PLACES, Marked, edge_of, edge_photo, name_of
from panelwright.jobs.measure import measure
from panelwright.reports import bench_words as words
from panelwright.reports import drawing
from panelwright.reports.layout import first_system
from panelwright.samples.found import Edge
from panelwright.samples.readings import PAIRS, Reading, read_readings
from panelwright.web.panels import seen, shelf_of
from panelwright.web.shop import OwnForm
from panelwright.web.views import NARROW, look_of, page

router = APIRouter()
LENGTH, REASON = "length", "reason"
#: What a mark that is taken away is written as.
AWAY = "0 0"


@dataclass(frozen=True)
class Field:
    """A field of the form: its name, the reading that it becomes, at what point."""

    name: str
    what: str
    at: str


def _fields(marked: Marked) -> Iterator[Field]:
    photo = name_of(marked.photo)
    yield Field(LENGTH, "scale length", photo)
    for end in ("1", "2"):
        yield Field(f"scale {end}", "scale mark", f"{photo}/{end}")
    for place in range(1, PLACES + 1):
        for boundary in marked.boundaries:
            at = f"{place}/{boundary.number}"
            yield Field(f"mark {at}", "edge mark", f"{photo}/{at}")


def _stands(marked: Marked) -> dict[str, str]:
    """What stands in each field, as it was written."""
    by_name = {(one.what, one.at): one for one in marked.readings}
    found = {}
    for field in _fields(marked):
        of = [by_name.get((what, field.at)) for what in PAIRS.get(field.what, (field.what,))]
        if None not in of:
            found[field.name] = _written([one for one in of if one is not None])
    return {name: text for name, text in found.items() if text != AWAY}


def _written(of: list[Reading]) -> str:
    if len(of) == 1:
        return f"{1e3 * of[0].value:.7g} mm by {1e3 * of[0].division:.4g} mm"
    step = of[0].division
    return " ".join(f"{one.value:.6g}" for one in of) + (f" by {step:.4g}" if step != 1.0 else "")


async def _typed(request: Request) -> dict[str, str]:
    form = await request.form()
    return {name: text.strip() for name, text in form.items() if isinstance(text, str)}


TypedForm = Annotated[dict[str, str], Depends(_typed)]


def _refuse_outside(marked: Marked, read: Sequence[Reading]) -> None:
    """Refuse a mark beyond the sides of the photo."""
    if len(read) < 2:
        return
    (x, y), photo = (one.value for one in read), marked.photo
    if x > photo.width or y > photo.height:
        allowed = f"up to {photo.width} {photo.height}"
        raise InputError(Problem("this mark lies outside the photo", f"{x:g} {y:g}", allowed))


def _readings(marked: Marked, typed: Mapping[str, str]) -> list[Reading]:
    """What was changed, as readings. Raises InputError with every problem at its field."""
    stands, reason = _stands(marked), typed.get(REASON, "")
    found: list[Reading] = []
    wrong: list[Problem] = []
    needs_reason = False
    for field in _fields(marked):
        text, before = typed.get(field.name, ""), stands.get(field.name, "")
        if text == before:
            continue
        if field.name == LENGTH and not text:
            wrong.append(Problem("the length between the scale marks is missing", key=LENGTH))
            continue
        needs_reason = needs_reason or bool(before)
        try:
            read = read_readings(
                field.what, text or AWAY, field.at, reason=reason if before else ""
            )
            _refuse_outside(marked, read)
            found += read
        except PanelwrightError as refused:
            wrong += [problem.at(key=field.name) for problem in refused.problems]
    if needs_reason and not reason:
        what = "what takes the place of a mark needs a reason"
        wrong.append(Problem(what, hint="set it closer", key=REASON))
    if not found and not wrong:
        wrong.append(Problem("no mark was set or moved", hint="the scale first, then a place"))
    if wrong:
        raise InputError(wrong)
    return found


def _all_typed(marked: Marked, typed: Mapping[str, str]) -> list[Reading]:
    """All marks of a form, as if nothing stood before."""
    return [
        one
        for field in _fields(marked)
        if (text := typed.get(field.name, ""))
        for one in read_readings(field.what, text, field.at)
    ]


def _shown(request: Request, marked: Marked, edge: Edge | None) -> dict[str, Any]:
    """What marks come to, for a page."""
    if edge is None:
        return {"rows": (), "says": "Still needed: the scale, then marks.", "pictures": {}}
    system = first_system(look_of(request).system)
    photo = marked.photo
    picture = drawing.Picture(f"/photo/{photo.sha256}.jpg", photo.width, photo.height)
    drawn = {
        name: Markup(drawing.edge_svg(picture, edge, marked.panel.prediction, float(width), system))
        for name, width in (NARROW.items() if edge.layers else ())
    }
    rows = words.edge_rows(edge, system) if edge.layers else ()
    return {"rows": rows, "says": words.of_edge(edge), "pictures": drawn}


def _page(
    request: Request,
    marked: Marked,
    typed: Mapping[str, str],
    refused: PanelwrightError | None = None,
) -> Response:
    wrong = () if refused is None else refused.problems
    return page(
        request,
        "edge.html",
        status=400 if wrong else 200,
        marked=marked,
        places=range(1, PLACES + 1),
        stands=_stands(marked),
        typed=typed,
        keys={problem.key for problem in wrong},
        wrong=[problem.sentence() for problem in wrong],
        **_shown(request, marked, marked.edge),
    )


@router.get("/piece/{number}/edge/{sha256}", response_class=HTMLResponse)
def edge(request: Request, number: str, sha256: str) -> Response:
    """A photo with the marks that stand on it, and what they come to."""
    marked = edge_photo(shelf_of(request), number, sha256)
    return _page(request, marked, _stands(marked))


@router.post("/piece/{number}/edge/{sha256}", dependencies=[OwnForm])
def keep_marks(request: Request, number: str, sha256: str, typed: TypedForm) -> Response:
    """Keep the marks that were set or moved; what is refused is marked and stays as typed."""
    shelf = shelf_of(request)
    marked = edge_photo(shelf, number, sha256)
    try:
        measure(shelf, number, _readings(marked, typed), remark=typed.get("remark", ""))
    except PanelwrightError as refused:
        return _page(request, marked, typed, refused)
    return seen(f"/piece/{number}/edge/{sha256}")


@router.post("/piece/{number}/edge/{sha256}/look", dependencies=[OwnForm])
def look(request: Request, number: str, sha256: str, typed: TypedForm) -> Response:
    """What the marks as they are set now would come to; nothing is kept."""
    shelf = shelf_of(request)
    marked = edge_photo(shelf, number, sha256)
    try:
        shown = _shown(request, marked, edge_of(shelf, marked.panel, _all_typed(marked, typed)))
    except PanelwrightError as refused:
        wrong = [problem.sentence() for problem in refused.problems]
        return page(request, "edge_found.html", wrong=wrong, rows=(), says="", pictures={})
    return page(request, "edge_found.html", wrong=[], **shown)
