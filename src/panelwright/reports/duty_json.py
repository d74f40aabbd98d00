"""Verdicts on the duties of a panel for machines: SI units, a schema with a version."""

from __future__ import annotations

from dataclasses import fields
from typing import Any

from pydantic import TypeAdapter

from panelwright.panels.spread import Ranged
from panelwright.panels.verdicts import SCHEMA, DutyRecord, LimitRecord
from panelwright.reports.prediction_json import quantity
from panelwright.reports.prediction_json import schema as prediction_schema


def as_json(panel: str, duties: tuple[DutyRecord, ...]) -> dict[str, Any]:
    """The duties of a panel as plain data. panel : its title."""
    return {"schema": SCHEMA, "panel": panel, "duties": [_duty(duty) for duty in duties]}


def _duty(duty: DutyRecord) -> dict[str, Any]:
    made = {field.name: _plain(getattr(duty, field.name)) for field in fields(duty)}
    return {**made, "limits": [_limit(one) for one in duty.limits]}


def _limit(limit: LimitRecord) -> dict[str, Any]:
    """With the share of it that is used up: over 1 it is not kept."""
    made = {field.name: _plain(getattr(limit, field.name)) for field in fields(limit)}
    return {**made, "used": limit.used}


def _plain(value: Any) -> Any:
    if isinstance(value, Ranged):
        return quantity(value)
    if isinstance(value, tuple):
        return [_plain(one) for one in value]
    if hasattr(value, "__dataclass_fields__"):
        return {name: _plain(getattr(value, name)) for name in value.__dataclass_fields__}
    return value


def schema() -> dict[str, Any]:
    """JSON Schema of what :func:`as_json` gives."""
    made = TypeAdapter(DutyRecord).json_schema(mode="serialization")
    kinds = made.pop("$defs")
    kinds["quantity"] = prediction_schema()["$defs"]["quantity"]
    kinds["Ranged"] = {"$ref": "#/$defs/quantity"}
    used = {"anyOf": [{"type": "number"}, {"type": "null"}]}
    kinds["LimitRecord"]["properties"]["used"] = used
    kinds = {name: kind for name, kind in kinds.items() if name not in {"Driver", "Evidence"}}
    for kind in (made, *kinds.values()):
        if kind.get("type") == "object":
            kind["required"] = sorted(kind["properties"])
            kind["additionalProperties"] = False
    kinds["DutyRecord"] = made
    properties = {
        "schema": {"const": SCHEMA},
        "panel": {"type": "string"},
        "duties": {"type": "array", "items": {"$ref": "#/$defs/DutyRecord"}},
    }
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema",
        "title": f"Panelwright check, schema {SCHEMA}",
        "type": "object",
        "properties": properties,
        "required": sorted(properties),
        "additionalProperties": False,
        "$defs": kinds,
    }
