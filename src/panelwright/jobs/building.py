"""Plan what is built of a panel on the shelf."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from panelwright.errors import InputError, Problem
from panelwright.fabrication.buying import AS_IT_STANDS, called
from panelwright.fabrication.part import read_part
from panelwright.fabrication.plan import BuildPlan
from panelwright.jobs.build import build
from panelwright.jobs.shelf import Remnant, Shelf
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import Description, read

#: Longest part file that is taken; the shelf keeps no longer text.
MOST_TEXT = 19_000
_START = """\
# What is built of it. Everything may be left out: what then stands in is said on the page.
format = 1

[[part]]
{size}
# count = 2
# cutout = [{{ length = "700 mm", width = "500 mm" }}]

[mix]
# ratio = "100:32 by mass"       # as on the can
# pot_life = "40 min"
# pot_life_at = "20 degC"

[shop]
# hands = 2
# start = "9:00"
# temperature = "18 degC"
"""
_NO_SIZE = 'size = { length = "1 m", width = "1 m" }   # the panel file says none: write yours'


def first_part_file(text: str) -> str:
    """A part file to start from: one flat part of the size that the panel file says.

    text : the panel file. Raises :class:`InputError` where it cannot be read.
    """
    size = read(text).panel.size
    if size is None:
        return _START.format(size=_NO_SIZE)
    sides = f'length = "{size.length.text}", width = "{size.width.text}"'
    return _START.format(size=f"size = {{ {sides} }}")


def plan_of(shelf: Shelf, text: str, part: str) -> BuildPlan:
    """The plan of a part file over a panel file; its parts may name other panels by number.

    Raises :class:`InputError` for what cannot be read or planned.
    """
    if len(part) > MOST_TEXT:
        given = f"{len(part)} characters"
        raise InputError(Problem("the part file is too long", given, f"up to {MOST_TEXT}"))
    job = read_part(part)
    numbers = dict.fromkeys(one.panel for one in job.job.part if one.panel is not None)
    named = tuple((number, shelf.panel(number).text) for number in numbers)
    return _plan(_Asked(text, part, named, shelf.catalogue()))


def remnants_for(shelf: Shelf, plan: BuildPlan) -> list[Remnant]:
    """What lies on the shelf of the materials that a build takes."""
    return [
        one
        for one in shelf.remnants()
        if not one.gone
        and any(called(one.material, line.what) == AS_IT_STANDS for line in plan.buys)
    ]


@dataclass(frozen=True)
class _Asked:
    """What a plan is made from. ``named`` : the panels that its parts name, number and file."""

    text: str
    part: str
    named: tuple[tuple[str, str], ...]
    catalogue: Catalogue


@lru_cache(maxsize=16)
def _plan(asked: _Asked) -> BuildPlan:
    named = dict(asked.named)

    def find(number: str) -> Description:
        return read(named[number], number)

    return build(read(asked.text), read_part(asked.part), asked.catalogue, find)
