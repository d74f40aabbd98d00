"""Where a number comes from, how far it can be trusted, and how far it may be off."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

#: Half-width of the 90 % range of a normal distribution, in standard deviations.
SIGMAS_OF_90 = 1.6448536269514722


class Evidence(StrEnum):
    """What kind of ground a value stands on; listed from the strongest to the weakest."""

    MEASURED = "measured here"
    GIVEN = "given by you"
    PUBLISHED = "published and read"
    MEMORY = "from memory of a document"
    PRACTICE = "common practice"
    ESTIMATED = "estimated by a formula"

    @property
    def word(self) -> str:
        """The kind in one word, for narrow columns."""
        return self.name.lower()

    @property
    def rank(self) -> int:
        """0 for the strongest."""
        return _RANKS[self]


_RANKS = {kind: place for place, kind in enumerate(Evidence)}


def weakest(kinds: list[Evidence]) -> Evidence:
    """The weakest of several kinds of evidence; ESTIMATED where there is none."""
    return max(kinds, key=lambda kind: kind.rank, default=Evidence.ESTIMATED)


class Scope(StrEnum):
    """What shares one draw of a cause."""

    MATERIAL = "material"  # one draw for each material in the panel
    PROCESS = "process"  # one draw for the panel
    LAYER = "layer"  # one draw for layers written in the same words


@dataclass(frozen=True)
class Input:
    """A number in SI with its 90 % range, source and evidence: what a formula may start from.

    ``low`` and ``high`` are the 5 and 95 % points; they may lie at unlike distances from
    ``value``. ``cause`` names what varies: inputs of one cause move together.
    """

    value: float
    low: float
    high: float
    source: str
    evidence: Evidence
    cause: str
    scope: Scope = Scope.MATERIAL
    row: str = ""  # "table/id" of the catalogue; empty where it is from elsewhere

    def __post_init__(self) -> None:
        if not (self.low <= self.value <= self.high) or not math.isfinite(self.value):
            raise ValueError(f"{self.cause}: {self.low} <= {self.value} <= {self.high} must hold")

    @property
    def sd_below(self) -> float:
        """Standard deviation of the half below the middle."""
        return (self.value - self.low) / SIGMAS_OF_90

    @property
    def sd_above(self) -> float:
        """Standard deviation of the half above the middle."""
        return (self.high - self.value) / SIGMAS_OF_90


#: Least relative standard deviation of a value without a range of its own, by evidence.
#: From memory at least 10 %, strengths 15 %. The density of a solid without pores is bounded
#: by its chemistry and does not wander by 10 %: 3 % (see docs, "Choices").
LEAST_SPREAD = {
    Evidence.MEASURED: 0.01,
    Evidence.GIVEN: 0.0,
    Evidence.PUBLISHED: 0.03,
    Evidence.MEMORY: 0.10,
    Evidence.PRACTICE: 0.10,
    Evidence.ESTIMATED: 0.10,
}
LEAST_SPREAD_OF_STRENGTH = 0.15
SPREAD_OF_SOLID_DENSITY = 0.03


def default_spread(evidence: Evidence, quantity: str) -> float:
    """Relative standard deviation of a value that has no range of its own.

    quantity : name of the column, such as ``density`` or ``tensile_strength``.
    """
    least = LEAST_SPREAD[evidence]
    if "strength" in quantity and least >= LEAST_SPREAD[Evidence.MEMORY]:
        return max(least, LEAST_SPREAD_OF_STRENGTH)
    if quantity.startswith("density"):
        return min(least, SPREAD_OF_SOLID_DENSITY)
    return least
