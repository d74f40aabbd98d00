"""Looking things up in the catalogue."""

from __future__ import annotations

import pytest

from panelwright.errors import UnknownName
from panelwright.jobs.materials import list_tables, search, show

from .panels import shipped


def test_every_table_says_what_it_holds() -> None:
    tables = list_tables(shipped())
    assert {"cloths", "timbers", "cores", "resins", "processes"} <= {t.name for t in tables}
    assert all(len(table) > 0 and table.about for table in tables)


def test_search_wants_every_word() -> None:
    found = {row.name for row in search(shipped(), "western redcedar")}
    assert "western redcedar" in found
    assert "eastern redcedar" not in found


def test_show_finds_by_alias_in_every_table() -> None:
    """Thuja plicata is the botanical name of western redcedar."""
    assert {row.name for row in show(shipped(), "thuja plicata")} == {"western redcedar"}


@pytest.mark.parametrize("look", [search, show])
def test_unknown_names_offer_what_is_near(look: object) -> None:
    assert callable(look)
    with pytest.raises(UnknownName) as refused:
        look(shipped(), "wetsern redceder")
    assert refused.value.problems[0].given == "wetsern redceder"
    assert "western redcedar" in refused.value.nearest
