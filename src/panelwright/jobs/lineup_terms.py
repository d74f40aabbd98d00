"""Equal terms of a line-up: each panel scaled to be like the first, and said which part of it."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

import numpy as np

from panelwright import units
from panelwright.errors import InputError, Problem
from panelwright.fabrication.cost import Cost, UnitPrice, material_cost
from panelwright.fabrication.ledger import Bench, ledger
from panelwright.jobs.lineup_entrants import Entrant
from panelwright.jobs.predict import bench_of
from panelwright.jobs.pricing import missing_words, what_to_write
from panelwright.jobs.stiffness import is_stiff, unknown_stiffness
from panelwright.jobs.strength import unknown_strength
from panelwright.mechanics.arrays import Array, array
from panelwright.panels.evaluate import Build
from panelwright.panels.lineup import (
    ALL,
    CORE,
    FACES,
    LEAST,
    MOST,
    Property,
    bending_stiffness,
    bending_strength,
    has_core,
    of_sizes,
    part_of,
    scaled_panel,
    size_for,
    stacked,
)
from panelwright.panels.lineup_records import (
    COST,
    MASS,
    STIFFNESS,
    STRENGTH,
    THICKNESS,
    WEAKER,
    Change,
    Terms,
)
from panelwright.panels.records import ULTIMATE
from panelwright.panels.resolve import Resolved
from panelwright.panels.stack import Stack

#: Sheets that cores, plywood and boards come in, m. Common practice, no source.
SHEETS = tuple(
    mm / 1e3
    for mm in (1, 1.5, 2, 3, 4, 5, 6, 8, 10, 12, 15, 18, 20, 25, 30, 35, 40, 50, 60, 80, 100)
)

_WAYS = {"along": 0, "across": 1, "weaker": None}


def _measure(terms: Terms, one: Entrant, prices: Mapping[str, UnitPrice], part: Array) -> Property:
    """The property that is made equal, by the size of the part."""
    resolved = one.resolved
    stack, _ = stacked(resolved)
    way = _WAYS[terms.way]

    def cost(many: Stack, build: Build, size: Array) -> Array:
        one_of_each = vars(bench_of(resolved)).items()
        bench = Bench(**{name: np.broadcast_to(held, size.shape) for name, held in one_of_each})
        books = ledger(build, resolved.layers, bench, resolved.resin.name)
        times = np.where(part > 0.0, np.expand_dims(size, -1), 1.0)
        found = material_cost(build, resolved.layers, bench, books, prices, times)
        if missing := missing_words(found):
            raise InputError(_unpriced(one, missing, found))
        return found.amount

    measures = {
        STIFFNESS: lambda many, build, size: bending_stiffness(many, build, way),
        STRENGTH: lambda many, build, size: bending_strength(
            many, build, way, terms.level == ULTIMATE
        ),
        MASS: lambda many, build, size: build.areal_mass,
        THICKNESS: lambda many, build, size: build.thickness,
        COST: cost,
    }
    return of_sizes(stack, part, measures[terms.equal])


def _unpriced(one: Entrant, missing: str, cost: Cost) -> Problem:
    what = f"{one.title} cannot be priced: there is {missing}"
    return Problem(what, hint=what_to_write(cost.missing))


def _joined(names: Sequence[str]) -> str:
    return " and of ".join(names)


def refuse_unknown(one: Entrant, terms: Terms) -> None:
    """InputError where what is made equal is not known of a panel."""
    layers = one.resolved.layers
    if terms.equal == STIFFNESS and not is_stiff(layers):
        names = _joined(unknown_stiffness(layers))
        raise InputError(Problem(f"the stiffness of {names} in {one.title} is not known"))
    if terms.equal == STRENGTH:
        names = _joined(unknown_strength(layers))
        if names or not is_stiff(layers):
            what = f"the strength of {names or 'some layers'} in {one.title} is not known"
            hint = "give it or test it, or line up to equal stiffness"
            raise InputError(Problem(what, hint=hint))


_IN_WORDS = {
    STIFFNESS: "stiff",
    STRENGTH: "strong",
    MASS: "heavy",
    THICKNESS: "thick",
    COST: "dear",
}


def part_to_scale(one: Entrant, terms: Terms) -> str:
    """The part that grows or shrinks: as asked, else the core; all of what has none."""
    return (terms.part or CORE) if has_core(one.resolved.layers) else ALL


def changed(one: Entrant, part_name: str, size: float, rounded: str) -> tuple[Resolved, Change]:
    """A panel with a part so many times as thick, and what was done to it."""
    part = part_of(one.resolved.layers, part_name)
    before = float(np.sum(stacked(one.resolved)[1].layer_thickness * part))
    change = Change(part_name, size, before, size * before, rounded)
    return scaled_panel(one.resolved, part, size), change


#: Findings of a piece that others are made equal to, in place of what is predicted of it.
_FINDINGS = {MASS: "areal mass", THICKNESS: "thickness"}


def _target(first: Entrant, terms: Terms, prices: Mapping[str, UnitPrice]) -> float:
    """What the others are made equal to: as measured where the first is a piece, else predicted."""
    found = None if first.findings is None else first.findings.get(_FINDINGS.get(terms.equal, ""))
    if found is not None:
        return found.value
    as_it_is = np.zeros(len(first.resolved.layers))
    return float(_measure(terms, first, prices, as_it_is)(array([1.0]))[0])


def on_terms(
    one: Entrant, first: Entrant, terms: Terms, prices: Mapping[str, UnitPrice]
) -> tuple[Resolved, Change]:
    """A panel scaled to be like the first, and what was done."""
    target = _target(first, terms, prices)
    if target <= 0.0:
        what = (
            f"nothing can be made as {_IN_WORDS[terms.equal]} as {first.title}, which is not at all"
        )
        raise InputError(Problem(what, hint="prices above nought" if terms.equal == COST else ""))
    part_name = part_to_scale(one, terms)
    part = part_of(one.resolved.layers, part_name)
    property_of = _measure(terms, one, prices, part)
    size = size_for(target, property_of) if np.isfinite(target) else None
    if size is None:
        ends = property_of(array([LEAST, MOST]))
        raise InputError(
            _out_of_reach(one, first, terms, part_name, (target, float(ends[0]), float(ends[1])))
        )
    size, rounded = whole(one.resolved, part, size) if terms.whole else (size, "")
    return changed(one, part_name, size, rounded)


#: What else may be scaled, where one part will not do.
OTHER_PART = {CORE: "--scale faces or --scale all", FACES: "--scale core or --scale all"}
_DIMENSIONS = {
    STIFFNESS: "moment",
    STRENGTH: "force",
    MASS: "areal_mass",
    THICKNESS: "thickness",
    COST: "",
}


def _out_of_reach(
    one: Entrant, first: Entrant, terms: Terms, part: str, values: tuple[float, float, float]
) -> Problem:
    """What is wanted, and between what the panel can be: at its thinnest and at its thickest."""
    way = f" {terms.way}" if terms.equal in {STIFFNESS, STRENGTH} and terms.way != WEAKER else ""
    is_all = part == ALL
    by = "at any thickness" if is_all else f"by its {part} alone, however thick or thin"
    wanted, least, most = (_told(value, terms) for value in values)
    return Problem(
        f"{one.title} cannot be made as {_IN_WORDS[terms.equal]}{way} as {first.title} {by}: "
        f"{wanted} is wanted, and it comes to {least} at its thinnest, {most} at its thickest",
        allowed="1/100 to 100 times its thickness",
        hint="another property" if is_all else OTHER_PART[part],
    )


def _told(value: float, terms: Terms) -> str:
    dimension = _DIMENSIONS[terms.equal]
    if not math.isfinite(value):
        return "what nobody knows"
    return units.show(value, dimension).partition(" (")[0] if dimension else f"{value:.2f} per m²"


def whole(resolved: Resolved, part: Array, size: float) -> tuple[float, str]:
    """The next size up that whole plies or a sheet make, and what that is in words."""
    layers = [la for la, belongs in zip(resolved.layers, part, strict=True) if belongs]
    laid = {layer.laid for layer in layers}
    if all(layer.kind == "cloth" for layer in layers):
        plies = max(1, math.ceil(len(laid) * size - 1e-6))
        said = f"{plies} whole {'ply' if plies == 1 else 'plies'} in place of {len(laid)}"
        return plies / len(laid), said
    if len(laid) > 1:
        return size, "not rounded: more than one material grows"
    own = float(np.sum(stacked(resolved)[1].layer_thickness * part))
    sheet = next((one for one in SHEETS if one >= own * size * (1.0 - 1e-6)), None)
    if sheet is None:
        return size, "not rounded: no one sheet is as thick"
    return sheet / own, f"the next sheet, {units.show(sheet, 'thickness')}"
