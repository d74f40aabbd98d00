"""A plan of a build in shop words: what text, sheets and spreadsheets share."""

from __future__ import annotations

from dataclasses import dataclass

from panelwright import units
from panelwright.fabrication.buying import Buy, Priced
from panelwright.fabrication.clock import DAY
from panelwright.fabrication.plan import BuildPlan, PartPlan
from panelwright.fabrication.pots import Pot
from panelwright.fabrication.schedule import Batch, Session
from panelwright.fabrication.stages import Kind
from panelwright.fabrication.times import clock
from panelwright.reports.layout import SYSTEMS, first_system, plural, printed

DASH = "–"
#: Dimension that an amount to buy is shown in.
_DIMENSION = {"m": "length", "m2": "area", "kg": "resin_mass"}
_UNIT = {"sheet": "sheet", "board": "board", "piece": "piece"}


def amount(line: Buy, value: float, system: str = "si") -> str:
    """An amount of a line in the unit it is sold in, both systems where both are wanted."""
    if line.per in _UNIT:
        return plural(round(value), _UNIT[line.per])
    dimension = "mass" if line.per == "kg" and value >= 100.0 else _DIMENSION[line.per]
    first, *others = (units.show(value, dimension, one) for one in SYSTEMS[system])
    return f"{first} ({others[0]})" if others else first


def bought(line: Buy, system: str = "si") -> str:
    """What to buy of a line: packs where it comes in packs."""
    if line.packs is not None and line.pack is not None:
        pack = units.show(line.pack, "mass", first_system(system))
        return f"{plural(line.packs, 'pack')} of {pack}"
    return amount(line, line.buy, system)


def grams(mass: float) -> str:
    """A mass on the shop's scales, whole grams, without its unit."""
    return f"{1e3 * mass:.0f}"


def parts_of(pot: Pot) -> str:
    """Resin and hardener of a pot: grams, or millilitres where it is measured by volume."""
    if pot.resin is not None and pot.hardener is not None:
        return f"{grams(pot.resin)} + {grams(pot.hardener)}"
    if pot.volumes is not None:
        resin, hardener = (f"{1e6 * volume:.0f}" for volume in pot.volumes)
        return f"{resin} + {hardener} mL"
    return DASH


def minutes(seconds: float) -> str:
    """Whole minutes, rounded down: a time that must not be passed."""
    return f"{int(seconds // 60.0)} min"


@dataclass(frozen=True)
class PotRow:
    """Pots of one product in one go, all alike."""

    session: Session
    batch: Batch
    numbers: str
    grams: str
    parts: str
    starts: str
    use_in: str
    gels_in: str
    temperature: str


def pot_rows(plan: BuildPlan, system: str = "si") -> list[PotRow]:
    """One row for each product of each go that has timed pots."""
    return [
        _pot_row(session, batch, system)
        for session in plan.sessions
        for batch in session.batches
        if batch.pots
    ]


def _pot_row(session: Session, batch: Batch, system: str) -> PotRow:
    pots = batch.pots
    first, last = pots[0], pots[-1]
    one = first_system(system)
    warm = sorted({units.show(pot.temperature, "temperature", one) for pot in (first, last)})
    return PotRow(
        session,
        batch,
        "1" if len(pots) == 1 else f"1–{len(pots)}",
        grams(first.mass),
        parts_of(first),
        clock(first.start) if len(pots) == 1 else f"{clock(first.start)} … {clock(last.start)}",
        minutes(min(pot.use_by - pot.start for pot in pots)),
        minutes(min(pot.gels - pot.start for pot in pots)),
        " … ".join(warm),
    )


def when(session: Session) -> str:
    """The day and the time at which a go begins and ends."""
    start = clock(session.start % DAY)
    if session.stage.kind in {Kind.PLANK, Kind.FAIR}:
        last = int(session.end // DAY) + 1
        return f"day {session.day}" if last == session.day else f"days {session.day} to {last}"
    end = clock(session.end - DAY * (session.start // DAY))
    return f"day {session.day}, {start} to {end}"


def size_of(part: PartPlan, system: str = "si") -> str:
    """How large a part is."""
    shape, one = part.shape, first_system(system)
    area = units.show(shape.area, "area", one)
    if shape.is_shell:
        return f"{area}, {units.show(shape.length, 'length', one)} long"
    sides = " × ".join(units.show(side, "length", one) for side in (shape.length, shape.girth))
    return f"{sides}, {area}"


def named(part: PartPlan) -> str:
    """The name of a part, and how often it is made."""
    name = printed(part.name)
    return f"{part.count} × {name}" if part.count > 1 else name


def money(value: float, currency: str) -> str:
    """An amount of money; no currency is taken for granted."""
    return f"{value:,.2f} {currency}".rstrip().replace(",", "\N{THIN SPACE}")


def cost_words(priced: Priced) -> str:
    """What a job costs, with its range where the hours give it one."""
    whole = money(priced.total, priced.currency)
    if priced.total_high <= priced.total_low:
        return whole
    low, high = (money(end, "") for end in (priced.total_low, priced.total_high))
    return f"{whole} ({low} to {high})"


def hours(value: float) -> str:
    """Hours, to the half hour below ten, to the hour above."""
    return f"{value:.0f}" if value >= 10.0 else f"{round(2.0 * value) / 2.0:g}"
