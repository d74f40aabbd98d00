"""What heat, water and time leave of a property, between the conditions that were tried."""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array
from panelwright.working import formula


@formula(
    symbol="r",
    unit="-",
    equation="r between the conditions tried, straight in the condition; none beyond the last",
    source="interpolation",
    inputs={"condition": "x [any]", "tried": "x_k [any]", "left": "r_k [-]"},
)
def share_left(condition: ArrayLike, tried: ArrayLike, left: ArrayLike) -> Array:
    """Share of a property left at a condition, from the shares at those that were tried.

    condition : any shape; tried, left : ``(K,)``, tried rising; the first is where nothing is
    lost, and stands for all that is milder. NaN beyond the last: not known, never guessed.
    """
    x, known = array(condition), array(tried)
    found = np.interp(x, known, array(left))
    return array(np.where(x > known[-1], np.nan, found))
