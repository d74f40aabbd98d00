"""Marks on photos of a cut edge: the scale, the way the layers run, and how thick they are.

A mark is two readings in px. Boundary 0 is the outside face, boundary k lies beneath layer k, the
last is the inside face. Marks of one number of a place lie on one line through the panel. A mark at
``0 0`` is one that was taken away.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property

import numpy as np

from panelwright.errors import InputError, Problem
from panelwright.mechanics import edge as formulas
from panelwright.mechanics.arrays import Array
from panelwright.mechanics.uncertainty import reading_uncertainty
from panelwright.samples.budget import Budget, Known, budget
from panelwright.samples.readings import KINDS, Reading

#: Places nearer to their middle than so many uncertainties of a mark tell no direction: a tilt of
#: one in ten makes half a percent of thickness.
FAR_ENOUGH = 10.0


@dataclass(frozen=True)
class Mark:
    """A place in a picture, px, and the standard uncertainty of where it was set."""

    x: float
    y: float
    u: float


@dataclass(frozen=True)
class Span:
    """The layers between two boundaries, and how thick they are, m."""

    first: int  # the layer beneath the upper boundary, from 1
    last: int
    places: int
    thickness: Budget


@dataclass(frozen=True)
class Photo:
    """The marks that stand on one photo; ``name``: how its readings are told from another's."""

    name: str
    length: Known | None
    scale: Mapping[str, Mark]
    places: Mapping[str, Mapping[int, Mark]] = field(default_factory=dict)

    @property
    def missing(self) -> str:
        """What it needs before anything can be found on it; empty where it has all."""
        if self.length is None:
            return "the length between the scale marks"
        if not {"1", "2"} <= self.scale.keys():
            return "two scale marks"
        if not any(len(marks) > 1 for marks in self.places.values()):
            return "marks on two boundaries at one place"
        return ""

    @cached_property
    def scale_marks(self) -> Known:
        """How far the scale marks are apart, px."""
        one, two = self.scale["1"], self.scale["2"]
        apart = float(formulas.distance_of_marks(two.x - one.x, two.y - one.y))
        if apart <= 0.0:
            what = "the two scale marks lie on one point"
            raise InputError(Problem(what, hint="one at each end of the length", key="scale mark"))
        u = float(formulas.distance_uncertainty(0.0, max(one.u, two.u), 1.0))
        return Known("scale marks", apart, u, "read")

    @cached_property
    def px_per_m(self) -> float:
        """Scale of the picture."""
        assert self.length is not None
        return self.scale_marks.value / self.length.value

    @cached_property
    def direction(self) -> float:
        """Which way the layers run, rad; with one place, square to its marks.

        The inside lies on the side that y turns to.
        """
        by_boundary: dict[int, list[Mark]] = {}
        for marks in self.places.values():
            for boundary, mark in marks.items():
                by_boundary.setdefault(boundary, []).append(mark)
        away = [
            (mark.x - float(np.mean([m.x for m in of])), mark.y - float(np.mean([m.y for m in of])))
            for of in by_boundary.values()
            for mark in of
        ]
        inwards = self._inwards()
        along, down = np.array(away).T
        placing = max(mark.u for of in by_boundary.values() for mark in of)
        if np.hypot(along, down).max() < FAR_ENOUGH * placing:
            return float(np.arctan2(-inwards[0], inwards[1]))
        turn = float(formulas.direction_of_layers(along, down))
        if float(formulas.distance_across(inwards[0], inwards[1], turn)) < 0.0:
            turn += np.pi
        return turn

    def _inwards(self) -> tuple[float, float]:
        """From the outermost mark of each place to its innermost, summed, px."""
        ends = [
            (marks[min(marks)], marks[max(marks)])
            for marks in self.places.values()
            if len(marks) > 1
        ]
        return sum(b.x - a.x for a, b in ends), sum(b.y - a.y for a, b in ends)

    def apart(self, upper: int, lower: int) -> Array:
        """How far two boundaries are apart at each place that shows both, px square to them."""
        pairs = [(m[upper], m[lower]) for m in self.places.values() if {upper, lower} <= m.keys()]
        if not pairs:
            return np.zeros(0)
        along, down = np.array([(b.x - a.x, b.y - a.y) for a, b in pairs]).T
        return formulas.distance_across(along, down, self.direction)

    @cached_property
    def boundaries(self) -> tuple[int, ...]:
        """All boundaries that are marked anywhere, from the outside in."""
        return tuple(sorted({boundary for marks in self.places.values() for boundary in marks}))

    def spans(self) -> Iterator[Span]:
        """What lies between neighbouring boundaries, from the outside in."""
        for upper, lower in zip(self.boundaries, self.boundaries[1:], strict=False):
            found = self.span(upper, lower)
            if found is not None:
                yield found

    def span(self, upper: int, lower: int) -> Span | None:
        """The layers between two boundaries; None where no place shows both.

        Raises :class:`InputError` where the lower mark lies above the upper.
        """
        apart = self.apart(upper, lower)
        if not len(apart):
            return None
        if np.min(apart) <= 0.0:
            what = f"the marks are out of order: boundary {lower} lies above boundary {upper}"
            raise InputError(Problem(what, hint="the marks of one place", key="edge mark"))
        return Span(upper + 1, lower, len(apart), self._length_of(apart))

    def faces(self, core: tuple[int, int], last: int) -> Budget | None:
        """All but what lies between two boundaries; None where no place shows all four marks."""
        needed = {0, *core, last}
        full = [marks for marks in self.places.values() if needed <= marks.keys()]
        if not full:
            return None
        of = replace(self, places={f"{n}": marks for n, marks in enumerate(full)})
        return self._length_of(of.apart(0, last) - of.apart(*core), pairs=2.0)

    def _length_of(self, apart: Array, pairs: float = 1.0) -> Budget:
        """A length in the picture, px at each place, as m; between ``pairs`` of marks."""
        assert self.length is not None
        placing = pairs**0.5 * max(m.u for marks in self.places.values() for m in marks.values())
        scatter = float(np.std(apart, ddof=1)) if len(apart) > 1 else 0.0
        u = float(formulas.distance_uncertainty(scatter, placing, float(len(apart))))
        marks = Known("marks on the boundaries", float(np.mean(apart)), u, "read")
        return budget(_thickness, [marks, self.scale_marks, self.length])


