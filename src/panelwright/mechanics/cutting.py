"""Cloth from rolls and core from sheets: how many, how long, what is left over."""

from __future__ import annotations

import numpy as np

from panelwright.mechanics.arrays import Array, ArrayLike, array, ratio
from panelwright.mechanics.strips import WHOLE
from panelwright.working import formula

_ROOT_2 = float(np.sqrt(2.0))


@formula(
    symbol="n",
    unit="-",
    equation="n = ⌈(L − o)/(b − o)⌉, at least 1",
    source="geometry: n b − (n − 1) o ≥ L",
    inputs={"whole": "L [m]", "each": "b [m]", "lap": "o [m]"},
    valid="laps shorter than a piece; 0 for butts",
)
def lapped_pieces(whole: ArrayLike, each: ArrayLike, lap: ArrayLike) -> Array:
    """How many pieces of one size make up a whole: widths of a roll, boards scarfed to a strip.

    whole : what is to be covered; each : of a piece; lap : of neighbours, or a scarf. All
    broadcast; m.
    """
    o = array(lap)
    wanted = ratio(array(whole) - o, array(each) - o)
    return np.maximum(np.ceil(wanted - WHOLE), 1.0)


@formula(
    symbol="L_n",
    unit="m",
    equation="L_n = n b − (n − 1) o",
    source="geometry",
    inputs={"count": "n [-]", "each": "b [m]", "lap": "o [m]"},
)
def lapped_length(count: ArrayLike, each: ArrayLike, lap: ArrayLike) -> Array:
    """What so many pieces cover once they lap, or are scarfed together.

    All broadcast; m.
    """
    n = array(count)
    return n * array(each) - (n - 1.0) * array(lap)


@formula(
    symbol="ℓ",
    unit="m",
    equation="ℓ = n (L + 2e)",
    source="geometry",
    inputs={"count": "n [-]", "length": "L [m]", "trim": "e [m]"},
)
def roll_length(count: ArrayLike, length: ArrayLike, trim: ArrayLike) -> Array:
    """Length of roll for so many pieces.

    length : of the panel along the run; trim : left over each end. All broadcast; m.
    """
    return array(count) * (array(length) + 2.0 * array(trim))


@formula(
    symbol="u",
    unit="-",
    equation="u = 1 − A/A_c",
    source="definition",
    inputs={"used": "A [m²]", "cut": "A_c [m²]"},
)
def share_wasted(used: ArrayLike, cut: ArrayLike) -> Array:
    """Share of what was cut that is not in the panel.

    Both broadcast; a share of what was cut.
    """
    return 1.0 - ratio(used, cut)


@formula(
    symbol="e",
    unit="-",
    equation="e = o/(R − o)",
    source="geometry, many widths side by side",
    inputs={"roll": "R [m]", "lap": "o [m]"},
)
def cloth_in_laps(roll: ArrayLike, lap: ArrayLike) -> Array:
    """Cloth that lies double in the laps, over what is covered.

    Both broadcast.
    """
    return ratio(lap, array(roll) - array(lap))


@formula(
    symbol="ℓ_l",
    unit="m",
    equation="ℓ_l = R√2",
    source="geometry, cut at 45°",
    inputs={"roll": "R [m]"},
)
def bias_edge(roll: ArrayLike) -> Array:
    """Long edge of a strip cut from edge to edge of a roll at 45°.

    roll : its width. Gives m.
    """
    return array(roll) * _ROOT_2


@formula(
    symbol="ℓ_q",
    unit="m",
    equation="ℓ_q = R√2 − w",
    source="geometry, cut at 45°",
    inputs={"roll": "R [m]", "width": "w [m]"},
    valid="w below R√2",
)
def bias_length(roll: ArrayLike, width: ArrayLike) -> Array:
    """Length of a strip cut at 45° once its ends are squared.

    width : of the strip. Both broadcast; m.
    """
    return array(roll) * _ROOT_2 - array(width)


@formula(
    symbol="ℓ",
    unit="m",
    equation="ℓ = R + n w √2",
    source="geometry: two corners of the roll are lost, half of R² each",
    inputs={"roll": "R [m]", "width": "w [m]", "count": "n [-]"},
)
def bias_roll_length(roll: ArrayLike, width: ArrayLike, count: ArrayLike) -> Array:
    """Length of roll from which so many strips are cut at 45°.

    width : of a strip. All broadcast; m.
    """
    return array(roll) + array(count) * array(width) * _ROOT_2


@formula(
    symbol="ℓ",
    unit="m",
    equation="ℓ = (n − 1) s",
    source="geometry",
    inputs={"count": "n [-]", "step": "s [m]"},
)
def edges_apart(count: ArrayLike, step: ArrayLike) -> Array:
    """Distance from the first to the last of so many edges that are stepped.

    step : from one to the next; 50 mm in the rules of lr-ssc-2022. Both broadcast; m.
    """
    return np.maximum(array(count) - 1.0, 0.0) * array(step)


@formula(
    symbol="ℓ",
    unit="m",
    equation="ℓ = n s",
    source="geometry",
    inputs={"count": "n [-]", "step": "s [m]"},
)
def taper_run(count: ArrayLike, step: ArrayLike) -> Array:
    """Length over which so many plies run out, the last one's own step included.

    Both broadcast; m.
    """
    return array(count) * array(step)


@formula(
    symbol="m",
    unit="-",
    equation="m = s/t",
    source="definition: one in m",
    inputs={"step": "s [m]", "thickness": "t [m]"},
)
def taper_slope(step: ArrayLike, thickness: ArrayLike) -> Array:
    """How flat plies run out: length over height.

    thickness : of one ply. Both broadcast.
    """
    return ratio(step, thickness)


@formula(
    symbol="n",
    unit="-",
    equation="n = ⌈L/a⌉ ⌈W/b⌉",
    source="geometry: offcuts are not joined again",
    inputs={"length": "L [m]", "width": "W [m]", "along": "a [m]", "across": "b [m]"},
)
def sheets_in_grid(
    length: ArrayLike, width: ArrayLike, along: ArrayLike, across: ArrayLike
) -> Array:
    """How many sheets cover a rectangle in rows and columns.

    length, width : of the panel; along, across : the sheet's sides along them. All broadcast; m.
    """
    rows = np.ceil(ratio(length, along) - WHOLE)
    return array(rows * np.ceil(ratio(width, across) - WHOLE))


@formula(
    symbol="n",
    unit="-",
    equation="n = ⌈A/A_s⌉",
    source="definition: as if offcuts could be joined again",
    inputs={"area": "A [m²]", "sheet": "A_s [m²]"},
)
def sheets_by_area(area: ArrayLike, sheet: ArrayLike) -> Array:
    """How few sheets could ever cover an area.

    Both broadcast.
    """
    return array(np.ceil(ratio(area, sheet) - WHOLE))
