"""How often a measured value lies in the 90 % range of its prediction.

Thickness, modulus and strength of published panels, predicted from cloth and process alone: nothing
of the panel itself is known but how it was laid. Beside it, modulus and strength where the fibre
fraction of the panel was measured. The errors of the model stand in
``materials/data/model_errors.csv``; they were fixed before these shares were looked at, and nothing
is tuned to them.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import log, sqrt
from statistics import mean

from panelwright.jobs.predict import evaluate_panel, stiffen
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import read
from panelwright.panels.resolve import resolve
from panelwright.panels.spread import Ranged

from . import moduli, plate_strength, process_alone
from .cases import experiments
from .closure import closures
from .moduli import MAKEUP, SHEAR, Wanted, all_compared
from .process_alone import LAID

#: Processes that set how much of a panel is fibre; a cavity sets it otherwise.
PROCESSES = ("hand lay-up", "vacuum infusion")
BASES = (THICKNESS, MODULUS, STRENGTH, KNOWN, STRENGTH_KNOWN, BOARDS) = (
    "thickness, from cloth and process alone",
    "modulus, from cloth and process alone",
    "strength, from cloth and process alone",
    "modulus, at the measured fibre fraction",
    "strength, at the measured fibre fraction",
    "modulus of spruce boards, from their density",
)


@dataclass(frozen=True)
class Covered:
    """One measured value beside the 90 % range of its prediction, SI."""

    basis: str
    panel: str
    piece: str
    measured: float
    predicted: float
    low: float
    high: float

    @property
    def within(self) -> bool:
        """Whether the measured value lies in the range."""
        return self.low <= self.measured <= self.high


@dataclass(frozen=True)
class Share:
    """How many of some pieces lie in their range, and what share of each panel on average."""

    pieces: int
    within: int
    panels: int
    by_panel: float

    @property
    def by_piece(self) -> float:
        """Share of the pieces, 0 to 1."""
        return self.within / self.pieces


def share(pieces: Sequence[Covered]) -> Share:
    """Coverage of some pieces; each panel counts once in ``by_panel``."""
    panels: dict[str, list[bool]] = {}
    for one in pieces:
        panels.setdefault(one.panel, []).append(one.within)
    by_panel = mean(mean(found) for found in panels.values())
    return Share(len(pieces), sum(one.within for one in pieces), len(panels), by_panel)


def process_of(experiment: str) -> str | None:
    """The process that a record names, where it sets the fibre fraction."""
    if experiment in LAID:
        return LAID[experiment][0]
    (said,) = (e["panel"]["process"] for e in experiments() if e["id"] == experiment)
    return next((process for process in PROCESSES if said.startswith(process)), None)


def turned(wanted: Wanted) -> Wanted:
    """The same panel turned so that the pull runs along its length."""
    layers = tuple((words, angle - wanted.direction, n) for words, angle, n in wanted.layers)
    return replace(wanted, layers=layers, direction=0.0)


def by_process(wanted: Wanted, process: str) -> str:
    """The panel of one entry from its cloths and its process."""
    layers = "".join(
        f'[[layer]]\ncloth = "{words} g/m2"\nangle = {angle}\nrepeat = {count}\n'
        + (f'directions = "{MAKEUP[words]}"\n' if words in MAKEUP else "")
        for words, angle, count in wanted.layers
    )
    return f'format = 1\nprocess = "{process}"\nresin = "{wanted.resin}"\n{layers}'


def modulus(text: str, index: int = 0) -> Ranged:
    """A modulus of a panel file with its range. index : 0 along, 2 in shear."""
    done = stiffen(evaluate_panel(resolve(read(text), Catalogue.shipped())))
    assert done is not None
    made, drawn = done.made.extension_moduli, done.drawn.extension_moduli
    return done.ranged(made[index], drawn[..., index], "Pa")


@cache
def covered() -> tuple[Covered, ...]:
    """Every value that is compared."""
    return (
        *_thicknesses(),
        *_moduli(MODULUS, _alone),
        *_strengths_alone(),
        *_moduli(KNOWN, _known),
        *_strengths_known(),
        *_boards(),
    )


def of(basis: str, among: Iterable[Covered] | None = None) -> list[Covered]:
    """The values of one basis."""
    return [one for one in (covered() if among is None else among) if one.basis == basis]


def _thicknesses() -> Iterator[Covered]:
    for one in process_alone.compared():
        middle = (one.measured, one.predicted, one.low, one.high)
        yield Covered(THICKNESS, one.experiment, one.piece, *middle)


def _alone(wanted: Wanted) -> str | None:
    process = process_of(wanted.experiment)
    return None if process is None else by_process(turned(wanted), process)


def _known(wanted: Wanted) -> str:
    return moduli.panel_file(turned(wanted))


def _moduli(basis: str, file: Callable[[Wanted], str | None]) -> Iterator[Covered]:
    for one in moduli.all_compared():
        text = file(one.wanted)
        if text is not None:
            found = modulus(text, 2 if one.wanted.modulus == "G" else 0)
            middle = (one.measured, found.value, found.low, found.high)
            yield Covered(basis, one.wanted.experiment, one.wanted.quantity, *middle)


def _strengths_alone() -> Iterator[Covered]:
    for one in plate_strength.compared():
        wanted = one.wanted
        process = process_of(wanted.experiment)
        if process is not None:
            text = by_process(plate_strength.like(wanted), process)
            middle = plate_strength.predicted(text, wanted.sign)
            yield Covered(STRENGTH, wanted.experiment, wanted.quantity, one.measured, *middle)


def _strengths_known() -> Iterator[Covered]:
    for one in plate_strength.compared():
        middle = (one.measured, one.predicted, one.low, one.high)
        yield Covered(STRENGTH_KNOWN, one.wanted.experiment, one.wanted.quantity, *middle)


def _boards() -> Iterator[Covered]:
    for one in moduli.boards():
        middle = (one.measured, one.predicted, one.low, one.high)
        yield Covered(BOARDS, one.name.partition(",")[0], one.name, *middle)


# --- The error of the model, each panel judged by the others --------------------------------------

#: Half-width of a 90 % range in standard deviations.
SIGMAS = 1.645
#: Panel and measured over predicted.
Ratios = Sequence[tuple[str, float]]


@dataclass(frozen=True)
class LeftOut:
    """The error of a model from all pieces, and from the others of each panel.

    by_panel : each panel counted once; least, most : what is found where one panel is left out;
    within : pieces that lie in the 90 % range that the other panels give.
    """

    pieces: int
    panels: int
    all_pieces: float
    by_panel: float
    least: float
    most: float
    within: int
    panels_within: int


def off(ratios: Iterable[float]) -> float:
    """Root mean square of measured over predicted less 1."""
    return sqrt(mean((ratio - 1.0) ** 2 for ratio in ratios))


def thickness_ratios() -> Ratios:
    """Every piece at its measured fibre fraction, once, without the one that closes by itself."""
    once = {(c.experiment, c.piece): c.ratio for c in closures() if not c.circular}
    return [(panel, ratio) for (panel, _), ratio in once.items()]


def modulus_ratios() -> Ratios:
    """Every modulus but those in shear."""
    return [
        (one.wanted.experiment, one.ratio) for one in all_compared() if one.wanted.kind != SHEAR
    ]


def left_out(ratios: Ratios) -> LeftOut:
    """One panel left out at a time."""
    panels = sorted({panel for panel, _ in ratios})
    of_others = {panel: off(ratio for other, ratio in ratios if other != panel) for panel in panels}
    inside = [(panel, abs(log(ratio)) <= SIGMAS * of_others[panel]) for panel, ratio in ratios]
    by_panel = [off(ratio for other, ratio in ratios if other == panel) ** 2 for panel in panels]
    return LeftOut(
        len(ratios),
        len(panels),
        off(ratio for _, ratio in ratios),
        sqrt(mean(by_panel)),
        min(of_others.values()),
        max(of_others.values()),
        sum(yes for _, yes in inside),
        len(panels) - len({panel for panel, yes in inside if not yes}),
    )
