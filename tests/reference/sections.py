"""A stack through our formulas of stiffness, in the order in which a panel goes through them.

No formula stands here, only the order of the calls. Layers from the outside in, SI, last axis.
"""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from functools import cached_property

import numpy as np
import numpy.typing as npt

from panelwright.mechanics import lamina, laminate, transverse_shear, warping
from panelwright.mechanics.arrays import Array


@dataclass(frozen=True)
class Plies:
    """Constants of the layers in their own axes, their angles and thicknesses, ``(..., L)``."""

    E1: Array
    E2: Array
    G12: Array
    nu12: Array
    G13: Array
    G23: Array
    angle: Array
    thickness: Array

    def take(self, which: npt.NDArray[np.intp] | slice) -> Plies:
        """Some of the layers, or all of them in another order."""
        return Plies(*(getattr(self, entry.name)[..., which] for entry in fields(self)))

    def from_the_other_end(self) -> Plies:
        """The same list read backwards, each angle as it is written."""
        return self.take(slice(None, None, -1))

    def row(self, index: int) -> Plies:
        """One stack of many."""
        return Plies(*(getattr(self, entry.name)[index] for entry in fields(self)))

    def turned(self, by: float) -> Plies:
        """The panel turned as a whole, counter-clockwise, rad."""
        return replace(self, angle=self.angle + by)

    @property
    def own_stiffness(self) -> Array:
        """In the axes of each layer, ``(..., L, 6)``."""
        return lamina.reduced_stiffness(self.E1, self.E2, self.G12, self.nu12)


@dataclass(frozen=True)
class Section:
    """What follows from stiffness, through-thickness shear and thickness of the layers."""

    stiffness: Array  # (..., L, 6), in the axes of the panel
    shear: Array  # (..., L, 3)
    thickness: Array  # (..., L)

    @cached_property
    def heights(self) -> Array:
        return laminate.middle_heights(self.thickness)

    @cached_property
    def A(self) -> Array:  # noqa: N802
        return laminate.extension_stiffness(self.stiffness, self.thickness)

    @cached_property
    def B(self) -> Array:  # noqa: N802
        return laminate.coupling_stiffness(self.stiffness, self.thickness, self.heights)

    @cached_property
    def D(self) -> Array:  # noqa: N802
        return laminate.bending_stiffness(self.stiffness, self.thickness, self.heights)

    @cached_property
    def whole(self) -> Array:
        return laminate.whole_stiffness(self.A, self.B, self.D)

    @cached_property
    def compliance(self) -> Array:
        return laminate.whole_compliance(self.whole)

    @cached_property
    def a(self) -> Array:
        return laminate.extension_compliance(self.compliance)

    @cached_property
    def d(self) -> Array:
        return laminate.bending_compliance(self.compliance)

    @cached_property
    def total(self) -> Array:
        return laminate.panel_thickness(self.thickness)

    @cached_property
    def moduli(self) -> Array:
        return laminate.extension_moduli(self.a, self.total)

    @cached_property
    def strip(self) -> Array:
        return laminate.strip_stiffness(self.d)

    @cached_property
    def neutral(self) -> Array:
        return laminate.neutral_heights(self.A, self.B)

    @cached_property
    def flow(self) -> Array:
        return transverse_shear.shear_flow(
            self.stiffness, self.thickness, self.heights, self.A, self.B, self.D
        )

    @cached_property
    def warp_strains(self) -> Array:
        return warping.warp_strains(
            self.warp, self.stiffness, self.thickness, self.heights, self.compliance
        )

    @cached_property
    def warp(self) -> Array:
        return warping.warp(self.flow, self.shear, self.thickness)

    @cached_property
    def flexibilities(self) -> Array:
        return transverse_shear.shear_flexibilities(self.flow, self.shear, self.thickness)

    @cached_property
    def S(self) -> Array:  # noqa: N802
        return transverse_shear.shear_stiffness(self.flexibilities)

    def free_strains(self, expansion: Array) -> Array:
        """Strains and curvatures under free strains of the layers, ``(..., L, 3)``."""
        held = laminate.free_resultants(self.stiffness, expansion, self.thickness, self.heights)
        return laminate.strains(self.compliance, held)


def section(plies: Plies) -> Section:
    """The section that layers make."""
    return Section(
        lamina.turned_stiffness(lamina.invariants(plies.own_stiffness), plies.angle),
        lamina.turned_shear(plies.G13, plies.G23, plies.angle),
        plies.thickness,
    )


def isotropic(modulus: Array, poisson: Array, shear: Array, thickness: Array) -> Plies:
    """Layers alike in every direction of the plane; ``shear`` is that in the plane."""
    nought = np.zeros(np.shape(thickness))
    values = (modulus, modulus, shear, poisson, shear, shear, 0.0, thickness)
    return Plies(*(np.asarray(value, np.float64) + nought for value in values))
