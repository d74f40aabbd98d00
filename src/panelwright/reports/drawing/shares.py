"""What each layer has of thickness, mass and bending stiffness."""

from __future__ import annotations

from panelwright.panels.records import Prediction


def shares_svg(prediction: Prediction, width: float) -> str:
    """Bars of the shares, a row for each layer."""
    return ""


def shares_table(prediction: Prediction) -> list[tuple[str, ...]]:
    """The shares in words."""
    return [("layer", "thickness", "mass")]
