"""Rows of a line-up: one property of every panel, its range, and the best in words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from string import ascii_uppercase

import numpy as np

from panelwright.fabrication.cost import UnitPrice
from panelwright.jobs.lineup_entrants import Stood
from panelwright.jobs.merits import insulation
from panelwright.jobs.pricing import priced
from panelwright.jobs.strength import ACTIONS, BENDING, SHEARED, unknown_strength
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics import beam, comparing, laminate, moisture
from panelwright.panels.checks import TIMBER
from panelwright.panels.lineup_records import (
    ACROSS,
    ALONG,
    COST,
    LEAST,
    MASS,
    MOST,
    STIFFNESS,
    STRENGTH,
    THICKNESS,
    Cell,
    Row,
    Terms,
)
from panelwright.panels.records import FIRST, ULTIMATE
from panelwright.panels.section import movement
from panelwright.panels.spread import Ranged

#: Ranges that share more than this part of the narrower one are told as no real difference.
ALIKE = 0.5
#: Panels that can be compared.
FEWEST = 2
WAYS = (ALONG, ACROSS)
#: Air that timber settles in, from drier to wetter, K and shares: what a bow is told for.
ROOM, DRIER, WETTER = 293.15, 0.55, 0.65
CHORD = 1.0
#: A bow below this, m, is none.
FLAT = 1e-6
#: Density of fresh and of sea water, kg/m3.
FRESH, SEA = 1000.0, 1025.0
BARELY = "barely either"

NOT_KNOWN = "not known"


def _stiffness(of: Stood, way: int) -> Cell:
    if of.stiff is None:
        return Cell(None, NOT_KNOWN)
    return Cell(of.ranged(of.stiff.made.strip[..., way], of.stiff.drawn.strip[..., way], "N m"))


def _weakest(of: Stood, actions: Sequence[str], level: str) -> Cell:
    found = [one for one in of.strength if one.action in actions and one.level == level]
    if not found:
        return Cell(None, NOT_KNOWN)
    least = min(found, key=lambda one: one.value.value)
    unknown = unknown_strength(of.layers)
    said = f"{least.layer}: {least.mode}" if least.layer else least.mode
    return Cell(least.value, f"{said}; {' and '.join(unknown)} not known" if unknown else said)


def _moment(of: Stood, way: int, level: str) -> Cell:
    """The weakest moment; not told where a layer may end before those that are known."""
    if unknown := unknown_strength(of.layers):
        return Cell(None, f"not known: the strength of {' and of '.join(unknown)}")
    return _weakest(of, ACTIONS[BENDING[way]], level)


def _bow(of: Stood) -> Cell:
    """Rise of the middle over a chord for more moisture in the air, the worse way; sign dropped."""
    if of.stiff is None:
        return Cell(None, NOT_KNOWN)
    if not any(layer.kind in TIMBER for layer in of.layers):
        return Cell(None, "no timber in it")
    settled = moisture.equilibrium_moisture
    step = 100.0 * float(settled(ROOM, WETTER) - settled(ROOM, DRIER))
    stiff = of.stiff
    middle = movement(stiff.stack, stiff.build, stiff.made).per_moisture
    drawn = movement(stiff.drawn_stack, stiff.drawn_build, stiff.drawn).per_moisture
    way = 3 + int(np.argmax(np.abs(middle[3:5])))
    rises = [np.abs(laminate.rise(step * free[..., way], CHORD)) for free in (middle, drawn)]
    rises = [np.where(rise < FLAT, 0.0, rise) for rise in rises]
    said = ("along" if way == 3 else "across") if rises[0] > 0.0 else "stays flat"
    return Cell(of.ranged(rises[0], rises[1], "m"), said)


def _insulation(of: Stood, catalogue: Catalogue) -> Cell:
    found = insulation(of.done, catalogue)
    if isinstance(found, Ranged):
        return Cell(found)
    return Cell(None, f"not known for {' and '.join(found)}")


def _measured(of: Stood, name: str, predicted: Ranged) -> Cell:
    """What was found of a piece, else what is predicted."""
    found = of.found(name, predicted.unit)
    return Cell(predicted) if found is None else Cell(found, is_measured=True)


def _density(of: Stood) -> Cell:
    build, drawn = of.done.build, of.done.told_build
    predicted = of.ranged(
        beam.mean_density(build.areal_mass, build.thickness),
        beam.mean_density(drawn.areal_mass, drawn.thickness),
        "kg/m3",
    )
    cell = _measured(of, "density", predicted)
    assert cell.value is not None
    low, high = cell.value.low, cell.value.high
    return replace(cell, said="floats" if high < FRESH else "sinks" if low > SEA else BARELY)


def _cost(of: Stood, prices: Mapping[str, UnitPrice]) -> tuple[Cell, str]:
    if not prices:
        return Cell(None, "no prices at hand: none are built in"), ""
    cost = priced(of.done, prices, of.times)
    return Cell(cost.value, cost.why), cost.currency


def alike(one: Ranged, other: Ranged) -> bool:
    """Whether two ranges share more than half of the narrower one."""
    return bool(comparing.shared_range(one.low, one.high, other.low, other.high) > ALIKE)


def verdict(better: str, cells: Sequence[Cell]) -> str:
    """The best of a row in words, by letter; nobody where its range is much like another's."""
    known = [(i, cell.value) for i, cell in enumerate(cells) if cell.value is not None]
    if not better or len(known) < FEWEST:
        return ""
    sign = 1.0 if better == MOST else -1.0
    best, top = max(known, key=lambda pair: sign * pair[1].value)
    like = [i for i, value in known if i != best and alike(top, value)]
    if not like:
        return f"best: {ascii_uppercase[best]}"
    letters = [ascii_uppercase[i] for i in sorted([best, *like])]
    return f"no real difference: {', '.join(letters)}"


