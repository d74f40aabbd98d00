"""Panels are saved, found and read back; the stored prediction is shown, today's beside it."""

from __future__ import annotations

import hashlib
import io
from concurrent.futures import ThreadPoolExecutor
from dataclasses import replace
from pathlib import Path

import pytest
import tomlkit
from PIL import Image

from panelwright.errors import CatalogueError, InputError
from panelwright.jobs.changes import changes
from panelwright.jobs.shelf import Filter, Found, Gauged, Price, Record, Shelf
from panelwright.shelf.records import MEASURED, PREDICTED

SOLID = """format = 1
title = "Ply patch"
process = "hand lay-up"
resin = "epoxy, laminating"
[[layer]]
plywood = "birch plywood"
thickness = "6 mm"
"""


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


def _photo(width: int = 60, height: int = 40) -> bytes:
    file = io.BytesIO()
    Image.new("RGB", (width, height), (120, 90, 60)).save(file, "PNG")
    return file.getvalue()


def _findings(record: Record) -> tuple[float | None, float | None]:
    return record.areal_mass, record.thickness


def test_a_piece_knows_its_family_and_what_was_read_off_it(shelf: Shelf) -> None:
    panel, _ = shelf.save_panel(SOLID)
    first = Record("2026-03-01", 0.52, 0.02, 0.5, 0.25, (Gauged("a", 6.1e-3), Gauged("b", 6.3e-3)))
    parent = shelf.save_piece(panel, title="Try-out", place="rack 2", record=first)
    assert parent == "S-0001"
    child = shelf.save_piece(cut_from=parent, cut_at="by the mark", title="Bending strip")
    shelf.save_piece(cut_from=child, cut_at="its end", title="Burn-off coupon")
    found = shelf.piece("s1")
    assert found.records[0].areal_mass == pytest.approx(0.5 / 0.125)  # by hand: 0.5 kg, 0.125 m2
    assert found.records[0].thickness == pytest.approx(6.2e-3)
    assert (found.cut[0].cut_at, found.cut[0].cut[0].title) == ("by the mark", "Burn-off coupon")
    assert shelf.panel(panel).pieces == (found,)
    assert shelf.piece(child) == found.cut[0]
    (card,) = shelf.find(Filter(standing=MEASURED)).items
    assert (card.pieces, card.found) == (3, Found(parent, *_findings(found.records[0])))
    assert shelf.find(Filter(text="coupon S-0003")).total == 1


def test_a_record_is_added_and_none_is_changed(shelf: Shelf) -> None:
    panel, _ = shelf.save_panel(SOLID)
    piece = shelf.save_piece(panel, place="rack", left="all", record=Record("2026-03-01", 0.5))
    assert shelf.find(Filter(standing=PREDICTED)).total == 1, "a weight without sides says nothing"
    shelf.save_piece(number=piece, place="bin", record=Record("2026-04-01", 0.49))
    found = shelf.piece(piece)
    assert (found.place, found.left) == ("bin", "all")
    assert [(one.date, one.gross) for one in found.records] == [
        ("2026-03-01", 0.5),
        ("2026-04-01", 0.49),
    ]


@pytest.mark.parametrize(
    ("record", "said"),
    [
        (Record(gross=0.1, tare=0.2), "weighs no more than what it was weighed in"),
        (Record(gross=float("nan")), "more than nothing"),
        (Record(length=0.0), "length: this must be more than nothing"),
        (Record(gauged=(Gauged("rim", -1e-3),)), "thickness at rim"),
        (Record(gross=1.0, tare=-1.0), "a tare is nothing or more"),
        (Record(remark="\0"), r"a sign in it cannot be kept. Given: U\+0000"),
        (Record(remark="x" * 20_001), "this is too long"),
    ],
)
def test_readings_that_cannot_be_are_refused(shelf: Shelf, record: Record, said: str) -> None:
    panel, _ = shelf.save_panel(SOLID)
    with pytest.raises(InputError, match=said):
        shelf.save_piece(panel, record=record)
    assert shelf.panel(panel).pieces == ()


