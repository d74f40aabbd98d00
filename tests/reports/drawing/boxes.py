"""Where the words of a drawing lie, read from its SVG alone; turned and shifted words too."""

from __future__ import annotations

import itertools
import re
from dataclasses import dataclass
from xml.etree import ElementTree

SVG = "{http://www.w3.org/2000/svg}"
SIZES = {"small": 13.0, "letter": 13.0, "heading": 20.0}
#: Widths in em of a plain sans serif, rounded up: thin, middle and wide letters.
THIN, WIDE = set(" ijl.,:;'|!()/tfrI-[]"), set("mwMW%×±…")
#: Words may come this near to each other, px.
NEAR = 0.5


@dataclass(frozen=True)
class Words:
    """One text and its box, px."""

    text: str
    left: float
    top: float
    right: float
    bottom: float

    def meets(self, other: Words) -> bool:
        """Whether two boxes overlap by more than a hair."""
        return (
            min(self.right, other.right) - max(self.left, other.left) > NEAR
            and min(self.bottom, other.bottom) - max(self.top, other.top) > NEAR
        )


def parsed(svg: str) -> ElementTree.Element:
    """The drawing as a tree: fails where it is not well formed."""
    return ElementTree.fromstring(svg)


def size_of(node: ElementTree.Element) -> float:
    """Size of a text by its classes, px."""
    kinds = node.get("class", "").split()
    return next((SIZES[kind] for kind in kinds if kind in SIZES), 15.0)


def _width(text: str, size: float) -> float:
    ems = sum(0.3 if c in THIN else 0.9 if c in WIDE else 0.56 for c in text)
    return ems * size


def words_of(svg: str) -> list[Words]:
    """All texts of a drawing with their boxes."""
    return list(_walk(parsed(svg), (0.0, 0.0)))


def _walk(node: ElementTree.Element, at: tuple[float, float]) -> list[Words]:
    shift = re.match(r"translate\(([-\d.]+) ([-\d.]+)\)", node.get("transform", ""))
    if shift:
        at = (at[0] + float(shift[1]), at[1] + float(shift[2]))
    found = [_box(node, at)] if node.tag == f"{SVG}text" else []
    return found + [one for child in node for one in _walk(child, at)]


def _box(node: ElementTree.Element, at: tuple[float, float]) -> Words:
    text, size = "".join(node.itertext()), size_of(node)
    x, y = float(node.get("x", 0.0)) + at[0], float(node.get("y", 0.0)) + at[1]
    wide = _width(text, size)
    back = {"middle": wide / 2.0, "end": wide}.get(node.get("text-anchor", ""), 0.0)
    up, down = 0.72 * size, 0.2 * size
    if node.get("transform", "").startswith("rotate(-90"):
        return Words(text, x - up, y - wide + back, x + down, y + back)
    return Words(text, x - back, y - up, x - back + wide, y + down)


def faults(svg: str) -> list[str]:
    """What is wrong with the words of a drawing: too small, past its edge, upon each other."""
    root = parsed(svg)
    width, height = (float(root.get(side, 0.0)) for side in ("width", "height"))
    texts = words_of(svg)
    found = [
        f"past the edge: {one}"
        for one in texts
        if min(one.left, one.top) < -NEAR or one.right > width + NEAR or one.bottom > height + NEAR
    ]
    return found + [
        f"upon each other: {one.text!r} and {other.text!r}"
        for one, other in itertools.combinations(texts, 2)
        if one.meets(other)
    ]
