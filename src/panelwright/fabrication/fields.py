"""The types of a part file's values beside those of a panel file: ratios, times of day, money."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated

from pydantic import BeforeValidator, Field, PlainSerializer, WithJsonSchema

from panelwright.errors import Problem
from panelwright.panels.fields import TINY, Limits, Refused, quantity_field

MOST_OFF = 1000

Place = quantity_field("length", Limits(0.0, 1e3))
Time = quantity_field("time", Limits(1.0, 1e7))
Rate = quantity_field("laying_rate", Limits(TINY, 1.0))
Ramp = quantity_field("heating_rate", Limits(TINY, 1.0))
Factor = quantity_field("ratio", Limits(1.0, 10.0))
HeldAt = quantity_field("temperature", Limits(273.15, 573.15))
Usable = quantity_field("fraction", Limits(0.05, 1.0))
Between = quantity_field("angle", Limits(20.0, 175.0))
Turn = quantity_field("angle", Limits(0.0, 720.0))
Viscosity = quantity_field("viscosity", Limits(TINY, 1e4))
Permeability = quantity_field("area", Limits(1e-20, 1e-3))
Pressure = quantity_field("pressure", Limits(1.0, 2e7))
Count = Annotated[int, Field(strict=True, ge=1, le=MOST_OFF)]
Money = Annotated[float, Field(ge=0.0, le=1e9, allow_inf_nan=False)]


# --- Words with a grammar of their own ------------------------------------------------------------


@dataclass(frozen=True)
class Ratio:
    """Resin over hardener, and of what."""

    text: str
    parts: tuple[float, float]
    by: str  # "mass" or "volume"

    @property
    def value(self) -> float:
        """Resin over hardener."""
        return self.parts[0] / self.parts[1]


_RATIO = re.compile(
    r"^\s*(\d+(?:\.\d+)?)\s*:\s*(\d+(?:\.\d+)?)\s*(?:by\s+)?(mass|weight|volume)?\s*$"
)
RATIO_EXAMPLE = "100:32 by mass"


def _read_ratio(value: object) -> Ratio:
    if isinstance(value, Ratio):
        return value
    found = _RATIO.match(value) if isinstance(value, str) else None
    given = repr(value)[:80]
    if found is None or float(found[1]) <= 0.0 or float(found[2]) <= 0.0:
        what = "this is not a mix ratio, resin to hardener"
        raise Refused(Problem(what, given, hint=f'"{RATIO_EXAMPLE}" or "2:1 by volume"'))
    if found[3] is None:
        what = "a mix ratio must say whether it is by mass or by volume: they are not the same"
        hint = (
            f'"{found[1]}:{found[2]} by mass" or "{found[1]}:{found[2]} by volume", as on the can'
        )
        raise Refused(Problem(what, given, hint=hint))
    by = "volume" if found[3] == "volume" else "mass"
    return Ratio(str(value), (float(found[1]), float(found[2])), by)


MixRatio = Annotated[
    Ratio,
    BeforeValidator(_read_ratio),
    PlainSerializer(lambda ratio: ratio.text, return_type=str),
    WithJsonSchema({"type": "string", "description": f"such as {RATIO_EXAMPLE!r}"}),
]

_CLOCK = re.compile(r"^\s*([01]?\d|2[0-4]):([0-5]\d)\s*$")


def _read_clock(value: object) -> float:
    """Seconds after midnight of ``9:30``."""
    if isinstance(value, float):
        return value
    found = _CLOCK.match(value) if isinstance(value, str) else None
    if found is None or (found[1] == "24" and found[2] != "00"):
        hint = '"9:00" or "16:30"'
        raise Refused(Problem("this is not a time of day", repr(value)[:80], "0:00 to 24:00", hint))
    return 3600.0 * float(found[1]) + 60.0 * float(found[2])


Clock = Annotated[
    float,
    BeforeValidator(_read_clock),
    WithJsonSchema({"type": "string", "description": "a time of day such as '9:00'"}),
]
