"""Whatever goes wrong with the disk: one sentence, and nothing that was kept is lost."""

from __future__ import annotations

import os
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from sqlalchemy import event

from panelwright.errors import PanelwrightError, ShelfError
from panelwright.jobs.shelf import Filter, Shelf, open_shelf
from panelwright.shelf import database as databases
from panelwright.shelf.database import FILE

PANEL = """format = 1
title = "Ply patch"
process = "hand lay-up"
resin = "epoxy, laminating"
[[layer]]
plywood = "birch plywood"
thickness = "6 mm"
"""


@contextmanager
def without_rights() -> Iterator[None]:
    """For the time being, be somebody whom the rights of files bind."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(0)


@pytest.fixture
def folder() -> Iterator[Path]:
    """A folder that everybody may reach, for a shelf."""
    with TemporaryDirectory(prefix="pw-") as name:
        Path(name).chmod(0o755)
        yield Path(name) / "shelf"


@pytest.fixture
def kept(folder: Path) -> Path:
    """A folder with a shelf of one panel, closed."""
    shelf = open_shelf(folder)
    shelf.save_panel(PANEL)
    shelf.close()
    return folder


def _said(refused: pytest.ExceptionInfo[PanelwrightError]) -> str:
    text = str(refused.value)
    assert "\n" not in text
    assert text.startswith("The shelf: ")
    return text


def test_a_folder_that_may_only_be_read_is_read(kept: Path) -> None:
    (kept / FILE).chmod(0o444)
    kept.chmod(0o555)
    before = (kept / FILE).read_bytes()
    with without_rights():
        shelf = open_shelf(kept)
        assert shelf.read_only
        assert shelf.find(Filter(text="patch")).total == 1
        assert shelf.panel("P-0001").text == PANEL
        with pytest.raises(ShelfError) as refused:
            shelf.save_panel(PANEL)
        with pytest.raises(ShelfError, match="may only be read here"):
            shelf.add_photo(b"", "x", "P-0001")
        assert shelf.verify().problems == ()
        shelf.close()
    assert "it may only be read here" in _said(refused)
    assert (kept / FILE).read_bytes() == before
    assert sorted(path.name for path in kept.iterdir()) == [FILE]


def test_a_folder_that_cannot_be_made_is_told(folder: Path) -> None:
    with without_rights(), pytest.raises(ShelfError) as refused:
        open_shelf(folder)
    assert "its folder cannot be used: Permission denied" in _said(refused)


def test_no_shelf_is_made_where_none_may_be(folder: Path) -> None:
    folder.mkdir()
    folder.chmod(0o555)
    with without_rights(), pytest.raises(ShelfError) as refused:
        open_shelf(folder)
    assert "there is none in this folder and none may be made" in _said(refused)


def test_a_file_in_the_place_of_the_folder_is_told(folder: Path) -> None:
    folder.write_text("a letter")
    with pytest.raises(ShelfError) as refused:
        open_shelf(folder)
    assert "its folder cannot be used" in _said(refused)
    assert folder.read_text() == "a letter"


def _leave_pages(shelf: Shelf, pages: int) -> None:
    """Have no more pages than these left for the database, as on a full disk."""

    def limit(connection: sqlite3.Connection) -> None:
        used = connection.execute("PRAGMA page_count").fetchone()[0]
        connection.execute(f"PRAGMA max_page_count = {used + pages}")

    engine = shelf._database.engine

    @event.listens_for(engine, "connect")
    def _connected(connection: sqlite3.Connection, _: object) -> None:
        limit(connection)

    engine.dispose()


def _save_for_ever(shelf: Shelf) -> None:
    while True:
        shelf.save_panel(PANEL)


def test_a_full_disk_is_told_and_nothing_is_lost(kept: Path) -> None:
    shelf = open_shelf(kept)
    _leave_pages(shelf, 8)
    with pytest.raises(ShelfError) as refused:
        _save_for_ever(shelf)
    assert "the disk is full; nothing was changed" in _said(refused)
    done = shelf.find().total
    assert [card.number for card in shelf.find(Filter(order="number")).items] == [
        f"P-{number:04d}" for number in range(1, done + 1)
    ]
    assert shelf.verify().problems == ()
    shelf.close()
    again = open_shelf(kept)
    again.save_panel(PANEL)
    assert again.find().total == done + 1
    again.close()


#: Writes until a file may grow no more, as on a disk that fills while it is written.
FILLING = """
import resource, sys
from panelwright.errors import ShelfError
from panelwright.jobs.shelf import open_shelf
shelf = open_shelf(sys.argv[1])
resource.setrlimit(resource.RLIMIT_FSIZE, (400_000, 400_000))
try:
    while True:
        print(shelf.save_piece("P-0001", title="x" * 300), flush=True)
