"""The headline figures of a prediction, as every page and sheet shows them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from panelwright import units
from panelwright.panels.records import LayerRecord, Prediction
from panelwright.panels.spread import Ranged
from panelwright.reports.layout import first_system, printed
from panelwright.reports.section_text import merged, numbers


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


def laid_words(layer: LayerRecord) -> str:
    """How a layer is laid: its angle or angles; empty where it has no direction."""
    known = [angle for angle in layer.angles if angle is not None]
    if layer.kind not in {"cloth", "strips", "board", "veneer", "lamina"} or not known:
        return ""
    if len(set(known)) == 2 and sum(set(known)) == 0.0:
        return f"±{max(known):.0f}°"
    words = [f"{angle:+.0f}°".replace("-", "−") if angle else "0°" for angle in known]
    return ", ".join(words[:2])


@dataclass(frozen=True)
class StackRow:
    """A layer of the stack as it is told; neighbours described once are one row."""

    number: str
    name: str
    form: str
    laid: str
    thickness: str
    mass: str
    evidence: str
    share: str


def _bare(value: float, dimension: str, system: str) -> str:
    return units.show(value, dimension, system).partition(" (")[0].rpartition(" ")[0]


def stack_units(system: str = "si") -> tuple[str, str]:
    """Units of thickness and mass of the rows of a stack."""
    one = first_system(system)
    thickness, mass = (
        units.show(1.0, dimension, one).partition(" (")[0].rpartition(" ")[2]
        for dimension in ("thickness", "cloth_mass")
    )
    return thickness, mass


def stack_rows(prediction: Prediction, system: str = "si") -> list[StackRow]:
    """The stack from the outside in; thickness and mass in :func:`stack_units`."""
    return [
        _stack_row(numbers(first, len(same)), same, system)
        for first, same in merged(prediction.layers)
    ]


def _stack_row(number: str, same: Sequence[LayerRecord], system: str) -> StackRow:
    one, layer = first_system(system), same[0]
    thickness = sum(each.thickness.value for each in same)
    mass = sum(each.areal_mass.value for each in same)
    share = sum(each.share_of_mass for each in same)
    return StackRow(
        number,
        (f"{len(same)} × " if len(same) > 1 else "") + printed(layer.name),
        f"{layer.kind}, {layer.form}" if layer.kind == "cloth" else layer.kind,
        laid_words(layer),
        _bare(thickness, "thickness", one) if thickness > 0.0 else "–",
        _bare(mass, "cloth_mass", one),
        layer.evidence.value,
        f"{100.0 * share:.0f} %",
    )


def rows_by_description(prediction: Prediction, system: str = "si") -> dict[str, StackRow]:
    """A row for each layer of the panel file, by where the file describes it.

    A layer that lies several times has all its numbers: "3–4", "1, 6".
    """
    found: dict[str, list[int]] = {}
    for number, layer in enumerate(prediction.layers, start=1):
        found.setdefault(layer.described, []).append(number)
    return {
        described: _stack_row(_runs(own), [prediction.layers[n - 1] for n in own], system)
        for described, own in found.items()
    }


def _runs(places: Sequence[int]) -> str:
    """Rising numbers with their runs drawn together."""
    starts = [n for n in places if n - 1 not in places]
    ends = [n for n in places if n + 1 not in places]
    return ", ".join(numbers(a, b - a + 1) for a, b in zip(starts, ends, strict=True))


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


def change(now: Figure, then: Figure) -> str:
    """By how much a figure differs, signed, to its own digits; empty where that is nothing."""
    if now.unit != then.unit:
        return f"{then.number} {then.unit} before"
    digits = len(now.number.partition(".")[2])
    off = round(_number(now.number) - _number(then.number), digits)
    return f"{off:+.{digits}f}".replace("-", "\N{MINUS SIGN}") if off else ""


def _number(shown: str) -> float:
    """A number as it is printed, thin spaces and true minus."""
    return float("".join(shown.split()).replace("\N{MINUS SIGN}", "-"))


def as_ranged_before(value: Ranged, before: Ranged) -> Ranged:
    """A middle value with the range of an earlier one, as wide in proportion."""
    if before.value == 0.0:
        return value
    scale = value.value / before.value
    low, high = sorted((before.low * scale, before.high * scale))
    return replace(value, low=low, high=high, evidence=before.evidence, drivers=before.drivers)
