"""The faces of a panel on its core: where they wrinkle or dimple, and where the core is crushed.

Loads are those of :mod:`panelwright.panels.strength`, per width.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from panelwright.mechanics import criteria, lamina, laminate, sandwich_failure
from panelwright.mechanics.arrays import Array, array
from panelwright.panels.evaluate import Build
from panelwright.panels.section import Section
from panelwright.panels.stack import Stack
from panelwright.panels.strength import Weakest, worst

#: Components of stiffness for a load along and across.
_NORMAL = (0, 2)


@dataclass(frozen=True)
class Faces:
    """The two faces of a panel with a core, outer first; faces on the last axis.

    ``layers`` : 1 where a layer belongs to the face, ``(..., L, 2)``.
    """

    layers: Array
    bending: Array  # own bending stiffness in the direction of the load, (..., 2), N m
    core_modulus: Array  # through the thickness, (..., 2), Pa
    core_shear: Array  # in the direction of the load, (..., 2), Pa
    cell_size: Array  # of a honeycomb, (..., 2), m; 0 for a core without cells


def faces(stack: Stack, build: Build, made: Section, way: int) -> Faces:
    """The faces for a load along (way 0) or across (1): what lies outside the cores.

    A panel without core has faces without stiffness.
    """
    is_core = np.where(stack.through_E > 0.0, 1.0, 0.0)
    outside = np.cumsum(is_core, axis=-1)
    inside = np.flip(np.cumsum(np.flip(is_core, axis=-1), axis=-1), axis=-1)
    any_core = np.max(is_core, axis=-1, keepdims=True)
    layers = np.stack([(outside == 0.0) * any_core, (inside == 0.0) * any_core], axis=-1)
    next_core = np.stack([is_core * (outside == 1.0), is_core * (inside == 1.0)], axis=-1)
    shear = lamina.turned_shear(made.constants.G13, made.constants.G23, stack.angle)[..., way]
    own = made.turned[..., _NORMAL[way], None] * layers
    t, z = build.layer_thickness, made.heights
    return Faces(
        layers,
        laminate.own_bending(own, t, z),
        np.max(next_core * stack.through_E[..., None], axis=-2),
        np.max(next_core * shear[..., None], axis=-2),
        np.max(next_core * stack.cell_size[..., None], axis=-2),
    )


def wrinkling(of: Faces, build: Build, made: Section, load: int, sign: int, way: int) -> Weakest:
    """Load at which a pressed face wrinkles; infinite without a core.

    load, sign : as of :func:`panelwright.panels.strength.in_plane`. ``layer`` : 0 for the outer
    face, 1 for the inner.
    """
    force = sandwich_failure.wrinkling_force(of.bending, of.core_modulus, of.core_shear)
    return _of_faces(of, force, build, made, load, sign, way)


def dimpling(of: Faces, build: Build, made: Section, load: int, sign: int, way: int) -> Weakest:
    """Load at which a pressed face buckles into the cells of a honeycomb; infinite without cells.

    Arguments and ``layer`` : as of :func:`wrinkling`.
    """
    thickness = laminate.thickness_of_parts(build.layer_thickness, of.layers)
    held = laminate.modulus_of_bending(of.bending, thickness)
    stress = sandwich_failure.dimpling_stress(held, 0.0, thickness, of.cell_size)
    return _of_faces(of, stress * thickness, build, made, load, sign, way)


def _of_faces(
    of: Faces, force: Array, build: Build, made: Section, load: int, sign: int, way: int
) -> Weakest:
    """The face that first reaches the force per width that it bears in compression."""
    strains = sign * made.compliance[..., load]
    nothing = np.zeros((*build.layer_thickness.shape, 3))
    stress = laminate.layer_stress(made.turned, strains, made.heights, nothing)[..., way]
    pulled = laminate.force_of_parts(stress, build.layer_thickness, of.layers)
    exposed = criteria.used_share(np.maximum(-pulled, 0.0), force)[..., :, None, None]
    return worst(exposed)


def crushing(stack: Stack) -> Array:
    """Pressure square on the panel at which its softest core crushes, Pa; infinite without one."""
    return array(np.min(np.where(stack.crush > 0.0, stack.crush, np.inf), axis=-1))
