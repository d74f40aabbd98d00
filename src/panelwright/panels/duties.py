"""What a panel file says of a panel's duty: how it is held, what it carries, what it must keep."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import Annotated, Literal

from pydantic import BeforeValidator, Field, PlainSerializer, WithJsonSchema, model_validator

from panelwright.errors import Problem
from panelwright.panels.fields import (
    TINY,
    ArealMass,
    Depth,
    Factor,
    Footprint,
    Force,
    Gravities,
    Limits,
    Mass,
    Place,
    Pressure,
    Refused,
    Reserve,
    Side,
    Strain,
    Thickness,
    quantity_reader,
)
from panelwright.panels.layers import Model, Name
from panelwright.units import Quantity

#: More duties, and loads of one, than any real panel has.
MOST_DUTIES, MOST_LOADS = 12, 12

Hold = Literal["simply supported", "clamped", "free", "unsure"]
UNSURE: Hold = "unsure"
#: How a strip may be held and loaded.
Strip = Literal[
    "three points",
    "four points",
    "simply supported, even load",
    "clamped, even load",
    "clamped, load in the middle",
    "cantilever, load at the end",
    "cantilever, even load",
]


class Edges(Model):
    """How each edge is held, as the panel lies with its length from left to right."""

    left: Hold = UNSURE
    right: Hold = UNSURE
    bottom: Hold = UNSURE
    top: Hold = UNSURE


def _edges(value: object) -> object:
    """One word for all four edges, or a word for each."""
    return dict.fromkeys(Edges.model_fields, value) if isinstance(value, str) else value


class Span(Model):
    """The field between the supports; along the length and across it."""

    length: Side
    width: Side


class Spot(Model):
    """What a load stands on; a side that is not given, or nil, makes it a line."""

    length: Footprint | None = None
    width: Footprint | None = None


class At(Model):
    """Where the middle of a load stands, from the left and from the bottom edge."""

    along: Place
    across: Place


#: Years and days are no units of a shop's clock, but of how long a load lasts.
_LONG = re.compile(r"^\s*(\d+(?:\.\d+)?)\s*(years?|months?|weeks?|days?)\s*$")
_SECONDS = {"year": 3.15576e7, "month": 2.6298e6, "week": 604800.0, "day": 86400.0}
_time = quantity_reader("time", Limits(1e-3, 1e10))


def _or(read: Callable[[object], Quantity], value: object, other: str) -> Quantity:
    """Read a quantity; where it is refused, say as well what else is taken."""
    try:
        return read(value)
    except Refused as refused:
        problem = refused.problem
        raise Refused(replace(problem, allowed=f"{problem.allowed}, {other}")) from None


def _lasting(value: object) -> Quantity:
    match = _LONG.match(value) if isinstance(value, str) else None
    if match is None:
        return _or(_time, value, 'or "10 days", "50 years"')
    seconds = float(match[1]) * _SECONDS[match[2].rstrip("s")]
    return Quantity(seconds, seconds, seconds, str(value), False)


Lasts = Annotated[
    Quantity,
    BeforeValidator(_lasting),
    PlainSerializer(lambda quantity: quantity.text, return_type=str),
    WithJsonSchema({"type": "string", "description": 'a time such as "8 h" or "50 years"'}),
]


@dataclass(frozen=True)
class DeflectionLimit:
    """A deflection, m, or the span over a number."""

    text: str
    length: float | None
    over: float | None


_SHARE_OF_SPAN = re.compile(r"^\s*span\s*/\s*(\d+(?:\.\d+)?)\s*$")
_thickness = quantity_reader("thickness", Limits(TINY, 2.0))


def _deflection(value: object) -> DeflectionLimit:
    if isinstance(value, DeflectionLimit):
        return value
    match = _SHARE_OF_SPAN.match(value) if isinstance(value, str) else None
    if match is None:
        length = _or(_thickness, value, 'or "span/100"')
        return DeflectionLimit(str(value), length.value, None)
    over = float(match[1])
    if not 2.0 <= over <= 1e4:
        raise Refused(Problem("no such share of the span", str(value), "span/2 to span/10000"))
    return DeflectionLimit(str(value), None, over)


Deflection = Annotated[
    DeflectionLimit,
    BeforeValidator(_deflection),
    PlainSerializer(lambda limit: limit.text, return_type=str),
    WithJsonSchema({"type": "string", "description": 'a length, or "span/100"'}),
]


class Load(Model):
    """One load; all loads of a duty act together."""

    name: Name | None = None
    pressure: Pressure | None = None
    head: Depth | None = None  # of water over the bottom edge
    head_top: Depth | None = None  # over the top edge; the same as ``head`` if not said
    force: Force | None = None
    mass: Mass | None = None
    times_gravity: Gravities | None = None
    own_weight: Annotated[bool, Field(strict=True)] = False
    on: Spot | None = None
    at: At | None = None
    towards: Literal["inside", "outside"] = "inside"
    source: Annotated[str, Field(max_length=400)] | None = None

    @model_validator(mode="after")
    def _is_one_load(self) -> Load:
        says = [
            name
            for name in ("pressure", "head", "force", "mass")
            if getattr(self, name) is not None
        ] + (["own_weight"] if self.own_weight else [])
        if len(says) != 1:
            what = "a load is one of these" if says else "the load does not say what it is"
            allowed = "one of pressure, head, force, mass, own_weight"
            hint = 'pressure = "1.2 kPa", or force = "800 N" with on = {...}'
            raise Refused(Problem(what, ", ".join(says) or "none of them", allowed, hint))
        if self.head_top is not None and self.head is None:
            raise Refused(Problem("`head_top` goes with `head`", hint='head = "0.9 m"'))
        return self


class Limit(Model):
    """What must be kept; nothing is judged that is not limited here."""

    deflection: Deflection | None = None
    first_damage: Reserve | None = None  # least reserve factor at first damage
    reserve: Reserve | None = None  # least reserve factor at the end
    strain: Strain | None = None
    thickness: Thickness | None = None
    mass: ArealMass | None = None


class AtLeast(Model):
    """How much of what is known is wanted: 1 for as stiff, as strong."""

    stiffness: Factor | None = None
    strength: Factor | None = None


class LikeWhat(Model):
    """A limit by a solid that is known: same span, edges and load for both."""

    as_: Name = Field(alias="as")
    at_least: AtLeast = AtLeast()
    mass: Literal["less"] | None = None


class Duty(Model):
    """One duty of a panel."""

    name: Name = "duty"
    ready: Name | None = None
    strip: Strip | None = None
    span: Span | None = None
    edges: Annotated[Edges, BeforeValidator(_edges, json_schema_input_type=Hold | Edges)] = Edges()
    arm: Side | None = None  # of four points: from each end to the load beside it
    load: Annotated[tuple[Load, ...], Field(max_length=MOST_LOADS)] = ()
    lasts: Lasts | None = None
    limits: Limit = Limit()
    like: LikeWhat | None = None
    note: str | None = None

    @property
    def is_judged(self) -> bool:
        """Whether any limit is set."""
        kept = (self.limits, *([self.like.at_least] if self.like else []))
        named = any(
            getattr(one, name) is not None for one in kept for name in type(one).model_fields
        )
        return named or bool(self.like and self.like.mass)
