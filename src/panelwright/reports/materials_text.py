"""Rows of the catalogue as text and as plain values."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from panelwright.errors import CatalogueError
from panelwright.materials.records import Row
from panelwright.reports.layout import heading, plural, table, wrapped

#: Rows of a search that are listed.
MOST = 40
_WORDS = frozenset({"id", "name", "aliases", "source", "evidence", "evidence_of", "note"})


def tables_text(tables: Sequence[Any]) -> str:
    """The tables of the catalogue."""
    rows = [[record.name.replace("_", " "), plural(record.rows, "row")] for record in tables]
    hint = (
        "Search with `panelwright materials redcedar`; "
        '`panelwright materials show "western redcedar"` shows all that is known of it.'
    )
    return f"{table(rows, right=(), indent='  ')}\n\n{hint}"


def found_text(text: str, rows: Sequence[Row]) -> str:
    """What a search found, a line each."""
    lines = [[row.name, row.table.replace("_", " "), row.evidence().value] for row in rows[:MOST]]
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
    shown = row.text(column) + ("" if unit in ("-", "1") else f" {unit}")
    low, high = (row.cells.get(f"{column}_{end}", "") for end in ("low", "high"))
    return f"{shown} ({low} to {high})" if low and high else shown


def row_text(row: Row) -> str:
    """All that is known of one row, column by column, with evidence and source."""
    columns = [
        [column.replace("_", " "), _written(row, column), row.evidence(column).value]
        for column in _values(row)
    ]
    parts = [heading(f"{row.name}  ({row.table.replace('_', ' ')}, {row.id})")]
    if row.aliases:
        parts.append(wrapped(", ".join(row.aliases), first="also: "))
    parts.append(table(columns, indent="  "))
    parts.append(wrapped(row.source, first="source: "))
    if row.note:
        parts.append(wrapped(row.note, first="note: "))
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
