"""The plan of a build for machines: SI units, a schema with a version."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import fields, is_dataclass
from enum import Enum
from typing import Any

from pydantic import TypeAdapter

from panelwright.fabrication.plan import SCHEMA, BuildPlan
from panelwright.panels.records import Prediction
from panelwright.panels.spread import Ranged
from panelwright.reports.prediction_json import quantity
from panelwright.reports.prediction_json import schema as prediction_schema

#: What of a prediction stands with its part; the rest is what `predict --json` gives.
_OF_PREDICTION: Mapping[str, Mapping[str, str]] = {
    "title": {"type": "string"},
    "process": {"type": "string"},
    "resin": {"type": "string"},
    "thickness": {"$ref": "#/$defs/quantity"},
    "areal_mass": {"$ref": "#/$defs/quantity"},
}


def as_json(plan: BuildPlan) -> dict[str, Any]:
    """The plan as plain data. Masses in kg, lengths in m, times in s from the first midnight."""
    return {
        "schema": SCHEMA,
        **{field.name: _plain(getattr(plan, field.name)) for field in fields(plan)},
        "hours": dict(zip(("value", "low", "high"), plan.hours, strict=True)),
    }


def schema() -> dict[str, Any]:
    """JSON Schema of what :func:`as_json` gives."""
    made = TypeAdapter(BuildPlan).json_schema(mode="serialization")
    known = prediction_schema()
    kinds = made["$defs"]
    kinds["quantity"] = known["$defs"]["quantity"]
    kinds["Ranged"] = {"$ref": "#/$defs/quantity"}
    kinds["Prediction"] = _object(_OF_PREDICTION)
    hours = _object({name: {"type": "number"} for name in ("value", "low", "high")})
    made["properties"] |= {"schema": {"const": SCHEMA}, "hours": hours}
    made["required"] = sorted(made["properties"])
    made["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    made["title"] = f"Panelwright build, schema {SCHEMA}"
    return made


def _object(properties: Mapping[str, Any]) -> dict[str, Any]:
    return {
        "type": "object",
        "properties": dict(properties),
        "required": sorted(properties),
        "additionalProperties": False,
    }


def _plain(value: Any) -> Any:
    for kind, written in _WRITTEN:
        if isinstance(value, kind):
            return written(value)
    if is_dataclass(value) and not isinstance(value, type):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    return value


_WRITTEN: tuple[tuple[Any, Callable[[Any], Any]], ...] = (
    (Ranged, quantity),
    (Prediction, lambda made: {name: _plain(getattr(made, name)) for name in _OF_PREDICTION}),
    (Enum, lambda word: word.value),
    (dict, lambda table: {str(key): _plain(entry) for key, entry in table.items()}),
    (tuple | list, lambda entries: [_plain(entry) for entry in entries]),
    (float, lambda number: number if math.isfinite(number) else None),
)
