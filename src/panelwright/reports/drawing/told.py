"""Drawings in words: what a layer is, how it lies, how it is drawn."""

from __future__ import annotations

from panelwright import units
from panelwright.panels.records import LayerRecord
from panelwright.panels.spread import Ranged
from panelwright.reports.drawing.bands import Row, plies_of
from panelwright.reports.layout import printed


def length_in_words(value: Ranged, system: str, bare: bool = False) -> str:
    """A thickness to the digits its range allows; ``bare`` leaves the unit of one system out."""
    shown = units.show(value.value, "thickness", system, value.low, value.high)
    if bare and system == "si":
        return shown.rpartition(" ")[0] or shown
    return shown


def angles_in_words(layer: LayerRecord) -> str:
    """How the plies of a layer lie: "0°", "±45°", "0/90°", nothing without a direction."""
    angles = layer.angles
    if angles == (None,):
        return "random" if layer.kind == "cloth" else ""
    if layer.kind == "plywood":
        return f"face {_degrees(angles[0])}°"
    if len(angles) == 2 and angles[0] and angles[1] == -angles[0]:
        sign = "±" if angles[0] > 0.0 else "∓"
        return f"{sign}{abs(angles[0]):g}°"
    written = [_degrees(angle) for angle in angles]
    return "/".join(written) + ("°" if angles[-1] is not None else "")


def _degrees(angle: float | None) -> str:
    return "random" if angle is None else f"{angle:g}".replace("-", "−")


_HATCHES = {
    "timber": "growth rings across the grain, long lines along it",
    "strips": "strips with their joints",
    "end grain": "upright broken lines",
    "foam": "open cells",
    "cork": "granules",
    "honeycomb": "upright walls",
    "damping": "crossed lines",
    "bulking mat": "spheres among strokes",
    "woven": "waves round tows",
    "stitched": "slanted lines by ply",
    "unidirectional": "paired lines or dots",
    "mat": "short strokes",
    "glue": "solid ink",
    "resin": "broken level lines",
    "unknown": "45° lines",
}


def hatch_in_words(layer: LayerRecord) -> str:
    """The hatches of a layer, each once."""
    kinds = dict.fromkeys(ply.hatch for ply in plies_of(layer))
    return ", ".join(_HATCHES.get(kind, _HATCHES["unknown"]) for kind in kinds)


def facts_of(row: Row, system: str) -> str:
    """What stands under a name in a detail: "2 × 0.29 mm, 0°, 27 % fibre"."""
    layer = row.layers[0]
    count = f"{len(row.layers)} × " if len(row.layers) > 1 else ""
    parts = []
    if layer.thickness.value > 0.0:
        parts.append(count + length_in_words(layer.thickness, system))
    parts.append(angles_in_words(layer))
    if layer.fibre_volume_fraction is not None:
        parts.append(f"{100.0 * layer.fibre_volume_fraction:.0f} % fibre by volume")
    return ", ".join(part for part in parts if part)


def row_in_words(row: Row, system: str) -> str:
    """One row of the stack in words."""
    facts = facts_of(row, system)
    name = printed(row.layers[0].name)
    return f"{row.label} {name}, {facts}" if facts else f"{row.label} {name}"
