"""What was found held against what was predicted, and the difference split by its causes.

Every cause of the prediction (mass of the cloth, fibre fraction, soak, density and thickness of the
core, ...) has a middle and a spread. The findings are straight sums of the causes near the middle,
so what the findings say of the causes is the conditioning of a normal distribution on them (the
linear update of gelman-2013, chapter 14; iterated, since a fibre fraction bends). Each cause's part
of the difference is how far it moved times what a square metre gains by that; the parts of causes
that these readings cannot part from each other come with a wide uncertainty, and say so.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from types import MappingProxyType

import numpy as np

from panelwright.mechanics.arrays import Array
from panelwright.panels.evaluate import Build, evaluate
from panelwright.panels.stack import FIELDS, Stack, StackLayer
from panelwright.provenance import SIGMAS_OF_90, Input
from panelwright.samples.budget import TOLD
from panelwright.samples.found import Findings
from panelwright.samples.known import Bag
from panelwright.samples.readings import Reading

#: What moves mass and thickness: the fields of the stack before its stiffness.
_MASSES = FIELDS[: FIELDS.index("fibre_E1")]
#: Which part of the difference a field belongs to.
_PARTS = {
    "cloth mass": "fibre_mass thread_mass cloth_moisture",
    "resin in the cloth": "fibre_mass_fraction fibre_volume_given gauged_thickness",
    "soak": "soak fill_density",
    "core density": "solid_density tabulated_gravity",
    "moisture": "moisture tabulated_moisture",
    "core thickness": "solid_thickness",
    "glue and coats": "film_applied film_sunk film_kept edge_cover edge_spread edge_kept "
    "kerf_width kerf_pitch kerf_depth curvature",
    "densities and voids": "fibre_density resin_density void_fraction thread_density "
    "film_density kerf_resin_density",
}
_PART_OF = {name: part for part, names in _PARTS.items() for name in names.split()}
ROUNDS = 6
STEP = 1e-3
#: A cause that is to be learnt starts with no belief: a spread so many times its own.
FLAT = 100.0
#: A cause is found by itself where the readings leave less than this of its own spread.
LEARNT = 3.0


@dataclass(frozen=True)
class Cause:
    """One cause of a prediction; ``sd``: of its spread, SI; ``row``: ``table/id`` it stands on."""

    name: str
    part: str
    field: str
    value: float
    sd: float
    row: str


@dataclass(frozen=True)
class Observed:
    """A finding that the causes must come to; ``of``: what the causes make of it, ``(n,)``."""

    name: str
    value: float
    u: float
    of: Callable[[Stack, Build], Array]


@dataclass(frozen=True)
class Split:
    """What one part adds to the difference, with its uncertainty; SI."""

    part: str
    value: float
    u: float

    @property
    def told(self) -> bool:
        """Whether it can be told from nothing."""
        return abs(self.value) > TOLD * self.u


@dataclass(frozen=True)
class Compared:
    """One quantity: predicted middle and 90 % range, found, and the difference by parts.

    ``rest`` : what the causes do not explain.
    """

    name: str
    dimension: str
    predicted: float
    low: float
    high: float
    found: float
    u: float
    splits: tuple[Split, ...]
    rest: float

    @property
    def difference(self) -> float:
        """Found over predicted."""
        return self.found - self.predicted

    @property
    def within(self) -> bool:
        """Whether the finding lies in the predicted range, or may."""
        half = SIGMAS_OF_90 * self.u
        return self.low - half <= self.found <= self.high + half


@dataclass(frozen=True)
class Lesson:
    """What one piece tells of one value of the catalogue, without any belief before.

    ``key`` : ``table/id/column``.
    """

    key: str
    value: float
    u: float


@dataclass(frozen=True)
class Moved:
    """A cause after the findings: its value before and after with uncertainty, SI."""

    cause: Cause
    value: float
    u: float


@dataclass(frozen=True)
class BookLine:
    """A finding beside the book: as printed, brought to this piece by a relation, and the ratio.

    ``specific`` : the same for its mass: what (empty for none), found, by the book.
    """

    name: str
    dimension: str
    found: float
    u: float
    printed: float
    source: str
    here: float
    relation: str
    ratio: float
    ratio_u: float
    specific: tuple[str, float, float] = ("", 0.0, 0.0)


@dataclass(frozen=True)
class Reconciled:
    """A piece against its prediction."""

    compared: tuple[Compared, ...]
    moved: tuple[Moved, ...]
    agreement: float  # of all findings together: chi-squared over its count
    count: int
    stack: Stack  # before, as found: shape (2, L)
    build: Build

    def part(self, name: str) -> Split | None:
        """A part of the difference in areal mass."""
        return next((s for c in self.compared[:1] for s in c.splits if s.part == name), None)


class Causes:
    """The causes of a panel's mass and thickness, and the stack they make."""

    def __init__(self, layers: Sequence[StackLayer]) -> None:
        self.layers = layers
        self.causes: list[Cause] = []
        self._places: list[tuple[str, int, float, int, float, bool]] = []
        numbers: dict[str, int] = {}
        for index, layer in enumerate(layers):
            for name in _MASSES:
                given = layer.inputs.get(name)
                if given is not None:
                    self._add(name, index, given, numbers)

    def _add(self, name: str, index: int, given: Input, numbers: dict[str, int]) -> None:
        sd = 0.5 * (given.sd_below + given.sd_above)
        number = -1
        if sd > 0.0:
            if given.cause not in numbers:
                numbers[given.cause] = len(self.causes)
                part = _PART_OF.get(name, "densities and voids")
                self.causes.append(Cause(given.cause, part, name, given.value, sd, given.row))
            number = numbers[given.cause]
        self._places.append((name, index, given.value, number, sd, given.low >= 0.0))

    def stack(self, z: Array) -> Stack:
        """The stack at causes so many standard deviations off their middles: ``(n, causes)``."""
        rows = len(z)
        columns = dict.fromkeys(FIELDS, np.zeros((rows, len(self.layers))))
        for name, index, value, number, sd, is_positive in self._places:
            if columns[name] is columns[FIELDS[-1]] or not columns[name].flags.owndata:
                columns[name] = np.zeros((rows, len(self.layers)))
            moved = value + (z[:, number] * sd if number >= 0 else 0.0)
            columns[name][:, index] = np.maximum(moved, 0.0) if is_positive else moved
        return Stack(**columns)

    @cached_property
    def count(self) -> int:
        """How many causes there are."""
        return len(self.causes)


