"""The whole shelf as one zip of plain files: exact both ways, and read with distrust."""

from __future__ import annotations

import csv
import io
import json
import re
import shutil
import tomllib
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from hashlib import sha256
from pathlib import Path
from zipfile import ZIP_DEFLATED, ZipFile, ZipInfo

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from PIL import Image

from panelwright.errors import CatalogueError, InputError, PanelwrightError, ShelfError
from panelwright.jobs.shelf import Filter, Gauged, Price, Record, Remnant, Shelf, open_shelf

PANEL = """format = 1
title = "Ply patch"
process = "hand lay-up"
resin = "epoxy, laminating"
[[layer]]
plywood = "birch plywood"
thickness = "6 mm"
"""
OWN = """[[resins]]
id = "shed_resin"
name = "resin of the shed"
source = "bottle, invented"
evidence = "given by you"
density_cured = "1120 kg/m3"
"""


def _photo() -> bytes:
    file = io.BytesIO()
    Image.linear_gradient("L").resize((60, 40)).save(file, "PNG")
    return file.getvalue()


def fill(shelf: Shelf) -> None:
    """Something of everything, in an order that is not that of the numbers."""
    shelf.save_panel(PANEL, remark='=cmd "quoted", with comma', tags=("one", "two, three"))
    shelf.save_panel(PANEL.replace("Ply", "Überzug ×"), remark="line\r\nline\n'", tags=())
    shelf.save_panel(PANEL.replace("6 mm", "9 mm"), "P-0001", remark="thicker")
    record = Record("2026-03-01", 0.1 + 0.2, 1 / 3e3, 0.5, 0.25, (Gauged("-rim", 6.1e-3),), "@r")
    first = shelf.save_piece("P-0002", title="Try-out", place="+rack", record=record)
    shelf.save_piece("P-0001", title="Offcut", remark="\tkept")
    shelf.save_piece(cut_from=first, cut_at="by the mark", left="all")
    shelf.save_piece(number="S-0002", record=Record(gauged=(Gauged("a", 5e-3), Gauged("a", 6e-3))))
    said = Record("2026-04-01", 0.3, who="=Ann", again="with changes", improve="-drier\n+warmer")
    shelf.save_piece(number=first, record=said)
    shelf.add_photo(_photo(), "x.png", "S-0003", "front")
    shelf.add_photo(_photo(), "y.png", "P-0001")
    shelf.save_own_materials(OWN, "first")
    shelf.save_own_materials(OWN.replace("1120", "1130"), "second")
    shelf.save_own_materials(OWN, "as at first")
    shelf.save_remnants([Remnant("balsa", "2 of 0.3 m", first, "=dry"), Remnant("epoxy", "1 kg")])
    shelf.use_up(2)
    shelf.save_price(Price("epoxy", "19.50", "EUR", "kg", "2026-01-15", "'quoted"))


@pytest.fixture
def other(tmp_path: Path) -> Iterator[Shelf]:
    """An empty shelf to bring things to."""
    opened = open_shelf(tmp_path / "other")
    yield opened
    opened.close()


def test_export_and_import_are_exact_both_ways(shelf: Shelf, other: Shelf, tmp_path: Path) -> None:
    fill(shelf)
    shelf.export(tmp_path / "a.zip")
    told = other.import_(tmp_path / "a.zip")
    assert (told.panels, told.pieces, told.photos, told.there) == (2, 3, 2, 0)
    other.export(tmp_path / "b.zip")
    assert (tmp_path / "a.zip").read_bytes() == (tmp_path / "b.zip").read_bytes()
    for number in ("P-0001", "P-0002"):
        assert other.panel(number) == shelf.panel(number)
    assert other.prices() == shelf.prices()
    assert other.remnants() == shelf.remnants()
    assert other.own_materials() == shelf.own_materials()
    assert other.find(Filter(order="number")) == shelf.find(Filter(order="number"))
    assert other.find(Filter(text="mark front")).total == 1
    assert other.verify() == shelf.verify()
    assert other.verify().problems == ()


def test_an_export_comes_back_to_a_server(shelf: Shelf, other: Shelf, tmp_path: Path) -> None:
    fill(other)
    other.export(tmp_path / "a.zip")
    shelf.import_(tmp_path / "a.zip")
    shelf.export(tmp_path / "b.zip")
    assert (tmp_path / "a.zip").read_bytes() == (tmp_path / "b.zip").read_bytes()


