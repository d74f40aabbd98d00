"""Drawings that stand alone: their style inside, on paper of their own."""

from __future__ import annotations

from importlib.resources import files

from panelwright.panels.records import Prediction
from panelwright.reports.drawing.section import section_svg


def style_sheet() -> str:
    """The style sheet of all drawings."""
    return files("panelwright.reports.drawing").joinpath("drawing.css").read_text("utf-8")


def standalone(svg: str) -> str:
    """A drawing with its style sheet inside, to be a file of its own."""
    head, closed, rest = svg.partition(">")
    return f"{head}{closed}<style>{style_sheet()}</style>{rest}"


def section_sheet(prediction: Prediction, width: float = 826.0, system: str = "si") -> str:
    """Section and details with their headings, to be a file of their own."""
    return standalone(section_svg(prediction, width, system=system))
