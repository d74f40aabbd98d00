"""Strips under load: limits, and a plain integration of bending and shear."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from panelwright.mechanics import beam

positive = st.floats(0.1, 10.0)


def integrated(forces: list[tuple[float, float]], span: float, stiff: float, shear: float) -> float:
    """Deflection of mid-span by virtual work: a strip on two supports under forces at places."""
    x = np.linspace(0.0, span, 20_001)

    def moments(loads: list[tuple[float, float]]) -> tuple[np.ndarray, np.ndarray]:
        moment, force = np.zeros_like(x), np.zeros_like(x)
        for load, at in loads:
            left = load * (1.0 - at / span)
            moment += np.where(x < at, left * x, left * x - load * (x - at))
            force += np.where(x < at, left, left - load)
        return moment, force

    (m, v), (unit_m, unit_v) = moments(forces), moments([(1.0, span / 2.0)])
    return float(np.trapezoid(m * unit_m / stiff + v * unit_v / shear, x))


@given(positive, positive, positive, st.floats(0.05, 0.5))
def test_four_points_by_virtual_work(span: float, stiff: float, shear: float, share: float) -> None:
    arm = share * span
    ours = beam.strip_deflection(
        2.0, span, stiff, shear, beam.four_point_bending(arm, span), beam.four_point_arm(arm, span)
    )
    by_work = integrated([(1.0, arm), (1.0, span - arm)], span, stiff, shear)
    assert ours == pytest.approx(by_work, rel=1e-3)


def test_four_points_at_mid_span_are_three() -> None:
    three = beam.STRIPS["three points"]
    assert beam.four_point_bending(0.5, 1.0) == pytest.approx(three.bending)
    assert beam.four_point_arm(0.5, 1.0) == pytest.approx(three.shear)
    assert beam.four_point_arm(0.5, 1.0) == pytest.approx(three.moment)


@given(positive, positive, positive)
def test_an_even_load_is_many_forces(span: float, stiff: float, shear: float) -> None:
    many = 50
    forces = [(1.0 / many, (k + 0.5) * span / many) for k in range(many)]
    strip = beam.STRIPS["simply supported, uniform"]
    ours = beam.strip_deflection(1.0, span, stiff, shear, strip.bending, strip.shear)
    assert ours == pytest.approx(integrated(forces, span, stiff, shear), rel=2e-3)


@given(positive, positive, positive, st.floats(1.5, 4.0))
def test_two_spans_give_back_what_was_put_in(
    stiff: float, shear: float, span: float, times: float
) -> None:
    three = beam.STRIPS["three points"]
    spans = span, span * times
    w = [beam.strip_deflection(3.0, s, stiff, shear, three.bending, three.shear) for s in spans]
    found = beam.stiffness_of_two_spans(3.0, w[0], spans[0], w[1], spans[1])
    assert found == pytest.approx(stiff, rel=1e-6)
    assert beam.shear_stiffness_of_strip(3.0, w[0], span, found) == pytest.approx(shear, rel=1e-4)


def test_a_heap_weighs_on_a_panel() -> None:
    """A decimetre of water, 100 kg/m2, under standard gravity: 981 Pa (SI)."""
    assert beam.pressure_of_mass(100.0, 9.80665) == pytest.approx(980.665)


def test_one_wave_of_a_square() -> None:
    """16/π⁶/4 = 0.00416 and 1/(8π⁴) = 0.00128 p a⁴/D beside the exact 0.00406 and 0.00127."""
    isotropic = (1.0, 0.3, 1.0, 0.35, 1e12, 1e12)
    assert beam.one_wave_supported(1.0, 1.0, 1.0, *isotropic) == pytest.approx(0.0041606, rel=1e-4)
    assert beam.one_wave_clamped(1.0, 1.0, 1.0, *isotropic) == pytest.approx(0.0012832, rel=1e-4)
