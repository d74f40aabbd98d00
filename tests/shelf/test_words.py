"""Words are found by their beginnings, whatever the script, and never read as a language."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import select, text

from panelwright.shelf.database import Database, open_database
from panelwright.shelf.tables import PanelRow
from panelwright.shelf.words import has_words, keep_words, plain_words


@pytest.fixture
def database(place: str, tmp_path: Path) -> Iterator[Database]:
    opened = open_database(place, tmp_path)
    with opened.writing() as session:
        row = dict.fromkeys(("title", "made", "changed", "process", "standing"), "")
        session.add(PanelRow(id=1, revision=1, thickness=1.0, areal_mass=1.0, **row))
    yield opened
    opened.close()


def _found(database: Database, kept: str, asked: str) -> bool:
    with database.writing() as session:
        keep_words(session, 1, kept)
        condition = has_words(session, asked)
        assert condition is not None
        return session.scalars(select(PanelRow.id).where(condition)).all() == [1]


def test_words_are_plain() -> None:
    assert plain_words("E-glass ±45, Épaisseur №8") == ["e", "glass", "45", "epaisseur", "no8"]
    assert plain_words("P-0012, S-0345, E-glass") == ["p0012", "s0345", "e", "glass"]
    assert plain_words("-- ' \" * ( )") == []


@pytest.mark.parametrize(
    "asked",
    [
        "redc",
        "RED",
        "gla 45",
        "древ",
        "épais",
        "epais",
        "print-through",
        'NEAR("red")',
        "a* OR red",
    ],
)
def test_beginnings_are_found(database: Database, asked: str) -> None:
    kept = "Redcedar E-glass ±45 древесина Épaisseur print-through near a or"
    assert _found(database, kept, asked)


@pytest.mark.parametrize("asked", ["cedar", "red pine", "45x", "NOT pine", "лес"])
def test_others_are_not(database: Database, asked: str) -> None:
    assert not _found(database, "Redcedar E-glass ±45 древесина", asked)


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(kept=st.text(max_size=200), part=st.integers(1, 60))
def test_any_text_is_found_by_the_beginnings_of_its_words(
    database: Database, kept: str, part: int
) -> None:
    words = plain_words(kept)
    assert all(word.isascii() and word.isalnum() for word in words)
    if words:
        assert _found(database, kept, kept)
        assert _found(database, kept, " ".join(word[:part] for word in words[:3]))


def test_no_word_is_no_condition(database: Database) -> None:
    with database.reading() as session:
        assert has_words(session, " - ") is None
        assert session.execute(text("SELECT 1")).scalar() == 1
