"""The part file: what is built of a panel, with what mix, in what shop, at what prices.

A panel file says what a square metre is; this says how many square metres there are, how they
bend, and what the shop has. Everything in it may be left out: what then stands in is said.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, model_validator

from panelwright.errors import InputError, Problem
from panelwright.fabrication.fields import (
    Between,
    Clock,
    Count,
    Factor,
    HeldAt,
    MixRatio,
    Money,
    Permeability,
    Place,
    Pressure,
    Ramp,
    Rate,
    Time,
    Turn,
    Usable,
    Viscosity,
)
from panelwright.panels.description import Format, Reading, parsed, spoken
from panelwright.panels.fields import (
    Density,
    Loss,
    Mass,
    Radius,
    Refused,
    Share,
    Side,
    Temperature,
    Thickness,
    Width,
)
from panelwright.panels.layers import Model, Name
from panelwright.panels.places import Path, line_of, places
from panelwright.units import Quantity

MOST_PARTS, MOST_STATIONS = 50, 200

# --- Tables ---------------------------------------------------------------------------------------


class PartSize(Model):
    """Sides of a flat part."""

    length: Side
    width: Side


class CutOut(Model):
    """A hole in a flat part: two sides, or a diameter."""

    length: Side | None = None
    width: Side | None = None
    diameter: Side | None = None
    count: Count = 1

    @model_validator(mode="after")
    def _sides_or_diameter(self) -> CutOut:
        sides = (self.length is not None) + (self.width is not None)
        if (sides, self.diameter is not None) not in {(2, False), (0, True)}:
            what = "a cut-out has a length and a width, or a diameter"
            hint = '{ length = "400 mm", width = "300 mm" } or { diameter = "150 mm" }'
            raise Refused(Problem(what, hint=hint))
        return self


class Station(Model):
    """A section of a shell. ``turn`` : angle from edge to edge, where it is known."""

    at: Place
    girth: Side
    radius: Radius | None = None
    turn: Turn | None = None


class Fillet(Model):
    """A fillet along an edge. ``angle`` : between the two faces."""

    length: Side
    radius: Width
    angle: Between | None = None
    resin: Name = "epoxy, fillet"


class Part(Model):
    """One part: flat by its sides and cut-outs, or a shell by its stations."""

    name: Name | None = None
    panel: Name | None = None
    count: Count = 1
    size: PartSize | None = None
    cutout: tuple[CutOut, ...] = ()
    station: Annotated[tuple[Station, ...], Field(max_length=MOST_STATIONS)] = ()
    strip_bend: Radius | None = None  # smallest, along the strips
    fillet: tuple[Fillet, ...] = ()
    bays: Count | None = None  # laid one after the other, each wet in wet

    @model_validator(mode="after")
    def _flat_or_curved(self) -> Part:
        if self.station and (self.size is not None or self.cutout):
            what = "a part is flat, by its size and cut-outs, or a shell, by its stations"
            raise Refused(Problem(what, "both", hint="two [[part]] tables"))
        if len(self.station) == 1:
            what = "one station says no length: a shell needs two or more"
            raise Refused(Problem(what, self.station[0].at.text))
        return self


class Recoat(Model):
    """When the next coat may go on without sanding, from the data sheet of the resin."""

    earliest: Time
    latest: Time
    at: Temperature

    @model_validator(mode="after")
    def _in_order(self) -> Recoat:
        if self.latest.value <= self.earliest.value:
            what = "the recoat window closes before it opens"
            raise Refused(Problem(what, f"{self.earliest.text} to {self.latest.text}"))
        return self


class PostCure(Model):
    """Heat after the cure."""

    at: HeldAt
    hold: Time
    ramp: Ramp


class Mix(Model):
    """A resin as its data sheet has it; ``of`` : which, where it is not that of the first panel."""

    of: Name | None = None
    ratio: MixRatio | None = None
    resin_density: Density | None = None
    hardener_density: Density | None = None
    pot_life: Time | None = None
    pot_life_at: Temperature | None = None
    faster: Factor | None = None  # for each 10 K warmer
    pot_cap: Mass | None = None
    left_in_pot: Mass | None = None
    usable: Usable | None = None  # of the pot life
    recoat: Recoat | None = None
    cure: Time | None = None  # until the other face may be worked on
    post_cure: PostCure | None = None


class Infusion(Model):
    """How resin runs through the dry stack, for the time it takes to fill."""

    porosity: Share
    viscosity: Viscosity
    permeability: Permeability
    flow: Side  # from feed line to vacuum line
    vacuum: Pressure
    height: Side | None = None  # of the vacuum line over the pot


class At(Model):
    """Temperature of the shop at a time of the day."""

    at: Clock
    temperature: Temperature


class Shop(Model):
    """Who works, how fast, from when to when, how warm it is."""

    hands: Annotated[int, Field(strict=True, ge=1, le=100)] | None = None
    rate: Rate | None = None  # of one ply, one person
    start: Clock | None = None
    stop: Clock | None = None
    temperature: Temperature | None = None
    day: tuple[At, ...] = ()

    @model_validator(mode="after")
    def _in_order(self) -> Shop:
        times = [entry.at for entry in self.day]
        if any(later <= before for before, later in itertools.pairwise(times)):
            what = "the temperatures of the day are not in order of time"
            raise Refused(Problem(what, hint='day = [{ at = "8:00", ... }, { at = "14:00", ... }]'))
        if self.start is not None and self.stop is not None and self.stop <= self.start:
            raise Refused(Problem("the day stops before it starts", hint='stop = "18:00"'))
        return self


class Stock(Model):
    """How a material is sold: a roll by its width, a sheet by its sides, timber by the board."""

    of: Name
    width: Side | None = None
    length: Side | None = None
    thickness: Thickness | None = None
    overlap: Width | None = None
    butt: Annotated[bool, Field(strict=True)] = False
    one_piece: Annotated[bool, Field(strict=True)] = False  # may have no seam
    trim: Width | None = None
    kerf: Width | None = None
    run: Literal["along", "across"] | None = None
    stagger: Width | None = None
    scarf: Annotated[float, Field(gt=0.0, le=100.0)] | None = None  # its length over the thickness


Per = Literal["kg", "m", "m2", "sheet", "pack", "board", "piece"]


class PriceGiven(Model):
    """A price of the shop's own. ``pack`` : what a pack holds, where it is the price of one."""

    of: Name
    price: Money
    per: Per
    pack: Mass | None = None


