"""Finding panels by words, alike on SQLite (FTS5) and PostgreSQL (tsvector).

Both hold the same plain words, made here, so that no rule of either on what a word is decides:
small letters and digits of ASCII without accents; a word of another script as the hexadecimal
digits of its UTF-8, which begin alike where the words do.
"""

from __future__ import annotations

import re
import unicodedata

from sqlalchemy import bindparam, text
from sqlalchemy.orm import Session
from sqlalchemy.sql.elements import ColumnElement, TextClause

_WORD = re.compile(r"[^\W_]+")
_NUMBER = re.compile(r"\b([ps])-(?=[0-9]{4,}\b)")  # of a panel or piece: one word
LONGEST = 60  # letters of a word that count


def plain_words(given: str) -> list[str]:
    """The words of a text as they are kept and sought, in its order."""
    folded = _NUMBER.sub(r"\1", unicodedata.normalize("NFKD", given.casefold()))
    bare = "".join(sign for sign in folded if not unicodedata.combining(sign)).casefold()
    return [_plain(word[:LONGEST]) for word in _WORD.findall(bare)]


def _plain(word: str) -> str:
    return word if word.isascii() else "x" + word.encode("utf-8", "surrogatepass").hex()


def _is_sqlite(session: Session) -> bool:
    return session.get_bind().dialect.name == "sqlite"


def keep_words(session: Session, panel: int, given: str) -> None:
    """Have a panel found by the words of a text, and by no others."""
    words = sorted(set(plain_words(given)))
    session.execute(text("DELETE FROM words WHERE rowid = :panel"), {"panel": panel})
    if _is_sqlite(session):
        insert, value = "INSERT INTO words (rowid, said) VALUES (:panel, :words)", " ".join(words)
        session.execute(text(insert), {"panel": panel, "words": value})
    else:
        insert = "INSERT INTO words (rowid, said) VALUES (:panel, array_to_tsvector(:words))"
        session.execute(text(insert), {"panel": panel, "words": words})


def has_words(session: Session, given: str) -> ColumnElement[bool] | TextClause | None:
    """The condition that a panel has, for each word given, one that begins so; None for none."""
    words = plain_words(given)
    if not words:
        return None
    if _is_sqlite(session):
        asked = " AND ".join(f'"{word}"*' for word in words)
        condition = "panel.id IN (SELECT rowid FROM words WHERE words MATCH :asked)"
    else:
        asked = " & ".join(f"'{word}':*" for word in words)
        condition = "panel.id IN (SELECT rowid FROM words WHERE said @@ CAST(:asked AS tsquery))"
    return text(condition).bindparams(bindparam("asked", asked))
