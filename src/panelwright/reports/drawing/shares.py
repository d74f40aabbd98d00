"""What each layer has of thickness, mass and bending stiffness."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from random import Random
from typing import Protocol

from panelwright.panels.records import LayerRecord
from panelwright.reports.drawing.bands import Row, plies_of, rows_of
from panelwright.reports.drawing.hatches import Look, hatched
from panelwright.reports.drawing.ink import Area
from panelwright.reports.drawing.letters import lines_of, shortened
from panelwright.reports.drawing.scales import DESK, PX_PER_M
from panelwright.reports.drawing.section import RADIUS, Balloon, balloon_svg
from panelwright.reports.drawing.svg import box, drawing, line, words
from panelwright.reports.layout import printed

BAR, FIGURE = 16.0, 42.0


class Bent(Protocol):
    """What is known of a section in bending."""

    @property
    def bending_shares(self) -> tuple[tuple[float, float], ...]:
        """By layer as laid, along and across."""


class Layered(Protocol):
    """A panel with its layers: a prediction, or one of a line-up."""

    @property
    def title(self) -> str:
        """What it is called."""

    @property
    def layers(self) -> tuple[LayerRecord, ...]:
        """From the outside in."""

    @property
    def section(self) -> Bent | None:
        """None where the stiffness is not known."""


@dataclass(frozen=True)
class Share:
    """One row of the stack and its shares, each 0 to 1 under a head."""

    row: Row
    values: tuple[float, ...]


def _shares(prediction: Layered) -> tuple[tuple[str, ...], list[Share]]:
    heads: tuple[str, ...] = ("thickness", "mass")
    if prediction.section is not None:
        heads = (*heads, "bending along", "bending across")
    found = []
    for row in rows_of(prediction.layers):
        values = [
            sum(layer.share_of_thickness for layer in row.layers),
            sum(layer.share_of_mass for layer in row.layers),
        ]
        if prediction.section is not None:
            own = prediction.section.bending_shares[row.first - 1 :][: len(row.layers)]
            values += [sum(share[way] for share in own) for way in (0, 1)]
        found.append(Share(row, tuple(values)))
    return heads, found


def percent(value: float) -> str:
    """A share in whole percent."""
    return f"{100.0 * value:.0f} %"


def shares_svg(prediction: Layered, width: float) -> str:
    """Bars of the shares under common heads, a row for each row of the stack."""
    heads, shares = _shares(prediction)
    is_wide = width >= DESK
    if not is_wide:
        heads = heads[:3]
    half = max(Balloon(share.row.label, 0.0, False).half for share in shares)
    left = 0.3 * width if is_wide else 2.0
    each = (width - left) / len(heads)
    longest = each - FIGURE - 8.0
    pitch, y = (44.0 if is_wide else 58.0), 26.0 if is_wide else 44.0
    parts = []
    for index, head in enumerate(heads):
        x = left + each * index
        lines = lines_of(head, 13.0, each - 8.0, 2)
        parts += [words(x, 14.0 + 16.0 * i, text, "word small") for i, text in enumerate(lines)]
        if is_wide:
            parts.append(line(x, 24.0, x, 24.0 + pitch * len(shares), "med"))
    for share in shares:
        parts.append(_row(share, (left, each, longest), (y, half), heads, is_wide))
        y += pitch
    told = "; ".join(", ".join(row) for row in shares_table(prediction)[1:])
    title = f"Shares by layer of {printed(prediction.title)}"
    return drawing("".join(parts), width, y + 6.0, title, f"{told}.")


def _row(
    share: Share,
    across: tuple[float, float, float],
    down: tuple[float, float],
    heads: Sequence[str],
    is_wide: bool,
) -> str:
    (left, each, longest), (y, half) = across, down
    name = printed(share.row.layers[0].name)
    balloon = Balloon(share.row.label, 0.0, False)
    middle = y + (18.0 if is_wide else RADIUS + 2.0)
    text_left = 2.0 * half + 10.0
    room = left - text_left - 8.0 if is_wide else left + each * len(heads) - text_left - 4.0
    lines = lines_of(name, 13.0, room, 2) if is_wide else [shortened(name, 13.0, room)]
    first = middle + 4.6 - 8.0 * (len(lines) - 1)
    parts = [balloon_svg(1.0 + half, middle, balloon)]
    parts += [words(text_left, first + 16.0 * i, one, "letter") for i, one in enumerate(lines)]
    top = y + (10.0 if is_wide else 30.0)
    layer = share.row.layers[0]
    ply = max(plies_of(layer), key=lambda one: one.thickness)
    for index, value in enumerate(share.values[: len(heads)]):
        x, long = left + each * index, min(max(value, 0.0), 1.0) * longest
        if not is_wide:
            parts.append(line(x, top - 3.0, x, top + BAR + 3.0, "med"))
        if long > 0.5:
            look = Look(layer.drawn, ply.angle, "across", PX_PER_M, Random(layer.name))
            parts.append(hatched(Area(x, top, x + long, top + BAR), ply.hatch, look))
            parts.append(box(x, top, long, BAR, "outline"))
        parts.append(words(x + long + 6.0, top + 13.0, percent(value), "letter"))
    return "".join(parts)


def shares_table(prediction: Layered) -> list[tuple[str, ...]]:
    """The shares in words."""
    heads, shares = _shares(prediction)
    rows = [
        (share.row.label, printed(share.row.layers[0].name), *map(percent, share.values))
        for share in shares
    ]
    return [("layer", "name", *heads), *rows]
