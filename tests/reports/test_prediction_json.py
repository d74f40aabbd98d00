"""The machine output: its keys, its units, its schema."""

from __future__ import annotations

import copy
import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from panelwright.reports.prediction_json import as_json, schema
from tests.jobs.panels import EXAMPLES, SCENARIOS, panel, predicted, predicted_text

QUANTITY = {"value", "low", "high", "unit", "evidence", "drivers"}
VALIDATOR = Draft202012Validator(schema())


def test_the_schema_is_a_schema() -> None:
    Draft202012Validator.check_schema(schema())
    assert schema()["properties"]["schema"] == {"const": "panelwright/predict/1"}


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_keeps_to_the_schema(path: Path) -> None:
    VALIDATOR.validate(json.loads(json.dumps(as_json(predicted(path)), allow_nan=False)))


def test_a_panel_without_size_or_resin_keeps_to_it_too() -> None:
    made = predicted_text(panel('board = "western redcedar"\nthickness = "8 mm"'))
    VALIDATOR.validate(json.loads(json.dumps(as_json(made), allow_nan=False)))


@pytest.mark.parametrize(
    "spoil",
    [
        lambda made: made.pop("thickness"),
        lambda made: made.update(colour="blue"),
        lambda made: made["thickness"].update(unit="mm"),
        lambda made: made["areal_mass"].pop("low"),
        lambda made: made["layers"][0].update(evidence="a hunch"),
        lambda made: made.update(schema="panelwright/predict/0"),
    ],
)
def test_the_schema_refuses_what_is_not_ours(spoil: object) -> None:
    made = copy.deepcopy(as_json(predicted(EXAMPLES[0])))
    assert VALIDATOR.is_valid(made)
    assert callable(spoil)
    spoil(made)
    assert not VALIDATOR.is_valid(made)


def test_keys_that_other_programs_read() -> None:
    made = as_json(predicted(EXAMPLES[0]))
    assert {
        "schema", "panel", "thickness", "areal_mass", "ledger", "layers", "warnings", "cautions",
        "ranges",
    } <= set(made)  # fmt: skip
    assert set(made["thickness"]) == QUANTITY
    assert {"cause", "in_part", "to_mix", "to_buy"} <= set(made["ledger"][0])
    assert {
        "name", "kind", "thickness", "areal_mass", "angle_deg", "fibre_volume_fraction", "evidence",
    } <= set(made["layers"][0])  # fmt: skip
    assert set(made["ranges"]) == {"draws", "seed"}


def test_values_are_in_si() -> None:
    """S5 A by hand: 4.87 mm, 7.5 kg/m2, 54 kg on 4 m x 1.8 m; the layers in the same units."""
    made = as_json(predicted(SCENARIOS / "s5a.toml"))
    assert made["thickness"]["value"] == pytest.approx(4.8694e-3, rel=0.005)
    assert made["areal_mass"]["value"] == pytest.approx(7.5, rel=1e-9)
    assert made["mass"]["value"] == pytest.approx(54.0, rel=1e-9)
    assert (made["panel"]["length_m"], made["panel"]["width_m"]) == (4.0, 1.8)
    assert sum(layer["areal_mass"]["value"] for layer in made["layers"]) == pytest.approx(7.5)


def test_angles_of_a_cloth_of_two_directions() -> None:
    made = as_json(predicted_text(panel('cloth = "E-glass biaxial 300 g/m2"\nangle = 10')))
    (layer,) = made["layers"]
    assert layer["angle_deg"] is None
    assert sorted(layer["ply_angles_deg"]) == [-35.0, 55.0]


def test_the_panel_file_is_in_it_as_it_was_read() -> None:
    for path in EXAMPLES:
        assert as_json(predicted(path))["panel"]["file"] == path.read_text(encoding="utf-8")
