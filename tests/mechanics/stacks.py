"""Random stacks: plausible constants of cloth, timber and foam, any angle, any order."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt
from hypothesis import strategies as st

from panelwright.mechanics import lamina, laminate
from panelwright.mechanics.arrays import Array
from tests.reference.sections import Plies, Section, section

Flags = npt.NDArray[np.bool_]


def inverse(values: Array) -> Array:
    """Components of the inverse of symmetric 3 x 3 matrices, ``(..., 6)``."""
    return lamina.components(np.asarray(np.linalg.inv(lamina.matrix(values)), np.float64))


@dataclass(frozen=True)
class Stacked:
    """Random stacks with all that the formulas ask of one."""

    plies: Plies
    section: Section
    expansion: Array  # (n, L, 3), per K
    load: Array  # (n, 6), N/m and N

    @property
    def ply_compliance(self) -> Array:
        """Of each layer in its own axes, ``(n, L, 6)``."""
        return inverse(self.plies.own_stiffness)

    @property
    def face_strains(self) -> Array:
        """Of a panel under its load, ``(n, L, 2, 3)``."""
        strains = laminate.strains(self.section.compliance, self.load)
        return laminate.face_strains(strains, self.section.heights, self.section.thickness)


def random_plies(rng: np.random.Generator, shape: tuple[int, ...]) -> Plies:
    """Layers from foam to carbon, all there."""
    across = 10.0 ** rng.uniform(7.5, 10.0, shape)
    shear = across * rng.uniform(0.3, 0.8, shape)
    return Plies(
        E1=across * rng.uniform(1.0, 15.0, shape),
        E2=across,
        G12=shear,
        nu12=rng.uniform(0.05, 0.45, shape),
        G13=shear * rng.uniform(0.5, 1.2, shape),
        G23=shear * rng.uniform(0.2, 1.0, shape),
        angle=rng.uniform(-np.pi / 2, np.pi / 2, shape),
        thickness=rng.uniform(1e-4, 2e-2, shape),
    )


def without(plies: Plies, gone: Flags) -> Plies:
    """The same stacks with some layers not there: no thickness, no moduli."""
    there = np.where(gone, 0.0, 1.0)
    return Plies(*(value * there for value in vars(plies).values()))


def stacked(rng: np.random.Generator, shape: tuple[int, int]) -> Stacked:
    """Random stacks of a shape ``(n, L)``."""
    plies = random_plies(rng, shape)
    alphas = rng.uniform(1e-6, 6e-5, (2, *shape))
    return Stacked(
        plies,
        section(plies),
        lamina.turned_expansion(alphas[0], alphas[1], plies.angle),
        rng.uniform(-1e3, 1e3, (shape[0], 6)),
    )


@st.composite
def any_plies(draw: st.DrawFn, most: int = 6) -> Plies:
    """One stack of one to ``most`` layers."""
    seed = draw(st.integers(0, 2**32 - 1))
    return random_plies(np.random.default_rng(seed), (draw(st.integers(1, most)),))


def split(plies: Plies, at: int, share: float) -> Plies:
    """The same stack with one layer written as two."""
    order = np.insert(np.arange(plies.thickness.size), at, at)
    doubled = plies.take(order)
    thickness = doubled.thickness.copy()
    thickness[at : at + 2] *= (share, 1.0 - share)
    return replace(doubled, thickness=thickness)
