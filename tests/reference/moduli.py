"""Moduli of published panels from handbook constants and the measured fibre fraction.

Nothing is tuned: fibre and resin are rows of the catalogue, the fibre fraction is the panel's own,
rules for plies are the defaults (chosen before: see test_shear_rule.py). Each entry of the list
is a panel and a direction; the measured value is read from the experiment's own record.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from math import radians
from pathlib import Path
from typing import Any

import numpy as np

from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics import beam, lamina, laminate
from panelwright.panels.description import read
from panelwright.panels.evaluate import evaluate
from panelwright.panels.resolve import resolve
from panelwright.panels.section import section
from panelwright.panels.spread import drawn_stack
from panelwright.panels.stack import stack_of

from .cases import experiments

ALONG, CARBON_ALONG, ACROSS = "along, glass", "along, carbon", "across"
PM45, SHEAR = "±45", "in-plane shear"
KINDS = (ALONG, CARBON_ALONG, ACROSS, PM45, SHEAR)
POLYESTER = "polyester, kind not stated"
#: Cloth words, angle of the roll, how many.
Layers = tuple[tuple[str, float, int], ...]

_TABLE = json.loads((Path(__file__).parent / "moduli.json").read_text(encoding="utf-8"))
#: How the fibre of a cloth lies, where the record says so (thread left out).
MAKEUP: dict[str, str] = _TABLE["makeup"]


@dataclass(frozen=True)
class Wanted:
    """One measured modulus: where it stands, the panel, and what of it is compared."""

    experiment: str
    quantity: str
    kind: str
    resin: str
    fraction: float  # by volume
    layers: Layers
    direction: float = 0.0  # of the pull, degrees
    modulus: str = "E"  # or "G"


def _wanted(row: dict[str, Any]) -> Wanted:
    layers = tuple((words, angle, count) for words, angle, count in row["layers"])
    return Wanted(**{**row, "layers": layers})


WANTED = tuple(_wanted(row) for row in _TABLE["wanted"])


@dataclass(frozen=True)
class Compared:
    """One measured modulus beside the predicted one, Pa."""

    wanted: Wanted
    measured: float
    predicted: float

    @property
    def ratio(self) -> float:
        """Measured over predicted."""
        return self.measured / self.predicted


def panel_file(wanted: Wanted) -> str:
    """The panel of one entry, at its measured fibre fraction."""
    layers = "".join(
        f'[[layer]]\ncloth = "{words} g/m2"\nangle = {angle}\nrepeat = {count}\n'
        f"fibre_volume_fraction = {wanted.fraction}\n"
        + (f'directions = "{MAKEUP[words]}"\n' if words in MAKEUP else "")
        for words, angle, count in wanted.layers
    )
    return f'format = 1\nprocess = "closed mould"\nresin = "{wanted.resin}"\n{layers}'


def predicted(wanted: Wanted) -> float:
    """The modulus of one entry, Pa."""
    stack = stack_of(resolve(read(panel_file(wanted)), Catalogue.shipped()).layers)
    build = evaluate(stack)
    made = section(stack, build)
    if wanted.modulus == "G":
        return float(made.constants.G12[0])
    turned = lamina.turned_compliance(
        laminate.extension_compliance(made.compliance), radians(wanted.direction)
    )
    return float(laminate.extension_moduli(turned, build.thickness)[0])


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
        yield Compared(wanted, 1e9 * value, predicted(wanted))


def woven_with_mat() -> Iterator[Compared]:
    """Woven roving with mat in five polyesters: fibre fraction by mass."""
    (record,) = (e for e in experiments() if e["id"] == "glass-wovenroving-mat-handlayup-5-resins")
    layers = (("E-glass woven roving 800", 0.0, 1), ("E-glass chopped mat 100", 0.0, 1)) * 5
    for number in range(1, 6):
        values = {m["quantity"]: m["value"] for m in record["measurements"]}
        mass = values[f"fibre mass fraction (polyester {number})"]
        quantity = f"tensile modulus (polyester {number})"
        wanted = Wanted(record["id"], quantity, ALONG, POLYESTER, _by_volume(mass), layers)
        yield Compared(wanted, 1e9 * values[quantity], predicted(wanted))


def _by_volume(mass: float) -> float:
    """With the densities that the defaults take for E-glass and polyester."""
    return (mass / 2540.0) / (mass / 2540.0 + (1.0 - mass) / 1200.0)


def all_compared() -> tuple[Compared, ...]:
    """The table with the woven series."""
    return (*compared(), *woven_with_mat())


def scatter(kind: str) -> tuple[int, float, float]:
    """Number, mean and standard deviation of measured over predicted for one kind."""
    ratios = [one.ratio for one in all_compared() if one.wanted.kind == kind]
    return len(ratios), float(np.mean(ratios)), float(np.std(ratios, ddof=1))


SPRUCE = ("1", "3", "4")
TIMBER = "along, timber"


@dataclass(frozen=True)
class Board:
    """One spruce board: modulus along from its first bending note, and from its density."""

    name: str
    measured: float
    predicted: float
    low: float
    high: float

    @property
    def ratio(self) -> float:
        """Measured over predicted."""
        return self.measured / self.predicted


@cache
def boards() -> tuple[Board, ...]:
    """Quarter-sawn spruce boards, hung free: the note of the first bending along the grain."""
    return tuple(board for pair in SPRUCE for board in _boards(pair))


def _boards(pair: str) -> Iterator[Board]:
    (record,) = (e for e in experiments() if e["id"] == f"spruce-plate-free-vibration-pair-{pair}")
    for half in record["panel"]["halves"]:
        name = f"bending along the grain (2,0), half {half['half']}"
        notes = [
            m["value"]
            for m in record["measurements"]
            if m["quantity"].endswith(name) and m["value"]
        ]
        if not notes:
            continue
        t, density = half["thickness_mm"] * 1e-3, half["density_kg_m3"]
        measured = beam.modulus_of_free_strip(
            notes[0], half["length_mm"] * 1e-3, half["surface_mass_kg_m2"], t
        )
        text = (
            'format = 1\n[[layer]]\nboard = "Sitka spruce"\nmoisture = "10 %"\nring_angle = 90\n'
            f'thickness = "{half["thickness_mm"]} mm"\ndensity = "{density} kg/m3"\n'
        )
        layers = resolve(read(text), Catalogue.shipped()).layers
        middle, drawn = stack_of(layers), drawn_stack(layers)
        made = section(middle, evaluate(middle)).constants.E1
        low, high = np.percentile(section(drawn, evaluate(drawn)).constants.E1, (5, 95))
        yield Board(
            f"pair {pair}, half {half['half']}",
            float(measured),
            float(made[0]),
            float(low),
            float(high),
        )
