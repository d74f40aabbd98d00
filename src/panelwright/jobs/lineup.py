"""Line panels up on equal terms, and say why they differ."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from string import ascii_uppercase

import numpy as np

from panelwright import units
from panelwright.errors import InputError, Problem
from panelwright.fabrication.cost import UnitPrice, material_cost
from panelwright.fabrication.ledger import Bench, ledger
from panelwright.jobs.predict import (
    Evaluated,
    bench_of,
    evaluate_panel,
    layer_records,
    stiffen,
)
from panelwright.jobs.stiffness import Stiffened, is_stiff, unknown_stiffness
from panelwright.jobs.strength import (
    ACTIONS,
    BENDING,
    NOT_BEARING,
    SHEARED,
    bending_records,
    unknown_strength,
)
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics import beam, laminate, moisture
from panelwright.mechanics.arrays import Array, array
from panelwright.panels.checks import TIMBER, refuse_impossible
from panelwright.panels.description import Description
from panelwright.panels.evaluate import Build, evaluate
from panelwright.panels.insulation import conductivities, resistance, unknown_conductivity
from panelwright.panels.lineup import (
    ALL,
    CAUSES,
    CORE,
    FACES,
    WHOLE,
    Property,
    bending_stiffness,
    bending_strength,
    differences,
    has_core,
    of_sizes,
    part_of,
    parts,
    scaled_panel,
    size_for,
    stacked,
)
from panelwright.panels.lineup_records import (
    COST,
    EQUAL,
    LEAST,
    MASS,
    MOST,
    STIFFNESS,
    STRENGTH,
    THICKNESS,
    WEAKER,
    Cause,
    Cell,
    Change,
    Corrected,
    LineUp,
    Member,
    Row,
    Shares,
    Specific,
    Terms,
    Why,
)
from panelwright.panels.records import FIRST, ULTIMATE, StrengthRecord
from panelwright.panels.reference import described_solid, resolve_solid, solid_in
from panelwright.panels.resolve import Resolved, resolve
from panelwright.panels.section import constants, movement
from panelwright.panels.shop_words import sized
from panelwright.panels.spread import Ranged, ranged
from panelwright.panels.stack import Stack, StackLayer
from panelwright.provenance import Evidence, weakest

FEWEST, MOST_PANELS = 2, 8
AS_THEY_ARE = Terms()
#: Sheets that cores, plywood and boards come in, m. Common practice, no source.
SHEETS = tuple(
    mm / 1e3
    for mm in (1, 1.5, 2, 3, 4, 5, 6, 8, 10, 12, 15, 18, 20, 25, 30, 35, 40, 50, 60, 80, 100)
)
#: Ranges that share more than this part of the narrower one are told as no real difference.
ALIKE = 0.5
#: Air that timber settles in, from drier to wetter, K and shares: what a bow is told for.
ROOM, DRIER, WETTER = 293.15, 0.55, 0.65
CHORD = 1.0
#: A bow below this, m, is none.
FLAT = 1e-6
#: Draws of the causes: half of a prediction's, so that eight panels take less than a second.
LINE_UP_DRAWS = 512
#: Density of fresh and of sea water, kg/m3.
FRESH, SEA = 1000.0, 1025.0


@dataclass(frozen=True)
class Entrant:
    """A panel as it comes to a line-up; ``measured_by`` the handbook alone or not."""

    resolved: Resolved
    handbook_only: bool = False
    has_thickness: bool = True

    @property
    def title(self) -> str:
        """What it is called."""
        return self.resolved.description.panel.title or self.resolved.description.file


def entrant(description: Description, catalogue: Catalogue) -> Entrant:
    """A described panel. Raises :class:`InputError` as :func:`resolve` does."""
    return Entrant(resolve(description, catalogue))


def known_solid(words: str, catalogue: Catalogue) -> Entrant | None:
    """A known solid such as "3 mm steel"; None where the words name none."""
    found, description = solid_in(words, catalogue), described_solid(words, catalogue)
    if found is None or description is None:
        return None
    resolved = resolve_solid(description, found[1], catalogue)
    return Entrant(resolved, handbook_only=True, has_thickness=bool(sized(words)[0]))


# --- Equal terms ----------------------------------------------------------------------------------

_WAYS = {"along": 0, "across": 1, "weaker": None}


def _measure(terms: Terms, one: Entrant, prices: Mapping[str, UnitPrice], part: Array) -> Property:
    """The property that is made equal, by the size of the part."""
    resolved = one.resolved
    stack, _ = stacked(resolved)
    way = _WAYS[terms.way]

    def cost(many: Stack, build: Build, size: Array) -> Array:
        one_of_each = vars(bench_of(resolved)).items()
        bench = Bench(**{name: np.broadcast_to(held, size.shape) for name, held in one_of_each})
        books = ledger(build, resolved.layers, bench, resolved.resin.name)
        times = np.where(part > 0.0, np.expand_dims(size, -1), 1.0)
        found = material_cost(build, resolved.layers, bench, books, prices, times)
        if found.missing:
            raise InputError(_unpriced(one, found.missing))
        return found.amount

    measures = {
        STIFFNESS: lambda many, build, size: bending_stiffness(many, build, way),
        STRENGTH: lambda many, build, size: bending_strength(
            many, build, way, terms.level == ULTIMATE
        ),
        MASS: lambda many, build, size: build.areal_mass,
        THICKNESS: lambda many, build, size: build.thickness,
        COST: cost,
    }
    return of_sizes(stack, part, measures[terms.equal])


def _unpriced(one: Entrant, missing: Sequence[str]) -> Problem:
    return Problem(
        f"{one.title} cannot be priced: there is no price of {_joined(missing)}",
        hint="a price per kg, m2 or m3 on the shelf, under that name",
    )


def _joined(names: Sequence[str]) -> str:
    return " and of ".join(names)


def _refuse_unknown(one: Entrant, terms: Terms) -> None:
    layers = one.resolved.layers
    if terms.equal == STIFFNESS and not is_stiff(layers):
        names = _joined(unknown_stiffness(layers))
        raise InputError(Problem(f"the stiffness of {names} in {one.title} is not known"))
    if terms.equal == STRENGTH:
        names = _joined(unknown_strength(layers))
        if names or not is_stiff(layers):
            what = f"the strength of {names or 'some layers'} in {one.title} is not known"
            hint = "give it or test it, or line up to equal stiffness"
            raise InputError(Problem(what, hint=hint))


_IN_WORDS = {
    STIFFNESS: "stiff",
    STRENGTH: "strong",
    MASS: "heavy",
    THICKNESS: "thick",
    COST: "dear",
}


def _usual_part(one: Entrant) -> str:
    return CORE if has_core(one.resolved.layers) else ALL


def _on_terms(
    one: Entrant, first: Entrant, terms: Terms, prices: Mapping[str, UnitPrice]
) -> tuple[Resolved, Change | None, float]:
    """A panel scaled to be like the first, what was done, and its size."""
    as_it_is = np.zeros(len(first.resolved.layers))
    target = float(_measure(terms, first, prices, as_it_is)(array([1.0]))[0])
    part_name = terms.part or _usual_part(one)
    if not has_core(one.resolved.layers):
        part_name = ALL
    part = part_of(one.resolved.layers, part_name)
    property_of = _measure(terms, one, prices, part)
    size = size_for(target, property_of) if np.isfinite(target) else None
    if size is None:
        raise InputError(_out_of_reach(one, first, terms, part_name))
    size, rounded = _whole(one.resolved, part, size) if terms.whole else (size, "")
    _, build = stacked(one.resolved)
    before = float(np.sum(build.layer_thickness * part))
    change = Change(part_name, size, before, size * before, rounded)
    return scaled_panel(one.resolved, part, size), change, size


def _out_of_reach(one: Entrant, first: Entrant, terms: Terms, part: str) -> Problem:
    way = f" {terms.way}" if terms.equal in {STIFFNESS, STRENGTH} and terms.way != WEAKER else ""
    other = {CORE: "--scale faces or --scale all", FACES: "--scale core or --scale all"}
    whole = part == ALL
    by = "at any thickness" if whole else f"by its {part} alone, however thick or thin"
    return Problem(
        f"{one.title} cannot be made as {_IN_WORDS[terms.equal]}{way} as {first.title} {by}",
        allowed="1/100 to 100 times its thickness",
        hint="another property" if whole else other[part],
    )


def _whole(resolved: Resolved, part: Array, size: float) -> tuple[float, str]:
    """The next size up that whole plies or a sheet make, and what that is in words."""
    layers = [la for la, belongs in zip(resolved.layers, part, strict=True) if belongs]
    laid = {layer.laid for layer in layers}
    if all(layer.kind == "cloth" for layer in layers):
        plies = max(1, math.ceil(len(laid) * size - 1e-6))
        said = f"{plies} whole {'ply' if plies == 1 else 'plies'} in place of {len(laid)}"
        return plies / len(laid), said
    if len(laid) == 1:
        _, build = stacked(resolved)
        own = float(np.sum(build.layer_thickness * part))
        sheet = next((one for one in SHEETS if one >= own * size * (1.0 - 1e-6)), None)
        if sheet is not None:
            return sheet / own, f"the next sheet, {units.show(sheet, 'thickness')}"
    return size, "not rounded: no one sheet is as thick"


# --- One panel ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Stood:
    """A panel as it stands in the line-up, evaluated."""

    entrant: Entrant
    change: Change | None
    times: Array  # how many times as thick each layer is as described
    done: Evaluated
    stiff: Stiffened | None
    strength: tuple[StrengthRecord, ...]

    @property
    def layers(self) -> list[StackLayer]:
        return self.done.resolved.layers


def _stood(one: Entrant, resolved: Resolved, change: Change | None, draws: int) -> _Stood:
    _, build = stacked(resolved)
    refuse_impossible(resolved, build)
    done = evaluate_panel(resolved, draws)
    stiff = stiffen(done)
    strength = () if stiff is None else tuple(bending_records(stiff, resolved.layers))
    times = np.ones(len(resolved.layers))
    if change is not None:
        times = np.where(part_of(resolved.layers, change.part) > 0.0, change.size, 1.0)
    return _Stood(one, change, times, done, stiff, strength)


def _ranged(of: _Stood, middle: Array, drawn: Array, unit: str) -> Ranged:

    return ranged(middle, drawn, unit, of.done.causes)


NOT_KNOWN = "not known"


def _stiffness(of: _Stood, way: int) -> Cell:
    if of.stiff is None:
        return Cell(None, NOT_KNOWN)
    return Cell(_ranged(of, of.stiff.made.strip[..., way], of.stiff.drawn.strip[..., way], "N m"))


def _weakest(of: _Stood, actions: Sequence[str], level: str) -> Cell:
    found = [one for one in of.strength if one.action in actions and one.level == level]
    if not found:
        return Cell(None, NOT_KNOWN)
    least = min(found, key=lambda one: one.value.value)
    unknown = unknown_strength(of.layers)
    said = f"{least.layer}: {least.mode}" if least.layer else least.mode
    return Cell(least.value, f"{said}; {' and '.join(unknown)} not known" if unknown else said)


def _bow(of: _Stood) -> Cell:
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
    return Cell(_ranged(of, rises[0], rises[1], "m"), said)


def _insulation(of: _Stood, catalogue: Catalogue) -> Cell:
    given = conductivities(catalogue, of.layers)
    unknown = unknown_conductivity(of.layers, given)
    if unknown:
        return Cell(None, f"not known for {' and '.join(unknown)}")
    done, layers = of.done, of.layers
    middle = resistance(done.stack, done.build, layers, given)
    drawn = resistance(done.drawn_stack, done.drawn_build, layers, given, done.causes.draws)
    found = _ranged(of, middle, drawn, "m2 K/W")
    kinds = [one.evidence for one in given if one is not None] or [Evidence.ESTIMATED]
    return Cell(replace(found, evidence=weakest([found.evidence, *kinds])))


def _density(of: _Stood) -> Cell:
    build, drawn = of.done.build, of.done.told_build
    found = _ranged(
        of,
        beam.mean_density(build.areal_mass, build.thickness),
        beam.mean_density(drawn.areal_mass, drawn.thickness),
        "kg/m3",
    )
    said = "floats" if found.high < FRESH else "sinks" if found.low > SEA else "barely either"
    return Cell(found, said)


def _cost(of: _Stood, prices: Mapping[str, UnitPrice]) -> tuple[Cell, str]:
    if not prices:
        return Cell(None, "no prices at hand; name a shelf that has them"), ""
    done, layers = of.done, of.layers
    bench = bench_of(done.resolved)
    middle = material_cost(done.build, layers, bench, done.books, prices, of.times)
    if middle.missing:
        return Cell(None, f"no price of {_joined(middle.missing)}"), ""
    drawn = material_cost(done.drawn_build, layers, bench, done.drawn_books, prices, of.times)
    return Cell(_ranged(of, middle.amount, drawn.amount, "per m2")), middle.currency


# --- Rows -----------------------------------------------------------------------------------------


def alike(one: Ranged, other: Ranged) -> bool:
    """Whether two ranges share more than half of the narrower one."""
    shared = min(one.high, other.high) - max(one.low, other.low)
    narrower = min(one.high - one.low, other.high - other.low)
    return shared > ALIKE * narrower if narrower > 0.0 else shared >= 0.0


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


def _row(
    key: str, name: str, dimension: str, better: str, cells: Sequence[Cell], equal: bool = False
) -> Row:
    said = "made equal" if equal else verdict(better, cells)
    return Row(key, name, dimension, better, tuple(cells), said)


def _rows(
    stood: Sequence[_Stood],
    terms: Terms,
    catalogue: Catalogue,
    prices: Mapping[str, UnitPrice],
) -> tuple[tuple[Row, ...], str]:
    built = [(of, of.done.build, of.done.told_build) for of in stood]
    thickness = [Cell(_ranged(of, b.thickness, d.thickness, "m")) for of, b, d in built]
    mass = [Cell(_ranged(of, b.areal_mass, d.areal_mass, "kg/m2")) for of, b, d in built]
    mixed = [
        Cell(_ranged(of, of.done.books.to_mix, of.done.drawn_books.to_mix, "kg/m2")) for of in stood
    ]
    priced = [_cost(of, prices) for of in stood]
    currencies = {currency for _, currency in priced if currency}
    rows = [
        _row("thickness", "Thickness", "thickness", "", thickness, terms.equal == THICKNESS),
        _row("areal_mass", "Mass", "areal_mass", LEAST, mass, terms.equal == MASS),
    ]
    for way, name in enumerate(("along", "across")):
        cells = [_stiffness(of, way) for of in stood]
        is_equal = terms.equal == STIFFNESS and terms.way == name
        rows.append(_row(f"stiffness_{name}", f"Stiffness {name}", "moment", MOST, cells, is_equal))
    for level, word in ((FIRST, "first damage"), (ULTIMATE, "the end")):
        for way, name in enumerate(("along", "across")):
            cells = [_weakest(of, ACTIONS[BENDING[way]], level) for of in stood]
            key = f"moment_{name}_{'first' if level == FIRST else 'ultimate'}"
            is_equal = (terms.equal, terms.level, terms.way) == (STRENGTH, level, name)
            rows.append(
                _row(key, f"Moment {name} at {word}", "width_moment", MOST, cells, is_equal)
            )
    for way, name in enumerate(("along", "across")):
        cells = [_weakest(of, (SHEARED[way],), ULTIMATE) for of in stood]
        rows.append(_row(f"shear_{name}", f"Core shear {name}", "line_load", MOST, cells))
    cost = [cell for cell, _ in priced]
    rows += [
        _row("cost", "Material cost", "", LEAST, cost, terms.equal == COST),
        _row("resin_to_mix", "Resin to mix", "cloth_mass", LEAST, mixed),
        _row(
            "bow",
            "Bow over 1 m, 10 % damper air",
            "thickness",
            LEAST,
            [_bow(of) for of in stood],
        ),
        _row(
            "insulation",
            "Insulation",
            "insulation",
            MOST,
            [_insulation(of, catalogue) for of in stood],
        ),
        _row("density", "Mean density", "density", "", [_density(of) for of in stood]),
    ]
    return tuple(rows), min(currencies) if len(currencies) == 1 else ""


# --- Why ------------------------------------------------------------------------------------------

#: What is compared to say why, by what was made equal; the first that differs.
_ASKED = {
    "": ("stiffness_along", "areal_mass"),
    STIFFNESS: ("areal_mass",),
    STRENGTH: ("areal_mass",),
    THICKNESS: ("stiffness_along", "areal_mass"),
    MASS: ("stiffness_along",),
    COST: ("stiffness_along",),
}


def _stiff_along(many: Stack, build: Build) -> Array:
    return bending_stiffness(many, build, 0)


def _heavy(many: Stack, build: Build) -> Array:
    return build.areal_mass


_MEASURED = {"stiffness_along": _stiff_along, "areal_mass": _heavy}


def _main_names(of: _Stood, share: Array) -> str:
    """Names of what makes up most of a part; what bears nothing only where there is nothing else.

    Alike cloths of several weights, and both plies of a cloth, count together.
    """
    bears = [float(not la.film and la.kind not in NOT_BEARING) for la in of.layers]
    thick = share * of.done.build.layer_thickness
    thick = thick * bears if float(np.sum(thick * bears)) > 0.0 else thick
    by_name: dict[str, float] = {}
    for layer, one in zip(of.layers, thick, strict=True):
        by_name[layer.name] = by_name.get(layer.name, 0.0) + float(one)
    ordered = sorted(by_name, key=lambda name: -by_name[name])
    most = by_name[ordered[0]]
    return " and ".join(name for name in ordered[:2] if most > 0.0 and by_name[name] > 0.4 * most)


def _make(of: _Stood, share: Array, of_whole: bool) -> str:
    """What a part is made of; of a whole with a core, the core and that it has faces."""
    if of_whole and has_core(of.layers):
        return f"{_main_names(of, part_of(of.layers, CORE))} with faces"
    return _main_names(of, share)


def _why(key: str, pair: tuple[_Stood, _Stood], places: tuple[int, int]) -> Why:
    """Why one panel differs from another."""
    measure = _MEASURED[key]
    values = [float(measure(of.done.stack, of.done.build)) for of in pair]
    if values[1] > values[0]:
        pair, places = (pair[1], pair[0]), (places[1], places[0])
    whole = not all(has_core(of.layers) for of in pair)
    one, other = (parts(of.layers, of.done.stack, of.done.build, whole) for of in pair)
    factors = differences(one, other, measure)
    causes = []
    for at, name in enumerate(WHOLE if whole else CAUSES):
        rows = [1] if at > 1 else [0, 2]
        thickness = [float(np.sum(cut.thickness[rows])) for cut in (one, other)]
        makes = [
            _make(of, np.sum(cut.share[rows], axis=0), whole)
            for of, cut in zip(pair, (one, other), strict=True)
        ]
        causes.append(
            Cause(name, float(factors[at]), thickness[0], thickness[1], makes[0], makes[1])
        )
    causes.sort(key=lambda cause: -abs(math.log(cause.factor)))
    return Why(key, *places, max(values) / min(values), tuple(causes))


def _whys(stood: Sequence[_Stood], terms: Terms) -> tuple[Why, ...]:
    """Why each panel differs from the first."""
    found = []
    for key in _ASKED[terms.equal]:
        for place in range(1, len(stood)):
            pair = (stood[0], stood[place])
            if key == "areal_mass" or all(is_stiff(of.layers) for of in pair):
                found.append(_why(key, pair, (0, place)))
    return tuple(found)


# --- Against the handbook -------------------------------------------------------------------------


def _specific(density: Array, modulus: Array, shear: Array) -> Specific:
    return Specific(
        float(density),
        float(modulus),
        float(shear),
        float(beam.specific_modulus(modulus, density)),
        float(beam.plate_merit(modulus, density)),
        float(beam.specific_modulus(shear, density)),
    )


_CORRECTED = {"cloth": "fibre", "core": "core", **dict.fromkeys(TIMBER, "timber")}


def _corrected(of: _Stood) -> tuple[Corrected, ...]:
    """Each material as it lies here, resin and all, beside the handbook's, by density."""
    if of.stiff is None:
        return ()
    stack, build, own = of.done.stack, of.done.build, of.stiff.made.constants
    nothing = np.zeros_like(stack.solid_density)
    straight = replace(stack, solid_density=nothing, grain_slope=nothing, knot_share=nothing)
    usual = evaluate(straight)
    handbook = constants(straight, usual)
    found: dict[tuple[str, float], Corrected] = {}
    for index, layer in enumerate(of.layers):
        thick = build.layer_thickness[index]
        if layer.film or thick <= 0.0:
            continue
        kind = _CORRECTED.get(layer.kind, "solid")
        is_core = kind == "core"
        shear = (own.G13 if is_core else own.G12)[index]
        density = beam.mean_density(build.layer_mass[index], thick)
        here = _specific(density, own.E1[index], shear)
        by_kind = {
            "fibre": (stack.fibre_density, stack.fibre_E1, stack.fibre_G12),
            "timber": (usual.density, handbook.E1, handbook.G12),
        }
        book = by_kind.get(kind, (build.density, own.E1, own.G13 if is_core else own.G12))
        pair = Corrected(layer.name, kind, here, _specific(*(values[index] for values in book)))
        found.setdefault((layer.name, round(here.pulled)), pair)
    return tuple({one.layer: one for one in reversed(found.values())}.values())[::-1]


