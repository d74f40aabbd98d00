"""Labels to stick on pieces: number, what it is, and a square code that holds the number."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import segno
from markupsafe import Markup

from panelwright.errors import InputError, Problem
from panelwright.reports.paper.pages import SHEETS, Paper, fonts, page

#: Labels on a sheet, across and down, with room at the edges that no printer reaches.
COLUMNS, ROWS = 3, 8
EDGE = 8.0  # mm
MOST = 500


@dataclass(frozen=True)
class Label:
    """What stands on one label. ``lines``: a few short ones; ``holds``: what the code says."""

    number: str
    title: str
    lines: tuple[str, ...]
    holds: str


def code(holds: str) -> Markup:
    """A QR code as SVG (ISO/IEC 18004), black on white with its quiet zone of four modules."""
    made = segno.make(holds, error="m", micro=False)
    svg = made.svg_inline(border=4, omitsize=True, svgclass="code", lineclass=None)
    return Markup(svg)


def _cells(labels: Sequence[Label], skip: int) -> list[list[Label | None]]:
    """Labels by sheet; the first ``skip`` places stay empty."""
    places: list[Label | None] = [*([None] * skip), *labels]
    a_sheet = COLUMNS * ROWS
    return [places[start : start + a_sheet] for start in range(0, len(places), a_sheet)]


def refuse_number(many: int) -> None:
    """Raise :class:`InputError` for no labels or too many."""
    if not 1 <= many <= MOST:
        what = "that many labels cannot be printed at once"
        raise InputError(Problem(what, str(many), f"1 to {MOST}"))


def labels_page(labels: Sequence[Label], paper: Paper = Paper.A4, skip: int = 0) -> str:
    """Sheets of labels as HTML, with marks to cut by.

    skip : places of the first sheet that are used already.
    Raises :class:`InputError` for no labels, too many, or more places skipped than a sheet has.
    """
    refuse_number(len(labels))
    if not 0 <= skip < COLUMNS * ROWS:
        allowed = f"0 to {COLUMNS * ROWS - 1}"
        raise InputError(Problem("so many places are not on one sheet", str(skip), allowed))
    sheet = SHEETS[paper]
    return page(
        "labels.html",
        sheets=_cells(labels, skip),
        paper=paper.value,
        fonts=fonts(),
        code=code,
        wide=(sheet.width - 2 * EDGE) / COLUMNS,
        high=(sheet.height - 2 * EDGE) / ROWS,
        edge=EDGE,
    )