def observations(
    readings: Sequence[Reading], found: Findings, causes: Causes, error: float
) -> list[Observed]:
    """The findings as sums of causes.

    error : relative standard deviation of what the formulas themselves may be off by in thickness.
    """
    seen = []
    bag = Bag(tuple(readings), found.worked)
    areal, thick = found.get("areal mass"), found.get("thickness")
    if areal is not None:
        seen.append(Observed("areal mass", areal.value, areal.u, lambda s, b: b.areal_mass))
    if thick is not None:
        solid = sum(
            la.inputs["solid_thickness"].value
            for la in causes.layers
            if "solid_thickness" in la.inputs
        )
        u = float(np.hypot(thick.u, error * max(thick.value - solid, 0.0)))
        seen.append(Observed("thickness", thick.value, u, lambda s, b: b.thickness))
    if bag.has("cloth") and any(la.kind == "cloth" for la in causes.layers):
        cloth = bag.known("cloth")
        seen.append(
            Observed(
                "cloth mass",
                cloth.value,
                cloth.u,
                lambda s, b: np.sum(b.fibre + b.thread + b.water, axis=-1),
            )
        )
    burnt = found.get("fibre mass fraction by burn-off")
    if burnt is not None:
        seen.append(Observed("fibre by burn-off", burnt.value, burnt.u, _burnt))
    return [*seen, *_of_core(bag, causes, error)]


def _burnt(stack: Stack, build: Build) -> Array:
    fibre = np.sum(build.fibre, axis=-1)
    return np.asarray(fibre / (fibre + np.sum(build.cloth_resin + build.thread, axis=-1)))


