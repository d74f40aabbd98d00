"""``panelwright materials``: search the catalogue, show one row with its sources."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from panelwright.cli.catalogue import catalogue_with
from panelwright.jobs.materials import list_tables, search, show
from panelwright.reports.materials_text import (
    found_text,
    row_json,
    row_text,
    tables_json,
    tables_text,
)


def materials(words: list[str], as_json: bool, own: Path | None) -> str:
    """The text that the command prints."""
    catalogue = catalogue_with(own)
    if not words:
        tables = list_tables(catalogue)
        return _json(tables_json(tables)) if as_json else tables_text(tables)
    if words[0] == "show" and len(words) > 1:
        rows = show(catalogue, " ".join(words[1:]))
        text = "\n\n".join(row_text(row) for row in rows)
    else:
        rows = search(catalogue, " ".join(words))
        text = found_text(" ".join(words), rows)
    return _json([row_json(row) for row in rows]) if as_json else text


def _json(values: list[dict[str, Any]]) -> str:
    return json.dumps(values, ensure_ascii=False, indent=1)
