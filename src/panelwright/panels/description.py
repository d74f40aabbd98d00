"""What a panel file says, checked in form but not yet turned into numbers of materials.

A description keeps names as names; :mod:`panelwright.panels.resolve` looks them up. All problems
of a file are reported together, each with file, line, what was given and what is allowed.
"""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import BaseModel, Field, ValidationError

from panelwright.errors import InputError, Problem
from panelwright.panels.fields import (
    Humidity,
    HumiditySpan,
    Loss,
    Mass,
    Refused,
    Side,
    Spread,
    Temperature,
    TemperatureSpan,
)
from panelwright.panels.layers import BY_KIND, AnyLayer, Layer, Model, Name
from panelwright.panels.places import Path, line_of, places

FORMAT = 1
MOST_TEXT = 200_000


class Size(Model):
    """Sides of the panel; x runs along the length."""

    length: Side
    width: Side


class Shop(Model):
    """Air in the shop while the panel is made."""

    temperature: Temperature
    humidity: Humidity


class Service(Model):
    """What the panel will live in."""

    temperature: TemperatureSpan | None = None
    humidity: HumiditySpan | None = None
    wet: Annotated[bool, Field(strict=True)] = False


class ResinTaken(Model):
    """Resin that leaves with consumables, in place of what the process usually takes."""

    peel_ply: Spread | None = None  # on each face that has it
    bleeder: Spread | None = None
    mesh: Spread | None = None
    lines: Loss | None = None  # as a share of the resin laid


class Group(Model):
    """Layers under a name, for use more than once."""

    name: Name
    layer: tuple[AnyLayer, ...]


class Panel(Model):
    """One panel as described. ``layer`` runs from the outside face inwards."""

    format: Literal[1]
    title: Name = "Panel"
    process: Name = "hand lay-up"
    resin: Name = "epoxy, laminating"
    size: Size | None = None
    shop: Shop | None = None
    service: Service | None = None
    peel_ply: Literal["none", "outside", "inside", "both"] | None = None
    pot_loss: Loss | None = None
    resin_taken: ResinTaken = ResinTaken()
    resin_pack: Mass | None = None
    mirror: Annotated[bool, Field(strict=True)] = False
    notes: str | None = None
    layer: tuple[AnyLayer, ...]
    group: tuple[Group, ...] = ()


@dataclass(frozen=True)
class Description:
    """A panel as described, with the text it came from and the line of each key."""

    panel: Panel
    text: str
    file: str
    lines: dict[Path, int]

    def problem(self, path: Sequence[str | int], problem: Problem) -> Problem:
        """The problem with its place in the file."""
        return problem.at(file=self.file, line=line_of(self.lines, path), key=spoken(path))


def spoken(path: Sequence[str | int]) -> str:
    """``("layer", 1, "thickness")`` as "layer 2, thickness"."""
    words: list[str] = []
    for part in path:
        if isinstance(part, int) and words:
            words[-1] += f" {part + 1}"
        else:
            words.append(str(part))
    return ", ".join(words)


def nearest(word: str, names: Sequence[str], count: int = 3) -> list[str]:
    """Up to three of the names that look most like the word."""
    return difflib.get_close_matches(word, names, n=count, cutoff=0.5)


def _keys(model: type[BaseModel]) -> list[str]:
    return list(model.model_fields)


def _kind_problem(table: Mapping[str, Any]) -> Problem | None:
    """What is wrong with the kind of a layer, or None where exactly one kind is named."""
    # `glue` is a key of strips as well as a kind of its own.
    found = [kind for kind in BY_KIND if kind in table]
    if "strips" in found and "glue" in found:
        found.remove("glue")
    if len(found) == 1:
        return None
    if found:
        return Problem(
            f"one layer cannot be {' and '.join(found)} at once",
            ", ".join(found),
            hint="write a [[layer]] for each",
        )
    close = [kind for key in table for kind in nearest(key, list(BY_KIND), 1)]
    return Problem(
        "the layer does not say what it is",
        ", ".join(table) or "an empty [[layer]]",
        "one of " + ", ".join(BY_KIND),
        f"{close[0]} = ..." if close else 'cloth = "E-glass biaxial 300 g/m2"',
    )


def _kind_of(table: Mapping[str, Any]) -> str:
    found = [kind for kind in BY_KIND if kind in table]
    return "strips" if "strips" in found else found[0]


def _unknown(path: Path, key: str, given: Any, model: type[BaseModel]) -> Problem:
    known = _keys(model)
    if issubclass(model, Layer) and key in Panel.model_fields:
        return Problem(
            f"`{key}` is a key of the panel, but it stands below a [[layer]] and so belongs to it",
            f"{key} = {given!r}",
            hint=f"move `{key}` above the first [[layer]]",
        )
    close = nearest(key, known, 1)
    return Problem(
        f"`{key}` is not known here",
        f"{key} = {given!r}"[:120],
        ", ".join(known),
        f"`{close[0]}`" if close else "",
    )


_SAYINGS = {
    "missing": "is missing",
    "literal_error": "is none of the words that are known here",
    "bool_type": "must be true or false",
    "string_type": "must be text",
    "int_type": "must be a whole number",
    "float_type": "must be a number",
    "too_short": "is empty",
    "string_too_short": "is empty",
    "string_too_long": "is too long",
    "model_type": "must be a table of its own",
    "tuple_type": "must be a list of tables",
}


