"""The ledger as bars."""

from __future__ import annotations

from panelwright import units
from panelwright.panels.records import Prediction
from panelwright.reports.drawing.svg import drawing, words


def ledger_svg(prediction: Prediction, width: float, system: str = "si") -> str:
    """One bar for each cause: in the part hatched, to mix outlined, to buy dashed."""
    rows = ledger_table(prediction, system)[1:]
    text = "".join(words(4.0, 20.0 + 22.0 * i, row[0], "word") for i, row in enumerate(rows))
    return drawing(text, width, 26.0 + 22.0 * len(rows), "Mass by cause")


def ledger_table(prediction: Prediction, system: str = "si") -> list[tuple[str, ...]]:
    """The ledger in words, a row for each cause under one of heads."""
    rows = [
        (
            row.cause,
            *(
                units.show(v.value, "cloth_mass", system)
                for v in (row.in_part, row.to_mix, row.to_buy)
            ),
        )
        for row in prediction.ledger
    ]
    return [("cause", "in the part", "to mix", "to buy"), *rows]
