"""The types of a panel file's values: text in, checked quantities out."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, PlainSerializer, WithJsonSchema

from panelwright import units
from panelwright.errors import Problem, UnitError
from panelwright.units import Quantity

#: The least of what must be there at all.
TINY = 1e-9


class Refused(ValueError):
    """Carries a problem through the validator."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        super().__init__(problem.sentence())


@dataclass(frozen=True)
class Limits:
    """What a value of a field can be at all (SI)."""

    least: float
    most: float

    def words(self, dimension: str) -> str:
        """The limits as allowed in a message."""
        most = units.show(self.most, dimension)
        if self.least == TINY:
            return f"more than zero, up to {most}"
        return f"{units.show(self.least, dimension)} to {most}"


def _wrong(quantity: Quantity, limits: Limits) -> str:
    """What is wrong with a quantity, or nothing."""
    if quantity.value <= 0.0 < limits.least:
        return "must be more than zero"
    if quantity.value < limits.least:
        return "is less than this can be"
    if quantity.value > limits.most:
        return "is more than this can be"
    if quantity.low < limits.least or quantity.high > limits.most:
        return "has a range that goes past what is possible"
    return ""


def _checked(quantity: Quantity, dimension: str, limits: Limits) -> Quantity:
    wrong = _wrong(quantity, limits)
    if not wrong:
        return quantity
    raise Refused(Problem(f"{quantity.text} {wrong}", quantity.text, limits.words(dimension)))


_Parse = Callable[[object, str], Quantity]


def _reader(parse: _Parse, dimension: str, limits: Limits) -> Callable[[object], Quantity]:
    def read(value: object) -> Quantity:
        if isinstance(value, Quantity):
            return value
        try:
            return _checked(parse(value, dimension), dimension, limits)
        except UnitError as refused:
            raise Refused(refused.problems[0]) from None

    return read


def _field(reader: Callable[[object], Quantity], dimension: str, schema: Mapping[str, Any]) -> Any:
    example = units.DIMENSIONS[dimension].example
    return (
        BeforeValidator(reader),
        PlainSerializer(lambda quantity: quantity.text, return_type=str),
        WithJsonSchema({**schema, "description": f"a quantity such as {example!r}"}),
    )


def quantity_reader(dimension: str, limits: Limits) -> Callable[[object], Quantity]:
    """What reads a quantity of a dimension within limits (SI); raises :class:`Refused`."""
    return _reader(units.parse, dimension, limits)


def quantity_field(dimension: str, limits: Limits) -> Any:
    """The type of a field that is a quantity of a dimension within limits (SI)."""
    bare = units.DIMENSIONS[dimension].unitless_ok
    schema = {"type": ["string", "number"]} if bare else {"type": "string"}
    reader = _reader(units.parse, dimension, limits)
    return Annotated[(Quantity, *_field(reader, dimension, schema))]


def _span(dimension: str, limits: Limits) -> Any:
    reader = _reader(units.parse_span, dimension, limits)
    return Annotated[(Quantity, *_field(reader, dimension, {"type": "string"}))]


