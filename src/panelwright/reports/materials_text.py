"""Rows of the catalogue as text and as plain values."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

from panelwright.errors import CatalogueError
from panelwright.materials.records import Row, Table
from panelwright.reports.layout import heading, narrow, plural, printed, table, wrapped

#: Rows of a search that are listed.
MOST = 40
_WORDS = frozenset(
    {"id", "name", "aliases", "source", "evidence", "evidence_of", "evidence_words", "note"}
)


def tables_text(tables: Sequence[Table]) -> str:
    """The tables of the catalogue."""
    rows = [
        [
            record.name.replace("_", " "),
            plural(len(record), "row"),
            narrow(_first(record.about), 56),
        ]
        for record in tables
    ]
    hint = (
        "`panelwright materials redcedar` searches all of them; "
        '`panelwright materials show "western redcedar"` tells all that is known of one thing, '
        "each value with its source."
    )
    return f"{table(rows, right=(1,), indent='  ')}\n\n{wrapped(hint)}"


def _first(about: str) -> str:
    """The first sentence of what a table says of itself."""
    return printed(re.split(r"(?<=[.:;]) ", about, maxsplit=1)[0].rstrip(".:;"))


def tables_json(tables: Sequence[Table]) -> list[dict[str, Any]]:
    """The tables of the catalogue as plain values."""
    return [{"table": one.name, "rows": len(one), "about": one.about} for one in tables]


def found_text(text: str, rows: Sequence[Row]) -> str:
    """What a search found, a line each."""
    lines = [[row.name, row.table.replace("_", " "), row.evidence().value] for row in rows[:MOST]]
    lines = [[narrow(printed(name), 44), *rest] for name, *rest in lines]
    more = f"\n  and {len(rows) - MOST} more: add a word" if len(rows) > MOST else ""
    return f"{plural(len(rows), 'row')} with {text!r}:\n{table(lines, indent='  ')}{more}"


def _values(row: Row) -> list[str]:
    """Columns that hold something and are not bounds of another."""
    return [
        column
        for column in row.cells
        if column not in _WORDS
        and not column.endswith(("_low", "_high", "_cov"))
        and row.text(column) != ""
    ]


def _written(row: Row, column: str) -> str:
    unit = row.units[column]
    shown = row.text(column) + ("" if unit in ("-", "1") else f" {_unit(unit)}")
    low, high = (row.cells.get(f"{column}_{end}", "") for end in ("low", "high"))
    return f"{shown} ({low} to {high})" if low and high else shown


def _unit(unit: str) -> str:
    return re.sub(r"\^?([23])$", lambda power: "²³"[int(power[1]) - 2], unit).replace("deg", "°")


def row_values(row: Row) -> list[tuple[str, str, str]]:
    """What is known of a row: name of the column, value with its range, kind of evidence."""
    return [
        (column.replace("_", " "), _written(row, column), row.evidence(column).value)
        for column in _values(row)
    ]


def row_text(row: Row) -> str:
    """All that is known of one row, column by column, with evidence and source."""
    columns = [[name, narrow(value, 44), kind] for name, value, kind in row_values(row)]
    parts = [heading(printed(row.name)), f"table: {row.table.replace('_', ' ')}; id: {row.id}"]
    if row.aliases:
        parts.append(wrapped("; ".join(row.aliases), first="also: "))
    parts.append(table(columns, indent="  "))
    parts.append(wrapped(printed(row.source), first="source: "))
    if row.note:
        parts.append(wrapped(printed(row.note), first="note: "))
    return "\n".join(parts)


def row_json(row: Row) -> dict[str, Any]:
    """A row as plain values: numbers in SI, text as written, evidence of each."""
    return {
        "table": row.table,
        "id": row.id,
        "name": row.name,
        "aliases": list(row.aliases),
        "source": row.source,
        "evidence": row.evidence().value,
        "note": row.note,
        "values": {column: _value(row, column) for column in _values(row)},
    }


def _value(row: Row, column: str) -> dict[str, Any]:
    try:
        number = row.number(column)
    except CatalogueError:
        return {"text": row.text(column)}
    return {
        "value": number,
        "written": _written(row, column),
        "evidence": row.evidence(column).value,
    }
