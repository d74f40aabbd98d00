"""What the material of a panel costs per area: what is bought of it, by the prices at hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from panelwright.fabrication.ledger import Bench, Ledger
from panelwright.materials.records import key_of
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
class Cost:
    """Cost per area of panel, ``(...)``, and the names of materials without a price for them."""

    amount: Array
    currency: str
    missing: tuple[str, ...]


def _price(prices: Mapping[str, UnitPrice], name: str, per: Sequence[str]) -> UnitPrice | None:
    wanted = key_of(name)
    for material, price in prices.items():
        if key_of(material) == wanted and price.per in per:
            return price
    return None


def material_cost(
    build: Build,
    layers: Sequence[StackLayer],
    bench: Bench,
    books: Ledger,
    prices: Mapping[str, UnitPrice],
    size: Array,
) -> Cost:
    """Cost of cloth, core, timber and resin as bought, per area.

    build, books : of the panel or panels; size : how many times as thick each layer is as when it
    was described, ``(..., L)``: a price per m2 is for a layer as described. Prices per kg, m2 or
    m3; resin, glue and coats per kg. Peel ply, bags and tools are not counted.
    """
    amount, missing, currencies = array(np.zeros_like(build.areal_mass)), [], set()
    for number in sorted({layer.laid for layer in layers if not layer.film}):
        rows = [i for i, la in enumerate(layers) if la.laid == number and not la.film]
        layer = layers[rows[0]]
        is_cloth = layer.kind == "cloth"
        price = _price(prices, layer.name, ("kg", "m2") if is_cloth else ("kg", "m2", "m3"))
        if price is None:
            missing.append(layer.name)
            continue
        dry = build.fibre + build.thread if is_cloth else build.solid
        bought = {
            "kg": np.sum(dry[..., rows], axis=-1),
            "m2": size[..., rows[0]],
            "m3": np.sum(build.layer_thickness[..., rows], axis=-1),
        }[price.per]
        waste = bench.strip_spare if layer.kind == "strips" else bench.core_waste
        needed = resin.with_waste(bought, bench.cloth_waste if is_cloth else waste)
        amount = amount + estimating.cost_of(needed, price.amount)
        currencies.add(price.currency)
    for product, mass in books.products.items():
        price = _price(prices, product, ("kg",))
        if price is None:
            missing.append(product)
            continue
        amount = amount + estimating.cost_of(mass, price.amount)
        currencies.add(price.currency)
    if len(currencies) > 1:
        missing.append(f"prices in one currency, not in {' and '.join(sorted(currencies))}")
    return Cost(amount, min(currencies, default=""), tuple(dict.fromkeys(missing)))
