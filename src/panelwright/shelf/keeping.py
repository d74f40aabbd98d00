"""Looking a shelf over, and copying it while it is in use."""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Iterator
from pathlib import Path

from sqlalchemy import func, select, text
from sqlalchemy.orm import Session

from panelwright.errors import InputError, PanelwrightError, Problem, ShelfError
from panelwright.shelf.database import FILE, PHOTOS, Database
from panelwright.shelf.panels import core_words, snapshot_of
from panelwright.shelf.records import Verified, panel_number
from panelwright.shelf.tables import (
    CardRow,
    CoreRow,
    PanelRow,
    PhotoRow,
    PieceRow,
    RevisionRow,
)


def look_over(database: Database) -> Verified:
    """Read all that is on the shelf and tell what is wrong with it."""
    with database.reading() as session:
        problems = [*_of_file(database, session), *_of_panels(session)]
        kept = set(session.scalars(select(PhotoRow.sha256)))
        problems += _of_photos(database, kept)
        loose = len(database.photos.names() - kept)
        return Verified(
            panels=_count(session, PanelRow),
            revisions=_count(session, RevisionRow),
            pieces=_count(session, PieceRow),
            photos=len(kept),
            problems=tuple(problems),
            notes=(f"{loose} photos belong to nothing",) if loose else (),
        )


def _count(session: Session, table: type[PanelRow | RevisionRow | PieceRow]) -> int:
    return int(session.scalar(select(func.count()).select_from(table)) or 0)


def _of_file(database: Database, session: Session) -> Iterator[str]:
    """What SQLite finds wrong with its file; PostgreSQL keeps checksums of its own."""
    if not database.is_sqlite:
        return
    for (said,) in session.execute(text("PRAGMA integrity_check(5)")):
        if said != "ok":
            yield f"the file is damaged: {said}"
    for table, *_ in session.execute(text("PRAGMA foreign_key_check")):
        yield f"a row of {table} belongs to nothing"


def _of_panels(session: Session) -> Iterator[str]:
    words = set(session.scalars(text("SELECT rowid FROM words")))
    cards = set(session.scalars(select(CardRow.panel_id)))
    cores: dict[int, set[str]] = {}
    for core in session.scalars(select(CoreRow)):
        cores.setdefault(core.panel_id, set()).add(core.word)
    for panel in session.scalars(select(PanelRow).order_by(PanelRow.id)).all():
        number = panel_number(panel.id)
        yield from _of_revisions(session, panel, number, cores.get(panel.id, set()))
        if panel.id not in words:
            yield f"{number} cannot be found by words"
        if panel.id not in cards:
            yield f"{number} has no card"


def _of_revisions(session: Session, panel: PanelRow, number: str, cores: set[str]) -> Iterator[str]:
    query = select(RevisionRow).where(RevisionRow.panel_id == panel.id)
    seen = []
    for row in session.scalars(query.order_by(RevisionRow.number).execution_options(yield_per=20)):
        seen.append(row.number)
        try:
            kept = snapshot_of(row)
        except PanelwrightError as wrong:
            yield f"{number} revision {row.number}: {wrong}"
            continue
        if kept.prediction.text != row.text:
            yield f"{number} revision {row.number}: its prediction is of another panel file"
        newest = row.number == panel.revision
        if newest and (kept.prediction.title, set(core_words(kept))) != (panel.title, cores):
            yield f"{number} is listed as something else"
    if seen != list(range(1, panel.revision + 1)):
        yield f"{number} has revisions {seen}, and should have 1 to {panel.revision}"


def _of_photos(database: Database, kept: set[str]) -> Iterator[str]:
    for sha256 in sorted(kept):
        try:
            database.photos.read(sha256)
        except PanelwrightError as wrong:
            yield str(wrong)


# Copying ----------------------------------------------------------------------------------------


def copy_shelf(database: Database, folder: Path) -> None:
    """A copy in a new folder, which is itself a shelf; the shelf may be in use meanwhile.

    Raises :class:`InputError` where the folder is there, :class:`ShelfError` where it cannot be
    written; nothing is left then.
    """
    if not database.is_sqlite:
        hint = "`panelwright shelf export`, or the tools of the server"
        raise InputError(Problem("only a shelf in a folder is copied", database.name, hint=hint))
    if folder.exists():
        hint = "another name; a copy never goes over something"
        raise InputError(Problem("there is something of that name", str(folder), hint=hint))
    part = folder.with_name(f"{folder.name}.part-{os.getpid()}")
    try:
        part.mkdir(parents=True)
        _copy_file(Path(database.name), part / FILE)
        if database.photos.path.is_dir():
            ignore = shutil.ignore_patterns("*.part")
            shutil.copytree(database.photos.path, part / PHOTOS, ignore=ignore)
        if hasattr(os, "sync"):
            os.sync()
        os.rename(part, folder)
    except (OSError, sqlite3.Error, shutil.Error) as wrong:
        shutil.rmtree(part, ignore_errors=True)
        why = getattr(wrong, "strerror", None) or str(wrong)
        raise ShelfError(Problem(f"the copy cannot be written: {why}", str(folder))) from None


def _copy_file(file: Path, copy: Path) -> None:
    source, target = sqlite3.connect(file), sqlite3.connect(copy)
    try:
        source.backup(target)
    finally:
        target.close()
        source.close()
