"""Thickness from cloth and process alone against published panels; a fact of the trade."""

from __future__ import annotations

import statistics

import pytest

from .cases import experiments
from .closure import NOT_CHECKABLE
from .process_alone import (
    CAVITY_SETS,
    LAID,
    SQUARE_FOOT,
    TRADE_MASS,
    TRADE_PANEL,
    TRADE_THICKNESS,
    compared,
    predicted,
    trade_implies,
)

#: Panels whose own record does not close (see closure.py): no prediction can meet them.
BROKEN = {"glass-ud-handlayup-5x868", "glass-triax-handlayup-5x759"}


def test_every_experiment_is_compared_or_said_why_not() -> None:
    names = {experiment["id"] for experiment in experiments()}
    assert names == set(LAID) | set(CAVITY_SETS) | set(NOT_CHECKABLE)
    assert not set(LAID) & set(CAVITY_SETS)


def test_no_gross_error() -> None:
    """A guard, not a goal: hand and infused work scatters by 10 to 20 % (common practice)."""
    ratios = [one.ratio for one in compared() if one.experiment not in BROKEN]
    assert len(ratios) == 12
    assert statistics.mean(ratios) == pytest.approx(1.0, abs=0.20)
    assert max(abs(ratio - 1.0) for ratio in ratios) < 0.30


def test_fact_of_the_trade() -> None:
    """Common practice, no source: 0.55 in and 560 g; no input is chosen to meet it."""
    panel = predicted(TRADE_PANEL)
    assert panel.mass is not None
    assert panel.mass.value == pytest.approx(TRADE_MASS, rel=0.05)
    assert 0.94 <= panel.thickness.value / TRADE_THICKNESS <= 0.98
    assert panel.area == pytest.approx(SQUARE_FOOT)


def test_both_figures_of_the_trade_cannot_be_met_at_once() -> None:
    """Each figure asks for another panel: the closure is reported, no default is moved."""
    implied = trade_implies()
    assert implied.fraction_by_thickness < 0.36  # below any practice of cloth, 0.40 to 0.52
    assert 0.40 < implied.fraction_by_mass < 0.56
    assert implied.timber_density < 0.85 * implied.timber_density_taken
