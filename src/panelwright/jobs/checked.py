"""A panel ready to be held against its duties: what it is, and how its results are told."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from panelwright.jobs.predict import Evaluated
from panelwright.jobs.stiffness import Stiffened
from panelwright.jobs.strength import PLACES, Named, unknown_strength
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics.arrays import Array
from panelwright.panels import duty
from panelwright.panels.description import Description
from panelwright.panels.duty import Borne, Field, Panel, Reserve
from panelwright.panels.spread import Ranged, with_model_error


@dataclass(frozen=True)
class Checked:
    """A panel and its draws, ready to be bent."""

    description: Description
    catalogue: Catalogue
    done: Evaluated
    stiff: Stiffened
    middle: Panel
    drawn: Panel
    between: Callable[[], None]

    @property
    def unknown(self) -> tuple[str, ...]:
        """Layers of no known strength: a reserve by the others alone would be too high."""
        return tuple(unknown_strength(self.done.resolved.layers))

    def ranged(self, middle: float, draws: Array, unit: str, error: str) -> Ranged:
        """A result with the range of its draws and of the model."""
        off = with_model_error(draws, self.stiff.errors[error])
        return self.stiff.ranged(np.asarray(middle), off, unit)

    def reserve(self, one: Reserve) -> Ranged:
        """A reserve factor with its range."""
        error = "strength" if one.how == duty.IN_PLANE else "shear_strength"
        return self.ranged(one.at.value, one.draws, "-", error)

    def place(self, way: Borne) -> str:
        """Layer, face and place of the largest strain."""
        layer, face = way.strained
        at = f"{1e3 * way.strain.x:.0f} mm along, {1e3 * way.strain.y:.0f} mm across"
        return f"{self.done.resolved.layers[layer].name}, {PLACES[face]}, {at}"

    def governs(self, one: Reserve, level: str, field: Field) -> str:
        """What ends it, and where, in words."""
        face = ("outer", "inner")[min(one.layer, 1)]
        if one.how == duty.WRINKLES:
            return f"the {face} skin wrinkles"
        if one.how == duty.DIMPLES:
            return f"the {face} skin buckles into the cells"
        if one.how == duty.DENT:
            words = field.acting[one.load].words
            return f"the core crushes under the {face} skin, by “{words}”"
        shear = one.how == duty.IN_SHEAR
        named = Named(self.done.resolved.layers)
        layer, place, mode = named.where(one.layer, one.place, one.mode, level, shear)
        at = f"{1e3 * one.at.x:.0f} mm along, {1e3 * one.at.y:.0f} mm across"
        return ", ".join(part for part in (f"{layer}: {mode}", place, at) if part)


def least(reserves: tuple[Reserve, ...]) -> Reserve | None:
    """The reserve that governs; None where there is none."""
    return min(reserves, key=lambda one: one.at.value, default=None)


def untold(unknown: tuple[str, ...]) -> str:
    """That nobody knows the strength of some layers, and what to do."""
    whose = joined(unknown) or "the layers that bear it"
    return f"not known: the strength of {whose}; give it or test it"


def joined(names: tuple[str, ...]) -> str:
    """Names of layers in a sentence."""
    return " and of ".join(names)
