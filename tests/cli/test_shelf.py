"""``panelwright shelf``: what it prints, what it refuses, and what machines read."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest
from PIL import Image

from panelwright.jobs.demonstration import fill_with_demonstration
from panelwright.jobs.shelf import PLACE, open_shelf

from .running import Command

PANEL = """format = 1
title = "Ply patch"
process = "hand lay-up"
resin = "epoxy, laminating"
[[layer]]
plywood = "birch plywood"
thickness = "6 mm"
"""


@pytest.fixture
def file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A panel file; the environment names an empty shelf."""
    monkeypatch.setenv(PLACE, str(tmp_path / "shelf"))
    path = tmp_path / "patch.toml"
    path.write_text(PANEL)
    return path


def test_a_panel_is_added_listed_and_shown(panelwright: Command, file: Path) -> None:
    assert panelwright("shelf", "list").out == "The shelf is empty.\n"
    added = panelwright("shelf", "add", str(file), "--tag", "patch", "--remark", "first try")
    assert (added.code, added.out) == (0, "P-0001, revision 1\n")
    listed = panelwright("shelf", "list", "ply", "--thickness", "5 to 7 mm", "--predicted").out
    assert "P-0001 ◇  Ply patch  6 mm" in listed
    assert listed.endswith("Panels 1 to 1 of 1.  ◇ only predicted  ● measured\n")
    none = panelwright("shelf", "list", "--mass", "over 50 kg/m2")
    assert none.out == "No panel on the shelf is like that.\n"
    shown = panelwright("shelf", "show", "p1").out
    assert "revision 1 of 1" in shown
    assert "first try" in shown
    assert panelwright("shelf", "show", "P-0001", "--file").out == PANEL
    today = panelwright("shelf", "show", "P-0001", "--today").out
    assert today.endswith("Today the same would be predicted.\n")


def test_a_revision_a_photo_and_materials_are_added(
    panelwright: Command, file: Path, tmp_path: Path
) -> None:
    panelwright("shelf", "add", str(file))
    file.write_text(PANEL.replace("6 mm", "9 mm"))
    assert panelwright("shelf", "add", str(file), "--to", "P-0001").out == "P-0001, revision 2\n"
    shown = json.loads(panelwright("shelf", "show", "P-0001", "--revision", "1", "--json").out)
    assert shown["snapshot"]["prediction"]["thickness"]["value"] == pytest.approx(0.006)
    photo = tmp_path / "front.png"
    image = io.BytesIO()
    Image.new("RGB", (9, 9)).save(image, "PNG")
    photo.write_bytes(image.getvalue())
    said = panelwright("shelf", "add", str(photo), "--photo", "--to", "P-0001", "--json")
    assert json.loads(said.out)[0]["of"] == "P-0001"
    own = tmp_path / "own.toml"
    own.write_text('[[coats]]\nid = "x"\nname = "shed paint"\nsource = "tin"\n')
    refused = panelwright("shelf", "add", str(own), "--materials")
    assert refused.code == 2
    assert "evidence" in refused.err


def test_what_is_wrong_is_said_in_one_sentence(
    panelwright: Command, file: Path, tmp_path: Path
) -> None:
    for words, said in (
        (("show", "P-0009"), "There is no such panel on the shelf. Given: P-0009."),
        (("show", "S-1"), "There is no such piece on the shelf."),
        (("show", "x"), "This is not the number of a panel."),
        (("list", "--order", "best"), "No order is called so. Given: best."),
        (("list", "--thickness", "5 kg"), "thickness"),
        (("add", str(tmp_path / "none.toml")), "There is no such file."),
        (("add", str(file), "--photo"), "A photo is of a panel or a piece."),
        (("import", str(file)), "This is not a zip."),
        (("verify", "--shelf", "mysql://x/y"), "this kind of database is not known"),
    ):
        ran = panelwright("shelf", *words)
        assert (ran.code, ran.out, ran.err.count("\n")) == (2, "", 1), words
        assert said in ran.err


def test_all_of_it_goes_out_and_comes_back(
    panelwright: Command, file: Path, tmp_path: Path
) -> None:
    shelf = open_shelf(tmp_path / "shelf")
    assert fill_with_demonstration(shelf) == 7
    shelf.close()
    listed = panelwright("shelf", "list", "--units", "both").out
    assert max(map(len, listed.splitlines())) <= 92
    assert listed.count("●") == 4, "three panels and the key"
    piece = panelwright("shelf", "show", "S-0001").out
    assert "areal mass" in piece
    assert "S-0002  Bending strip along; cut" in piece
    assert "invented" in panelwright("shelf", "show", "P-0001").out.lower()
    archive, copy = str(tmp_path / "a.zip"), str(tmp_path / "copy")
    assert panelwright("shelf", "export", archive).out == f"Written to {archive}\n"
    assert panelwright("shelf", "export", archive).code == 2
    other = ("--shelf", str(tmp_path / "other"))
    brought = panelwright("shelf", "import", archive, *other)
    assert brought.out == "Brought: 7 panels, 8 pieces, 1 photo.\n"
    assert panelwright("shelf", "import", archive, *other).out.endswith("There already: 15.\n")
    assert panelwright("shelf", "backup", copy).out == f"Copied to {copy}\n"
    verified = panelwright("shelf", "verify", "--shelf", copy)
    assert verified.out == "7 panels, 7 revisions, 8 pieces, 1 photo: all in order.\n"
    found = json.loads(panelwright("shelf", "list", "tender", "--json", *other).out)
    assert (found["total"], found["items"][0]["standing"]) == (1, "measured")
    assert found["items"][0]["thickness"]["unit"] == "m"


def test_what_is_damaged_has_exit_code_2(panelwright: Command, file: Path, tmp_path: Path) -> None:
    panelwright("shelf", "add", str(file))
    import sqlite3

    connection = sqlite3.connect(tmp_path / "shelf" / "shelf.db")
    connection.execute("DELETE FROM card")
    connection.commit()
    connection.close()
    ran = panelwright("shelf", "verify")
    assert (ran.code, ran.err) == (2, "P-0001 has no card.\n")
    assert "1 problem" in ran.out