def test_it_holds_plain_files(other: Shelf, tmp_path: Path) -> None:
    fill(other)
    other.export(tmp_path / "a.zip")
    with ZipFile(tmp_path / "a.zip") as archive:
        assert archive.testzip() is None
        text = archive.read("panels/P-0001/2.toml").decode()
        assert tomllib.loads(text)["layer"][0]["thickness"] == "9 mm"
        rows = list(csv.DictReader(io.StringIO(archive.read("pieces.csv").decode(), newline="")))
        assert [(row["piece"], row["cut_from"]) for row in rows] == [
            ("S-0001", ""),
            ("S-0002", ""),
            ("S-0003", "S-0001"),
        ]
        remarks = archive.read("revisions.csv").decode()
        assert """"'=cmd ""quoted"", with comma\"""" in remarks, "no formula for a spreadsheet"
        hashes = json.loads(archive.read("shelf.json"))["files"]
        assert hashes["pieces.csv"] == sha256(archive.read("pieces.csv")).hexdigest()


odd = st.text(st.characters(exclude_categories=["Cs"]), max_size=60)


@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(remark=odd, tag=odd, place=odd, gross=st.floats(1e-300, 1e300), point=odd)
def test_odd_texts_come_back_or_are_refused(
    tmp_path_factory: pytest.TempPathFactory,
    remark: str,
    tag: str,
    place: str,
    gross: float,
    point: str,
) -> None:
    folder = tmp_path_factory.mktemp("odd")
    shelf, other = open_shelf(folder / "a"), open_shelf(folder / "b")
    try:
        shelf.save_panel(PANEL, remark=remark, tags=(tag,))
        record = Record(gross=gross, gauged=(Gauged(point, gross),))
        shelf.save_piece("P-0001", place=place, record=record)
    except InputError as refused:
        if not re.search("cannot be kept|one line only", str(refused)):
            raise
    shelf.export(folder / "a.zip")
    other.import_(folder / "a.zip")
    other.export(folder / "b.zip")
    assert (folder / "a.zip").read_bytes() == (folder / "b.zip").read_bytes()
    for number in ["P-0001"] * shelf.find().total:
        assert other.panel(number) == shelf.panel(number)
    shelf.close()
    other.close()


def test_an_export_while_others_write_is_of_one_moment(shelf: Shelf, tmp_path: Path) -> None:
    fill(shelf)
    record = Record(gauged=(Gauged("a", 5e-3),))
    for round_ in range(3):
        with ThreadPoolExecutor(3) as many:
            for _ in range(12):
                many.submit(shelf.save_piece, "P-0001", record=record)
            many.submit(shelf.export, tmp_path / f"{round_}.zip").result()
        target = open_shelf(tmp_path / f"target{round_}")
        assert target.import_(tmp_path / f"{round_}.zip").panels == 2
        assert target.verify().problems == ()
        assert all(piece.records for piece in target.panel("P-0001").pieces)
        target.close()


# Onto a shelf that holds something ---------------------------------------------------------------


def test_what_is_there_already_is_left_alone(other: Shelf, tmp_path: Path) -> None:
    fill(other)
    other.export(tmp_path / "a.zip")
    told = other.import_(tmp_path / "a.zip")
    assert (told.panels, told.pieces, told.photos, told.there) == (0, 0, 0, 5)
    other.export(tmp_path / "b.zip")
    assert (tmp_path / "a.zip").read_bytes() == (tmp_path / "b.zip").read_bytes()


def test_nothing_is_written_over(shelf: Shelf, other: Shelf, tmp_path: Path) -> None:
    fill(other)
    other.export(tmp_path / "a.zip")
    shelf.save_panel(PANEL.replace("Ply", "Mine"))
    shelf.save_piece("P-0001", title="Mine")
    shelf.save_own_materials(OWN.replace("1120", "1150"))
    shelf.export(tmp_path / "before.zip")
    with pytest.raises(InputError, match=r"P-0001, S-0001, the shop's own materials\. Try: --be"):
        shelf.import_(tmp_path / "a.zip")
    shelf.export(tmp_path / "after.zip")
    assert (tmp_path / "before.zip").read_bytes() == (tmp_path / "after.zip").read_bytes()

    told = shelf.import_(tmp_path / "a.zip", beside=True)
    assert told.renumbered == {"P-0001": "P-0003", "S-0001": "S-0004"}
    assert shelf.panel("P-0001").title == "Mine patch"
    assert shelf.piece("S-0001").title == "Mine"
    assert "1150" in shelf.own_materials().text
    assert shelf.panel("P-0003").title == "Ply patch"
    (family,) = shelf.panel("P-0002").pieces
    assert (family.number, family.cut[0].number) == ("S-0004", "S-0003")
    assert shelf.piece("S-0002").panel == "P-0003"
    assert shelf.verify().problems == ()


