"""The catalogue: tables of material and shop data, read when first used.

A table is a CSV file (UTF-8). Lines that begin with ``#`` on top say where its numbers come from;
then column names, a row of units, and the rows. Unit ``-`` stands for text, ``1`` for a pure
number. Every row has an ``id``, a ``name``, a ``source`` and a kind of ``evidence``; beside them:

- ``aliases``: shop words for the row, parted by ``;``
- ``evidence_of``: exceptions by column, ``density:published and read; E:common practice``
- ``<column>_low``, ``<column>_high``: the 90 % range of a column
- ``<stem>_cov``: the coefficient of variation of each column whose name begins with the stem

An empty cell is not known. A builder's own file is read beside the shipped ones: a CSV in the
same format, named after the table, or TOML with one ``[[table]]`` for each row.
"""

from __future__ import annotations

import csv
import difflib
import hashlib
import io
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cache, cached_property
from pathlib import Path

from panelwright import units
from panelwright.errors import CatalogueError, Problem, UnitError
from panelwright.materials.records import (
    TEXT,
    Key,
    Row,
    Table,
    either,
    finite,
    has_words,
    key_of,
    unknown_name,
)
from panelwright.provenance import Evidence

__all__ = ["Catalogue", "Row", "Table"]

DATA = Path(__file__).parent / "data"
REQUIRED = ("id", "name", "source", "evidence")
KINDS = tuple(kind.value for kind in Evidence)

#: What a TOML file may give in a column of this unit.
DIMENSION_OF_UNIT = {
    "1": "ratio",
    "%": "fraction",
    TEXT: "ratio",  # pure numbers with a range; other cells of this unit are text
    "mm": "thickness",
    "kg": "mass",
    "g/m": "linear_mass",
    "g/m^2": "cloth_mass",
    "kg/m^2": "areal_mass",
    "kg/m^3": "density",
    "MPa": "stress",
    "GPa": "modulus",
    "degC": "temperature",
    "ppm/K": "expansion",
    "min": "time",
    "h": "time",
}


@dataclass(frozen=True)
class Own:
    """A value of one cell that was measured, SI, with its 90 % range and what it rests on."""

    table: str
    id: str
    column: str
    value: float
    low: float
    high: float
    source: str


