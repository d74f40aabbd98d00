"""Why two panels differ, part by part; and what heat meets on its way through one."""

from __future__ import annotations

from math import factorial

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.working import formula


@formula(
    symbol="φ",
    unit="-",
    equation="φ_k = Σ_S |S|! (n − 1 − |S|)!/n! [ln P(S + k) − ln P(S)]",
    source="shapley-1953: the mean over all orders in which the causes may be changed",
    inputs={"values": "ln P of each mix [-]"},
    valid="exact: Σ φ_k = ln P(all) − ln P(none)",
)
def shares_of_difference(values: ArrayLike) -> Array:
    """What each of n causes adds to the logarithm of a ratio.

    values : of all 2^n mixes, ``(..., 2^n)``; bit k of the place says whether cause k is changed.
    Gives ``(..., n)``.
    """
    mixes = array(values)
    count = mixes.shape[-1].bit_length() - 1
    places = np.arange(mixes.shape[-1])
    size = np.array([int(place).bit_count() for place in places])
    weights = np.array([factorial(k) * factorial(count - 1 - k) for k in range(count)])
    found = []
    for cause in range(count):
        before = places[places & 1 << cause == 0]
        step = mixes[..., before | 1 << cause] - mixes[..., before]
        found.append(np.sum(step * (weights[size[before]] / factorial(count)), axis=-1))
    return np.stack(found, axis=-1)


@formula(
    symbol="o",
    unit="-",
    equation="o = (min(b1, b2) − max(a1, a2))/min(b1 − a1, b2 − a2)",
    source="definition: what two ranges share, of the narrower one",
    inputs={"low": "a1 [-]", "high": "b1 [-]", "other_low": "a2 [-]", "other_high": "b2 [-]"},
    valid="below 0 where they lie apart; 1 or −1 where one has no width",
)
def shared_range(
    low: ArrayLike, high: ArrayLike, other_low: ArrayLike, other_high: ArrayLike
) -> Array:
    """Part of the narrower of two ranges that lies in the other as well.

    low, high, other_low, other_high : ends in one unit; all broadcast. Of a range without
    width: 1 where it lies in the other, else −1.
    """
    shared = np.minimum(high, other_high) - np.maximum(low, other_low)
    narrower = np.minimum(array(high) - low, array(other_high) - other_low)
    whole = np.where(shared >= 0.0, 1.0, -1.0)
    return np.where(narrower > 0.0, ratio(shared, narrower), whole)


@formula(
    symbol="k",
    unit="W/(m K)",
    equation="k = G (0.1941 + 0.4064 M) + 0.01864",
    source="fpl-gtr-190, chapter 4 (from memory)",
    inputs={"gravity": "G [-]", "moisture": "M [-]"},
    valid="across the grain, about 24 °C, G above 0.3, M below 25 %",
)
def timber_conductivity(gravity: ArrayLike, moisture: ArrayLike) -> Array:
    """How well timber conducts heat across its grain.

    gravity : at its moisture; moisture : a fraction (the handbook has 0.004064 for a percent).
    Both broadcast; W/(m K). 0 for no timber.
    """
    G = array(gravity)
    k = G * (0.1941 + 0.4064 * array(moisture)) + 0.01864
    return np.where(G > 0.0, k, 0.0)


@formula(
    symbol="R",
    unit="m² K/W",
    equation="R = Σ t_k/k_k",
    source="definition: layers one behind the other",
    inputs={"thickness": "t_i [m]", "conductivity": "k_i [W/(m K)]"},
    valid="air at the faces left out",
)
def thermal_resistance(thickness: ArrayLike, conductivity: ArrayLike) -> Array:
    """What a panel sets against heat from face to face.

    thickness, conductivity : of the layers, ``(..., L)``. m² K/W.
    """
    return array(np.sum(ratio(thickness, conductivity), axis=-1))


@formula(
    symbol="y",
    unit="-",
    equation="y = y₁ (x/x₁)^n",
    source="ashby-1992 (from memory): lines of equal merit are straight on logarithmic axes",
    inputs={"across": "x [-]", "at": "x₁ [-]", "up": "y₁ [-]", "power": "n [-]"},
    valid="x and x₁ above 0, each in one unit",
)
def equal_merit(across: ArrayLike, at: ArrayLike, up: ArrayLike, power: ArrayLike) -> Array:
    """What is as good as a point, for another value of the property across.

    across : where it is wanted; at, up : the point; power : of the merit. All broadcast.
    """
    return array(up) * ratio(across, at) ** array(power)
