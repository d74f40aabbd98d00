"""The job of predicting: what it returns for whole panels."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from panelwright.errors import InputError
from panelwright.jobs.predict import predict
from panelwright.panels.description import read
from panelwright.reports.prediction_json import as_json

from .panels import EXAMPLES, described, panel, predicted, predicted_text, shipped


def test_there_are_six_examples_at_least_and_each_says_it_is_invented() -> None:
    assert len(EXAMPLES) >= 6
    for path in EXAMPLES:
        comments = path.read_text(encoding="utf-8").split("format", 1)[0].lower()
        assert "every number in this file is invented" in comments, path.name


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_same_input_gives_the_same_bytes(path: Path) -> None:
    first, second = (
        json.dumps(as_json(predict(described(path), shipped()))).encode() for _ in range(2)
    )
    assert first == second


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_middle_lies_in_its_range(path: Path) -> None:
    made = predicted(path)
    results = [made.thickness, made.areal_mass, made.resin_in_part, made.to_mix]
    results += [result for layer in made.layers for result in (layer.thickness, layer.areal_mass)]
    results += [r for row in made.ledger for r in (row.in_part, row.to_mix, row.to_buy)]
    for result in results:
        assert result.low <= result.value <= result.high
        assert sum(driver.share for driver in result.drivers) == pytest.approx(
            1.0 if result.drivers else 0.0
        )


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_shares_of_the_layers_add_up(path: Path) -> None:
    made = predicted(path)
    assert sum(layer.share_of_thickness for layer in made.layers) == pytest.approx(1.0, rel=1e-12)
    assert sum(layer.share_of_mass for layer in made.layers) == pytest.approx(1.0, rel=1e-12)
    assert sum(layer.areal_mass.value for layer in made.layers) == pytest.approx(
        made.areal_mass.value, rel=1e-12
    )


def test_without_a_size_nothing_is_said_of_the_whole() -> None:
    made = predicted_text(panel('cloth = "E-glass twill 200 g/m2"'))
    assert made.mass is None
    assert made.area is None
    assert [(mix.in_all, mix.packs) for mix in made.mixes] == [(None, None)]


def test_a_dry_panel_has_nothing_to_mix_and_no_rules() -> None:
    made = predicted_text(panel('board = "western redcedar"\nthickness = "8 mm"'))
    assert made.mixes == ()
    assert made.rules == ()
    assert made.to_mix.value == 0.0


def test_rules_of_thumb_by_hand() -> None:
    """FAA AC 43.13-1B: as much resin as cloth. 2 x 300 g/m2 of cloth want 600 g/m2."""
    made = predicted_text(panel('cloth = "E-glass twill 300 g/m2"\nrepeat = 2'))
    rule = next(rule for rule in made.rules if rule.name.startswith("one gram"))
    assert rule.resin == pytest.approx(0.600, rel=1e-12)


def test_gallon_rule_gives_its_own_worked_example() -> None:
    """A supplier's article on estimating epoxy prints 0.99 gal for 56 ft2 of 12 oz/yd2 on wood.

    A US gallon is 3.785412 L, a square foot 0.09290304 m2; 1.13 kg/L is an assumption of the rule.
    """
    made = predicted_text(
        panel('cloth = "E-glass twill 12 oz/yd2"', 'board = "western redcedar"\nthickness = "8 mm"')
    )
    rule = next(rule for rule in made.rules if rule.name.startswith("gallon"))
    gallons = rule.resin * 56 * 0.09290304 / 1.13 / 3.785412
    assert gallons == pytest.approx(0.99, abs=0.005)


def test_a_rule_for_wood_is_silent_where_there_is_none() -> None:
    made = predicted_text(panel('cloth = "E-glass twill 300 g/m2"'))
    assert not [rule for rule in made.rules if "timber" in rule.name or "chart" in rule.name]


def test_cautions_follow_the_materials() -> None:
    """Styrene belongs to vinyl ester, skin allergy to epoxy, plicatic acid to western redcedar."""
    cloth = 'cloth = "E-glass twill 300 g/m2"'
    epoxy = predicted_text(panel(cloth, 'strips = "western redcedar"\nthickness = "8 mm"'))
    ester = predicted_text(panel(cloth, head='resin = "vinyl ester"'))
    in_epoxy, in_ester = (
        " ".join(caution.name for caution in made.cautions) for made in (epoxy, ester)
    )
    assert "epoxy: skin allergy" in in_epoxy
    assert "redcedar: asthma" in in_epoxy
    assert "styrene" not in in_epoxy
    assert "styrene vapour" in in_ester
    assert "epoxy" not in in_ester


def test_more_fibre_than_fits_is_refused_with_its_line() -> None:
    text = panel('cloth = "E-glass twill 300 g/m2"\nthickness = "0.1 mm"')
    with pytest.raises(InputError, match=r"panel file:\d+, layer 1.*thinner than its bare fibre"):
        predicted_text(text)


def test_all_unknown_names_are_told_at_once() -> None:
    text = panel('cloth = "E-glass sponge 300 g/m2"', 'strips = "unobtainium"\nthickness = "8 mm"')
    with pytest.raises(InputError) as refused:
        predict(read(text), shipped())
    places = [problem.where for problem in refused.value.problems]
    assert [place.split(", ")[1] for place in places] == ["layer 1", "layer 2"]
