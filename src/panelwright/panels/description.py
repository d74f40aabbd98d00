"""What a panel file says, checked in form but not yet turned into numbers of materials.

A description keeps names as names; :mod:`panelwright.panels.resolve` looks them up. All problems
of a file are reported together, each with file, line, what was given and what is allowed.
"""

from __future__ import annotations

import difflib
import reprlib
import tomllib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, Field, ValidationError, WithJsonSchema

from panelwright.errors import InputError, Problem
from panelwright.panels.duties import MOST_DUTIES, Duty
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
    WrinklingShare,
)
from panelwright.panels.layers import BY_KIND, AnyLayer, Layer, Model, Name
from panelwright.panels.places import Path, line_of, places

FORMAT = 1
MOST_TEXT = 200_000
MOST_SHOWN = 80  # characters of a value in a message


def _format(value: object) -> int:
    if type(value) is int and value == FORMAT:
        return value
    what = f"this is not a file of format {FORMAT}, the only one that is read here"
    raise Refused(Problem(what, shown(value), str(FORMAT)))


Format = Annotated[int, BeforeValidator(_format), WithJsonSchema({"const": FORMAT})]


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

    format: Format
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
    wrinkling_share: WrinklingShare | None = None
    notes: str | None = None
    layer: tuple[AnyLayer, ...]
    group: tuple[Group, ...] = ()
    duty: Annotated[tuple[Duty, ...], Field(max_length=MOST_DUTIES)] = ()


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
            words.append(_on_one_line(str(part)))
    return ", ".join(words)


def _on_one_line(typed: str) -> str:
    """What was typed, on one line of a message, whatever stands in it."""
    return typed if typed.isprintable() and len(typed) <= MOST_SHOWN else shown(typed)


