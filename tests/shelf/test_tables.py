"""The tables are what the steps make, and a shelf of the first form opens with all it held."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory

from panelwright.errors import ShelfError
from panelwright.jobs.shelf import Filter, open_shelf
from panelwright.shelf import migrations
from panelwright.shelf.database import FILE, NEWEST, open_database
from panelwright.shelf.tables import Base

OLDEST = Path(__file__).with_name("tables-0001.sql")


@pytest.fixture
def oldest(tmp_path: Path) -> Path:
    """A folder with a shelf as the first form of the tables wrote it."""
    tmp_path.joinpath("shelf").mkdir()
    file = tmp_path / "shelf" / FILE
    connection = sqlite3.connect(file)
    connection.executescript(OLDEST.read_text("utf-8"))
    connection.close()
    return file.parent


def test_the_newest_step_is_the_one_the_program_knows() -> None:
    steps = ScriptDirectory(next(iter(migrations.__path__)))
    assert steps.get_heads() == [NEWEST]
    assert [step.revision for step in steps.walk_revisions()] == [
        "0005",
        "0004",
        "0003",
        "0002",
        "0001",
    ]


def test_steps_make_the_tables_that_are_written_to(place: str, tmp_path: Path) -> None:
    database = open_database(place, tmp_path)
    with database.engine.connect() as connection:
        context = MigrationContext.configure(connection)
        differences = [
            one
            for one in compare_metadata(context, Base.metadata)
            if not getattr(one[1], "name", "").startswith("words") and "ix_words" not in str(one)
        ]
    database.close()
    assert differences == []


def test_a_shelf_of_the_first_form_opens_with_all_it_held(oldest: Path) -> None:
    before = sqlite3.connect(oldest / FILE)
    texts = [text for (text,) in before.execute("SELECT text FROM revision ORDER BY number")]
    before.close()
    shelf = open_shelf(oldest)
    assert not shelf.just_made
    (card,) = shelf.find(Filter(text="thick patch", tags=("invented",))).items
    assert (card.number, card.title, card.revision) == ("P-0001", "Ply patch", 2)
    assert [shelf.panel("P-0001", number).text for number in (1, 2)] == texts
    stored = shelf.panel("P-0001", 1).prediction
    assert (stored.version, round(stored.thickness.value, 6)) == ("0.1.0", 0.006)
    assert stored.layers[0].name == "birch plywood"
    shelf.save_piece("P-0001", title="Offcut")
    assert shelf.verify().problems == ()
    shelf.close()


def test_a_step_that_fails_leaves_the_old_shelf(
    oldest: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def break_off(*_: object) -> None:
        raise sqlite3.OperationalError("broken off on purpose")

    with monkeypatch.context() as patched:
        patched.setattr("alembic.operations.base.Operations.create_index", break_off)
        with pytest.raises(ShelfError, match="broken off on purpose"):
            open_shelf(oldest)
    shelf = open_shelf(oldest)
    assert shelf.panel("P-0001").title == "Ply patch"
    assert shelf.verify().problems == ()
    shelf.close()


def test_a_newer_shelf_is_refused_and_left_alone(oldest: Path) -> None:
    connection = sqlite3.connect(oldest / FILE)
    connection.execute("UPDATE alembic_version SET version_num = '9999'")
    connection.commit()
    connection.close()
    before = (oldest / FILE).read_bytes()
    with pytest.raises(ShelfError, match="written by a newer version of Panelwright") as refused:
        open_shelf(oldest)
    assert str(refused.value).count("\n") == 0
    assert (oldest / FILE).read_bytes() == before


def test_a_database_of_something_else_is_refused_and_left_alone(tmp_path: Path) -> None:
    connection = sqlite3.connect(tmp_path / FILE)
    connection.execute("CREATE TABLE accounts (id INTEGER)")
    connection.commit()
    connection.close()
    with pytest.raises(ShelfError, match="a database of something else"):
        open_shelf(tmp_path)
    connection = sqlite3.connect(tmp_path / FILE)
    assert connection.execute("SELECT name FROM sqlite_master").fetchall() == [("accounts",)]
    connection.close()
