"""The skins of a sandwich, drawn again and larger."""

from __future__ import annotations

from panelwright.panels.records import Prediction


def details_svg(
    prediction: Prediction,
    width: float,
    cut: str = "across",
    selected: int | None = None,
    system: str = "si",
) -> str:
    """Details A and B; nothing for a panel without a core."""
    return ""
