"""What was understood of a panel, said back before any number."""

from __future__ import annotations

from panelwright.panels.records import Prediction
from panelwright.panels.shop_words import Phrase
from panelwright.reports.layout import table
from panelwright.reports.section_text import merged, numbers


def understood(phrases: list[Phrase], prediction: Prediction) -> str:
    """Each phrase beside the layer that it was taken for."""
    layers = merged(prediction.layers)
    rows = []
    for phrase, (first, same) in zip(phrases, layers, strict=False):
        count = f"{len(same)} × " if len(same) > 1 else ""
        rows.append([numbers(first, len(same)), phrase.words, "→", f"{count}{same[0].name}"])
    return "Understood, from the outside in:\n" + table(rows, right=(0,), indent="  ")
