"""Stiffness by direction."""

from __future__ import annotations

from panelwright.panels.records import Prediction


def polar_svg(prediction: Prediction, width: float, system: str = "si") -> str:
    """Bending stiffness and modulus by angle; nothing where the stiffness is not known."""
    return ""


def polar_table(prediction: Prediction, system: str = "si") -> list[tuple[str, ...]]:
    """Stiffness by direction in words."""
    return [("angle", "bending stiffness", "modulus in the plane")]
