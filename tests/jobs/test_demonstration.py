"""The shelf to look around in: made quickly, of invented things that say so."""

from __future__ import annotations

from pathlib import Path

from panelwright.jobs.demonstration import (
    INVENTED,
    PIECES,
    PRICES,
    example_files,
    fill_with_demonstration,
)
from panelwright.jobs.shelf import MEASURED, Filter, Shelf


def test_it_holds_the_examples_with_pieces_and_all_says_that_it_is_invented(
    shelf: Shelf, root: Path
) -> None:
    assert shelf.just_made
    assert shelf.fill_with_demonstration() == len(list((root / "examples").glob("*.toml")))
    everything = shelf.find(Filter(size=100))
    assert everything.total == shelf.find(Filter(tags=(INVENTED,))).total == len(example_files())
    assert all("invented" in shelf.panel(card.number).text for card in everything.items)
    assert shelf.find(Filter(standing=MEASURED)).total == len(PIECES)
    assert all("Invented" in price.remark for price in PRICES)
    assert shelf.verify().problems == ()


def test_what_was_found_is_near_what_was_predicted(shelf: Shelf) -> None:
    fill_with_demonstration(shelf)
    for card in shelf.find(Filter(standing=MEASURED)).items:
        assert card.found is not None
        assert card.found.areal_mass is not None
        assert abs(card.found.areal_mass / card.areal_mass.value - 1.0) < 0.15, card.title
