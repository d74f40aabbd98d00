"""The files of a build by name: the sheet, the shopping list, the labels."""

from __future__ import annotations

from datetime import date

from panelwright.fabrication.plan import BuildPlan
from panelwright.reports.paper.build_labels import build_labels_pdf, many_labels
from panelwright.reports.paper.build_sheet import build_sheet
from panelwright.reports.paper.labels import MOST
from panelwright.reports.paper.pages import Paper
from panelwright.reports.shopping import shopping_csv, shopping_xlsx


def files_of(plan: BuildPlan, drawn: date, paper: Paper, system: str = "si") -> dict[str, bytes]:
    """Each file of a plan by its name; no labels where there are none or too many of them.

    Raises NoPrinter where PDF cannot be made here.
    """
    made = {
        "build-sheet.pdf": build_sheet(plan, drawn, paper, system),
        "shopping.csv": shopping_csv(plan, system),
        "shopping.xlsx": shopping_xlsx(plan, system),
    }
    if 0 < many_labels(plan) <= MOST:
        made["labels.pdf"] = build_labels_pdf(plan, paper, system)
    return made
