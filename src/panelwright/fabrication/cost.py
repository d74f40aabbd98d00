"""What the material of a panel costs per area: what is bought of it, by the prices at hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from panelwright.fabrication.buying import called
from panelwright.fabrication.ledger import Bench, Ledger
from panelwright.mechanics import estimating, resin
from panelwright.mechanics.arrays import Array, array
from panelwright.panels.evaluate import Build
from panelwright.panels.stack import StackLayer


@dataclass(frozen=True)
class UnitPrice:
    """What one ``per`` (kg, m2, m3) of a material costs."""

    amount: float
    currency: str
    per: str


@dataclass(frozen=True)
class Unpriced:
    """A material without a price for it; ``per`` : what a price of it may be for."""

    name: str
    per: tuple[str, ...]


@dataclass(frozen=True)
class Cost:
    """Cost per area of panel, ``(...)``, its currencies, and the materials without a price."""

    amount: Array
    currencies: tuple[str, ...]
    missing: tuple[Unpriced, ...]


#: What a price may be for: of cloth, of core and timber, of what is mixed.
PER_CLOTH, PER_SOLID, PER_MIX = ("kg", "m2"), ("kg", "m2", "m3"), ("kg",)


def _price(prices: Mapping[str, UnitPrice], name: str, per: Sequence[str]) -> UnitPrice | None:
    """The price whose words name a material best, of those that are for such a unit."""
    known = [(called(words, name), price) for words, price in prices.items() if price.per in per]
    best = max(known, key=lambda pair: pair[0], default=(0, None))
    return best[1] if best[0] else None


class _Bill:
    """What is bought for a square metre, one material after the other."""

    def __init__(self, prices: Mapping[str, UnitPrice], nothing: Array) -> None:
        self.prices = prices
        self.amount = nothing
        self.missing: dict[str, Unpriced] = {}
        self.currencies: set[str] = set()

    def add(self, name: str, needed: Mapping[str, Array]) -> None:
        """Buy a material; ``needed`` : how much of it, by what it may be priced for."""
        price = _price(self.prices, name, tuple(needed))
        if price is None:
            self.missing[name] = Unpriced(name, tuple(needed))
            return
        self.amount = self.amount + estimating.cost_of(needed[price.per], price.amount)
        self.currencies.add(price.currency)


def material_cost(
    build: Build,
    layers: Sequence[StackLayer],
    bench: Bench,
    books: Ledger,
    prices: Mapping[str, UnitPrice],
    size: Array,
) -> Cost:
    """Cost of cloth, core, timber and resin as bought, per area.

    build, books : of the panel or panels; prices : by the words of each, of which the best wins;
    size : how many times as thick each layer is as when it was described, ``(..., L)``: a price
    per m2 is for a layer as described. Prices per kg, m2 or m3; resin, glue and coats per kg. Peel
    ply, bags and tools are not counted.
    """
    bill = _Bill(prices, array(np.zeros_like(build.areal_mass)))
    for number in sorted({layer.laid for layer in layers if not layer.film}):
        rows = [i for i, la in enumerate(layers) if la.laid == number and not la.film]
        layer = layers[rows[0]]
        is_cloth = layer.kind == "cloth"
        dry = build.fibre + build.thread if is_cloth else build.solid
        bought = {
            "kg": np.sum(dry[..., rows], axis=-1),
            "m2": size[..., rows[0]],
            "m3": np.sum(build.layer_thickness[..., rows], axis=-1),
        }
        waste = bench.strip_spare if layer.kind == "strips" else bench.core_waste
        spare = bench.cloth_waste if is_cloth else waste
        per = PER_CLOTH if is_cloth else PER_SOLID
        bill.add(layer.bought, {unit: resin.with_waste(bought[unit], spare) for unit in per})
    for product, mass in books.products.items():
        bill.add(product, dict.fromkeys(PER_MIX, mass))
    return Cost(bill.amount, tuple(sorted(bill.currencies)), tuple(bill.missing.values()))
