"""First damage against first cracks that were published, and against plates that break at it.

No record of the set prints the load at a knee. What there is: strains at the first crack of twelve
laminates, gathered with the ply strains (some rows of the catalogue were set on them: said), and
plates pulled across all their fibre, whose break is their first crack. And no plate may break
below its predicted first damage by more than the errors of both.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from statistics import mean
from typing import Any

import numpy as np

from panelwright.materials.catalogue import Catalogue
from panelwright.panels import strength
from panelwright.panels.description import read
from panelwright.panels.evaluate import evaluate
from panelwright.panels.resolve import resolve
from panelwright.panels.section import section
from panelwright.panels.stack import stack_of

from . import plate_strength

_TABLE: dict[str, Any] = json.loads(
    (Path(__file__).parent / "first_damage.json").read_text(encoding="utf-8")
)
GROUPS, PLATES = ("a first crack was seen", "the break is the first crack")


@dataclass(frozen=True)
class Compared:
    """A measured first damage beside the predicted one, in the same unit."""

    kind: str
    name: str
    number: int  # of laminates or plates
    measured: float
    predicted: float
    unit: str
    mode: str
    rests: bool  # whether the strain of the ply was set on these

    @property
    def ratio(self) -> float:
        """Measured over predicted."""
        return self.measured / self.predicted


def first_damage(text: str, sign: int = 1) -> tuple[float, float, str]:
    """Stress over the thickness, Pa, strain along the load, and mode at first damage."""
    stack = stack_of(resolve(read(text), Catalogue.shipped()).layers)
    build = evaluate(stack)
    made = section(stack, build)
    first = strength.first_damage(stack, build, made, 0, sign)
    strain = first.load * made.compliance[..., 0, 0]
    mode = strength.MODES[int(first.mode)]
    return float(first.load / build.thickness), float(strain), mode


def panel_file(group: dict[str, Any], resin: str) -> str:
    """The panel of a group in one resin."""
    layers = "".join(
        f'[[layer]]\ncloth = "{words} g/m2"\nangle = {angle}\n'
        f"fibre_volume_fraction = {group['fraction']}\n"
        for words, angle in group["layers"]
    )
    return f'format = 1\nprocess = "{group["process"]}"\nresin = "{resin}"\n{layers}'


@cache
def compared() -> tuple[Compared, ...]:
    """Groups of laminates, then plates."""
    return (*map(_of_group, _TABLE["groups"]), *_of_plates())


def _of_group(group: dict[str, Any]) -> Compared:
    found = [first_damage(panel_file(group, resin)) for resin in group["resins"]]
    return Compared(
        GROUPS,
        group["name"],
        group["number"],
        (group["low"] + group["high"]) / 2.0,
        100.0 * mean(strain for _, strain, _ in found),
        "%",
        found[0][2],
        group["rests"],
    )


def _of_plates() -> Iterable[Compared]:
    sought = {tuple(pair) for pair in _TABLE["breaks_at_first_crack"]}
    for one in plate_strength.compared():
        if (one.wanted.experiment, one.wanted.quantity) in sought:
            stress, _, mode = first_damage(plate_strength.panel_file(one.wanted))
            name = f"{one.wanted.experiment}, {one.wanted.quantity}"
            yield Compared(
                PLATES, name, 1, one.measured / 1e6, stress / 1e6, "MPa", mode, rests=False
            )


def scatter(among: Iterable[Compared]) -> tuple[int, float, float]:
    """Number, mean and standard deviation of measured over predicted."""
    ratios = [one.ratio for one in among]
    return len(ratios), float(np.mean(ratios)), float(np.std(ratios, ddof=1))


def error(among: Iterable[Compared]) -> float:
    """Root mean square of measured over predicted less 1."""
    return float(np.sqrt(np.mean([(one.ratio - 1.0) ** 2 for one in among])))


@cache
def broken_before_damage() -> tuple[tuple[str, float], ...]:
    """Plates whose measured end lies below their predicted first damage, and by what ratio."""
    found = []
    for one in plate_strength.compared():
        stress, _, _ = first_damage(plate_strength.panel_file(one.wanted), one.wanted.sign)
        if one.measured < stress:
            name = f"{one.wanted.experiment}, {one.wanted.quantity}"
            found.append((name, one.measured / stress))
    return tuple(found)
