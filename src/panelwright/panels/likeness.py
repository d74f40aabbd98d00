"""What a panel is like: the thickness of a known solid that is as stiff, or as heavy."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np

from panelwright.errors import InputError
from panelwright.materials.catalogue import Catalogue
from panelwright.materials.records import Row
from panelwright.mechanics import beam, sandwich
from panelwright.mechanics.arrays import Array, array
from panelwright.panels.description import read
from panelwright.panels.evaluate import evaluate
from panelwright.panels.resolve import resolve
from panelwright.panels.section import section
from panelwright.panels.shop_words import read_phrase
from panelwright.panels.stack import Stack, stack_of

#: Plywoods and timbers of the catalogue that a panel is likened to; solids all of them.
PLYWOODS = ("ply_birch", "ply_okoume", "ply_poplar", "ply_spruce")
TIMBERS = ("spruce_sitka", "cedar_western_redcedar")
#: Veneers of the thickest plywood that is worked out.
MOST_VENEERS = 25
MOISTURE = "10 %"


@dataclass(frozen=True)
class Solid:
    """A known solid: how stiff its sheets are, along and across, and how heavy.

    ``sheets`` and the stiffnesses are rising; a homogeneous solid has one of each.
    """

    name: str
    density: float
    sheets: Array  # m
    along: Array  # EI per width, N m
    across: Array


@dataclass(frozen=True)
class Likeness:
    """Thickness of one solid that is as stiff along, as stiff across, as heavy; arrays of m."""

    name: str
    along: Array
    across: Array
    mass: Array


def _stack(text: str, catalogue: Catalogue) -> Stack:
    """The stack of one sheet described by a layer."""
    description = read(f'format = 1\n[[layer]]\n{text}\nmoisture = "{MOISTURE}"')
    return stack_of(resolve(description, catalogue).layers)


def _plywood(row: Row, catalogue: Catalogue) -> Solid:
    """A plywood of 3, 5, 7 ... veneers: the thickest is resolved, the others leave veneers out.

    A row of a builder's own that does not know its veneers has 3, as where it is laid.
    """
    known = row.number("veneer_thickness")
    veneer, most = (1.5e-3, 3) if known is None else (known, MOST_VENEERS)
    counts = np.arange(3, most + 1, 2)
    thickest = f'plywood = "{row.name}"\nthickness = "{most * veneer * 1e3:.6f} mm"'
    stack = _stack(thickest, catalogue)
    there = np.arange(most) < counts[:, None]
    sheets = replace(stack, solid_thickness=np.where(there, stack.solid_thickness, 0.0))
    build = evaluate(sheets)
    strip = section(sheets, build).strip
    density = float(build.areal_mass[0] / build.thickness[0])
    return Solid(
        row.name, density, array(veneer * counts.astype(np.float64)), strip[:, 0], strip[:, 1]
    )


def _timber(row: Row, catalogue: Catalogue) -> Solid:
    stack = _stack(f'board = "{row.name}"\nthickness = "10 mm"', catalogue)
    build = evaluate(stack)
    strip = section(stack, build).strip
    density = float(build.areal_mass / build.thickness)
    return Solid(f"{row.name} board", density, array([0.01]), strip[:1], strip[1:])


def _isotropic(row: Row) -> Solid:
    stiffness = beam.solid_strip(row.number("E") or 0.0, 0.01)
    one = array([float(stiffness)])
    return Solid(row.name, row.number("density") or 0.0, array([0.01]), one, one)


def layer_of_solid(words: str, catalogue: Catalogue) -> str:
    """The ``[[layer]]`` of a solid that is known, in shop words: "birch plywood 9 mm".

    Metals, glass and sheet plastics go by their constants. Raises :class:`InputError`.
    """
    try:
        phrase = read_phrase(words, catalogue)
    except InputError:
        row, thickness = _solid_of(words, catalogue)
        if row is None:
            raise
        E, nu = row.number("E") or 0.0, row.number("nu") or 0.0
        shear = f'"{E / (2.0 + 2.0 * nu)} Pa"'
        return (
            f'[[layer]]\nthickness = "{thickness}"\n[layer.lamina]\n'
            f'E1 = "{E} Pa"\nE2 = "{E} Pa"\nG12 = {shear}\nG13 = {shear}\nG23 = {shear}\n'
            f'nu12 = {nu}\ndensity = "{row.number("density")} kg/m3"\n'
        )
    return "\n".join(("[[layer]]", *phrase.lines)) + "\n"


def _solid_of(words: str, catalogue: Catalogue) -> tuple[Row | None, str]:
    """A row of the table of solids, and the thickness that stands beside its name."""
    found = _THICKNESS.search(words)
    if found is None:
        return None, ""
    name = " ".join((words[: found.start()] + words[found.end() :]).split())
    return catalogue.table("solids").get(name), found[0].strip()


_THICKNESS = re.compile(r"\d+(?:\.\d+)?(?:\s*\d/\d+)?\s*(?:mm|cm|in)\b")


@lru_cache(maxsize=4)
def solids(catalogue: Catalogue) -> tuple[Solid, ...]:
    """The solids of the catalogue, plywoods first."""
    plywoods = (catalogue.table("plywoods").row(id) for id in PLYWOODS)
    timbers = (catalogue.table("timbers").row(id) for id in TIMBERS)
    return (
        *(_plywood(row, catalogue) for row in plywoods),
        *(_timber(row, catalogue) for row in timbers),
        *(_isotropic(row) for row in catalogue.table("solids")),
    )


def liken(solid: Solid, strip: Array, areal_mass: Array) -> Likeness:
    """How thick a solid would be to be as stiff and as heavy as a panel.

    strip : EI along and across, ``(..., 2)``; areal_mass : ``(...)``.
    """
    between = beam.thickness_between_sheets
    return Likeness(
        solid.name,
        between(strip[..., 0], solid.sheets, solid.along),
        between(strip[..., 1], solid.sheets, solid.across),
        sandwich.thickness_of_mass(areal_mass, solid.density),
    )
