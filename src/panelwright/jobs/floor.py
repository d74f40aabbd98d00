"""A build while it is made: a piece with its part file, and what was written step by step.

The shelf keeps what was written as remarks of records of the piece, in plain words and numbers;
they are read back from there, so that the clock of a pot stands on the shelf and in no window. What
was weighed or gauged is a reading of its part besides: each part of the job is a piece of its own.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import UTC, datetime, timedelta

from panelwright import units
from panelwright.errors import InputError, Problem, UnitError
from panelwright.fabrication.mixing import Mixing, mixing_of
from panelwright.fabrication.part import Mix, Part, read_part
from panelwright.fabrication.plan import Box, BuildPlan, Step
from panelwright.fabrication.pots import Pot
from panelwright.jobs.building import plan_of
from panelwright.jobs.floor_readings import of_boxes, of_no_pot, of_pot, stands_of
from panelwright.jobs.measure import measure, readings_of
from panelwright.jobs.shelf import PanelOnShelf, Piece, Record, Shelf
from panelwright.samples.readings import Reading

#: First line of the remark of a piece that is a build; the part file follows.
MARK = "# Being built by this part file:\n"
#: First line of the remark of a piece that is another part of a build: its number, the part.
WITH = "# Being built with {build}: {part}"
#: Boxes of a step that are written at the pots instead.
AT_POTS = frozenset({"mixed g", "left g", "°C", "begun", "done"})
#: A touch that says it was longer ago than this was not made at a pot just now.
OLDEST_TOUCH = timedelta(hours=24)
#: More than this is no pot, g.
MOST_GRAMS = 100_000.0


def begin(shelf: Shelf, number: str, part: str) -> str:
    """Keep a piece of a panel that is built by a part file; its number. Raises InputError.

    Each other part of the job is a piece of its own.
    """
    plan = plan_of(shelf, shelf.panel(number).text, part)
    title = f"{plan.title}, being built"
    begun = shelf.save_piece(number, title=title, remark=MARK + part)
    now = floor(shelf, begun)
    for name in now.panels:
        _piece_of(shelf, now, name)
    return begun


def part_file_of(piece: Piece) -> str | None:
    """The part file that a piece is built by; None for a piece that is no build."""
    return piece.remark.removeprefix(MARK) if piece.remark.startswith(MARK) else None


# --- What was written -----------------------------------------------------------------------------


@dataclass(frozen=True)
class Written:
    """What was written of a pot: when it was mixed, g mixed and left, the shop in °C."""

    begun: datetime | None = None
    mixed: float | None = None
    left: float | None = None
    warm: float | None = None


@dataclass(frozen=True)
class Readings:
    """What was written of a build: steps that are done, pots by go and number, all from 1."""

    done: Mapping[int, tuple[datetime, str]] = field(default_factory=dict)
    pots: Mapping[tuple[int, int], Written] = field(default_factory=dict)


#: Every record ends with the clock of the shop, for who reads it; its moment is kept beside it.
_STEP = re.compile(r"Step (\d+): (done|open again)(?:; (.*))?; at \d\d:\d\d\.")
_POT = re.compile(r"Go (\d+), pot (\d+): (.+); at \d\d:\d\d\.")
_NUMBERS = {"mixed": r"([\d.]+) g mixed", "left": r"([\d.]+) g left", "warm": r"(-?[\d.]+) °C"}
TOUCHED, UNTOUCHED = "mixed", "not mixed after all"


def readings(piece: Piece) -> Readings:
    """What the records of a build say; the latest of each stands."""
    done: dict[int, tuple[datetime, str]] = {}
    pots: dict[tuple[int, int], Written] = {}
    for record in piece.records:
        made = datetime.fromisoformat(record.made)
        if step := _STEP.fullmatch(record.remark):
            done.pop(int(step[1]), None)
            if step[2] == "done":
                done[int(step[1])] = made, step[3] or ""
        elif pot := _POT.fullmatch(record.remark):
            key = int(pot[1]), int(pot[2])
            pots[key] = _after(pots.get(key, Written()), pot[3].split("; "), made)
    return Readings(done, pots)


def _after(before: Written, said: list[str], made: datetime) -> Written:
    """What is known of a pot after one more record."""
    if UNTOUCHED in said:
        return Written()
    found: dict[str, float | None] = {
        name: next((float(hit[1]) for one in said if (hit := re.fullmatch(like, one))), None)
        for name, like in _NUMBERS.items()
    }
    kept = {name: getattr(before, name) if new is None else new for name, new in found.items()}
    return Written(made if TOUCHED in said else before.begun, **kept)


# --- Where it stands ------------------------------------------------------------------------------


@dataclass(frozen=True)
class PotNow:
    """A pot of a go: as planned, and as written. Numbers from 1; times of the world."""

    go: int
    number: int
    part: str
    product: str
    pot: Pot
    keeps: float  # s from the touch until it must be used
    gels: float
    written: Written

    @property
    def use_by(self) -> datetime | None:
        """When it must be used up, None before it is mixed."""
        return self._after(self.keeps)

    @property
    def gels_at(self) -> datetime | None:
        """When it gels, None before it is mixed."""
        return self._after(self.gels)

    @property
    def next_at(self) -> datetime | None:
        """When it is laid at the planned rate, and the next one wanted."""
        return self._after(self.pot.laid - self.pot.start)

    def _after(self, seconds: float) -> datetime | None:
        begun = self.written.begun
        return None if begun is None else begun + timedelta(seconds=seconds)

    @property
    def was_mixed(self) -> bool:
        """Whether it was mixed, as far as is written."""
        return self.written.begun is not None or self.written.mixed is not None

    @property
    def is_running(self) -> bool:
        """Whether it is mixed, and what is left of it not written yet."""
        return self.written.begun is not None and self.written.left is None


@dataclass(frozen=True)
class Floor:
    """Where a build stands.

    ``panels`` : number of the panel of each part whose name is its own; ``pieces`` : of the piece.
    """

    piece: Piece
    panel: PanelOnShelf
    plan: BuildPlan
    readings: Readings
    pots: tuple[PotNow, ...]
    panels: Mapping[str, str]
    pieces: Mapping[str, str]

    @property
    def next(self) -> int | None:
        """Number of the first step that is not done, None where all are."""
        numbers = range(1, len(self.plan.steps) + 1)
        return next((number for number in numbers if number not in self.readings.done), None)

    def step(self, number: int) -> Step:
        """A step by its number from 1. Raises :class:`InputError`."""
        if not 1 <= number <= len(self.plan.steps):
            what, most = "there is no such step in this build", len(self.plan.steps)
            raise InputError(Problem(what, str(number), f"1 to {most}"))
        return self.plan.steps[number - 1]

    def boxes(self, number: int) -> tuple[Box, ...]:
        """What is written at a step itself: grams, warmth and times of pots stand with them."""
        step = self.step(number)
        if {box.name for box in step.boxes} >= AT_POTS and any(
            one.go - 1 == step.session for one in self.pots
        ):
            return tuple(box for box in step.boxes if box.name not in AT_POTS)
        return step.boxes

    def plies(self, part: str) -> Mapping[str, int]:
        """How often each cloth is laid in a part, by its name."""
        layers = next(one.prediction.layers for one in self.plan.parts if one.name == part)
        return Counter(layer.name for layer in layers if layer.kind == "cloth")

    def pots_at(self, number: int | None) -> tuple[PotNow, ...]:
        """The pots to look after: those of the go of a step, and all that are running."""
        session = None if number is None else self.step(number).session
        return tuple(one for one in self.pots if one.go - 1 == session or one.is_running)


def floor(shelf: Shelf, number: str) -> Floor:
    """Where the build of a piece stands. Raises :class:`InputError` for a piece that is none."""
    piece = shelf.piece(number)
    part = part_file_of(piece)
    if part is None:
        what = "there is no build that was begun with this piece"
        hint = f"begin one at /panel/{piece.panel}/build"
        raise InputError(Problem(what, piece.number, hint=hint))
    panel = shelf.panel(piece.panel, piece.revision)
    plan = plan_of(shelf, panel.text, part)
    written = readings(piece)
    pots = tuple(_pots(shelf, plan, part, written))
    panels = _panels(piece, plan, part)
    return Floor(piece, panel, plan, written, pots, panels, _pieces(shelf, piece, panels))


def _panels(piece: Piece, plan: BuildPlan, part: str) -> dict[str, str]:
    """Number of the panel of each part; parts of one name are not told apart, and left out."""
    told = read_part(part).job.part or (Part(),)
    names = Counter(one.name for one in plan.parts)
    return {
        one.name: said.panel or piece.panel
        for said, one in zip(told, plan.parts, strict=True)
        if names[one.name] == 1
    }


def _pieces(shelf: Shelf, piece: Piece, panels: Mapping[str, str]) -> dict[str, str]:
    """Number of the piece of each part that has one: the build's own for the first of its panel."""
    there = {one.remark: one.number for p in set(panels.values()) for one in shelf.panel(p).pieces}
    own = next((name for name, panel in panels.items() if panel == piece.panel), None)
    found = {name: there.get(WITH.format(build=piece.number, part=name).strip()) for name in panels}
    if own is not None:
        found[own] = piece.number
    return {name: number for name, number in found.items() if number is not None}


