"""The shop's own prices as a cost needs them: the newest of each material."""

from __future__ import annotations

from panelwright.fabrication.cost import UnitPrice
from panelwright.jobs.shelf import Price, open_shelf


def newest_prices(prices: tuple[Price, ...]) -> dict[str, UnitPrice]:
    """The newest price of each material. prices : as the shelf gives them, the newest first."""
    found: dict[str, UnitPrice] = {}
    for one in prices:
        found.setdefault(one.material, UnitPrice(float(one.amount), one.currency, one.per))
    return found


def unit_prices(place: str) -> dict[str, UnitPrice]:
    """The prices on a shelf. Raises :class:`ShelfError` where it cannot be had."""
    opened = open_shelf(place)
    try:
        return newest_prices(opened.prices())
    finally:
        opened.close()
