"""Readings from a table: pasted, CSV or a spreadsheet. Every problem names its row and column.

A spreadsheet is read as plain cells alone: one with formulas or macros is refused, since what it
shows may not be what was read. No library opens it; its parts are small XML files in a zip.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Sequence
from dataclasses import dataclass
from xml.etree import ElementTree
from zipfile import BadZipFile, ZipFile

from panelwright.errors import InputError, PanelwrightError, Problem
from panelwright.samples.readings import MOST, Reading, read_readings

MOST_BYTES = 20_000_000
#: Heads of columns, each with other words for it.
_HEADS = {
    "reading": ("reading", "what", "kind", "measurement"),
    "at": ("at", "point", "place", "where"),
    "value": ("value", "number", "read", "result"),
    "unit": ("unit", "units"),
    "division": ("division", "resolution", "step"),
    "reason": ("reason", "because", "instead because"),
}
_WITHOUT_HEADS = {2: ("reading", "value"), 3: ("reading", "at", "value")}
_ALLOWED = "reading, at, value, unit, division, reason"


@dataclass(frozen=True)
class Row:
    """Cells of a row and its number as a person counts."""

    number: int
    cells: tuple[str, ...]


def letters(column: int) -> str:
    """The name of a column of a spreadsheet, from 0: A to Z, AA and on."""
    name = ""
    column += 1
    while column:
        column, rest = divmod(column - 1, 26)
        name = chr(ord("A") + rest) + name
    return name


def readings_of_text(text: str, file: str) -> list[Reading]:
    """Readings of a pasted table or CSV: parted by tabs, semicolons or commas.

    Raises :class:`InputError` with every problem at its row and column.
    """
    lines = text.lstrip("\ufeff").splitlines()
    filled = [line for line in lines if line.strip()]
    mark = next((sign for sign in "\t;," if any(sign in line for line in filled)), ",")
    try:
        reader = csv.reader(io.StringIO("\n".join(lines)), delimiter=mark, strict=True)
        rows = [Row(reader.line_num, tuple(cells)) for cells in reader]
    except csv.Error as wrong:
        raise InputError(Problem("this is no table", str(wrong), file=file)) from None
    return _readings(rows, file)


def readings_of_file(content: bytes, file: str) -> list[Reading]:
    """Readings of a CSV file or a spreadsheet (XLSX), by what it holds."""
    if len(content) > MOST_BYTES:
        raise InputError(Problem("the file is too large for readings", file=file))
    if content[:4] == b"PK\x03\x04":
        return _readings(_sheet(content, file), file)
    if content[:4] == b"\xd0\xcf\x11\xe0":
        hint = "saving it as .xlsx or .csv"
        raise InputError(Problem("this is a spreadsheet of an old form", file=file, hint=hint))
    try:
        return readings_of_text(content.decode("utf-8-sig"), file)
    except UnicodeDecodeError:
        hint = "saving it as CSV in UTF-8"
        raise InputError(Problem("the file is not text in UTF-8", file=file, hint=hint)) from None


# Rows to readings -------------------------------------------------------------------------------


def _readings(rows: Sequence[Row], file: str) -> list[Reading]:
    filled = [row for row in rows if any(cell.strip() for cell in row.cells)]
    if not filled:
        raise InputError(Problem("there are no readings in it", file=file, allowed=_ALLOWED))
    if len(filled) > MOST:
        raise InputError(Problem("too many rows", str(len(filled)), f"up to {MOST}", file=file))
    heads = _heads(filled[0].cells)
    columns = heads or _without_heads(filled[0], file)
    problems: list[Problem] = []
    found: list[Reading] = []
    for row in filled[1:] if heads else filled:
        try:
            found += _readings_of_row(row, columns)
        except PanelwrightError as wrong:
            problems += [_placed(problem, row, columns, file) for problem in wrong.problems]
    if problems:
        raise InputError(problems)
    return found


def _heads(cells: Sequence[str]) -> tuple[str, ...]:
    """What each column is by its head; nothing where the first row is no row of heads."""
    known = {word: name for name, words in _HEADS.items() for word in words}
    found = tuple(known.get(cell.strip().casefold(), "") for cell in cells)
    return found if {"reading", "value"} <= set(found) else ()


def _without_heads(row: Row, file: str) -> tuple[str, ...]:
    columns = _WITHOUT_HEADS.get(len(row.cells))
    if columns is None:
        given = ", ".join(row.cells)[:60]
        what = "the first row must name the columns"
        hint = "reading, at, value"
        raise InputError(Problem(what, given, _ALLOWED, hint, file=file, line=row.number))
    return columns


def _readings_of_row(row: Row, columns: Sequence[str]) -> tuple[Reading, ...]:
    cells = {name: cell.strip() for name, cell in zip(columns, row.cells, strict=False) if name}
    what, value = cells.get("reading", ""), cells.get("value", "")
    if not what:
        raise InputError(Problem("the row does not say what was read", key="reading"))
    if not value:
        raise InputError(Problem("the row has no value", key="value"))
    if "@" in what and not cells.get("at"):
        what, _, cells["at"] = what.partition("@")
    unit = cells.get("unit", "")
    text = f"{value} {unit}".strip()
    try:
        return read_readings(
            what, text, cells.get("at", ""), cells.get("division", ""), cells.get("reason", "")
        )
    except InputError as wrong:
        raise InputError(
            [Problem(p.what, p.given, p.allowed, p.hint, key="value") for p in wrong.problems]
        ) from None
    except PanelwrightError as wrong:
        raise InputError([problem.at(key="reading") for problem in wrong.problems]) from None


def _placed(problem: Problem, row: Row, columns: Sequence[str], file: str) -> Problem:
    """The problem at its row, and at its column by letter and name."""
    key = problem.key
    if key in columns:
        key = f"column {letters(columns.index(key))} ({key})"
    return Problem(
        problem.what, problem.given, problem.allowed, problem.hint, file, row.number, key
    )


# Spreadsheets -----------------------------------------------------------------------------------

_MAIN = "{http" + ":" + "//schemas.openxmlformats.org/spreadsheetml/2006/main}"
_CELL = re.compile(r"([A-Z]{1,3})([0-9]{1,7})")
_SHEET = re.compile(r"xl/worksheets/sheet(\d+)\.xml")


def _sheet(content: bytes, file: str) -> list[Row]:
    """The rows of the first sheet of a spreadsheet."""
    try:
        with ZipFile(io.BytesIO(content)) as archive:
            names = archive.namelist()
            if sum(info.file_size for info in archive.infolist()) > 10 * MOST_BYTES:
                raise InputError(Problem("the file is too large for readings", file=file))
            if any("vbaproject" in name.lower() for name in names):
                what = "a spreadsheet with macros is not read"
                raise InputError(Problem(what, file=file, hint="saving it as .xlsx or .csv"))
            sheets = sorted(
                (int(match[1]), name) for name in names if (match := _SHEET.fullmatch(name))
            )
            if not sheets:
                raise InputError(
                    Problem("this is no spreadsheet", file=file, allowed=".xlsx, .csv")
                )
            shared = "xl/sharedStrings.xml"
            words = _shared(archive.read(shared), file) if shared in names else []
            return _rows(_tree(archive.read(sheets[0][1]), file), words, file)
    except (BadZipFile, OSError, RuntimeError, NotImplementedError, EOFError):
        raise InputError(Problem("the spreadsheet is damaged", file=file)) from None


def _tree(content: bytes, file: str) -> ElementTree.Element:
    if b"<!DOCTYPE" in content or b"<!ENTITY" in content:
        raise InputError(Problem("the spreadsheet holds what is no cell", file=file))
    try:
        return ElementTree.fromstring(content)
    except ElementTree.ParseError:
        raise InputError(Problem("the spreadsheet is damaged", file=file)) from None


def _shared(content: bytes, file: str) -> list[str]:
    items = _tree(content, file).iter(f"{_MAIN}si")
    return ["".join(text.text or "" for text in item.iter(f"{_MAIN}t")) for item in items]


def _rows(tree: ElementTree.Element, words: list[str], file: str) -> list[Row]:
    found: list[Row] = []
    formulas: list[Problem] = []
    for count, row in enumerate(tree.iter(f"{_MAIN}row"), start=1):
        cells: dict[int, str] = {}
        for place, cell in enumerate(row.iter(f"{_MAIN}c")):
            name = cell.get("r", "")
            match = _CELL.fullmatch(name)
            column = _column(match[1]) if match else place
            if cell.find(f"{_MAIN}f") is not None:
                what = "a spreadsheet with formulas is not read"
                hint = "copying the cells and pasting them as values"
                formulas.append(Problem(what, hint=hint, file=file, key=f"cell {name}"))
            cells[column] = _text(cell, words)
        width = max(cells, default=-1) + 1
        number = int(row.get("r") or count)
        found.append(Row(number, tuple(cells.get(column, "") for column in range(width))))
    if formulas:
        raise InputError(formulas[:5])
    return found


def _column(name: str) -> int:
    number = 0
    for letter in name:
        number = 26 * number + ord(letter) - ord("A") + 1
    return number - 1


def _text(cell: ElementTree.Element, words: list[str]) -> str:
    kind = cell.get("t", "n")
    if kind == "inlineStr":
        return "".join(text.text or "" for text in cell.iter(f"{_MAIN}t"))
    value = cell.find(f"{_MAIN}v")
    written = "" if value is None or value.text is None else value.text
    if kind == "s" and written.isdigit() and int(written) < len(words):
        return words[int(written)]
    return repr(round(float(written), 12)) if kind == "n" and written else written
