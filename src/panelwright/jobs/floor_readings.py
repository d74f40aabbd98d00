"""What is written at steps and pots as readings of a part: how fine, where, in place of what."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

from panelwright import units
from panelwright.errors import InputError, PanelwrightError, Problem, UnitError
from panelwright.fabrication.plan import Box
from panelwright.mechanics.uncertainty import combined_uncertainty
from panelwright.mechanics.weighing import weighed_uptake
from panelwright.samples.readings import ADDING, KINDS, Reading, read_reading, standing

#: Area of the square of cloth that is weighed, m2: half a metre each way.
SQUARE = 0.25
#: Readings that are of the moment of their step, beside those that add up.
_OF_THE_MOMENT = ADDING | {"temperature", "humidity"}
_NUMBER = re.compile(r"[+-]?[0-9]+(?:\.([0-9]+))?")

#: What stands of a piece, by kind and place.
Stands = Mapping[tuple[str, str], float]


def stands_of(readings: Iterable[Reading]) -> Stands:
    """The readings that stand, by kind and place; of several of one place the last."""
    return {(one.what, one.at): one.value for one in standing(readings)}


def of_boxes(
    step: int,
    boxes: Sequence[Box],
    typed: Mapping[str, str],
    plies: Mapping[str, int],
    stands: Stands,
) -> list[Reading]:
    """Readings of the boxes of a step.

    typed : by name of the box; plies : how many of each cloth, by its name. What stands already
    with the same value is left out. Raises :class:`InputError` with every box that is no reading.
    """
    found: list[Reading] = []
    wrong: list[Problem] = []
    cloth = [box for box in boxes if box.of]
    for box in boxes:
        text = typed.get(box.name, "").strip()
        if not (box.reads and text):
            continue
        try:
            one = _cloth_of(box, text) if box.of else _read(box, text, step)
        except PanelwrightError as refused:
            wrong += [problem.at(key=box.name) for problem in refused.problems]
        else:
            found.append(one)
    if wrong:
        raise InputError(wrong)
    weighed = {one.at: one for one in found if one.what == "cloth"}
    found = [one for one in found if one.what != "cloth"]
    if cloth and all(box.of in weighed for box in cloth):
        found.append(_all_cloth(weighed, plies))
    return _new(found, stands, f"written anew at step {step}")


def of_pot(
    place: str, grams: Mapping[str, float | None], pots: int, stands: Stands
) -> list[Reading]:
    """Readings of a pot.

    place : which pot; grams : ``mixed`` and ``left`` in g and ``warm`` in °C, None where nothing
    was written; pots : how many were mixed so far.
    """
    found = [
        Reading(what, units.to_si(value, unit), place, KINDS[what].division)
        for name, (what, unit) in _OF_POT.items()
        if (value := grams.get(name)) is not None
    ]
    found.append(Reading("pots", float(pots)))
    return _new(found, stands, "written anew at the pots")


def of_no_pot(place: str, pots: int, stands: Stands) -> list[Reading]:
    """Readings that take back those of a pot that was not mixed after all."""
    grams = {"mixed": 0.0, "left": 0.0}
    back = of_pot(place, grams, pots, stands)
    there = [one for one in back if (one.what, one.at) in stands]
    return [replace(one, reason="not mixed after all") for one in there]


_OF_POT = {
    "mixed": ("resin mixed", "g"),
    "left": ("resin left", "g"),
    "warm": ("temperature", "degC"),
}


def _new(found: Iterable[Reading], stands: Stands, reason: str) -> list[Reading]:
    return list(_replacing(found, stands, reason))


def _replacing(found: Iterable[Reading], stands: Stands, reason: str) -> Iterator[Reading]:
    """Readings that say something new, with a reason where another stands in their place."""
    for one in found:
        old = stands.get((one.what, one.at))
        if old is None:
            yield one
        elif old != one.value:
            yield replace(one, reason=reason)


def _fine(text: str, unit: str) -> str:
    """The step of the instrument, as the last digit of a number alone tells it."""
    number = _NUMBER.fullmatch(text)
    return "" if number is None else f"{10.0 ** -len(number[1] or ''):g} {unit}"


def _with_unit(text: str, unit: str) -> str:
    return f"{text} {unit}" if _NUMBER.fullmatch(text) else text


def _read(box: Box, text: str, step: int) -> Reading:
    at = f"step {step}" if box.reads in _OF_THE_MOMENT else ""
    return read_reading(box.reads, _with_unit(text, box.unit), at, _fine(text, box.unit))


def _cloth_of(box: Box, text: str) -> Reading:
    """Cloth of a square metre, from the weighed square; its own areal mass where that is said."""
    try:
        mass = units.parse(_with_unit(text, box.unit), "mass").value
    except UnitError:
        return read_reading("cloth", text, box.of)
    fine = units.parse(_fine(text, box.unit) or f"1 {box.unit}", "mass").value
    areal, step = (float(weighed_uptake(0.0, one, SQUARE)) for one in (mass, fine))
    return Reading("cloth", areal, box.of, step)


def _all_cloth(weighed: Mapping[str, Reading], plies: Mapping[str, int]) -> Reading:
    """All dry cloth of a square metre, from that of each cloth and how often it is laid."""
    times = [float(plies[name]) for name in weighed]
    total = sum(n * one.value for n, one in zip(times, weighed.values(), strict=True))
    step = combined_uncertainty(times, [one.division for one in weighed.values()])
    return Reading("cloth", total, "", float(step))
