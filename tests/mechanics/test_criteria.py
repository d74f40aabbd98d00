"""Criteria of plies: what they agree on by definition, and what they do not judge."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
import pytest

from panelwright.mechanics import criteria, lamina, timber_failure
from panelwright.mechanics.arrays import Array

from .stacks import inverse

#: Round numbers of a glass ply, invented: every check holds whatever they are.
STRENGTHS: dict[str, Any] = {"X1t": 900e6, "X1c": 500e6, "X2t": 40e6, "X2c": 130e6, "S12": 55e6}
MODULI: dict[str, Any] = {"E1": 38e9, "E2": 11e9, "nu12": 0.26}
UNIAXIAL = {
    "X1t": (1.0, 0.0, 0.0),
    "X1c": (-1.0, 0.0, 0.0),
    "X2t": (0.0, 1.0, 0.0),
    "X2c": (0.0, -1.0, 0.0),
    "S12": (0.0, 0.0, -1.0),
}

Reserve = Callable[..., Array]


def _of_modes(criterion: Callable[..., Array], **more: Any) -> Reserve:
    def reserve(stress: Any, **strengths: Any) -> Array:
        return criteria.least_reserve(criterion(stress, **more, **strengths))

    return reserve


MODAL = {
    "max stress": _of_modes(criteria.max_stress),
    "max strain": _of_modes(criteria.max_strain, **MODULI),
    "Hashin": _of_modes(criteria.hashin, S23=45e6),
    "Puck": _of_modes(criteria.puck),
}
INTERACTIVE = {
    "Tsai-Hill": criteria.tsai_hill,
    "Tsai-Wu": criteria.tsai_wu,
    "Norris": timber_failure.norris,
}
ALL: dict[str, Reserve] = MODAL | INTERACTIVE


def _stresses(count: int) -> Array:
    drawn: Array = np.random.default_rng(4).normal(0.0, [600e6, 50e6, 40e6], (count, 3))
    return drawn


@pytest.mark.parametrize("name", ALL)
@pytest.mark.parametrize("strength", UNIAXIAL)
def test_one_stress_alone_fails_at_its_strength(name: str, strength: str) -> None:
    reserve = ALL[name](np.array(UNIAXIAL[strength]) * 1e6, **STRENGTHS)
    assert reserve == pytest.approx(STRENGTHS[strength] / 1e6, rel=1e-12)


@pytest.mark.parametrize("name", ALL)
def test_the_reserve_goes_down_as_the_load_goes_up(name: str) -> None:
    stress = _stresses(500)
    once, thrice = (ALL[name](factor * stress, **STRENGTHS) for factor in (1.0, 3.0))
    assert np.all((once > 0.0) & np.isfinite(once))
    np.testing.assert_allclose(thrice, once / 3.0, rtol=1e-9)


@pytest.mark.parametrize("name", ["Tsai-Hill", "Tsai-Wu", "Norris"])
def test_alike_in_every_direction_it_is_von_mises(name: str) -> None:
    """All strengths X and X/√3 in shear: the yield of metals, as textbooks have it."""
    stress, x = _stresses(500), 250e6
    s1, s2, t = np.moveaxis(stress, -1, 0)
    mises = np.sqrt(s1**2 - s1 * s2 + s2**2 + 3.0 * t**2)
    np.testing.assert_allclose(ALL[name](stress, x, x, x, x, x / np.sqrt(3.0)), x / mises)


def test_max_strain_is_strain_over_the_strain_at_failure() -> None:
    """By inverting the stiffness of the ply, which is tested on published plies."""
    stress, shear = _stresses(200), 4e9
    E1, E2, nu = MODULI["E1"], MODULI["E2"], MODULI["nu12"]
    flexible = lamina.matrix(inverse(lamina.reduced_stiffness(E1, E2, shear, nu)))
    strain = stress @ flexible
    limits = [STRENGTHS["X1t"] / E1, STRENGTHS["X2t"] / E2, STRENGTHS["S12"] / shear]
    ours = criteria.max_strain(stress, **MODULI, **STRENGTHS)
    np.testing.assert_allclose(ours[:, 0], np.maximum(strain[:, 0], 0.0) / limits[0], rtol=1e-9)
    np.testing.assert_allclose(ours[:, 2], np.maximum(strain[:, 1], 0.0) / limits[1], rtol=1e-9)
    np.testing.assert_allclose(ours[:, 4], np.abs(strain[:, 2]) / limits[2], rtol=1e-9)


# --- Modes ----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("criterion", "modes"),
    [
        (criteria.max_stress, dict(zip(UNIAXIAL, range(5), strict=True))),
        (criteria.hashin, {"X1t": 0, "X1c": 1, "X2t": 2, "X2c": 3, "S12": 2}),
        (criteria.puck, {"X1t": 0, "X1c": 1, "X2t": 2, "X2c": 4, "S12": 2}),
    ],
)
def test_the_mode_is_that_of_the_stress(
    criterion: Callable[..., Array], modes: dict[str, int]
) -> None:
    stress = np.array([UNIAXIAL[strength] for strength in modes])
    found = criteria.first_mode(criterion(stress, **STRENGTHS))
    np.testing.assert_array_equal(found, list(modes.values()))


def test_hashin_is_at_failure_where_his_index_is_one() -> None:
    stress = _stresses(500)
    more = STRENGTHS | {"S23": 40e6}
    reserve = criteria.least_reserve(criteria.hashin(stress, **more))
    indices = criteria.hashin_indices(reserve[:, None] * stress, **more)
    np.testing.assert_allclose(np.max(indices, axis=-1), 1.0, rtol=1e-9)


def test_hashin_takes_the_shear_strength_in_the_plane_where_the_other_is_not_known() -> None:
    stress = _stresses(50)
    left_out, said = (criteria.hashin(stress, **STRENGTHS, S23=x) for x in (0.0, STRENGTHS["S12"]))
    np.testing.assert_array_equal(left_out, said)


def test_shear_may_be_kept_out_of_fibre_failure() -> None:
    stress = np.array([450e6, 0.0, 44e6])
    with_it, without = (
        criteria.hashin_indices(stress, **STRENGTHS, fibre_shear=weight)[0] for weight in (1.0, 0.0)
    )
    assert with_it == pytest.approx(0.5**2 + 0.8**2)
    assert without == pytest.approx(0.5**2)


def test_puck_is_the_worst_of_all_planes() -> None:
    """Puck and Schürmann (1998), from memory: exposure on a plane at an angle, searched.

    The closed forms of the modes hold if the slopes are coupled, as they are here.
    """
    lean_t, lean_c = criteria.PUCK_GLASS
    yt, yc, s = STRENGTHS["X2t"], STRENGTHS["X2c"], STRENGTHS["S12"]
    action = s / (2.0 * lean_c) * (np.sqrt(1.0 + 2.0 * lean_c * yc / s) - 1.0)
    stress = _stresses(300) * np.array([0.0, 1.0, 1.0])
    angle = np.radians(np.linspace(-90.0, 90.0, 3601))
    s2, t = stress[:, 1:2], stress[:, 2:]
    normal, across, along = (
        s2 * np.cos(angle) ** 2,
        s2 * np.sin(angle) * np.cos(angle),
        t * np.cos(angle),
    )
    sheared = (across / action) ** 2 + (along / s) ** 2
    opened = np.sqrt(sheared + ((1.0 / yt - lean_t / s) * normal) ** 2) + lean_t / s * normal
    pressed = np.sqrt(sheared + (lean_c / s * normal) ** 2) + lean_c / s * normal
    worst = np.max(np.where(normal > 0.0, opened, pressed), axis=-1)
    ours = criteria.puck(stress, **STRENGTHS)
    assert {2, 3, 4} == set(criteria.first_mode(ours).tolist())
    np.testing.assert_allclose(np.max(ours, axis=-1), worst, rtol=1e-5)


def test_puck_breaks_at_the_angle_of_the_worst_plane() -> None:
    """Pure compression across breaks at a little over 50 degrees (Puck), steeply as shear grows."""
    stress = np.array([[0.0, -100e6, t] for t in (0.0, 30e6, 60e6, 200e6)])
    exposures = criteria.puck(stress, **STRENGTHS)
    angle = criteria.puck_fracture_angle(stress, exposures, STRENGTHS["X2c"], STRENGTHS["S12"])
    assert np.degrees(angle[0]) == pytest.approx(52.0, abs=2.0)
    assert angle[0] > angle[1] > angle[2] > angle[3] == 0.0


# --- What is not known ----------------------------------------------------------------------------


@pytest.mark.parametrize("name", ALL)
@pytest.mark.parametrize("missing", [0.0, np.nan])
@pytest.mark.parametrize("strength", UNIAXIAL)
def test_a_strength_that_is_not_known_is_not_judged(
    name: str, missing: float, strength: str
) -> None:
    stress = np.array(UNIAXIAL[strength]) * 1e6
    unknown = STRENGTHS | {strength: missing}
    with np.errstate(all="raise"):
        alone = ALL[name](stress, **unknown)
    if name == "max strain":  # the contraction across is still judged, and fails later
        assert alone > STRENGTHS[strength] / 1e6
    else:
        assert alone == np.inf


@pytest.mark.parametrize("name", INTERACTIVE)
def test_stresses_together_are_not_judged_by_some_of_them(name: str) -> None:
    reserve = ALL[name](np.array([450e6, 0.0, 30e6]), **STRENGTHS | {"S12": 0.0})
    assert reserve == np.inf


def test_fibre_tension_needs_the_shear_strength_only_if_shear_counts() -> None:
    stress, unknown = np.array([450e6, 0.0, 30e6]), STRENGTHS | {"S12": 0.0}
    np.testing.assert_array_equal(criteria.hashin(stress, **unknown), np.zeros(4))
    without = criteria.hashin(stress, **unknown, fibre_shear=0.0)
    np.testing.assert_allclose(without, [0.5, 0.0, 0.0, 0.0])


@pytest.mark.parametrize("name", ALL)
def test_rounding_does_not_ask_for_a_strength(name: str) -> None:
    """Shear of 1e-16 of the stress is none: it hides no failure for want of a shear strength."""
    stress = np.array([450e6, 1e-8, -1e-7])
    reserve = ALL[name](stress, **STRENGTHS | {"S12": 0.0, "X2t": np.nan, "X2c": 0.0})
    assert reserve == pytest.approx(2.0)


@pytest.mark.parametrize("name", ALL)
def test_no_stress_and_no_layer_never_fail(name: str) -> None:
    nothing = dict.fromkeys(STRENGTHS, 0.0)
    with np.errstate(all="raise"):
        assert ALL[name](np.zeros(3), **STRENGTHS) == np.inf
        assert ALL[name](np.zeros(3), **nothing) == np.inf
        assert ALL[name](np.array([1e6, -1e6, 1e6]), **nothing) == np.inf


def test_no_mode_where_nothing_is_judged() -> None:
    exposures = np.array([[0.0, 0.0], [0.2, 0.1], [0.0, 0.3]])
    np.testing.assert_array_equal(criteria.first_mode(exposures), [-1, 0, 1])
    np.testing.assert_allclose(criteria.least_reserve(exposures), [np.inf, 5.0, 1.0 / 0.3])


def test_what_is_used_is_a_share_of_the_strength() -> None:
    used = criteria.used_share([3.0, -3.0, 3.0, 0.0], [6.0, 4.0, 0.0, np.nan])
    np.testing.assert_array_equal(used, [0.5, 0.75, 0.0, 0.0])


@pytest.mark.parametrize("linear", [-1e3, -1.0, 0.0, 1.0, 1e3])
def test_the_root_keeps_its_digits(linear: float) -> None:
    """The index at the failing load is 1, also where both parts nearly cancel."""
    exposure = criteria.root(1e-6, linear)
    assert 1e-6 + linear * exposure == pytest.approx(exposure**2, rel=1e-12, abs=1e-21)
    assert exposure > 0.0


# --- Axes and the thickness -----------------------------------------------------------------------


@pytest.mark.parametrize(
    ("panel", "degrees", "layer"),
    [
        ((3.0, 1.0, 2.0), 0.0, (3.0, 1.0, 2.0)),
        ((3.0, 1.0, 2.0), 90.0, (1.0, 3.0, -2.0)),
        ((0.0, 0.0, 1.0), 45.0, (1.0, -1.0, 0.0)),
        ((1.0, 0.0, 0.0), 45.0, (0.5, 0.5, -0.5)),
    ],
)
def test_stress_is_turned_as_mohr_has_it(
    panel: tuple[float, ...], degrees: float, layer: tuple[float, ...]
) -> None:
    ours = criteria.stress_in_layer(np.array(panel), np.radians(degrees))
    np.testing.assert_allclose(ours, layer, atol=1e-15)


def test_turning_back_gives_the_stress_again() -> None:
    stress, angle = _stresses(50), np.linspace(-1.5, 1.5, 50)
    back = criteria.stress_in_layer(criteria.stress_in_layer(stress, angle), -angle)
    np.testing.assert_allclose(back, stress, rtol=0.0, atol=1e-6)


def test_both_shears_through_the_thickness_add_as_squares() -> None:
    shear = np.array([[3e6, 4e6], [3e6, 0.0], [0.0, -4e6]])
    reserve = criteria.transverse_shear_reserve(shear, 10e6, 10e6)
    np.testing.assert_allclose(reserve, [2.0, 10.0 / 3.0, 2.5])
    assert criteria.transverse_shear_reserve([3e6, 4e6], 10e6, 0.0) == np.inf
    assert criteria.transverse_shear_reserve([3e6, 0.0], 10e6, 0.0) == pytest.approx(10.0 / 3.0)


def test_an_interface_is_as_strong_as_the_weakest_that_is_known() -> None:
    with np.errstate(all="raise"):
        ours = criteria.interface_strength([8.0, 8.0, 0.0, np.nan], [9.0, 0.0, 0.0, 7.0], 8.5)
    np.testing.assert_array_equal(ours, [8.0, 8.0, 8.5, 7.0])
    assert criteria.interface_strength(0.0, 0.0) == 0.0


def test_pressing_layers_together_does_not_part_them() -> None:
    shear = [3e6, 4e6]
    pressed = criteria.interlaminar_reserve(shear, 10e6, -20e6, 5e6)
    pulled = criteria.interlaminar_reserve(shear, 10e6, 5e6 * np.sqrt(0.75), 5e6)
    assert pressed == pytest.approx(2.0)
    assert pulled == pytest.approx(1.0)
