"""Opening the database of a shelf, reading it, and writing it so that nothing is lost.

SQLite in a folder of its own, or PostgreSQL at an address. Whoever writes has the database alone
until it is done, so that numbers are given once; what :meth:`Database.writing` has left without
an error is on the disk.
"""

from __future__ import annotations

import os
import sqlite3
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import quote

from sqlalchemy import Connection, Engine, create_engine, event, inspect, make_url, text
from sqlalchemy.exc import ArgumentError, DBAPIError, NoSuchModuleError, SQLAlchemyError
from sqlalchemy.orm import Session
from sqlalchemy.pool import NullPool, QueuePool

from panelwright.errors import Problem, ShelfError
from panelwright.shelf.photos import Folder

#: The step of ``migrations/versions`` that this program reads and writes.
NEWEST = "0005"

FILE = "shelf.db"
PHOTOS = "photos"  # beside it
PATIENCE = 20  # seconds to wait for another program that is writing
_LOCK = 7_316_001  # any number, the same for all who share a database


class Database:
    """An open database, at the newest form of its tables."""

    def __init__(
        self, engine: Engine, name: str, photos: Folder, *, read_only: bool, just_made: bool
    ) -> None:
        self.engine = engine
        self.name = name
        self.photos = photos
        self.read_only = read_only
        self.just_made = just_made
        # SQLite reads one state of itself anyway; a server would show what is written meanwhile
        one_state = {} if self.is_sqlite else {"isolation_level": "REPEATABLE READ"}
        self._reads = engine.execution_options(**one_state)

    @property
    def is_sqlite(self) -> bool:
        """Whether it is a file."""
        return self.engine.dialect.name == "sqlite"

    @contextmanager
    def reading(self) -> Iterator[Session]:
        """A session that sees one state of the database. Raises :class:`ShelfError`."""
        with _told(self.name), Session(self._reads) as session:
            yield session

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """A session that has the database alone; on the disk once left without an error.

        Raises :class:`ShelfError` where it cannot be written; nothing is changed then.
        """
        if self.read_only:
            raise _refusal("it may only be read here", self.name, _WRITE_HINT)
        writes = self.engine.execution_options(writes=True)
        with _told(self.name), Session(writes) as session, session.begin():
            if not self.is_sqlite:
                session.execute(text(f"SELECT pg_advisory_xact_lock({_LOCK})"))
            yield session

    def close(self) -> None:
        """Let go of it."""
        self.engine.dispose()


def open_database(where: str | Path, photos: Path) -> Database:
    """The database of a folder or at an address; made where there is none.

    photos : where photos lie for a database at an address; a folder has its own.
    Raises :class:`ShelfError` with one sentence where it cannot be had.
    """
    name = str(where)
    if "://" in name:
        return _open_address(name, photos)
    return _open_folder(Path(where))


def _open_folder(folder: Path) -> Database:
    file = folder / FILE
    try:
        folder.mkdir(parents=True, exist_ok=True)
        start = _start_of(file)
    except OSError as wrong:
        raise _refusal(f"its folder cannot be used: {wrong.strerror}", str(folder)) from None
    if start and start != _MAGIC:
        what, hint = _SQLITE["SQLITE_NOTADB"]
        raise _refusal(what, str(file), hint)
    writable = _may_write(folder) and (not file.exists() or _may_write(file))
    if not start and not writable:
        raise _refusal("there is none in this folder and none may be made", str(folder))
    # where nothing may be written, each look decides anew whether somebody else is writing
    pool: dict[str, Any] = _POOL if writable else {"poolclass": NullPool}
    engine = create_engine("sqlite://", creator=lambda: _connect(file, writable), **pool)
    _keep_well(engine)
    return _ready(engine, str(file), folder / PHOTOS, read_only=not writable, is_new=not start)


#: How a database file of SQLite begins (sqlite.org, "Database File Format", 1.3.1).
_MAGIC = b"SQLite format 3\0"


def _start_of(file: Path) -> bytes:
    if not file.exists():
        return b""
    with file.open("rb") as opened:
        return opened.read(len(_MAGIC))