def test_a_copy_is_a_shelf(other: Shelf, tmp_path: Path) -> None:
    fill(other)
    other.backup(tmp_path / "copy")
    other.export(tmp_path / "a.zip")
    copy = open_shelf(tmp_path / "copy")
    copy.export(tmp_path / "b.zip")
    assert copy.verify().problems == ()
    copy.close()
    assert (tmp_path / "a.zip").read_bytes() == (tmp_path / "b.zip").read_bytes()
    with pytest.raises(InputError, match="something of that name"):
        other.backup(tmp_path / "copy")
    with pytest.raises(ShelfError, match="The copy cannot be written"):
        other.backup(tmp_path / "a.zip" / "copy")
    with pytest.raises(InputError, match="file of that name already"):
        other.export(tmp_path / "a.zip")
    with pytest.raises(ShelfError, match="The export cannot be written"):
        other.export(tmp_path / "nowhere" / "a.zip")
    assert not list(tmp_path.glob("*.part*"))


# With distrust -----------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def made_once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An export with something of everything."""
    folder = tmp_path_factory.mktemp("first")
    shelf = open_shelf(folder / "first")
    fill(shelf)
    shelf.export(folder / "a.zip")
    shelf.close()
    return folder / "a.zip"


@pytest.fixture
def exported(made_once: Path, tmp_path: Path) -> Path:
    """The same in a folder of the test."""
    return Path(shutil.copy(made_once, tmp_path / "a.zip"))


def _changed(exported: Path, name: str, content: bytes | None, *, told: bool = True) -> Path:
    """The export with one file changed, added or left out; told: its manifest says so."""
    with ZipFile(exported) as archive:
        files = {one: archive.read(one) for one in archive.namelist()}
    files.pop(name, None)
    if content is not None:
        files[name] = content
    manifest = json.loads(files["shelf.json"])
    if told and name != "shelf.json":
        rest = {one: held for one, held in files.items() if one != "shelf.json"}
        manifest["files"] = {one: sha256(held).hexdigest() for one, held in rest.items()}
        files["shelf.json"] = json.dumps(manifest).encode()
    path = exported.with_name("changed.zip")
    with ZipFile(path, "w", ZIP_DEFLATED) as archive:
        for one, held in files.items():
            archive.writestr(one, held)
    return path


def test_an_export_from_before_verdicts_is_read(other: Shelf, exported: Path) -> None:
    with ZipFile(exported) as archive:
        rows = list(csv.reader(io.StringIO(archive.read("records.csv").decode(), newline="")))
    text = io.StringIO(newline="")
    csv.writer(text, lineterminator="\n").writerows(row[:-3] for row in rows)
    other.import_(_changed(exported, "records.csv", text.getvalue().encode()))
    last = other.piece("S-0001").records[-1]
    assert (last.date, last.who, last.again, last.improve) == ("2026-04-01", "", "", "")


def test_a_word_that_is_no_verdict_is_refused(other: Shelf) -> None:
    fill(other)
    with pytest.raises(InputError, match=r"no verdict.*perhaps.*yes, with changes, no"):
        other.save_piece(number="S-0001", record=Record(again="perhaps"))


@pytest.mark.parametrize(
    "name",
    [
        "../evil.toml",
        "/etc/passwd",
        "panels/../../evil.toml",
        "panels\\P-0001\\1.toml",
        "panels/P-0001/1.toml/",
        "C:evil.toml",
        "photos/" + "0" * 64 + ".exe",
        "notes.txt",
        "panels/P-0001/1.toml\n",
        "PANELS.CSV",
    ],
)
def test_no_other_name_is_taken(other: Shelf, exported: Path, tmp_path: Path, name: str) -> None:
    before = sorted(tmp_path.rglob("*"))
    path = _changed(exported, name, b"evil")
    with pytest.raises(InputError, match=r"none of a shelf|are missing or were added"):
        other.import_(path)
    path.unlink()
    assert sorted(tmp_path.rglob("*")) == before
    assert other.find().total == 0


CSV = "panel,title,made,standing\n"