def _thickness(x: Mapping[str, Array]) -> Array:
    return formulas.length_by_scale(
        x["marks on the boundaries"], x["scale marks"], x["scale length"]
    )


def _u(reading: Reading) -> float:
    """Of the reading of a mark: the point of the pointer, and how far off a mark is set."""
    return float(np.hypot(reading_uncertainty(reading.division), KINDS[reading.what].usual))


def _marks(readings: Sequence[Reading], kind: str) -> dict[str, Mark]:
    """Marks by their place, the last that stands of each; those taken away are left out."""
    found = {
        axis: {one.at: one for one in readings if one.what == f"{kind} {axis}"} for axis in "xy"
    }
    both = found["x"].keys() & found["y"].keys()
    return {
        at: Mark(x.value, y.value, max(_u(x), _u(y)))
        for at in found["x"]
        if at in both
        for x, y in [(found["x"][at], found["y"][at])]
        if (x.value, y.value) != (0.0, 0.0)
    }


def photos_of(readings: Sequence[Reading], layers: int) -> tuple[Photo, ...]:
    """The photos that are marked, by name.

    layers : how many the panel has. Raises :class:`InputError` for a boundary that it has not.
    """
    lengths = {one.at: one for one in readings if one.what == "scale length"}
    scale: dict[str, dict[str, Mark]] = {}
    for at, mark in _marks(readings, "scale").items():
        name, _, end = at.rpartition("/")
        scale.setdefault(name, {})[end] = mark
    places: dict[str, dict[str, dict[int, Mark]]] = {}
    for at, mark in _marks(readings, "edge").items():
        rest, _, boundary = at.rpartition("/")
        name, _, place = rest.rpartition("/")
        number = _boundary(boundary, at, layers)
        places.setdefault(name, {}).setdefault(place, {})[number] = mark
    return tuple(
        Photo(name, _length(lengths.get(name)), scale.get(name, {}), places.get(name, {}))
        for name in dict.fromkeys((*lengths, *scale, *places))
    )


def _boundary(text: str, at: str, layers: int) -> int:
    if text.isdecimal() and int(text) <= layers:
        return int(text)
    allowed = f"place/boundary, boundary 0 (outside face) to {layers} (inside face)"
    raise InputError(Problem("there is no such boundary", at, allowed, key="edge mark"))


def _length(reading: Reading | None) -> Known | None:
    if reading is None:
        return None
    return Known("scale length", reading.value, _u(reading), "read")
