"""What to buy: one list of amounts as the trade sells them, and what they cost here."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from panelwright.fabrication.part import PartDescription, PriceGiven
from panelwright.materials.records import key_of
from panelwright.mechanics import estimating, resin


@dataclass(frozen=True)
class Buy:
    """One thing to buy. ``need`` : what is used, ``buy`` : what is bought, in the unit ``per``.

    ``other`` : the same need in other units that it may be priced in.
    """

    group: str
    what: str
    need: float
    buy: float
    per: str  # "m", "m2", "kg", "sheet", "board", "piece"
    note: str = ""
    other: Mapping[str, float] = field(default_factory=dict)
    packs: int | None = None
    pack: float | None = None
    bought: float | None = None  # money
    used: float | None = None


@dataclass(frozen=True)
class Priced:
    """The cost of a job. None where a price is missing: ``missing`` names what has none.

    ``left`` : value of what stays in stock; ``total`` with the contingency.
    """

    currency: str
    bought: float
    used: float
    left: float
    labour: float
    labour_low: float
    labour_high: float
    contingency: float
    total: float
    total_low: float
    total_high: float
    missing: tuple[str, ...]


#: How well words name a material.
AS_IT_STANDS, IN_PART = 2, 1


def called(said: str, name: str) -> int:
    """How well words name a material: AS_IT_STANDS, IN_PART, or 0, not at all.

    In part: each word of theirs is a word of the name.
    """
    asked, own = key_of(said), key_of(name)
    if asked == own:
        return AS_IT_STANDS
    return IN_PART if asked and set(asked) <= set(own) else 0


def packed(line: Buy, pack: float) -> Buy:
    """A line in kg as so many packs."""
    count = int(resin.packs(line.buy, pack))
    return replace(line, packs=count, pack=pack)


def priced(line: Buy, prices: Sequence[PriceGiven]) -> Buy:
    """A line with its cost, where the shop has a price for it in a unit that it has."""
    for price in sorted(prices, key=lambda one: -called(one.of, line.what)):
        if called(price.of, line.what) and (cost := _cost(line, price)) is not None:
            return replace(cost[0], bought=cost[1], used=cost[2])
    return line


def unpriced(lines: Sequence[Buy], prices: Sequence[PriceGiven]) -> list[PriceGiven]:
    """Prices that belong to nothing that is bought."""
    return [price for price in prices if not any(called(price.of, line.what) for line in lines)]


def _cost(line: Buy, price: PriceGiven) -> tuple[Buy, float, float] | None:
    """The line, the cost of what is bought and the cost of what is used."""
    if price.pack is not None or price.per == "pack":
        pack = line.pack if price.pack is None else price.pack.value
        if line.per != "kg" or pack is None:
            return None
        line = packed(line, pack)
        each = price.price if price.per == "pack" else price.price * pack
        bought = float(estimating.cost_of(line.packs or 0, each))
        return line, bought, float(estimating.cost_of(line.need / pack, each))
    if price.per == line.per:
        bought = line.buy if line.packs is None or line.pack is None else line.packs * line.pack
        return _both(line, price.price, bought, line.need)
    if price.per in line.other:
        used = line.other[price.per]
        bought = used * line.buy / line.need if line.need else used
        return _both(line, price.price, bought, used)
    return None


def _both(line: Buy, price: float, bought: float, used: float) -> tuple[Buy, float, float]:
    costs = [float(estimating.cost_of(amount, price)) for amount in (bought, used)]
    return line, costs[0], costs[1]


def cost(
    lines: Sequence[Buy], hours: tuple[float, float, float], job: PartDescription
) -> Priced | None:
    """The cost of a job from its lines with prices; None where the shop gave no price at all.

    hours : middle, low and high.
    """
    told = job.job.cost
    if not job.job.price and told.hour == 0.0:
        return None
    spent = [line for line in lines if line.bought is not None]
    bought = sum(line.bought or 0.0 for line in spent)
    used = sum(line.used or 0.0 for line in spent)
    extra = 0.0 if told.contingency is None else told.contingency.value
    labour, low, high = (float(estimating.cost_of(h, told.hour)) for h in hours)
    total, least, most = (
        float(estimating.cost_in_all([bought, each], extra)) for each in (labour, low, high)
    )
    return Priced(
        currency=told.currency,
        bought=bought,
        used=used,
        left=bought - used,
        labour=labour,
        labour_low=low,
        labour_high=high,
        contingency=extra,
        total=total,
        total_low=least,
        total_high=most,
        missing=tuple(line.what for line in lines if line.bought is None),
    )
