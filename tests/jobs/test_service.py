"""Heat, water and time: what the table tells of a panel's service, and what it does not.

Expected shares are read from the table by hand or by ``csv``; the table names its sources (open
test database, handbooks from memory, common practice).
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

import panelwright
from panelwright.jobs.predict import predict
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import read
from panelwright.panels.records import Prediction, ServiceRecord
from panelwright.reports.prediction_text import full, glance

FACTORS = Path(panelwright.__file__).parent / "materials" / "data" / "service_factors.csv"
CLOTH = '[[layer]]\ncloth = "E-glass biaxial 300 g/m2"\n'
FOAM = '[[layer]]\ncore = "PET foam 110 kg/m3"\nthickness = "20 mm"\n'


def predicted(service: str, layers: str = CLOTH, resin: str = "epoxy, hot cure") -> Prediction:
    head = f'format = 1\ntitle = "x"\nprocess = "wet lay-up, vacuum bag"\nresin = "{resin}"\n'
    return predict(read(f"{head}{service}\n{layers}"), Catalogue.shipped(), draws=64)


def told(prediction: Prediction, words: str, wet: bool) -> ServiceRecord:
    (one,) = (r for r in prediction.service if words in r.what and r.wet is wet)
    return one


def share(material: str, words: str, effect: str, condition: str) -> float:
    """The share as the table prints it."""
    with FACTORS.open(encoding="utf-8") as file:
        rows = csv.DictReader(line for line in file if not line.startswith("#"))
        (found,) = (
            float(row["factor"])
            for row in rows
            if (row["material"], row["effect"]) == (material, effect)
            and words in row["property"]
            and row["condition"].startswith(condition)
        )
    return found


@pytest.mark.parametrize("service", ["", 'service = { temperature = "5 to 24 degC" }'])
def test_a_cool_dry_panel_is_told_nothing(service: str) -> None:
    prediction = predicted(service)
    assert prediction.service == ()
    assert "In heat and water" not in full(prediction)
    assert "for a short time" not in glance(prediction)


def test_heat_is_read_between_the_temperatures_tried() -> None:
    prediction = predicted('service = { temperature = "5 to 47.5 degC" }')
    shear = told(prediction, "in-plane shear", wet=False)
    at_40, at_55 = (
        share("E-glass laminate, epoxy", "in-plane shear", "temperature, dry", f"{hot} degC")
        for hot in (40, 55)
    )
    assert shear.value == pytest.approx((at_40 + at_55) / 2)
    assert shear.low is not None
    assert shear.low < (at_40 + at_55) / 2


def test_wet_and_hot_is_one_row_and_not_two_multiplied() -> None:
    prediction = predicted('service = { temperature = "5 to 55 degC", wet = true }')
    shear = told(prediction, "in-plane shear", wet=True)
    effect = "temperature and long soaking in water"
    printed = share("E-glass laminate, epoxy", "in-plane shear", effect, "wet at 55 degC")
    assert shear.value == pytest.approx(printed)
    assert not [r for r in prediction.service if "in-plane shear" in r.what and not r.wet]


def test_two_materials_of_a_family_are_told_together() -> None:
    prediction = predicted(
        'service = { temperature = "5 to 55 degC" }', resin="polyester, isophthalic"
    )
    shear = told(prediction, "in-plane shear", wet=False)
    printed = [
        share(f"E-glass laminate, polyester {one}", "in-plane shear", "temperature, dry", "55 degC")
        for one in "AB"
    ]
    assert shear.value == pytest.approx(sum(printed) / 2)
    assert shear.low is not None
    assert shear.high is not None
    assert shear.low <= min(printed) < max(printed) <= shear.high


def test_beyond_the_hottest_tried_it_is_not_known() -> None:
    prediction = predicted('service = { temperature = "5 to 75 degC" }')
    shear = told(prediction, "in-plane shear", wet=False)
    assert shear.value is None
    text = " ".join(full(prediction).split())
    assert "in-plane shear strength (±45 pull) is not known above 70 °C" in text


def test_a_core_that_no_row_speaks_of_wet_is_said_to_be_unknown() -> None:
    prediction = predicted("service = { wet = true }", CLOTH + FOAM + CLOTH)
    text = " ".join(full(prediction).split())
    assert "what is left wet is not known: test it so" in text
    assert [r for r in prediction.service if r.layer.startswith("PET") and r.value is None]


def test_a_soft_core_tells_its_own_share() -> None:
    prediction = predicted('service = { temperature = "5 to 60 degC" }', CLOTH + FOAM + CLOTH)
    (core,) = (r for r in prediction.service if r.what == "shear strength")
    assert core.value == pytest.approx(
        share("PET foam", "shear strength", "temperature", "60 degC")
    )


def test_the_glance_says_what_it_means() -> None:
    prediction = predicted(
        'service = { temperature = "5 to 60 degC", wet = true }', resin="epoxy, laminating"
    )
    text = " ".join(glance(prediction).split())
    least = share(
        "laminate, epoxy cured at room temperature (Tg about 50)", "resin", "temperature, dry", "60"
    )
    assert f"at 60 °C a layer may keep as little as {100 * least:.0f} % of its strength" in text


def test_rows_of_another_fibre_or_resin_say_nothing_here() -> None:
    carbon = '[[layer]]\ncloth = "carbon biaxial 300 g/m2"\n'
    prediction = predicted('service = { temperature = "5 to 50 degC", wet = true }', carbon)
    materials = {record.material for record in prediction.service}
    assert not [name for name in materials if "E-glass" in name or "polyester" in name]
