"""The files of a build by name: the shopping list, for now."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from panelwright.fabrication.plan import BuildPlan
from panelwright.reports.build_words import bought
from panelwright.reports.paper.pages import Paper

SHOPPING = "shopping"
HEAD = (
    "group",
    "what",
    "to buy",
    "used",
    "bought",
    "unit",
    "packs",
    "note",
    "cost",
    "cost of used",
)


def shopping_rows(plan: BuildPlan, system: str = "si") -> list[tuple[str | float | None, ...]]:
    """What to buy, a row each under :data:`HEAD`; amounts as numbers in the unit named."""
    return [
        (
            line.group,
            line.what,
            bought(line, system),
            _three(line.need),
            _three(line.buy),
            line.per,
            line.packs,
            line.note,
            line.bought,
            None if line.used is None else round(line.used, 2),
        )
        for line in plan.buys
    ]


def _three(amount: float) -> float:
    return float(f"{amount:.4g}")


def as_csv(rows: Iterable[tuple[str | float | None, ...]]) -> bytes:
    """Rows as comma-separated text (RFC 4180), with its mark for spreadsheets."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(HEAD)
    for row in rows:
        writer.writerow(["" if cell is None else _safe(cell) for cell in row])
    return text.getvalue().encode("utf-8-sig")


def _safe(cell: str | float) -> str | float:
    """A cell that no spreadsheet takes for a formula."""
    if isinstance(cell, str) and cell.startswith(("=", "+", "-", "@", "\t", "\r")):
        return f"'{cell}"
    return cell


def files_of(plan: BuildPlan, paper: Paper, system: str = "si") -> dict[str, bytes]:
    """Each file of a plan by its name. Raises NoPrinter where PDF cannot be made here."""
    return {f"{SHOPPING}.csv": as_csv(shopping_rows(plan, system))}
