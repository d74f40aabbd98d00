"""How thick a part must be to just keep what is asked: each try is a whole panel, so few are made.

What is asked is told as an excess: the logarithm of the share of a limit that is used up, nil where
the limit is just kept. Over the logarithm of a size it is almost a straight line.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from panelwright.panels.lineup import LEAST, MOST

#: Excess up to which a limit is just kept: no more than 1 part in 1000 of it is left.
CLOSE = 1e-3
AIM = -CLOSE / 2.0
#: How an excess goes with the logarithm of a size where nothing is known yet, and its bounds.
SLOPE, STEEP, FLAT = -2.0, -6.0, -0.25
#: Largest step over the logarithm of a size while what is asked lies on one side.
STEP = math.log(3.0)
#: Distance of two sizes, over their logarithm, between which nothing more is tried.
NARROWEST = 1e-4
#: Gain of a step by its length below which no more of it will do.
NO_GAIN = 0.01

#: Of the logarithm of a size; infinite where there can be no such panel.
Excess = Callable[[float], float]


@dataclass(frozen=True)
class Kept:
    """The least size that keeps what is asked; None for no size, and then the last that was tried.

    ``is_least`` : the least of all sizes keeps it, with more to spare than is close.
    """

    size: float | None
    last: float
    is_least: bool = False


def just_enough(excess: Excess) -> Kept:
    """The least size that keeps what is asked, to within ``CLOSE`` of its limit.

    excess : falls as the size grows. From the size as it is, straight lines lead to a pair of sizes
    that hold the limit, then between them by false position (Illinois); what comes out keeps it.
    """
    x, f = 0.0, excess(0.0)
    up, slope = f > 0.0, SLOPE
    end = math.log(MOST if up else LEAST)
    while not _is_close(f):
        step = min(abs((f - AIM) / slope), STEP) if math.isfinite(f) else STEP
        new = min(x + step, end) if up else max(x - step, end)
        g = excess(new)
        if (g > 0.0) != up:
            over, kept = ((x, f), (new, g)) if up else ((new, g), (x, f))
            return Kept(math.exp(_between(excess, over, kept)), math.exp(new))
        if up and (not math.isfinite(g) or f - g < NO_GAIN * (new - x)):
            return Kept(None, math.exp(new if math.isfinite(g) else x))
        if new == end:
            return Kept(None if up else math.exp(new), math.exp(new), not up)
        slope = min(max((g - f) / (new - x), STEEP), FLAT)
        x, f = new, g
    return Kept(math.exp(x), math.exp(x))


def _is_close(excess: float) -> bool:
    return -CLOSE <= excess <= 0.0


def _between(excess: Excess, over: tuple[float, float], kept: tuple[float, float]) -> float:
    """A size that just keeps it, between one that does not and one that does."""
    (a, above), (b, f) = over, kept
    above, below, side = above - AIM, f - AIM, 0
    while not _is_close(f) and abs(b - a) > NARROWEST:
        share = above / (above - below) if math.isfinite(above) else 0.5
        x = a + (b - a) * min(max(share, 1e-3), 1.0 - 1e-3)
        tried = excess(x)
        if tried > 0.0:
            a, above, below = x, tried - AIM, below / 2.0 if side > 0 else below
            side = 1
        else:
            b, f, below, above = x, tried, tried - AIM, above / 2.0 if side < 0 else above
            side = -1
    return b
