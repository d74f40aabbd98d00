"""Strength of timber against the numbers of the handbook, as they are remembered.

fpl-gtr-190 is the Wood Handbook; values are from memory of it unless said otherwise.
"""

from __future__ import annotations

import numpy as np
import pytest

from panelwright.mechanics import criteria, timber
from panelwright.mechanics import timber_failure as ours

HOUR, YEAR = 3600.0, 365.25 * 86400.0


@pytest.mark.parametrize(
    ("time", "percent"),
    [
        (1.0, 127.0),
        (450.0, 100.0),
        (HOUR, 92.5),
        (24 * HOUR, 82.3),
        (YEAR / 6, 71.2),
        (10 * YEAR, 62.1),
        (50 * YEAR, 58.9),
    ],
)
def test_time_under_load_follows_the_madison_curve(time: float, percent: float) -> None:
    """Wood (1951): the curve; its values worked out from it outside this code."""
    digit = 0.5 if percent > 110.0 else 0.06
    assert 100.0 * ours.duration_factor(time) == pytest.approx(percent, abs=digit)


def test_ten_minutes_over_ten_years_is_the_design_factor() -> None:
    """National Design Specification, load duration: 1.60 for ten minutes, against ten years."""
    short, long = ours.duration_factor([600.0, 10 * YEAR])
    assert short / long == pytest.approx(1.6, rel=0.01)


@pytest.mark.parametrize(
    ("celsius", "factor"),
    [(20.0, 1.0), (35.0, 0.965), (50.0, 0.93), (-50.0, 1.17), (-15.0, 1.085)],
)
def test_heat_on_the_modulus_at_twelve_percent(celsius: float, factor: float) -> None:
    """0.965 at 35 °C: worked by hand from +17 % and -7 % at -50 and +50 °C."""
    low, high, cold, hot = ours.HEAT["modulus along"][1]
    assert low == high == 0.12
    assert ours.heat_factor(celsius + 273.15, cold, hot) == pytest.approx(factor, abs=1e-12)


def test_what_heat_does_is_said_only_where_it_is_known() -> None:
    *_, cold, hot = ours.HEAT["modulus across"][1]
    factors = ours.heat_factor(np.array([20.0, 35.0, 0.0]) + 273.15, cold, hot)
    np.testing.assert_allclose(factors[:2], [1.0, 0.825])
    assert np.isnan(factors[2])


def test_bands_of_moisture_do_not_overlap() -> None:
    for bands in ours.HEAT.values():
        edges = [edge for low, high, *_ in bands for edge in (low, high)]
        assert edges == sorted(edges)


@pytest.mark.parametrize(
    ("strength", "by_rule", "table"),
    [("bending", 67.7, 70.0), ("compression along", 38.5, 38.7), ("shear", 7.6, 7.9)],
)
def test_strength_of_a_softwood_by_its_density(strength: str, by_rule: float, table: float) -> None:
    """Specific gravity 0.40, worked by hand; beside it the table's Sitka spruce of 0.40."""
    found = ours.strength_of_gravity(0.40, *ours.SOFTWOOD[strength]) / 1e6
    assert found == pytest.approx(by_rule, abs=0.05)
    assert found == pytest.approx(table, rel=0.05)


def test_hardwood_is_stronger_across_than_softwood_as_heavy() -> None:
    """Tension across at 0.6: 5.2 MPa (hardwood), 3.4 MPa (softwood), worked by hand."""
    hard, soft = (
        ours.strength_of_gravity(0.6, *table["tension across"])
        for table in (ours.HARDWOOD, ours.SOFTWOOD)
    )
    assert hard / 1e6 == pytest.approx(5.2, abs=0.05)
    assert soft / 1e6 == pytest.approx(3.4, abs=0.05)


def test_a_heavy_piece_of_a_species_is_stronger() -> None:
    """Sitka spruce of 0.44 in place of 0.40: 70 (1.1)^1.25 = 78.9 MPa, worked by hand."""
    found = timber.property_at_gravity(70e6, 0.44, 0.40, ours.WITHIN_SPECIES["bending"])
    assert found / 1e6 == pytest.approx(78.9, abs=0.05)


def test_rolling_shear_is_a_fifth_to_a_quarter_of_shear() -> None:
    """0.18 to 0.28 of shear along the grain; Japanese cedar in tests 1.54 to 2.02 MPa."""
    assert 0.18 < ours.rolling_shear_strength(1.0) < 0.28
    assert 1.54e6 <= ours.rolling_shear_strength(7.9e6) <= 2.02e6


# --- Size -----------------------------------------------------------------------------------------


def test_tension_across_falls_with_the_stressed_volume() -> None:
    """2.5 MPa in the test piece, 3.3e-5 m3; in a zone of 0.02 x 0.2 x 0.05 m: 1.74 MPa, by hand."""
    assert 2.5 * ours.size_factor(2e-4, 3.3e-5, 0.2) == pytest.approx(1.74, abs=0.005)


@pytest.mark.parametrize(
    ("depth", "factor"), [(0.15, 1.0), (0.3, 0.87), (0.06, 1.20), (0.04, 1.30), (0.01, 1.30)]
)
def test_thin_boards_are_stronger_up_to_a_bound(depth: float, factor: float) -> None:
    """EN 1995-1-1, 3.2 (from memory): (150/h)^0.2 and not above 1.3, reached at 40 mm."""
    assert ours.size_factor(depth, 0.15, 0.2, 1.3) == pytest.approx(factor, abs=0.005)


