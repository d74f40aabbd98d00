"""Outside checks as data: where they lie, what a case is, how a value is held against ours.

``build.json``: planning a build. ``timber.json`` and ``timber_moisture_table.json``: the rules for
timber. ``mechanics/``: one case a file. ``experiments/``: published tests (see ``closure``).
Each case keeps its source and how far it was verified.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from pathlib import Path
from typing import Any

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike
from panelwright.units import factor, to_si

HERE = Path(__file__).parent

#: Ending of a key to unit, the longest that fits. A key with none of these is a pure number,
#: or in whatever unit the case says in words.
UNIT_OF_ENDING = {
    "oz_yd2": "oz/yd^2",
    "oz_ft2": "oz/ft^2",
    "kg_m3": "kg/m^3",
    "kgm3": "kg/m^3",
    "kg_m2": "kg/m^2",
    "kgm2": "kg/m^2",
    "g_m2": "g/m^2",
    "g_m2_each_skin": "g/m^2",
    "g_m2_per_side": "g/m^2",
    "g_ml": "g/mL",
    "kg_L": "kg/L",
    "L_m2": "L/m^2",
    "mL_m2": "mL/m^2",
    "ml_per_m2_per_coat_gross": "mL/m^2",
    "ml_per_g_fibre": "mL/g",
    "ft2_per_lb": "ft^2/lb",
    "ft2_per_gal": "ft^2/gal",
    "m2_per_kg": "m^2/kg",
    "g_per_m": "g/m",
    "per_m": "1/m",
    "m_per_m2": "1/m",
    "mm_per_coat": "mm",
    "1e6K": "um/m/K",
    "Npm": "N/m",
    "GPa": "GPa",
    "MPa": "MPa",
    "mm2": "mm^2",
    "ft2": "ft^2",
    "m2": "m^2",
    "mm": "mm",
    "in": "in",
    "slope_one_in": "",
    "ft": "ft",
    "board_ft": "",
    "ft_per_ft2": "1/ft",
    "m": "m",
    "kg": "kg",
    "g": "g",
    "C": "degC",
    "K": "K",
    "pct": "%",
    "per_pct": "",
}


#: Group of a mechanics case by its kind; those of weights alone stand apart.
_GROUPS = {
    "micro": "ply moduli",
    "clt": "laminate",
    "shear": "transverse shear",
    "strength": "ply and timber strength",
    "failure": "sandwich failure",
    "beam": "strips",
    "plate": "plates",
    "strips": "strip planking",
    "thick": "exact elasticity",
}
_STRENGTH = {"strength", "failure"}
_STIFFNESS = {"micro", "clt", "shear"}
_BENDING = {"beam", "plate"}
#: Values of those that are not answered here: loads at which a plate buckles.
_BUCKLING = "_cr"
_WEIGHED = ("micro-m01", "micro-m10", "micro-m11", "micro-m12")
FIBRE_AND_RESIN = "fibre and resin"


def unit_of(key: str) -> str:
    """The unit that a key carries at its end; empty for none."""
    fits = [end for end in UNIT_OF_ENDING if key == end or key.endswith(f"_{end}")]
    return UNIT_OF_ENDING[max(fits, key=len)] if fits else ""


def in_si(value: Any, unit: str) -> Array:
    """A number or a list of numbers in SI."""
    numbers = np.asarray(value, dtype=np.float64)
    if not unit:
        return numbers
    return np.reshape([to_si(float(number), unit) for number in numbers.flat], numbers.shape)


def numbers_in_si(table: Mapping[str, Any]) -> dict[str, Array]:
    """The entries that are numbers or lists of them, in SI by the unit that the key carries."""
    return {
        key: in_si(value, unit_of(key))
        for key, value in table.items()
        if not isinstance(np.ravel(value)[0], str | dict)
    }


@dataclass(frozen=True)
class Expected:
    """A printed value, in the unit it is printed in, and how near ours has to come."""

    name: str
    value: Any
    unit: str
    rel: float = 0.0
    abs: float = 0.0

    def within(self, ours: ArrayLike) -> bool:
        """Whether ours (SI) lies as near the printed value as the case asks."""
        printed = in_si(self.value, self.unit)
        scale = factor(self.unit) if self.unit else 1.0
        allowed = self.rel * np.abs(printed) + self.abs * scale
        # A value that was rounded may lie exactly on the bound: leave room for binary rounding.
        room = allowed * (1.0 + 1e-9) + 4.0 * np.finfo(float).eps * np.abs(printed)
        ours = np.asarray(ours, np.float64)
        return ours.shape == printed.shape and bool(np.all(np.abs(ours - printed) <= room))

    def shown(self, ours: ArrayLike) -> Array:
        """Ours in the unit of the printed value."""
        scale = factor(self.unit) if self.unit else 1.0
        return np.asarray(ours, np.float64) / scale


@dataclass(frozen=True)
class Case:
    """One worked check. ``disagrees`` says why ours is another value, where it is."""

    id: str
    group: str
    title: str
    source: str
    status: str
    inputs: Mapping[str, Any]
    expected: Mapping[str, Expected]
    note: str = ""
    disagrees: str = ""

    @cached_property
    def si(self) -> Mapping[str, Array]:
        """The inputs that are numbers, in SI."""
        return numbers_in_si(self.inputs)


def _read(path: Path) -> Any:
    return json.loads(path.read_text(encoding="utf-8"))


def _worked(raw: Mapping[str, Any]) -> Case:
    expected = {
        name: Expected(name, value, unit_of(name), **raw["tolerance"])
        for name, value in raw["expected"].items()
    }
    optional = {key: raw[key] for key in ("note", "disagrees") if key in raw}
    return Case(
        raw["id"],
        raw["group"],
        raw["title"],
        raw["source"],
        raw["status"],
        raw["inputs"],
        expected,
        **optional,
    )


def _unit_in_words(unit: str) -> str:
    """The unit of a mechanics case as a unit that is known; empty for a pure number."""
    if unit in {"-", "same as G t", "a = t = E1 = q = 1"}:
        return ""
    in_words = {
        "1e-6/K": "um/m/K",
        "mm per N/mm": "mm^2/N",
        "N mm per N": "mm",
        "MPa per N/mm": "1/mm",
    }
    return in_words.get(unit, unit.replace("m2", "m^2").replace("m3", "m^3"))


def _mechanics(raw: Mapping[str, Any]) -> Case:
    expected = {
        item["name"]: Expected(
            item["name"],
            item["value"],
            _unit_in_words(item["unit"]),
            rel=item.get("rtol", 0.0),
            abs=item.get("atol", 0.0),
        )
        for item in raw["expected"]
        if raw["kind"] not in _BENDING or _BUCKLING not in item["name"]
    }
    return Case(
        raw["id"],
        FIBRE_AND_RESIN if raw["id"] in _WEIGHED else _GROUPS[raw["kind"]],
        raw["title"],
        raw["source"],
        raw["status"],
        raw["inputs"],
        expected,
        note=raw.get("notes", ""),
    )


#: Our values for a case, SI, by the names in its ``expected``.
Answers = Mapping[str, ArrayLike]
Answer = Callable[[Case], Answers]


@cache
def build_cases() -> tuple[Case, ...]:
    """Cloth, resin, cores, timber and filler as a builder plans them."""
    return tuple(_worked(raw) for raw in _read(HERE / "build.json")["cases"])


@cache
def timber_cases() -> tuple[Case, ...]:
    """Density, movement and properties of timber against moisture."""
    return tuple(_worked(raw) for raw in _read(HERE / "timber.json")["cases"])


def _of_mechanics(kinds: set[str]) -> tuple[Case, ...]:
    raws = map(_read, sorted((HERE / "mechanics").glob("*.json")))
    return tuple(_mechanics(raw) for raw in raws if raw["kind"] in kinds)


@cache
def mechanics_cases() -> tuple[Case, ...]:
    """Plies and laminates: fractions, moduli, A, B, D, transverse shear."""
    return _of_mechanics(_STIFFNESS)


@cache
def strength_cases() -> tuple[Case, ...]:
    """Criteria of plies and timber, failure modes of sandwiches."""
    return _of_mechanics(_STRENGTH)


@cache
def bending_cases() -> tuple[Case, ...]:
    """Strips and plates that bend."""
    return _of_mechanics(_BENDING)


@cache
def planking_cases() -> tuple[Case, ...]:
    """Flat strips bent and laid round a form."""
    return _of_mechanics({"strips"})


@cache
def thick_cases() -> tuple[Case, ...]:
    """Plates by three-dimensional elasticity: exact, where a plate theory is not."""
    return _of_mechanics({"thick"})


@cache
def moisture_table() -> Mapping[str, Any]:
    """Equilibrium moisture by temperature and humidity, as printed and as the equation has it."""
    table: Mapping[str, Any] = _read(HERE / "timber_moisture_table.json")
    return table


def experiments() -> Iterator[Mapping[str, Any]]:
    """The published experiments, by name."""
    for path in sorted((HERE / "experiments").glob("*.json")):
        yield _read(path)
