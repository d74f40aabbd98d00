"""The working of one number of a panel: the same evaluation again, with every step kept."""

from __future__ import annotations

import difflib
from dataclasses import dataclass

from panelwright.errors import InputError, Problem
from panelwright.fabrication.ledger import Ledger, ledger
from panelwright.jobs.predict import bench_of
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.checks import refuse_impossible
from panelwright.panels.description import Description
from panelwright.panels.evaluate import Build, evaluate
from panelwright.panels.resolve import Resolved, resolve
from panelwright.panels.stack import FIELDS, UNITS, origins, stack_of
from panelwright.working import Node, leaf, recording


@dataclass(frozen=True)
class Working:
    """A headline with the node that made it, and the names of the stack layers."""

    name: str
    unit: str
    dimension: str
    node: Node
    layers: tuple[str, ...]


#: Headlines of a prediction that a working can be asked for: unit and dimension of each.
HEADLINES = {
    "thickness": ("m", "thickness"),
    "areal_mass": ("kg/m²", "areal_mass"),
    "resin_in_part": ("kg/m²", "areal_mass"),
    "resin_to_mix": ("kg/m²", "areal_mass"),
}


def _values(build: Build, books: Ledger) -> dict[str, object]:
    found: dict[str, object] = {
        "thickness": build.thickness,
        "areal_mass": build.areal_mass,
        "resin_in_part": books.resin_in_part,
        "resin_to_mix": books.to_mix,
    }
    return found


def _declare(resolved: Resolved, stack: object, bench: object) -> None:
    for name in FIELDS:
        value = getattr(stack, name)
        leaf(name.replace("_", " "), UNITS.get(name, "-"), value, origins(resolved.layers, name))
    for name, value in vars(bench).items():
        leaf(name.replace("_", " "), "", value, [resolved.bench.get(name)])


def names() -> list[str]:
    """What a working can be asked for."""
    return list(HEADLINES)


def work(description: Description, catalogue: Catalogue, name: str) -> Working:
    """The working of one headline of a described panel.

    name : one of :func:`names`; blanks and hyphens count as underscores.
    Raises :class:`InputError` for another name, and as :func:`panelwright.jobs.predict.predict`.
    """
    wanted = name.strip().lower().replace(" ", "_").replace("-", "_")
    if wanted not in HEADLINES:
        close = difflib.get_close_matches(wanted, HEADLINES, n=1)
        hint = close[0] if close else ""
        raise InputError(
            Problem("there is no working of that name", name, ", ".join(HEADLINES), hint)
        )
    resolved = resolve(description, catalogue)
    with recording() as recorder:
        stack, bench = stack_of(resolved.layers), bench_of(resolved)
        _declare(resolved, stack, bench)
        build = evaluate(stack)
        refuse_impossible(resolved, build)
        books = ledger(build, resolved.layers, bench, resolved.resin.name)
        node = recorder.node(_values(build, books)[wanted])
    assert node is not None, f"{wanted} was made by no registered formula"
    unit, dimension = HEADLINES[wanted]
    layers = tuple(layer.name for layer in resolved.layers)
    return Working(wanted, unit, dimension, node, layers)
