"""The bench: readings of a piece, what they come to, and the house values they teach."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Form, Request
from fastapi.responses import HTMLResponse, Response
from markupsafe import Markup
from starlette.datastructures import UploadFile as File

from panelwright.errors import InputError, PanelwrightError, Problem
from panelwright.jobs.house import said_of_book, shown_value
from panelwright.jobs.measure import measure, readings_of
from panelwright.jobs.reconcile import Reconciliation, reconcile_piece
from panelwright.jobs.shelf import AGAIN, Piece, Shelf
from panelwright.reports import bench_words as words
from panelwright.reports import drawing
from panelwright.reports.duty_text import ESTIMATES
from panelwright.reports.layout import first_system, plural
from panelwright.samples.house import OFF, ON, RESET, HouseValue
from panelwright.samples.known import Bag
from panelwright.samples.readings import (
    ADDING,
    AFTER,
    BEFORE,
    KINDS,
    LATER,
    ON_A_PHOTO,
    Kind,
    Reading,
    read_reading,
    standing,
)
from panelwright.samples.sheets import readings_of_file, readings_of_text
from panelwright.web.panels import lines_of_form, seen, shelf_of
from panelwright.web.pieces import PLACES
from panelwright.web.shop import OwnForm
from panelwright.web.views import look_of, page

router = APIRouter()
#: Readings that are enough for a finding.
FOUR = ("mass", "length", "width", "thickness")
#: Readings that have the nine points of a piece, as they lie on it.
AT_POINTS = ("core thickness", "thickness")
#: What becomes of a reading where one of its kind stands.
BESIDE, INSTEAD = "beside", "instead"
_SAID = ("who", "remark", "again", "improve")
_OTHERS = ("paste", "date", "reason", "standing", *_SAID)
RULE_WIDTH = 300.0


# --- The form -------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Cell:
    """A field of the form: ``name`` as the command line says it, what stands, what is typed."""

    name: str
    kind: Kind
    stands: str
    typed: str
    is_wrong: bool

    @property
    def label(self) -> str:
        """The point of a reading that has one, else its kind."""
        return self.name.partition("@")[2] or self.kind.name.capitalize()

    @property
    def takes(self) -> str:
        """The unit of a number alone, and the division of the usual instrument."""
        unit = words.unit_of(self.kind) or "number"
        step = self.kind.division / words.one_of(self.kind)
        return f"{unit}, by {step:.4g}" if step else unit


@dataclass(frozen=True)
class Group:
    """Readings of one time of a build; those at points stand below the others.

    ``elsewhere`` : what stands at points of other names, by kind.
    """

    head: str
    cells: tuple[Cell, ...]
    points: Mapping[str, tuple[Cell, ...]]
    elsewhere: Mapping[str, str]
    is_open: bool


@dataclass(frozen=True)
class Sent:
    """A form as it came: fields as typed, and a table of readings with its name."""

    typed: dict[str, str] = field(default_factory=dict)
    table: tuple[bytes, str] | None = None

    def of(self, name: str) -> str:
        """What was typed into a field."""
        return self.typed.get(name, "")


def _names() -> Iterator[tuple[str, Kind]]:
    """Fields of readings, as the command line names them."""
    for kind in KINDS.values():
        if kind.when == ON_A_PHOTO:
            continue
        if kind.name in AT_POINTS:
            yield from ((f"{kind.name}@{place}", kind) for place in PLACES)
        else:
            yield kind.name, kind


async def _sent(request: Request) -> Sent:
    form = await request.form()
    typed = {
        name: lines_of_form(text)
        for name in (*dict(_names()), *_OTHERS)
        if isinstance(text := form.get(name, ""), str)
    }
    table = form.get("table")
    if isinstance(table, File) and table.filename:
        return Sent(typed, (await table.read(), table.filename))
    return Sent(typed)


SentForm = Annotated[Sent, Depends(_sent)]


def _said(reading: Reading) -> str:
    return f"{reading.what}@{reading.at}" if reading.at else reading.what


def _readings(sent: Sent, piece: Piece) -> list[Reading]:
    """All readings of a form. Raises InputError with every problem at its field, row or column."""
    found: list[Reading] = []
    wrong: list[Problem] = []

    def take(make: Any) -> None:
        try:
            found.extend(make())
        except PanelwrightError as refused:
            wrong.extend(refused.problems)

    for name, kind in _names():
        if text := sent.of(name).strip():
            at = name.partition("@")[2]
            take(lambda kind=kind, text=text, at=at: [read_reading(kind.name, text, at)])
    if sent.of("paste").strip():
        take(lambda: readings_of_text(sent.of("paste"), "pasted"))
    if (table := sent.table) is not None:
        take(lambda: readings_of_file(*table))
    if wrong:
        raise InputError(wrong)
    if not found and not any(sent.of(name).strip() for name in _SAID[1:]):
        raise InputError(Problem("no reading is given", hint="four are enough: " + ", ".join(FOUR)))
    return _placed(found, piece, sent.of("standing"), sent.of("reason"))


def _placed(found: list[Reading], piece: Piece, how: str, reason: str) -> list[Reading]:
    """Readings with the reason where they take the place of those that stand.

    Raises InputError where one stands and it was not said what becomes of it.
    """
    stands = {_said(one): one for one in standing(readings_of(piece))}
    again = {_said(one) for one in found if not one.reason} & set(stands)
    if not again or how == BESIDE:
        return found
    if how != INSTEAD:
        hint = "below, whether these come beside it or take its place, and why"
        raise InputError(
            [
                Problem("a reading of this stands already", words.as_read(old), hint=hint, key=name)
                for name, old in stands.items()
                if name in again
            ]
        )
    if not reason.strip():
        what = "what takes the place of a reading needs a reason"
        raise InputError(Problem(what, hint="the scale was not level", key="reason"))
    placed = []
    for one in found:
        name = _said(one)
        placed.append(replace(one, reason=reason) if name in again else one)
        again.discard(name)
    return placed


# --- The page -------------------------------------------------------------------------------------


def _stands(piece: Piece) -> dict[str, list[str]]:
    """What stands, by field, as it was read; what adds up over pots or goes, in all."""
    found = standing(readings_of(piece))
    stands: dict[str, list[str]] = {}
    for one in found:
        stands.setdefault(_said(one), []).append(words.as_read(one))
    for kind in ADDING:
        places = {one.at for one in found if one.what == kind}
        if places and "" not in places:
            whole = words.as_read(Reading(kind, Bag(found).known(kind).value))
            stands[kind] = [f"{whole} in all, {plural(len(places), 'reading')}"]
    return stands


def _groups(piece: Piece, sent: Sent, wrong: Sequence[Problem]) -> list[Group]:
    stands = _stands(piece)
    keys = {problem.key for problem in wrong}
    cells = [
        Cell(name, kind, ", ".join(stands.get(name, ())), sent.of(name), name in keys)
        for name, kind in _names()
    ]
    groups = []
    for when in (BEFORE, AFTER, LATER):
        of = [cell for cell in cells if cell.kind.when == when]
        single = tuple(c for c in of if "@" not in c.name)
        points = {
            name: tuple(c for c in of if c.name.startswith(f"{name}@"))
            for name in AT_POINTS
            if KINDS[name].when == when
        }
        elsewhere = {name: _elsewhere(stands, name) for name in points}
        is_open = when != LATER or any(c.typed or c.stands for c in of)
        groups.append(Group(when.capitalize(), single, points, elsewhere, is_open))
    return groups


def _elsewhere(stands: Mapping[str, list[str]], name: str) -> str:
    """What stands of a kind at points that the form has no field for."""
    fields = {f"{name}@{place}" for place in PLACES}
    return ", ".join(
        f"{said.partition('@')[2]} {', '.join(values)}".strip()
        for said, values in stands.items()
        if said.partition("@")[0] == name and said not in fields
    )


def _pairs(done: Reconciliation, system: str) -> list[dict[str, Any]]:
    """Each quantity: predicted over found on one axis, as numbers, and why they differ."""
    compared = () if done.reconciled is None else done.reconciled.compared
    pairs = []
    for one, row in zip(compared, words.compared_rows(compared, system)[1:], strict=True):
        said = f"{one.name}: predicted {row[1]}, {row[2]}; found {row[3]}"
        picture = drawing.compared_svg(one, RULE_WIDTH, said)
        pairs.append(
            {"row": row, "picture": Markup(picture), "splits": words.split_rows(one, system)}
        )
    return pairs


def _found(done: Reconciliation, system: str) -> dict[str, Any]:
    """All that a page shows of what readings come to."""
    findings = done.work.findings
    told = [(one.closes, words.of_closure(one, system)) for one in findings.closures]
    return {
        "broken": [text for closes, text in told if not closes],
        "closed": [text for closes, text in told if closes],
        "saying": done.sentence(system),
        "pairs": _pairs(done, system),
        "effects": words.of_effects([(e.name, e.ratio) for e in done.effects])
        if done.effects
        else "",
        "duties": [
            (one.after.kept, words.of_duty(done.title, one.before, one.after, system))
            for one in done.duties
        ],
        "findings": words.finding_rows(findings, system, unsure=True),
        "notes": [f"{f.name}: {f.note}" for f in findings.found if f.note],
        "spread": words.of_the_map(findings.map, system) if findings.map else "",
        "map": words.map_rows(findings.map, system) if findings.map else [],
        "missing": "; ".join(findings.missing),
        "book": words.book_rows(done.book, system),
        "relations": [words.of_book(one) for one in done.book],
        "learnt": done.house,
        "nothing": words.nothing_learnt(bool(done.lessons)),
    }


def _bench(
    request: Request, number: str, sent: Sent, refused: PanelwrightError | None = None
) -> Response:
    shelf = shelf_of(request)
    piece = shelf.piece(number)
    wrong = () if refused is None else refused.problems
    found, unknown = None, []
    try:
        found = _found(reconcile_piece(shelf, number), first_system(look_of(request).system))
    except PanelwrightError as odd:
        unknown = [problem.sentence() for problem in odd.problems]
    return page(
        request,
        "bench.html",
        status=400 if wrong else 200,
        piece=piece,
        panel=shelf.panel(piece.panel, piece.revision),
        groups=_groups(piece, sent, wrong),
        sent=sent,
        keys={problem.key for problem in wrong},
        files={problem.file for problem in wrong},
        wrong=[problem.sentence() for problem in wrong],
        found=found,
        estimates=ESTIMATES,
        verdicts_again=AGAIN,
        unknown=unknown,
    )


@router.get("/piece/{number}/bench", response_class=HTMLResponse)
def bench(request: Request, number: str) -> Response:
    """What is read of a piece, in order, and what the readings come to."""
    return _bench(request, number, Sent())


@router.post("/piece/{number}/bench", dependencies=[OwnForm])
def keep_readings(request: Request, number: str, sent: SentForm) -> Response:
    """Keep readings of a piece; what is refused is marked and stays as typed."""
    shelf = shelf_of(request)
    try:
        readings = _readings(sent, shelf.piece(number))
        said = {name: sent.of(name) for name in _SAID}
        measure(shelf, number, readings, date=sent.of("date"), **said)
    except PanelwrightError as refused:
        return _bench(request, number, sent, refused)
    return seen(f"/piece/{number}/bench")


# --- House values ---------------------------------------------------------------------------------


def _house_rows(shelf: Shelf) -> list[tuple[HouseValue, str, str]]:
    return [
        (one, shown_value(one.key, one.value, one.low, one.high), said_of_book(one))
        for one in shelf.house()
    ]


@router.get("/house", response_class=HTMLResponse)
def house(request: Request) -> Response:
    """The shop's own values, the book's beside them, and how much stands behind each."""
    return page(request, "house.html", values=_house_rows(shelf_of(request)))


@router.get("/house/values.csv")
def house_file(request: Request) -> Response:
    """House values as a table."""
    shown_as = {"Content-Disposition": 'attachment; filename="house-values.csv"'}
    text = words.house_csv(shelf_of(request).house())
    return Response(text, media_type="text/csv; charset=utf-8", headers=shown_as)


@router.post("/house", dependencies=[OwnForm])
def switch(
    request: Request,
    key: Annotated[str, Form()] = "",
    word: Annotated[str, Form()] = "",
    remark: Annotated[str, Form()] = "",
) -> Response:
    """Switch a house value on or off, or forget what was told of it."""
    if word not in {OFF, ON, RESET}:
        what = "this is no word on a house value"
        raise InputError(Problem(what, word[:40], f"{OFF}, {ON}, {RESET}"))
    shelf_of(request).switch_house(key, word, remark)
    return seen("/house")
