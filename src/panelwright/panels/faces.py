"""The faces of a panel on its core: where they wrinkle or dimple, and where the core is crushed.

Loads are those of :mod:`panelwright.panels.strength`, per width. Wrinkles may follow one another
in any direction: the force in a face is resolved in each, and the worst counts.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from panelwright.mechanics import lamina, laminate, ply_strength, sandwich_failure, two_faces
from panelwright.mechanics.arrays import Array
from panelwright.mechanics.two_faces import every_way
from panelwright.panels.evaluate import Build
from panelwright.panels.section import Section
from panelwright.panels.stack import Stack
from panelwright.panels.strength import SIGNS, Weakest, worst

#: True or false of many.
Flags = npt.NDArray[np.bool_]
#: Directions in which wrinkles are looked for, from x, rad.
DIRECTIONS = two_faces.DIRECTIONS
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
    is_core = ply_strength.is_known(stack.through_E)
    layers, nearest = two_faces.layers_of_faces(is_core), two_faces.nearest_cores(is_core)

    def of_core(values: Array) -> Array:
        return two_faces.of_nearest(nearest, values)

    own, t = made.constants, build.layer_thickness
    bending = two_faces.bending_of_faces(made.turned, t, made.heights, layers)
    core_shear = two_faces.core_shear_at(of_core(own.G13), of_core(own.G23), of_core(stack.angle))
    modulus, cells = of_core(stack.through_E), of_core(stack.cell_size)
    depth = two_faces.depth_of_cores(t, is_core)
    share = of_core(stack.wrinkling_share)
    core = (every_way(modulus), core_shear, every_way(depth), every_way(cells))
    return Faces(
        layers,
        bending,
        modulus,
        core_shear,
        depth,
        cells,
        of_core(stack.crush),
        *_wrinkles(bending, *core, every_way(share)),
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
    together = sandwich_failure.thin_core_wrinkling_force(thick, deep, reach)
    return two_faces.wrinkling_mirrored(thick, springs, cells), together


def wrinkling(of: Faces, build: Build, made: Section, load: int, sign: int) -> Weakest:
    """Load at which a face wrinkles; infinite without a core.

    load, sign : as of :func:`panelwright.panels.strength.in_plane`. ``layer`` : 0 for the outer
    face, 1 for the inner; ``mode`` : place in ``DIRECTIONS`` of the way its wrinkles follow.
    """
    return wrinkling_under(of, build, made, _strains(made, load, sign))


def wrinkling_under(of: Faces, build: Build, made: Section, strains: Array) -> Weakest:
    """The same for strains and curvatures of the mid-plane, ``(..., 6)``."""
    pressed = _pressed(of, build, made, strains)
    other = two_faces.force_of_the_other(pressed)
    force = sandwich_failure.wrinkling_of_two_faces(of.mirrored, of.together, other)
    return _first(pressed, force)


def go_together(of: Faces, build: Build, made: Section, load: int, sign: int) -> Flags:
    """Whether the faces wave the same way where they wrinkle, ``(..., 2, K)``.

    Arguments : as of :func:`wrinkling`.
    """
    pressed = _pressed(of, build, made, _strains(made, load, sign))
    other = two_faces.force_of_the_other(pressed)
    together: Flags = (other > 0.0) & (of.together < of.mirrored)
    return together


def _strains(made: Section, load: int, sign: int) -> Array:
    """Strains and curvatures of the mid-plane under a load of 1 or -1, ``(..., 6)``."""
    return two_faces.signed(lamina.part(made.compliance, load), SIGNS[sign])


def dimpling(of: Faces, build: Build, made: Section, load: int, sign: int) -> Weakest:
    """Load at which a pressed face buckles into the cells of a honeycomb; infinite without cells.

    Arguments, ``layer`` and ``mode`` : as of :func:`wrinkling`.
    """
    return dimpling_under(of, build, made, _strains(made, load, sign))


def dimpling_under(of: Faces, build: Build, made: Section, strains: Array) -> Weakest:
    """The same for strains and curvatures of the mid-plane, ``(..., 6)``."""
    thickness = every_way(laminate.thickness_of_parts(build.layer_thickness, of.layers))
    held = laminate.modulus_of_bending(of.bending, thickness)
    stress = sandwich_failure.dimpling_stress(held, 0.0, thickness, every_way(of.cell_size))
    bears = two_faces.force_of_stress(stress, thickness)
    return _first(_pressed(of, build, made, strains), bears)


def _pressed(of: Faces, build: Build, made: Section, strains: Array) -> Array:
    """Compression in each face in each direction under strains, ``(..., 2, K)``."""
    nothing = np.zeros((*build.layer_thickness.shape, 3))
    stress = laminate.layer_stress(made.turned, strains, made.heights, nothing)
    along, across, shear = (
        every_way(
            laminate.force_of_parts(lamina.part(stress, which), build.layer_thickness, of.layers)
        )
        for which in range(3)
    )
    return sandwich_failure.pressed_at(along, across, shear)


def _first(pressed: Array, force: Array) -> Weakest:
    """The face and direction that first reach the force per width borne in compression."""
    return worst(two_faces.used_compression(pressed, force))


def crush_pressure(of: Faces, radius: float) -> Array:
    """Pressure on a round patch that crushes the core under each face, ``(..., 2)``; radius: m.

    Infinite where that is not known.
    """
    softest = two_faces.softest_way(of.bending)
    springs = sandwich_failure.core_springs(of.core_modulus, of.core_thickness)
    found = sandwich_failure.crushing_patch_pressure(of.crush, radius, springs, softest)
    return two_faces.or_endless(found)


@dataclass(frozen=True)
class Dents:
    """What crushes the core under each face, ``(..., 2)``; infinite where that is not known."""

    line: Array  # N/m, of an edge
    patch: Array  # N, on a round patch of radius ``HEEL``


def dents(of: Faces) -> Dents:
    """Loads on a line and on a patch that crush the core, with the softest way of the face."""
    softest = two_faces.softest_way(of.bending)
    springs = sandwich_failure.core_springs(of.core_modulus, of.core_thickness)
    decay = sandwich_failure.dent_decay(springs, softest)
    line = sandwich_failure.crushing_line_load(of.crush, decay)
    pressure = sandwich_failure.crushing_patch_pressure(of.crush, HEEL, springs, softest)
    patch = sandwich_failure.patch_force(pressure, HEEL)
    return Dents(two_faces.or_endless(line), two_faces.or_endless(patch))


def crushing(stack: Stack) -> Array:
    """Pressure square on the panel at which its softest core crushes, Pa; infinite without one."""
    return sandwich_failure.softest_core(stack.crush)
