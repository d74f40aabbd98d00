"""The warp of a section: a closed form, no force and no moment, nothing where shear is stiff."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from panelwright.mechanics import lamina, laminate, warping
from panelwright.mechanics.arrays import Array
from tests.reference.sections import Plies, section

from .stacks import random_plies

#: A strip without Poisson's ratio: E = 2 G.
E, DEEP = 8e9, 12e-3
#: Slices of a layer in which stresses run nearly straight.
SLICES = 80


def solid(layers: int) -> Plies:
    """One material in so many layers."""
    ones = np.ones(layers)
    shear = 0.5 * E * ones
    return Plies(
        E * ones, E * ones, shear, 0.0 * ones, shear, shear, 0.0 * ones, ones * DEEP / layers
    )


@pytest.mark.parametrize("layers", [1, 2, 7])
def test_a_solid_strip_under_even_pressure(layers: int) -> None:
    """Exact plane stress: q/5 more at the faces than bending gives.

    σ_x = q/(2I) (2y³/3 − 2c²y/5) beside that of bending, I = 2c³/3: Timoshenko and Goodier, Theory
    of Elasticity, article 22 (from memory). A pressure along +z presses the inner face and
    stretches the outer one.
    """
    of, pressure = section(solid(layers)), 1e4
    straight = np.zeros((layers, 2, 3))
    found = warping.warped_strains(straight, of.warp_strains, [-pressure, 0.0], [0.0, 0.0])
    assert E * found[0, 0, 0] == pytest.approx(pressure / 5.0, rel=1e-9)
    assert E * found[-1, 1, 0] == pytest.approx(-pressure / 5.0, rel=1e-9)
    depth = of.thickness[0]
    y = of.heights + depth / 2.0
    exact = 3.0 * pressure / (4.0 * (DEEP / 2.0) ** 3) * (2.0 * y**3 / 3.0 - DEEP**2 * y / 10.0)
    np.testing.assert_allclose(E * found[:, 0, 0], exact, atol=1e-9 * pressure)


@given(st.integers(0, 2**32 - 1), st.integers(1, 5))
@settings(max_examples=30)
def test_it_adds_to_no_force_and_no_moment(seed: int, layers: int) -> None:
    """Each layer cut into 80, whose stresses are nearly straight: their sums vanish."""
    whole = random_plies(np.random.default_rng(seed), (layers,))
    cut = whole.take(np.repeat(np.arange(layers), SLICES))
    of = section(
        Plies(
            cut.E1, cut.E2, cut.G12, cut.nu12, cut.G13, cut.G23, cut.angle, cut.thickness / SLICES
        )
    )
    matrix = lamina.matrix(of.stiffness)
    outer, inner = (matrix @ of.warp_strains[:, face] for face in (0, 1))
    force = np.einsum("l,liq->iq", of.thickness, (outer + inner) / 2.0)
    moment = np.einsum("l,liq->iq", of.thickness * of.heights, (outer + inner) / 2.0)
    moment = moment + np.einsum("l,liq->iq", of.thickness**2 / 12.0, outer - inner)
    size = np.einsum("l,liq->iq", of.thickness, np.abs(outer) + np.abs(inner)).max()
    assert np.max(np.abs(force)) < 1e-3 * size
    assert np.max(np.abs(moment)) < 1e-3 * size * np.sum(of.thickness)


def test_a_soft_core_lets_the_faces_bend() -> None:
    """Each face turns against the panel, and more so on a softer core."""

    def on(core: float) -> Array:
        glass, foam = (2e10, 2e10, 4e9, 0.13, 3e9, 3e9), (2.6 * core, 2.6 * core, core, 0.3)
        rows = [(*glass, 0.0, 2e-3), (*foam, core, core, 0.0, 20e-3), (*glass, 0.0, 2e-3)]
        of = section(Plies(*np.array(rows).T))
        return warping.warped_strains(
            np.zeros((3, 2, 3)), of.warp_strains, [-1e4, 0.0], [0.0, 0.0]
        )[..., 0]

    soft, stiff = on(1e7), on(1e8)
    assert soft[0, 0] > 0.0 > soft[0, 1]
    assert soft[2, 0] > 0.0 > soft[2, 1]
    assert np.all(np.abs(soft[[0, 2]]) > 5.0 * np.abs(stiff[[0, 2]]))


def test_slopes_across_do_across_what_those_along_do_along() -> None:
    of = section(solid(3))
    along = warping.warped_strains(np.zeros((3, 2, 3)), of.warp_strains, [1.0, 0.0], [0.0, 0.0])
    across = warping.warped_strains(np.zeros((3, 2, 3)), of.warp_strains, [0.0, 0.0], [0.0, 1.0])
    np.testing.assert_allclose(along[..., 0], across[..., 1], atol=1e-18)
    assert laminate.panel_thickness(of.thickness) == pytest.approx(DEEP)
