"""Times as the shop tells them."""

from __future__ import annotations

#: A day, s.
DAY = 86_400.0


def clock(time: float) -> str:
    """A time of the day as ``9:05``; of a later day ``9:05 the next day``."""
    days, rest = divmod(round(time / 60.0), 1440)
    shown = f"{rest // 60}:{rest % 60:02d}"
    if days < 2:
        return f"{shown} the next day" if days else shown
    return f"{shown}, {days} days later"


def lasting(seconds: float) -> str:
    """How long something takes: minutes, or hours and minutes above two hours.

    Below ten minutes a tenth of one counts, so that two times that differ do not read alike.
    """
    if seconds < 600.0:
        return f"{max(0.1, round(seconds / 60.0, 1)):g} min"
    whole = round(seconds / 60.0)
    hours, rest = divmod(whole, 60)
    if hours < 2:
        return f"{whole} min"
    return f"{hours} h {rest} min" if rest else f"{hours} h"