def _of_core(bag: Bag, causes: Causes, error: float) -> list[Observed]:
    if not any("solid_thickness" in la.inputs for la in causes.layers):
        return []
    seen = []
    if bag.has("core mass"):
        sides = ("core length", "core width") if bag.has("core length") else ("length", "width")
        if bag.has(*sides):
            mass, a, b = bag.known("core mass"), *(bag.known(name) for name in sides)
            area = a.value * b.value
            value = mass.value / area
            u = value * float(np.linalg.norm([k.u / k.value for k in (mass, a, b)]))
            seen.append(Observed("core mass", value, u, lambda s, x: np.sum(x.solid, axis=-1)))
    if bag.has("faces"):
        faces = bag.known("faces")
        seen.append(
            Observed(
                "faces",
                faces.value,
                float(np.hypot(faces.u, error * faces.value)),
                lambda s, b: b.thickness - np.sum(s.solid_thickness, axis=-1),
            )
        )
    if bag.has("core thickness"):
        thick = bag.known("core thickness")
        seen.append(
            Observed(
                "core thickness",
                thick.value,
                thick.u,
                lambda s, b: np.sum(s.solid_thickness, axis=-1),
            )
        )
    wet = [index for index, la in enumerate(causes.layers) if "moisture" in la.inputs]
    if wet and bag.has("core moisture"):
        water = bag.known("core moisture")
        seen.append(
            Observed("core moisture", water.value, water.u, lambda s, b: s.moisture[:, wet[0]])
        )
    return seen


@dataclass(frozen=True)
class _Update:
    z: Array
    covariance: Array
    chi2: float


def _update(causes: Causes, seen: Sequence[Observed], spread: Array) -> _Update:
    """Causes given what was seen, each in its own standard deviations; ``spread``: before."""
    count = causes.count
    z: Array = np.zeros(count)
    wanted = np.array([one.value for one in seen])
    noise = np.diag([max(one.u, 1e-12) ** 2 for one in seen])
    before = np.diag(spread**2)
    chi2 = 0.0
    gain: Array = np.zeros((count, len(seen)))
    slopes: Array = np.zeros((len(seen), count))
    for turn in range(ROUNDS):
        middle, slopes = _slopes(causes, seen, z)
        within = slopes @ before @ slopes.T + noise
        gain = np.asarray(np.linalg.solve(within, slopes @ before).T, np.float64)
        gap = wanted - middle + slopes @ z
        if turn == 0:
            chi2 = float(gap @ np.linalg.solve(within, gap))
        z = gain @ gap
    return _Update(z, before - gain @ slopes @ before, chi2)


def _slopes(causes: Causes, seen: Sequence[Observed], z: Array) -> tuple[Array, Array]:
    """What the causes make of each observation at ``z``, and by how much for one deviation."""
    count = causes.count
    moved = np.concatenate([[0 * z], STEP * np.eye(count), -STEP * np.eye(count)]) + z
    stack = causes.stack(moved)
    build = evaluate(stack)
    values = np.stack([np.broadcast_to(one.of(stack, build), len(moved)) for one in seen])
    return values[:, 0], (values[:, 1 : count + 1] - values[:, count + 1 :]) / (2.0 * STEP)


def reconcile(
    readings: Sequence[Reading],
    found: Findings,
    layers: Sequence[StackLayer],
    predicted: Mapping[str, tuple[float, float, float]],
    error: float,
) -> Reconciled | None:
    """A piece against its prediction; None where neither mass nor thickness was found.

    predicted : middle, low and high of ``areal mass`` and ``thickness``; error : of the thickness
    for the formulas' own sake, relative standard deviation.
    """
    causes = Causes(layers)
    seen = observations(readings, found, causes, error)
    if not {"areal mass", "thickness"} & {one.name for one in seen} or not causes.count:
        return None
    done = _update(causes, seen, np.ones(causes.count))
    both = np.stack([np.zeros(causes.count), done.z])
    stack = causes.stack(both)
    build = evaluate(stack)
    compared = []
    for one in seen:
        if one.name in predicted:
            dimension = "areal_mass" if one.name == "areal mass" else "thickness"
            u = next(f.u for f in found.found if f.name == one.name)
            splits, rest = _split(causes, one, done, predicted[one.name][0])
            compared.append(
                Compared(one.name, dimension, *predicted[one.name], one.value, u, splits, rest)
            )
    spread = np.sqrt(np.clip(np.diag(done.covariance), 0.0, None))
    moved = tuple(
        Moved(cause, cause.value + z * cause.sd, u * cause.sd)
        for cause, z, u in zip(causes.causes, done.z, spread, strict=True)
    )
    return Reconciled(tuple(compared), moved, done.chi2, len(seen), stack, build)


