"""A line-up as a sheet for other programs: names, units, then a row for each panel, in SI."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from panelwright.panels.lineup_records import LineUp
from panelwright.reports.lineup_words import change_words, evidence_kinds


def csv_text(lineup: LineUp) -> str:
    """The sheet as CSV."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(csv_rows(lineup))
    return text.getvalue()


def csv_rows(lineup: LineUp) -> Sequence[Sequence[str]]:
    """The line-up as rows of a sheet in SI: names, units, then one row for each panel.

    Each property has its middle and the ends of its range; last what of it was measured on a
    piece, evidence and sources.
    """
    rows = (*lineup.rows, *lineup.duties)
    head, unit = ["letter", "title", "terms"], ["-", "-", "-"]
    for row in rows:
        known = [cell.value.unit for cell in row.cells if cell.value is not None]
        said = known[0].replace("per m2", f"{lineup.currency}/m2") if known else "-"
        head += [row.key, f"{row.key}_low", f"{row.key}_high"]
        unit += [said, said, said]
    found = [[*head, "measured", "evidence", "sources"], [*unit, "-", "-", "-"]]
    evidence = evidence_kinds(lineup)
    for at, member in enumerate(lineup.members):
        line = [member.letter, member.title, change_words(member, "si") or "as it is"]
        for row in rows:
            value = row.cells[at].value
            ends = () if value is None else (value.value, value.low, value.high)
            line += [f"{one:.6g}" for one in ends] or ["", "", ""]
        measured = [row.key for row in rows if row.cells[at].is_measured]
        sources = " | ".join(member.sources)
        line += [" ".join(measured) or "nothing", evidence[at], sources]
        found.append(line)
    return found
