"""Drawings that stand alone: their style inside, on paper of their own."""

from __future__ import annotations

import re
from importlib.resources import files

from panelwright.panels.records import Prediction
from panelwright.reports.drawing.details import details_svg
from panelwright.reports.drawing.letters import lines_of
from panelwright.reports.drawing.section import section_caption, section_svg
from panelwright.reports.drawing.svg import drawing, element, group, number, words
from panelwright.reports.layout import printed


def style_sheet() -> str:
    """The style sheet of all drawings."""
    return files("panelwright.reports.drawing").joinpath("drawing.css").read_text("utf-8")


def standalone(svg: str) -> str:
    """A drawing with its style sheet inside and paper behind it, to be a file of its own."""
    head, closed, rest = svg.partition(">")
    paper = element("rect", class_="paper", width="100%", height="100%")
    return f"{head}{closed}<style>{style_sheet()}</style>{paper}{rest}"


def height_of(svg: str) -> float:
    """Height of a drawing, px."""
    found = re.search(r' height="([\d.]+)"', svg)
    return float(found[1]) if found else 0.0


def section_sheet(prediction: Prediction, width: float = 826.0, system: str = "si") -> str:
    """Title, section with its scale, and details, to be a file of its own."""
    margin = 16.0
    inner = width - 2.0 * margin
    head, scale = section_caption(prediction, inner)
    titles = lines_of(printed(prediction.title), 20.0, inner, 3)
    y = margin + 6.0
    parts = []
    for text in titles:
        y += 20.0
        parts.append(words(margin, y, text, "heading"))
    unit = "in" if system == "imperial" else "mm"
    parts.append(words(margin, y + 26.0, f"{head}, {scale}, in {unit}"))
    y += 40.0
    for one in (section_svg(prediction, inner, system=system), details_svg(prediction, inner)):
        if one:
            shift = f"translate({number(margin)} {number(y)})"
            parts.append(group(one, transform=shift))
            y += height_of(one) + 20.0
    return standalone(drawing("".join(parts), width, y, f"{head}, {printed(prediction.title)}"))
