"""Hours by task, from areas and hours per square metre; mould and set-up are not in them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from panelwright.fabrication.shape import Shape
from panelwright.fabrication.stages import TIMBER_KINDS, Kind, Stage
from panelwright.fabrication.usual import usual
from panelwright.materials.catalogue import Catalogue
from panelwright.materials.records import Row
from panelwright.mechanics import estimating
from panelwright.panels.laying import Laid
from panelwright.provenance import Input

#: What the hours leave out, to be said beside them.
LEFT_OUT = "mould, setting up, seal and fill coats, fitting out"


@dataclass(frozen=True)
class Task:
    """Person-hours of one task: the middle and the range, with the ground they stand on."""

    name: str
    hours: float
    low: float
    high: float
    source: str
    evidence: str


def ply_labour(process: Row, catalogue: Catalogue, *, curved: bool) -> Input:
    """Hours that one person takes to lay a square metre of one ply."""
    if curved or process.number("ply_labour") is None:
        return usual(catalogue, "ply_curved_labour")
    return _in_hours(process, "ply_labour")


def _in_hours(process: Row, column: str) -> Input:
    """A labour of the process in h/m2, as it is written there."""
    middle, low, high = (
        float(process.text(f"{column}{end}") or 0.0) for end in ("", "_low", "_high")
    )
    name = f"{process.name}: {column.replace('_', ' ')}"
    return Input(middle, low, high, process.source, process.evidence(), name)


def _task(name: str, area: float, each: Input) -> Task:
    middle, low, high = (
        float(estimating.hours_of(area, value)) for value in (each.value, each.low, each.high)
    )
    return Task(name, middle, low, high, each.source, each.evidence.value)


def tasks(
    shape: Shape,
    laid: Sequence[Laid],
    found: Sequence[Stage],
    process: Row,
    catalogue: Catalogue,
) -> list[Task]:
    """The tasks of one part."""
    area = shape.laid
    return [
        *_timber(area, laid, found, catalogue),
        *_core(shape, laid, catalogue),
        *_cloth(shape, found, process, catalogue),
        *_coats(area, laid, catalogue),
    ]


def _timber(
    area: float, laid: Sequence[Laid], found: Sequence[Stage], catalogue: Catalogue
) -> Iterable[Task]:
    if any(one.kind == "strips" for one in laid):
        yield _task("planking, outside faired", area, usual(catalogue, "strip_labour"))
    if any(stage.kind is Kind.FAIR for stage in found):
        yield _task("fairing the inside", area, usual(catalogue, "fair_bare_timber_labour"))


def _core(shape: Shape, laid: Sequence[Laid], catalogue: Catalogue) -> Iterable[Task]:
    cores = [one for one in laid if one.kind in {"core", *TIMBER_KINDS} and one.kind != "strips"]
    if cores:
        bent = shape.curvature > 0.0 or any(_is_cut(one) for one in cores)
        id = "core_contour_labour" if bent else "core_flat_labour"
        yield _task("fitting the core", len(cores) * shape.laid, usual(catalogue, id))


def _is_cut(one: Laid) -> bool:
    return any(getattr(one.layer, key, None) is not None for key in ("kerf", "bend_radius"))


def _cloth(
    shape: Shape, found: Sequence[Stage], process: Row, catalogue: Catalogue
) -> Iterable[Task]:
    each = ply_labour(process, catalogue, curved=shape.is_shell)
    for stage in found:
        if stage.plies:
            name = f"{stage.name.lower()}, {stage.plies} {'ply' if stage.plies == 1 else 'plies'}"
            yield _task(name, stage.plies * shape.laid, each)
    goes = sum(stage.kind in {Kind.LAY, Kind.POUR} for stage in found)
    for column, name in (("bag_labour", "bagging"), ("setup_labour", "lines and mesh")):
        if goes and process.number(column) is not None:
            yield _task(name, goes * shape.laid, _in_hours(process, column))


#: Words of a coat and the row of labour that counts it; each once.
_FINISHES = {
    "fair_to_paint_labour": ("fairing to a paint finish", ("fair", "filler")),
    "paint_system_labour": ("primer and paint", ("primer", "paint")),
}


def _coats(area: float, laid: Sequence[Laid], catalogue: Catalogue) -> Iterable[Task]:
    named = [str(getattr(one.layer, "coat", "")).lower() for one in laid if one.kind == "coat"]
    for id, (name, words) in _FINISHES.items():
        if any(word in coat for coat in named for word in words):
            yield _task(name, area, usual(catalogue, id))


def summed(found: Iterable[Task], times: float = 1.0) -> list[Task]:
    """Tasks of like name as one, so many times over."""
    by_name: dict[str, Task] = {}
    for task in found:
        before = by_name.get(task.name)
        hours, low, high = (times * x for x in (task.hours, task.low, task.high))
        if before is not None:
            hours, low, high = before.hours + hours, before.low + low, before.high + high
        by_name[task.name] = Task(task.name, hours, low, high, task.source, task.evidence)
    return list(by_name.values())