# --- The whole ------------------------------------------------------------------------------------


def _refuse_number(entrants: Sequence[Entrant]) -> None:
    if not FEWEST <= len(entrants) <= MOST_PANELS:
        what = (
            "a line-up of one compares nothing"
            if len(entrants) == 1
            else f"{len(entrants)} panels are too many to read side by side"
        )
        hint = 'name another panel, or a known solid such as "9 mm birch plywood" or "3 mm steel"'
        allowed = f"{FEWEST} to {MOST_PANELS} panels"
        few = len(entrants) < FEWEST
        raise InputError(Problem(what, allowed=allowed, hint=hint if few else "leave some out"))


def _refuse_terms(entrants: Sequence[Entrant], terms: Terms) -> None:
    if terms.equal and terms.equal not in EQUAL:
        raise InputError(Problem("panels cannot be made equal in this", terms.equal, _or(EQUAL)))
    bare = [one.title for one in entrants if not one.has_thickness]
    if bare and (not terms.equal or not entrants[0].has_thickness):
        what = f"how thick the {bare[0].partition(' (')[0]} is has to be said"
        hint = "its thickness before its name, or --equal with a panel of known size first"
        raise InputError(Problem(what, hint=hint))


def _or(words: Sequence[str]) -> str:
    return f"{', '.join(words[:-1])} or {words[-1]}"