Thickness = quantity_field("thickness", Limits(TINY, 0.5))
Thin = quantity_field("thickness", Limits(TINY, 0.03))
Width = quantity_field("thickness", Limits(TINY, 1.5))
Radius = quantity_field("length", Limits(0.01, 1e4))
Side = quantity_field("length", Limits(1e-3, 200.0))
ClothMass = quantity_field("cloth_mass", Limits(TINY, 6.0))
Spread = quantity_field("cloth_mass", Limits(0.0, 20.0))
Density = quantity_field("density", Limits(5.0, 2.3e4))
Modulus = quantity_field("modulus", Limits(TINY, 2e12))
Strength = quantity_field("stress", Limits(TINY, 2e10))
Share = quantity_field("fraction", Limits(0.0, 1.0))
WrinklingShare = quantity_field("fraction", Limits(0.05, 1.0))
Loss = quantity_field("fraction", Limits(0.0, 3.0))
FibreShare = quantity_field("fraction", Limits(0.02, 0.99))
KnotShare = quantity_field("fraction", Limits(0.0, 0.6))
VoidShare = quantity_field("fraction", Limits(-0.05, 0.5))
Moisture = quantity_field("fraction", Limits(0.0, 1.5))
Ratio = Annotated[float, Field(strict=True, gt=-1.0, lt=1.5, allow_inf_nan=False)]
Angle = quantity_field("angle", Limits(-360.0, 360.0))
RingAngle = quantity_field("angle", Limits(0.0, 90.0))
Mass = quantity_field("mass", Limits(TINY, 1e4))
Pressure = quantity_field("pressure", Limits(TINY, 1e7))
Force = quantity_field("force", Limits(TINY, 1e7))
Depth = quantity_field("length", Limits(0.0, 100.0))
Place = quantity_field("length", Limits(0.0, 200.0))
Footprint = quantity_field("thickness", Limits(0.0, 20.0))
Gravities = quantity_field("ratio", Limits(TINY, 50.0))
Reserve = quantity_field("ratio", Limits(TINY, 100.0))
Strain = quantity_field("fraction", Limits(TINY, 0.1))
ArealMass = quantity_field("areal_mass", Limits(TINY, 1e3))
Factor = quantity_field("ratio", Limits(0.0, 100.0))
Temperature = quantity_field("temperature", Limits(223.15, 373.15))
Humidity = quantity_field("fraction", Limits(0.0, 1.0))
TemperatureSpan = _span("temperature", Limits(173.15, 573.15))
HumiditySpan = _span("fraction", Limits(0.0, 1.0))


_SHARE = re.compile(r"^(\d+(?:\.\d+)?)\s*%\s*(?:at\s+)?([+\-−]?\d+(?:\.\d+)?|random)$")
_DIRECTIONS_EXAMPLE = "53 % at 0, 23.5 % at +45, 23.5 % at -45"


@dataclass(frozen=True)
class SharesByDirection:
    """What the label of a cloth says: how much of its fibre lies which way, from the marked face.

    Angles in degrees from the roll, None at random; shares sum to 1.
    """

    text: str
    plies: tuple[tuple[float | None, float], ...]


def _read_directions(value: object) -> SharesByDirection:
    if isinstance(value, SharesByDirection):
        return value
    text = value if isinstance(value, str) else ""
    plies = []
    for part in text.split(","):
        match = _SHARE.match(part.strip())
        if match is None:
            raise Refused(
                Problem(
                    "this does not say how much of the fibre lies which way",
                    repr(value)[:80],
                    hint=f'"{_DIRECTIONS_EXAMPLE}"',
                )
            )
        angle = None if match[2] == "random" else float(match[2].replace("−", "-"))
        plies.append((angle, float(match[1]) / 100.0))
    whole = sum(share for _, share in plies)
    if not 0.97 <= whole <= 1.03 or any(share <= 0.0 for _, share in plies):
        raise Refused(
            Problem(
                f"the shares make {100.0 * whole:.4g} %",
                text,
                "shares above zero that make 100 %",
                f'"{_DIRECTIONS_EXAMPLE}"',
            )
        )
    return SharesByDirection(text, tuple((angle, share / whole) for angle, share in plies))


Directions = Annotated[
    SharesByDirection,
    BeforeValidator(_read_directions),
    PlainSerializer(lambda shares: shares.text, return_type=str),
    WithJsonSchema({"type": "string", "description": f"shares such as {_DIRECTIONS_EXAMPLE!r}"}),
]


_SLOPE = re.compile(r"^\s*1\s*(?::|in)\s*(\d+(?:\.\d+)?)\s*$")
_slope_in_degrees = _reader(units.parse, "angle", Limits(0.0, 45.0))


def _read_slope(value: object) -> Quantity:
    """A slope of grain as the trade writes it, "1:12" or "1 in 12", or an angle; in degrees."""
    match = _SLOPE.match(value) if isinstance(value, str) else None
    if match is None or float(match[1]) < 1.0:
        return _slope_in_degrees(value)
    angle = math.degrees(math.atan(1.0 / float(match[1])))
    return Quantity(angle, angle, angle, str(value), False)


GrainSlope = Annotated[(Quantity, *_field(_read_slope, "angle", {"type": ["string", "number"]}))]
