"""The stiffness of a section: constants of the layers, A, B, D, shear, moduli, shares."""

from __future__ import annotations

from dataclasses import dataclass, replace

from panelwright.mechanics import (
    lamina,
    laminate,
    micromechanics,
    moisture,
    timber,
    timber_failure,
    transverse_shear,
)
from panelwright.mechanics.arrays import Array
from panelwright.panels.evaluate import Build, evaluate
from panelwright.panels.stack import FIELDS, Stack

#: Shape factors of Halpin and Tsai for the modulus across round fibres.
ACROSS = 2.0
#: Poisson's ratio across a fibre, for the shear of its cross-section.
FIBRE_ACROSS = 0.25


@dataclass(frozen=True)
class Constants:
    """Elastic constants of the layers in their own axes, each ``(..., L)``, Pa."""

    E1: Array
    E2: Array
    G12: Array
    nu12: Array
    G13: Array
    G23: Array


@dataclass(frozen=True)
class Section:
    """Stiffness of a panel per width. Components 11, 12, 22, 16, 26, 66 on the last axis."""

    constants: Constants
    turned: Array  # (..., L, 6)
    heights: Array  # (..., L)
    extension: Array  # (..., 6), N/m
    coupling: Array  # N
    bending: Array  # N m
    compliance: Array  # (..., 6, 6)
    shear: Array  # (..., 2, 2), N/m
    extension_moduli: Array  # (..., 4): Ex, Ey, Gxy, nuxy
    bending_moduli: Array  # (..., 4)
    strip: Array  # (..., 2): EI along and across, N m
    neutral: Array  # (..., 2), m over the mid-plane
    bending_shares: Array  # (..., L, 2)
    shear_shares: Array  # (..., L, 2)
    unlikeness: Array  # (...)


def straight_plies(stack: Stack, build: Build) -> Constants:
    """Constants of the plies as if all their fibre lay along axis 1; zeros elsewhere."""
    v = build.fibre_volume_fraction
    matrix = micromechanics.voided_matrix(stack.resin_E, stack.void_fraction, v)
    shear = micromechanics.isotropic_shear(matrix, stack.resin_nu)
    fibre_23 = micromechanics.isotropic_shear(stack.fibre_E2, FIBRE_ACROSS)
    G12 = micromechanics.foerster_knappe_shear(stack.fibre_G12, shear, v)
    return Constants(
        E1=micromechanics.rule_of_mixtures(stack.fibre_E1, matrix, v),
        E2=micromechanics.halpin_tsai(stack.fibre_E2, matrix, v, ACROSS),
        G12=G12,
        nu12=micromechanics.rule_of_mixtures(stack.fibre_nu, stack.resin_nu, v),
        G13=G12,
        G23=micromechanics.chamis(fibre_23, shear, v),
    )


def cloth_constants(stack: Stack, build: Build) -> Constants:
    """Constants of the cloths by their form: straight, woven, random; zeros elsewhere."""
    ply = straight_plies(stack, build)
    woven = micromechanics.woven_constants(
        ply.E1, ply.E2, ply.G12, ply.nu12, stack.warp_share, stack.crimp
    )
    random = micromechanics.random_constants(
        lamina.invariants(lamina.reduced_stiffness(ply.E1, ply.E2, ply.G12, ply.nu12))
    )
    flags = (stack.is_woven, stack.is_random)
    through = micromechanics.mean_of_two(ply.G12, ply.G23)
    by_form, part = micromechanics.by_form, lamina.part
    return Constants(
        E1=by_form(ply.E1, part(woven, 0), part(random, 0), *flags),
        E2=by_form(ply.E2, part(woven, 1), part(random, 0), *flags),
        G12=by_form(ply.G12, part(woven, 2), part(random, 1), *flags),
        nu12=by_form(ply.nu12, part(woven, 3), part(random, 2), *flags),
        G13=by_form(ply.G13, through, through, *flags),
        G23=by_form(ply.G23, through, through, *flags),
    )


