"""What the plan of a build is once it is made: plain data for faces, sheets and files. SI units."""

from __future__ import annotations

from dataclasses import dataclass

from panelwright.fabrication.buying import Buy, Priced
from panelwright.fabrication.clock import Day
from panelwright.fabrication.cutting import ClothCut, SheetCut
from panelwright.fabrication.hours import Task
from panelwright.fabrication.one_face import OneFace
from panelwright.fabrication.schedule import Session
from panelwright.fabrication.shape import Shape
from panelwright.fabrication.strip_records import StripsRecord
from panelwright.panels.records import Caution, Prediction
from panelwright.panels.spread import Ranged
from panelwright.provenance import Input

#: Version of the machine output of a build.
SCHEMA = "panelwright/build/2"


@dataclass(frozen=True)
class AtBend:
    """The panel where it is bent tightest across its strips and faired there.

    ``lost`` : thickness that fairing takes, m; ``share_along``, ``share_across`` : of the bending
    stiffness where it is flat, None where that is not known.
    """

    prediction: Prediction
    lost: Ranged
    share_along: Ranged | None
    share_across: Ranged | None


@dataclass(frozen=True)
class Cut:
    """All that is cut for one part. ``sheets`` : by name of the core."""

    cloth: tuple[ClothCut, ...] = ()
    sheets: tuple[tuple[str, SheetCut], ...] = ()
    strips: tuple[StripsRecord, ...] = ()
    one_face: OneFace | None = None
    at_bend: AtBend | None = None


@dataclass(frozen=True)
class PartPlan:
    """One part: what it is, how often it is made, what it weighs.

    ``prediction`` : of its panel as bent in the part; ``mass`` : of one, kg.
    """

    name: str
    count: int
    shape: Shape
    prediction: Prediction
    mass: Ranged
    cut: Cut


@dataclass(frozen=True)
class JobRow:
    """Mass of one cause over the whole job, kg. ``mixes`` : it comes out of a pot."""

    cause: str
    in_part: Ranged
    to_mix: Ranged
    to_buy: Ranged
    mixes: bool


@dataclass(frozen=True)
class JobMix:
    """One product over the whole job, kg: mixed, of which ``resin`` and ``hardener``."""

    product: str
    to_mix: Ranged
    resin: float | None
    hardener: float | None
    pots: int
    pack: float | None
    packs: int | None


@dataclass(frozen=True)
class Box:
    """What is written by hand at a step; a number alone is meant in ``unit``.

    ``reads`` : the reading of the part that it is, empty for a remark; ``of`` : the cloth that is
    weighed; ``expected`` : by the plan, SI.
    """

    name: str
    reads: str = ""
    unit: str = ""
    of: str = ""
    expected: float | None = None


@dataclass(frozen=True)
class Step:
    """One step. ``hold`` : nothing goes on until it is seen to; ``boxes`` : written by hand.

    ``session`` : number of the go it belongs to, from 0, None for none; ``ground`` : what kind of
    evidence it stands on, empty for what follows from the plan itself; ``dangers`` : names of the
    cautions that it calls for.
    """

    text: str
    part: str
    hold: bool = False
    boxes: tuple[Box, ...] = ()
    hands: int = 1
    session: int | None = None
    ground: str = ""
    dangers: tuple[str, ...] = ()


@dataclass(frozen=True)
class Heat:
    """Upper bounds on what a cure warms itself by, K, and the post-cure."""

    pot: float
    laminate: float
    post_cure: float | None  # s in all
    held_at: float | None
    core_limit: float | None  # temperature the weakest core stands, K
    core: str = ""

    @property
    def too_hot(self) -> bool:
        """Whether the post-cure is hotter than the core stands."""
        known = self.held_at is not None and self.core_limit is not None
        return known and (self.held_at or 0.0) > (self.core_limit or 0.0)


@dataclass(frozen=True)
class BuildPlan:
    """The whole plan of one job."""

    title: str
    parts: tuple[PartPlan, ...]
    ledger: tuple[JobRow, ...]
    mixes: tuple[JobMix, ...]
    sessions: tuple[Session, ...]
    day: Day
    ratio: str  # as given; empty where it is not
    ratio_said: tuple[str, ...]  # what it means, and how it goes wrong
    buys: tuple[Buy, ...]
    also: tuple[str, ...]  # things to have at hand, not counted
    tasks: tuple[Task, ...]
    not_in_hours: str
    steps: tuple[Step, ...]
    heat: Heat | None
    priced: Priced | None
    warnings: tuple[str, ...]
    assumed: tuple[str, ...]
    cautions: tuple[Caution, ...]
    fill_time: float | None = None
    gel_margin: float | None = None
    grounds: tuple[Input, ...] = ()  # what was put in beyond the panels, with its source
    days: int = 0  # of the calendar, repeats of a part included
    version: str = ""
    catalogue: str = ""

    @property
    def hours(self) -> tuple[float, float, float]:
        """Person-hours of all tasks: middle, low, high."""
        return (
            sum(task.hours for task in self.tasks),
            sum(task.low for task in self.tasks),
            sum(task.high for task in self.tasks),
        )