@pytest.mark.parametrize(
    ("name", "content", "said"),
    [
        ("panels.csv", None, "a file is missing"),
        ("panels.csv", b"\xff", "not text in UTF-8"),
        ("panels.csv", b"a,b\n", "other columns are wanted"),
        ("panels.csv", f"{CSV}P-0001\n".encode(), "panels.csv:2: A row is not whole"),
        ("panels.csv", f'{CSV}"P-0001'.encode(), "not CSV"),
        ("panels.csv", f"{CSV}P-1,,2026-01-01,\n".encode(), "this is no number"),
        ("panels.csv", f"{CSV}P-0007,,2026-01-01,\n".encode(), "a panel has no revision"),
        ("panels.csv", f"{CSV}P-0002,,yesterday,\n".encode(), "not a moment"),
        ("panels.csv", f"{CSV}P-0002,,2026-01-01,\n".encode(), "what it belongs to is not in it"),
        ("tags.csv", b"panel,tag\nP-0009,x\n", "what it belongs to is not in it"),
        ("tags.csv", b"panel,tag\nP-0001,a\x00b\n", "cannot be kept"),
        ("thicknesses.csv", b"record,point,thickness_m\n1,a,nan\n", "not a number"),
        ("thicknesses.csv", b"record,point,thickness_m\n1,a,-1\n", "more than nothing"),
        ("thicknesses.csv", b"record,point,thickness_m\n77,a,1\n", "belongs to is not in it"),
        ("panels/P-0001/1.toml", b"other", "of another panel file"),
        ("panels/P-0001/1.json", b"{}", "prediction cannot be read"),
        ("panels/P-0001/1.json", b"[" * 100_000, "prediction cannot be read"),
        ("panels/P-0001/1.json", None, "a file is missing"),
        ("materials/1.toml", b"[[nonsense]]\n", "not a table of the catalogue"),
        ("shelf.json", b"{}", "not an exported shelf"),
        ("shelf.json", b'{"format": "other/9", "files": {}}', "of another format"),
        ("prices.csv", b"material,amount,currency,per,date,remark,made\nx,1,?,kg,,,\n", "currency"),
    ],
)
def test_a_wrong_file_is_refused_whole(
    other: Shelf, exported: Path, name: str, content: bytes | None, said: str
) -> None:
    with pytest.raises(PanelwrightError, match=f"(?i){said}") as refused:
        other.import_(_changed(exported, name, content))
    assert isinstance(refused.value, InputError | CatalogueError)
    assert other.find().total == 0
    assert other.prices() == ()


def test_a_photo_that_is_none_is_refused(other: Shelf, exported: Path) -> None:
    with ZipFile(exported) as archive:
        name = next(one for one in archive.namelist() if one.endswith(".jpg"))
        content = archive.read(name)
    with pytest.raises(InputError, match="as a shelf keeps it"):
        other.import_(_changed(exported, name, content + b"<script>"))
    with pytest.raises(InputError, match="its file is missing"):
        other.import_(_changed(exported, name, None))
    assert other.find().total == 0


def test_a_changed_file_is_found_by_its_hash(other: Shelf, exported: Path) -> None:
    with pytest.raises(InputError, match="not what was exported"):
        other.import_(_changed(exported, "tags.csv", b"panel,tag\n", told=False))


@pytest.mark.parametrize("content", [b"", b"a letter", b"PK\x03\x04" + bytes(40)])
def test_what_is_no_zip_is_refused(other: Shelf, tmp_path: Path, content: bytes) -> None:
    (tmp_path / "x.zip").write_bytes(content)
    with pytest.raises(InputError, match=r"not a zip|cannot be read"):
        other.import_(tmp_path / "x.zip")
    with pytest.raises(InputError, match="no such file"):
        other.import_(tmp_path / "y.zip")
    with pytest.raises(InputError, match="cannot be read"):
        other.import_(tmp_path)


def test_a_zip_that_would_grow_too_large_is_refused(other: Shelf, tmp_path: Path) -> None:
    with ZipFile(tmp_path / "x.zip", "w", ZIP_DEFLATED) as archive:
        archive.writestr("pieces.csv", bytes(60_000_000))
    with pytest.raises(InputError, match=r"it would grow too large\. Given: 60 MB"):
        other.import_(tmp_path / "x.zip")
    with ZipFile(tmp_path / "y.zip", "w", ZIP_DEFLATED) as archive:
        archive.writestr("panels/P-0001/1.toml", bytes(2_000_000))
    with pytest.raises(InputError, match="too large or locked"):
        other.import_(tmp_path / "y.zip")


@pytest.mark.filterwarnings("ignore:Duplicate name")
def test_a_file_that_stands_twice_is_refused(other: Shelf, tmp_path: Path) -> None:
    with ZipFile(tmp_path / "x.zip", "w") as archive:
        for content in ("a", "b"):
            archive.writestr(ZipInfo("pieces.csv"), content)
    with pytest.raises(InputError, match="stands in it twice"):
        other.import_(tmp_path / "x.zip")


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(at=st.floats(0, 1, exclude_max=True), put=st.binary(min_size=1, max_size=8))
def test_a_damaged_zip_is_refused_or_changes_nothing(
    exported: Path, tmp_path: Path, at: float, put: bytes
) -> None:
    content = bytearray(exported.read_bytes())
    place = int(at * len(content))
    content[place : place + len(put)] = put
    damaged = tmp_path / "damaged.zip"
    damaged.write_bytes(content)
    shelf = open_shelf(tmp_path / "target")
    try:
        shelf.import_(damaged)
    except PanelwrightError:
        assert shelf.find().total in (0, 2)
    assert shelf.verify().problems == ()
    shelf.close()