def _timber(stack: Stack) -> Constants:
    """Constants of timber at its moisture and density; zeros elsewhere."""
    bending = moisture.property_at_moisture(
        stack.moe_12, stack.moe_green, stack.moisture, stack.intersection_moisture
    )
    basic = moisture.basic_specific_gravity(stack.tabulated_gravity, stack.tabulated_moisture)
    tabulated = moisture.specific_gravity(basic, stack.moisture)
    weighed = timber.weighed_gravity(stack.solid_density, stack.moisture)
    own = timber.property_at_gravity(bending, weighed, tabulated, stack.gravity_power)
    E_L = timber.true_modulus(own, stack.true_over_bending)
    times, mean, by_rings = timber.share_of_grain_modulus, timber.over_the_rings, timber.by_rings
    E_T, E_R = times(E_L, stack.ratio_T), times(E_L, stack.ratio_R)
    G_LT, G_LR = times(E_L, stack.ratio_LT), times(E_L, stack.ratio_LR)
    G_RT = times(E_L, stack.ratio_RT)
    share, seen, angle = stack.flat_share, stack.rings_seen, stack.ring_angle
    across = by_rings(
        mean(E_T, E_R, share),
        timber.modulus_at_ring_angle(E_T, E_R, G_RT, stack.nu_RT, angle),
        seen,
    )
    return Constants(
        E1=timber.hankinson(
            timber_failure.with_knots(E_L, stack.knot_share, *timber_failure.KNOT_IN_MODULUS),
            across,
            stack.grain_slope,
        ),
        E2=across,
        G12=by_rings(mean(G_LT, G_LR, share), timber.shear_at_ring_angle(G_LT, G_LR, angle), seen),
        nu12=mean(stack.nu_LT, stack.nu_LR, share),
        # through the thickness R and T change places
        G13=by_rings(mean(G_LR, G_LT, share), timber.shear_at_ring_angle(G_LR, G_LT, angle), seen),
        G23=G_RT,
    )


def constants(stack: Stack, build: Build) -> Constants:
    """Elastic constants of every layer in its own axes.

    stack, build : arrays ``(..., L)``.
    """
    cloth, wood = cloth_constants(stack, build), _timber(stack)
    film_shear = micromechanics.isotropic_shear(stack.film_E, stack.film_nu)
    add = micromechanics.of_the_layer
    return Constants(
        E1=add(cloth.E1, wood.E1, stack.given_E1, stack.film_E),
        E2=add(cloth.E2, wood.E2, stack.given_E2, stack.film_E),
        G12=add(cloth.G12, wood.G12, stack.given_G12, film_shear),
        nu12=add(cloth.nu12, wood.nu12, stack.given_nu12, stack.film_nu),
        G13=add(cloth.G13, wood.G13, stack.given_G13, film_shear),
        G23=add(cloth.G23, wood.G23, stack.given_G23, film_shear),
    )


def section(stack: Stack, build: Build) -> Section:
    """Stiffness of a panel, from its stack and what lies in it.

    stack, build : arrays ``(..., L)``. Raises :class:`numpy.linalg.LinAlgError` for a panel
    without stiffness in some direction.
    """
    return section_of(constants(stack, build), stack, build)


