"""The key of hatches, and the mark of one in a chart."""

from __future__ import annotations

from random import Random

from panelwright.panels.records import Drawn, LayerRecord
from panelwright.reports.drawing.bands import plies_of
from panelwright.reports.drawing.hatches import Look, hatched
from panelwright.reports.drawing.ink import Area
from panelwright.reports.drawing.letters import lines_of
from panelwright.reports.drawing.scales import PX_PER_M
from panelwright.reports.drawing.svg import box, drawing, line, words

_STRIP = Drawn(width=0.022, cover=0.020, profile="bead and cove")
#: Name, hatch of each ply in the swatch, its angle, what the hatch is told.
SWATCHES: tuple[tuple[str, tuple[tuple[str, float | None], ...], Drawn], ...] = (
    ("Timber, cut across the grain", (("timber", 0.0),), Drawn()),
    ("Timber, cut along the grain", (("timber", 90.0),), Drawn()),
    ("Strips, bead and cove", (("strips", 0.0),), _STRIP),
    ("End-grain core", (("end grain", None),), Drawn()),
    ("Foam", (("foam", None),), Drawn(density=80.0)),
    ("Cork", (("cork", None),), Drawn()),
    ("Honeycomb", (("honeycomb", None),), Drawn(cell=0.005)),
    ("Damping layer", (("damping", None),), Drawn()),
    ("Woven cloth", (("woven", 0.0), ("woven", 0.0)), Drawn()),
    ("Biaxial cloth, ±45°", (("stitched", 45.0), ("stitched", -45.0)), Drawn()),
    ("Unidirectional, along the cut", (("unidirectional", 90.0),), Drawn()),
    ("Unidirectional, across the cut", (("unidirectional", 0.0),), Drawn()),
    ("Chopped mat", (("mat", None),), Drawn()),
    ("Bulking mat", (("bulking mat", None),), Drawn()),
    ("Resin, coats", (("resin", None),), Drawn()),
    ("Not known", (("unknown", None),), Drawn()),
)
#: Size of a swatch, px, and least width with its gap.
HIGH, LEAST = 58.0, 160.0


def key_svg(width: float) -> str:
    """Every hatch with its name, as many beside each other as fit."""
    columns = max(1, int((width + 16.0) // (LEAST + 16.0)))
    wide = (width - 16.0 * (columns - 1)) / columns
    parts, y = [], 1.0
    for start in range(0, len(SWATCHES), columns):
        most = 1
        for place, (name, plies, drawn) in enumerate(SWATCHES[start : start + columns]):
            x = place * (wide + 16.0)
            parts.append(_swatch(Area(x + 1.0, y, x + wide - 1.0, y + HIGH), plies, drawn))
            lines = lines_of(name, 15.0, wide - 2.0, 3)
            most = max(most, len(lines))
            parts += [
                words(x + 1.0, y + HIGH + 20.0 + 18.0 * i, one) for i, one in enumerate(lines)
            ]
        y += HIGH + 18.0 * most + 22.0
    told = ", ".join(name for name, _, _ in SWATCHES)
    return drawing("".join(parts), width, y, "Key of hatches", f"{told}.")


def _swatch(area: Area, plies: tuple[tuple[str, float | None], ...], drawn: Drawn) -> str:
    high = area.height / len(plies)
    parts = []
    for index, (hatch, angle) in enumerate(plies):
        top = area.top + high * index
        own = Area(area.left, top, area.right, top + high)
        parts.append(hatched(own, hatch, Look(drawn, angle, "across", PX_PER_M, Random(hatch))))
        if index:
            parts.append(line(area.left, top, area.right, top, "thin"))
    parts.append(box(area.left, area.top, area.width, area.height, "outline"))
    return "".join(parts)


def mark_svg(layer: LayerRecord, size: float = 22.0) -> str:
    """The hatch of a layer as a square mark."""
    ply = max(plies_of(layer), key=lambda one: one.thickness)
    area = Area(1.0, 1.0, size - 1.0, size - 1.0)
    look = Look(layer.drawn, ply.angle, "across", PX_PER_M, Random(layer.name))
    content = hatched(area, ply.hatch, look) + box(1.0, 1.0, size - 2.0, size - 2.0, "outline")
    return drawing(content, size, size, layer.name)
