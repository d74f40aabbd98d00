"""Draws of the uncertain causes, and what they say of a result.

Only causes are drawn. Each named cause has a stream of its own: one value from each of ``n``
equally likely strata of its distribution, in an order shuffled by a seed made from the name. So
the same input gives the same digits, and a layer that is added changes no stream but its own.
(Columns of a Sobol set go by number: by the order of the causes they would jump, by a hash of the
name they collide, and then gain nothing: docs, "How ranges are made".)
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, fields, is_dataclass, replace
from functools import lru_cache
from statistics import NormalDist
from typing import Any, TypeVar

import numpy as np

from panelwright.materials.records import Row
from panelwright.mechanics.arrays import Array
from panelwright.panels.stack import FIELDS, Stack, StackLayer
from panelwright.provenance import SIGMAS_OF_90, Evidence, Input, Scope, weakest

DRAWS = 1024
SEED = "panelwright 1"


@lru_cache(maxsize=8)
def _strata(draws: int) -> Array:
    """Middle of each of ``draws`` equally likely strata of the standard normal distribution."""
    normal = NormalDist()
    return np.array([normal.inv_cdf((index + 0.5) / draws) for index in range(draws)])


@lru_cache(maxsize=1024)
def stream(cause: str, draws: int = DRAWS) -> Array:
    """Standard normal values of one named cause, shape ``(draws,)``."""
    digest = hashlib.sha256(f"{SEED}/{cause}".encode()).digest()
    order = np.random.Generator(np.random.PCG64(int.from_bytes(digest[:8], "big")))
    values = order.permutation(_strata(draws))
    values.flags.writeable = False
    return values


#: No draw lies below this share of the low end of its range, where that is above nought: what is
#: known to be there, such as a modulus across the grain with a wide range, does not vanish.
LEAST_OF_LOW = 0.1


def draw(given: Input, draws: int = DRAWS) -> Array:
    """Values of one input, shape ``(draws,)``; never below zero where its range is not.

    The half below the middle and the half above have their own standard deviations.
    """
    z = stream(given.cause, draws)
    values = given.value + z * np.where(z < 0.0, given.sd_below, given.sd_above)
    return values if given.low < 0.0 else np.maximum(values, LEAST_OF_LOW * given.low)


def drawn_stack(layers: list[StackLayer], draws: int = DRAWS) -> Stack:
    """The stack under ``draws`` draws of its causes, arrays of shape ``(draws, L)``."""
    columns = {}
    nothing = np.zeros((draws, len(layers)))
    for name in FIELDS:
        if not any(name in layer.inputs for layer in layers):
            columns[name] = nothing
            continue
        column = np.zeros((draws, len(layers)))
        for index, layer in enumerate(layers):
            if name in layer.inputs:
                column[:, index] = draw(layer.inputs[name], draws)
        columns[name] = column
    return Stack(**columns)


Record = TypeVar("Record")


def with_axis(record: Record, axis: int = 0) -> Record:
    """A record with one more axis of length 1 in each of its arrays.

    In front, it is a record of middle values as if they were drawn once.
    """
    if not is_dataclass(record) or isinstance(record, type):
        return record
    changed = {one.name: _widened(getattr(record, one.name), axis) for one in fields(record)}
    return replace(record, **changed)


def _widened(value: Any, axis: int) -> Any:
    if isinstance(value, dict):
        return {key: _widened(held, axis) for key, held in value.items()}
    if isinstance(value, tuple):
        return tuple(_widened(held, axis) for held in value)
    if isinstance(value, np.ndarray | float):
        whole = np.asarray(value)  # several times as quick as numpy's own expand_dims
        return whole[(slice(None),) * axis + (None,)]
    return with_axis(value, axis)


def model_error(row: Row) -> Input:
    """The factor by which a result may be off for the formulas' own sake, about 1.

    row : of the table ``model_errors``; its standard deviation is that of the logarithm. Raises
    :class:`CatalogueError` where the row has none.
    """
    deviation = row.input("standard_deviation")
    far = math.exp(SIGMAS_OF_90 * deviation.value)
    return Input(1.0, 1.0 / far, far, row.source, deviation.evidence, row.name, Scope.PROCESS)


def with_model_error(values: Array, error: Input, part: Array | None = None) -> Array:
    """Draws of a result that may be off for the formulas' own sake.

    values : ``(draws,)``; error : from :func:`model_error`; part : what of the values the formulas
    make, where the rest is as gauged or weighed. The factor is lognormal with median 1.
    """
    deviation = math.log(error.high) / SIGMAS_OF_90
    factor = np.exp(deviation * stream(error.cause, len(values)))
    return values + (values if part is None else part) * (factor - 1.0)


@dataclass(frozen=True)
class Driver:
    """One cause and the share of a result's variance that goes with it."""

    cause: str
    share: float
    evidence: Evidence


