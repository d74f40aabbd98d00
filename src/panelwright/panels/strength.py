"""Strength of a section: the loads at first damage and at the end, and where they are reached.

Loads are per width: forces in the plane, bending moments, transverse shear forces. The panel is
free: pulled, it may bend; bent, it may curve the other way too. It does not buckle.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass, replace

import numpy as np

from panelwright.mechanics import (
    criteria,
    lamina,
    laminate,
    micromechanics,
    moisture,
    ply_strength,
    timber,
    timber_failure,
    transverse_shear,
)
from panelwright.mechanics.arrays import Array, array
from panelwright.panels.evaluate import Build
from panelwright.panels.section import Section, cloth_constants, section_of
from panelwright.panels.stack import Stack

#: What a layer has not.
NOTHING = 0.0
#: Loads in the plane and in bending: place among N and M, and what they are called.
LOADS = ("force along", "force across", "shear in the plane", "bending along", "bending across")
#: Modes of a layer under a load in the plane or in bending, in its own axes.
MODES = ("tension along", "compression along", "tension across", "compression across", "shear")
#: The two signs of a load.
SIGNS = {1: array(1.0), -1: array(-1.0)}


@dataclass(frozen=True)
class Limits:
    """What the layers bear in their own axes, ``(..., L)``; 0 where it is not known."""

    X1t: Array  # Pa
    X1c: Array
    X2t: Array
    X2c: Array
    S12: Array
    S13: Array
    S23: Array
    crack_1: Array  # strain at the first crack along 1, of cloth with fibre both ways
    crack_2: Array
    yields: Array  # share of S13 and S23 at first damage


@dataclass(frozen=True)
class Weakest:
    """Largest load and where it ends: ``(...)`` each; ``place`` 0 outer, 1 inner face."""

    load: Array
    layer: Array
    place: Array
    mode: Array


def _timber(stack: Stack) -> tuple[Array, ...]:
    """Tension and compression along and across, shear along and rolling, of timber."""
    basic = moisture.basic_specific_gravity(stack.tabulated_gravity, stack.tabulated_moisture)
    tabulated = moisture.specific_gravity(basic, stack.moisture)
    weighed = timber.weighed_gravity(stack.solid_density, stack.moisture)

    def at(dry: Array, green: Array, kind: str) -> Array:
        moist = moisture.property_at_moisture(
            dry, green, stack.moisture, stack.intersection_moisture
        )
        power = timber_failure.power_within(
            timber_failure.WITHIN_SPECIES[kind], stack.gravity_power
        )
        return timber.property_at_gravity(moist, weighed, tabulated, power)

    split = at(stack.split_12, stack.split_12, "tension across")
    press = at(stack.press_12, stack.press_12, "compression across")
    # where the knot lies is not known: at the edge of the side that is stretched
    tension = timber_failure.with_knots(
        at(stack.bend_12, stack.bend_green, "bending"), stack.knot_share, *timber_failure.EDGE_KNOT
    )
    crush = timber_failure.with_knots(
        at(stack.crush_12, stack.crush_green, "compression along"),
        stack.knot_share,
        *timber_failure.KNOT_IN_COMPRESSION,
    )
    return (
        timber.hankinson(tension, split, stack.grain_slope),
        timber.hankinson(crush, press, stack.grain_slope),
        split,
        press,
        at(stack.wood_shear_12, stack.wood_shear_green, "shear"),
        at(stack.rolling_12, stack.rolling_12, "shear"),
    )


def limits(stack: Stack, build: Build, made: Section) -> Limits:
    """What every layer bears.

    stack, build, made : of the same panel.
    """
    v, E1, E2 = build.fibre_volume_fraction, made.constants.E1, made.constants.E2
    tested = cloth_constants(stack, replace(build, fibre_volume_fraction=stack.strain_fraction))
    strength, crack, either = (
        ply_strength.strength_of_strain,
        ply_strength.crack_strain,
        ply_strength.either,
    )
    squeezed = ply_strength.compression_strain(
        stack.strain_1c, v, stack.strain_fraction, stack.strain_1c_power
    )
    across = either(stack.held_across, E2, tested.E2)
    cracked = either(
        stack.strain_crack, crack(stack.strain_crack, v, stack.strain_fraction), NOTHING
    )
    between = ply_strength.shear_strength_between(stack.shear_between, stack.void_fraction)
    tension, crush, split, press, shear, rolling = _timber(stack)

    def add(cloth: Array, timber: Array, given: Array) -> Array:
        return micromechanics.of_the_layer(cloth, timber, given, NOTHING)

    return Limits(
        X1t=add(strength(stack.strain_1t, E1), tension, stack.given_X1t),
        X1c=add(strength(squeezed, E1), crush, stack.given_X1c),
        X2t=add(strength(stack.strain_2t, across), split, stack.given_X2t),
        X2c=add(strength(stack.strain_2c, across), press, stack.given_X2c),
        S12=add(ply_strength.ply_shear_strength(stack.shear_12, v), shear, stack.given_S12),
        S13=add(between, shear, stack.given_S13),
        S23=add(between, rolling, stack.given_S23),
        crack_1=either(stack.held_across, cracked, NOTHING),
        crack_2=cracked,
        yields=ply_strength.share_at_yield(stack.yield_share),
    )


def _strain_limits(own: Limits, made: Section, damage: bool) -> Bears:
    """Strains along 1 and 2, in tension and compression, and in shear, that the layers bear."""
    k, strain = made.constants, ply_strength.strain_of_strength
    t1, t2 = strain(own.X1t, k.E1), strain(own.X2t, k.E2)
    if damage:
        least = ply_strength.smaller_known
        t1, t2 = least(t1, own.crack_1), least(t2, own.crack_2)
    return t1, strain(own.X1c, k.E1), t2, strain(own.X2c, k.E2), strain(own.S12, k.G12)


def _own_strains(made: Section, build: Build, stack: Stack, load: int) -> Array:
    """Strains of the layers in their own axes for a load of 1, ``(..., L, 2, 3)``."""
    unit = lamina.part(made.compliance, load)
    faces = laminate.face_strains(unit, made.heights, build.layer_thickness)
    return lamina.own_strains_of_faces(faces, stack.angle)


def weakest(strains: Array, bears: Bears, sign: int) -> Weakest:
    """Where the layers are most exposed to one load.

    strains : of :func:`_own_strains`; bears : of :func:`_strain_limits`.
    """
    return worst(criteria.used_strains(strains, SIGNS[sign], *bears))


def worst(exposed: Array) -> Weakest:
    """The most exposed of some places: ``(..., L, places, modes)``."""
    flat = exposed.reshape(*exposed.shape[:-3], -1)
    layer, place, mode = np.unravel_index(np.argmax(flat, axis=-1), exposed.shape[-3:])
    return Weakest(criteria.least_load(exposed), layer, place, mode)


#: Shear of a ±45 ply over the strain of the straight fibre beside it: 1 + Poisson's ratio, at most
#: 2, so that shear alone never ends a panel whose fibre still holds.
SHEAR_AT_BREAK = 2.0


def damaged(
    stack: Stack, build: Build, made: Section, own: Limits, in_shear: bool, mat_broken: bool = False
) -> Section:
    """The section once all layers have cracked along their fibre or grain.

    Cloth goes on bearing the stress it cracked at; timber that has split and layers given by
    their constants bear nothing more that way.

    in_shear : whether they have also given way in shear; mat_broken : whether random fibre, which
    breaks before straight fibre beside it, has gone as well.
    """
    k, left = made.constants, ply_strength.left_by_damage
    cloth = ply_strength.is_known(stack.strain_1t)
    brittle = ply_strength.is_known(stack.bend_12, stack.given_X1t)
    split = ply_strength.unless_gone(cloth, stack.held_across)
    broken = stack.is_random if mat_broken else NOTHING

    def of_cloth(constant: Array, strength: Array, which: Array, *times: float) -> Array:
        held = ply_strength.left_by_crack(constant, strength, stack.strain_1t, *times)
        return ply_strength.either(which, held, constant)

    changed = replace(
        k,
        # a yarn that only holds a tape together breaks with the ply it is stitched to
        E1=left(left(k.E1, broken), stack.is_yarn),
        E2=left(left(of_cloth(k.E2, own.X2t, split), brittle), broken),
        nu12=left(k.nu12, ply_strength.is_known(split, brittle)),
        G12=left(of_cloth(k.G12, own.S12, cloth, SHEAR_AT_BREAK), brittle) if in_shear else k.G12,
    )
    return section_of(changed, stack, build)


@dataclass(frozen=True)
class Strength:
    """First damage and end for one load."""

    first: Weakest
    ultimate: Weakest


#: Strains that the layers bear: along in tension and compression, across likewise, in shear.
Bears = tuple[Array, Array, Array, Array, Array]


@dataclass(frozen=True)
class States:
    """A panel undamaged, then more and more damaged, with the strains its layers still bear."""

    own: Limits
    sections: tuple[Section, ...]
    first: Bears  # at first damage, of the undamaged panel
    bears: tuple[Bears, ...]  # of each state


def _without(own: Limits, gone: Array) -> Limits:
    """Limits of the layers; those that are gone (1) no longer count."""
    names = ("X1t", "X1c", "X2t", "X2c", "S12")
    left = ply_strength.unless_gone
    return replace(own, **{name: left(getattr(own, name), gone) for name in names})


def states(stack: Stack, build: Build, made: Section) -> States:
    """The states of damage that a panel goes through: cracked, sheared, its mats broken."""
    own = limits(stack, build, made)
    cracked = _without(own, stack.is_yarn)
    sections = [made, *(damaged(stack, build, made, own, shear) for shear in (False, True))]
    left = [own, cracked, cracked]
    if np.any(stack.is_random):
        sections.append(damaged(stack, build, made, own, in_shear=True, mat_broken=True))
        left.append(_without(cracked, stack.is_random))
    bears = (_strain_limits(*pair, False) for pair in zip(left, sections, strict=True))
    return States(own, tuple(sections), _strain_limits(own, made, True), tuple(bears))


def in_plane(of: States, stack: Stack, build: Build, load: int) -> tuple[Strength, Strength]:
    """Strength under a force or a moment, positive and negative.

    load : place in ``LOADS``. A positive force pulls, a positive moment stretches the outside.
    """
    strains = [_own_strains(made, build, stack, load) for made in of.sections]
    return _of_sign(of, strains, 1), _of_sign(of, strains, -1)


def _of_sign(of: States, strains: list[Array], sign: int) -> Strength:
    first = weakest(strains[0], of.first, sign)
    ends = [weakest(*pair, sign) for pair in zip(strains, of.bears, strict=True)]
    return Strength(first, _strongest([first, *ends]))


def first_damage(stack: Stack, build: Build, made: Section, load: int, sign: int) -> Weakest:
    """First damage under one load alone: what a search over many panels needs.

    load, sign : as of :func:`in_plane`.
    """
    bears = _strain_limits(limits(stack, build, made), made, True)
    return weakest(_own_strains(made, build, stack, load), bears, sign)


def _strongest(ends: list[Weakest]) -> Weakest:
    """Of several states of damage the one that bears most, at each place of the arrays."""
    loads = np.stack([end.load for end in ends])
    known = np.where(np.isfinite(loads), loads, -1.0)
    best = np.argmax(known, axis=0)[None]

    def chosen(name: str) -> Array:
        values = np.stack([np.asarray(getattr(end, name)) for end in ends])
        return array(np.take_along_axis(values, best, axis=0)[0])

    load = functools.reduce(criteria.larger_known, (end.load for end in ends))
    return Weakest(load, *(chosen(name) for name in ("layer", "place", "mode")))


def in_shear(of: States, stack: Stack, build: Build, way: int) -> Strength:
    """Strength under a transverse shear force along (way 0) or across (1).

    The stress at a face of a layer is also that of its interface, so that each interface is
    judged by the weaker of its two layers; a glue line whose strength is known is a layer too.
    ``place`` of the result : 0 at the outer face of the layer, 1 within it, 2 at its inner face.
    """
    made = of.sections[0]
    flow = transverse_shear.shear_flow(
        made.turned,
        build.layer_thickness,
        made.heights,
        made.extension,
        made.coupling,
        made.bending,
    )
    stress = lamina.part(transverse_shear.shear_by_place(flow, stack.angle), way)
    own = of.own
    start = criteria.used_shear(stress, own.S13, own.S23, own.yields)
    return Strength(worst(start), worst(criteria.used_shear(stress, own.S13, own.S23)))


# --- Criteria side by side ------------------------------------------------------------------------


def by_criteria(stack: Stack, build: Build, made: Section) -> dict[str, Array]:
    """Load at which the first layer fails by each criterion, from the strength of its layers alone.

    Gives ``(loads, 2, ...)``: every one of ``LOADS``, positive and negative; infinite where no
    layer can be judged. Norris is for timber, and looks at no other layer.
    """
    own = limits(stack, build, made)
    pulled = np.moveaxis(made.compliance[..., : len(LOADS)], -1, 0)
    strains = np.stack([pulled, -pulled], axis=1)
    nothing, half = np.zeros((*build.layer_thickness.shape, 3)), build.layer_thickness / 2.0
    stress = np.stack(
        [
            criteria.stress_in_layer(
                laminate.layer_stress(made.turned, strains, made.heights + face, nothing),
                stack.angle,
            )
            for face in (half, -half)
        ],
        axis=-3,
    )
    X = (own.X1t, own.X1c, own.X2t, own.X2c, own.S12)
    k, least = made.constants, criteria.least_reserve
    timber_only = tuple(np.where(stack.bend_12 > 0.0, strength, 0.0) for strength in X)
    by_layer = {
        "maximum stress": least(criteria.max_stress(stress, *X)),
        "maximum strain": least(criteria.max_strain(stress, k.E1, k.E2, k.nu12, *X)),
        "Tsai–Hill": criteria.tsai_hill(stress, *X),
        "Tsai–Wu": criteria.tsai_wu(stress, *X),
        "Hashin": least(criteria.hashin(stress, *X, own.S23)),
        "Puck": least(criteria.puck(stress, *X)),
        "Norris": timber_failure.norris(stress, *timber_only),
    }
    return {name: np.min(values, axis=(-2, -1)) for name, values in by_layer.items()}
