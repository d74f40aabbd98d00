"""A row and a table of the catalogue, and how shop words find a row."""

from __future__ import annotations

import difflib
import math
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import cached_property

from panelwright import units
from panelwright.errors import CatalogueError, Problem, UnknownName
from panelwright.provenance import SIGMAS_OF_90, Evidence, Input, Scope, default_spread

TEXT = "-"
LEAST_LIKENESS = 0.45  # below it a name is no help to who misspelt another


@dataclass(frozen=True, eq=False)
class Row:
    """One row: its cells as written, its units, and where it stands."""

    table: str
    cells: Mapping[str, str]
    units: Mapping[str, str]
    file: str
    line: int

    @property
    def id(self) -> str:
        """The short name that other tables and files use."""
        return self.cells["id"]

    @property
    def name(self) -> str:
        """What a builder reads."""
        return self.cells["name"]

    @property
    def source(self) -> str:
        """The document, edition and page, or that there is none."""
        return self.cells["source"]

    @property
    def note(self) -> str:
        """What else is worth knowing; may be empty."""
        return self.cells.get("note", "")

    @cached_property
    def aliases(self) -> tuple[str, ...]:
        """Other shop words for the row."""
        return parted(self.cells.get("aliases", ""))

    @cached_property
    def exceptions(self) -> dict[str, str]:
        """Columns that stand on other ground than the row, and on which."""
        pairs = (part.partition(":") for part in parted(self.cells.get("evidence_of", "")))
        return {column.strip(): kind.strip() for column, _, kind in pairs}

    def text(self, column: str) -> str:
        """The cell as written; empty where it is not known. KeyError for an unknown column."""
        try:
            return self.cells[column]
        except KeyError:
            columns = ", ".join(self.cells)
            raise KeyError(f"{self.table} has no column {column!r}; it has {columns}") from None

    def number(self, column: str) -> float | None:
        """The cell in SI, a fraction 0 to 1 for percent; None where it is not known.

        Raises KeyError for an unknown column, CatalogueError for a cell of text.
        """
        if column not in self._numbers:
            written = self._written(column)
            self._numbers[column] = None if written is None else self._to_si(written, column)
        return self._numbers[column]

    @cached_property
    def _numbers(self) -> dict[str, float | None]:
        """What was asked of the row before: a row never changes."""
        return {}

    def evidence(self, column: str | None = None) -> Evidence:
        """What kind of ground the row stands on, or one of its columns."""
        if column is not None:
            self.text(column)
        return Evidence(self.exceptions.get(column or "", self.cells["evidence"]))

    def input(
        self, column: str, *, cause: str | None = None, scope: Scope = Scope.MATERIAL
    ) -> Input:
        """The cell in SI with its 90 % range, source and evidence.

        The range is the one the table gives; where it gives none, it follows from a coefficient
        of variation in the table, else from the kind of evidence.

        cause : what varies; inputs of one cause move together. By default this cell alone.
        Raises CatalogueError where the cell is not known, KeyError for an unknown column.
        """
        asked = (column, cause, scope)
        if asked not in self._inputs:
            self._inputs[asked] = self._input(column, cause, scope)
        return self._inputs[asked]

    @cached_property
    def _inputs(self) -> dict[tuple[str, str | None, Scope], Input]:
        """What was asked of the row before: a row never changes."""
        return {}

    def _input(self, column: str, cause: str | None, scope: Scope) -> Input:
        written = self._written(column)
        if written is None:
            raise CatalogueError(
                self._problem(column, "{} of {} is not known.", "give it or test it")
            )
        half = SIGMAS_OF_90 * self._spread(column) * abs(written)
        low, high = self._bound(column, "low"), self._bound(column, "high")
        return Input(
            value=self._to_si(written, column),
            low=self._to_si(written - half, column) if low is None else low,
            high=self._to_si(written + half, column) if high is None else high,
            source=self.source,
            evidence=self.evidence(column),
            cause=cause or f"{self.name}: {_words(column)}",
            scope=scope,
            row=f"{self.table}/{self.id}",
        )

    def _written(self, column: str) -> float | None:
        """The number in the unit of its column."""
        cell = self.text(column)
        if not cell:
            return None
        try:
            return finite(cell)
        except ValueError:
            problem = self._problem(column, "{} of {} is not a number.")
            raise CatalogueError(replace(problem, given=cell.rstrip("."))) from None

    def _to_si(self, written: float, column: str) -> float:
        unit = self.units[column]
        return written if unit == TEXT else units.to_si(written, unit)

    def _bound(self, column: str, end: str) -> float | None:
        bound = f"{column}_{end}"
        return self.number(bound) if bound in self.cells else None

    def _spread(self, column: str) -> float:
        """Relative standard deviation of a number that has no range of its own."""
        stem = column
        while stem:
            given = self.number(f"{stem}_cov") if f"{stem}_cov" in self.cells else None
            if given is not None:
                return given
            stem = stem.rpartition("_")[0]
        return default_spread(self.evidence(column), column)

    def _problem(self, column: str, what: str, hint: str = "") -> Problem:
        sentence = what.format(_words(column), self.name)
        return Problem(sentence, hint=hint, file=self.file, line=self.line, key=column)


