"""Why two panels of a line-up differ: what each cause makes, and what the parts are made of."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from panelwright.jobs.lineup_entrants import Stood
from panelwright.jobs.stiffness import is_stiff
from panelwright.jobs.strength import NOT_BEARING
from panelwright.mechanics.arrays import Array
from panelwright.panels.evaluate import Build
from panelwright.panels.lineup import (
    CAUSES,
    CORE,
    FOUND,
    OTHER_FOUND,
    WHOLE,
    bending_stiffness,
    differences,
    has_core,
    part_of,
    parts,
)
from panelwright.panels.lineup_records import (
    COST,
    KEEP,
    MASS,
    STIFFNESS,
    STRENGTH,
    THICKNESS,
    Cause,
    Terms,
    Why,
)
from panelwright.panels.stack import Stack

#: What is compared to say why, by what was made equal; the first that differs.
_ASKED = {
    "": ("stiffness_along", "areal_mass"),
    STIFFNESS: ("areal_mass",),
    STRENGTH: ("areal_mass",),
    THICKNESS: ("stiffness_along", "areal_mass"),
    MASS: ("stiffness_along",),
    COST: ("stiffness_along",),
    KEEP: ("areal_mass",),
}


def _stiff_along(many: Stack, build: Build) -> Array:
    return bending_stiffness(many, build, 0)


def _heavy(many: Stack, build: Build) -> Array:
    return build.areal_mass


_MEASURED = {"stiffness_along": _stiff_along, "areal_mass": _heavy}


def _found(of: Stood, key: str, predicted: float) -> float:
    """What was measured of a piece, else what is predicted."""
    found = of.found("areal mass", "kg/m2") if key == "areal_mass" else None
    return predicted if found is None else found.value


def _main_names(of: Stood, share: Array) -> str:
    """Names of what makes up most of a part; what bears nothing only where there is nothing else.

    Alike cloths of several weights, and both plies of a cloth, count together.
    """
    bears = [float(not la.film and la.kind not in NOT_BEARING) for la in of.layers]
    thick = share * of.done.build.layer_thickness
    thick = thick * bears if float(np.sum(thick * bears)) > 0.0 else thick
    by_name: dict[str, float] = {}
    for layer, one in zip(of.layers, thick, strict=True):
        by_name[layer.name] = by_name.get(layer.name, 0.0) + float(one)
    ordered = sorted(by_name, key=lambda name: -by_name[name])
    most = by_name[ordered[0]]
    return " and ".join(name for name in ordered[:2] if most > 0.0 and by_name[name] > 0.4 * most)


def _make(of: Stood, share: Array, of_whole: bool) -> str:
    """What a part is made of; of a whole with a core, the core and that it has faces."""
    if of_whole and has_core(of.layers):
        return f"{_main_names(of, part_of(of.layers, CORE))} with faces"
    return _main_names(of, share)


def _why(key: str, pair: tuple[Stood, Stood], places: tuple[int, int]) -> Why:
    """Why one panel differs from another."""
    measure = _MEASURED[key]
    predicted = [float(measure(of.done.stack, of.done.build)) for of in pair]
    values = [_found(of, key, one) for of, one in zip(pair, predicted, strict=True)]
    if values[1] > values[0]:
        pair, places = (pair[1], pair[0]), (places[1], places[0])
        predicted, values = predicted[::-1], values[::-1]
    whole = not all(has_core(of.layers) for of in pair)
    one, other = (parts(of.layers, of.done.stack, of.done.build, whole) for of in pair)
    factors = differences(one, other, measure)
    causes = []
    for at, name in enumerate(WHOLE if whole else CAUSES):
        rows = [1] if at > 1 else [0, 2]
        thickness = [float(np.sum(cut.thickness[rows])) for cut in (one, other)]
        makes = [
            _make(of, np.sum(cut.share[rows], axis=0), whole)
            for of, cut in zip(pair, (one, other), strict=True)
        ]
        causes.append(
            Cause(name, float(factors[at]), thickness[0], thickness[1], makes[0], makes[1])
        )
    # what was found of a piece over its prediction goes into the ratio as it is, with any mix
    for name, factor in (
        (FOUND, values[0] / predicted[0]),
        (OTHER_FOUND, predicted[1] / values[1]),
    ):
        causes += [Cause(name, factor, 0.0, 0.0, "", "")] if factor != 1.0 else []
    causes.sort(key=lambda cause: -abs(math.log(cause.factor)))
    return Why(key, *places, values[0] / values[1], tuple(causes))


def whys(stood: Sequence[Stood], terms: Terms) -> tuple[Why, ...]:
    """Why each panel differs from the first."""
    found = []
    for key in _ASKED[terms.equal]:
        for place in range(1, len(stood)):
            pair = (stood[0], stood[place])
            if key == "areal_mass" or all(is_stiff(of.layers) for of in pair):
                found.append(_why(key, pair, (0, place)))
    return tuple(found)
