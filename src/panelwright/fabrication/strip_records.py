"""What is asked about the strips of a part, what is found, and what the trade does."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from panelwright import units
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.spread import Ranged
from panelwright.panels.stack import StackLayer
from panelwright.provenance import Input, Scope

#: Movement is told for so much more moisture, a share of the dry mass.
PERCENT = 0.01


def practice(catalogue: Catalogue, id: str, column: str = "value") -> Input:
    """What the trade does, from the table ``strip_practice``; SI."""
    row = catalogue.table("strip_practice").row(id)
    return row.input(column, cause=row.name, scope=Scope.PROCESS)


def small(value: float) -> str:
    """A thickness or a width for reading."""
    return units.show(value, "thickness")


def bend(radius: float) -> str:
    """A radius for reading: in millimetres below a metre."""
    return units.show(radius, "thickness" if radius < 1.0 else "length")


def bends(found: Ranged) -> str:
    """The range of a radius for reading."""
    return units.show_range(found.low, found.high, "thickness" if found.high < 1.0 else "length")


# --- What is asked --------------------------------------------------------------------------------


@dataclass(frozen=True)
class Station:
    """A section of the part: where, its girth, its smallest radius; m. None where it is flat."""

    at: float
    girth: float
    radius: float | None = None


@dataclass(frozen=True)
class Boards:
    """What strips are sawn from: sides of a board, m. ``kerf`` : of the shop's own saw, m."""

    width: float
    thickness: float
    length: float
    kerf: float | None = None


@dataclass(frozen=True)
class Air:
    """Air around the part: temperature, K, and relative humidity from driest to dampest."""

    temperature: float
    driest: float
    dampest: float


@dataclass(frozen=True)
class Planking:
    """A part to be planked.

    ``layer`` : of strips, as resolved; ``width`` : of a strip over bead and cove, m; ``spare`` :
    share of strip to have on top; ``along`` : smallest radius along the part, m, None where it is
    straight.
    """

    layer: StackLayer
    stations: Sequence[Station]
    spare: Input
    width: float | None = None
    along: float | None = None
    boards: Boards | None = None
    scarf: float | None = None  # slope, where the shop has its own
    air: Air | None = None  # of the shop, until both faces are glassed


# --- What is found --------------------------------------------------------------------------------


@dataclass(frozen=True)
class PlankedStation:
    """Strips at one section. m; ``bevel`` of each edge in degrees.

    ``strips`` would close the girth at their full cover; ``cover`` is what is left of each if all
    run through. None where the section is flat: ``radius`` across the strips, ``planed``,
    ``left`` (thickness once faired), ``widest`` cover for what fairing may take.
    """

    at: float
    girth: float
    strips: int
    cover: float
    share: float
    radius: float | None = None
    planed: Ranged | None = None
    left: Ranged | None = None
    widest: float | None = None
    bevel: float | None = None
    gap: float | None = None  # of square edges at the outside, m


@dataclass(frozen=True)
class Sawing:
    """Boards. ``sawn`` : thickness of a strip before fairing, m; ``loss`` : share of a board."""

    sawn: float
    kerf: float
    per_board: int
    loss: float
    scarf: float  # length, m; 0 where the boards are long enough
    pieces_per_strip: int
    pieces: int
    boards: int


@dataclass(frozen=True)
class SpringBack:
    """A bend laminated from so many plies: share of curvature lost, form to bend it on, m."""

    plies: int
    lost: float
    ply_thickness: float
    form: float
    bends_dry: bool


@dataclass(frozen=True)
class Bending:
    """How tight strips bend, m; ``asked`` is the tightest bend along them, None if straight.

    ``dry``, ``soaked`` : smallest radius to the middle of the strip; ``edgeways`` in its plane;
    ``thickest`` : that bends dry as asked.
    """

    asked: float | None
    dry: Ranged
    soaked: Ranged
    edgeways: Ranged | None
    thickest: Ranged | None
    laminated: tuple[SpringBack, ...] = ()


@dataclass(frozen=True)
class Drying:
    """Moisture at glueing, shares of the dry mass; air in which timber comes to the window."""

    now: Ranged
    least: float
    most: float
    temperature: float | None = None
    driest: float | None = None
    dampest: float | None = None
    settles: tuple[float, float] | None = None  # at the shop's driest and dampest


@dataclass(frozen=True)
class StripsRecord:
    """All of it. Lengths m, area m2, glue kg; ``angle`` of the strips from the length, degrees.

    ``count`` : strips side by side where the part is widest; ``running`` : strip that lies in the
    part, ``to_have`` with spare; ``over_area`` : what full lengths of all strips come to beyond
    ``running``; ``glue_laid``, ``glue_kept`` : between strips, without loss; ``girth_step`` : of
    the widest girth, loose, for 1 % of moisture; ``mean_left`` : thickness over the shell, each
    station taken as bent throughout; ``grounds`` : every value that was put in, with its source.
    """

    name: str
    thickness: Ranged
    cover: float
    width: float | None
    angle: float
    area: float
    count: int
    count_with_spare: int
    longest: float
    running: Ranged
    to_have: Ranged
    over_area: float
    stations: tuple[PlankedStation, ...]
    staples: int
    spacing: Ranged
    widest_spacing: float
    glue_laid: Ranged | None
    glue_kept: Ranged | None
    girth_step: Ranged | None
    drying: Drying
    mean_left: Ranged | None = None
    sawing: Sawing | None = None
    bending: Bending | None = None
    warnings: tuple[str, ...] = ()
    grounds: tuple[Input, ...] = ()
