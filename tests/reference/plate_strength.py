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


def like(wanted: Wanted) -> moduli.Wanted:
    """The panel of one entry, turned so that the test pulls along x."""
    (found,) = (
        w
        for w in moduli.WANTED
        if w.experiment == wanted.experiment and w.quantity == wanted.like and w.modulus == "E"
    )
    turned = tuple((words, angle - found.direction, count) for words, angle, count in found.layers)
    return replace(found, layers=turned, direction=0.0)


def panel_file(wanted: Wanted) -> str:
    """The panel of one entry at its measured fibre fraction."""
    text = moduli.panel_file(like(wanted))
    return text.replace('process = "closed mould"', f'process = "{wanted.process}"')


def predicted(text: str, sign: int) -> tuple[float, float, float]:
    """Ultimate strength of a panel along x and its 90 % range, Pa; sign : 1 pulled, -1 pressed."""
    catalogue = Catalogue.shipped()
    layers = resolve(read(text), catalogue).layers
    error = model_error(catalogue.table("model_errors").row("strength"))
    found = []
    for stack in (stack_of(layers), drawn_stack(layers)):
        build = evaluate(stack)
        made = section(stack, build)
        states = strength.states(stack, build, made)
        pulled, pressed = strength.in_plane(states, stack, build, 0)
        end = (pulled if sign > 0 else pressed).ultimate
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
        yield Compared(wanted, 1e6 * value, *predicted(panel_file(wanted), wanted.sign))


def kinds() -> tuple[str, ...]:
    """Kinds of strength, in the order of the list."""
    return tuple(dict.fromkeys(one.kind for one in WANTED))


def scatter(kind: str) -> tuple[int, float, float]:
    """Number, mean and standard deviation of measured over predicted; nan for one alone."""
    ratios = [one.ratio for one in compared() if one.wanted.kind == kind]
    deviation = float(np.std(ratios, ddof=1)) if len(ratios) > 1 else float("nan")
    return len(ratios), float(np.mean(ratios)), deviation
