"""Moduli of plies: bounds that no mixture may leave, and cloths as the laminates that they are."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from panelwright.mechanics import lamina, micromechanics, timber
from panelwright.mechanics.arrays import Array
from tests.reference.sections import Plies, section

from .stacks import any_plies

fibres = st.floats(1e10, 4e11)
matrices = st.floats(1e9, 6e9)
fractions = st.floats(0.0, 0.7)
strains = st.floats(-1e-4, 1e-4)


def laid(ply: Plies, degrees: list[float], thickness: list[float]) -> Plies:
    """Plies of one stuff at angles."""
    several = ply.take(np.zeros(len(degrees), np.intp))
    return replace(several, angle=np.radians(degrees), thickness=np.array(thickness))


@given(fibres, matrices, fractions, st.floats(0.0, 10.0))
def test_every_rule_lies_between_series_and_parallel(
    fibre: float, matrix: float, fraction: float, xi: float
) -> None:
    """Bounds of Reuss and Voigt (handbook fact)."""
    low = micromechanics.series_mixture(fibre, matrix, fraction) * (1.0 - 1e-12)
    high = micromechanics.rule_of_mixtures(fibre, matrix, fraction) * (1.0 + 1e-12)
    assert low <= micromechanics.halpin_tsai(fibre, matrix, fraction, xi) <= high
    assert low <= micromechanics.chamis(fibre, matrix, fraction)


@given(fibres, matrices, fractions)
def test_square_root_rule_is_below_parallel_but_for_little_and_soft_fibre(
    fibre: float, matrix: float, fraction: float
) -> None:
    """P ≤ P_parallel where √Vf (P_f/P_m - 1) ≥ 1, by algebra; above it elsewhere."""
    enough = np.sqrt(fraction) * (fibre / matrix - 1.0)
    over = micromechanics.chamis(fibre, matrix, fraction) / micromechanics.rule_of_mixtures(
        fibre, matrix, fraction
    )
    assert over <= 1.0 + 1e-12 if enough >= 1.0 else over >= 1.0 - 1e-12


@given(fibres, matrices, fractions)
def test_the_shape_factor_runs_from_series_to_parallel(
    fibre: float, matrix: float, fraction: float
) -> None:
    """Halpin and Tsai (1969), from memory: no shape factor is the series, a large one the sum."""
    series = micromechanics.series_mixture(fibre, matrix, fraction)
    parallel = micromechanics.rule_of_mixtures(fibre, matrix, fraction)
    assert micromechanics.halpin_tsai(fibre, matrix, fraction, 0.0) == pytest.approx(
        series, rel=1e-9
    )
    assert micromechanics.halpin_tsai(fibre, matrix, fraction, 1e9) == pytest.approx(
        parallel, rel=1e-5
    )


Rule = Callable[[float, float, float], Array]


@pytest.mark.parametrize(
    "rule",
    [
        micromechanics.rule_of_mixtures,
        micromechanics.series_mixture,
        micromechanics.chamis,
        micromechanics.foerster_knappe_shear,
    ],
)
@given(fibres, matrices)
def test_without_fibre_a_ply_is_resin(rule: Rule, fibre: float, matrix: float) -> None:
    assert rule(fibre, matrix, 0.0) == pytest.approx(matrix, rel=1e-12)


@given(any_plies(most=1), st.floats(0.05, 0.95), st.floats(0.7, 1.0))
def test_woven_cloth_is_its_two_tows_laid_crosswise(ply: Plies, warp: float, crimp: float) -> None:
    """The constants of a symmetric laminate of the two directions, free to contract."""
    straight = replace(ply, E1=ply.E1 * crimp)
    half = warp / 2.0
    made = section(laid(straight, [0.0, 90.0, 0.0], [half, 1.0 - warp, half]))
    ours = micromechanics.woven_constants(ply.E1, ply.E2, ply.G12, ply.nu12, warp, crimp)[0]
    np.testing.assert_allclose(ours, made.moduli, rtol=1e-9)


@given(any_plies(most=1), st.integers(3, 6))
def test_a_mat_is_plies_all_round(ply: Plies, directions: int) -> None:
    around = [180.0 * number / directions for number in range(directions)]
    there_and_back = laid(ply, [*around, *around[::-1]], [1.0] * (2 * directions))
    E, _, G, nu = section(there_and_back).moduli
    ours = micromechanics.random_constants(lamina.invariants(ply.own_stiffness))[0]
    np.testing.assert_allclose(ours, [E, G, nu], rtol=1e-9)


@given(any_plies(most=1), strains, strains)
def test_cloth_alike_both_ways_expands_as_its_laminate(
    ply: Plies, along: float, across: float
) -> None:
    for degrees in ([0.0, 90.0, 90.0, 0.0], [0.0, 60.0, 120.0, 120.0, 60.0, 0.0]):
        plies = laid(ply, degrees, [1.0] * len(degrees))
        free = section(plies).free_strains(lamina.turned_expansion(along, across, plies.angle))
        ours = micromechanics.balanced_expansion(along, across, ply.own_stiffness)[0]
        np.testing.assert_allclose(free[:3], [ours, ours, 0.0], rtol=0.0, atol=1e-13)


@given(st.floats(4e8, 2e9), st.floats(5e8, 2e9), st.floats(3e7, 4e8), st.floats(0.2, 0.5))
def test_ring_angle_runs_from_tangential_to_radial(
    tangential: float, radial: float, rolling: float, poisson: float
) -> None:
    flat, quarter = timber.modulus_at_ring_angle(
        tangential, radial, rolling, poisson, np.array([0.0, np.pi / 2.0])
    )
    assert flat == pytest.approx(tangential, rel=1e-12)
    assert quarter == pytest.approx(radial, rel=1e-12)


@given(
    st.floats(4e8, 2e9),
    st.floats(5e8, 2e9),
    st.floats(3e7, 4e8),
    st.floats(0.2, 0.4),
    st.floats(0.0, 1.5),
)
def test_ring_angle_turns_as_a_compliance(
    tangential: float, radial: float, rolling: float, poisson: float, angle: float
) -> None:
    """The same as turning the plane compliance of R and T, which is tested on published plies."""
    ours = timber.modulus_at_ring_angle(tangential, radial, rolling, poisson, angle)
    rings = np.array([1.0 / tangential, -poisson / radial, 1.0 / radial, 0.0, 0.0, 1.0 / rolling])
    assert 1.0 / ours == pytest.approx(lamina.turned_compliance(rings, angle)[0], rel=1e-9)


@given(st.floats(1.0, 100.0), st.floats(1.0, 100.0), st.floats(1.5, 2.5))
def test_hankinson_runs_from_along_to_across(along: float, across: float, power: float) -> None:
    ends = timber.hankinson(along, across, np.array([0.0, np.pi / 2.0]), power)
    np.testing.assert_allclose(ends, [along, across], rtol=1e-9)
