"""The plain tables of an exported shelf: CSV that a spreadsheet opens and that reads back exactly.

SI units, named in the heads of the columns. A text that a spreadsheet would take for a formula
has an apostrophe before it, and so has one that begins with an apostrophe.
"""

from __future__ import annotations

import csv
import io
import math
from collections.abc import Iterable, Iterator, Mapping, Sequence

from panelwright.errors import InputError, Problem
from panelwright.shelf.texts import checked

Cell = str | float | int | None

#: File -> its columns. A column whose name ends in a unit holds a number.
COLUMNS: dict[str, tuple[str, ...]] = {
    "panels.csv": ("panel", "title", "made", "standing"),
    "revisions.csv": ("panel", "revision", "made", "version", "catalogue", "remark"),
    "tags.csv": ("panel", "tag"),
    "pieces.csv": (
        "piece",
        "panel",
        "revision",
        "title",
        "cut_from",
        "cut_at",
        "place",
        "left",
        "remark",
        "made",
    ),
    "records.csv": (
        "record",
        "piece",
        "date",
        "gross_kg",
        "tare_kg",
        "length_m",
        "width_m",
        "remark",
        "made",
        "areal_mass_kg_m2",
        "mean_thickness_m",
        "who",
        "again",
        "improve",
    ),
    "thicknesses.csv": ("record", "point", "thickness_m"),
    "readings.csv": ("record", "what", "point", "value_si", "division_si", "reason"),
    "house.csv": ("key", "said", "piece", "value_si", "u_si", "remark", "made"),
    "photos.csv": ("sha256", "of", "name", "caption", "width_px", "height_px", "added"),
    "materials.csv": ("state", "made", "remark"),
    "remnants.csv": ("material", "amount", "piece", "remark", "made", "gone"),
    "prices.csv": ("material", "amount", "currency", "per", "date", "remark", "made"),
}

#: Files that older exports do not have.
LATER = ("readings.csv", "house.csv", "remnants.csv")
#: How many columns at the end older exports do not have.
ADDED = {"records.csv": 3}

_FORMULA = ("=", "+", "-", "@", "\t", "\r", "'")


def written(file: str, rows: Iterable[Sequence[Cell]]) -> bytes:
    """A table as the bytes of its file."""
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS[file])
    writer.writerows([_cell(value) for value in row] for row in rows)
    return text.getvalue().encode("utf-8")


def _cell(value: Cell) -> str:
    if value is None:
        return ""
    if isinstance(value, str):
        return f"'{value}" if value.startswith(_FORMULA) else value
    return repr(value)


class Line(Mapping[str, str]):
    """One row of a table that is read: cells by column, and where it stands."""

    def __init__(self, file: str, number: int, cells: Sequence[str]) -> None:
        self.file, self.number = file, number
        self._cells = dict(zip(COLUMNS[file], cells, strict=True))

    def __getitem__(self, column: str) -> str:
        return self._cells[column]

    def __iter__(self) -> Iterator[str]:
        return iter(self._cells)

    def __len__(self) -> int:
        return len(self._cells)

    def refuse(self, what: str, column: str) -> InputError:
        """The error for a cell of this row."""
        given = self._cells[column][:60]
        return InputError(Problem(what, given, file=self.file, line=self.number, key=column))

    def number_of(self, column: str) -> float | None:
        """A number, None for an empty cell."""
        cell = self._cells[column]
        if not cell:
            return None
        try:
            value = float(cell)
        except ValueError:
            raise self.refuse("this is not a number", column) from None
        if not math.isfinite(value):
            raise self.refuse("this is not a number", column)
        return value

    def count_of(self, column: str) -> int:
        """A whole number from 0 up."""
        cell = self._cells[column]
        if not (cell.isascii() and cell.isdigit() and len(cell) < 10):
            raise self.refuse("this is not a count", column)
        return int(cell)


def read_table(file: str, content: bytes) -> list[Line]:
    """The rows of a table. Raises :class:`InputError` with file and line."""
    try:
        text = content.decode("utf-8")
    except UnicodeDecodeError:
        raise InputError(Problem("the file is not text in UTF-8", file=file)) from None
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    try:
        records = [(reader.line_num, cells) for cells in reader]
    except csv.Error as wrong:
        problem = Problem("this is not CSV", str(wrong), file=file, line=reader.line_num)
        raise InputError(problem) from None
    columns, added = COLUMNS[file], ADDED.get(file, 0)
    if added and records and tuple(records[0][1]) == columns[:-added]:
        records = [(number, [*cells, *[""] * added]) for number, cells in records]
    elif not records or tuple(records[0][1]) != columns:
        given = ",".join(records[0][1])[:80] if records else ""
        raise InputError(Problem("other columns are wanted", given, ",".join(columns), file=file))
    return [_line(file, number, cells) for number, cells in records[1:]]


def _line(file: str, number: int, cells: list[str]) -> Line:
    wanted = len(COLUMNS[file])
    if len(cells) != wanted:
        given = f"{len(cells)} cells"
        problem = Problem("a row is not whole", given, str(wanted), file=file, line=number)
        raise InputError(problem)
    plain = [cell.removeprefix("'") for cell in cells]
    return Line(file, number, [checked(cell, file) for cell in plain])