class Catalogue:
    """The shipped tables, and rows of a builder's own beside them."""

    def __init__(
        self, files: Mapping[str, Path], own: Mapping[str, tuple[Row, ...]] | None = None
    ) -> None:
        self._files = dict(files)
        self._own = dict(own or {})
        self._merged: dict[str, Table] = {}

    @staticmethod
    @cache
    def shipped() -> Catalogue:
        """The catalogue as it comes."""
        return Catalogue({path.stem: path for path in sorted(DATA.glob("*.csv"))})

    @property
    def tables(self) -> tuple[str, ...]:
        """The names of all tables."""
        return tuple(self._files)

    @cached_property
    def hash(self) -> str:
        """SHA-256 over the shipped files, by which a stored prediction knows its catalogue."""
        digest = hashlib.sha256()
        for name, path in sorted(self._files.items()):
            digest.update(f"{name}\n".encode())
            digest.update(path.read_bytes())
        return digest.hexdigest()

    def table(self, name: str) -> Table:
        """A table by its name; UnknownName with the nearest. CatalogueError for refused rows."""
        if name not in self._files:
            nearest = tuple(difflib.get_close_matches(name, self._files, n=3))
            raise unknown_name("a table of the catalogue", name, nearest)
        if name not in self._merged:
            table = _shipped_table(self._files[name])
            self._merged[name] = _merge(table, self._own.get(name, ()))
        return self._merged[name]

    def find(self, table: str, words: str) -> Row:
        """:meth:`Table.find` in one table."""
        return self.table(table).find(words)

    def search(self, text: str) -> list[Row]:
        """Rows of all tables that have every word in name, aliases or note; names first."""
        words = key_of(text)
        named: list[Row] = []
        noted: list[Row] = []
        for row in (row for name in self.tables for row in self.table(name) if words):
            if has_words(words, row.name, *row.aliases):
                named.append(row)
            elif has_words(words, row.name, *row.aliases, row.note):
                noted.append(row)
        return named + noted

    def core(self, words: str, density: float) -> Row:
        """The row of ``cores`` that stands in for a class of core at a density [kg/m3].

        words : the class, such as ``PET foam``.
        Raises UnknownName for an unknown class, CatalogueError where no row is near enough.
        """
        kind = self.find("core_classes", words)
        lightest, heaviest = kind.number("lightest"), kind.number("heaviest")
        row = self.table("cores").nearest("density", density, core_class=kind.id)
        if row is None or lightest is None or heaviest is None:
            raise CatalogueError(Problem(f"{kind.name} has no density of its own. {kind.note}"))
        known = row.input("density")
        if not min(lightest, known.low) <= density <= max(heaviest, known.high):
            problem = Problem(
                f"The catalogue has no {kind.name} of this density.",
                given=f"{density:g} kg/m3",
                allowed=f"{lightest:g} to {heaviest:g} kg/m3",
                hint="a density in this range, or a row of your own in the table cores",
            )
            raise CatalogueError(problem)
        return row

    def with_file(self, path: str | Path) -> Catalogue:
        """The catalogue with the rows of a builder's own file beside or in place of the shipped.

        path : a TOML file with ``[[table]]`` rows, or a CSV file named after its table. A row with
            the id of a shipped row replaces the whole of it, and its note says so.

        Raises CatalogueError with file and line of everything that is refused.
        """
        path = Path(path)
        readers = {".toml": self._own_toml, ".csv": self._own_csv}
        if path.suffix not in readers:
            problem = Problem(
                "This is not a materials file.", file=str(path), allowed=".toml, .csv"
            )
            raise CatalogueError(problem)
        return self._with_rows(readers[path.suffix](path))

    def with_text(self, text: str, file: str) -> Catalogue:
        """As :meth:`with_file` for a TOML text that is kept elsewhere under the name ``file``."""
        return self._with_rows(self._own_rows(text, file))

    def with_values(self, values: Iterable[Own]) -> Catalogue:
        """The catalogue with single values of its rows replaced by values that were measured."""
        changed: dict[tuple[str, str], Row] = {}
        for one in values:
            row = changed.get((one.table, one.id)) or self.table(one.table).row(one.id)
            changed[one.table, one.id] = _with_value(row, one)
        own = defaultdict(tuple, self._own)
        for (name, _), row in changed.items():
            own[name] += (row,)
        return Catalogue(self._files, own)

    def _with_rows(self, rows: Iterable[Row]) -> Catalogue:
        own = defaultdict(tuple, self._own)
        for row in rows:
            own[row.table] += (self._marked(row),)
        merged = Catalogue(self._files, own)
        for name in own:
            merged.table(name)
        return merged

    def _marked(self, row: Row) -> Row:
        """The row with a note where it replaces a shipped one."""
        if row.id not in {shipped.id for shipped in _shipped_table(self._files[row.table])}:
            return row
        note = f"Replaces the shipped row of this id. {row.note}".strip()
        return replace(row, cells={**row.cells, "note": note})

    def _own_csv(self, path: Path) -> tuple[Row, ...]:
        table = _read_csv(path, str(path))
        if path.stem not in self._files:
            raise CatalogueError(self._no_such_table(path.stem).at(file=str(path)))
        shipped = self.table(path.stem)
        problems = [
            problem.at(file=str(path))
            for column, unit in table.units.items()
            for problem in (*_check_column(column, shipped), *_check_unit(column, unit))
        ]
        if problems:
            raise CatalogueError(problems)
        empty = dict.fromkeys(shipped.columns, "")
        return tuple(
            replace(row, cells=empty | dict(row.cells), units={**shipped.units, **row.units})
            for row in table
        )

    def _own_toml(self, path: Path) -> tuple[Row, ...]:
        return self._own_rows(_text_of(path, str(path)), str(path))

    def _own_rows(self, text: str, file: str) -> tuple[Row, ...]:
        problems: list[Problem] = []
        rows: list[Row] = []
        for name, count, given in _tables_of_toml(text, file):
            place = _Place(text, name, count, file)
            if name not in self._files or not isinstance(given, dict):
                problems.append(self._no_such_table(name).at(file=file, line=place.line()))
                continue
            row, refused = _row_of_toml(self.table(name), given, place)
            problems += refused or _check_row(row, _Shape.of(row.units))
            rows.append(row)
        for name in {row.table for row in rows}:
            problems += _check_unique(row for row in rows if row.table == name)
        if problems:
            raise CatalogueError(problems)
        return tuple(rows)

    def _no_such_table(self, name: str) -> Problem:
        nearest = difflib.get_close_matches(name, self._files, n=3)
        return Problem(
            "This is not a table of the catalogue.",
            given=name,
            allowed="[[table]] with one of its names, such as [[resins]]",
            hint=either(nearest),
        )


