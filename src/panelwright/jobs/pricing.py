"""The shop's own prices, the newest of each material by all its names, and what panels cost."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass

from panelwright.errors import InputError, PanelwrightError, Problem, UnknownName
from panelwright.fabrication.cost import PER_SOLID, Cost, UnitPrice, Unpriced, material_cost
from panelwright.jobs.predict import Evaluated, bench_of
from panelwright.jobs.shelf import Price
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics.arrays import Array
from panelwright.panels.resolve.cloth import read_cloth
from panelwright.panels.resolve.cores import read_core
from panelwright.panels.shop_words import without_kind
from panelwright.panels.spread import Ranged, ranged

#: Tables whose rows are bought.
_TABLES = ("timbers", "plywoods", "solids", "resins", "glues", "coats", "core_classes")
_TYPED = re.compile(
    r"^(?P<name>.+?)\s*[=:]\s*(?P<amount>\d+(?:\.\d+)?)\s*(?P<currency>[A-Za-z]{3})"
    r"\s*(?:/|per\b)\s*(?P<per>kg|m2|m3|m²|m³)$"
)
EXAMPLE = "PET foam 110 kg/m3 = 12.50 EUR/kg"


def newest_prices(prices: Iterable[Price]) -> dict[str, UnitPrice]:
    """The newest price of each material, for a unit that a cost can use; the newest first."""
    found: dict[str, UnitPrice] = {}
    for one in sorted(prices, key=lambda price: price.date, reverse=True):
        if one.per in PER_SOLID:
            found.setdefault(one.material, UnitPrice(float(one.amount), one.currency, one.per))
    return found


def typed_prices(texts: Sequence[str]) -> dict[str, UnitPrice]:
    """Prices as they are typed: "PET foam 110 kg/m3 = 12.50 EUR/kg".

    Raises :class:`InputError` with each that is none.
    """
    found: dict[str, UnitPrice] = {}
    problems = []
    for text in texts:
        match = _TYPED.match(text.strip())
        if match is None:
            what, allowed = "this is no price", "material = amount currency/kg, /m2 or /m3"
            problems.append(Problem(what, text[:80], allowed, EXAMPLE))
            continue
        per = match["per"].replace("²", "2").replace("³", "3")
        found[match["name"]] = UnitPrice(float(match["amount"]), match["currency"].upper(), per)
    if problems:
        raise InputError(problems)
    return found


def known_names(words: str, catalogue: Catalogue) -> Iterator[str]:
    """What the catalogue calls the materials that words may mean; none for what it does not know.

    Words as in a panel file or a line of shop words: "biax 600", "PET foam 110", "redcedar strips",
    "epoxy".
    """
    for read in (read_cloth, read_core):
        try:
            yield read(words, catalogue).name
        except PanelwrightError:
            continue
    for table in _TABLES:
        plain = without_kind(words) if table == "timbers" else words
        try:
            row = catalogue.table(table).get(plain)
        except UnknownName:
            continue
        if row is not None:
            yield row.name


def by_all_names(prices: Mapping[str, UnitPrice], catalogue: Catalogue) -> dict[str, UnitPrice]:
    """Prices by the words they were given with, and then by what the catalogue calls these."""
    found = dict(prices)
    for words, price in prices.items():
        for name in known_names(words, catalogue):
            found.setdefault(name, price)
    return found


@dataclass(frozen=True)
class Priced:
    """What the material of a panel costs per area; ``why`` not, and what has no price."""

    value: Ranged | None
    currency: str = ""
    why: str = ""
    missing: tuple[str, ...] = ()


def priced(done: Evaluated, prices: Mapping[str, UnitPrice], times: Array) -> Priced:
    """What an evaluated panel costs, with its range.

    times : how many times as thick each layer is as it was described, ``(L,)``.
    """
    layers, bench = done.resolved.layers, bench_of(done.resolved)
    middle = material_cost(done.build, layers, bench, done.books, prices, times)
    if why := missing_words(middle):
        return Priced(None, "", why, tuple(one.name for one in middle.missing))
    drawn = material_cost(done.drawn_build, layers, bench, done.drawn_books, prices, times)
    value = ranged(middle.amount, drawn.amount, "per m2", done.causes)
    return Priced(value, middle.currencies[0])


# --- What is missing ------------------------------------------------------------------------------


def missing_words(cost: Cost) -> str:
    """Why there is no cost, in words; empty where there is one."""
    if cost.missing:
        return f"no price of {_and([one.name for one in cost.missing])}"
    if len(cost.currencies) > 1:
        return f"no one currency in its prices, but {_and(cost.currencies)}"
    return ""


def what_to_write(missing: Sequence[Unpriced]) -> str:
    """How to give the prices that are missing."""
    if not missing:
        return "all prices in one currency"
    said = " ".join(f'--price "{one.name} = 12.50 EUR/{one.per[0]}"' for one in missing)
    others = sorted({unit for one in missing for unit in one.per[1:]})
    also = f" (or /{' or /'.join(others)})" if others else ""
    return f"{said}{also} with your own figures, or write them among the prices of the shelf"


def _and(names: Sequence[str]) -> str:
    *most, last = names
    return f"{', '.join(most)} and {last}" if most else last