except ShelfError as refused:
    print(refused)
"""


def test_a_disk_that_fills_in_the_middle_of_a_write_loses_nothing(kept: Path) -> None:
    surroundings = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    ran = subprocess.run(
        [sys.executable, "-c", FILLING, str(kept)],
        capture_output=True,
        text=True,
        check=False,
        env=surroundings,
    )
    *said, refusal = ran.stdout.splitlines()
    assert ran.returncode == 0, ran.stderr
    assert refusal.startswith("The shelf: the disk ")
    assert "nothing was changed" in refusal
    shelf = open_shelf(kept)
    assert said
    assert [piece.number for piece in shelf.panel("P-0001").pieces] == said
    assert shelf.verify().problems == ()
    shelf.close()


def test_a_photo_for_which_there_is_no_room_is_not_kept(
    kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import io

    from PIL import Image

    file = io.BytesIO()
    Image.new("RGB", (9, 9)).save(file, "PNG")
    shelf = open_shelf(kept)

    def full(_: int) -> None:
        raise OSError(28, "No space left on device")

    with monkeypatch.context() as patched:
        patched.setattr(os, "fsync", full)
        with pytest.raises(ShelfError, match="cannot be kept: No space left on device"):
            shelf.add_photo(file.getvalue(), "x.png", "P-0001")
    assert shelf.panel("P-0001").photos == ()
    assert not [path for path in (kept / "photos").rglob("*") if path.is_file()]
    shelf.close()


def test_a_shelf_that_another_program_holds_is_told(
    kept: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(databases, "PATIENCE", 0.2)
    shelf = open_shelf(kept)
    other = sqlite3.connect(kept / FILE, isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    with pytest.raises(ShelfError) as refused:
        shelf.save_panel(PANEL)
    assert "another program is writing" in _said(refused)
    assert shelf.find().total == 1, "reading goes on meanwhile"
    other.execute("ROLLBACK")
    other.close()
    assert shelf.save_panel(PANEL) == ("P-0002", 1)
    shelf.close()


@pytest.mark.parametrize("content", [b"a letter to a friend " * 300, b"x"])
def test_a_file_that_is_no_database_is_told_and_left_alone(folder: Path, content: bytes) -> None:
    folder.mkdir()
    (folder / FILE).write_bytes(content)
    with pytest.raises(ShelfError) as refused:
        open_shelf(folder)
    assert "not a shelf" in _said(refused)
    assert (folder / FILE).read_bytes() == content


def _look(folder: Path) -> None:
    shelf = open_shelf(folder)
    try:
        shelf.find()
    finally:
        shelf.close()


def test_a_damaged_file_is_told(kept: Path) -> None:
    file = kept / FILE
    content = bytearray(file.read_bytes())
    content[4096 * 3 :] = b"\x5a" * len(content[4096 * 3 :])
    file.write_bytes(content)
    with pytest.raises(ShelfError) as refused:
        _look(kept)
    assert "the file is damaged" in _said(refused)
    assert file.read_bytes() == content


def test_verify_finds_what_was_changed_behind_its_back(kept: Path) -> None:
    connection = sqlite3.connect(kept / FILE)
    connection.execute("UPDATE revision SET text = text || '# later'")
    connection.execute("DELETE FROM words")
    connection.execute("UPDATE panel SET title = 'Another'")
    connection.commit()
    connection.close()
    shelf = open_shelf(kept)
    assert shelf.verify().problems == (
        "P-0001 revision 1: its prediction is of another panel file",
        "P-0001 is listed as something else",
        "P-0001 cannot be found by words",
    )
    connection = sqlite3.connect(kept / FILE)
    connection.execute("UPDATE revision SET snapshot = x'00'")
    connection.commit()
    connection.close()
    assert "A stored prediction is damaged" in shelf.verify().problems[0]
    shelf.close()


@pytest.mark.parametrize(
    ("address", "said"),
    [
        ("mysql://x/y", "this kind of database is not known"),
        ("://", "no address of a database"),
        ("postgresql://shop:SECRET@/shelf?host=/nowhere", "the server does not answer"),
    ],
)
def test_an_address_without_a_shelf_is_told(address: str, said: str) -> None:
    with pytest.raises(ShelfError) as refused:
        open_shelf(address)
    assert said in _said(refused)
    assert "SECRET" not in str(refused.value)