def line_up(
    entrants: Sequence[Entrant],
    catalogue: Catalogue,
    terms: Terms = AS_THEY_ARE,
    prices: Mapping[str, UnitPrice] | None = None,
    draws: int = LINE_UP_DRAWS,
) -> LineUp:
    """Several panels on equal terms; the first is the one that the others are made equal to.

    Raises :class:`InputError`, a sentence each: too few or too many panels, a solid without
    thickness, a property that is not known, a price that is missing, terms that a panel cannot
    meet at any thickness.
    """
    _refuse_number(entrants)
    _refuse_terms(entrants, terms)
    known_prices = prices or {}
    stood = []
    for place, one in enumerate(entrants):
        resolved, change = one.resolved, None
        if terms.equal:
            _refuse_unknown(one, terms)
            if place:
                resolved, change, _ = _on_terms(one, entrants[0], terms, known_prices)
        stood.append(_stood(one, resolved, change, draws))
    rows, currency = _rows(stood, terms, catalogue, known_prices)
    members = tuple(_member(ascii_uppercase[i], of) for i, of in enumerate(stood))
    return LineUp(terms, members, rows, _whys(stood, terms), _notes(terms), currency)


def _member(letter: str, of: _Stood) -> Member:
    shares = None
    if of.stiff is not None:
        laid = np.array([layer.laid for layer in of.layers])
        own = of.stiff.made.bending_shares
        sums = [np.sum(own[laid == number], axis=0) for number in range(int(laid.max()) + 1)]
        shares = Shares(tuple((float(along), float(across)) for along, across in sums))
    title = of.entrant.title
    if of.entrant.handbook_only and of.change is not None:
        title = sized(title)[1]  # it is no longer as thick as its name says
    return Member(
        letter,
        title,
        of.entrant.handbook_only,
        of.change,
        layer_records(of.done),
        shares,
        _corrected(of),
        tuple(dict.fromkeys(one.source for layer in of.layers for one in layer.inputs.values())),
    )


def _notes(terms: Terms) -> tuple[str, ...]:
    found = ["moments and shear forces are per width; insulation without the air at the faces"]
    if terms.equal:
        found.append(
            "made equal at the middle values; a tolerance of thickness grows with the thickness"
        )
    if terms.whole:
        found.append(
            "rounded up to whole plies, spread over those that are there, or to the next sheet"
        )
    return tuple(found)