def row_of(
    key: str, name: str, dimension: str, better: str, cells: Iterable[Cell], equal: bool = False
) -> Row:
    """A row with its best in words; ``equal`` : the terms made it so."""
    held = tuple(cells)
    said = "made equal" if equal else verdict(better, held)
    return Row(key, name, dimension, better, held, said)


def _built(stood: Sequence[Stood], terms: Terms) -> Iterator[Row]:
    """Thickness and mass."""
    pairs = [(of, of.done.build, of.done.told_build) for of in stood]
    thickness = (
        _measured(of, "thickness", of.ranged(b.thickness, d.thickness, "m")) for of, b, d in pairs
    )
    mass = (
        _measured(of, "areal mass", of.ranged(b.areal_mass, d.areal_mass, "kg/m2"))
        for of, b, d in pairs
    )
    is_thick, is_mass = terms.equal == THICKNESS, terms.equal == MASS
    yield row_of("thickness", "Thickness", "thickness", "", thickness, is_thick)
    yield row_of("areal_mass", "Mass", "areal_mass", LEAST, mass, is_mass)


def _bending(stood: Sequence[Stood], terms: Terms) -> Iterator[Row]:
    """Stiffness both ways, moments at both levels, core shear."""
    for way, name in enumerate(WAYS):
        cells = [_stiffness(of, way) for of in stood]
        is_equal = (terms.equal, terms.way) == (STIFFNESS, name)
        key = f"stiffness_{name}"
        yield row_of(key, f"Stiffness {name}", "moment", MOST, cells, is_equal)
    for level, word in ((FIRST, "first damage"), (ULTIMATE, "the end")):
        for way, name in enumerate(WAYS):
            cells = [_moment(of, way, level) for of in stood]
            is_equal = (terms.equal, terms.level, terms.way) == (STRENGTH, level, name)
            key = f"moment_{name}_{'first' if level == FIRST else 'ultimate'}"
            said = f"Moment {name} at {word}"
            yield row_of(key, said, "width_moment", MOST, cells, is_equal)
    for way, name in enumerate(WAYS):
        cells = [_weakest(of, (SHEARED[way],), ULTIMATE) for of in stood]
        yield row_of(f"shear_{name}", f"Core shear {name}", "line_load", MOST, cells)


def _used(stood: Sequence[Stood], catalogue: Catalogue) -> Iterator[Row]:
    """What it takes to make, and what it is like to live with."""
    mixed = (
        Cell(of.ranged(of.done.books.to_mix, of.done.drawn_books.to_mix, "kg/m2")) for of in stood
    )
    yield row_of("resin_to_mix", "Resin to mix", "cloth_mass", LEAST, mixed)
    bows = (_bow(of) for of in stood)
    yield row_of("bow", "Bow over 1 m, 10 % damper air", "thickness", LEAST, bows)
    kept = (_insulation(of, catalogue) for of in stood)
    yield row_of("insulation", "Insulation", "insulation", MOST, kept)
    yield row_of("density", "Mean density", "density", "", (_density(of) for of in stood))


def rows(
    stood: Sequence[Stood],
    terms: Terms,
    catalogue: Catalogue,
    prices: Mapping[str, UnitPrice],
) -> tuple[tuple[Row, ...], str]:
    """All rows of a line-up, and the currency of its costs."""
    priced = [_cost(of, prices) for of in stood]
    currencies = {currency for _, currency in priced if currency}
    cost = (cell for cell, _ in priced)
    found = (
        *_built(stood, terms),
        *_bending(stood, terms),
        row_of("cost", "Material cost", "", LEAST, cost, terms.equal == COST),
        *_used(stood, catalogue),
    )
    return found, min(currencies) if len(currencies) == 1 else ""
