"""The catalogue in print."""

from __future__ import annotations

import pytest

from panelwright.jobs.materials import list_tables, search, show
from panelwright.reports.layout import wide
from panelwright.reports.materials_text import (
    MOST,
    found_text,
    row_json,
    row_text,
    tables_json,
    tables_text,
)
from tests.jobs.panels import shipped


def test_tables_are_listed_with_what_they_hold() -> None:
    text = tables_text(list_tables(shipped()))
    for name in shipped().tables:
        assert f"  {name.replace('_', ' ')} " in text
    assert max(map(wide, text.splitlines())) <= 100


def test_tables_as_values() -> None:
    made = {one["table"]: one for one in tables_json(list_tables(shipped()))}
    assert made["resins"]["rows"] == len(shipped().table("resins"))
    assert made["resins"]["about"]


def test_a_long_search_says_how_many_more() -> None:
    rows = search(shipped(), "glass")
    assert len(rows) > MOST
    text = found_text("glass", rows)
    assert text.startswith(f"{len(rows)} rows with 'glass':")
    assert text.endswith(f"and {len(rows) - MOST} more: add a word")


def test_one_row_is_one_row() -> None:
    rows = search(shipped(), "thuja plicata")[:1]
    assert found_text("thuja plicata", rows).startswith("1 row with")


def test_a_row_shows_value_unit_range_evidence_source() -> None:
    """Laminating epoxy: 1150 kg/m3 (1100 to 1200), from memory of an open handbook."""
    (row,) = show(shipped(), "epoxy, laminating")
    text = row_text(row)
    assert "1150 kg/m³ (1100 to 1200)" in text
    assert "50 °C" in text
    assert "from memory of a document" in text
    assert "source: Greene, Marine Composites" in text
    assert "density cured low" not in text


@pytest.mark.parametrize("table", sorted(shipped().tables))
def test_every_row_fits_a_page(table: str) -> None:
    """But for its id, which is one word however long and is there to be copied."""
    for row in shipped().table(table):
        lines = row_text(row).replace(row.id, "").splitlines()
        assert [line for line in lines if wide(line) > 100] == []


def test_row_as_values_is_in_si() -> None:
    """50 degC is 323.15 K."""
    (row,) = show(shipped(), "epoxy, laminating")
    values = row_json(row)["values"]
    assert values["softening_temperature"]["value"] == pytest.approx(323.15)
    assert values["density_cured"]["value"] == pytest.approx(1150.0)
    assert values["density_cured"]["evidence"] == "from memory of a document"
    assert "text" in values["mix_ratio"]
