"""What a line-up is once it is made: plain data for faces and files. SI units."""

from __future__ import annotations

from dataclasses import dataclass

from panelwright.panels.records import LayerRecord
from panelwright.panels.spread import Ranged
from panelwright.panels.verdicts import DutyRecord

#: Version of the machine output of a line-up.
SCHEMA = "panelwright/lineup/1"
#: What panels may be made equal in.
STIFFNESS, STRENGTH, MASS, THICKNESS, COST = "stiffness", "strength", "mass", "thickness", "cost"
EQUAL = (STIFFNESS, STRENGTH, MASS, THICKNESS, COST)
ALONG, ACROSS, WEAKER = "along", "across", "weaker"
#: The term that makes nothing equal: each is as thick as just keeps what it must bear.
KEEP = "just keeping the duty"
#: Which end of a row is the better one.
MOST, LEAST = "most", "least"


@dataclass(frozen=True)
class Terms:
    """On what terms panels are lined up.

    ``equal`` : one of ``EQUAL`` or ``KEEP``, empty for as they are; ``way`` : of stiffness and
    strength; ``level`` : of strength; ``part`` : ``core``, ``faces``, ``all``, empty for the usual
    one; ``whole`` : whole plies and the next sheet there is.
    """

    equal: str = ""
    way: str = WEAKER
    level: str = "first damage"
    part: str = ""
    whole: bool = False


@dataclass(frozen=True)
class Change:
    """What was done to a panel to meet the terms: the part, how many times as thick, m."""

    part: str
    size: float
    before: float
    after: float
    rounded: str = ""  # in words, where whole plies or a sheet were asked for


@dataclass(frozen=True)
class Cell:
    """One panel's place in a row; ``said`` : a word beside the value, or why there is none.

    ``is_measured`` : on the piece that stands there; else it is predicted.
    """

    value: Ranged | None
    said: str = ""
    is_measured: bool = False


@dataclass(frozen=True)
class Row:
    """One property of all panels. ``verdict`` : the best in words; empty where none is asked."""

    key: str
    name: str
    dimension: str
    better: str
    cells: tuple[Cell, ...]
    verdict: str = ""


@dataclass(frozen=True)
class Cause:
    """One cause of a difference and the factor it makes.

    ``name`` : of ``panels.lineup.CAUSES``; ``own``, ``other`` : thickness of the part in the two
    panels, m; ``of``, ``in_place_of`` : what it is made of, in words.
    """

    name: str
    factor: float
    own: float
    other: float
    of: str
    in_place_of: str


@dataclass(frozen=True)
class Why:
    """Why one panel has more of something than another: the factors multiply to ``ratio``.

    ``key`` : of the row; ``panel``, ``against`` : places in the line-up, the larger value first;
    ``causes`` : the most telling first.
    """

    key: str
    panel: int
    against: int
    ratio: float
    causes: tuple[Cause, ...]


@dataclass(frozen=True)
class Specific:
    """Modulus for its density: pulled, bent as a plate, sheared; m2/s2 and Pa^(1/3) m3/kg."""

    density: float
    modulus: float
    shear: float
    pulled: float
    bent: float
    sheared: float


@dataclass(frozen=True)
class Corrected:
    """A material of a panel beside its handbook, each with its values for its density."""

    layer: str
    kind: str  # "fibre", "timber", "core" or "solid"
    here: Specific
    handbook: Specific


@dataclass(frozen=True)
class Shares:
    """Each layer's part of the bending stiffness, along and across."""

    bending_shares: tuple[tuple[float, float], ...]


@dataclass(frozen=True)
class Member:
    """One panel of a line-up, as it stands there. ``letter`` : A, B, C ...

    ``is_piece`` : what was measured of it stands in its rows, unless it was scaled.
    """

    letter: str
    title: str
    handbook_only: bool
    change: Change | None
    layers: tuple[LayerRecord, ...]
    section: Shares | None
    corrected: tuple[Corrected, ...] = ()
    sources: tuple[str, ...] = ()
    is_piece: bool = False


@dataclass(frozen=True)
class LineUp:
    """Several panels on equal terms. ``notes`` : what holds for the whole, in sentences.

    ``duties`` : rows of the duties that are ``asked``, by number; each of these as the first
    panel answers it whose stiffness is known.
    """

    terms: Terms
    members: tuple[Member, ...]
    rows: tuple[Row, ...]
    why: tuple[Why, ...]
    notes: tuple[str, ...] = ()
    currency: str = ""
    duties: tuple[Row, ...] = ()
    asked: tuple[DutyRecord, ...] = ()

    def row(self, key: str) -> Row:
        """The row of a key. Raises KeyError."""
        return {row.key: row for row in (*self.rows, *self.duties)}[key]