def section_of(own: Constants, stack: Stack, build: Build) -> Section:
    """Stiffness of a panel from the constants of its layers.

    own, stack, build : arrays ``(..., L)``.
    """
    t = build.layer_thickness
    turned = lamina.turned_stiffness(
        lamina.invariants(lamina.reduced_stiffness(own.E1, own.E2, own.G12, own.nu12)),
        stack.angle,
    )
    z = laminate.middle_heights(t)
    A = laminate.extension_stiffness(turned, t)
    B = laminate.coupling_stiffness(turned, t, z)
    D = laminate.bending_stiffness(turned, t, z)
    compliance = laminate.whole_compliance(laminate.whole_stiffness(A, B, D))
    a = laminate.extension_compliance(compliance)
    d = laminate.bending_compliance(compliance)
    flow = transverse_shear.shear_flow(turned, t, z, A, B, D)
    flexibilities = transverse_shear.shear_flexibilities(
        flow, lamina.turned_shear(own.G13, own.G23, stack.angle), t
    )
    neutral = laminate.neutral_heights(A, B)
    return Section(
        constants=own,
        turned=turned,
        heights=z,
        extension=A,
        coupling=B,
        bending=D,
        compliance=compliance,
        shear=transverse_shear.shear_stiffness(flexibilities),
        extension_moduli=laminate.extension_moduli(a, build.thickness),
        bending_moduli=laminate.bending_moduli(d, build.thickness),
        strip=laminate.strip_stiffness(d),
        neutral=neutral,
        bending_shares=laminate.bending_shares(turned, t, z, neutral),
        shear_shares=transverse_shear.shear_shares(flexibilities),
        unlikeness=laminate.unlikeness(A, B, D),
    )


@dataclass(frozen=True)
class Movement:
    """What a free panel does for one step: strains along, across, shear; curvatures likewise."""

    per_degree: Array  # (..., 6), per K
    per_moisture: Array  # (..., 6), per 1 % of timber moisture


def movement(stack: Stack, build: Build, made: Section) -> Movement:
    """Size and shape that a panel takes on with heat, and with the moisture of its timber.

    stack, build, made : of the same panel.
    """
    heat = _heat(stack, build)
    coefficient = moisture.movement_coefficient
    swell_1 = coefficient(stack.shrink_along)
    swell_2 = timber.over_the_rings(
        coefficient(stack.shrink_tangential), coefficient(stack.shrink_radial), stack.flat_share
    )
    return Movement(
        per_degree=_free(stack, build, made, *heat),
        per_moisture=_free(stack, build, made, swell_1, swell_2),
    )


def movement_unfinished(stack: Stack, last: int) -> Movement:
    """Movement of a panel whose layers inside the layer ``last`` are not on yet."""
    part = replace(stack, **{name: getattr(stack, name)[..., : last + 1] for name in FIELDS})
    build = evaluate(part)
    return movement(part, build, section(part, build))


def _heat(stack: Stack, build: Build) -> tuple[Array, Array]:
    """Free strain of the layers for one degree, along and across their own axes."""
    v, ply = build.fibre_volume_fraction, straight_plies(stack, build)
    along = micromechanics.expansion_along(
        stack.fibre_E1, stack.resin_E, stack.fibre_heat_along, stack.resin_heat, v
    )
    across = micromechanics.expansion_across(
        stack.fibre_heat_along,
        stack.resin_heat,
        stack.fibre_nu,
        stack.resin_nu,
        v,
        along,
        ply.nu12,
    )
    stiffness = lamina.reduced_stiffness(ply.E1, ply.E2, ply.G12, ply.nu12)
    balanced = micromechanics.balanced_expansion(along, across, stiffness)
    flags = (stack.is_woven, stack.is_random)
    basic = moisture.basic_specific_gravity(stack.tabulated_gravity, stack.tabulated_moisture)
    wood = timber.heat_across(moisture.specific_gravity(basic, 0.0), stack.flat_share)
    add, by_form = micromechanics.of_the_layer, micromechanics.by_form
    given = stack.given_heat
    return (
        add(by_form(along, balanced, balanced, *flags), stack.timber_heat_along, given, 0.0),
        add(by_form(across, balanced, balanced, *flags), wood, given, 0.0),
    )


def _free(stack: Stack, build: Build, made: Section, along: Array, across: Array) -> Array:
    turned = lamina.turned_expansion(along, across, stack.angle)
    held = laminate.free_resultants(made.turned, turned, build.layer_thickness, made.heights)
    return laminate.strains(made.compliance, held)
