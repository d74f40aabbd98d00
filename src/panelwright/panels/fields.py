"""The types of a panel file's values: text in, checked quantities out."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Annotated, Any

from pydantic import BeforeValidator, Field, PlainSerializer, WithJsonSchema

from panelwright import units
from panelwright.errors import Problem, UnitError
from panelwright.units import Quantity


class Refused(ValueError):
    """Carries a problem through the validator."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        super().__init__(problem.sentence())


@dataclass(frozen=True)
class Limits:
    """What a value of a field can be at all, and what it usually is (SI)."""

    least: float
    most: float
    usual_least: float = 0.0
    usual_most: float = float("inf")


def _checked(quantity: Quantity, dimension: str, limits: Limits | None) -> Quantity:
    if limits is None or limits.least <= quantity.value <= limits.most:
        return quantity
    shown = [units.show(bound, dimension) for bound in (limits.least, limits.most)]
    what = "must be more than zero" if quantity.value <= 0.0 else "cannot be"
    raise Refused(
        Problem(f"{quantity.text} {what} here", quantity.text, f"{shown[0]} to {shown[1]}")
    )


def _reader(dimension: str, limits: Limits | None) -> Callable[[object], Quantity]:
    def read(value: object) -> Quantity:
        if isinstance(value, Quantity):
            return value
        try:
            return _checked(units.parse(value, dimension), dimension, limits)
        except UnitError as refused:
            raise Refused(refused.problems[0]) from None

    return read


def _span_reader(dimension: str) -> Callable[[object], Quantity]:
    def read(value: object) -> Quantity:
        try:
            return units.parse_span(value, dimension)
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


def _quantity(dimension: str, limits: Limits | None = None) -> Any:
    bare = units.DIMENSIONS[dimension].unitless_ok
    schema = {"type": ["string", "number"]} if bare else {"type": "string"}
    return Annotated[(Quantity, *_field(_reader(dimension, limits), dimension, schema))]


def _span(dimension: str) -> Any:
    return Annotated[(Quantity, *_field(_span_reader(dimension), dimension, {"type": "string"}))]


TINY = 1e-9
Thickness = _quantity("thickness", Limits(TINY, 0.5))
Thin = _quantity("thickness", Limits(TINY, 0.03))
Width = _quantity("thickness", Limits(TINY, 1.5))
Radius = _quantity("length", Limits(0.01, 1e4))
Side = _quantity("length", Limits(1e-3, 200.0))
ClothMass = _quantity("cloth_mass", Limits(TINY, 6.0))
Spread = _quantity("cloth_mass", Limits(0.0, 20.0))
Density = _quantity("density", Limits(5.0, 2.3e4))
Modulus = _quantity("modulus", Limits(TINY, 2e12))
Strength = _quantity("stress", Limits(TINY, 2e10))
Share = _quantity("fraction", Limits(0.0, 1.0))
Loss = _quantity("fraction", Limits(0.0, 3.0))
FibreShare = _quantity("fraction", Limits(0.02, 0.99))
VoidShare = _quantity("fraction", Limits(-0.05, 0.5))
Moisture = _quantity("fraction", Limits(0.0, 1.5))
Ratio = Annotated[float, Field(strict=True, gt=-1.0, lt=1.5, allow_inf_nan=False)]
Angle = _quantity("angle", Limits(-360.0, 360.0))
Mass = _quantity("mass", Limits(TINY, 1e4))
Temperature = _quantity("temperature", Limits(223.15, 373.15))
Humidity = _quantity("fraction", Limits(0.0, 1.0))
TemperatureSpan = _span("temperature")
HumiditySpan = _span("fraction")
