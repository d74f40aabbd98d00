"""Standard scales, and the bar that shows one."""

from __future__ import annotations

from dataclasses import dataclass

#: px per m at 1:1, so that a drawing is true on paper.
PX_PER_M = 96.0 / 0.0254
#: Enlarging scales of ISO 5455, from memory.
SCALES = (1, 2, 5, 10, 20, 50)
#: From this width of its box on a drawing may be as high as on a desk, px.
DESK = 480.0


def largest(length: float, most: float, of: tuple[int, ...] = SCALES) -> int:
    """The largest scale at which a length, m, is no longer than ``most`` px; else the smallest."""
    fitting = [scale for scale in of if length * scale * PX_PER_M <= most]
    return max(fitting, default=min(of))


def next_larger(scale: int) -> int:
    """The standard scale above one, or the largest."""
    return min((other for other in SCALES if other > scale), default=scale)


@dataclass(frozen=True)
class Bar:
    """A length to measure by: px and its words."""

    length: float
    words: str


_INCHES = {1 / 32: "1/32", 1 / 16: "1/16", 1 / 8: "1/8", 1 / 4: "1/4", 1 / 2: "1/2"}


def bar(scale: float, most: float, system: str) -> Bar:
    """The longest round length of no more than ``most`` px."""
    if system == "imperial":
        lengths = {inch * 0.0254: f"{text} in" for inch, text in _INCHES.items()}
        lengths |= {inch * 0.0254: f"{inch} in" for inch in (0.01, 0.02, 1, 2, 4)}
    else:
        lengths = {mm / 1e3: f"{mm:g} mm" for mm in (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100)}
    px = {length * scale * PX_PER_M: text for length, text in lengths.items()}
    fitting = [length for length in px if length <= most] or [min(px)]
    return Bar(max(fitting), px[max(fitting)])
