"""A chart in words and figures: one unit an axis, sentences, and what it is drawn by."""

from __future__ import annotations

import math
from collections.abc import Iterator

import pytest

from panelwright.jobs.chart import Wanted, drawn
from panelwright.panels.charted import FOAM, PROPERTIES, Charted, Property
from panelwright.panels.charts import Chart, Compared, Guide, LeftOut
from panelwright.panels.spread import Ranged
from panelwright.provenance import Evidence
from panelwright.reports.chart_spec import SHAPES, columns, spec
from panelwright.reports.chart_words import (
    csv_rows,
    figures,
    left_out_words,
    line_words,
    merit_sentence,
    sentences,
    summary,
    table_rows,
    told,
    unit_of,
)


def value(middle: float, share: float = 0.1, unit: str = "") -> Ranged:
    low, high = (1.0 - share) * middle, (1.0 + share) * middle
    return Ranged(middle, low, high, unit, Evidence.MEMORY)


def invented(count: int, across: str = "areal_mass", up: str = "stiffness_along") -> Chart:
    """A chart of invented points."""
    some = [
        Compared(
            f"P-{n:04d}",
            f"Invented {n}",
            Charted(
                FOAM,
                {across: value(2.0 + n, unit="kg/m2"), up: value(100.0 * (n + 1), unit="N m")},
                sources=("an invented source", "another"),
            ),
            href=f"/panel/P-{n:04d}",
        )
        for n in range(count)
    ]
    return drawn(some, Wanted(across, up))


@pytest.mark.parametrize("system", ["si", "imperial", "both"])
@pytest.mark.parametrize("of", PROPERTIES.values(), ids=lambda of: of.key)
def test_an_axis_and_what_is_told_are_in_one_unit(of: Property, system: str) -> None:
    """3.21 of the unit of the axis is told as 3.21 of that unit, whatever its size in SI."""
    unit = unit_of(of, system, "EUR")
    number, span, name = figures(value(3.21 * unit.size), of, system, "EUR")
    assert name == unit.name
    assert float(number) == pytest.approx(3.21, abs=0.06)
    low, high = (float(end) for end in span.split(" … "))
    cent = 0.005 if of.key == "cost" else 1e-9  # money is told to the cent
    assert low <= 0.9 * 3.21 + cent
    assert high >= 1.1 * 3.21 - cent


def test_units_by_hand() -> None:
    """NIST SP 811 (from memory): 1 ft = 0.3048 m, 1 lbf = 4.4482216 N, 1 psi = 6894.757 Pa."""
    assert unit_of(PROPERTIES["modulus_bent_along"], "si").size == pytest.approx(1e9)
    msi = unit_of(PROPERTIES["modulus_bent_along"], "imperial")
    assert msi.name == "Msi"
    assert msi.size == pytest.approx(6894.757e6, rel=1e-6)
    moment = unit_of(PROPERTIES["moment_along_first"], "imperial")
    # a moment per width: pounds-force times feet, for each foot
    assert moment.name == "lbf·ft per ft"
    assert moment.size == pytest.approx(4.4482216, rel=1e-6)
    assert unit_of(PROPERTIES["moment_along_first"], "si").name == "N·m per m"
    # E/ρ: 1 GPa over 1 g/cm³ is 10^6 m²/s²
    assert unit_of(PROPERTIES["specific_modulus_along"], "si").size == pytest.approx(1e6)


def test_a_range_stands_beside_its_middle() -> None:
    assert told(value(4.0), PROPERTIES["areal_mass"], "si") == "4.00 kg/m² (3.60 … 4.40)"
    assert told(value(4.0, 0.0), PROPERTIES["areal_mass"], "si") == "4 kg/m²"


def test_what_is_written_on_lines() -> None:
    says = "equally stiff plate per kilogram"
    words = [line_words(Guide(times, (), ()), says) for times in (1.0, 0.5, 0.1, 0.01, 10.0, 2.0)]
    assert words == [
        says,
        "half of that",
        "a tenth of that",
        "a hundredth of that",
        "10 times that",
        "2 times that",
    ]


def test_what_the_lines_mean() -> None:
    said = merit_sentence(invented(3))
    assert said.startswith("Chain lines: equally stiff plate per kilogram; along one, bending")
    assert "goes with the cube of mass per area" in said
    assert merit_sentence(invented(3, "density", "thickness")) == ""
    assert merit_sentence(invented(0)) == ""


def test_who_is_left_out_in_one_sentence() -> None:
    many = LeftOut("it is so", tuple(f"Panel {n}" for n in range(6)))
    assert left_out_words(many) == (
        "6 left out, because it is so: Panel 0; Panel 1; Panel 2; Panel 3; and 2 more."
    )


def test_nobody_one_and_many() -> None:
    assert ": 0 points;" in summary(invented(0), "si")
    assert ": 1 point;" in summary(invented(1), "si")
    assert sentences(invented(2)) == []
    assert [row.number for row in table_rows(invented(150), "si", first=100)] == list(
        range(101, 151)
    )


def test_the_highest_is_number_one_in_table_sheet_and_chart() -> None:
    found = invented(4)
    rows = table_rows(found, "si")
    sheet = list(csv_rows(found))[2:]
    assert [row.id for row in rows] == [line[1] for line in sheet] == columns(found, "si")["id"]
    assert rows[0].id == "P-0003"
    assert sheet[0][-1] == "an invented source | another"


# --- The specification ----------------------------------------------------------------------------


def _layers(of: dict[str, object]) -> Iterator[dict[str, object]]:
    layers = of["layer"]
    assert isinstance(layers, list)
    yield from layers


@pytest.mark.parametrize("count", [0, 1, 40, 400])
def test_every_mark_has_its_data(count: int) -> None:
    made = spec(invented(count))
    names = set(made["datasets"])
    assert {layer["data"]["name"] for layer in _layers(made)} <= names  # type: ignore[index]
    assert len(made["datasets"]["points"]) == count


def test_many_points_are_neither_numbered_nor_told_one_by_one() -> None:
    few, many = spec(invented(40)), spec(invented(400))
    assert len(few["layer"]) == len(many["layer"]) + 1
    assert '"field": "n"' not in str(many).replace("'", '"')


def test_ranges_lie_about_their_middles() -> None:
    for row in spec(invented(30))["datasets"]["points"]:
        assert row["x0"] < row["mx"] < row["x1"]
        assert row["y0"] < row["my"] < row["y1"]
        assert all(math.isfinite(row[name]) for name in ("x0", "mx", "x1", "y0", "my", "y1"))
        assert row["kind"] in SHAPES


def test_a_range_that_reaches_nought_ends_at_a_logarithmic_axis() -> None:
    wide = Ranged(5.0, -1.0, 9.0, "kg/m2", Evidence.GIVEN)
    one = Compared("P-0001", "Wide", Charted(FOAM, {"areal_mass": wide, "thickness": value(0.01)}))
    found = drawn([one], Wanted("areal_mass", "thickness"))
    (row,) = spec(found)["datasets"]["points"]
    low = next(p["value"] for p in spec(found)["params"] if p["name"] == "across_low")
    assert row["x0"] == pytest.approx(low, rel=1e-4)
    assert row["x0"] > 0.0