class Cost(Model):
    """What an hour costs and what is put on top."""

    currency: Annotated[str, Field(strict=True, max_length=12)] = ""
    hour: Money = 0.0
    contingency: Loss | None = None


def _one_or_more(value: object) -> object:
    """A single table as the only one of a list."""
    return [value] if isinstance(value, dict) else value


Mixes = Annotated[tuple[Mix, ...], BeforeValidator(_one_or_more), Field(max_length=MOST_PARTS)]


class PartFile(Model):
    """One job of one or more parts."""

    format: Format
    title: Name | None = None
    notes: str | None = None
    part: Annotated[tuple[Part, ...], Field(max_length=MOST_PARTS)] = ()
    mix: Mixes = ()
    infusion: Infusion | None = None
    shop: Shop = Shop()
    stock: tuple[Stock, ...] = ()
    price: tuple[PriceGiven, ...] = ()
    cost: Cost = Cost()


@dataclass(frozen=True)
class PartDescription:
    """A part file as read, with the line of each key."""

    job: PartFile
    text: str
    file: str
    lines: dict[Path, int]

    def problem(self, path: Path, problem: Problem) -> Problem:
        """The problem with its place in the file."""
        return problem.at(file=self.file, line=line_of(self.lines, path), key=spoken(path))


class _PartReading(Reading):
    """Puts a problem of a single [mix] at its own line: it is no list in the file."""

    def refuse(self, path: Path, problem: Problem) -> None:
        """Note a problem with its place in the file."""
        if path[:1] == ("mix",) and ("mix", 0) not in self.lines:
            path = tuple(part for part in path if not isinstance(part, int))
        super().refuse(path, problem)


def read_part(text: str, file: str = "part file") -> PartDescription:
    """Read a part file.

    text : TOML; file : name for messages. Raises :class:`InputError` with every problem found.
    """
    text = text.removeprefix("\ufeff")
    table = parsed(text, file)
    lines = places(text)
    reading = _PartReading(file, lines)
    if "format" not in table:
        reading.refuse((), Problem("`format` is missing", hint="begin the file with `format = 1`"))
        table["format"] = 1
    job = reading.model(PartFile, table, ())
    if job is not None:
        for index, part in enumerate(job.part):
            _check_stations(reading, part, ("part", index, "station"))
    if reading.problems:
        raise InputError(reading.problems)
    return PartDescription(job, text, file, lines)


#: A job of the one panel that is named, flat and of its own size.
NOTHING_SAID = PartDescription(PartFile(format=1, part=(Part(),)), "", "", {})


def _check_stations(reading: Reading, part: Part, path: Path) -> None:
    """Refuse stations that are not in order, with the order that would be."""
    order = [station.at.value for station in part.station]
    for index, (before, here) in enumerate(itertools.pairwise(order), start=1):
        if here <= before:
            said: tuple[Quantity, Quantity] = (part.station[index - 1].at, part.station[index].at)
            rising = sorted({(station.at.value, station.at.text) for station in part.station})
            reading.refuse(
                (*path, index, "at"),
                Problem(
                    "the stations are out of order: each must lie farther on than the one before",
                    f"{said[1].text} after {said[0].text}",
                    f"more than {said[0].text}",
                    ", ".join(text for _, text in rising[:8]) + (", …" if rising[8:] else ""),
                ),
            )
            return


def schema() -> dict[str, Any]:
    """JSON Schema of the part file."""
    made = PartFile.model_json_schema()
    made["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    made["title"] = "Panelwright part file, format 1"
    return made
