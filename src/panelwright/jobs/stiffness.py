"""The stiffness of a predicted panel as a record: section, likeness, movement, merit."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

import numpy as np

from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics import beam, lamina, laminate, micromechanics
from panelwright.mechanics.arrays import Array
from panelwright.panels.checks import TIMBER
from panelwright.panels.evaluate import Build, evaluate
from panelwright.panels.likeness import Likeness, liken, solids
from panelwright.panels.records import (
    AngleRecord,
    HandbookRecord,
    LikenessRecord,
    MovementRecord,
    RuleRecord,
    SectionRecord,
)
from panelwright.panels.resolve import Resolved
from panelwright.panels.section import (
    ACROSS,
    Section,
    constants,
    movement,
    movement_unfinished,
    straight_plies,
)
from panelwright.panels.spread import Causes, Ranged, ranged, with_model_error
from panelwright.panels.stack import Stack, StackLayer
from panelwright.provenance import Input
from panelwright.working import formulas

#: Steps that a movement is told for.
WARMER, WETTER = 10.0, 1.0
CHORD = 1.0
ANGLES = tuple(range(0, 181, 15))
_MODULI = ("Ex", "Ey", "Gxy", "nuxy")
_BENDING_MODULI = ("Ex_bending", "Ey_bending", "Gxy_bending", "nuxy_bending")
#: Rows of the table of model errors for the moduli, in order, and for EI along and across.
_ERROR_OF_MODULI = ("modulus", "modulus", "shear_modulus", "poisson")
_ERROR_OF_STRIP = ("bending_stiffness", "bending_stiffness")
_KNOWN_BY = {"cloth": ("fibre_E1", "resin_E"), **dict.fromkeys(TIMBER, ("moe_12",))}


@dataclass(frozen=True)
class Stiffened:
    """Section of one panel at the middle values and under draws of its causes.

    ``drawn`` and ``told_build`` carry the errors of the model, ``drawn_build`` does not.
    """

    stack: Stack
    build: Build
    made: Section
    drawn_stack: Stack
    drawn_build: Build
    drawn: Section
    told_build: Build
    causes: Causes
    errors: Mapping[str, Input]

    def ranged(self, middle: Array, drawn: Array, unit: str) -> Ranged:
        """A result with its range; middle : one number, drawn : one a draw."""
        return ranged(middle, drawn, unit, self.causes)


def may_be_off(drawn: Section, errors: Mapping[str, Input]) -> Section:
    """Draws of a section with what the formulas may be off by in the figures that are told.

    errors : by quantity, from the table ``model_errors``.
    """

    def off(figures: Array, quantities: tuple[str, ...]) -> Array:
        columns = (
            with_model_error(figures[..., index], errors[quantity])
            for index, quantity in enumerate(quantities)
        )
        return np.stack(list(columns), axis=-1)

    return replace(
        drawn,
        strip=off(drawn.strip, _ERROR_OF_STRIP),
        extension_moduli=off(drawn.extension_moduli, _ERROR_OF_MODULI),
        bending_moduli=off(drawn.bending_moduli, _ERROR_OF_MODULI),
    )


def unknown_stiffness(layers: list[StackLayer]) -> list[str]:
    """Names of the layers whose stiffness is not known; films do not count."""
    found = [
        layer.name
        for layer in layers
        if not layer.film
        and any(name not in layer.inputs for name in _KNOWN_BY.get(layer.kind, ("given_E1",)))
    ]
    return list(dict.fromkeys(found))


def is_stiff(layers: list[StackLayer]) -> bool:
    """Whether the stiffness of the whole section can be told."""
    return not unknown_stiffness(layers) and any(not layer.film for layer in layers)


def _nested(components: Array) -> tuple[tuple[float, ...], ...]:
    return tuple(tuple(float(v) for v in row) for row in lamina.matrix(components))


def _ranges(done: Stiffened, names: tuple[str, ...], which: str) -> dict[str, Ranged]:
    middle, drawn = getattr(done.made, which), getattr(done.drawn, which)
    return {
        name: done.ranged(middle[index], drawn[..., index], "-" if name.startswith("nu") else "Pa")
        for index, name in enumerate(names)
    }


def _by_laid(
    values: Array, layers: list[StackLayer], count: int
) -> tuple[tuple[float, float], ...]:
    """Shares of the stack layers summed over each layer as laid."""
    laid = np.array([layer.laid for layer in layers])
    sums = (np.sum(values[laid == number], axis=0) for number in range(count))
    return tuple((float(along), float(across)) for along, across in sums)


def _along(made: Section, thickness: Array, angle: float) -> tuple[Array, Array]:
    """Moduli along a direction: in the plane and in bending."""
    a = lamina.turned_compliance(laminate.extension_compliance(made.compliance), angle)
    d = lamina.turned_compliance(laminate.bending_compliance(made.compliance), angle)
    plane, bent = laminate.extension_moduli(a, thickness), laminate.bending_moduli(d, thickness)
    return lamina.part(plane, 0), lamina.part(bent, 0)


def _by_angle(done: Stiffened) -> tuple[AngleRecord, ...]:
    """Moduli at every angle."""
    found = []
    for degrees in ANGLES:
        angle = float(np.radians(degrees))
        plane, bent = _along(done.made, done.build.thickness, angle)
        planes, bents = (
            with_model_error(values, done.errors["modulus"])
            for values in _along(done.drawn, done.drawn_build.thickness, angle)
        )
        in_plane, bending = (done.ranged(*pair, "Pa") for pair in ((plane, planes), (bent, bents)))
        found.append(AngleRecord(float(degrees), in_plane, bending))
    return tuple(found)


# --- Movement -------------------------------------------------------------------------------------


def _movement(
    done: Stiffened, step: str, free: Array, drawn: Array, times: float
) -> MovementRecord:
    """One step. A face that grows outside bulges outwards."""

    def growth(way: int) -> Ranged:
        return done.ranged(times * free[way], times * drawn[..., way], "-")

    def rise(way: int) -> Ranged:
        curved = 3 + way
        return done.ranged(
            laminate.rise(times * free[curved], CHORD),
            laminate.rise(times * drawn[..., curved], CHORD),
            "m",
        )

    return MovementRecord(step, growth(0), growth(1), rise(0), rise(1))


def _movements(done: Stiffened, layers: list[StackLayer]) -> tuple[MovementRecord, ...]:
    middle = movement(done.stack, done.build, done.made)
    drawn = movement(done.drawn_stack, done.drawn_build, done.drawn)
    found = [_movement(done, "10 °C (18 °F) warmer", middle.per_degree, drawn.per_degree, WARMER)]
    timber = [index for index, layer in enumerate(layers) if layer.kind in TIMBER]
    if not timber:
        return tuple(found)
    wetter = "1 % more moisture in the timber"
    found.append(_movement(done, wetter, middle.per_moisture, drawn.per_moisture, WETTER))
    if min(timber) > 0 and max(timber) < len(layers) - 1:
        last = max(timber)
        one = movement_unfinished(done.stack, last)
        many = movement_unfinished(done.drawn_stack, last)
        bare = "the same, only the outside face glassed"
        found.append(_movement(done, bare, one.per_moisture, many.per_moisture, WETTER))
    return tuple(found)


# --- Merit ----------------------------------------------------------------------------------------


def _merits(build: Build, made: Section) -> dict[str, tuple[Array, str]]:
    """Merit numbers of the trade with their units."""
    density = beam.mean_density(build.areal_mass, build.thickness)
    found: dict[str, tuple[Array, str]] = {"density": (density, "kg/m3")}
    for way, name in enumerate(("along", "across")):
        plane, bent = (lamina.part(m, way) for m in (made.extension_moduli, made.bending_moduli))
        strip = lamina.part(made.strip, way)
        found |= {
            f"specific_modulus_{name}": (beam.specific_modulus(plane, density), "m2/s2"),
            f"plate_merit_{name}": (beam.plate_merit(bent, density), "Pa^(1/3) m3/kg"),
            f"stiffness_for_mass_{name}": (
                beam.stiffness_for_mass(strip, build.areal_mass),
                "N m3/kg",
            ),
        }
    return found


def _merit(done: Stiffened) -> dict[str, Ranged]:
    middle, drawn = _merits(done.build, done.made), _merits(done.told_build, done.drawn)
    return {name: done.ranged(one, drawn[name][0], unit) for name, (one, unit) in middle.items()}


def _against_handbook(stack: Stack, build: Build, made: Section) -> tuple[Array, Array]:
    """Modulus along the grain, and over the density, by the handbook's, ``(..., L)``.

    The handbook's are those of the same timber at its moisture: not weighed, its grain straight.
    """
    nothing = np.zeros_like(stack.solid_density)
    tabulated = replace(stack, solid_density=nothing, grain_slope=nothing)
    usual = evaluate(tabulated)
    modulus = constants(tabulated, usual).E1
    specific = beam.specific_modulus
    return (
        beam.over_tabulated(made.constants.E1, modulus),
        beam.over_tabulated(
            specific(made.constants.E1, build.density), specific(modulus, usual.density)
        ),
    )


def _fibre_use(stack: Stack, build: Build, made: Section) -> Array:
    """Modulus of each ply over that of its fibre alone, ``(..., L)``."""
    return micromechanics.fibre_use(made.constants.E1, stack.fibre_E1, build.fibre_volume_fraction)


def _handbook(done: Stiffened, layers: list[StackLayer]) -> tuple[HandbookRecord, ...]:
    """Each timber against its handbook, each cloth against its fibre; alike layers once."""
    parts = (
        (done.stack, done.build, done.made),
        (done.drawn_stack, done.drawn_build, done.drawn),
    )
    (modulus, specific), (moduli, specifics) = (_against_handbook(*part) for part in parts)
    use, uses = (_fibre_use(*part) for part in parts)
    found: dict[tuple[str, float], HandbookRecord] = {}
    for index, layer in enumerate(layers):
        if layer.kind in TIMBER:
            ratio = done.ranged(modulus[index], moduli[..., index], "-")
            per_mass = done.ranged(specific[index], specifics[..., index], "-")
            record = HandbookRecord(layer.name, "timber", ratio, per_mass)
        elif layer.kind == "cloth":
            ratio = done.ranged(use[index], uses[..., index], "-")
            record = HandbookRecord(layer.name, "cloth", ratio, None)
        else:
            continue
        found.setdefault((layer.name, round(ratio.value, 6)), record)
    return tuple(found.values())


# --- Rules ----------------------------------------------------------------------------------------

#: Quantity, rule in words, the formula and what it gives.
Rival = tuple[str, str, Callable[..., Array], Array]


def _straight_rivals(stack: Stack, build: Build, at: int) -> list[Rival]:
    """Rules for a ply whose fibre lies straight."""
    m, v = micromechanics, build.fibre_volume_fraction
    matrix = m.voided_matrix(stack.resin_E, stack.void_fraction, v)
    shear = m.isotropic_shear(matrix, stack.resin_nu)
    along = (stack.fibre_E1[at], matrix[at], v[at])
    across = (stack.fibre_E2[at], matrix[at], v[at])
    sheared = (stack.fibre_G12[at], shear[at], v[at])
    return [
        ("E1", "rule of mixtures", m.rule_of_mixtures, m.rule_of_mixtures(*along)),
        ("E2", "series", m.series_mixture, m.series_mixture(*across)),
        ("E2", "Chamis", m.chamis, m.chamis(*across)),
        ("E2", "Halpin–Tsai, factor 2", m.halpin_tsai, m.halpin_tsai(*across, ACROSS)),
        ("G12", "series", m.series_mixture, m.series_mixture(*sheared)),
        ("G12", "Halpin–Tsai, factor 1", m.halpin_tsai, m.halpin_tsai(*sheared, 1.0)),
        ("G12", "Chamis", m.chamis, m.chamis(*sheared)),
        ("G12", "Förster and Knappe", m.foerster_knappe_shear, m.foerster_knappe_shear(*sheared)),
    ]


def _rules(done: Stiffened, layers: list[StackLayer]) -> tuple[str, tuple[RuleRecord, ...]]:
    """Name of the first cloth, and competing rules for its ply."""
    at = next((index for index, layer in enumerate(layers) if layer.kind == "cloth"), None)
    if at is None:
        return "", ()
    known = {made_by.name: made_by for made_by in formulas()}
    ply = straight_plies(done.stack, done.build)
    records = []
    for quantity, rule, function, value in _straight_rivals(done.stack, done.build, at):
        made_by = known[function.__name__]
        taken = bool(np.isclose(value, getattr(ply, quantity)[at], rtol=1e-12))
        records.append(
            RuleRecord(quantity, rule, float(value), taken, made_by.valid, made_by.source)
        )
    return layers[at].name, tuple(records)


# --- Records --------------------------------------------------------------------------------------


def section_record(
    done: Stiffened, resolved: Resolved, glance: SectionRecord | None = None
) -> SectionRecord:
    """Everything that is known of the stiffness of a panel.

    glance : from :func:`glance_at_section`, where it is there already.
    """
    layers = resolved.layers
    ruled, rules = _rules(done, layers)
    return replace(
        glance or glance_at_section(done, resolved),
        by_angle=_by_angle(done),
        merit=_merit(done),
        handbook=_handbook(done, layers),
        ruled=ruled,
        rules=rules,
        movement=_movements(done, layers),
    )


def glance_at_section(done: Stiffened, resolved: Resolved) -> SectionRecord:
    """The stiffness of a panel without what is told by angle, by movement and by handbook."""
    made, drawn, one = done.made, done.drawn, done.ranged
    count, layers = len(resolved.laid), resolved.layers
    return SectionRecord(
        extension=_nested(made.extension),
        coupling=_nested(made.coupling),
        bending=_nested(made.bending),
        shear=tuple(tuple(float(v) for v in row) for row in made.shear),
        moduli={
            **_ranges(done, _MODULI, "extension_moduli"),
            **_ranges(done, _BENDING_MODULI, "bending_moduli"),
        },
        stiffness_along=one(made.strip[..., 0], drawn.strip[..., 0], "N m"),
        stiffness_across=one(made.strip[..., 1], drawn.strip[..., 1], "N m"),
        shear_along=one(made.shear[..., 0, 0], drawn.shear[..., 0, 0], "N/m"),
        shear_across=one(made.shear[..., 1, 1], drawn.shear[..., 1, 1], "N/m"),
        neutral_along=float(made.neutral[0]),
        neutral_across=float(made.neutral[1]),
        unlikeness=float(made.unlikeness),
        bending_shares=_by_laid(made.bending_shares, layers, count),
        shear_shares=_by_laid(made.shear_shares, layers, count),
        by_angle=(),
        merit={},
        handbook=(),
        ruled="",
        rules=(),
        movement=(),
    )


def likeness_records(
    done: Stiffened, catalogue: Catalogue, most: int | None = None
) -> tuple[LikenessRecord, ...]:
    """The panel beside every solid of the catalogue, or beside the first ``most`` of them."""
    return tuple(
        _likeness(
            done,
            liken(solid, done.made.strip, done.build.areal_mass),
            liken(solid, done.drawn.strip, done.told_build.areal_mass),
        )
        for solid in solids(catalogue)[:most]
    )


def _likeness(done: Stiffened, middle: Likeness, drawn: Likeness) -> LikenessRecord:
    along, across, mass = (
        done.ranged(getattr(middle, name), getattr(drawn, name), "m")
        for name in ("along", "across", "mass")
    )
    return LikenessRecord(middle.name, along, across, mass)
