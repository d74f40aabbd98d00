"""One line of shop words -> a duty: "kneel on it, 600 mm x 310 mm, clamped, span/100".

Parts stand in any order with commas between them. What comes of it is the text of a file with one
``[[duty]]``, which is read like any other, so there is one way in.
"""

from __future__ import annotations

import re
from typing import get_args

from panelwright import units
from panelwright.errors import InputError, Problem, UnitError, UnknownName
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import FORMAT
from panelwright.panels.duties import Hold
from panelwright.panels.shop_words import phrases, quoted

MOST_WORDS = 300
EXAMPLE = "kneel on it, 600 mm x 310 mm, span/100, reserve 2"
ALLOWED = (
    "a ready duty or a pressure, the field between the supports as length x width, how the edges "
    "are held, for how long, and limits such as span/100, 4 mm, reserve 2, first damage 1.5"
)
_SIDES = re.compile(r"^(.+?)\s*(?:×|\bx\b)\s*(.+)$")
_LIMIT = re.compile(r"^(reserve|first damage)\s+(?:at least\s+)?(\d+(?:\.\d+)?)$")
_LASTS = re.compile(r"^(?:for|lasts)\s+(.+)$")
_SPAN = re.compile(r"^(?:at most\s+)?span\s*/\s*(\d+(?:\.\d+)?)$")


def _is(part: str, dimension: str) -> bool:
    try:
        units.parse(part, dimension)
    except UnitError:
        return False
    return True


def _limit(part: str) -> str:
    """The limit that a part sets, as a panel file has it; empty where it sets none."""
    if span := _SPAN.match(part):
        return f"deflection = {quoted(f'span/{span[1]}')}"
    if limit := _LIMIT.match(part):
        return f"{limit[1].replace(' ', '_')} = {float(limit[2]):g}"
    length = part.removeprefix("at most ")
    return f"deflection = {quoted(length)}" if _is(length, "thickness") else ""


def _line(part: str, catalogue: Catalogue) -> str:
    """The line of the duty that a part stands for; empty where it means nothing."""
    lowered = part.lower()
    if lowered in get_args(Hold):
        return f"edges = {quoted(lowered)}"
    if lasts := _LASTS.match(lowered):
        return f"lasts = {quoted(lasts[1])}"
    if (sides := _SIDES.match(part)) and _is(sides[1], "length"):
        return f"span = {{ length = {quoted(sides[1])}, width = {quoted(sides[2])} }}"
    try:
        return f"ready = {quoted(catalogue.find('ready_duties', part).name)}"
    except UnknownName:
        return ""


def duty_file(words: str, catalogue: Catalogue) -> str:
    """The file of one duty that a line of shop words stands for.

    Raises :class:`InputError` for a part that means nothing, for none, and without a field.
    """
    if len(words) > MOST_WORDS:
        given, allowed = f"{len(words)} characters", f"up to {MOST_WORDS}"
        raise InputError(Problem("too many words for a duty", given, allowed, EXAMPLE))
    lines, limits, loads = [], [], []
    for part in phrases(words):
        if limit := _limit(part):
            limits.append(limit)
        elif line := _line(part, catalogue):
            lines.append(line)
        elif _is(part, "pressure"):
            loads += ["[[duty.load]]", f"pressure = {quoted(part)}"]
        else:
            ready = ", ".join(row.name for row in catalogue.table("ready_duties"))
            what = f"what is {part!r} in a duty?"
            raise InputError(Problem(what, allowed=f"{ALLOWED}; ready are {ready}", hint=EXAMPLE))
    if not (lines or loads or limits):
        raise InputError(Problem("no duty is named", allowed=ALLOWED, hint=f'"{EXAMPLE}"'))
    if not any(line.startswith("span") for line in lines):
        what = "how large the field between the supports is has to be said"
        raise InputError(Problem(what, words, hint="the same words and 600 mm x 310 mm"))
    held = [f"limits = {{ {', '.join(limits)} }}"] if limits else []
    return "\n".join([f"format = {FORMAT}", "[[duty]]", *lines, *held, *loads]) + "\n"