def _with_value(row: Row, own: Own) -> Row:
    """The row with a measured value, its range and its source."""
    column = own.column
    one = units.to_si(1.0, row.units[column]) if row.units[column] != TEXT else 1.0
    ends = {column: own.value, f"{column}_low": own.low, f"{column}_high": own.high}
    cells = {name: repr(value / one) for name, value in ends.items()}
    kinds = {**row.exceptions, column: Evidence.MEASURED.value}
    told = ";".join(f"{name}:{kind}" for name, kind in kinds.items())
    rest = len({name for name in row.units if f"{name}_low" in row.units}) > 1
    source = f"{own.source}; all else: {row.source}" if rest else own.source
    return replace(
        row,
        cells={**row.cells, **cells, "evidence_of": told, "source": source},
        units={**row.units, **dict.fromkeys(ends, row.units[column])},
    )


# --- Reading ------------------------------------------------------------------------------------


@cache
def _shipped_table(path: Path) -> Table:
    return _read_csv(path, path.name)


def _text_of(path: Path, file: str) -> str:
    try:
        return path.read_text("utf-8-sig")
    except OSError as error:
        raise CatalogueError(Problem("This file cannot be read.", str(error), file=file)) from None
    except UnicodeDecodeError:
        problem = Problem("This file is not UTF-8 text.", file=file, hint="saving it as UTF-8")
        raise CatalogueError(problem) from None


def _read_csv(path: Path, file: str) -> Table:
    """Read one table and check it; CatalogueError with all that is wrong."""
    lines = io.StringIO(_text_of(path, file)).readlines()
    comments = next((n for n, line in enumerate(lines) if not line.startswith("#")), len(lines))
    reader = csv.reader(lines[comments:], strict=True)
    try:
        records = [(comments + reader.line_num, record) for record in reader if record]
    except csv.Error as error:
        line = comments + reader.line_num
        raise CatalogueError(
            Problem("This is not CSV.", str(error), file=file, line=line)
        ) from None
    columns, units_of = _head(records, file)
    misfits = [
        _wrong_width(len(columns), len(record)).at(file=file, line=line)
        for line, record in records[2:]
        if len(record) != len(columns)
    ]
    if misfits:
        raise CatalogueError(misfits)
    name, shape = path.stem, _Shape.of(units_of)
    rows = tuple(
        Row(name, dict(zip(columns, record, strict=True)), units_of, file, line)
        for line, record in records[2:]
    )
    problems = [problem for row in rows for problem in _check_row(row, shape)]
    problems += _check_unique(rows)
    if problems:
        raise CatalogueError(problems)
    about = " ".join(line.lstrip("# ").strip() for line in lines[:comments])
    return Table(name, columns, units_of, rows, about)


def _head(
    records: list[tuple[int, list[str]]], file: str
) -> tuple[tuple[str, ...], dict[str, str]]:
    """Column names and their units."""
    (line, columns), (_, unit_row) = (*records, (1, []), (1, []))[:2]
    problems = [
        Problem("A column is missing.", allowed=f"a column {name}", file=file, line=line, key=name)
        for name in REQUIRED
        if name not in columns
    ]
    if len(set(columns)) < len(columns):
        twice = either(sorted({name for name in columns if columns.count(name) > 1}))
        problems.append(Problem("A column stands twice.", twice, file=file, line=line))
    if len(unit_row) != len(columns):
        wrong = _wrong_width(len(columns), len(unit_row))
        problems.append(wrong.at(file=file, line=line + 1, key="units"))
    if problems:
        raise CatalogueError(problems)
    return tuple(columns), dict(zip(columns, unit_row, strict=True))


