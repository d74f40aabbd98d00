"""Money and hours from amounts and the shop's own prices; no price is built in."""

from __future__ import annotations

from panelwright.mechanics.arrays import Array, ArrayLike, array
from panelwright.working import formula


@formula(
    symbol="K_b",
    unit="money",
    equation="K_b = n k",
    source="definition",
    inputs={"amount": "n [any]", "price": "k [money]"},
)
def cost_of(amount: ArrayLike, price: ArrayLike) -> Array:
    """What an amount costs: packs, metres or hours, each at a price.

    amount : in the unit of the price; price : for one. Both broadcast; money.
    """
    return array(amount) * array(price)


@formula(
    symbol="h",
    unit="h",
    equation="h = A h_A",
    source="definition",
    inputs={"area": "A [m²]", "per_area": "h_A [h/m²]"},
)
def hours_of(area: ArrayLike, per_area: ArrayLike) -> Array:
    """Hours of a task over an area.

    area : m2; per_area : h/m2. Both broadcast; h.
    """
    return array(area) * array(per_area)


@formula(
    symbol="K",
    unit="money",
    equation="K = ΣK_i (1 + x)",
    source="definition",
    inputs={"costs": "K_i [money]", "contingency": "x [-]"},
)
def cost_in_all(costs: ArrayLike, contingency: ArrayLike) -> Array:
    """The sum of costs, with a share on top for what nobody thought of.

    costs : on the last axis, ``(..., n)``; contingency : broadcasts with them. Money.
    """
    return array((array(costs) * (1.0 + array(contingency))).sum(axis=-1))
