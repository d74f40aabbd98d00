"""Round steps of an axis in the units that are shown."""

from __future__ import annotations

import math

from panelwright import units
from panelwright.reports.layout import first_system


def step_for(most: float, count: int) -> float:
    """The round step (1, 2, 5 times a power of ten) that parts 0 to ``most`` in so many."""
    rough = max(most, 1e-12) / count
    power = 10.0 ** math.floor(math.log10(rough))
    return next(k * power for k in (1.0, 2.0, 5.0, 10.0) if k * power >= rough * (1.0 - 1e-9))


def ticks(most: float, count: int) -> list[float]:
    """Round values from 0 up to ``most``."""
    step = step_for(most, count)
    return [step * index for index in range(int(most / step + 1e-9) + 1)]


def of_one(dimension: str, system: str) -> tuple[float, str]:
    """One shown unit in SI, and its name as printed."""
    about = units.DIMENSIONS[dimension]
    unit = about.imperial if system == "imperial" else about.metric
    shown = units.show(units.parse(f"1 {unit}", dimension).value, dimension, first_system(system))
    # inches of thickness are told with the nearest mark of a rule
    return units.parse(f"1 {unit}", dimension).value, shown.partition(" (")[0].rpartition(" ")[2]


def plain(value: float) -> str:
    """A tick without needless noughts."""
    return f"{value:.6g}"