def test_a_photo_lies_as_a_file_named_by_what_it_holds(shelf: Shelf) -> None:
    panel, _ = shelf.save_panel(SOLID)
    piece = shelf.save_piece(panel)
    photo = shelf.add_photo(_photo(), "../../etc/front view.png", piece, "from the outside")
    assert (photo.name, photo.of, photo.width, photo.height) == ("front view.png", piece, 60, 40)
    content = shelf.photo(photo.sha256)
    assert hashlib.sha256(content).hexdigest() == photo.sha256
    assert shelf.piece(piece).photos == (photo,)
    assert shelf.find(Filter(text="outside")).items[0].photo == photo.sha256
    again = shelf.add_photo(_photo(), "again.png", panel)
    assert again.sha256 == photo.sha256
    assert shelf.panel(panel).photos == (again,)
    with pytest.raises(InputError, match="not the name of a photo"):
        shelf.photo("../shelf.db")
    with pytest.raises(InputError, match="no such piece"):
        shelf.add_photo(_photo(), "x.png", "S-0009")


def test_own_materials_change_today_but_not_what_was_stored(shelf: Shelf) -> None:
    row = shelf.catalogue().find("plywoods", "birch plywood")
    own = "[[plywoods]]\n" + "".join(
        f"{column} = {tomlkit.item(cell).as_string()}\n"
        for column, cell in row.cells.items()
        if row.units[column] == "-" and cell
    )
    own += 'density = "900 kg/m3"\n'  # and no thickness of its veneers
    panel, _ = shelf.save_panel(SOLID)
    stored = shelf.panel(panel).prediction
    assert shelf.save_own_materials(own, "weighed") == 1
    assert shelf.own_materials().remark == "weighed"
    now, moved = shelf.today(panel)
    assert shelf.panel(panel).prediction == stored
    assert now.areal_mass.value == pytest.approx(5.4)  # by hand: 6 mm of 900 kg/m3
    causes = {change.name: change.cause for change in moved}
    assert "density" in causes["areal mass"]
    assert "now 900" in causes["areal mass"]
    assert "thickness" not in causes


def test_refused_materials_are_not_kept(shelf: Shelf) -> None:
    with pytest.raises(CatalogueError, match="materials on the shelf:1"):
        shelf.save_own_materials("[[plywood]]\nid = 'x'\n")
    assert shelf.own_materials().number == 0


def test_prices_are_added_and_the_newest_comes_first(shelf: Shelf) -> None:
    shelf.save_price(Price("epoxy", "18.00", "EUR", "kg", "2025-05-01"))
    shelf.save_price(Price("epoxy", "19.50", "EUR", "kg", "2026-01-15"))
    assert [price.amount for price in shelf.prices()] == ["19.50", "18.00"]


@pytest.mark.parametrize(
    ("field", "given"),
    [
        ("amount", "12,50"),
        ("amount", "-1"),
        ("amount", "nan"),
        ("currency", "euro"),
        ("per", "tin"),
        ("date", "15.1.2026"),
        ("material", " "),
    ],
)
def test_prices_that_cannot_be_read_back_are_refused(shelf: Shelf, field: str, given: str) -> None:
    price = Price("epoxy", "18.00", "EUR", "kg", "2025-05-01")
    with pytest.raises(InputError):
        shelf.save_price(replace(price, **{field: given}))
    assert shelf.prices() == ()


def test_many_at_once_get_numbers_of_their_own(shelf: Shelf) -> None:
    shelf.save_panel(SOLID)
    with ThreadPoolExecutor(6) as many:
        pieces = list(many.map(lambda _: shelf.save_piece("P-0001"), range(24)))
    assert sorted(pieces) == [f"S-{number:04d}" for number in range(1, 25)]
    assert len(shelf.panel("P-0001").pieces) == 24