def _piece_of(shelf: Shelf, now: Floor, part: str) -> str | None:
    """Number of the piece of a part, made where there is none; None where it has no own name."""
    if part in now.pieces or part not in now.panels:
        return now.pieces.get(part)
    remark = WITH.format(build=now.piece.number, part=part).strip()
    title = f"{part}, being built with {now.piece.number}"
    return shelf.save_piece(now.panels[part], title=title, remark=remark)


def _pots(shelf: Shelf, plan: BuildPlan, part: str, written: Readings) -> Iterator[PotNow]:
    mixings = _mixings(shelf, plan, part)
    for go, session in enumerate(plan.sessions, start=1):
        both = [(batch.product, pot) for batch in session.batches for pot in batch.pots]
        for number, (product, pot) in enumerate(both, start=1):
            said = written.pots.get((go, number), Written())
            keeps, gels = pot.use_by - pot.start, pot.gels - pot.start
            if said.warm is not None:
                mixing = mixings[product]
                gels = mixing.life(said.warm + 273.15).value
                keeps = mixing.usable.value * gels
            yield PotNow(go, number, session.part, product, pot, keeps, gels, said)


def _mixings(shelf: Shelf, plan: BuildPlan, part: str) -> dict[str, Mixing]:
    """How each product is mixed, for a pot at another temperature than was planned."""
    catalogue = shelf.catalogue()
    own = plan.parts[0].prediction.resin
    told = {
        own if mix.of is None else catalogue.find("resins", mix.of).name: mix
        for mix in read_part(part).job.mix
    }
    names = {batch.product for session in plan.sessions for batch in session.batches}
    return {name: mixing_of(name, told.get(name, Mix()), catalogue) for name in names}


