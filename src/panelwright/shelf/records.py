"""What the shelf gives and takes: plain data. SI units; moments are ISO 8601 texts in UTC."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Generic, TypeVar

from panelwright.errors import InputError, Problem
from panelwright.panels.charted import Charted
from panelwright.panels.records import LayerRecord, Prediction
from panelwright.panels.spread import Ranged
from panelwright.panels.stored import Snapshot
from panelwright.samples.readings import Reading

#: Where a panel stands: with no piece that was measured, or with one.
PREDICTED, MEASURED = "only predicted", "measured"

#: Whether to build a piece so again; empty where nobody has said.
AGAIN = ("", "yes", "with changes", "no")

#: In what order panels are found.
ORDERS = ("newest", "number", "title", "thinnest", "thickest", "lightest", "heaviest")

Span = tuple[float | None, float | None]


@dataclass(frozen=True)
class Filter:
    """What is looked for; everything given must hold. Of cores, processes any one.

    ``text`` : the beginnings of words; ``thickness`` : from and to, m; ``areal_mass`` : kg/m2;
    ``standing`` : PREDICTED, MEASURED or empty; ``order`` : one of ORDERS.
    """

    text: str = ""
    tags: tuple[str, ...] = ()
    thickness: Span = (None, None)
    areal_mass: Span = (None, None)
    cores: tuple[str, ...] = ()
    processes: tuple[str, ...] = ()
    standing: str = ""
    order: str = "newest"
    size: int = 24
    offset: int = 0


@dataclass(frozen=True)
class Found:
    """What the newest record of a piece comes to: kg/m2 and m; None where it was not taken."""

    piece: str
    areal_mass: float | None
    thickness: float | None


@dataclass(frozen=True)
class Card:
    """A panel as it stands among others."""

    number: str
    title: str
    tags: tuple[str, ...]
    revision: int
    changed: str
    process: str
    cores: tuple[str, ...]
    standing: str
    thickness: Ranged
    areal_mass: Ranged
    stiffness_along: Ranged | None
    stiffness_across: Ranged | None
    layers: tuple[LayerRecord, ...]
    pieces: int
    photo: str  # SHA-256 of the newest; empty where there is none
    found: Found | None


@dataclass(frozen=True)
class OnChart:
    """A panel at its newest revision with what it can be charted by.

    ``measured`` : its pieces that something was read off: number, title, how many records.
    """

    number: str
    title: str
    revision: int
    charted: Charted
    measured: tuple[tuple[str, str, int], ...] = ()


@dataclass(frozen=True)
class Counted:
    """A word that panels can be filtered by, and how many panels it would leave."""

    word: str
    count: int


Item = TypeVar("Item")


@dataclass(frozen=True)
class Page(Generic[Item]):
    """Some of what was found. ``facets``: by tag, core, process, standing."""

    items: tuple[Item, ...]
    total: int
    offset: int
    size: int
    facets: Mapping[str, tuple[Counted, ...]] = field(default_factory=dict)


@dataclass(frozen=True)
class Revision:
    """One state of a panel's file."""

    number: int
    made: str
    remark: str
    version: str
    catalogue: str


@dataclass(frozen=True)
class Photo:
    """A picture that is kept as a file named by its content. ``of``: a panel or piece."""

    sha256: str
    of: str
    name: str
    caption: str
    width: int
    height: int
    added: str

    @property
    def file(self) -> str:
        """Its path in the folder of photos."""
        return f"{self.sha256[:2]}/{self.sha256}.jpg"


@dataclass(frozen=True)
class Gauged:
    """A thickness at a point of a piece, m; the point in words."""

    at: str
    thickness: float


@dataclass(frozen=True)
class Record:
    """What was read off a piece on one day; kg and m. Records are added, never changed.

    ``gross`` : with what it was weighed in or on, whose own mass is ``tare``.
    """

    date: str = ""
    gross: float | None = None
    tare: float = 0.0
    length: float | None = None
    width: float | None = None
    gauged: tuple[Gauged, ...] = ()
    remark: str = ""
    made: str = ""
    areal_mass: float | None = None  # what the readings come to, kg/m2
    thickness: float | None = None  # mean of the points, m
    readings: tuple[Reading, ...] = ()  # each with its instrument, where it was written
    who: str = ""  # read it
    again: str = ""  # one of AGAIN, whether to build it so again
    improve: str = ""  # what to change the next time


