"""``panelwright materials``: search the catalogue, show one row with its sources."""

from __future__ import annotations

import json
from pathlib import Path

from panelwright.cli.catalogue import catalogue_with
from panelwright.jobs.materials import list_tables, search, show
from panelwright.reports.materials_text import found_text, row_json, row_text, tables_text


def materials(words: list[str], as_json: bool, own: Path | None) -> str:
    """The text that the command prints."""
    catalogue = catalogue_with(own)
    if not words:
        return tables_text(list_tables(catalogue))
    if words[0] == "show" and len(words) > 1:
        rows = show(catalogue, " ".join(words[1:]))
        if as_json:
            return json.dumps([row_json(row) for row in rows], ensure_ascii=False, indent=1)
        return "\n\n".join(row_text(row) for row in rows)
    rows = search(catalogue, " ".join(words))
    if as_json:
        return json.dumps([row_json(row) for row in rows], ensure_ascii=False, indent=1)
    return found_text(" ".join(words), rows)
