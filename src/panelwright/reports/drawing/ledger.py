"""The ledger as bars."""

from __future__ import annotations

from random import Random

from panelwright import units
from panelwright.panels.records import LayerRecord, LedgerRow, Prediction
from panelwright.panels.spread import Ranged
from panelwright.reports.drawing.axes import of_one, plain, ticks
from panelwright.reports.drawing.bands import plies_of
from panelwright.reports.drawing.hatches import Look, hatched
from panelwright.reports.drawing.ink import Area
from panelwright.reports.drawing.letters import lines_of, width_of
from panelwright.reports.drawing.scales import DESK, PX_PER_M
from panelwright.reports.drawing.svg import box, drawing, line, words
from panelwright.reports.layout import first_system, printed

#: Below this, kg/m2, nothing is drawn; height of a bar, px.
NOTHING, BAR = 5e-5, 20.0
_HEADS = ("in part", "to mix", "to buy")
_OF_POTS = frozenset({"glue lines", "kerf resin"})


def _layer_of(prediction: Prediction, cause: str) -> LayerRecord | None:
    """The layer whose hatch a cause carries: the heaviest of its kind; None for resin."""
    if cause not in {"fibre", "core or timber"}:
        return None
    wanted = [one for one in prediction.layers if (one.kind == "cloth") == (cause == "fibre")]
    return max(wanted, key=lambda one: one.areal_mass.value, default=None)


def _hatch(prediction: Prediction, row: LedgerRow, area: Area) -> str:
    layer = _layer_of(prediction, row.cause)
    if layer is None:
        kind = "glue" if row.cause in _OF_POTS else "resin"
        blank = prediction.layers[0].drawn
        return hatched(area, kind, Look(blank, None, "across", PX_PER_M, Random(row.cause)))
    ply = max(plies_of(layer), key=lambda one: one.thickness)
    look = Look(layer.drawn, ply.angle, "across", PX_PER_M, Random(layer.name))
    return hatched(area, ply.hatch, look)


def _rows(prediction: Prediction) -> list[LedgerRow]:
    return [
        row
        for row in prediction.ledger
        if max(row.in_part.value, row.to_mix.value, row.to_buy.value) >= NOTHING
    ]


def _cell(value: Ranged | None, system: str) -> str:
    if value is None or value.value < NOTHING:
        return "–"
    return units.show(
        value.value, "cloth_mass", first_system(system), value.low, value.high
    ).rpartition(" ")[0]


def _cells(row: LedgerRow, system: str) -> list[str]:
    return [_cell(value, system) for value in (row.in_part, row.to_mix, row.to_buy)]


def ledger_svg(
    prediction: Prediction, width: float, system: str = "si", dense: bool = False
) -> str:
    """One bar for each cause: in the part hatched, to mix outlined, to buy dashed.

    dense : close rows with names beside the bars however narrow, for paper.
    """
    rows = _rows(prediction)
    columns = 3 if width >= DESK else 1
    is_wide = width >= DESK or dense
    cells = [_cells(row, system) for row in rows]
    totals = [_cell(prediction.areal_mass, system), _cell(prediction.to_mix, system), ""]
    figures = max(width_of(cell, 15.0) for cells_ in [*cells, totals, _HEADS] for cell in cells_)
    figures += 12.0
    one, unit = of_one("cloth_mass", system)
    left = (130.0 if dense else 150.0) if is_wide else 2.0
    right = width - columns * figures - 8.0
    most = max([row.to_buy.value for row in rows] + [row.in_part.value for row in rows] + [1e-9])
    per = (right - left - 4.0) / most
    pitch = (36.0 if dense else 40.0) if is_wide else 50.0
    head = 44.0
    foot = head + pitch * len(rows)
    parts = [_axis(left, head, foot, most, per, one, unit, is_wide, right)]
    for index, row in enumerate(rows):
        top = head + pitch * index + (10.0 if is_wide else 24.0)
        parts.append(_bar(prediction, row, left, top, per))
        name = printed(row.cause)
        lines = lines_of(name, 15.0, left - 10.0, 2) if is_wide else [name]
        first = top + 15.5 - 9.0 * (len(lines) - 1) if is_wide else top - 5.0
        parts += [
            words(0.0 if is_wide else left + 6.0, first + 18.0 * i, text)
            for i, text in enumerate(lines)
        ]
        parts += _figures(cells[index][:columns], width, figures, top + 15.5)
    parts.append(line(0.0, foot + 4.0, width, foot + 4.0, "thin"))
    parts.append(words(0.0 if is_wide else left, foot + 22.0, "together"))
    parts += _figures(totals[:columns], width, figures, foot + 22.0, " bold")
    parts += _figures(list(_HEADS[:columns]), width, figures, head - 4.0, "", "word")
    parts.append(words(width - 2.0, 15.0, unit, "figure", "end"))
    told = "; ".join(
        f"{row.cause}: {c[0]} in the part, {c[1]} to mix, {c[2]} to buy"
        for row, c in zip(rows, cells, strict=True)
    )
    title = f"Mass by cause of {printed(prediction.title)}, {unit}"
    return drawing("".join(parts), width, foot + 32.0, title, f"{told}.")


def _axis(
    left: float,
    head: float,
    foot: float,
    most: float,
    per: float,
    one: float,
    unit: str,
    is_wide: bool,
    right: float,
) -> str:
    parts = [line(left, head, left, foot, "med")]
    for tick in ticks(most / one, 4 if is_wide else 3):
        x = left + tick * one * per
        text = plain(tick)
        if x + width_of(text, 13.0) / 2.0 > right:
            continue
        if tick:
            parts.append(line(x, head - 2.0, x, foot, "grid"))
        parts.append(
            words(max(x, width_of(text, 13.0) / 2.0), head - 7.0, text, "letter", "middle")
        )
    return "".join(parts)


def _bar(prediction: Prediction, row: LedgerRow, left: float, top: float, per: float) -> str:
    part, mix, buy = (
        max(value.value, 0.0) * per for value in (row.in_part, row.to_mix, row.to_buy)
    )
    mix = max(mix, part) if row.mixes else part
    parts = []
    if buy > mix + 0.5:
        parts.append(box(left + mix, top + 2.0, buy - mix, BAR - 4.0, "dashed"))
    if mix > part + 0.5:
        parts.append(box(left + part, top + 1.0, mix - part, BAR - 2.0, "thin"))
    if part > 0.5:
        parts.append(_hatch(prediction, row, Area(left, top, left + part, top + BAR)))
        parts.append(box(left, top, part, BAR, "outline"))
    return "".join(parts)


def _figures(
    cells: list[str], width: float, each: float, y: float, bold: str = "", kind: str = "figure"
) -> list[str]:
    right = width - 2.0 - each * (len(cells) - 1)
    return [
        words(right + each * index, y, cell, kind + bold, "end")
        for index, cell in enumerate(cells)
        if cell
    ]


def ledger_table(prediction: Prediction, system: str = "si") -> list[tuple[str, ...]]:
    """The ledger in words, a row for each cause under one of heads."""
    unit = of_one("cloth_mass", system)[1]
    rows = [(printed(row.cause), *_cells(row, system)) for row in _rows(prediction)]
    totals = ("together", _cell(prediction.areal_mass, system), _cell(prediction.to_mix, system))
    return [(f"cause, {unit}", *_HEADS), *rows, (*totals, "–")]
