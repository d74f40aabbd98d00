"""Readings of a piece: what can be read, in what unit, how finely, and which of them stand.

A reading is never written over: one that comes with a reason takes the place of those before it of
the same kind and place, and they stay.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import median

from panelwright import units
from panelwright.errors import InputError, Problem, UnitError
from panelwright.materials.records import either, unknown_name

BEFORE, AFTER, LATER = "before the build", "after the build", "in the furnace, tub or oven"
ON_A_PHOTO = "on a photo of the cut edge"


@dataclass(frozen=True)
class Kind:
    """What can be read: ``alone`` is the unit of a number alone, ``division`` and ``usual`` SI.

    ``usual`` : standard uncertainty of the instrument beside its division; common practice.
    """

    name: str
    when: str
    dimension: str
    alone: str
    division: float
    usual: float
    says: str


_TABLE = """
cloth        | b | cloth_mass  | g/m2  | 1     | 0    | all dry cloth of a square metre
core mass    | b | mass        | g     | 1     | 0    | core or timber of this piece
core length  | b | length      | mm    | 1     | 0.3  | where it is not that of the piece
core width   | b | length      | mm    | 1     | 0.3  | where it is not that of the piece
core thickness     | b | thickness   | mm    | 0.01  | 0.02 | at points, as core thickness@A1
core moisture| b | fraction    | %     | 0.5   | 1    | of timber or balsa, before the build
pots         | b | ratio       |       | 0     | 0    | how many were mixed, where each was weighed
resin mixed  | b | resin_mass  | g     | 1     | 0    | all of it, or of a pot as resin mixed@pot 1
resin left   | b | resin_mass  | g     | 1     | 0    | left in all pots, or in one
hours        | b | time        | h     | 0.25  | 0    | person-hours of laying cloth
temperature  | b | temperature | degC  | 1     | 0.5  | of the shop
humidity     | b | fraction    | %     | 1     | 3    | of the air of the shop
mass         | a | mass        | g     | 1     | 0    | the piece, with its tare
tare         | a | mass        | g     | 1     | 0    | what it was weighed in or on
length       | a | length      | mm    | 1     | 0.3  | of the piece
width        | a | length      | mm    | 1     | 0.3  | of the piece
area         | a | area        | m2    | 0     | 0    | of no rectangle, by a template
thickness    | a | thickness   | mm    | 0.01  | 0.02 | as thickness@A1; at nine points or more
moisture     | a | fraction    | %     | 0.5   | 1    | of the core when the piece was weighed
outside face | a | thickness   | mm    | 0.01  | 0.02 | of the face alone, at a sawn edge
inside face  | a | thickness   | mm    | 0.01  | 0.02 | of the face alone, at a sawn edge
crucible     | l | mass        | g     | 0.001 | 0    | empty
crucible and piece | l | mass  | g     | 0.001 | 0    | before the furnace
crucible and rest  | l | mass  | g     | 0.001 | 0    | after the furnace
cloth loss   | l | fraction    | %     | 0.1   | 0.1  | what dry cloth alone loses in the furnace
in air       | l | mass        | g     | 0.001 | 0    | piece hung in air
in water     | l | mass        | g     | 0.001 | 0    | piece and wire in water
wire in water| l | mass        | g     | 0.001 | 0    | the wire alone, as deep
water density| l | density     | kg/m3 | 0.1   | 0.2  | of the water; 997.5 kg/m3 at 23 °C
resin density| l | density     | kg/m3 | 1     | 3    | of a cured button of this batch
points       | l | ratio       |       | 0     | 0    | of the grid in each field
hits         | l | ratio       |       | 0     | 0    | points on a void, as hits@1 for field 1
moist        | l | mass        | g     | 0.01  | 0    | core before the oven
dry          | l | mass        | g     | 0.01  | 0    | core after the oven
scale length | p | length      | mm    | 0.5   | 0.1  | between the two scale marks, on a rule
scale x      | p | ratio       |       | 1     | 1.5  | of a scale mark, px from the left
scale y      | p | ratio       |       | 1     | 1.5  | of a scale mark, px from the top
edge x       | p | ratio       |       | 1     | 1.5  | of a mark on a boundary, px from the left
edge y       | p | ratio       |       | 1     | 1.5  | of a mark on a boundary, px from the top
"""
_WHEN = {"b": BEFORE, "a": AFTER, "l": LATER, "p": ON_A_PHOTO}
#: What is written as two numbers, ``812 1204``, is two readings: the words for it, and those two.
PAIRS = {
    "scale mark": ("scale x", "scale y"),
    "edge mark": ("edge x", "edge y"),
}
_PAIRS_SAY = {
    "scale mark": "x y of each, as scale mark@1 and scale mark@2",
    "edge mark": "x y, as edge mark@1/0: place 1, outside face; @1/2: beneath layer 2",
}
_OF_A_PAIR = {name for pair in PAIRS.values() for name in pair}
#: Readings that may be nothing; the others are more than that.
_MAY_BE_ZERO = {"tare", "pots", "hits", "cloth loss", "resin left", "wire in water", "moisture"}
_MAY_BE_ZERO |= _OF_A_PAIR
#: Readings that add up over the places they were taken at; one without a place is of all of it.
ADDING = {"resin mixed", "resin left", "hours"}
#: Readings that are a share of a whole.
_SHARES = {"humidity", "cloth loss"}
#: Readings of one kind that may well be far apart.
_FREE = {"mass", "hits", "tare", "temperature"} | ADDING | _OF_A_PAIR
#: Readings of one kind further apart than this are in mixed units, or one is a slip.
MIXED = 5.0
MOST = 2000
#: Sides of a photo are no longer than this, px.
MOST_PX = 100000


def _si(number: str, alone: str, dimension: str) -> float:
    """A division in the unit of its kind, as a difference in SI."""
    if dimension == "temperature":
        return float(number)
    return units.to_si(float(number), alone or "1")


def _kind(line: str) -> Kind:
    name, when, dimension, alone, division, usual, says = (p.strip() for p in line.split("|"))
    fine, doubt = (_si(number, alone, dimension) for number in (division, usual))
    return Kind(name, _WHEN[when], dimension, alone, fine, doubt, says)


KINDS: Mapping[str, Kind] = {kind.name: kind for kind in map(_kind, _TABLE.strip().splitlines())}


@dataclass(frozen=True)
class Reading:
    """One reading, SI. ``at`` : the point; ``reason`` : why it takes the place of those before.

    ``division`` : the smallest step of the instrument.
    """

    what: str
    value: float
    at: str = ""
    division: float = 0.0
    reason: str = ""


def _plain(words: str) -> str:
    return " ".join(words.replace("_", " ").split()).casefold()


def kind_of(words: str) -> Kind:
    """The kind of some words; UnknownName with the nearest."""
    name = _plain(words)
    if name not in KINDS:
        import difflib

        near = tuple(difflib.get_close_matches(name, [*KINDS, *PAIRS], n=3, cutoff=0.4))
        raise unknown_name("a reading that is known", words[:60], near)
    return KINDS[name]


def _alone(text: str, unit: str) -> str:
    """What was typed; a number alone is meant in the unit of its kind."""
    bare = text.strip()
    return f"{bare} {unit}" if unit and bare.lstrip("+-").replace(".", "", 1).isdigit() else bare


def _of_steps(kind: Kind) -> str:
    """The dimension of a division: of a temperature, a change of it."""
    return "temperature_change" if kind.dimension == "temperature" else kind.dimension


def read_reading(
    what: str, text: str, at: str = "", division: str = "", reason: str = ""
) -> Reading:
    """A reading as typed: ``413.8 g``, ``413.8`` in the unit of its kind, ``413.8 g by 0.1 g``.

    Raises :class:`InputError` with the name of the reading.
    """
    kind = kind_of(what)
    said = f"{kind.name}@{at}" if at else kind.name
    body, _, fine = text.partition(" by ")
    fine = division or fine
    try:
        if body.lstrip().startswith(("=", "@")):
            hint = "the number that the spreadsheet shows, pasted as a value"
            raise InputError(Problem("a formula is not read", body.strip()[:40], hint=hint))
        value = units.parse(_alone(body, kind.alone), kind.dimension).value
        step = kind.division
        if fine:
            step = units.parse(_alone(fine, kind.alone), _of_steps(kind)).value
    except (UnitError, InputError) as wrong:
        raise InputError([problem.at(key=said) for problem in wrong.problems]) from None
    return check_reading(Reading(kind.name, value, at.strip(), step, reason.strip()))


def read_readings(
    what: str, text: str, at: str = "", division: str = "", reason: str = ""
) -> tuple[Reading, ...]:
    """One reading as typed, or the two of a mark on a picture: ``812 1204``, ``812 1204 by 2``.

    Raises :class:`InputError` with the name of the reading.
    """
    pair = PAIRS.get(_plain(what))
    if pair is None:
        return (read_reading(what, text, at, division, reason),)
    body, by, fine = text.partition(" by ")
    numbers = body.replace("px", " ").replace(",", " ").split()
    if len(numbers) != len(pair):
        said = f"{_plain(what)}@{at}" if at else _plain(what)
        allowed = 'x y in px, such as "812 1204"'
        problem = Problem("a mark is two numbers", body.strip()[:40], allowed, key=said)
        raise InputError(problem)
    step = fine if by else division
    return tuple(
        read_reading(name, number, at, step.replace("px", "").strip(), reason)
        for name, number in zip(pair, numbers, strict=True)
    )


def check_reading(reading: Reading) -> Reading:
    """Itself; InputError where it cannot be."""
    least_ok = reading.what in _MAY_BE_ZERO or (reading.what in ADDING and reading.at != "")
    said = f"{reading.what}@{reading.at}" if reading.at else reading.what
    if (
        not math.isfinite(reading.value)
        or reading.value < 0.0
        or (reading.value == 0.0 and not least_ok)
    ):
        allowed = "nothing or more" if least_ok else "more than nothing"
        raise InputError(Problem("this cannot be", f"{reading.value:g}", allowed, key=said))
    if reading.what in _OF_A_PAIR and reading.value > MOST_PX:
        given = f"{reading.value:g} px"
        raise InputError(Problem("no photo is so large", given, f"up to {MOST_PX} px", key=said))
    if reading.what in _SHARES and reading.value > 1.0:
        given = f"{100.0 * reading.value:g} %"
        raise InputError(Problem("this cannot be", given, "up to 100 %", key=said))
    if not (math.isfinite(reading.division) and reading.division >= 0.0):
        given = f"{reading.division:g}"
        raise InputError(Problem("the division of an instrument is above nothing", given, key=said))
    return reading


def standing(readings: Iterable[Reading]) -> tuple[Reading, ...]:
    """The readings that stand, the oldest first: those that a later one replaced are left out."""
    found: list[Reading] = []
    for one in readings:
        if one.reason:
            found = [old for old in found if (old.what, old.at) != (one.what, one.at)]
        found.append(one)
    return tuple(found)


def refuse_mixed(readings: Sequence[Reading]) -> None:
    """Refuse readings of one kind that cannot be of one piece: mixed units, or a slip."""
    if len(readings) > MOST:
        raise InputError(Problem("too many readings", str(len(readings)), f"up to {MOST}"))
    wrong = []
    for kind in KINDS.values():
        if kind.name in _FREE:
            continue
        of_kind = [one for one in readings if one.what == kind.name]
        usual = median([one.value for one in of_kind]) if of_kind else 0.0
        for one in of_kind:
            if usual > 0.0 and not usual / MIXED <= one.value <= usual * MIXED:
                shown = units.show(one.value, kind.dimension)
                others = units.show(usual, kind.dimension)
                wrong.append(
                    Problem(
                        "this does not fit the others of its kind: another unit, or a slip",
                        f"{shown}, the others about {others}",
                        hint="the unit written with each number",
                        key=f"{one.what}@{one.at}" if one.at else one.what,
                    )
                )
    if wrong:
        raise InputError(wrong)


def order_of_reading() -> str:
    """What to read and when, one kind a line: the order of a build."""
    lines = []
    for when in (BEFORE, AFTER, LATER, ON_A_PHOTO):
        lines.append(f"{when[:1].upper()}{when[1:]}")
        lines += [
            f"  {kind.name:<20}{kind.alone or 'number':<8}{kind.says}"
            for kind in KINDS.values()
            if kind.when == when and kind.name not in _OF_A_PAIR
        ]
    lines += [f"  {name:<20}{'px':<8}{says}" for name, says in _PAIRS_SAY.items()]
    four = either(("mass", "length", "width", "thickness"))
    return "\n".join([*lines, f"Four are enough: {four.replace(' or ', ' and ')}."])
