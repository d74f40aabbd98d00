"""What comes of checking a panel against its duties, as records. SI units."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from panelwright.panels.spread import Ranged

#: Version of what machines read.
SCHEMA = 1
#: Judgements; a limit that is kept at the middle value alone is kept only just.
KEPT, ONLY_JUST, NOT_KEPT = "yes", "only just", "no"
AT_MOST, AT_LEAST = "at most", "at least"


def least_kept(kept: Iterable[str]) -> str:
    """The judgement of several together: that of the worst of them."""
    found = set(kept)
    return next((word for word in (NOT_KEPT, ONLY_JUST) if word in found), KEPT)


@dataclass(frozen=True)
class LimitRecord:
    """One limit: what is found, what is allowed, and what governs it.

    ``value`` : None where it is not known, and then ``kept`` is never yes. ``governs`` : layer,
    place and mode, or what else the value is of. ``last_change`` : of the value on refinement.
    """

    name: str
    dimension: str
    sense: str
    limit: float
    limit_text: str
    value: Ranged | None
    kept: str
    governs: str
    held: str = ""
    last_change: float = 0.0

    @property
    def used(self) -> float | None:
        """Share of the limit that is used up; over 1 it is not kept."""
        if self.value is None or self.value.value <= 0.0:
            return None
        return self._share(self.value.value)

    def _share(self, value: float) -> float:
        ratio = value / self.limit
        return ratio if self.sense == AT_MOST else 1.0 / ratio

    @property
    def share_at_worst(self) -> float:
        """The same at the unfavourable end of the range; infinite where it is not known."""
        if self.value is None:
            return math.inf
        end = self.value.high if self.sense == AT_MOST else self.value.low
        return self._share(end) if end > 0.0 else math.inf

    @property
    def share(self) -> Ranged | None:
        """The same with its range, the favourable end first; None where it is not known."""
        if self.value is None or self.value.low <= 0.0:
            return None
        low, high = sorted(self._share(end) for end in (self.value.low, self.value.high))
        return replace(
            self.value, value=self._share(self.value.value), low=low, high=high, unit="-"
        )


@dataclass(frozen=True)
class WayRecord:
    """The panel held one way: deflection inwards, reserve factors, what ends it."""

    held: str
    edges: tuple[str, str, str, str]  # left, right, bottom, top
    deflection: Ranged
    last_change: float
    first_damage: Ranged | None
    first_governs: str
    first_change: float
    reserve: Ranged | None
    governs: str
    change: float


@dataclass(frozen=True)
class LoadRecord:
    """A load as it acts: ``over`` its footprint, from, to along and across, m."""

    words: str
    source: str
    force: float  # N, positive inwards
    pressure: float  # Pa, mean
    over: tuple[tuple[float, float], tuple[float, float]] | None


@dataclass(frozen=True)
class ThroughRecord:
    """Stress along the fibre or grain in one layer, outer and inner face, Pa, at heights, m."""

    layer: str
    top: float
    bottom: float
    stresses: tuple[float, float]


@dataclass(frozen=True)
class DutyRecord:
    """A panel under one duty. ``deflections`` : inwards on an even grid, along by across, m."""

    name: str
    kept: str
    length: float
    width: float
    strip: str
    limits: tuple[LimitRecord, ...]
    ways: tuple[WayRecord, ...]
    loads: tuple[LoadRecord, ...]
    lasts: float | None
    after: Ranged | None  # deflection once the load has lasted
    after_unknown: tuple[str, ...]
    unsure: str  # how much is due to edges that nobody is sure of
    by_hand: float | None
    assumes: tuple[str, ...]
    warnings: tuple[str, ...]
    not_covered: tuple[str, ...]
    deflections: tuple[tuple[float, ...], ...] = ()
    through: tuple[ThroughRecord, ...] = ()
    governing_layer: int | None = None  # place in ``through``
    unknown_strength: tuple[str, ...] = ()  # whose strength under loads that last nobody knows

    @property
    def deflection(self) -> Ranged | None:
        """The largest, once the load has lasted; None where nobody knows how a layer creeps."""
        now = max((way.deflection for way in self.ways), key=lambda one: one.value)
        return None if self.after_unknown else self.after or now

    @property
    def governing(self) -> LimitRecord | None:
        """The limit that is used up most at the unfavourable end of its range."""
        return max(self.limits, key=lambda one: one.share_at_worst, default=None)
