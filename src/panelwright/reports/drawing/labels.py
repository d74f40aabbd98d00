"""Labels beside a drawing: as near to what they name as they can be without meeting."""

from __future__ import annotations

from collections.abc import Sequence


def spread(
    wanted: Sequence[float], heights: Sequence[float], low: float, high: float
) -> list[float]:
    """Middles of labels in order, each near the one wanted, between ``low`` and ``high``, px.

    The sum of squared shifts is least: pools of labels that would meet share one shift. Where all
    are taller than the room, they start at ``low``.
    """
    before = _before(heights)
    pools: list[tuple[float, int]] = []
    for want, start, height in zip(wanted, before, heights, strict=True):
        pools.append((want - height / 2.0 - start, 1))
        while len(pools) > 1 and pools[-2][0] > pools[-1][0]:
            (one, n), (two, m) = pools[-2:]
            pools[-2:] = [((one * n + two * m) / (n + m), n + m)]
    tops = [shift for shift, count in pools for _ in range(count)]
    room = high - sum(heights)
    return [
        max(min(top, room), low) + start + height / 2.0
        for top, start, height in zip(tops, before, heights, strict=True)
    ]


def _before(heights: Sequence[float]) -> list[float]:
    """The sum of all heights before each."""
    found, total = [], 0.0
    for height in heights:
        found.append(total)
        total += height
    return found
