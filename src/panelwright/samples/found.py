"""What readings of a piece come to: plain data, SI units."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from panelwright.provenance import SIGMAS_OF_90
from panelwright.samples.budget import TOLD, Contribution, Known
from panelwright.samples.edge import Photo


@dataclass(frozen=True)
class Finding:
    """What some readings come to, SI: value, standard uncertainty, who makes it unsure.

    ``told`` : whether it can be told from zero (k = 2); None where zero is no question.
    ``note`` : said beside it.
    """

    name: str
    value: float
    u: float
    dimension: str
    u_drawn: float | None = None
    contributions: tuple[Contribution, ...] = ()
    told: bool | None = None
    note: str = ""

    @property
    def low(self) -> float:
        """The 5 % point."""
        return self.value - SIGMAS_OF_90 * self.u

    @property
    def high(self) -> float:
        """The 95 % point."""
        return self.value + SIGMAS_OF_90 * self.u


@dataclass(frozen=True)
class ThicknessMap:
    """Thickness over a piece: the points as read, m, and what they scatter."""

    points: tuple[tuple[str, float], ...]
    mean: float
    scatter: float | None  # standard deviation; None for one point
    least: float
    most: float
    half_width_95: float | None  # of the mean


@dataclass(frozen=True)
class Closure:
    """Whether readings that must agree do: the gap over its uncertainty."""

    says: str
    gap: float
    u: float
    dimension: str

    @property
    def closes(self) -> bool:
        """Within two standard uncertainties."""
        return abs(self.gap) <= TOLD * self.u


@dataclass(frozen=True)
class EdgeLayer:
    """Layers between two boundaries on a photo, m: found, and predicted with its 90 % range.

    ``first``, ``last`` : of the layers, from 1 at the outside.
    """

    first: int
    last: int
    found: Finding
    places: int
    predicted: float
    low: float
    high: float


@dataclass(frozen=True)
class Edge:
    """What the marks on one photo of a cut edge come to; ``whole``: where both faces show."""

    photo: Photo
    layers: tuple[EdgeLayer, ...] = ()
    whole: EdgeLayer | None = None


@dataclass(frozen=True)
class Findings:
    """All findings of a piece."""

    found: tuple[Finding, ...]
    map: ThicknessMap | None = None
    closures: tuple[Closure, ...] = ()
    missing: tuple[str, ...] = ()
    edges: tuple[Edge, ...] = ()
    worked: Mapping[str, Known] = field(default_factory=dict)  # what photos stand in for

    def get(self, name: str) -> Finding | None:
        """A finding by its name."""
        return next((one for one in self.found if one.name == name), None)
