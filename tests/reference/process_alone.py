"""Thickness of published panels from cloth and process alone, and one fact of the trade.

Nothing is taken from a panel but what its maker knew before laying it: the cloths in order, the
resin and the process. Fibre fraction, voids and densities are the catalogue's. No default was
changed for the comparison.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

import numpy as np

from panelwright.jobs.predict import evaluate_panel, predict
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics import fractions
from panelwright.panels.description import read
from panelwright.panels.records import Prediction
from panelwright.panels.resolve import resolve
from panelwright.panels.stack import stack_of

from .cases import experiments

#: Experiment -> process, resin, and cloths from one face: words, and how often.
LAID: dict[str, tuple[str, str, tuple[tuple[str, int], ...]]] = {
    "carbon-ud-infused-3x600": (
        "vacuum infusion",
        "epoxy, infusion",
        (("carbon unidirectional 600 g/m2", 3),),
    ),
    "glass-4ud-4biax-infused": (
        "vacuum infusion",
        "epoxy, infusion",
        (
            ("E-glass biaxial 808 g/m2", 2),
            ("E-glass unidirectional 1261 g/m2", 4),
            ("E-glass biaxial 808 g/m2", 2),
        ),
    ),
    "glass-biax45-infused-6x808": (
        "vacuum infusion",
        "epoxy, infusion",
        (("E-glass biaxial 808 g/m2", 6),),
    ),
    "glass-heavy-ud-and-biax-mat-infused": (
        "vacuum infusion",
        "epoxy, infusion",
        (
            ("E-glass biaxial with mat 857 g/m2", 1),
            ("E-glass unidirectional 1875 g/m2", 1),
            ("E-glass biaxial with mat 857 g/m2", 1),
            ("E-glass unidirectional 1875 g/m2", 1),
            ("E-glass biaxial with mat 857 g/m2", 1),
        ),
    ),
    "glass-triax-handlayup-5x759": (
        "hand lay-up",
        "polyester, kind not stated",
        (("E-glass triaxial 759 g/m2", 5),),
    ),
    "glass-ud-epoxy-handlayup-5x425": (
        "hand lay-up",
        "epoxy, laminating",
        (("E-glass unidirectional 425 g/m2", 5),),
    ),
    "glass-ud-handlayup-5x868": (
        "hand lay-up",
        "polyester, kind not stated",
        (("E-glass unidirectional 868 g/m2", 5),),
    ),
    "glass-ud-with-mat-handlayup-6x800": (
        "hand lay-up",
        "polyester, kind not stated",
        (("E-glass unidirectional 700 g/m2", 6), ("E-glass chopped mat 100 g/m2", 6)),
    ),
    "glass-wovenroving-mat-handlayup-5-resins": (
        "hand lay-up",
        "polyester, kind not stated",
        (("E-glass woven roving 800 g/m2", 5), ("E-glass chopped mat 100 g/m2", 5)),
    ),
}

#: Panels with known cloth whose thickness the mould set: process alone does not tell it.
CAVITY_SETS = {
    "carbon-core-glass-skins-rtm": "resin transfer between plates",
    "glass-3-plates-mass-balance-resin-batch": "cavity of 3 mm",
    "glass-angle-ply-series": "resin transfer between plates",
    "glass-one-stack-six-fibre-contents": "cavity set to get each fibre content",
    "glass-ud-infused-4x963-three-directions": "plates with a cavity of about 3 mm",
    "glass-woven-roving-8x610": "resin transfer between plates",
}


@dataclass(frozen=True)
class Compared:
    """One measured thickness beside the predicted one, m."""

    experiment: str
    piece: str
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
        """Whether the measured value lies in the 90 % range."""
        return self.low <= self.measured <= self.high


def panel_file(process: str, resin: str, cloths: tuple[tuple[str, int], ...]) -> str:
    """The panel file of some cloths."""
    head = f'format = 1\nprocess = "{process}"\nresin = "{resin}"\n'
    layers = (f'[[layer]]\ncloth = "{words}"\nrepeat = {times}\n' for words, times in cloths)
    return head + "".join(layers)


def predicted(text: str) -> Prediction:
    """The prediction of a panel file by the shipped catalogue."""
    return predict(read(text), Catalogue.shipped())


@cache
def compared() -> tuple[Compared, ...]:
    """Every measured thickness of the panels whose process alone sets it."""
    return tuple(_compared())


def _compared() -> Iterator[Compared]:
    by_id = {experiment["id"]: experiment for experiment in experiments()}
    for name, laid in LAID.items():
        thickness = predicted(panel_file(*laid)).thickness
        for measurement in by_id[name]["measurements"]:
            quantity = measurement["quantity"]
            if quantity.startswith("thickness"):
                piece = quantity.removeprefix("thickness").strip(" ()")
                value = measurement["value"] * 1e-3
                yield Compared(name, piece, value, thickness.value, thickness.low, thickness.high)


#: A square foot of half-inch softwood strips of specific gravity 0.31 at 12 % moisture, sanded by
#: about half a millimetre, 12 oz/yd2 biaxial glass at ±45 on both faces, laminating epoxy, by hand,
#: comes out near 0.55 in and 560 g. Common practice, no source.
TRADE_THICKNESS = 0.55 * 0.0254
TRADE_MASS = 0.560
SQUARE_FOOT = 0.3048**2
TRADE_PANEL = """
format = 1
title = "A square foot of sheathed strips"
process = "hand lay-up"
resin = "epoxy, laminating"
size = { length = "1 ft", width = "1 ft" }
[[layer]]
cloth = "E-glass biaxial 12 oz/yd2"
[[layer]]
strips = "northern white cedar"     # 0.31 at 12 % in the handbook
thickness = "12.2 mm"               # half an inch less half a millimetre
moisture = "12 %"
[[layer]]
cloth = "E-glass biaxial 12 oz/yd2"
"""


@dataclass(frozen=True)
class Implied:
    """What the trade's two figures ask of the inputs, taken one at a time and together."""

    fraction_by_thickness: float  # of the skins, if the thickness is right
    fraction_by_mass: float  # of the skins, if the mass is right and the timber is the handbook's
    timber_density: float  # kg/m3, if both are right
    timber_density_taken: float


def trade_implies() -> Implied:
    """The closure of the trade's figures, by the same formulas backwards."""
    done = evaluate_panel(resolve(read(TRADE_PANEL), Catalogue.shipped()))
    build, stack = done.build, stack_of(done.resolved.layers)
    cloth = stack.fibre_mass > 0.0
    skins = TRADE_THICKNESS - float(np.sum(build.layer_thickness[~cloth]))
    first = int(np.argmax(cloth))
    fibre, thread = float(np.sum(build.fibre)), float(np.sum(build.thread))
    by_thickness = fractions.fibre_mass_fraction_from_thickness(
        skins,
        fibre,
        stack.fibre_density[first],
        stack.resin_density[first],
        0.0,
        thread,
        stack.thread_density[first],
    )
    whole = TRADE_MASS / SQUARE_FOOT
    core = float(np.sum(build.layer_mass[~cloth]))
    laminate_at = fibre / float(by_thickness)
    soak = float(np.sum(build.soak))
    timber = float(np.sum(build.solid))
    wood = float(np.sum(build.layer_thickness[~cloth]))
    return Implied(
        float(by_thickness),
        fibre / (whole - core),
        (whole - laminate_at - soak) / wood,
        timber / wood,
    )
