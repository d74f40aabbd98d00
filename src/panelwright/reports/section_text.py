"""The section of a panel drawn in text, outside at the top."""

from __future__ import annotations

from itertools import groupby

from panelwright import units
from panelwright.panels.records import LayerRecord, Prediction
from panelwright.reports.layout import clipped, printed

#: Columns of the drawing, and rows for the whole thickness.
BREADTH, HEIGHT = 28, 12

_HATCH = {
    "strips": ")) ) ",
    "board": ")) ) ",
    "veneer": "=-=- ",
    "plywood": "=-=-=",
    "core": "o O . ",
    "bulking mat": ". : . ",
    "glue line": "━━━━",
    "coat": "~ ~ ",
    "damping layer": "x x ",
    "lamina": "/ / ",
}
_CLOTH_HATCH = {
    "woven": "≈",
    "stitched": "╱╲",
    "unidirectional": "═",
    "mat": "'-,`",
    "combination": "╱╲,`",
}
_CORE_HATCH = {"balsa_end": "¦ ", "balsa_sealed": "¦ "}


def _hatch(layer: LayerRecord) -> str:
    if layer.kind == "cloth":
        return _CLOTH_HATCH.get(layer.form, "≈")
    if layer.form.endswith("honeycomb"):
        return "|  "
    return _CORE_HATCH.get(layer.form, _HATCH.get(layer.kind, "/ "))


def _lines(layer: LayerRecord, rows: int) -> list[str]:
    pattern = _hatch(layer)
    shift = 0 if layer.kind in {"cloth", "glue line"} else len(pattern) // 2
    repeated = pattern * (BREADTH // len(pattern) + 3)
    return [repeated[(row % 2) * shift :][:BREADTH] for row in range(rows)]


def merged(layers: tuple[LayerRecord, ...]) -> list[tuple[int, list[LayerRecord]]]:
    """Neighbours that the file describes once, together; with the number of the first."""
    found, number = [], 1
    for _, group in groupby(layers, key=lambda layer: (layer.described, layer.name)):
        same = list(group)
        found.append((number, same))
        number += len(same)
    return found


def numbers(first: int, count: int) -> str:
    """``3`` or ``3–4``."""
    return str(first) if count == 1 else f"{first}–{first + count - 1}"


def section(prediction: Prediction, system: str) -> str:
    """The drawing: hatch, number, thickness and name of each layer.

    Thick layers are drawn to one scale; whatever would be thinner than a line gets one line, and
    the last line of the drawing says so.
    """
    total = prediction.thickness.value
    lines = [" " * 6 + "outside", " " * 6 + "─" * BREADTH]
    thickened = False
    for first, same in merged(prediction.layers):
        thickness = sum(layer.thickness.value for layer in same)
        wanted = HEIGHT * thickness / total if total > 0.0 else 1.0
        rows = max(1, round(wanted))
        thickened |= wanted < 0.5
        label = units.show(thickness, "thickness", system) if thickness > 0.0 else "no thickness"
        drawn = _lines(same[0], rows)
        for row, text in enumerate(drawn):
            at_middle = row == (rows - 1) // 2
            number = numbers(first, len(same)) if at_middle else ""
            note = f"  {label}  {_name(same)}" if at_middle else ""
            lines.append(clipped(f"{number:>5} {text}{note}".rstrip()))
    lines += [" " * 6 + "─" * BREADTH, " " * 6 + "inside"]
    if thickened:
        lines.append(" " * 6 + "(thin layers drawn thicker than they are)")
    return "\n".join(lines)


def _name(same: list[LayerRecord]) -> str:
    name = printed(same[0].name)
    return name if len(same) == 1 else f"{len(same)} × {name}"
