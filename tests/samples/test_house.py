"""House values: held to closed forms, and to shops whose truth is known."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import stats

from panelwright.provenance import SIGMAS_OF_90, Evidence, Input
from panelwright.samples import house
from panelwright.samples.house import Told, learn, plates

from .shops import FRACTION, SOAK, simulate


def _book(value: float = 0.48, half: float = 0.09) -> Input:
    return Input(value, value - half, value + half, "invented", Evidence.PRACTICE, "x")


def test_one_known_scatter_is_the_textbook_update(monkeypatch: pytest.MonkeyPatch) -> None:
    """Gelman and others, Bayesian Data Analysis, section 2.5 (from memory), worked by hand."""
    monkeypatch.setattr(house, "_GRID", np.array([1.0]))
    book = _book()
    variance = (0.09 / SIGMAS_OF_90) ** 2
    shop, scatter = 0.75 * variance, 0.25 * variance
    found = [0.43, 0.45]
    each = scatter + 0.01**2
    weight = 1 / shop + 2 / each
    mean = (0.48 / shop + sum(found) / each) / weight
    value = learn("a/b/c", "x", book, [Told(one, 0.01) for one in found])
    half = SIGMAS_OF_90 * np.sqrt(1 / weight + scatter)
    assert value.value == pytest.approx(mean, abs=1e-9)
    assert value.low == pytest.approx(mean - half, abs=1e-9)
    assert value.high == pytest.approx(mean + half, abs=1e-9)


def test_an_unknown_scatter_alone_is_student_t(monkeypatch: pytest.MonkeyPatch) -> None:
    """With a shop whose mean is known, the next build is Student's t (section 2.6, from memory)."""
    monkeypatch.setattr(house, "BETWEEN_BUILDS", 1.0 - 1e-9)
    monkeypatch.setattr(house, "_GRID", np.geomspace(0.02, 50.0, 4001))
    usual = (0.09 / SIGMAS_OF_90) ** 2
    found = np.array([0.50, 0.44, 0.47, 0.52])
    value = learn("a/b/c", "x", _book(), [Told(one, 1e-9) for one in found])
    freedom = house.WEIGHT + len(found)
    scale = np.sqrt((house.WEIGHT * usual + np.sum((found - 0.48) ** 2)) / freedom)
    low, high = stats.t(freedom, 0.48, scale).interval(0.90)
    assert value.low == pytest.approx(low, abs=2e-4)
    assert value.high == pytest.approx(high, abs=2e-4)


def test_more_pieces_draw_the_value_to_what_they_say_and_narrow_its_range() -> None:
    told = [Told(0.42, 0.005)]
    values = [learn("a/b/c", "x", _book(), told * count) for count in (1, 3, 10, 40)]
    middles = [value.value for value in values]
    widths = [value.high - value.low for value in values]
    assert middles == sorted(middles, reverse=True)
    assert middles[-1] == pytest.approx(0.42, abs=0.003)
    assert widths == sorted(widths, reverse=True)


def test_a_poor_finding_changes_little() -> None:
    sure = learn("a/b/c", "x", _book(), [Told(0.40, 0.005)])
    poor = learn("a/b/c", "x", _book(), [Told(0.40, 0.20)])
    assert abs(poor.value - 0.48) < 0.25 * abs(sure.value - 0.48)


def test_coupons_of_one_plate_are_one() -> None:
    coupons = [("S-0001", f"S-000{n}", 0.42 + 0.01 * n, 0.01) for n in (1, 2, 3)]
    (one,) = plates(coupons)
    assert one.value == pytest.approx(0.44)
    assert one.u == pytest.approx(0.01)
    value = learn("a/b/c", "x", _book(), plates(coupons))
    assert value.pieces == 3
    assert value.are_few
    assert "1 plate (3 pieces; coupons of one plate are one): too few" in value.words
    three = [Told(0.42, 0.01, (f"S-{n}",)) for n in range(3)]
    assert learn("a/b/c", "x", _book(), three).words == "3 plates"


def test_ranges_cover_and_the_mass_comes_nearer_with_each_of_the_first_pieces() -> None:
    """A small run of benchmarks/shops.py; its table of 500 shops stands in docs/measure.md."""
    tally = simulate(shops=60, pieces=3, seed=5, draws=256)
    for pieces in (1, 2, 3):
        for what in ("areal mass", FRACTION, SOAK):
            # 60 shops of three builds each: one standard error is 3 to 4 points
            assert 0.80 <= tally.coverage(what, pieces) <= 0.98, (what, pieces)
    assert tally.error(0) > tally.error(1) > tally.error(3)
    assert np.mean(tally.widths[3]) < np.mean(tally.widths[0])