# --- Writing --------------------------------------------------------------------------------------


def write_step(shelf: Shelf, number: str, step: int, boxes: Mapping[str, str], made: str) -> None:
    """Write that a step is done, with what stands in its boxes, by their names.

    What was weighed or gauged is kept as readings of the part. Raises :class:`InputError` with
    every box that holds no reading, and for readings that cannot be of the part.
    """
    now = floor(shelf, number)
    of_step = now.boxes(step)
    said = [f"{box.name} {text}" for box in of_step if (text := _plain(boxes.get(box.name, "")))]
    part = now.step(step).part
    found: list[Reading] = []
    if any(box.reads and boxes.get(box.name, "").strip() for box in of_step):
        piece = _piece_of(shelf, now, part)
        if piece is not None:
            stands = stands_of(readings_of(shelf.piece(piece)))
            found = of_boxes(step, of_step, boxes, now.plies(part), stands)
    _add(shelf, now, f"Step {step}: {'; '.join(['done', *said])}", made, part, found)


def open_step(shelf: Shelf, number: str, step: int) -> None:
    """Write that a step is not done after all."""
    now = floor(shelf, number)
    _add(shelf, now, f"Step {step}: open again", "", now.step(step).part)


def write_pot(
    shelf: Shelf, number: str, key: tuple[int, int], typed: Mapping[str, str], how: str, made: str
) -> None:
    """Write of a pot.

    key : its go and its number; typed : ``mixed`` and ``left`` in g, ``warm`` in °C, as typed;
    how : TOUCHED where it was mixed just now, UNTOUCHED to take that back, else nothing;
    made : the moment of a touch. Raises :class:`InputError` with every problem.
    """
    now = floor(shelf, number)
    pot = next((one for one in now.pots if (one.go, one.number) == key), None)
    if pot is None:
        raise InputError(Problem("there is no such pot in this build", f"{key[0]}, {key[1]}"))
    read = _read(typed)
    mixed = pot.written.mixed if read["mixed"] is None else read["mixed"]
    if read["left"] is not None and mixed is not None and read["left"] > mixed:
        given = f"{read['left']:g} g left of {mixed:g} g"
        raise InputError(Problem("more is left than was mixed", given, key="left"))
    said = [how] if how else []
    said += [f"{read[n]:g} {w}" for n, w in _WORDS.items() if read[n] is not None]
    if not said:
        raise InputError(Problem("nothing is written yet", hint="grams mixed, left, or the warmth"))
    found = _of_pot(shelf, now, pot, read, how)
    _add(shelf, now, f"Go {key[0]}, pot {key[1]}: {'; '.join(said)}", made, pot.part, found)


