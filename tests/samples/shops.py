"""Simulated shops whose truth is known: do their ranges cover, and does the next mass come nearer?

Every shop has a usual fibre fraction and soak of its own, and a scatter from build to build. Each
build's cloth, core and resin are drawn from the spreads of the catalogue; it is made, weighed and
gauged with instruments that read wrong by as much as they may. What is drawn differs from what the
learning assumes where a real shop would: the shop's usual lies on the lopsided range of the
catalogue, and its scatter is any between two thirds and one and a half of the usual one.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from panelwright.jobs.house import own_of
from panelwright.jobs.measure import thickness_error
from panelwright.jobs.predict import evaluate_panel
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import read
from panelwright.panels.evaluate import evaluate
from panelwright.panels.resolve import Resolved, resolve
from panelwright.panels.spread import ends
from panelwright.panels.stack import StackLayer, stack_of
from panelwright.provenance import SIGMAS_OF_90, Input
from panelwright.samples.findings import reduce
from panelwright.samples.house import BETWEEN_BUILDS, learn, plates
from panelwright.samples.known import Book
from panelwright.samples.readings import Reading
from panelwright.samples.reconcile import lessons

from .panels import CORED

FRACTION = "fibre_fractions/glass_woven_hand/fibre_mass_fraction"
SOAK = "core_surfaces/pet_hand/soak"
_FIELDS = {FRACTION: "fibre_mass_fraction", SOAK: "soak"}
SIDE = 0.3
#: Builds that are predicted with 0, 1, 2, ... pieces behind the prediction, the same each time.
TRIALS = 3


@dataclass
class Tally:
    """What came out, by how many pieces stood behind a prediction: 0 to the last."""

    covered: dict[str, dict[int, list[bool]]] = field(
        default_factory=lambda: defaultdict(lambda: defaultdict(list))
    )
    errors: dict[int, list[float]] = field(default_factory=lambda: defaultdict(list))
    widths: dict[int, list[float]] = field(default_factory=lambda: defaultdict(list))

    def coverage(self, what: str, pieces: int) -> float:
        """Share of the 90 % ranges that held the truth."""
        return float(np.mean(self.covered[what][pieces]))

    def error(self, pieces: int) -> float:
        """Root mean square of the predicted mass less the true one, kg/m2."""
        return float(np.sqrt(np.mean(np.square(self.errors[pieces]))))


def _split(rng: np.random.Generator, given: Input, share: float = 1.0) -> float:
    z = rng.standard_normal()
    sd = given.sd_below if z < 0.0 else given.sd_above
    return float(max(given.value + z * sd * share**0.5, 0.0))


def _sd(given: Input) -> float:
    return 0.5 * (given.sd_below + given.sd_above)


def _build(
    rng: np.random.Generator, resolved: Resolved, own: Mapping[str, float]
) -> list[StackLayer]:
    """The layers as made: each cause drawn once, fibre fraction and soak those of the build."""
    drawn: dict[str, float] = {}

    def made(field: str, given: Input) -> Input:
        for key, name in _FIELDS.items():
            if field == name:
                times = 2.0 if given.source.startswith("2 ×") else 1.0
                return _exactly(given, own[key] * times)
        if given.high <= given.low:
            return given
        if given.cause not in drawn:
            z = rng.standard_normal()
            drawn[given.cause] = z
        z = drawn[given.cause]
        value = given.value + z * (given.sd_below if z < 0.0 else given.sd_above)
        return _exactly(given, max(value, 0.0) if given.low >= 0.0 else value)

    return [
        replace(la, inputs={name: made(name, one) for name, one in la.inputs.items()})
        for la in resolved.layers
    ]


def _exactly(given: Input, value: float) -> Input:
    return replace(given, value=value, low=value, high=value)


def _readings(rng: np.random.Generator, layers: list[StackLayer], error: float) -> list[Reading]:
    """What is read off a build."""
    stack = stack_of(layers)
    build = evaluate(stack)
    core = float(np.sum(stack.solid_thickness))
    thick = core + (float(build.thickness) - core) * (1.0 + error * rng.standard_normal())
    true = float(build.areal_mass)

    def read(what: str, value: float, division: float, u: float, at: str = "") -> Reading:
        seen = value + u * rng.standard_normal()
        return Reading(what, round(seen / division) * division, at, division)

    shared = 2e-5 * rng.standard_normal(2)  # the caliper reads wrong alike at every point
    area = SIDE * SIDE
    found = [
        read("mass", true * area, 1e-4, 0.0),
        read("length", SIDE, 1e-3, 3e-4),
        read("width", SIDE, 1e-3, 3e-4),
        read("cloth", float(np.sum(build.fibre + build.thread)), 1e-3, 0.0),
        read("core mass", float(np.sum(build.solid)) * area, 1e-4, 0.0),
    ]
    for point in range(9):
        at = f"{point}"
        found.append(read("thickness", thick + shared[0], 1e-5, 5e-5, at))
        found.append(read("core thickness", core + shared[1], 1e-5, 5e-5, at))
    return found


def simulate(shops: int, pieces: int, seed: int, draws: int = 256) -> Tally:
    """Shops that each build, weigh and predict again; the same seed gives the same."""
    book = Catalogue.shipped()
    rng = np.random.default_rng(seed)
    description = read(CORED, "invented")
    resolved = resolve(description, book)
    error = thickness_error(resolved)
    said = {
        key: book.table(key.split("/")[0]).row(key.split("/")[1]).input(key.split("/")[2])
        for key in _FIELDS
    }
    tally = Tally()
    for _ in range(shops):
        usual = {key: _split(rng, one, 1.0 - BETWEEN_BUILDS) for key, one in said.items()}
        wide = {
            key: _sd(one) * BETWEEN_BUILDS**0.5 * np.exp(rng.uniform(-1, 1) * np.log(1.5))
            for key, one in said.items()
        }
        told: dict[str, list[tuple[str, str, float, float]]] = {key: [] for key in said}

        def one_build(
            usual: Mapping[str, float] = usual, wide: Mapping[str, float] = wide
        ) -> dict[str, float]:
            return {key: max(usual[key] + wide[key] * rng.standard_normal(), 1e-3) for key in said}

        trials = []
        for _ in range(TRIALS):
            own = one_build()
            true = float(evaluate(stack_of(_build(rng, resolved, own))).areal_mass)
            trials.append((own, true))
        for piece in range(pieces + 1):
            values = {
                key: learn(key, key, said[key], plates(told[key])) for key in said if told[key]
            }
            catalogue = book.with_values([own_of(v) for v in values.values()]) if values else book
            done = evaluate_panel(resolve(description, catalogue), draws)
            low, high = ends(done.drawn_build.areal_mass)
            tally.widths[piece].append(high - low)
            for own, true in trials:
                tally.covered["areal mass"][piece].append(low <= true <= high)
                tally.errors[piece].append(float(done.build.areal_mass) - true)
                for key, value in values.items():
                    tally.covered[key][piece].append(value.low <= own[key] <= value.high)
            for key, value in values.items():
                near = abs(usual[key] - value.mean) <= SIGMAS_OF_90 * value.mean_u
                tally.covered[f"{key} of the shop"][piece].append(near)
            readings = _readings(rng, _build(rng, resolved, one_build()), error)
            found = reduce(readings, Book(resolved.layers))
            for lesson in lessons(readings, found, resolved.layers, error):
                told[lesson.key].append((f"{piece}", f"{piece}", lesson.value, lesson.u))
    return tally
