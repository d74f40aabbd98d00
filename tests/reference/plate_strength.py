"""Strength of published plates from the ply strains of the catalogue; nothing is tuned.

The table of ply strains was made from other plates (open database; whole plates were divided
before any strength was looked at) and frozen before this comparison. Panels, resins and measured
fibre fractions are those of the comparison of moduli; a free plate is pulled or pressed along the
direction of the test, and the ultimate load over its thickness is compared.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np

from panelwright.materials.catalogue import Catalogue
from panelwright.panels import strength
from panelwright.panels.description import read
from panelwright.panels.evaluate import evaluate
from panelwright.panels.resolve import resolve
from panelwright.panels.section import section
from panelwright.panels.spread import drawn_stack, model_error, with_model_error
from panelwright.panels.stack import stack_of

from . import moduli
from .cases import experiments

_TABLE = json.loads((Path(__file__).parent / "plate_strength.json").read_text(encoding="utf-8"))


@dataclass(frozen=True)
class Wanted:
    """One measured strength: where it stands and whose panel it is of."""

    experiment: str
    quantity: str
    kind: str
    like: str
    process: str
    sign: int


WANTED = tuple(Wanted(**row) for row in _TABLE["wanted"])


@dataclass(frozen=True)
class Compared:
    """One measured strength beside the predicted one and its 90 % range, Pa."""

    wanted: Wanted
    measured: float
    predicted: float
    low: float
    high: float

    @property
    def ratio(self) -> float:
        """Measured over predicted."""
        return self.measured / self.predicted

    @property
    def within(self) -> bool:
        """Whether the measured value lies in the range."""
        return self.low <= self.measured <= self.high


def panel_file(wanted: Wanted) -> str:
    """The panel of one entry, turned so that the test pulls along x."""
    (like,) = (
        w
        for w in moduli.WANTED
        if w.experiment == wanted.experiment and w.quantity == wanted.like and w.modulus == "E"
    )
    turned = tuple((words, angle - like.direction, count) for words, angle, count in like.layers)
    text = moduli.panel_file(replace(like, layers=turned))
    return text.replace('process = "closed mould"', f'process = "{wanted.process}"')


def predicted(wanted: Wanted) -> tuple[float, float, float]:
    """Ultimate strength of one entry and its 90 % range, Pa."""
    catalogue = Catalogue.shipped()
    layers = resolve(read(panel_file(wanted)), catalogue).layers
    error = model_error(catalogue.table("model_errors").row("strength"))
    found = []
    for stack in (stack_of(layers), drawn_stack(layers)):
        build = evaluate(stack)
        made = section(stack, build)
        states = strength.states(stack, build, made)
        pulled, pressed = strength.in_plane(states, stack, build, 0)
        end = (pulled if wanted.sign > 0 else pressed).ultimate
        found.append(end.load / build.thickness)
    low, high = np.percentile(with_model_error(found[1], error), (5.0, 95.0))
    return float(found[0]), float(low), float(high)


@cache
def compared() -> tuple[Compared, ...]:
    """Every entry with its measured value."""
    return tuple(_compared())


def _compared() -> Iterator[Compared]:
    by_id = {experiment["id"]: experiment for experiment in experiments()}
    for wanted in WANTED:
        (value,) = (
            m["value"]
            for m in by_id[wanted.experiment]["measurements"]
            if m["quantity"] == wanted.quantity
        )
        yield Compared(wanted, 1e6 * value, *predicted(wanted))


def kinds() -> tuple[str, ...]:
    """Kinds of strength, in the order of the list."""
    return tuple(dict.fromkeys(one.kind for one in WANTED))


def scatter(kind: str) -> tuple[int, float, float]:
    """Number, mean and standard deviation of measured over predicted; nan for one alone."""
    ratios = [one.ratio for one in compared() if one.wanted.kind == kind]
    deviation = float(np.std(ratios, ddof=1)) if len(ratios) > 1 else float("nan")
    return len(ratios), float(np.mean(ratios)), deviation
