"""Pots: how many, how large, when each is mixed and by when it must be used."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from panelwright import units
from panelwright.errors import Problem
from panelwright.fabrication.mixing import Life, Mixing
from panelwright.fabrication.times import DAY, lasting
from panelwright.mechanics import potting

#: Time of a day [s] to temperature of the shop [K].
Air = Callable[[float], float]
#: Less than this in a pot is not weighed out well on a shop's scales. Common practice.
LEAST_POT = 0.05
RATE, CAP = "laying rate", "pot-mass cap"


@dataclass(frozen=True)
class Pot:
    """One pot. Masses in kg, times in s after midnight of its day.

    ``resin``, ``hardener`` are None where the ratio by mass is not known; ``volumes`` are those of
    resin and hardener, m3, where it is mixed by volume alone; ``gels_low``, ``gels_high`` : when
    it gels at the earliest and latest, by the spread of the pot life.
    """

    number: int
    mass: float
    resin: float | None
    hardener: float | None
    volumes: tuple[float, float] | None
    start: float
    laid: float  # when it is used up at the rate of laying
    use_by: float
    gels: float
    temperature: float
    gels_low: float = 0.0
    gels_high: float = 0.0


@dataclass(frozen=True)
class Work:
    """What is to be laid: ``area`` m2, ``plies`` over each other, ``mass`` of mix for all of it.

    ``rate`` : of one ply, one person, m2/s; ``loss`` : what of the mix stays in pots and on tools,
    as a share on top of what is laid.
    """

    area: float
    plies: int
    mass: float
    rate: float
    hands: int
    loss: float = 0.0
    bays: int = 1

    @property
    def ply_time(self) -> float:
        """What one ply of one bay takes, s."""
        return float(potting.laying_time(self.area / self.bays, 1.0, self.rate * self.hands))

    @property
    def time(self) -> float:
        """What all of it takes, s."""
        return float(potting.laying_time(self.area, max(self.plies, 1), self.rate * self.hands))


@dataclass(frozen=True)
class Limits:
    """What bounds a pot, kg, and which bound governs. ``life`` : at the warmest of the work.

    ``by_rate`` is None where the feed takes the mix as it comes.
    """

    by_rate: float | None
    cap: float
    pot: float
    governs: str
    life: Life
    temperature: float


def warmest(air: Air, start: float, end: float) -> float:
    """The highest temperature of a while [K], looked at every five minutes of its first day."""
    end = min(end, start + DAY)
    steps = max(1, math.ceil((end - start) / 300.0))
    return max(air(start + (end - start) * step / steps) for step in range(steps + 1))


def limits(work: Work, mixing: Mixing, air: Air, start: float) -> Limits:
    """How large a pot may be for a piece of work that starts at a time of the day [s]."""
    temperature = warmest(air, start, start + work.time)
    life = mixing.life(temperature)
    over_all = work.rate * work.hands / max(work.plies, 1)
    use = work.mass / work.area / (1.0 + work.loss)
    by_rate = float(potting.pot_by_rate(over_all, use, life.value, mixing.usable.value))
    pot = float(potting.pot_limit(by_rate, mixing.cap.value))
    governs = RATE if by_rate < mixing.cap.value else CAP
    return Limits(by_rate, mixing.cap.value, pot, governs, life, temperature)


def pots_of(work: Work, mixing: Mixing, bounds: Limits, air: Air, start: float) -> tuple[Pot, ...]:
    """The pots of a piece of work, all alike, each begun when the one before is laid."""
    each_bay = work.mass / work.bays
    count = max(1, int(potting.pots(each_bay, bounds.pot, mixing.heel)))
    mass = float(potting.equal_pot(each_bay, count, mixing.heel))
    each = work.time / (work.bays * count)
    found = []
    for number in range(work.bays * count):
        begun = start + number * each
        warm = air(begun)
        life = mixing.life(warm)
        resin = mixing.resin(mass)
        found.append(
            Pot(
                number=number + 1,
                mass=mass,
                resin=resin,
                hardener=None if resin is None else mass - resin,
                volumes=mixing.volumes(mass),
                start=begun,
                laid=begun + each,
                use_by=begun + mixing.usable.value * life.value,
                gels=begun + life.value,
                temperature=warm,
                gels_low=begun + life.low,
                gels_high=begun + life.high,
            )
        )
    return tuple(found)


def bays_needed(work: Work, bounds: Limits) -> int:
    """In how many bays one ply is laid before the first pot of it gels."""
    return max(1, math.ceil(work.bays * work.ply_time / bounds.life.value - 1e-9))


def too_slow(work: Work, bounds: Limits) -> Problem | None:
    """Why the work cannot be laid wet in wet with this mix, and what nearly would do; or None."""
    if work.ply_time <= bounds.life.value:
        return None
    bays = bays_needed(work, bounds)
    hands = math.ceil(work.hands * work.ply_time / bounds.life.value - 1e-9)
    ply, life = lasting(work.ply_time), lasting(bounds.life.value)
    warm = units.show(bounds.temperature, "temperature")
    return Problem(
        f"a pot gels before one ply is laid: it keeps {life} at {warm}, a ply takes {ply}",
        f"{units.show(work.area / work.bays, 'area')} in a bay, {work.hands} to lay it",
        f"a pot life of {ply} or more",
        f"bays = {bays} in the [[part]], hands = {hands}, or a slower hardener",
    )


def too_small(bounds: Limits, mixing: Mixing) -> Problem | None:
    """Why no pot worth weighing can be mixed, and what would do; or None."""
    least = max(LEAST_POT, 2.0 * mixing.heel)
    if bounds.pot >= least:
        return None
    shown = units.show(bounds.pot, "resin_mass")
    need = units.show(least, "resin_mass")
    if bounds.pot >= LEAST_POT:
        stays = units.show(mixing.heel, "resin_mass")
        what = f"half of each pot or more is left in it: {stays} of {shown}"
        return Problem(what, stays, f"less than {units.show(bounds.pot / 2.0, 'resin_mass')}")
    if bounds.governs == CAP:
        return Problem(f"a pot of {shown} cannot be weighed out", shown, f"{need} or more")
    longer = lasting(bounds.life.value * least / bounds.pot)
    return Problem(
        f"only {shown} can be laid before a pot thickens",
        f"a pot life of {lasting(bounds.life.value)}",
        f"{need} or more in a pot",
        f"a pot life of {longer}, more hands, or a cooler shop",
    )
