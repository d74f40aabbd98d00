"""The faces of a panel on its core: where they wrinkle or dimple, and where the core is crushed.

Loads are those of :mod:`panelwright.panels.strength`, per width. Wrinkles may follow one another
in any direction: the force in a face is resolved in each, and the worst counts.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from panelwright.mechanics import criteria, lamina, laminate, sandwich_failure
from panelwright.mechanics.arrays import Array, array, ratio
from panelwright.panels.evaluate import Build
from panelwright.panels.section import Section
from panelwright.panels.stack import Stack
from panelwright.panels.strength import Weakest, worst

#: True or false of many.
Flags = npt.NDArray[np.bool_]
#: Directions in which wrinkles are looked for, from x, rad: every 5 degrees.
DIRECTIONS = np.radians(np.arange(0.0, 180.0, 5.0))
#: Radius of the patch that stands for a heel or the heel of a hand, m. Ours, no standard.
HEEL = 0.03


@dataclass(frozen=True)
class Faces:
    """The two faces of a panel with a core, outer first, and the core next to each.

    Faces stand on the last axis, or before the ``K`` directions where there are some.
    """

    layers: Array  # 1 where a layer belongs to the face, (..., L, 2)
    bending: Array  # own bending stiffness in each direction, (..., 2, K), N m
    core_modulus: Array  # through the thickness, (..., 2), Pa
    core_shear: Array  # in each direction, (..., 2, K), Pa
    core_thickness: Array  # of all cores together, (..., 1), m
    cell_size: Array  # of a honeycomb, (..., 2), m; 0 for a core without cells
    crush: Array  # strength of the core, (..., 2), Pa
    mirrored: Array  # force in both at which they wrinkle against each other, (..., 2, K), N/m
    together: Array  # force in both at which they wrinkle the same way, as a thin core allows


def faces(stack: Stack, build: Build, made: Section) -> Faces:
    """The faces: what lies outside the cores. A panel without core has faces without stiffness.

    stack, build, made : of the same panel.
    """
    is_core = np.where(stack.through_E > 0.0, 1.0, 0.0)
    outside = np.cumsum(is_core, axis=-1)
    inside = np.flip(np.cumsum(np.flip(is_core, axis=-1), axis=-1), axis=-1)
    any_core = np.max(is_core, axis=-1, keepdims=True)
    layers = np.stack([(outside == 0.0) * any_core, (inside == 0.0) * any_core], axis=-1)
    nearest = np.stack([is_core * (outside == 1.0), is_core * (inside == 1.0)], axis=-1)

    def of_core(values: Array) -> Array:
        return array(np.sum(nearest * values[..., None], axis=-2))

    own, angle = made.constants, of_core(stack.angle)[..., None]
    bending = _bending(build, made, layers)
    shear = lamina.turned_shear(
        of_core(own.G13)[..., None], of_core(own.G23)[..., None], angle - DIRECTIONS
    )
    core_shear = lamina.part(shear, 0)
    modulus, cells = of_core(stack.through_E), of_core(stack.cell_size)
    thickness = laminate.thickness_of_parts(build.layer_thickness, is_core[..., None])
    share = of_core(stack.wrinkling_share)
    core = (modulus[..., None], core_shear, thickness[..., None], cells[..., None])
    return Faces(
        layers,
        bending,
        modulus,
        core_shear,
        thickness,
        cells,
        of_core(stack.crush),
        *_wrinkles(bending, *core, share[..., None]),
    )


def _bending(build: Build, made: Section, layers: Array) -> Array:
    """Own bending stiffness of each face in each direction."""
    belongs = np.swapaxes(layers, -1, -2)[..., None]
    own = made.turned[..., None, :, :] * belongs
    t, z = build.layer_thickness[..., None, :], made.heights[..., None, :]
    return laminate.bending_at(
        laminate.extension_stiffness(own, t),
        laminate.coupling_stiffness(own, t, z),
        laminate.bending_stiffness(own, t, z),
        DIRECTIONS,
    )


def _wrinkles(
    bending: Array, modulus: Array, shear: Array, deep: Array, cells: Array, share: Array
) -> tuple[Array, Array]:
    """What each face bears in each direction before it wrinkles, either way; 0 without a core."""
    thick = sandwich_failure.wrinkling_force(bending, modulus, shear, knock_down=share)
    reach = sandwich_failure.wrinkle_reach(bending, modulus, shear)
    springs = sandwich_failure.antiplane_wrinkling_force(
        bending, modulus, deep, sandwich_failure.ANTIPLANE_ALIKE, share
    )
    # only the walls of cells carry nothing along the plane of the core
    alone = np.where(cells > 0.0, springs, np.inf)
    together = sandwich_failure.thin_core_wrinkling_force(thick, deep, reach)
    return np.minimum(thick, alone), together


def wrinkling(of: Faces, build: Build, made: Section, load: int, sign: int) -> Weakest:
    """Load at which a face wrinkles; infinite without a core.

    load, sign : as of :func:`panelwright.panels.strength.in_plane`. ``layer`` : 0 for the outer
    face, 1 for the inner; ``mode`` : place in ``DIRECTIONS`` of the way its wrinkles follow.
    """
    return wrinkling_under(of, build, made, sign * made.compliance[..., load])


def wrinkling_under(of: Faces, build: Build, made: Section, strains: Array) -> Weakest:
    """The same for strains and curvatures of the mid-plane, ``(..., 6)``."""
    pressed = _pressed(of, build, made, strains)
    other = _of_the_other(pressed)
    force = sandwich_failure.wrinkling_of_two_faces(of.mirrored, of.together, other)
    return _first(pressed, force)


def go_together(of: Faces, build: Build, made: Section, load: int, sign: int) -> Flags:
    """Whether the faces wave the same way where they wrinkle, ``(..., 2, K)``.

    Arguments : as of :func:`wrinkling`.
    """
    other = _of_the_other(_pressed(of, build, made, sign * made.compliance[..., load]))
    together: Flags = (other > 0.0) & (of.together < of.mirrored)
    return together


def _of_the_other(pressed: Array) -> Array:
    """Force in the other face over that in each, from -1 to 1."""
    other = np.flip(pressed, axis=-2)
    return np.where(pressed > 0.0, np.clip(ratio(other, pressed), -1.0, 1.0), 1.0)


def dimpling(of: Faces, build: Build, made: Section, load: int, sign: int) -> Weakest:
    """Load at which a pressed face buckles into the cells of a honeycomb; infinite without cells.

    Arguments, ``layer`` and ``mode`` : as of :func:`wrinkling`.
    """
    return dimpling_under(of, build, made, sign * made.compliance[..., load])


def dimpling_under(of: Faces, build: Build, made: Section, strains: Array) -> Weakest:
    """The same for strains and curvatures of the mid-plane, ``(..., 6)``."""
    thickness = laminate.thickness_of_parts(build.layer_thickness, of.layers)[..., None]
    held = laminate.modulus_of_bending(of.bending, thickness)
    stress = sandwich_failure.dimpling_stress(held, 0.0, thickness, of.cell_size[..., None])
    return _first(_pressed(of, build, made, strains), stress * thickness)


def _pressed(of: Faces, build: Build, made: Section, strains: Array) -> Array:
    """Compression in each face in each direction under strains, ``(..., 2, K)``."""
    nothing = np.zeros((*build.layer_thickness.shape, 3))
    stress = laminate.layer_stress(made.turned, strains, made.heights, nothing)
    along, across, shear = (
        laminate.force_of_parts(stress[..., part], build.layer_thickness, of.layers)[..., None]
        for part in range(3)
    )
    return sandwich_failure.pressed_at(along, across, shear, DIRECTIONS)


def _first(pressed: Array, force: Array) -> Weakest:
    """The face and direction that first reach the force per width borne in compression."""
    return worst(criteria.used_share(np.maximum(pressed, 0.0), force)[..., None, :])


def crush_pressure(of: Faces, radius: float) -> Array:
    """Pressure on a round patch that crushes the core under each face, ``(..., 2)``; radius: m.

    Infinite where that is not known.
    """
    softest = np.min(of.bending, axis=-1)
    springs = sandwich_failure.core_springs(of.core_modulus, of.core_thickness)
    found = sandwich_failure.crushing_patch_pressure(of.crush, radius, springs, softest)
    return np.where(found > 0.0, found, np.inf)


@dataclass(frozen=True)
class Dents:
    """What crushes the core under each face, ``(..., 2)``; infinite where that is not known."""

    line: Array  # N/m, of an edge
    patch: Array  # N, on a round patch of radius ``HEEL``


def dents(of: Faces) -> Dents:
    """Loads on a line and on a patch that crush the core, with the softest way of the face."""
    softest = np.min(of.bending, axis=-1)
    springs = sandwich_failure.core_springs(of.core_modulus, of.core_thickness)
    decay = sandwich_failure.dent_decay(springs, softest)
    line = sandwich_failure.crushing_line_load(of.crush, decay)
    pressure = sandwich_failure.crushing_patch_pressure(of.crush, HEEL, springs, softest)
    patch = sandwich_failure.patch_force(pressure, HEEL)
    return Dents(*(np.where(load > 0.0, load, np.inf) for load in (line, patch)))


def crushing(stack: Stack) -> Array:
    """Pressure square on the panel at which its softest core crushes, Pa; infinite without one."""
    return sandwich_failure.softest_core(stack.crush)