def shown(value: object) -> str:
    """A value of a TOML file, short enough for a message."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int) and value.bit_length() > MOST_SHOWN:
        return "a number of very many digits"
    if isinstance(value, str):
        return repr(value if len(value) <= MOST_SHOWN else value[:MOST_SHOWN] + "…")
    if isinstance(value, dict | list | tuple):
        return _short.repr(value)
    return str(value)


def _shortener() -> reprlib.Repr:
    made = reprlib.Repr()
    made.maxlong = made.maxstring = made.maxother = 30
    made.maxlevel = 2
    return made


_short = _shortener()


def nearest(word: str, names: Sequence[str], count: int = 3) -> list[str]:
    """Up to three of the names that look most like the word."""
    return difflib.get_close_matches(word, names, n=count, cutoff=0.5)


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
        ", ".join(_on_one_line(key) for key in list(table)[:6]) or "an empty [[layer]]",
        "one of " + ", ".join(BY_KIND),
        f"`{close[0]}`" if close else 'cloth = "E-glass biaxial 300 g/m2"',
    )


def _kind_of(table: Mapping[str, Any]) -> str:
    found = [kind for kind in BY_KIND if kind in table]
    return "strips" if "strips" in found else found[0]


def _unknown(key: str, given: Any, model: type[BaseModel]) -> Problem:
    known = list(model.model_fields)
    word = _on_one_line(key)
    if issubclass(model, Layer | Group) and key in Panel.model_fields:
        below = "[[layer]]" if issubclass(model, Layer) else "[[group]]"
        return Problem(
            f"`{key}` is a key of the panel, but it stands below a {below} and so belongs to it",
            f"{key} = {shown(given)}",
            hint=f"move `{key}` above the first {below}",
        )
    close = nearest(key, known, 1)
    return Problem(
        f"`{word}` is not known here",
        f"{word} = {shown(given)}",
        ", ".join(known),
        f"`{close[0]}`" if close else "",
    )


_SAYINGS = {
    "literal_error": "is none of the words that are known here",
    "bool_type": "must be true or false",
    "string_type": "must be text",
    "int_type": "must be a whole number",
    "float_type": "must be a number",
    "finite_number": "must be a finite number",
    "string_too_short": "is empty",
    "string_too_long": "is too long",
    "greater_than": "is too small",
    "greater_than_equal": "is too small",
    "less_than": "is too large",
    "less_than_equal": "is too large",
    "model_type": "must be a table of its own",
    "tuple_type": "must be a list of tables",
}
_BOUNDS = {"gt": "more than", "ge": "at least", "lt": "less than", "le": "at most"}


def _allowed(error: Mapping[str, Any]) -> str:
    """What a field takes, from what the validator says of it."""
    about = error.get("ctx", {})
    if "max_length" in about:
        return f"up to {about['max_length']} characters"
    bounds = [f"{word} {about[bound]:g}" for bound, word in _BOUNDS.items() if bound in about]
    return str(about.get("expected", "")) or " and ".join(bounds)


def _from_pydantic(error: Mapping[str, Any], model: type[BaseModel]) -> Problem:
    key = str(error["loc"][-1]) if error["loc"] else ""
    refused = error.get("ctx", {}).get("error")
    if isinstance(refused, Refused):
        return refused.problem
    if error["type"] == "extra_forbidden":
        owner = _owner(model, error["loc"])
        return _unknown(key, error["input"], owner)
    if error["type"] == "missing":
        return Problem(f"`{key}` is missing", hint=f"write `{key} = ...`")
    allowed = _allowed(error)
    said = _SAYINGS.get(error["type"], error["msg"][:1].lower() + error["msg"][1:])
    close = nearest(shown(error["input"]), [part.strip(" '") for part in allowed.split(" or ")], 1)
    return Problem(f"`{key}` {said}", shown(error["input"]), allowed, close[0] if close else "")


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


class Reading:
    """One pass over a parsed file; collects the problems.

    lines : of each key, from :func:`panelwright.panels.places.places`.
    """

    def __init__(self, file: str, lines: dict[Path, int]) -> None:
        self.file = file
        self.lines = lines
        self.problems: list[Problem] = []

    def refuse(self, path: Path, problem: Problem) -> None:
        """Note a problem with its place in the file."""
        place = problem.at(file=self.file, line=line_of(self.lines, path), key=spoken(path))
        self.problems.append(place)

    def model(self, model: type[Model], table: Mapping[str, Any], path: Path) -> Any:
        """The table as a model, or None where it is refused."""
        try:
            return model.model_validate(dict(table))
        except ValidationError as wrong:
            for error in wrong.errors():
                where = (*path, *error["loc"])
                self.refuse(where, _from_pydantic(error, model))
            return None


class _PanelReading(Reading):
    """The same for the layers and groups of a panel."""

    def layers(self, tables: Any, path: Path) -> tuple[Any, ...]:
        if not isinstance(tables, list) or not all(isinstance(table, dict) for table in tables):
            self.refuse(path, Problem("`layer` must be written as [[layer]] tables", shown(tables)))
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
        if not isinstance(tables, list) or not all(isinstance(table, dict) for table in tables):
            what = "`group` must be written as [[group]] tables"
            self.refuse(("group",), Problem(what, shown(tables)))
            return
        names: set[str] = set()
        for index, table in enumerate(tables):
            path: Path = ("group", index)
            layers = self.layers(table.get("layer", []), (*path, "layer"))
            if not table.get("layer"):
                hint = "add [[group.layer]] tables"
                self.refuse(path, Problem("the group has no layers", hint=hint))
            group = self.model(Group, {**table, "layer": layers}, path)
            if group is None:
                continue
            if group.name in names:
                self.refuse(
                    (*path, "name"),
                    Problem("two groups have this name", group.name, hint="another name"),
                )
            names.add(group.name)
            yield group


def parsed(text: str, file: str) -> dict[str, Any]:
    """A TOML text as tables; :class:`InputError` with the line where it is none."""
    if len(text) > MOST_TEXT:
        given, allowed = f"{len(text)} characters", f"up to {MOST_TEXT}"
        raise InputError(Problem("the file is too long", given, allowed, file=file))
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise InputError(Problem("tables or lists lie too deep in each other", file=file)) from None
    except ValueError as wrong:  # not TOML, or an integer of thousands of digits
        raise InputError(_toml_problem(str(wrong), text, file)) from None


_TWICE = ("Cannot overwrite", "Cannot declare", "Cannot redefine", "Cannot mutate", "Duplicate")
_HINTS = {
    "Invalid value": 'text goes in quotes: thickness = "8 mm"',
    "Expected newline": 'text goes in quotes: thickness = "8 mm"',
    "Invalid statement": 'a line such as thickness = "8 mm", or a header such as [[layer]]',
    "Unterminated": "close the quotes",
    "Unclosed": "close the bracket",
    "Illegal character": "delete that character",
    "Unescaped": "write a backslash twice",
}


def _toml_problem(message: str, text: str, file: str) -> Problem:
    said, _, place = message.partition(" (at ")
    if message.startswith("Exceeds the limit"):
        return Problem("a number has far too many digits", file=file)
    line = int(place[5:].split(",")[0]) if place.startswith("line ") else None
    lines = text.replace("\r\n", "\n").split("\n")
    written = "" if line is None else _on_one_line(lines[line - 1].strip())
    if said.startswith(_TWICE):
        hint = "keep one of them"
        return Problem("this is written twice", written, "", hint, file, line)
    hint = next((hint for start, hint in _HINTS.items() if said.startswith(start)), "")
    what = f"this line is not TOML: {said[:1].lower()}{said[1:]}"
    return Problem(what, written, "", hint, file, line)


def read(text: str, file: str = "panel file") -> Description:
    """Read a panel file.

    text : TOML; file : name for messages. Raises :class:`InputError` with every problem found.
    """
    text = text.removeprefix("\ufeff")  # the mark that some editors put first
    table = parsed(text, file)
    lines = places(text)
    reading = _PanelReading(file, lines)
    layers = reading.layers(table.get("layer", []), ("layer",))
    groups = tuple(reading.groups(table.get("group", [])))
    rest = {key: value for key, value in table.items() if key not in ("layer", "group")}
    if "format" not in rest:
        reading.refuse((), Problem("`format` is missing", hint="begin the file with `format = 1`"))
        rest["format"] = FORMAT
    if table.get("layer", []) == []:
        hint = "add a [[layer]], from the outside face inwards"
        place: Path = ("layer",) if "layer" in table else ()
        reading.refuse(place, Problem("the panel has no layers", hint=hint))
    panel = reading.model(Panel, {**rest, "layer": layers, "group": groups}, ())
    if reading.problems:
        raise InputError(reading.problems)
    return Description(panel, text, file, lines)


def read_duties(text: str, file: str = "panel file") -> Description:
    """The duties of a file alone, which may be that of a panel or hold nothing else.

    Its layers are not looked at, and none come of it. Raises :class:`InputError`.
    """
    table = parsed(text.removeprefix("\ufeff"), file)
    reading = Reading(file, places(text))
    own: dict[str, Any] = {key: table[key] for key in ("title", "size", "duty") if key in table}
    panel = reading.model(Panel, {"format": FORMAT, **own, "layer": ()}, ())
    if reading.problems:
        raise InputError(reading.problems)
    return Description(panel, text, file, reading.lines)


def schema() -> dict[str, Any]:
    """JSON Schema of the panel file."""
    made = Panel.model_json_schema()
    made["$schema"] = "https://json-schema.org/draft/2020-12/schema"
    made["title"] = "Panelwright panel file, format 1"
    return made
