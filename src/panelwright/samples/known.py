"""What is known of a piece to reduce it: its readings by kind, and what the book says instead."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np

from panelwright.mechanics.arrays import Array, array, ratio
from panelwright.mechanics.uncertainty import (
    combined_uncertainty,
    mean_uncertainty,
    reading_uncertainty,
)
from panelwright.panels.evaluate import evaluate
from panelwright.panels.spread import drawn_stack, ends
from panelwright.panels.stack import StackLayer, stack_of
from panelwright.samples.budget import Known
from panelwright.samples.readings import ADDING, KINDS, Reading

DRAWS = 512


@dataclass(frozen=True)
class Book:
    """What the panel was predicted with, as far as a balance needs it; layers of the stack."""

    layers: Sequence[StackLayer]
    areal_mass: Known | None = None

    @cached_property
    def _middle(self) -> Mapping[str, Array]:
        stack = stack_of(list(self.layers))
        return {**vars(stack), **vars(evaluate(stack))}

    @cached_property
    def _many(self) -> Mapping[str, Array]:
        stack = drawn_stack(list(self.layers), DRAWS)
        return {**vars(stack), **vars(evaluate(stack))}

    def known(self, name: str, of: Callable[[Mapping[str, Array]], Array]) -> Known:
        """A value of the prediction with its spread."""
        return Known(name, float(of(self._middle)), float(np.std(of(self._many))), "the book")

    @cached_property
    def is_cloth(self) -> Array:
        """1 for each layer of cloth."""
        return np.array([layer.kind == "cloth" for layer in self.layers], dtype=float)

    @cached_property
    def has_cloth(self) -> bool:
        """Whether there is any cloth."""
        return bool(np.any(self.is_cloth))

    @cached_property
    def laid(self) -> Array:
        """Which layer as laid each layer of the stack belongs to, from 0 at the outside."""
        return np.array([layer.laid for layer in self.layers])

    @cached_property
    def laid_count(self) -> int:
        """How many layers were laid."""
        return int(self.laid.max()) + 1 if len(self.layers) else 0

    def thickness_of(self, first: int, last: int) -> tuple[float, float, float]:
        """Layers as laid, from 1: predicted thickness with its 90 % range, m."""
        of = (self.laid >= first - 1) & (self.laid <= last - 1)
        middle = float(np.sum(self._middle["layer_thickness"][of]))
        low, high = ends(np.sum(self._many["layer_thickness"][:, of], axis=-1))
        return middle, min(low, middle), max(high, middle)

    @cached_property
    def core_laid(self) -> tuple[int, int] | None:
        """First and last layer of the core, from 1; None where films lie among what is solid."""
        solid = np.array(["solid_thickness" in layer.inputs for layer in self.layers])
        laid = self.laid[solid]
        if not len(laid):
            return None
        first, last = int(laid.min()), int(laid.max())
        within = (self.laid >= first) & (self.laid <= last)
        if np.any(self._middle["layer_thickness"][within & ~solid] > 0.0):
            return None
        return first + 1, last + 1

    @cached_property
    def is_cored(self) -> bool:
        """Whether there is timber or core between or under the cloth."""
        return any("solid_thickness" in layer.inputs for layer in self.layers)

    @cached_property
    def has_moisture(self) -> bool:
        """Whether its core holds water that comes and goes."""
        return any("moisture" in layer.inputs for layer in self.layers)

    @property
    def cloth(self) -> Known:
        """Dry cloth, kg/m2, with its stitching and its own water."""
        return self.known(
            "cloth mass", lambda x: np.sum(x["fibre"] + x["thread"] + x["water"], axis=-1)
        )

    @property
    def core(self) -> Known:
        """Core, timber and sheets, kg/m2."""
        return self.known("core mass", lambda x: np.sum(x["solid"], axis=-1))

    @property
    def core_thickness(self) -> Known:
        """Of all that is solid, m."""
        return self.known("core thickness", lambda x: np.sum(x["solid_thickness"], axis=-1))

    @property
    def films(self) -> Known:
        """Glue, coats, seal films and kerfs, kg/m2."""
        return self.known(
            "glue and coats", lambda x: np.sum(x["film"] + x["edge"] + x["kerf"], axis=-1)
        )

    @property
    def film_thickness(self) -> Known:
        """Of glue lines, coats and seal films, m."""

        def whole(x: Mapping[str, Array]) -> Array:
            mass, density = x["film"], x["film_density"]
            return array(np.sum(ratio(mass, density), axis=-1))

        return self.known("thickness of glue and coats", whole)

    @property
    def fibre_density(self) -> Known:
        """Of all fibre together, kg/m3."""

        def mean(x: Mapping[str, Array]) -> Array:
            mass, density = x["fibre"], x["fibre_density"]
            return array(np.sum(mass, axis=-1) / np.sum(ratio(mass, density), axis=-1))

        return self.known("fibre density", mean)

    @property
    def resin_density(self) -> Known:
        """Of the cured resin of the cloth, kg/m3."""
        return self.known("resin density", self._of_cloth("resin_density"))

    @property
    def voids(self) -> Known:
        """Void fraction of the cloth."""
        return self.known("voids", self._of_cloth("void_fraction"))

    def _of_cloth(self, name: str) -> Callable[[Mapping[str, Array]], Array]:
        return lambda x: np.sum(x[name] * self.is_cloth, axis=-1) / np.sum(self.is_cloth)

    @property
    def moisture(self) -> Known:
        """Moisture of the timber when it was glued."""
        wet = np.array(["moisture" in layer.inputs for layer in self.layers], dtype=float)
        return self.known(
            "core moisture", lambda x: np.sum(x["moisture"] * wet, axis=-1) / np.sum(wet)
        )


@dataclass(frozen=True)
class Bag:
    """The readings of a piece that stand, by kind; ``worked``: what others of them stand for."""

    readings: tuple[Reading, ...]
    worked: Mapping[str, Known] = field(default_factory=dict)
    by_kind: Mapping[str, tuple[Reading, ...]] = field(init=False)

    def __post_init__(self) -> None:
        kinds: dict[str, list[Reading]] = {}
        for one in self.readings:
            kinds.setdefault(one.what, []).append(one)
        object.__setattr__(self, "by_kind", {name: tuple(of) for name, of in kinds.items()})

    def has(self, *names: str) -> bool:
        """Whether all of these were read."""
        return all(name in self.by_kind or name in self.worked for name in names)

    def values(self, name: str) -> Array:
        """All readings of a kind."""
        return np.array([one.value for one in self.by_kind.get(name, ())])

    def known(self, name: str, *, first: bool = False) -> Known:
        """A kind with its uncertainty: the mean, or of pots and the like the sum over its places.

        first : the first reading alone. A reading without a place is of the whole, and stands
        before those of the pots.
        """
        if name not in self.by_kind:
            return self.worked[name]
        of = self.by_kind[name][:1] if first else self.by_kind[name]
        if name not in ADDING or any(not one.at for one in of):
            return self._mean(name, [one for one in of if name not in ADDING or not one.at])
        places = dict.fromkeys(one.at for one in of)
        each = [self._mean(name, [one for one in of if one.at == place]) for place in places]
        u = combined_uncertainty(np.ones(len(each)), np.array([one.u for one in each]))
        total = math.fsum(one.value for one in each)
        return Known(name, total, float(u), f"{len(each)} added up" if len(each) > 1 else "read")

    @property
    def unweighed_pots(self) -> int:
        """Pots that were mixed and not weighed, where each was to be."""
        of = self.by_kind.get("resin mixed", ())
        if "pots" not in self.by_kind or any(not one.at for one in of):
            return 0
        weighed = {one.at for one in of if one.value > 0.0}
        return max(0, round(self.known("pots").value) - len(weighed))

    @staticmethod
    def _mean(name: str, of: Sequence[Reading]) -> Known:
        values = np.array([one.value for one in of])
        step = max(one.division for one in of)
        shared = float(np.hypot(reading_uncertainty(step), KINDS[name].usual))
        scatter = float(np.std(values, ddof=1)) if len(values) > 1 else 0.0
        u = float(mean_uncertainty(scatter, len(values), shared))
        count = f"{len(values)} readings" if len(values) > 1 else "read"
        return Known(name, float(values.mean()), u, count)
