"""What a panel looks like while it is changed: figures, layers with their fields, what is wrong."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from panelwright.errors import Problem
from panelwright.jobs.trying import FileLayer, file_layers, layer_names
from panelwright.panels.description import spoken
from panelwright.panels.duty_fields import FileDuty, file_duties
from panelwright.panels.records import Prediction
from panelwright.panels.verdicts import DutyRecord
from panelwright.reports import drawing
from panelwright.reports.duty_text import (
    after_words,
    held_words,
    limit_rows,
    load_words,
    size_words,
)
from panelwright.reports.figures import (
    Figure,
    StackRow,
    as_ranged_before,
    change,
    figure,
    headlines,
    rows_by_description,
)
from panelwright.web.desks import Desk


@dataclass(frozen=True)
class Cell:
    """One figure at the head of a panel."""

    figure: Figure
    rule: str
    is_old: bool = False  # its range is that of what was there before
    just: str = ""
    held: str = ""


@dataclass(frozen=True)
class DutyRow:
    """One duty of the file as the editor shows it."""

    duty: FileDuty
    wrong: tuple[str, ...]
    marks: tuple[str, ...]


def duty_rows(text: str, problems: tuple[Problem, ...] = ()) -> list[DutyRow]:
    """The duties of a file, each with what is wrong in it."""
    found = []
    for duty in file_duties(text):
        wrong = [one for one in problems if f"{one.key},".startswith(f"duty {duty.place + 1},")]
        marks = tuple(
            field.name
            for field in (duty.fields if wrong else ())
            if any(one.key == spoken(field.path) for one in wrong)
        )
        found.append(DutyRow(duty, tuple(one.sentence() for one in wrong), marks))
    return found


@dataclass(frozen=True)
class Row:
    """One layer of the file as the editor shows it."""

    layer: FileLayer
    name: str
    stack: StackRow | None
    wrong: tuple[str, ...]
    marks: tuple[str, ...]  # fields that are refused

    @property
    def is_own(self) -> bool:
        """Whether it is listed by the panel itself, not by a group of it."""
        return len(self.layer.path) == 2

    @property
    def id(self) -> str:
        """Its name as part of an identifier."""
        return self.layer.name.replace(".", "-")


def cells(prediction: Prediction, system: str) -> list[Cell]:
    """The figures of a prediction."""
    return [Cell(one, _rule(one)) for one in headlines(prediction, system)]


def _rule(one: Figure) -> str:
    return drawing.range_rule_svg(one.value, drawing.reach(one.value), 148.0)


def glance_cells(now: Prediction, held: Prediction | None, desk: Desk, system: str) -> list[Cell]:
    """Figures at their middle values; each keeps the range that it had until there is another."""
    found = []
    for one in headlines(now, system):
        was = desk.ranged.get(one.name)
        guess = replace(one.value, low=0.95 * one.value.value, high=1.05 * one.value.value)
        value = guess if was is None else as_ranged_before(one.value, was)
        shown = figure(one.name, value, one.dimension, system, one.working)
        desk.changes(one.name, shown)
        old = None if was is None else figure(one.name, was, one.dimension, system)
        shown = replace(shown, range="" if old is None else old.range)
        rule = "" if old is None else _rule(old)
        found.append(Cell(shown, rule, True, desk.just(one.name), _against(shown, held, system)))
    return found


def ranged_cells(now: Prediction, held: Prediction | None, desk: Desk, system: str) -> list[Cell]:
    """Figures with their ranges, which are those that the next change starts from."""
    found = []
    for one in headlines(now, system):
        desk.ranged[one.name] = one.value
        desk.changes(one.name, one)
        found.append(Cell(one, _rule(one), False, desk.just(one.name), _against(one, held, system)))
    return found


def _against(now: Figure, held: Prediction | None, system: str) -> str:
    """A figure of the held panel, and how far the same is off it now; empty where none is held."""
    named = {} if held is None else {one.name: one for one in headlines(held, system)}
    was = named.get(now.name)
    if was is None:
        return ""
    return f"held {was.number}, {change(now, was) or 'the same'}"


def rows(
    text: str, prediction: Prediction | None, system: str, problems: tuple[Problem, ...] = ()
) -> list[Row]:
    """The layers of a file, each with what it comes to and what is wrong in it."""
    own = rows_by_description(prediction, system) if prediction is not None else {}
    names = layer_names(text)
    found = []
    for at, layer in enumerate(file_layers(text)):
        name = names[at] if at < len(names) else f"{layer.described}: {layer.kind}"
        wrong = [one for one in problems if f"{one.key},".startswith(f"{layer.described},")]
        marks = tuple(
            field.name
            for field in (layer.fields if wrong else ())
            if any(one.key == spoken(field.path) for one in wrong)
        )
        said = tuple(one.sentence() for one in wrong)
        found.append(Row(layer, name, own.get(layer.described), said, marks))
    return found


@dataclass(frozen=True)
class DutyCell:
    """One limit of a duty as a page shows it."""

    name: str
    found: str
    range: str
    allowed: str
    kept: str
    governs: str
    gauge: str


@dataclass(frozen=True)
class DutyView:
    """One duty as a page shows it: its limits, its pictures, what goes with it."""

    record: DutyRecord
    held: str
    size: str
    loads: tuple[str, ...]
    after: str
    cells: tuple[DutyCell, ...]
    field: dict[str, str]
    through: dict[str, str]


def duty_views(
    duties: Sequence[DutyRecord], system: str, widths: Mapping[str, int]
) -> list[DutyView]:
    """The duties of a panel, drawn for some widths of page."""
    return [_duty_view(duty, system, widths) for duty in duties]


def _duty_view(duty: DutyRecord, system: str, widths: Mapping[str, int]) -> DutyView:
    cells_of = tuple(
        DutyCell(*row[:4], one.kept, row[5], drawing.gauge_svg(one, 190.0))
        for one, row in zip(duty.limits, limit_rows(duty, system)[1:], strict=True)
    )
    narrow = {name: min(width, 420) for name, width in widths.items()}
    return DutyView(
        duty,
        held_words(duty),
        size_words(duty, system),
        tuple(f"{load_words(one, system)} ({one.source})" for one in duty.loads),
        after_words(duty, system),
        cells_of,
        {name: drawing.field_svg(duty, width, system) for name, width in widths.items()},
        {name: drawing.through_svg(duty, width, system) for name, width in narrow.items()},
    )


def _value_at(text: str, key: str) -> str:
    """What a file says at a place as problems name it."""
    fields = (field for layer in file_layers(text) for field in layer.fields)
    return next((field.value for field in fields if spoken(field.path) == key), "")


def stands_on(problems: tuple[Problem, ...], stands: str) -> str:
    """What the figures still stand on while something is refused."""
    values = [_value_at(stands, one.key) for one in problems if one.key]
    named = list(dict.fromkeys(value for value in values if value))
    if named:
        return f"The figures still stand on {' and '.join(named)}."
    return "The figures still stand on what was there before."


def selected_number(found: list[Row], opened: str) -> int | None:
    """Number of the first layer that an open row stands for."""
    row = next((one for one in found if one.layer.name == opened), None)
    if row is None or row.stack is None:
        return None
    return int(row.stack.number.partition("–")[0].partition(",")[0])


def panel_fields(text: str) -> Mapping[str, str]:
    """What the head of a file says, by the name of its field; as typed."""
    try:
        table = tomllib.loads(text)
    except ValueError:
        return {}
    size = table.get("size") if isinstance(table.get("size"), dict) else {}
    own = {name: str(table.get(name, "")) for name in ("title", "process", "resin")}
    return own | {f"size.{side}": str((size or {}).get(side, "")) for side in ("length", "width")}