def _of_pot(
    shelf: Shelf, now: Floor, pot: PotNow, read: Mapping[str, float | None], how: str
) -> list[Reading]:
    """What was written of a pot as readings of its part."""
    piece = _piece_of(shelf, now, pot.part)
    if piece is None:
        return []
    stands = stands_of(readings_of(shelf.piece(piece)))
    others = [one for one in now.pots if one.part == pot.part and one is not pot]
    pots = sum(one.was_mixed for one in others)
    place = f"go {pot.go}, pot {pot.number}"
    if how == UNTOUCHED:
        return of_no_pot(place, pots, stands)
    is_mixed = pot.was_mixed or how == TOUCHED or read["mixed"] is not None
    return of_pot(place, read, pots + is_mixed, stands)


_WORDS = {"mixed": "g mixed", "left": "g left", "warm": "°C"}


def _read(typed: Mapping[str, str]) -> dict[str, float | None]:
    """Grams and °C as typed; a number alone is meant in those."""
    wrong: list[Problem] = []
    found: dict[str, float | None] = {}
    for name, dimension, unit in (
        ("mixed", "mass", "g"),
        ("left", "mass", "g"),
        ("warm", "temperature", "degC"),
    ):
        text = typed.get(name, "").strip()
        found[name] = None
        if not text:
            continue
        try:
            alone = re.fullmatch(r"-?[0-9.]+", text)
            value = units.parse(f"{text} {unit}" if alone else text, dimension).value
        except UnitError as refused:
            wrong += [problem.at(key=name) for problem in refused.problems]
            continue
        shown, least, most = _LIMITS[name](value)
        if not least <= shown <= most:
            what = "this cannot be"
            wrong.append(Problem(what, text[:60], f"{least:g} to {most:g} {unit}", key=name))
        found[name] = float(f"{shown:.5g}")
    if wrong:
        raise InputError(wrong)
    return found


_LIMITS = {
    "mixed": lambda value: (1e3 * value, 0.1, MOST_GRAMS),
    "left": lambda value: (1e3 * value, 0.0, MOST_GRAMS),
    "warm": lambda value: (value - 273.15, -20.0, 60.0),
}


def _plain(text: str) -> str:
    """A text of a box on one line, without the sign that parts what is written."""
    return " ".join(text.replace(";", ",").split())[:200]


def _add(
    shelf: Shelf, now: Floor, remark: str, made: str, part: str, found: Sequence[Reading] = ()
) -> None:
    """Add a record to a build, and readings to the piece of their part; what came twice, once."""
    when = moment(made)
    stamp = when.isoformat(timespec="microseconds")
    said = f"{remark}; at {when.astimezone():%H:%M}."
    if any((one.made, one.remark) == (stamp, said) for one in now.piece.records):
        return
    date = f"{when.astimezone():%Y-%m-%d}"
    number = now.piece.number
    piece = (_piece_of(shelf, now, part) if found else None) or number
    if found:
        # where it is weighed, what that comes to is told; a pot waits for nothing
        keep = measure if any(one.what == "mass" for one in found) else _keep
        beside = said if piece == number else f"{remark}, at the build {number}."
        keep(shelf, piece, found, date=date, remark=beside, made=stamp)
    if not (found and piece == number):
        shelf.save_piece(number=number, record=Record(date=date, remark=said, made=stamp))


def _keep(
    shelf: Shelf, number: str, found: Sequence[Reading], *, date: str, remark: str, made: str
) -> None:
    record = Record(date=date, remark=remark, made=made, readings=tuple(found))
    shelf.save_piece(number=number, record=record)


def moment(text: str) -> datetime:
    """The moment of a touch as the browser sends it; now, where it sends none that can be."""
    now = datetime.now(UTC)
    try:
        told = datetime.fromisoformat(text.replace("Z", "+00:00"))
    except ValueError:
        return now
    if told.tzinfo is None or not now - OLDEST_TOUCH < told < now + timedelta(minutes=1):
        return now
    return told.astimezone(UTC)