@dataclass(frozen=True, eq=False)
class Table:
    """Rows of one kind. ``about`` says where the numbers come from."""

    name: str
    columns: tuple[str, ...]
    units: Mapping[str, str]
    rows: tuple[Row, ...]
    about: str = ""

    def __iter__(self) -> Iterator[Row]:
        return iter(self.rows)

    def __len__(self) -> int:
        return len(self.rows)

    @property
    def plural(self) -> str:
        """What its rows are called, many: ``timbers``, ``core classes``."""
        return self.name.replace("_", " ")

    @cached_property
    def _by_id(self) -> dict[str, Row]:
        return {row.id: row for row in self.rows}

    @cached_property
    def _by_words(self) -> dict[Key, list[Row]]:
        """Rows by the words of their names, and of their aliases where no name is the same."""
        names: dict[Key, list[Row]] = defaultdict(list)
        for row in self.rows:
            names[key_of(row.name)].append(row)
        aliases = {key_of(alias): [row] for row in self.rows for alias in row.aliases}
        return {**aliases, **names}

    def row(self, id: str) -> Row:
        """The row of an id; UnknownName with the nearest ids."""
        if id not in self._by_id:
            nearest = tuple(difflib.get_close_matches(id, self._by_id, n=3))
            raise unknown_name(f"an id of the table {self.name}", id, nearest)
        return self._by_id[id]

    def find(self, words: str) -> Row:
        """The row of an id, a name or an alias, in any order of words.

        Capitals, hyphens and plurals do not matter. Raises UnknownName with the nearest names.
        """
        row = self.get(words)
        if row is None:
            raise unknown_name(f"one of the {self.plural}", words, self.like(words))
        return row

    def get(self, words: str) -> Row | None:
        """The row that :meth:`find` would find, or None without a look for the nearest.

        Raises UnknownName where several rows have the name.
        """
        if words in self._by_id:
            return self._by_id[words]
        found = self._by_words.get(key_of(words), [])
        if len(found) > 1:
            ids = tuple(row.id for row in found)
            what = f"{len(found)} rows of the table {self.name} have this name."
            raise UnknownName(Problem(what, given=words, hint=f"an id: {either(ids)}"), ids[:3])
        return found[0] if found else None

    def like(self, words: str) -> tuple[str, ...]:
        """The names of up to three rows that come nearest to the words."""
        return _nearest(words, self.rows)

    def where(self, **cells: str) -> tuple[Row, ...]:
        """The rows whose cells read so, such as ``where(fibre="e_glass", form="satin")``."""
        asked = tuple(cells.items())
        if asked not in self._found:
            self._found[asked] = tuple(
                row for row in self.rows if all(row.text(key) == cell for key, cell in asked)
            )
        return self._found[asked]

    @cached_property
    def _found(self) -> dict[tuple[tuple[str, str], ...], tuple[Row, ...]]:
        """What was looked for before: a table never changes."""
        return {}

    def nearest(self, column: str, value: float, **cells: str) -> Row | None:
        """Of the rows whose cells read so, the one with the number nearest to ``value`` [SI].

        None where no such row knows the number; of two as near, the first.
        """
        known = ((row.number(column), row) for row in self.where(**cells))
        distances = [(abs(number - value), row) for number, row in known if number is not None]
        return min(distances, key=lambda pair: pair[0])[1] if distances else None