def _merge(table: Table, own: Iterable[Row]) -> Table:
    """The table with own rows in place of those of the same id, others at the end."""
    by_id = {row.id: row for row in (*table.rows, *own)}
    rows = tuple(by_id.values())
    problems = _check_unique(rows)
    if problems:
        raise CatalogueError(problems)
    return replace(table, rows=rows)


def _tables_of_toml(text: str, file: str) -> Iterator[tuple[str, int, object]]:
    """Each ``[[table]]`` of a file: its name, which one of that name it is, and what it holds."""
    import tomllib

    try:
        tables = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        line = re.search(r"at line (\d+)", str(error))
        problem = Problem("This is not TOML.", str(error), file=file)
        raise CatalogueError(problem.at(line=int(line[1]) if line else None)) from None
    for name, rows in tables.items():
        for count, row in enumerate(rows if isinstance(rows, list) else [None]):
            yield name, count, row


@dataclass(frozen=True)
class _Place:
    """Where the ``count``-th row of a table stands in a TOML text."""

    text: str
    table: str
    count: int
    file: str

    def line(self, key: str = "") -> int:
        """The line of a key, or of the head of the row."""
        lines = self.text.splitlines()
        name = re.escape(self.table)
        heads = [n for n, line in enumerate(lines) if re.match(rf"\s*\[\[\s*{name}\s*\]\]", line)]
        head = heads[self.count] if self.count < len(heads) else 0
        for n in range(head + 1, len(lines)):
            if not key or lines[n].lstrip().startswith("["):
                break
            if re.match(rf"\s*[\"']?{re.escape(key)}[\"']?\s*=", lines[n]):
                return n + 1
        return head + 1


def _row_of_toml(
    table: Table, given: Mapping[str, object], place: _Place
) -> tuple[Row, list[Problem]]:
    """A row from what a builder typed, its numbers turned to SI, and what is refused of it."""
    cells, units_of = dict.fromkeys(table.columns, ""), dict(table.units)
    problems: list[Problem] = []
    shape = _Shape.of(table.units)
    for key, value in given.items():
        refused = list(_check_column(key, table))
        try:
            if not refused and key in shape.numbers:
                cells |= _number_of_toml(key, value, units_of)
            elif not refused:
                cells[key] = _text_of_toml(value)
        except UnitError as error:
            refused = list(error.problems)
        problems += [
            problem.at(file=place.file, line=place.line(key), key=key) for problem in refused
        ]
    return Row(table.name, cells, units_of, place.file, place.line()), problems


def _number_of_toml(column: str, value: object, units_of: dict[str, str]) -> dict[str, str]:
    """The cells of a quantity and of its range; their units in ``units_of`` become SI."""
    unit = units_of[column]
    if unit not in DIMENSION_OF_UNIT:
        what = f"A number in {unit} cannot be given in a TOML file."
        raise UnitError(Problem(what, str(value), hint="a CSV file, which has a row of units"))
    dimension = DIMENSION_OF_UNIT[unit]
    quantity = units.parse(value, dimension)
    cells = {column: repr(quantity.value)}
    if quantity.has_range:
        cells |= {f"{column}_low": repr(quantity.low), f"{column}_high": repr(quantity.high)}
    units_of |= dict.fromkeys(cells, units.DIMENSIONS[dimension].si)
    return cells


def _text_of_toml(value: object) -> str:
    if isinstance(value, list) and all(isinstance(word, str) for word in value):
        return "; ".join(value)
    if isinstance(value, str | int | float) and not isinstance(value, bool):
        return str(value)
    raise UnitError(Problem("This is not text.", given=repr(value), allowed="text or a number"))


