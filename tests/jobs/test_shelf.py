"""Panels are saved, found and read back; the stored prediction is shown, today's beside it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from panelwright.errors import InputError
from panelwright.jobs.changes import changes
from panelwright.jobs.shelf import Filter, Shelf, open_shelf

SOLID = """format = 1
title = "Ply patch"
process = "hand lay-up"
resin = "epoxy, laminating"
[[layer]]
plywood = "birch plywood"
thickness = "6 mm"
"""


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[Shelf]:
    opened = open_shelf(tmp_path / "shelf")
    yield opened
    opened.close()


def _example(root: Path, name: str) -> str:
    return (root / "examples" / f"{name}.toml").read_text("utf-8")


def test_a_panel_comes_back_as_it_was_predicted(shelf: Shelf, root: Path) -> None:
    text = _example(root, "bench-top")
    number, revision = shelf.save_panel(text, remark="first try", tags=("bench", " bench "))
    assert (number, revision) == ("P-0001", 1)
    found = shelf.panel("p1")
    assert (found.title, found.text, found.remark) == ("Bench top", text, "first try")
    assert found.tags == ("bench",)
    now, moved = shelf.today(number)
    assert now == found.prediction
    assert moved == ()


def test_every_revision_stays(shelf: Shelf) -> None:
    shelf.save_panel(SOLID, remark="thin")
    thicker = SOLID.replace("6 mm", "9 mm")
    assert shelf.save_panel(thicker, "P-0001", remark="thicker", after=1) == ("P-0001", 2)
    assert shelf.panel("P-0001").text == thicker
    first = shelf.panel("P-0001", 1)
    assert (first.text, first.remark) == (SOLID, "thin")
    assert [row.number for row in first.revisions] == [2, 1]
    with pytest.raises(InputError, match="P-0001 was saved by somebody else meanwhile"):
        shelf.save_panel(SOLID, "P-0001", after=1)
    with pytest.raises(InputError, match="no such revision"):
        shelf.panel("P-0001", 3)


def test_a_refused_text_saves_nothing(shelf: Shelf) -> None:
    with pytest.raises(InputError):
        shelf.save_panel(SOLID.replace("birch plywood", "brich plywod"))
    with pytest.raises(InputError, match="no such panel"):
        shelf.save_panel(SOLID, "P-0009")
    assert shelf.find().total == 0


def test_filters_combine_and_facets_count(shelf: Shelf, root: Path) -> None:
    for path in sorted((root / "examples").glob("*.toml")):
        shelf.save_panel(path.read_text("utf-8"), tags=("skiff",) * ("skiff" in path.stem))
    assert [card.title for card in shelf.find(Filter(text="skif vacuum")).items] == [
        "Skiff bottom, sandwich"
    ]
    skiffs = shelf.find(Filter(tags=("skiff",), order="title"))
    assert [card.title for card in skiffs.items] == [
        "Skiff bottom, sandwich",
        "Skiff bottom, solid",
    ]
    assert {one.word: one.count for one in skiffs.facets["core"]} == {
        "end-grain balsa": 1,
        "no core": 1,
    }
    solid = shelf.find(Filter(tags=("skiff",), cores=("no core",)))
    assert solid.total == 1
    assert len(solid.facets["core"]) == 2, "a facet is not held to its own choice"
    card = solid.items[0]
    kept = shelf.panel(card.number).prediction
    assert card.thickness.value == kept.thickness.value
    assert [layer.name for layer in card.layers] == [layer.name for layer in kept.layers]
    middle = card.thickness.value
    assert shelf.find(Filter(tags=("skiff",), thickness=(middle, middle))).total == 1
    assert shelf.find(Filter(text="skiff", thickness=(None, middle * 0.99))).total == 0


def test_a_change_is_told_with_its_cause(shelf: Shelf) -> None:
    shelf.save_panel(SOLID)
    kept = shelf.panel("P-0001").snapshot
    heavier = replace(kept.prediction.areal_mass, value=kept.prediction.areal_mass.value * 1.01)
    now = replace(
        kept, prediction=replace(kept.prediction, areal_mass=heavier, version="9.0", catalogue="ab")
    )
    (change,) = changes(kept, now)
    assert (change.name, change.now) == ("areal mass", heavier)
    assert "version" in change.cause
    assert "catalogue is another" in change.cause
