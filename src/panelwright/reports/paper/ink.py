"""Drawings as they are printed: black on white, in the measure of a sheet."""

from __future__ import annotations

import re

from markupsafe import Markup

from panelwright.reports.drawing import standalone

PX = 96.0 / 25.4  # CSS px in a mm
#: What is left of a sheet beside its margins, its frame and the room within, mm.
MARGINS = 16.0 + 7.0 + 2 * 0.7 + 2 * 3.0
#: What is no picture to scale is drawn so much larger and then less: letters of 8.4 pt.
LESS = 1.34

#: Ink of print: black on white, whatever the screen; lines in mm (ISO 128).
INK = {
    "ink": "#000",
    "ink-2": "#000",
    "sheet": "#fff",
    "pencil": "#000",
    "hair": "0.5px",
    "thin": "0.95px",
    "med": "1.3px",
    "wide": "2.6px",
    "text": '"Sheet Text", "DejaVu Sans", sans-serif',
    "lettering": '"Sheet Lettering", "Sheet Text", "DejaVu Sans", sans-serif',
}
_VARIABLE = re.compile(r"var\(--([a-z0-9-]+)(?:,[^()]*)?\)")


def inked(svg: str) -> Markup:
    """A drawing with its style inside and the ink of print in it: paper knows no variables."""
    return Markup(_VARIABLE.sub(lambda found: INK[found[1]], standalone(svg)))


_SIDE = re.compile(r' (width|height)="([\d.]+)"')


def less(svg: str) -> str:
    """A drawing that is not to scale, shown smaller: its picture as it is, its sides less."""
    head, closed, rest = svg.partition(">")
    return _SIDE.sub(lambda side: f' {side[1]}="{float(side[2]) / LESS:.1f}"', head) + closed + rest
