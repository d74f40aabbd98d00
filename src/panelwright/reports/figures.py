"""The headline figures of a prediction, as every page and sheet shows them."""

from __future__ import annotations

from dataclasses import dataclass

from panelwright import units
from panelwright.panels.records import FIRST, Prediction, StrengthRecord
from panelwright.panels.spread import Ranged


@dataclass(frozen=True)
class Figure:
    """One figure: what it is, in the shop's units, its range, and beneath it the other system.

    ``working`` : the name by which its working is asked for; empty where it has none.
    """

    name: str
    value: Ranged
    dimension: str
    number: str
    unit: str
    range: str
    beneath: str
    working: str = ""


def figure(
    name: str, value: Ranged, dimension: str, system: str = "si", working: str = ""
) -> Figure:
    """A figure in one system, with the other small beneath it.

    system : ``si``, ``imperial`` or ``both`` (metric first).
    """
    large, small = ("imperial", "si") if system == "imperial" else ("si", "imperial")
    ends = (value.low, value.high)
    number, _, unit = (
        units.show(value.value, dimension, large, *ends).partition(" (")[0].rpartition(" ")
    )
    spread = ""
    if value.high > value.low:
        spread = units.show_range(*ends, dimension, large).rpartition(" ")[0]
    beneath = units.show(value.value, dimension, small, *ends)
    return Figure(name, value, dimension, number, unit, spread, beneath, working)


def weakest_bent(prediction: Prediction) -> StrengthRecord | None:
    """The bending that damages the panel first; None where its strength is not known."""
    bent = [
        record
        for record in prediction.strength
        if record.action.startswith("bent") and record.level == FIRST
    ]
    if prediction.unknown_strength or not bent:
        return None
    return min(bent, key=lambda record: record.value.value)


def headlines(prediction: Prediction, system: str = "si") -> list[Figure]:
    """The figures at the head of a panel, those that are known."""
    found = [
        figure("Thickness", prediction.thickness, "thickness", system, "thickness"),
        figure("Areal mass", prediction.areal_mass, "areal_mass", system, "areal_mass"),
    ]
    section = prediction.section
    if section is not None:
        along, across = section.stiffness_along, section.stiffness_across
        found += [
            figure("Bending stiffness, along", along, "moment", system, "stiffness_along"),
            figure("Bending stiffness, across", across, "moment", system, "stiffness_across"),
        ]
    if prediction.mass is not None:
        found.append(figure("Whole panel", prediction.mass, "mass", system, "mass"))
    return found