def _may_write(path: Path) -> bool:
    """Whether this program may, for whomever it acts."""
    return os.access(path, os.W_OK, effective_ids=os.access in os.supports_effective_ids)


#: Threads of a server each need a connection for a moment; a file keeps no more than a few.
_POOL: dict[str, Any] = {"poolclass": QueuePool, "pool_size": 5, "max_overflow": 35}


def _connect(file: Path, writable: bool) -> sqlite3.Connection:
    """A connection; of a folder that may only be read, one that writes nothing beside either."""
    mode = "rwc" if writable else "ro"
    log = file.with_name(file.name + "-wal")
    if not writable and not log.exists():
        mode += "&immutable=1"
    address = f"file:{quote(str(file))}?mode={mode}"
    return sqlite3.connect(
        address, uri=True, timeout=PATIENCE, isolation_level=None, check_same_thread=False
    )


def _keep_well(engine: Engine) -> None:
    """Pragmas of each connection, and transactions begun by us: the driver begins them late."""

    @event.listens_for(engine, "connect")
    def _pragmas(connection: sqlite3.Connection, _: object) -> None:
        connection.execute("PRAGMA synchronous = FULL")
        connection.execute("PRAGMA foreign_keys = ON")

    @event.listens_for(engine, "begin")
    def _begin(connection: Connection) -> None:
        writes = connection.get_execution_options().get("writes", False)
        connection.exec_driver_sql("BEGIN IMMEDIATE" if writes else "BEGIN")


def _open_address(address: str, photos: Path) -> Database:
    try:
        url = make_url(address)
    except ArgumentError:
        raise _refusal("this is no address of a database", _hidden(address), _ADDRESS) from None
    if url.get_backend_name() != "postgresql":
        raise _refusal("this kind of database is not known", url.drivername, _ADDRESS)
    url = url.set(drivername="postgresql+psycopg")
    name = url.render_as_string(hide_password=True)
    try:
        engine = create_engine(url, pool_pre_ping=True, connect_args={"connect_timeout": PATIENCE})
    except (ImportError, NoSuchModuleError):
        hint = "pip install 'panelwright[postgresql]'"
        raise _refusal("what speaks to PostgreSQL is not installed", name, hint) from None
    return _ready(engine, name, photos, read_only=False, is_new=False)


_ADDRESS = "a folder, or postgresql://name@host/database"
_WRITE_HINT = "another folder by --shelf or PANELWRIGHT_SHELF, or the right to write this one"


def _hidden(address: str) -> str:
    """An address that could not be read, without what may be a password."""
    return address.partition("://")[0] + "://…"


def _ready(engine: Engine, name: str, photos: Path, *, read_only: bool, is_new: bool) -> Database:
    just_made = False
    with _told(name):
        if is_new:
            _let_read_while_writing(engine)
        form = _form(engine, name)
        if form != NEWEST:
            if read_only:
                what = "it is of an older form and may only be read here"
                raise _refusal(what, name, _WRITE_HINT)
            just_made = _migrate(engine)
        if engine.dialect.name == "sqlite" and not read_only:
            _let_read_while_writing(engine)
    return Database(engine, name, Folder(photos), read_only=read_only, just_made=just_made)


def _let_read_while_writing(engine: Engine) -> None:
    """Have SQLite write to a log beside the file; the file itself remembers that.

    Of several programs that make one shelf at once, one does it; SQLite does not let the others
    wait for that as it does for a write.
    """
    until = time.monotonic() + PATIENCE
    with closing(engine.raw_connection()) as connection:
        cursor = connection.cursor()
        while cursor.execute("PRAGMA journal_mode").fetchone()[0] != "wal":
            try:
                cursor.execute("PRAGMA journal_mode = WAL").fetchone()
            except sqlite3.OperationalError:
                if time.monotonic() > until:
                    raise
                time.sleep(0.02)


