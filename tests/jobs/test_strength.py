"""Strength in the record of a prediction, and how it is told."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

import panelwright
from panelwright.jobs.predict import predict
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import read
from panelwright.panels.records import Prediction
from panelwright.reports.prediction_text import full, glance

EXAMPLES = Path(panelwright.__file__).parents[2] / "examples"
FACTORS = Path(panelwright.__file__).parent / "materials" / "data" / "service_factors.csv"


@pytest.fixture(scope="module")
def roof() -> Prediction:
    """Stitched ±45 glass on PET foam."""
    return _predicted("camper-roof")


@pytest.fixture(scope="module")
def topside() -> Prediction:
    """Glass on both sides of cedar strips."""
    return _predicted("tender-topside")


def _predicted(name: str) -> Prediction:
    text = (EXAMPLES / f"{name}.toml").read_text(encoding="utf-8")
    return predict(read(text), Catalogue.shipped())


def test_every_load_has_first_damage_and_an_end(topside: Prediction) -> None:
    levels: dict[str, list[str]] = {}
    for record in topside.strength:
        levels.setdefault(record.action, []).append(record.level)
    assert len(levels) == 12
    assert all(found == ["first damage", "ultimate"] for found in levels.values())


def test_first_damage_never_comes_after_the_end(roof: Prediction, topside: Prediction) -> None:
    for prediction in (roof, topside):
        for first in (r for r in prediction.strength if r.level == "first damage"):
            if first.footprint:  # a dent, which is no end
                continue
            ends = [
                r.value.value
                for r in prediction.strength
                if (r.action, r.level) == (first.action, "ultimate") and r.layer
            ]
            assert first.value.value <= min(ends) * (1.0 + 1e-12)
            assert first.value.low < first.value.value < first.value.high


def test_rolling_shear_is_told(topside: Prediction) -> None:
    across = [r for r in topside.strength if r.action == "shear force across"]
    assert {r.mode for r in across} == {"rolls in shear across its grain"}


def test_only_a_pressed_skin_wrinkles(roof: Prediction, topside: Prediction) -> None:
    wrinkled = {r.action for r in roof.strength if "wrinkles" in r.mode}
    assert "pressed along" in wrinkled
    assert not any(action.startswith("pulled") for action in wrinkled)
    assert not any("wrinkles" in r.mode or "crimps" in r.mode for r in topside.strength)


def test_the_error_of_the_model_is_among_the_drivers(topside: Prediction) -> None:
    for record in topside.strength:
        assert any(driver.cause.startswith("model error") for driver in record.value.drivers)


def test_loads_that_last_are_those_of_the_table(roof: Prediction) -> None:
    with FACTORS.open(encoding="utf-8") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    wanted = [
        float(row["factor"])
        for row in rows
        if (row["material"], row["property"], row["effect"])
        == ("PET foam", "shear strength", "sustained load")
    ]
    (told,) = (r for r in roof.lasting if (r.material, r.what) == ("PET foam", "shear strength"))
    assert [share for _, share in told.left] == pytest.approx(wanted)
    assert [round(time / 3600) for time, _ in told.left] == [1, 1000, 87660]


def test_the_sentence_and_the_tables(topside: Prediction) -> None:
    short, long = glance(topside), full(topside)
    assert "Weakest when bent across, outside stretched" in short
    assert "western redcedar strips: splits along its grain" in " ".join(short.split())
    for title in (
        "Strength: what it bears",
        "First failure, by several criteria",
        "Under loads that last",
    ):
        assert title in long
    assert "a licensed engineer override" in " ".join(long.split())
