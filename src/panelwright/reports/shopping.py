"""The shopping list and the cut list as rows: comma-separated text and a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence

from panelwright.fabrication.plan import BuildPlan
from panelwright.reports.build_words import bought, cut_rows, named, pot_rows

Cell = str | float | None
Row = tuple[Cell, ...]

BUY_HEAD = ("group", "what", "to buy", "used", "bought", "unit", "packs", "note", "cost", "used up")
CUT_HEAD = ("part", "piece", "size", "off, for one part", "remark")
POT_HEAD = ("part", "go", "day", "pots", "g each", "resin + hardener", "begin", "use in", "gels in")
#: Characters that make a spreadsheet take a text for a formula.
_SIGNS = ("=", "+", "-", "@", "\t", "\r")


def buy_rows(plan: BuildPlan, system: str = "si") -> list[Row]:
    """What to buy, under :data:`BUY_HEAD`; amounts as numbers in the unit named."""
    return [
        (
            line.group,
            line.what,
            bought(line, system),
            _figures(line.need),
            _figures(line.buy),
            line.per,
            line.packs,
            line.note,
            None if line.bought is None else round(line.bought, 2),
            None if line.used is None else round(line.used, 2),
        )
        for line in plan.buys
    ]


def _figures(amount: float) -> float:
    return float(f"{amount:.4g}")


def _cut_rows(plan: BuildPlan, system: str) -> list[Row]:
    return [
        (named(part), row.what, row.size, float(row.count), row.remark)
        for part in plan.parts
        for row in cut_rows(part, system)
    ]


def _pot_rows(plan: BuildPlan, system: str) -> list[Row]:
    return [
        (
            row.session.part,
            row.session.stage.name,
            float(row.session.day),
            row.numbers,
            float(row.grams),
            row.parts,
            row.starts,
            row.use_in,
            row.gels_in,
        )
        for row in pot_rows(plan, system)
    ]


def as_csv(head: Sequence[str], rows: Iterable[Row]) -> bytes:
    """Rows as comma-separated text (RFC 4180), with its mark for spreadsheets."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(head)
    for row in rows:
        writer.writerow(["" if cell is None else _safe(cell) for cell in row])
    return text.getvalue().encode("utf-8-sig")


def _safe(cell: str | float) -> str | float:
    """A cell that no spreadsheet takes for a formula."""
    if isinstance(cell, str) and cell.startswith(_SIGNS):
        return f"'{cell}"
    return cell


def shopping_csv(plan: BuildPlan, system: str = "si") -> bytes:
    """What to buy as comma-separated text."""
    return as_csv(BUY_HEAD, buy_rows(plan, system))


def shopping_xlsx(plan: BuildPlan, system: str = "si") -> bytes:
    """What to buy, what to cut and the pots, a sheet each (ISO/IEC 29500)."""
    from openpyxl import Workbook
    from openpyxl.styles import Font

    book = Workbook()
    book.remove(book.worksheets[0])
    sheets = (
        ("To buy", BUY_HEAD, buy_rows(plan, system)),
        ("To cut", CUT_HEAD, _cut_rows(plan, system)),
        ("Pots", POT_HEAD, _pot_rows(plan, system)),
    )
    for title, head, rows in sheets:
        sheet = book.create_sheet(title)
        for at, row in enumerate([head, *rows], start=1):
            for column, content in enumerate(row, start=1):
                cell = sheet.cell(at, column, content)
                if isinstance(content, str):
                    cell.data_type = "s"  # text that begins with "=" is no formula
        for column, name in enumerate(head, start=1):
            sheet.cell(1, column).font = Font(bold=True)
            texts = [str(row[column - 1] or "") for row in rows]
            width = max([len(name), *map(len, texts)]) + 2
            sheet.column_dimensions[sheet.cell(1, column).column_letter].width = min(width, 48)
        sheet.freeze_panes = "A2"
    made = io.BytesIO()
    book.save(made)
    return made.getvalue()
