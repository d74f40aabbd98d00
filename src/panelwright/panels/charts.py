"""One property against another: points with ranges, and lines of equal merit through one."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from panelwright.mechanics.comparing import equal_merit
from panelwright.panels.charted import Charted, Property
from panelwright.panels.spread import Ranged

#: How far an axis goes beyond what stands on it: a factor on a logarithmic axis, a share on an
#: even one. A range that begins below a tenth of its middle is cut off there.
BEYOND, BESIDE, LEAST_OF_MIDDLE = 1.25, 0.06, 0.1
#: Points of a line that is bent, on even axes.
BENT = 41
#: The best is so many times as good as the worst: then lines stand ten apart, else two.
FAR, TENFOLD, TWOFOLD = 30.0, 10.0, 2.0
#: Lines beside the first, to either side.
MOST_LINES = 3

PREDICTED, FOUND, HALF_FOUND = "predicted", "measured", "measured in one"


@dataclass(frozen=True)
class Compared:
    """What is to be charted: a panel, a piece of one, or a known solid.

    ``found`` : keys of the values that were measured; ``href`` : where it leads, empty for
    nowhere.
    """

    id: str
    title: str
    charted: Charted
    handbook_only: bool = False
    found: frozenset[str] = frozenset()
    href: str = ""


@dataclass(frozen=True)
class Point:
    """One that stands on the chart; ``standing`` : PREDICTED, FOUND or HALF_FOUND."""

    of: Compared
    across: Ranged
    up: Ranged
    standing: str


@dataclass(frozen=True)
class Merit:
    """What is alike along a line: ``power`` of it on logarithmic axes, and its sentence."""

    power: float
    says: str


@dataclass(frozen=True)
class Guide:
    """A line of equal merit within the axes, SI; ``times`` as good as the first at equal across."""

    times: float
    across: tuple[float, ...]
    up: tuple[float, ...]


@dataclass(frozen=True)
class LeftOut:
    """Why some cannot stand on the chart, and what they are called."""

    why: str
    titles: tuple[str, ...]


@dataclass(frozen=True)
class Axis:
    """A property, whether its axis is logarithmic, and from where to where it goes, SI."""

    of: Property
    log: bool
    low: float
    high: float

    def share(self, value: float) -> float:
        """How far along the axis a value stands: 0 at its low end, 1 at its high one."""
        if self.log:
            return math.log(value / self.low) / math.log(self.high / self.low)
        return (value - self.low) / (self.high - self.low)


@dataclass(frozen=True)
class Chart:
    """A chart as it is drawn. ``through`` : whom the first line goes through.

    ``notes`` : what holds for the whole, in sentences; ``currency`` : of what is told in money.
    """

    across: Axis
    up: Axis
    points: tuple[Point, ...]
    guides: tuple[Guide, ...] = ()
    merit: Merit | None = None
    through: str = ""
    left_out: tuple[LeftOut, ...] = ()
    notes: tuple[str, ...] = ()
    currency: str = ""
    is_part: bool = False
    hidden: int = 0  # points that lie outside the part that is looked at


# --- Lines of equal merit -------------------------------------------------------------------------

#: What is alike, by the beginning of the key of what stands up; and for what, by what is across.
_ALIKE = (
    ("stiffness_for_mass", ""),
    ("stiffness", "equally stiff plate"),
    ("moment", "equally strong plate"),
    ("sheet_stiffness", "equally stiff sheet, pulled,"),
    ("pull", "equally strong sheet, pulled,"),
    ("shear_stiffness", "equally stiff in shear through it"),
    ("shear", "equally strong core in shear"),
    ("insulation", "equally warm"),
    ("resin_to_mix", "equal resin"),
)
_FOR = {
    "areal_mass": "per kilogram",
    "cost": "for its money",
    "thickness": "for its thickness",
}
SAME_STUFF = "one material, thicker and thinner"
#: Modulus against density: how a plate that is bent, and a sheet that is pulled, weigh least.
_OF_MATERIAL = {
    "modulus_bent": Merit(3.0, "equally stiff plate per kilogram"),
    "modulus": Merit(1.0, "equally stiff sheet, pulled, per kilogram"),
}


def _ahead(across: Property, up: Property) -> Merit | None:
    """The merit of what stands up for what lies across; None where they are not of that order."""
    if across.key == "density" and up.power == 0.0:
        return _OF_MATERIAL.get(up.key.rpartition("_")[0])
    what = next((said for key, said in _ALIKE if up.key.startswith(key)), "")
    if not (what and across.key in _FOR and across.power and up.power):
        return None
    return Merit(up.power / across.power, f"{what} {_FOR[across.key]}")


def merit(across: Property, up: Property) -> Merit | None:
    """The line of equal merit of two properties; None where the two have none.

    A solid plate of one material has EI as t³, its moment as t², its mass as t. So what is as good
    a plate for its mass lies on EI = C m³, C = (E/ρ³)/12: the merit E^(1/3)/ρ (ashby-1992, from
    memory).
    """
    found = _ahead(across, up)
    if found is not None:
        return found
    turned = _ahead(up, across)
    if turned is not None:
        return Merit(1.0 / turned.power, turned.says)
    if across.power and up.power and across.key != up.key:
        return Merit(up.power / across.power, SAME_STUFF)
    return None


#: What there had better be little of.
_LITTLE = ("thickness", "areal_mass", "density", "resin_to_mix", "cost")


def best_of(points: Sequence[Point], found: Merit, up: Property) -> Point:
    """The point of most merit; of what there had better be little of, of least."""
    sign = -1.0 if up.key in _LITTLE else 1.0
    return max(points, key=lambda one: sign * _merit_of(one, found))


def _merit_of(one: Point, found: Merit) -> float:
    return float(one.up.value / one.across.value**found.power)


def _steps(points: Sequence[Point], first: Point, found: Merit) -> list[float]:
    """How many times as good the lines beside the first are, as far as there are points."""
    of_first = _merit_of(first, found)
    shares = [_merit_of(one, found) / of_first for one in points]
    least, most = min(shares), max(shares)
    step = TENFOLD if most / least >= FAR else TWOFOLD
    many = range(-MOST_LINES, MOST_LINES + 1)
    near = [step**k for k in many if least / step < step**k <= most * 1.001]
    return sorted({1.0, *near}, key=lambda times: abs(np.log(times)))


def _guide(across: Axis, up: Axis, first: Point, times: float, power: float) -> Guide | None:
    """A line as far as it lies within the axes; None where it does not."""
    at, height = first.across.value, times * first.up.value
    ends = [
        float(equal_merit(end, height, at, 1.0 / power)) if end > 0.0 else 0.0
        for end in (up.low, up.high)
    ]
    low, high = max(across.low, ends[0]), min(across.high, ends[1])
    if not low < high:
        return None
    spaced = np.geomspace if across.log else np.linspace
    where = spaced(low, high, 2 if across.log and up.log else BENT)
    there = equal_merit(where, at, height, power)
    return Guide(times, tuple(map(float, where)), tuple(map(float, there)))


def guides(
    across: Axis, up: Axis, points: Sequence[Point], first: Point, found: Merit
) -> tuple[Guide, ...]:
    """Lines of equal merit, the one through the first point before all others."""
    usable = [one for one in points if one.across.value > 0.0 and one.up.value > 0.0]
    if first not in usable:
        return ()
    lines = (
        _guide(across, up, first, times, found.power) for times in _steps(usable, first, found)
    )
    return tuple(line for line in lines if line is not None)


# --- Axes -----------------------------------------------------------------------------------------


def axis(of: Property, values: Sequence[Ranged], log: bool) -> Axis:
    """An axis that all ranges find room on; from nought where it is even and nothing lies below."""
    if not values:
        return Axis(of, log, 1.0 if log else 0.0, 10.0 if log else 1.0)
    if log:
        low = min(max(value.low, LEAST_OF_MIDDLE * value.value) for value in values)
        return Axis(of, True, low / BEYOND, max(value.high for value in values) * BEYOND)
    low = min(0.0, *(value.low for value in values))
    high = max(0.0, *(value.high for value in values))
    room = BESIDE * (high - low) or 1.0
    return Axis(of, False, low - room if low < 0.0 else 0.0, high + room)


def standing(one: Compared, across: str, up: str) -> str:
    """Whether both properties were measured, one, or neither."""
    if not one.found:
        return PREDICTED
    count = len(one.found & {across, up})
    return FOUND if count == len({across, up}) else HALF_FOUND if count else PREDICTED


def is_inside(point: Point, across: Axis, up: Axis) -> bool:
    """Whether the middle of a point lies within the axes."""
    x, y = point.across.value, point.up.value
    return across.low <= x <= across.high and up.low <= y <= up.high