# --- Words --------------------------------------------------------------------------------------

Key = tuple[str, ...]
_SIGNS = str.maketrans({"±": "+-", "²": "2", "³": "3", "‐": "-", "–": "-", "_": " "})
_HYPHEN = re.compile(r"(?<=\w)-(?=[^\W\d])")
_WORD = re.compile(r"[^\s,;:()]+")


def key_of(text: str) -> Key:
    """The words of a text in a fixed order, without capitals, hyphens and plurals."""
    plain = _HYPHEN.sub(" ", text.casefold().translate(_SIGNS))
    return tuple(sorted(_singular(word) for word in _WORD.findall(plain)))


def _singular(word: str) -> str:
    if word.endswith(("ches", "shes", "xes", "sses")):
        return word[:-2]
    if len(word) > 4 and word.endswith("ies"):
        return f"{word[:-3]}y"
    if len(word) > 3 and word.endswith("s") and not word.endswith(("ss", "us", "is")):
        return word[:-1]
    return word


def has_words(words: Key, *texts: str) -> bool:
    """Whether each word begins a word of the texts."""
    found = key_of(" ".join(texts))
    return all(any(other.startswith(word) for other in found) for word in words)


def _nearest(words: str, rows: Iterable[Row]) -> tuple[str, ...]:
    """The names of up to three rows whose name or an alias comes nearest."""
    asked = key_of(words)
    scores = {
        row.name: max(_likeness(asked, key_of(label)) for label in (row.name, *row.aliases))
        for row in rows
    }
    best = sorted(scores, key=lambda name: scores[name], reverse=True)
    return tuple(name for name in best if scores[name][0] > LEAST_LIKENESS)[:3]


def _likeness(asked: Key, other: Key) -> tuple[float, float]:
    """0 to 1, by letters or by words in common, whichever is more; then by letters alone."""
    letters = difflib.SequenceMatcher(None, " ".join(asked), " ".join(other)).ratio()
    common = sum(bool(difflib.get_close_matches(word, other, n=1, cutoff=0.75)) for word in asked)
    return max(letters, 2 * common / max(1, len(asked) + len(other))), letters


def unknown_name(wanted: str, given: str, nearest: tuple[str, ...]) -> UnknownName:
    """The error for a name that is not there, with those that come nearest."""
    hint = either(f'"{name}"' for name in nearest)
    problem = Problem(f"This is not {wanted}.", given=given, hint=hint)
    return UnknownName(problem, nearest)


def parted(text: str) -> tuple[str, ...]:
    """The parts between semicolons."""
    return tuple(part.strip() for part in text.split(";") if part.strip())


def _words(column: str) -> str:
    return column.replace("_", " ")


def either(words: Iterable[str]) -> str:
    """``a, b or c``; nothing for no words."""
    *most, last = tuple(words) or ("",)
    return f"{', '.join(most)} or {last}" if most else last


def finite(cell: str) -> float:
    """The number in a cell; ValueError for text, infinity and nan."""
    number = float(cell)
    if not math.isfinite(number):
        raise ValueError(cell)
    return number