def test_size_not_given_changes_nothing() -> None:
    with np.errstate(all="raise"):
        np.testing.assert_array_equal(ours.size_factor([0.0, 0.1], [0.1, 0.0], 0.2), [1.0, 1.0])


def test_small_blocks_read_high_in_shear() -> None:
    """1.3 x 2/A^(1/5): a beam is as strong as the block at 118.8 square inches, by hand."""
    inch = 0.0254**2
    area = np.array([100.0, 118.8, 140.0]) * inch
    large, equal, small = ours.shear_of_beam(10e6, area)
    assert equal == pytest.approx(10e6, rel=1e-3)
    assert large > equal > small


# --- Slope and knots ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("run", "left"), [(20, 0.93), (15, 0.89), (10, 0.81), (8, 0.74), (5, 0.55)]
)
def test_slope_of_grain_as_the_handbook_has_it(run: float, left: float) -> None:
    """Wood Handbook, table 5-12; 1:8 is between its rows."""
    assert ours.slope_factor(1.0 / run) == pytest.approx(left, abs=0.0055)


def test_slope_costs_impact_most_and_compression_least() -> None:
    slope = np.array([0.0, 0.04, 0.07, 0.1, 0.15, 0.2])
    bending, impact, compression = (
        ours.slope_factor(slope, left)
        for left in (ours.SLOPE_IN_BENDING, ours.SLOPE_IN_IMPACT, ours.SLOPE_IN_COMPRESSION)
    )
    assert np.all(impact <= bending)
    assert np.all(bending <= compression)
    np.testing.assert_array_equal([impact[0], bending[0], compression[0]], 1.0)


def test_hankinson_is_of_the_order_of_the_table() -> None:
    """Q/P 0.07, n 2: 88 % at 1:10 and 66 % at 1:5, by hand; the table has 81 and 55 %."""
    slope = np.array([0.1, 0.2])
    found = timber.hankinson(1.0, 0.07, np.arctan(slope))
    np.testing.assert_allclose(found, [0.88, 0.66], atol=0.006)
    np.testing.assert_allclose(ours.slope_factor(slope), found, atol=0.12)


def test_a_slope_steeper_than_the_table_is_not_known() -> None:
    assert np.isnan(ours.slope_factor(0.3))
    assert ours.slope_factor(-0.1) == ours.slope_factor(0.1)


def test_slopes_on_face_and_edge_add_up() -> None:
    assert ours.whole_slope(0.03, 0.04) == pytest.approx(0.05)


@pytest.mark.parametrize(("ratio", "stock"), [(0.1, 0.80), (0.2, 0.65), (0.33, 0.45)])
def test_edge_knots_give_the_factors_of_the_grades(ratio: float, stock: float) -> None:
    """Common practice: pin knots 0.80, good joinery 0.65, structural of about C24 0.45."""
    assert ours.knot_factor(ratio, *ours.EDGE_KNOT) == pytest.approx(stock, abs=0.015)


def test_a_knot_costs_tension_most_and_stiffness_least() -> None:
    kinds = (
        ours.EDGE_KNOT,
        ours.CENTRE_KNOT_IN_TENSION,
        ours.CENTRE_KNOT_IN_BENDING,
        ours.KNOT_IN_COMPRESSION,
        ours.KNOT_IN_MODULUS,
    )
    left = [float(ours.knot_factor(0.3, *kind)) for kind in kinds]
    assert left == sorted(left)
    np.testing.assert_array_equal([ours.knot_factor(0.0, *kind) for kind in kinds], 1.0)


# --- Shear by plane -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("flat_share", "exposures"),
    [
        (1.0, (0.4, 0.1, 0.5)),  # in the plane on LT, through the thickness on LR
        (0.0, (0.2, 0.2, 0.5)),
        (0.5, (0.4, 0.2, 0.5)),  # strips of both cuts: the worse of the two
    ],
)
def test_each_shear_acts_on_its_plane(
    flat_share: float, exposures: tuple[float, float, float]
) -> None:
    shear = np.array([1e6, -2e6, 0.8e6])
    found = ours.timber_shear(shear, 5e6, 10e6, 1.6e6, flat_share)
    np.testing.assert_allclose(found, exposures)
    assert criteria.first_mode(found) == ours.SHEAR_PLANES.index("rolling shear RT")


def test_rolling_shear_not_known_is_not_judged() -> None:
    with np.errstate(all="raise"):
        found = ours.timber_shear([1e6, 2e6, 3e6], 8e6, 8e6, np.nan)
    np.testing.assert_allclose(found, [0.25, 0.25, 0.0])


def test_norris_lets_tension_both_ways_help_more_than_hill() -> None:
    """The mixed term counts the weak direction: the index is less, by σ₁σ₂ (1/XY − 1/X²)."""
    strengths = 45e6, 45e6, 4e6, 4e6, 7e6
    both = [20e6, 1e6, 2e6]
    difference = (
        criteria.tsai_hill(both, *strengths) ** -2.0 - ours.norris(both, *strengths) ** -2.0
    )
    assert difference == pytest.approx(20.0 * 1.0 * (1.0 / (45.0 * 4.0) - 1.0 / 45.0**2))