def _split(
    causes: Causes, one: Observed, done: _Update, predicted: float
) -> tuple[tuple[Split, ...], float]:
    """The difference in one quantity by parts, the largest first, and what is left."""
    half = _slopes(causes, [one], 0.5 * done.z)[1][0]
    amounts = half * done.z
    parts: dict[str, list[int]] = {}
    for number, cause in enumerate(causes.causes):
        parts.setdefault(cause.part, []).append(number)
    splits = []
    for part, numbers in parts.items():
        c = half[numbers]
        u = float(np.sqrt(max(c @ done.covariance[np.ix_(numbers, numbers)] @ c, 0.0)))
        value = float(amounts[numbers].sum())
        if abs(value) > 1e-12 or u > 1e-12:
            splits.append(Split(part, value, u))
    rest = one.value - predicted - sum(split.value for split in splits)
    return tuple(sorted(splits, key=lambda split: -abs(split.value))), rest


#: Fields that are learnt, and the column of their row.
_LEARNT = {
    "fibre_mass_fraction": "fibre_mass_fraction",
    "soak": "soak",
    "solid_density": "density",
}


def lessons(
    readings: Sequence[Reading],
    found: Findings,
    layers: Sequence[StackLayer],
    error: float,
    rows: Mapping[str, str] = MappingProxyType({}),
) -> tuple[Lesson, ...]:
    """What a piece tells of the values of the catalogue that it was predicted with.

    The causes to be learnt start without any belief, all others with their spread: nothing that
    the catalogue says of a value is counted twice when its house value is worked. A value that
    the readings do not pin down is no lesson.

    rows : by the name of a cause, the row it is of where the panel file gave a value of its own.
    """
    causes = Causes(layers)

    def row_of(cause: Cause) -> str:
        return cause.row or rows.get(cause.name, "")

    seen = observations(readings, found, causes, error)
    names = {one.name for one in seen}
    wanted = {"fibre_mass_fraction"}
    if "areal mass" in names and {"thickness", "faces"} & names:
        wanted.add("soak")
    if {"core mass", "core thickness"} <= names:
        wanted.add("solid_density")
    learnt = [
        number
        for number, cause in enumerate(causes.causes)
        if cause.field in wanted and row_of(cause).count("/") == 1
    ]
    if not learnt or not {"areal mass", "thickness"} & names:
        return ()
    spread = np.ones(causes.count)
    spread[learnt] = FLAT
    done = _update(causes, seen, spread)
    told = []
    for number in learnt:
        cause, u = causes.causes[number], float(np.sqrt(done.covariance[number, number]))
        if u < LEARNT:
            key = f"{row_of(cause)}/{_LEARNT[cause.field]}"
            per = _times(causes, cause)
            value = (cause.value + float(done.z[number]) * cause.sd) / per
            told.append(Lesson(key, value, u * cause.sd / per))
    return tuple(told)


def _times(causes: Causes, cause: Cause) -> float:
    """How many faces a cause's first place stands for: the soak of two faces is one input."""
    if cause.field != "soak":
        return 1.0
    source = next(
        la.inputs["soak"].source
        for la in causes.layers
        if "soak" in la.inputs and la.inputs["soak"].cause == cause.name
    )
    return 2.0 if source.startswith("2 × ") else 1.0
