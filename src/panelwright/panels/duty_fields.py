"""What may be said of a duty, as fields to fill in, with what stands there."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Final, get_args

from panelwright.panels.duties import Hold, Strip
from panelwright.panels.layer_fields import LayerField

HOLDS: Final = get_args(Hold)
STRIPS: Final = get_args(Strip)
#: Path below a duty, its words, how a value is written, and what there is to choose from.
FIELDS: Final[tuple[tuple[tuple[str, ...], str, str, tuple[str, ...]], ...]] = (
    (("name",), "What it is", "A knee on the bottom", ()),
    (("ready",), "Load, in shop words", "kneel on it", ()),
    (("span", "length"), "Field, length", "600 mm", ()),
    (("span", "width"), "Field, width", "310 mm", ()),
    (("edges",), "All edges", "", HOLDS),
    (("lasts",), "How long it lasts", "10 s", ()),
    (("limits", "deflection"), "Deflection, at most", "span/100", ()),
    (("limits", "first_damage"), "Reserve at first damage, at least", "1.5", ()),
    (("limits", "reserve"), "Reserve in the end, at least", "2", ()),
    (("limits", "strain"), "Strain, at most", "0.3 %", ()),
    (("like", "as"), "Like what I know", "birch plywood 9 mm", ()),
    (("like", "at_least", "stiffness"), "As stiff, times", "1", ()),
    (("like", "at_least", "strength"), "As strong, times", "0.8", ()),
    (("like", "mass"), "Lighter than that", "", ("less",)),
    (("strip",), "A strip instead of a plate", "", STRIPS),
)


@dataclass(frozen=True)
class FileDuty:
    """One ``[[duty]]`` of a file and its fields; ``loads``: how many loads it lists itself."""

    place: int
    name: str
    fields: tuple[LayerField, ...]
    loads: int


def file_duties(text: str) -> tuple[FileDuty, ...]:
    """The duties that a file lists; none where it is not TOML."""
    try:
        listed = tomllib.loads(text).get("duty", [])
    except ValueError:
        return ()
    if not isinstance(listed, list):
        return ()
    tables = [one if isinstance(one, dict) else {} for one in listed]
    return tuple(_duty(place, table) for place, table in enumerate(tables))


def _duty(place: int, table: Mapping[str, Any]) -> FileDuty:
    fields = []
    for below, words, example, choices in FIELDS:
        path: tuple[str | int, ...] = ("duty", place, *below)
        fields.append(LayerField(path, words, _value(table, below), example, choices, True))
    loads = table.get("load", [])
    name = table.get("name") or table.get("ready") or f"duty {place + 1}"
    return FileDuty(place, str(name), tuple(fields), len(loads) if isinstance(loads, list) else 0)


def _value(table: Mapping[str, Any], below: tuple[str, ...]) -> str:
    found: Any = table
    for part in below:
        found = found.get(part) if isinstance(found, dict) else None
    if found is None or isinstance(found, dict | list):
        return ""
    return str(found)