# --- Checking -----------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Shape:
    """Which columns of a table hold numbers, and which three are low, middle and high."""

    numbers: tuple[str, ...]
    ranges: tuple[tuple[str, str, str], ...]

    @staticmethod
    def of(units_of: Mapping[str, str]) -> _Shape:
        triples = [(f"{column}_low", column, f"{column}_high") for column in units_of]
        ranges = [ends for ends in triples if ends[0] in units_of and ends[2] in units_of]
        ranged = {column for ends in ranges for column in ends}
        numbers = [c for c, unit in units_of.items() if unit != TEXT or c in ranged]
        return _Shape(tuple(numbers), tuple(ranges))


def _check_row(row: Row, shape: _Shape) -> list[Problem]:
    """All that is wrong with one row, each with its place."""
    problems = [
        Problem(f"The {name} is missing.", allowed=f"every row has {_article(name)}", key=name)
        for name in REQUIRED
        if not row.cells.get(name, "").strip()
    ]
    problems.extend(_check_evidence(row))
    written: dict[str, float] = {}
    for column in shape.numbers:
        cell = row.cells.get(column)
        try:
            if cell:
                written[column] = finite(cell)
        except ValueError:
            allowed = "a number, or nothing where it is not known"
            problems.append(Problem("This is not a number.", cell or "", allowed, key=column))
    for ends in shape.ranges:
        points = [written[end] for end in ends if end in written]
        if points != sorted(points):
            given = ", ".join(row.cells[end] for end in ends)
            allowed = "low, middle, high in this order"
            problems.append(Problem("The range is in disorder.", given, allowed, key=ends[1]))
    return [problem.at(file=row.file, line=row.line) for problem in problems]


def _check_evidence(row: Row) -> Iterator[Problem]:
    given = row.cells.get("evidence", "").strip()
    if given and given not in KINDS:
        yield Problem("This is not a kind of evidence.", given, either(KINDS), key="evidence")
    if not row.cells.get("evidence_of"):
        return
    for column, kind in row.exceptions.items():
        if column not in row.cells:
            hint = either(difflib.get_close_matches(column, row.cells, n=3))
            what = "No column has this name."
            yield Problem(what, column, "column:kind; column:kind", hint, key="evidence_of")
        if kind not in KINDS:
            what = "This is not a kind of evidence."
            yield Problem(what, kind, either(KINDS), key="evidence_of")


def _check_unique(rows: Iterable[Row]) -> list[Problem]:
    """Ids and aliases that two rows claim."""
    problems: list[Problem] = []
    ids: dict[str, Row] = {}
    aliases: dict[Key, Row] = {}
    for row in rows:
        first = ids.setdefault(row.id, row)
        if first is not row:
            problems.append(_claimed(first, row, "id", row.id))
        for alias in row.aliases if row.cells.get("aliases") else ():
            first = aliases.setdefault(key_of(alias), row)
            if first is not row:
                problems.append(_claimed(first, row, "aliases", alias))
    return problems


def _claimed(first: Row, row: Row, column: str, word: str) -> Problem:
    return Problem(
        f"{first.file}:{first.line} has this one already.",
        given=word,
        allowed=f"each {column.removesuffix('es')} once in a table",
        file=row.file,
        line=row.line,
        key=column,
    )


def _check_column(column: str, table: Table) -> Iterator[Problem]:
    if column not in table.columns:
        near = difflib.get_close_matches(column, table.columns, n=3)
        yield Problem(
            f"The table {table.name} has no such column.",
            given=column,
            allowed=", ".join(table.columns),
            hint=either(near),
            key=column,
        )


def _check_unit(column: str, unit: str) -> Iterator[Problem]:
    try:
        if unit != TEXT:
            units.to_si(1.0, unit)
    except UnitError as error:
        yield from (problem.at(key=column) for problem in error.problems)


def _wrong_width(wanted: int, given: int) -> Problem:
    return Problem(
        "This row does not fit the columns.",
        given=_count(given, "cell"),
        allowed=_count(wanted, "cell"),
        hint="quotes around a cell that holds a comma",
    )


def _article(noun: str) -> str:
    return f"{'an' if noun[0] in 'aeiou' else 'a'} {noun}"


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"