@dataclass(frozen=True)
class Piece:
    """A physical sample, and the pieces cut from it."""

    number: str
    panel: str
    revision: int
    title: str
    cut_from: str  # number of a piece; empty for the first of its family
    cut_at: str  # where it lay in that piece
    place: str  # where it lies now
    left: str  # what is left of it
    remark: str
    made: str
    records: tuple[Record, ...]  # the oldest first
    photos: tuple[Photo, ...]
    cut: tuple[Piece, ...] = ()


@dataclass(frozen=True)
class PanelOnShelf:
    """A panel at one of its revisions, with what belongs to it."""

    number: str
    title: str
    tags: tuple[str, ...]
    standing: str
    revision: int
    text: str
    remark: str
    made: str
    snapshot: Snapshot
    revisions: tuple[Revision, ...]  # the newest first
    pieces: tuple[Piece, ...]  # the firsts of their families
    photos: tuple[Photo, ...]

    @property
    def prediction(self) -> Prediction:
        """The prediction as it was made and kept."""
        return self.snapshot.prediction


@dataclass(frozen=True)
class Price:
    """What a material cost: ``amount`` as written, per unit ``per``, such as ``kg`` or ``m2``."""

    material: str
    amount: str
    currency: str
    per: str
    date: str
    remark: str = ""
    made: str = ""


@dataclass(frozen=True)
class Remnant:
    """What is left over of a material, as written: ``2 pieces of 600 mm × 380 mm``, ``1.2 kg``.

    ``piece`` : number of the build that it is left of, empty where none is said; ``gone`` : when
    it was used up, empty while it lies there.
    """

    material: str
    amount: str
    piece: str = ""
    remark: str = ""
    made: str = ""
    gone: str = ""
    number: int = 0


@dataclass(frozen=True)
class OwnMaterials:
    """The shop's own materials: TOML as typed, one state for each time it was saved."""

    number: int
    text: str
    made: str
    remark: str = ""


@dataclass(frozen=True)
class HouseWord:
    """One word on a house value: what a piece told (``learnt``), or off, on, reset.

    ``plate`` : the first of the piece's family; ``value``, ``u`` : None where it tells no more.
    """

    key: str
    said: str
    piece: str = ""
    plate: str = ""
    value: float | None = None
    u: float | None = None
    remark: str = ""
    made: str = ""


@dataclass(frozen=True)
class Verified:
    """What is on the shelf and what is wrong with it; one sentence for each problem."""

    panels: int
    revisions: int
    pieces: int
    photos: int
    problems: tuple[str, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Imported:
    """What an import brought. ``renumbered``: old number to new; ``there``: already here."""

    panels: int
    pieces: int
    photos: int
    there: int
    renumbered: Mapping[str, str]


# Numbers ------------------------------------------------------------------------------------


def panel_number(id: int) -> str:
    """The number on a panel's label."""
    return f"P-{id:04d}"


def piece_number(id: int) -> str:
    """The number on a piece's label."""
    return f"S-{id:04d}"


def _id(number: str, letter: str, what: str) -> int:
    match = re.fullmatch(rf"\s*{letter}\s*-?\s*0*([1-9][0-9]{{0,8}})\s*", number, re.IGNORECASE)
    if match is None:
        example = f"{letter}-0001"
        raise InputError(Problem(f"this is not the number of a {what}", number[:40], example))
    return int(match[1])


def panel_id(number: str) -> int:
    """The row of a panel's number, such as ``P-0007`` or ``p7``; InputError for another text."""
    return _id(number, "P", "panel")


def piece_id(number: str) -> int:
    """The row of a piece's number, such as ``S-0007`` or ``s7``; InputError for another text."""
    return _id(number, "S", "piece")