def _from_pydantic(error: Mapping[str, Any], model: type[BaseModel]) -> Problem:
    key = str(error["loc"][-1]) if error["loc"] else ""
    refused = error.get("ctx", {}).get("error")
    if isinstance(refused, Refused):
        return refused.problem
    if error["type"] == "extra_forbidden":
        owner = _owner(model, error["loc"])
        return _unknown((), key, error["input"], owner)
    if error["type"] == "missing":
        return Problem(f"`{key}` is missing", hint=f"write `{key} = ...`")
    allowed = str(error.get("ctx", {}).get("expected", ""))
    said = _SAYINGS.get(error["type"], error["msg"][:1].lower() + error["msg"][1:])
    close = nearest(str(error["input"]), [part.strip(" '") for part in allowed.split(" or ")], 1)
    return Problem(f"`{key}` {said}", repr(error["input"])[:80], allowed, close[0] if close else "")


def _owner(model: type[BaseModel], loc: Sequence[str | int]) -> type[BaseModel]:
    """The model that holds the last key of a location inside ``model``."""
    owner = model
    for part in loc[:-1]:
        field = owner.model_fields.get(str(part))
        options = (
            [] if field is None else [field.annotation, *getattr(field.annotation, "__args__", ())]
        )
        inner = [o for o in options if isinstance(o, type) and issubclass(o, BaseModel)]
        if inner:
            owner = inner[0]
    return owner


class _Reading:
    """One pass over a parsed file; collects the problems."""

    def __init__(self, file: str, lines: dict[Path, int]) -> None:
        self.file = file
        self.lines = lines
        self.problems: list[Problem] = []

    def refuse(self, path: Path, problem: Problem) -> None:
        place = problem.at(file=self.file, line=line_of(self.lines, path), key=spoken(path))
        self.problems.append(place)

    def model(self, model: type[Model], table: Mapping[str, Any], path: Path) -> Any:
        try:
            return model.model_validate(dict(table))
        except ValidationError as wrong:
            for error in wrong.errors():
                where = (*path, *error["loc"])
                self.refuse(where, _from_pydantic(error, model))
            return None

    def layers(self, tables: Any, path: Path) -> tuple[Any, ...]:
        if not isinstance(tables, list) or not all(isinstance(table, dict) for table in tables):
            self.refuse(
                path, Problem("`layer` must be written as [[layer]] tables", repr(tables)[:80])
            )
            return ()
        found = [self.layer(table, (*path, index)) for index, table in enumerate(tables)]
        return tuple(layer for layer in found if layer is not None)

    def layer(self, table: Mapping[str, Any], path: Path) -> Any:
        problem = _kind_problem(table)
        if problem is not None:
            self.refuse(path, problem)
            return None
        return self.model(BY_KIND[_kind_of(table)], table, path)

    def groups(self, tables: Any) -> Iterator[Group]:
        for index, table in enumerate(tables if isinstance(tables, list) else []):
            path: Path = ("group", index)
            if not isinstance(table, dict) or not isinstance(table.get("name"), str):
                self.refuse(path, Problem("a [[group]] needs a name", hint='name = "skin"'))
                continue
            rest = {key: value for key, value in table.items() if key not in ("name", "layer")}
            for key, value in rest.items():
                self.refuse((*path, key), _unknown(path, key, value, Group))
            layers = self.layers(table.get("layer", []), (*path, "layer"))
            if layers:
                yield Group(name=table["name"], layer=layers)
            elif not table.get("layer"):
                self.refuse(
                    path, Problem("the group has no layers", hint="add [[group.layer]] tables")
                )


def _parsed(text: str, file: str) -> dict[str, Any]:
    if len(text) > MOST_TEXT:
        raise InputError(
            Problem(
                "the file is too long", f"{len(text)} characters", f"up to {MOST_TEXT}", file=file
            )
        )
    try:
        return tomllib.loads(text)
    except (tomllib.TOMLDecodeError, RecursionError) as wrong:
        raise InputError(_toml_problem(str(wrong), text, file)) from None


def _toml_problem(message: str, text: str, file: str) -> Problem:
    line: int | None = None
    if "(at line " in message:
        line = int(message.split("(at line ")[1].split(",", maxsplit=1)[0])
    shown = (
        text.splitlines()[line - 1].strip()[:80] if line and line <= text.count("\n") + 1 else ""
    )
    what = message.split(" (at ", maxsplit=1)[0]
    hint = 'text goes in quotes: thickness = "8 mm"' if shown else ""
    return Problem(
        f"this line is not TOML: {what[:1].lower()}{what[1:]}", shown, "", hint, file, line
    )


def read(text: str, file: str = "panel file") -> Description:
    """Read a panel file.

    text : TOML; file : name for messages. Raises :class:`InputError` with every problem found.
    """
    table = _parsed(text, file)
    lines = places(text)
    reading = _Reading(file, lines)
    layers = reading.layers(table.get("layer", []), ("layer",))
    groups = tuple(reading.groups(table.get("group", [])))
    rest = {key: value for key, value in table.items() if key not in ("layer", "group")}
    if "format" not in rest:
        reading.refuse((), Problem("`format` is missing", hint="begin the file with `format = 1`"))
        rest["format"] = FORMAT
    if not table.get("layer"):
        reading.refuse(
            (),
            Problem(
                "the panel has no layers", hint="add a [[layer]], from the outside face inwards"
            ),
        )
    panel = reading.model(Panel, {**rest, "layer": layers, "group": groups}, ())
    if reading.problems:
        raise InputError(reading.problems)
    return Description(panel, text, file, lines)


def schema() -> dict[str, Any]:
    """JSON Schema of the panel file."""
    made = Panel.model_json_schema()
    made["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    made["title"] = "Panelwright panel file, format 1"
    return made
