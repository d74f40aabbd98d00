"""Panels as they come to a line-up, and as they stand in it once they are evaluated."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from panelwright.jobs.predict import Evaluated, evaluate_panel, stiffen
from panelwright.jobs.stiffness import Stiffened
from panelwright.jobs.strength import bending_records
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics.arrays import Array
from panelwright.panels.checks import refuse_impossible
from panelwright.panels.description import Description
from panelwright.panels.lineup import part_of, stacked
from panelwright.panels.lineup_records import Change
from panelwright.panels.records import StrengthRecord
from panelwright.panels.reference import described_solid, resolve_solid, solid_in
from panelwright.panels.resolve import Resolved, resolve
from panelwright.panels.shop_words import sized
from panelwright.panels.spread import Driver, Ranged, ranged
from panelwright.panels.stack import StackLayer
from panelwright.provenance import Evidence
from panelwright.samples.found import Findings


@dataclass(frozen=True)
class Entrant:
    """A panel as it comes to a line-up.

    ``handbook_only`` : nobody here made it; ``name`` : in place of the title of its file;
    ``findings`` : what was measured of it, where it is a piece.
    """

    resolved: Resolved
    handbook_only: bool = False
    has_thickness: bool = True
    name: str = ""
    findings: Findings | None = None

    @property
    def title(self) -> str:
        """What it is called."""
        panel = self.resolved.description
        return self.name or panel.panel.title or panel.file


def entrant(description: Description, catalogue: Catalogue) -> Entrant:
    """A described panel. Raises :class:`InputError` as :func:`resolve` does."""
    return Entrant(resolve(description, catalogue))


def known_solid(words: str, catalogue: Catalogue) -> Entrant | None:
    """A known solid such as "3 mm steel"; None where the words name none."""
    found, description = solid_in(words, catalogue), described_solid(words, catalogue)
    if found is None or description is None:
        return None
    resolved = resolve_solid(description, found[1], catalogue)
    return Entrant(resolved, handbook_only=True, has_thickness=bool(sized(words)[0]))


def finding(one: Entrant, name: str, unit: str) -> Ranged | None:
    """What was measured of a piece, its uncertainty as a range of 9 in 10; None where it was not.

    name : of a finding; unit : SI.
    """
    found = None if one.findings is None else one.findings.get(name)
    if found is None:
        return None
    drivers = (Driver(c.name, c.share, Evidence.MEASURED) for c in found.contributions)
    return Ranged(found.value, found.low, found.high, unit, Evidence.MEASURED, tuple(drivers))


@dataclass(frozen=True)
class Stood:
    """A panel as it stands in the line-up, evaluated."""

    entrant: Entrant
    change: Change | None
    times: Array  # how many times as thick each layer is as described
    done: Evaluated
    stiff: Stiffened | None
    strength: tuple[StrengthRecord, ...]

    @property
    def layers(self) -> list[StackLayer]:
        """The layers of its stack."""
        return self.done.resolved.layers

    def found(self, name: str, unit: str) -> Ranged | None:
        """What was measured of it, with its uncertainty as a range of 9 in 10.

        name : of a finding. None where it was not, and for a panel scaled away from its piece.
        """
        return None if self.change is not None else finding(self.entrant, name, unit)

    def ranged(self, middle: Array, drawn: Array, unit: str) -> Ranged:
        """A result from its middle value and its draws."""
        return ranged(middle, drawn, unit, self.done.causes)


def stood(one: Entrant, resolved: Resolved, change: Change | None, draws: int) -> Stood:
    """A panel evaluated on its terms. Raises :class:`InputError` for one that cannot be."""
    _, build = stacked(resolved)
    refuse_impossible(resolved, build)
    done = evaluate_panel(resolved, draws)
    stiff = stiffen(done)
    strength = () if stiff is None else tuple(bending_records(stiff, resolved.layers))
    times = np.ones(len(resolved.layers))
    if change is not None:
        times = np.where(part_of(resolved.layers, change.part) > 0.0, change.size, 1.0)
    return Stood(one, change, times, done, stiff, strength)
