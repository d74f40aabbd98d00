"""The stiffness of a predicted panel as a record: section, likeness, movement, merit."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics import beam, lamina, laminate, micromechanics
from panelwright.mechanics.arrays import Array, array
from panelwright.panels.checks import TIMBER
from panelwright.panels.evaluate import Build, evaluate
from panelwright.panels.likeness import Likeness, liken, solids
from panelwright.panels.records import LikenessRecord, MovementRecord, SectionRecord
from panelwright.panels.resolve import Resolved
from panelwright.panels.section import Section, movement, section, straight_plies
from panelwright.panels.spread import Causes, Ranged, ranged
from panelwright.panels.stack import FIELDS, Stack, StackLayer

#: Steps that a movement is told for.
WARMER, WETTER = 10.0, 1.0
CHORD = 1.0
ANGLES = tuple(range(0, 181, 15))
_MODULI = ("Ex", "Ey", "Gxy", "nuxy")
_BENDING_MODULI = ("Ex_bending", "Ey_bending", "Gxy_bending", "nuxy_bending")
_KNOWN_BY = {"cloth": ("fibre_E1", "resin_E"), **dict.fromkeys(TIMBER, ("moe_12",))}


@dataclass(frozen=True)
class Stiffened:
    """Section of one panel at the middle values and under draws of its causes."""

    stack: Stack
    build: Build
    made: Section
    drawn: Section
    drawn_build: Build
    causes: Causes


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
        name: ranged(
            middle[..., index],
            drawn[..., index],
            "-" if name.startswith("nu") else "Pa",
            done.causes,
        )
        for index, name in enumerate(names)
    }


def _by_laid(
    values: Array, layers: list[StackLayer], count: int
) -> tuple[tuple[float, float], ...]:
    """Shares of the stack layers summed over each layer as laid."""
    laid = np.array([layer.laid for layer in layers])
    sums = (np.sum(values[laid == number], axis=0) for number in range(count))
    return tuple((float(along), float(across)) for along, across in sums)


def _by_angle(done: Stiffened) -> tuple[tuple[float, float, float], ...]:
    """Moduli at every angle: in the plane and in bending."""
    angles = np.radians(array(list(map(float, ANGLES))))
    t = done.build.thickness
    a = lamina.turned_compliance(laminate.extension_compliance(done.made.compliance), angles)
    d = lamina.turned_compliance(laminate.bending_compliance(done.made.compliance), angles)
    plane, bent = laminate.extension_moduli(a, t), laminate.bending_moduli(d, t)
    return tuple(
        (float(angle), float(plane[index, 0]), float(bent[index, 0]))
        for index, angle in enumerate(ANGLES)
    )


def _movement(step: str, free: Array, times: float) -> MovementRecord:
    strains = times * free
    rise = laminate.rise(strains[3:5], CHORD)  # a face that grows outside bulges outwards
    return MovementRecord(
        step, float(strains[0]), float(strains[1]), float(rise[0]), float(rise[1])
    )


def _movements(done: Stiffened, layers: list[StackLayer]) -> tuple[MovementRecord, ...]:
    moved = movement(done.stack, done.build, done.made)
    found = [_movement("10 °C warmer", moved.per_degree, WARMER)]
    timber = [index for index, layer in enumerate(layers) if layer.kind in TIMBER]
    if timber:
        found.append(_movement("1 % more moisture in the timber", moved.per_moisture, WETTER))
        one_face = _one_face(done.stack, layers, timber)
        if one_face is not None:
            found.append(
                _movement("the same, with only the outside face glassed", one_face, WETTER)
            )
    return tuple(found)


def _one_face(stack: Stack, layers: list[StackLayer], timber: list[int]) -> Array | None:
    """Movement for 1 % moisture while the layers inside the timber are not on yet.

    None where nothing lies inside, or nothing outside.
    """
    last = max(timber)
    if last == len(layers) - 1 or min(timber) == 0:
        return None
    part = replace(stack, **{name: getattr(stack, name)[: last + 1] for name in FIELDS})
    build = evaluate(part)
    return movement(part, build, section(part, build)).per_moisture


def _merit(done: Stiffened) -> dict[str, float]:
    density = beam.mean_density(done.build.areal_mass, done.build.thickness)
    strip, mass = done.made.strip, done.build.areal_mass
    return {
        "density": float(density),
        "Ex_over_density": float(
            beam.specific_modulus(done.made.extension_moduli[..., 0], density)
        ),
        "plate_merit_along": float(beam.plate_merit(done.made.bending_moduli[..., 0], density)),
        "plate_merit_across": float(beam.plate_merit(done.made.bending_moduli[..., 1], density)),
        "stiffness_for_mass_along": float(beam.stiffness_for_mass(strip[..., 0], mass)),
        "stiffness_for_mass_across": float(beam.stiffness_for_mass(strip[..., 1], mass)),
    }


def _rules(done: Stiffened, layers: list[StackLayer]) -> dict[str, dict[str, float]]:
    """Competing rules for the first cloth: modulus across and in shear."""
    first = next((index for index, layer in enumerate(layers) if layer.kind == "cloth"), None)
    if first is None:
        return {}
    stack, v = done.stack, done.build.fibre_volume_fraction
    matrix = micromechanics.voided_matrix(stack.resin_E, stack.void_fraction, v)[first]
    shear = micromechanics.isotropic_shear(matrix, stack.resin_nu[first])
    fibre_2, fibre_g, share = stack.fibre_E2[first], stack.fibre_G12[first], v[first]
    taken = straight_plies(stack, done.build)
    return {
        "E2": {
            "series": float(micromechanics.series_mixture(fibre_2, matrix, share)),
            "chamis": float(micromechanics.chamis(fibre_2, matrix, share)),
            "halpin-tsai 2 (taken)": float(taken.E2[first]),
        },
        "G12": {
            "series": float(micromechanics.series_mixture(fibre_g, shear, share)),
            "halpin-tsai 1": float(micromechanics.halpin_tsai(fibre_g, shear, share, 1.0)),
            "chamis": float(micromechanics.chamis(fibre_g, shear, share)),
            "foerster-knappe (taken)": float(taken.G12[first]),
        },
    }


def section_record(done: Stiffened, resolved: Resolved) -> SectionRecord:
    """Everything that is known of the stiffness of a panel."""
    made, drawn, causes = done.made, done.drawn, done.causes

    def one(middle: Array, values: Array, unit: str) -> Ranged:
        return ranged(middle, values, unit, causes)

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
        by_angle=_by_angle(done),
        merit=_merit(done),
        rules=_rules(done, layers),
        movement=_movements(done, layers),
    )


def likeness_records(done: Stiffened, catalogue: Catalogue) -> tuple[LikenessRecord, ...]:
    """The panel beside every solid of the catalogue."""
    return tuple(
        _likeness(
            liken(solid, done.made.strip, done.build.areal_mass),
            liken(solid, done.drawn.strip, done.drawn_build.areal_mass),
            done.causes,
        )
        for solid in solids(catalogue)
    )


def _likeness(middle: Likeness, drawn: Likeness, causes: Causes) -> LikenessRecord:
    def one(name: str) -> Ranged:
        return ranged(getattr(middle, name), getattr(drawn, name), "m", causes)

    return LikenessRecord(middle.name, one("along"), one("across"), one("mass"))
