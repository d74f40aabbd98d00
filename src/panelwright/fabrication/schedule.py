"""Stages on the calendar: each go on its day, with its pots, its window and what bounds it."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from panelwright.errors import InputError, Problem
from panelwright.fabrication.clock import (
    STEADY,
    Day,
    Window,
    falling_start,
    rises,
    window_of,
)
from panelwright.fabrication.mixing import Mixing
from panelwright.fabrication.part import Part, PartDescription
from panelwright.fabrication.pots import (
    CAP,
    RATE,
    Limits,
    Pot,
    Work,
    bays_needed,
    limits,
    pots_of,
    too_slow,
    too_small,
)
from panelwright.fabrication.shape import Shape
from panelwright.fabrication.stages import Kind, Stage
from panelwright.fabrication.times import DAY
from panelwright.panels.places import Path


@dataclass(frozen=True)
class Batch:
    """The pots of one product in one go. ``mass`` : kg in all; no pots where none are timed."""

    product: str
    mass: float
    limits: Limits | None
    pots: tuple[Pot, ...]


@dataclass(frozen=True)
class Session:
    """One go on the calendar. Times in s after the first midnight.

    ``window`` : for the next coat, None where the data sheet was not given; ``on_tack`` : a coat
    goes on while the one before still takes it; ``rises`` : how much warmer it gets while the
    core is wet and open [K]; ``better`` : time of the day to start at instead.
    """

    stage: Stage
    part: str
    area: float
    hands: int
    bays: int
    start: float
    end: float
    batches: tuple[Batch, ...] = ()
    window: Window | None = None
    on_tack: bool = False
    rises: float = 0.0
    better: float | None = None

    @property
    def day(self) -> int:
        """The day it begins on, from 1."""
        return int(self.start // DAY) + 1

    @property
    def late(self) -> bool:
        """Whether it ends on another day than it begins."""
        return (
            self.stage.kind not in {Kind.PLANK, Kind.FAIR} and self.end // DAY > self.start // DAY
        )


@dataclass(frozen=True)
class Crew:
    """Who lays how fast: ``rate`` of one ply, one person [m2/s]; ``hands_given`` : said so.

    ``loss`` : share of the mix that stays in pots and on tools, on top of what is laid.
    """

    hands: int
    rate: float
    hands_given: bool
    loss: float
    resin: str  # the panel's own
    hours: Mapping[Kind, float]  # person-hours for each m2 of the kinds that are not timed by pots


@dataclass
class _Calendar:
    """Where the plan has come to; ``window`` is that of what was laid last, on ``face``."""

    day: Day
    now: float
    window: Window | None = None
    face: str = ""

    def fitting(self, earliest: float, lasts: float) -> float:
        """When something may begin: in working hours, on the next day where it would not fit."""
        midnight = DAY * (earliest // DAY)
        opens, closes = midnight + self.day.start, midnight + self.day.stop
        start = max(earliest, opens)
        if start + lasts <= closes or start == opens:
            return start
        return opens + DAY

    def next_day(self, after: float) -> float:
        """The start of the day after."""
        return DAY * (after // DAY + 1.0) + self.day.start

    def worked(self, start: float, hours: float) -> float:
        """When so many hours of work are done, day by day."""
        left, at = 3600.0 * hours, start
        a_day = self.day.stop - self.day.start
        whole = int(left // a_day)
        left -= whole * a_day
        at += whole * DAY
        room = DAY * (at // DAY) + self.day.stop - at
        return at + left if left <= room else self.next_day(at) + left - room


class Planner:
    """Puts the stages of one part after another. ``mixings`` : by product."""

    def __init__(
        self,
        job: PartDescription,
        day: Day,
        mixings: Mapping[str, Mixing],
        fill_time: float | None,
    ) -> None:
        self.job, self.day, self.mixings = job, day, mixings
        self.fill_time = fill_time
        self.days = 0
        self.calendar = _Calendar(day, day.start)
        self.problems: list[Problem] = []

    def part(
        self, part: Part, name: str, path: Path, shape: Shape, found: Sequence[Stage], crew: Crew
    ) -> list[Session]:
        """The sessions of one part. Problems are gathered; :meth:`finish` raises them."""
        begun = self.calendar.now
        sessions = []
        for stage in found:
            mass, plies = _mass(stage, shape), max(stage.plies, 1)
            work = Work(shape.laid, plies, mass, crew.rate, crew.hands, crew.loss)
            session = _PLACE[stage.kind](self, stage, name, work, part, path, crew)
            sessions.append(session)
        self._again(part.count - 1, begun, sessions)
        return sessions

    def finish(self) -> None:
        """Raise :class:`InputError` for what could not be planned."""
        if self.problems:
            raise InputError(list(dict.fromkeys(self.problems)))

    def _again(self, times: int, begun: float, sessions: Sequence[Session]) -> None:
        """Leave room for the same part so many times again."""
        days = math.ceil((self.calendar.now - begun) / DAY - 1e-9)
        self.calendar.now += DAY * days * times
        self.calendar.window = None
        last = max((int(session.end // DAY) + 1 for session in sessions), default=0)
        self.days = max(self.days, last + days * times)

    # --- Kinds of stages --------------------------------------------------------------------------

    def by_hours(
        self, stage: Stage, name: str, work: Work, part: Part, path: Path, crew: Crew
    ) -> Session:
        """Work that is timed by its hours: planking, fairing."""
        hours = work.area * crew.hours.get(stage.kind, 0.0) / crew.hands
        start = self.calendar.fitting(self.calendar.now, 0.0)
        end = self.calendar.worked(start, hours)
        self.calendar.now, self.calendar.window = self.calendar.next_day(end), None
        batches = tuple(
            Batch(product, mass * work.area, None, ()) for product, mass in stage.mixes.items()
        )
        return Session(stage, name, work.area, crew.hands, 1, start, end, batches)

    def lay(
        self, stage: Stage, name: str, work: Work, part: Part, path: Path, crew: Crew
    ) -> Session:
        """Plies wet in wet, a pot at a time."""
        start, on_tack = self._begin(stage, work)
        work = self._in_bays(work, part, path, crew, start % DAY)
        return self._wet(stage, name, work, start, crew.resin, on_tack=on_tack)

    def coat(
        self, stage: Stage, name: str, work: Work, part: Part, path: Path, crew: Crew
    ) -> Session:
        """A coat: while the one before still takes it where the window is known and open."""
        start, on_tack = self._begin(stage, work)
        return self._wet(stage, name, work, start, crew.resin, on_tack=on_tack)

    def pour(
        self, stage: Stage, name: str, work: Work, part: Part, path: Path, crew: Crew
    ) -> Session:
        """A dry stack filled at once: dry work by its hours, then the resin."""
        dry = work.time + 3600.0 * work.area * crew.hours.get(stage.kind, 0.0) / crew.hands
        ready = self.calendar.worked(self.calendar.fitting(self.calendar.now, 0.0), dry / 3600.0)
        lasts = self.fill_time or 0.0
        start = self.calendar.fitting(ready, lasts)
        batches = self._batches(stage, replace(work, plies=1), start)
        self._rest(stage, start + lasts, crew.resin)
        window = self.calendar.window
        return Session(stage, name, work.area, crew.hands, 1, start, start + lasts, batches, window)

    # --- Steps of those ---------------------------------------------------------------------------

    def _begin(self, stage: Stage, work: Work) -> tuple[float, bool]:
        """When a go begins, and whether what lies on that face still takes it without sanding."""
        calendar = self.calendar
        window = calendar.window if stage.face == calendar.face else None
        if window is not None:
            start = calendar.fitting(window.opens, work.time)
            if start <= window.closes:
                return start, True
        return calendar.fitting(calendar.now, work.time), False

    def _wet(
        self, stage: Stage, name: str, work: Work, start: float, resin: str, *, on_tack: bool
    ) -> Session:
        """A go with its pots, and the calendar moved on."""
        batches = self._batches(stage, work, start)
        end = start + work.time
        self._rest(stage, end, resin)
        window = self.calendar.window
        session = Session(
            stage, name, work.area, work.hands, work.bays, start, end, batches, window, on_tack
        )
        return self._aired(session)

    def _rest(self, stage: Stage, end: float, resin: str) -> None:
        """Let what was laid cure: over night, or as long as the mix says."""
        self.calendar.face = stage.face
        calendar = self.calendar
        mixing = self.mixings[resin]
        recoat, cure = mixing.told.recoat, mixing.told.cure
        calendar.window = (
            None if recoat is None else window_of(recoat, end, self.day, mixing.faster)
        )
        wait = end if cure is None else end + cure.value
        calendar.now = max(calendar.next_day(end), calendar.fitting(wait, 0.0))

    def _in_bays(self, work: Work, part: Part, path: Path, crew: Crew, start: float) -> Work:
        """The work in the bays that are asked for, or in as many as the pot life wants."""
        mixing = self.mixings[crew.resin]
        bounds = limits(work, mixing, self.day.air, start)
        if part.bays is None and not crew.hands_given:
            return replace(work, bays=bays_needed(work, bounds))
        asked = replace(work, bays=part.bays or 1)
        slow = too_slow(asked, bounds)
        if slow is not None:
            key: Path = (*path, "bays") if part.bays is not None else ("shop", "hands")
            self.problems.append(self.job.problem(key, slow))
        return asked

    def _batches(self, stage: Stage, work: Work, start: float) -> tuple[Batch, ...]:
        return tuple(
            self._batch(stage, product, replace(work, mass=mass * work.area), start)
            for product, mass in stage.mixes.items()
        )

    def _batch(self, stage: Stage, product: str, work: Work, start: float) -> Batch:
        mixing = self.mixings[product]
        time = start % DAY
        bounds = limits(work, mixing, self.day.air, time)
        if stage.kind is Kind.POUR:  # the feed takes it as it comes: only the mass bounds a pot
            most = mixing.cap.value if mixing.told.pot_cap is not None else work.mass
            bounds = replace(bounds, by_rate=None, pot=most, governs=CAP)
            work = replace(work, rate=math.inf, bays=1)
        small = too_small(bounds, mixing)
        if small is not None:
            key: Path = ("mix", "pot_life" if bounds.governs == RATE else "pot_cap")
            self.problems.append(self.job.problem(key, small))
            return Batch(product, work.mass, bounds, ())
        return Batch(product, work.mass, bounds, pots_of(work, mixing, bounds, self.day.air, time))

    def _aired(self, session: Session) -> Session:
        """With what the air does while the core is wet and open."""
        if not session.stage.over or session.stage.kind is Kind.POUR:
            return session
        time = session.start % DAY
        gels = max((pot.gels for b in session.batches for pot in b.pots), default=time)
        lasts = max(gels, time + session.end - session.start) - time
        warmer = rises(self.day, time, time + lasts)
        if warmer <= STEADY:
            return session
        return replace(session, rises=warmer, better=falling_start(self.day, lasts))


def _mass(stage: Stage, shape: Shape) -> float:
    return shape.laid * math.fsum(stage.mixes.values())


_Place = Callable[[Planner, Stage, str, Work, Part, Path, Crew], Session]
_PLACE: Mapping[Kind, _Place] = {
    Kind.PLANK: Planner.by_hours,
    Kind.FAIR: Planner.by_hours,
    Kind.GLUE: Planner.coat,
    Kind.SEAL: Planner.coat,
    Kind.LAY: Planner.lay,
    Kind.POUR: Planner.pour,
    Kind.COAT: Planner.coat,
}
