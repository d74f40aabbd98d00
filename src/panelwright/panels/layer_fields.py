"""What may be said of each layer of a panel file, as fields to fill in, with what stands there."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from operator import itemgetter
from typing import Any, Final, get_args, get_origin

from pydantic import BaseModel
from pydantic.fields import FieldInfo

from panelwright.panels.layers import BY_KIND, Layer

#: Words of a key, and how a value of it is written.
SAID: Final[Mapping[str, tuple[str, str]]] = {
    "cloth": ("Cloth", "E-glass biaxial 300 g/m2"),
    "strips": ("Strips of", "western redcedar"),
    "board": ("Board of", "Sitka spruce"),
    "veneer": ("Veneer of", "okoume"),
    "plywood": ("Plywood", "birch plywood"),
    "core": ("Core", "PET foam 110 kg/m3"),
    "bulking_mat": ("Bulking mat", "bulking mat"),
    "glue": ("Glue", "epoxy, thickened"),
    "coat": ("Coat", "gelcoat"),
    "damping": ("Damping sheet", "cork rubber"),
    "group": ("Group", "skin"),
    "name": ("Its own name", "outer skin"),
    "note": ("Note", "from the short roll"),
    "repeat": ("Laid, times", "2"),
    "areal_mass": ("Mass as weighed", "312 g/m2"),
    "directions": ("How its fibre lies", "50 % at +45, 50 % at -45"),
    "angle": ("Angle, degrees", "45"),
    "face": ("Marked face", "out"),
    "fibre_mass_fraction": ("Fibre, by mass", "0.45 +/- 0.05"),
    "fibre_volume_fraction": ("Fibre, by volume", "0.30"),
    "thickness": ("Thickness", "8 mm"),
    "void_fraction": ("Voids", "2 %"),
    "moisture": ("Moisture", "10 %"),
    "resin": ("Resin of its own", "vinyl ester"),
    "density": ("Density as weighed", "320 kg/m3"),
    "seal": ("Seal coat glassed over", "wet"),
    "seal_coat": ("Seal coat, one face", "140 g/m2"),
    "soak": ("Soak, one face", "100 g/m2"),
    "ring_angle": ("Ring angle, degrees", "90"),
    "grain_slope": ("Slope of the grain", "1:12"),
    "knots": ("Largest knot", "15 %"),
    "glue_spread": ("Glue on the edges", "200 g/m2"),
    "glue_kept": ("Share that stays", "70 %"),
    "strip width": ("Strip, width", "22 mm"),
    "strip cover": ("Strip, cover", "20 mm"),
    "strip profile": ("Edge profile", "bead and cove"),
    "kerf width": ("Saw cut, width", "1 mm"),
    "kerf pitch": ("Saw cuts, pitch", "30 mm"),
    "kerf depth": ("Saw cut, depth", "12 mm"),
    "bend_radius": ("Bent along, radius", "900 mm"),
    "bend_radius_across": ("Bent across, radius", "900 mm"),
    "spread": ("Spread", "300 g/m2"),
    "kept": ("Share that stays", "80 %"),
    "mass": ("Mass of one coat", "120 g/m2"),
    "coats": ("Coats", "2"),
    "sanded_off": ("Sanded off", "20 %"),
    "lamina density": ("Density", "1500 kg/m3"),
}
#: What is asked first; the rest on demand.
FIRST: Final = (
    *BY_KIND,
    "thickness",
    "angle",
    "repeat",
    "strip width",
    "strip cover",
    "strip profile",
    "moisture",
    "fibre_mass_fraction",
    "density",
    "mass",
    "coats",
    "spread",
)
#: Said seldom of that kind of layer.
SELDOM: Final = frozenset(
    {
        ("cloth", "thickness"),
        ("cloth", "moisture"),
        ("strips", "angle"),
        ("strips", "glue"),
        ("strips", "density"),
        ("core", "moisture"),
        ("core", "angle"),
    }
)


@dataclass(frozen=True)
class LayerField:
    """One thing that may be said: where in the file, its words, and what is said now."""

    path: tuple[str | int, ...]
    words: str
    value: str
    example: str
    choices: tuple[str, ...] = ()
    is_first: bool = False

    @property
    def name(self) -> str:
        """The path in one word: ``layer.2.strip.cover``, layers counted from 1."""
        return dotted(self.path)


@dataclass(frozen=True)
class FileLayer:
    """One ``[[layer]]`` or ``[[group.layer]]`` of a file, and its fields."""

    path: tuple[str | int, ...]
    kind: str
    table: Mapping[str, Any]

    @cached_property
    def fields(self) -> tuple[LayerField, ...]:
        """What may be said of it, what is asked first in front; none for a layer of no kind."""
        if not self.kind:
            return ()
        found = list(_fields(BY_KIND[self.kind], self.table, self.path, ""))
        ranks = [_rank(self.kind, one) for one in found]
        ranked = [
            replace(one, is_first=rank < len(FIRST)) for one, rank in zip(found, ranks, strict=True)
        ]
        return tuple(one for _, one in sorted(zip(ranks, ranked, strict=True), key=itemgetter(0)))

    @property
    def name(self) -> str:
        """``layer.2``, ``group.1.layer.2``."""
        return dotted(self.path)

    @property
    def described(self) -> str:
        """The same as records say it: "layer 2", "group 1, layer 2"."""
        pairs = zip(self.path[::2], self.path[1::2], strict=True)
        return ", ".join(f"{word} {int(place) + 1}" for word, place in pairs)


def dotted(path: tuple[str | int, ...]) -> str:
    """A path in one word; places in lists are counted from 1."""
    return ".".join(str(part + 1) if isinstance(part, int) else part for part in path)


def path_of(name: str) -> tuple[str | int, ...]:
    """The path that :func:`dotted` made a word of."""
    return tuple(int(part) - 1 if part.isdecimal() else part for part in name.split("."))


def file_layers(text: str) -> tuple[FileLayer, ...]:
    """The layers that a file lists, those of its groups after them; none where it is not TOML."""
    try:
        table = tomllib.loads(text)
    except ValueError:
        return ()
    return tuple(_layers(table))


def _layers(table: Mapping[str, Any]) -> Iterator[FileLayer]:
    for place, layer in enumerate(_tables(table.get("layer"))):
        yield _layer(layer, ("layer", place))
    for at, group in enumerate(_tables(table.get("group"))):
        for place, layer in enumerate(_tables(group.get("layer"))):
            yield _layer(layer, ("group", at, "layer", place))


def _tables(value: Any) -> list[dict[str, Any]]:
    if not isinstance(value, list):
        return []
    return [one if isinstance(one, dict) else {} for one in value]


def _layer(table: Mapping[str, Any], path: tuple[str | int, ...]) -> FileLayer:
    kinds = [
        kind for kind in BY_KIND if kind in table and not (kind == "glue" and "strips" in table)
    ]
    return FileLayer(path, kinds[0] if kinds else "", table)


def _rank(kind: str, field: LayerField) -> int:
    """Where a field stands among those of its layer."""
    key = " ".join(str(part) for part in field.path if isinstance(part, str)).rpartition("layer ")[
        2
    ]
    return FIRST.index(key) if key in FIRST and (kind, key) not in SELDOM else len(FIRST)


def _fields(
    model: type[BaseModel], table: Mapping[str, Any], path: tuple[str | int, ...], above: str
) -> Iterator[LayerField]:
    names = list(model.model_fields)
    if issubclass(model, Layer):  # what it is comes before what every layer may carry
        own = [name for name in names if name not in Layer.model_fields]
        names = [*own, *Layer.model_fields]
    for name in names:
        info = model.model_fields[name]
        inner = _model_in(info)
        value = table.get(name)
        if inner is not None:
            held = value if isinstance(value, dict) else {}
            yield from _fields(inner, held, (*path, name), f"{name} ")
            continue
        words, example = SAID.get(above + name) or SAID.get(name) or (name, "")
        yield LayerField((*path, name), words, _written(value), example, _choices(info))


def _model_in(info: FieldInfo) -> type[BaseModel] | None:
    options = [info.annotation, *get_args(info.annotation)]
    found = (one for one in options if isinstance(one, type) and issubclass(one, BaseModel))
    return next(found, None)


def _choices(info: FieldInfo) -> tuple[str, ...]:
    options = [info.annotation, *get_args(info.annotation)]
    literal = next((one for one in options if _is_literal(one)), None)
    return tuple(get_args(literal)) if literal is not None else ()


def _is_literal(one: Any) -> bool:
    return getattr(get_origin(one), "__name__", str(get_origin(one))).endswith("Literal")


def _written(value: Any) -> str:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value)