def _form(engine: Engine, name: str) -> str:
    """The step the tables are at; empty for a database without tables."""
    with engine.connect() as connection:
        names = set(inspect(connection).get_table_names())
        if "alembic_version" not in names:
            if names:
                raise _refusal("this is a database of something else", name)
            return ""
        form = str(connection.execute(text("SELECT version_num FROM alembic_version")).scalar())
    if form > NEWEST:
        what = "it was written by a newer version of Panelwright"
        hint = "the newer version; this one has changed nothing"
        raise _refusal(what, name, hint)
    return form


def _migrate(engine: Engine) -> bool:
    """Bring the tables to the newest form, all steps or none; True where there were none."""
    from alembic import command
    from alembic.config import Config

    config = Config()
    config.set_main_option("script_location", "panelwright.shelf:migrations")
    config.set_main_option("path_separator", "os")
    with engine.execution_options(writes=True).connect() as connection:
        if engine.dialect.name == "sqlite":
            # a table that is made anew must not take with it what hangs on it
            driver = connection.connection.driver_connection
            assert driver is not None
            driver.execute("PRAGMA foreign_keys = OFF")
        with connection.begin():
            if engine.dialect.name != "sqlite":
                connection.execute(text(f"SELECT pg_advisory_xact_lock({_LOCK})"))
            was_empty = not inspect(connection).get_table_names()  # nobody was quicker
            config.attributes["connection"] = connection
            command.upgrade(config, "head")
    engine.dispose()  # connections made anew have foreign keys checked
    return was_empty


# What goes wrong --------------------------------------------------------------------------------

#: Beginnings of SQLite's names of what went wrong, with our words.
_SQLITE = {
    "SQLITE_FULL": ("the disk is full; nothing was changed", "free some space"),
    "SQLITE_READONLY": ("it may only be read here; nothing was changed", _WRITE_HINT),
    "SQLITE_BUSY": (
        "another program is writing and did not end; nothing was changed",
        "once more, or close the other program",
    ),
    "SQLITE_LOCKED": ("another program holds it; nothing was changed", "once more"),
    "SQLITE_CORRUPT": (
        "the file is damaged; it was not changed",
        "a copy made by `panelwright shelf backup` or `shelf export`",
    ),
    "SQLITE_NOTADB": ("this file is not a shelf; it was not changed", "another folder"),
    "SQLITE_CANTOPEN": ("the file cannot be opened", "another folder, or the right to read it"),
    "SQLITE_IOERR": (
        "the disk cannot be read or written, or is full; nothing was changed",
        "look for free space, and whether the disk is in order",
    ),
}

#: Codes of PostgreSQL, from its manual's appendix "PostgreSQL Error Codes".
_POSTGRESQL = {
    "53100": ("the disk of the server is full; nothing was changed", "free some space"),
    "25006": ("the server only lets it be read; nothing was changed", ""),
    "42501": ("this name may not do that on the server; nothing was changed", ""),
    "55P03": ("another program holds it; nothing was changed", "once more"),
    "57014": ("the server broke off; nothing was changed", "once more"),
}


@contextmanager
def _told(name: str) -> Iterator[None]:
    """What the database complains of, in a sentence."""
    try:
        yield
    except (DBAPIError, sqlite3.Error) as wrong:
        what, hint = _words_for(wrong.orig if isinstance(wrong, DBAPIError) else wrong)
        raise _refusal(what, name, hint) from wrong
    except SQLAlchemyError as wrong:
        raise _refusal(f"it cannot be read: {_first_line(wrong)}", name) from wrong


def _words_for(driver: BaseException | None) -> tuple[str, str]:
    code = str(getattr(driver, "sqlite_errorname", "") or getattr(driver, "sqlstate", "") or "")
    for start, words in (_SQLITE | _POSTGRESQL).items():
        if code.startswith(start):
            return words
    if not code and type(driver).__module__.startswith("psycopg"):
        return f"the server does not answer: {_first_line(driver)}", "whether it runs, and its name"
    return f"the database refused: {_first_line(driver)}; nothing was changed", ""


def _first_line(wrong: object) -> str:
    return (str(wrong).strip().splitlines() or [type(wrong).__name__])[0][:200].rstrip(".")


def _refusal(what: str, name: str, hint: str = "") -> ShelfError:
    return ShelfError(Problem(f"the shelf: {what}", name, hint=hint))
