"""Draws of the causes: standard normal, each by its name, and what they say of a result."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable
from statistics import NormalDist

import numpy as np
import pytest

from panelwright.mechanics.arrays import Array
from panelwright.panels.evaluate import Build, evaluate
from panelwright.panels.resolve import Resolved
from panelwright.panels.spread import (
    DRAWS,
    Causes,
    Ranged,
    causes_of,
    draw,
    drawn_stack,
    drivers,
    ranged,
    stream,
)
from panelwright.panels.stack import stack_of
from panelwright.provenance import Evidence, Input, Scope

from .written import layer, resolved

#: Below this a correlation of two unlike streams of 1024 draws is chance: one sd is 1/32, and of
#: the 780 pairs of forty streams not one should be off by four.
CHANCE = 0.125
STREAMS = [f"cause {number}" for number in range(40)]


def one(value: float, low: float, high: float, cause: str = "a cause") -> Input:
    return Input(value, low, high, "a test", Evidence.PRACTICE, cause, Scope.LAYER)


def _mass(build: Build) -> Array:
    return build.areal_mass


def range_of(panel: Resolved, what: Callable[[Build], Array] = _mass) -> Ranged:
    """A result of a panel with its 90 % range."""
    middle = evaluate(stack_of(panel.layers))
    drawn = evaluate(drawn_stack(panel.layers))
    return ranged(what(middle), what(drawn), "", causes_of(panel.inputs()))


TENDER = (
    layer(cloth="biax 300"),
    layer(strips="western redcedar", thickness="8 mm", strip={"cover": "20 mm"}, seal="wet"),
    layer(cloth="twill 200", repeat=2, fibre_mass_fraction="0.45 (0.40 to 0.48)"),
    layer(cloth="flax twill 300", moisture="8 %"),
    layer(core="balsa 150", thickness="12 mm"),
    layer(cloth="carbon UD 200", thickness="0.25 mm"),
    layer(coat="fill coat", coats=2),
)


@pytest.mark.parametrize("draws", [256, DRAWS])
def test_a_stream_is_standard_normal(draws: int) -> None:
    values = np.sort(stream("any cause", draws))
    assert np.mean(values) == pytest.approx(0.0, abs=1e-12)
    assert np.std(values) == pytest.approx(1.0, abs=0.01)
    expected = [NormalDist().inv_cdf(p) for p in (0.05, 0.25, 0.5, 0.75, 0.95)]
    assert np.percentile(values, [5, 25, 50, 75, 95]) == pytest.approx(expected, abs=0.02)


def test_streams_of_unlike_causes_are_not_correlated() -> None:
    found = np.corrcoef([stream(name) for name in STREAMS])
    assert np.max(np.abs(found - np.eye(len(STREAMS)))) < CHANCE


def test_streams_are_not_correlated_in_their_squares() -> None:
    """Two streams that go wide together would widen a sum though they are not correlated."""
    found = np.corrcoef([stream(name) ** 2 for name in STREAMS])
    assert np.max(np.abs(found - np.eye(len(STREAMS)))) < CHANCE


def test_the_causes_of_one_panel_correlate_by_chance_alone() -> None:
    """Over all their pairs the deviation of the correlation is 1/sqrt(1024)."""
    names = sorted({given.cause for given in resolved(*TENDER).inputs()})
    found = np.corrcoef([stream(name) for name in names])
    pairs = found[np.triu_indices(len(names), 1)]
    assert len(names) > 20
    assert np.std(pairs) == pytest.approx(1.0 / 32.0, rel=0.1)
    assert np.mean(pairs) == pytest.approx(0.0, abs=0.005)


def test_the_same_name_gives_the_same_digits() -> None:
    assert np.array_equal(
        stream("density of western redcedar"), stream("density of western redcedar")
    )
    first = stream("density of western redcedar").copy()
    stream.cache_clear()
    assert np.array_equal(first, stream("density of western redcedar"))
    assert not np.array_equal(first, stream("density of okoume"))


def test_a_stream_cannot_be_spoilt() -> None:
    with pytest.raises(ValueError, match="read-only"):
        stream("any cause")[0] = 0.0


def test_unlike_sides_come_out_as_the_5_and_95_percent_points() -> None:
    values = draw(one(0.45, 0.40, 0.48))
    low, middle, high = np.percentile(values, [5, 50, 95])
    assert low == pytest.approx(0.40, abs=0.001)
    assert middle == pytest.approx(0.45, abs=0.0005)
    assert high == pytest.approx(0.48, abs=0.001)


def test_what_cannot_be_negative_is_never_drawn_so() -> None:
    assert np.min(draw(one(0.1, 0.0, 1.0))) >= 0.0
    assert np.min(draw(one(1.0, 0.0, 2.0))) == 0.0


@pytest.mark.parametrize("middle", [-1.0, 0.0, 0.2])
def test_what_may_be_negative_varies_to_both_sides(middle: float) -> None:
    """Such as the direction of a ply: laid at 0 it may lie a little to either side."""
    values = draw(one(middle, middle - 0.5, middle + 0.5))
    assert np.percentile(values, 5) == pytest.approx(middle - 0.5, abs=0.005)
    assert np.percentile(values, 95) == pytest.approx(middle + 0.5, abs=0.005)


def test_what_does_not_vary_is_drawn_as_it_is() -> None:
    assert np.all(draw(one(3.0, 3.0, 3.0)) == 3.0)


def test_inputs_of_one_cause_move_together() -> None:
    first, second = draw(one(1.0, 0.9, 1.1)), draw(one(10.0, 9.0, 11.0))
    assert np.corrcoef(first, second)[0, 1] == pytest.approx(1.0, abs=1e-12)


def test_the_same_panel_gives_the_same_digits() -> None:
    assert range_of(resolved(*TENDER)) == range_of(resolved(*TENDER))


def test_a_layer_that_is_added_changes_no_draw_of_the_others() -> None:
    before = drawn_stack(resolved(*TENDER).layers)
    after = drawn_stack(resolved(*TENDER, layer(cloth="aramid 170 plain weave")).layers)
    count = before.fibre_mass.shape[-1]
    assert after.fibre_mass.shape[-1] == count + 1
    for name, column in vars(before).items():
        assert np.array_equal(getattr(after, name)[:, :count], column), name


def test_the_middle_lies_in_the_range() -> None:
    panel = resolved(*TENDER)
    for what in (_mass, lambda build: build.thickness):
        found = range_of(panel, what)
        assert found.low <= found.value <= found.high
        assert found.low < found.high


def test_a_range_holds_its_middle_where_the_draws_do_not() -> None:
    found = ranged(1.0, np.linspace(2.0, 3.0, DRAWS), "m", Causes({}, DRAWS))
    assert (found.low, found.value) == (1.0, 1.0)
    assert found.high == pytest.approx(2.95, abs=0.001)


BOARD = {"board": "western redcedar", "density": "400 kg/m3", "moisture": "10 %"}


def test_a_result_in_proportion_to_one_cause_has_its_range() -> None:
    """8 ± 0.4 mm of timber whose density is known: mass ± 5 %."""
    text = layer(**{**BOARD, "density": "400 kg/m3 +/- 0 kg/m3"}, thickness="8 mm +/- 0.4 mm")
    found = range_of(resolved(text))
    assert found.value == pytest.approx(3.2, rel=1e-12)
    assert (found.high - found.value) / found.value == pytest.approx(0.05, rel=0.01)
    assert (found.value - found.low) / found.value == pytest.approx(0.05, rel=0.01)
    assert [driver.cause for driver in found.drivers] == ["made thickness of layer 1"]
    assert found.drivers[0].share == pytest.approx(1.0, rel=1e-9)
    assert found.evidence is Evidence.GIVEN


def test_two_causes_add_as_squares() -> None:
    """First order: a sum of two thicknesses, ± 0.3 and ± 0.4 mm, is ± 0.5 mm.

    Within three standard errors of 1024 draws. Of a 5 % point, in half-widths of the range:
    sqrt(0.05 × 0.95/1024)/0.1031/1.645 = 0.040. Of the deviation: 0.3 × 0.4/0.5²/32 = 0.015.
    """
    text = layer(**BOARD, thickness="8 mm +/- 0.3 mm") + layer(**BOARD, thickness="9 mm +/- 0.4 mm")
    panel = resolved(text)
    found = range_of(panel, lambda build: 1e3 * build.thickness)
    assert found.high - found.value == pytest.approx(0.5, rel=3 * 0.040)
    assert found.value - found.low == pytest.approx(0.5, rel=3 * 0.040)
    drawn = evaluate(drawn_stack(panel.layers)).thickness
    assert 1.645e3 * np.std(drawn) == pytest.approx(0.5, rel=3 * 0.015)
    shares = {driver.cause: driver.share for driver in found.drivers}
    assert shares["made thickness of layer 2"] == pytest.approx(0.64, abs=0.06)
    assert shares["made thickness of layer 1"] == pytest.approx(0.36, abs=0.06)


def test_a_cause_that_two_layers_share_adds_straight() -> None:
    """Two boards of one timber: its density is drawn once, so the mass is ± 10 % and not 7 %."""
    dense = {**BOARD, "density": "400 kg/m3 +/- 40 kg/m3"}
    text = layer(**dense, thickness="8 mm +/- 0 mm") * 2
    found = range_of(resolved(text))
    assert (found.high - found.value) / found.value == pytest.approx(0.10, rel=0.01)


def test_fixed_fibre_mass_makes_thickness_and_fraction_move_against_each_other() -> None:
    layers = resolved(layer(cloth="twill 200", areal_mass="200 g/m2 +/- 0 g/m2")).layers
    drawn = evaluate(drawn_stack(layers))
    found = np.corrcoef(drawn.fibre_volume_fraction[:, 0], drawn.layer_thickness[:, 0])
    assert found[0, 1] < -0.9


def test_drivers_share_the_whole_and_leave_chance_out() -> None:
    causes = Causes(dict.fromkeys(["a", "b", "c"], Evidence.PRACTICE))
    found = drivers(3.0 * stream("a") + 4.0 * stream("b"), causes)
    assert [driver.cause for driver in found] == ["b", "a"]
    assert math.fsum(driver.share for driver in found) == pytest.approx(1.0, rel=1e-12)
    assert found[0].share == pytest.approx(0.64, abs=0.06)


def test_a_result_that_does_not_vary_has_no_drivers() -> None:
    assert drivers(np.full(DRAWS, 2.0), Causes({"a": Evidence.PRACTICE})) == ()


def test_evidence_is_the_weakest_of_what_decides() -> None:
    """80 % of the range decide; a guess that hardly matters does not spoil the rest."""
    kinds = {"a": Evidence.PUBLISHED, "b": Evidence.ESTIMATED}
    mostly_read = ranged(0.0, 3.0 * stream("a") + 1.0 * stream("b"), "", Causes(kinds))
    mostly_guessed = ranged(0.0, 1.0 * stream("a") + 3.0 * stream("b"), "", Causes(kinds))
    assert mostly_read.evidence is Evidence.PUBLISHED
    assert mostly_guessed.evidence is Evidence.ESTIMATED


def test_a_cause_has_the_weakest_evidence_of_its_inputs() -> None:
    read = Input(1.0, 0.9, 1.1, "", Evidence.PUBLISHED, "a")
    guess = Input(1.0, 0.9, 1.1, "", Evidence.ESTIMATED, "a")
    fixed = Input(1.0, 1.0, 1.0, "", Evidence.ESTIMATED, "b")
    for order in itertools.permutations([read, guess, fixed]):
        assert causes_of(order).evidence == {"a": Evidence.ESTIMATED}