@dataclass(frozen=True, slots=True)
class Ranged:
    """A result: middle, 90 % range, what drives the range and how well that is known."""

    value: float
    low: float
    high: float
    unit: str
    evidence: Evidence
    drivers: tuple[Driver, ...] = ()


@dataclass(frozen=True)
class Causes:
    """All causes of a panel: their streams side by side and their evidence."""

    evidence: Mapping[str, Evidence]
    draws: int = DRAWS
    streams: Array = field(init=False)

    def __post_init__(self) -> None:
        names = [stream(cause, self.draws) for cause in self.evidence]
        stacked = np.stack(names) if names else np.zeros((0, self.draws))
        object.__setattr__(self, "streams", stacked)


def causes_of(inputs: Iterable[Input], draws: int = DRAWS) -> Causes:
    """The causes that vary among some inputs, each with its weakest evidence."""
    found: dict[str, list[Evidence]] = {}
    for given in inputs:
        if given.high > given.low:
            found.setdefault(given.cause, []).append(given.evidence)
    return Causes({cause: weakest(kinds) for cause, kinds in found.items()}, draws)


#: Causes below this share of the variance are not told.
LEAST_SHARE = 0.01
#: Nor those whose correlation is below so many standard errors: chance of the draws.
CHANCE = 3.0
#: A result's evidence is the weakest among the causes that make up this much of its range.
DECISIVE = 0.80


#: Ends of the range that results are told with.
ENDS = (0.05, 0.95)


def ends(values: Array) -> tuple[float, float]:
    """The 5th and the 95th percentile of draws, between neighbours by a straight line.

    values : ``(draws,)``. As numpy's own percentiles, which take many times as long for a few
    hundred draws.
    """
    last = len(values) - 1
    places = [(int(share * last), share * last) for share in ENDS]
    wanted = [at for below, _ in places for at in (below, min(below + 1, last))]
    ordered = np.partition(values, wanted)
    low, high = (
        float(ordered[below] + (exact - below) * (ordered[min(below + 1, last)] - ordered[below]))
        for below, exact in places
    )
    return low, high


def drivers(values: Array, causes: Causes) -> tuple[Driver, ...]:
    """Share of the variance of a result that goes with each cause, largest first.

    values : ``(draws,)``. Squared correlation with each stream, scaled to sum to 1.
    """
    centred = values - np.mean(values)
    spread = math.sqrt(float(centred @ centred) / len(values))
    if spread <= 1e-12 * max(float(np.max(np.abs(values))), 1e-300) or not len(causes.streams):
        return ()
    correlation = causes.streams @ centred / (len(values) * spread)
    squared = correlation**2
    squared[squared < max(LEAST_SHARE, CHANCE**2 / len(values))] = 0.0
    whole = float(np.sum(squared)) or 1.0
    found = [
        Driver(cause, float(share) / whole, causes.evidence[cause])
        for cause, share in zip(causes.evidence, squared, strict=True)
        if share > 0.0
    ]
    return tuple(sorted(found, key=lambda driver: -driver.share))


def _decisive(found: tuple[Driver, ...]) -> list[Evidence]:
    kinds: list[Evidence] = []
    reached = 0.0
    for driver in found:
        if reached >= DECISIVE:
            break
        kinds.append(driver.evidence)
        reached += driver.share
    return kinds


def ranged(middle: Array | float, values: Array, unit: str, causes: Causes) -> Ranged:
    """A result from its middle value and its draws.

    middle : a single number; values : ``(draws,)``.
    """
    value = float(middle)
    low, high = ends(values)
    found = drivers(values, causes)
    kinds = _decisive(found) or [Evidence.GIVEN]
    return Ranged(value, min(low, value), max(high, value), unit, weakest(kinds), found)
