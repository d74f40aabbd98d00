"""Layers as they are drawn: rows of the stack, repeats drawn once, bands at true thickness."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from panelwright.panels.records import DrawnPly, LayerRecord
from panelwright.reports.section_text import merged, numbers

#: A layer thinner than this, px, is solid ink in a section; a ply thinner than the second always.
THIN, HATCHED = 11.0, 5.0
#: Solid ink is never thinner; a glue line never thinner than the second, px.
LEAST_INK, GLUE = 1.2, 1.8
#: Paper between two solid neighbours, px.
GAP = 1.6
#: What is cut short keeps so much at least, px.
LEAST_CUT = 24.0
#: Above so many plies, repeats are drawn once.
MOST_PLIES = 8


@dataclass(frozen=True)
class Row:
    """A row of the stack: neighbours that the file describes once. ``label``: "3" or "3–4"."""

    first: int
    layers: tuple[LayerRecord, ...]

    @property
    def label(self) -> str:
        """The numbers of its layers."""
        return numbers(self.first, len(self.layers))

    def holds(self, number: int | None) -> bool:
        """Whether a layer, numbered from 1 at the outside, belongs to it."""
        return number is not None and self.first <= number < self.first + len(self.layers)


def rows_of(layers: Sequence[LayerRecord]) -> list[Row]:
    """The rows of a stack, from the outside in."""
    return [Row(first, tuple(same)) for first, same in merged(tuple(layers))]


def plies_of(layer: LayerRecord) -> tuple[DrawnPly, ...]:
    """The plies of a layer; one of an unknown kind where nothing was told."""
    return layer.drawn.plies or (DrawnPly("unknown", layer.thickness.value),)


@dataclass(frozen=True)
class Item:
    """One layer to draw: which row it belongs to, and its own number from 1."""

    row: int
    number: int
    layer: LayerRecord

    @property
    def thickness(self) -> float:
        """As predicted, m."""
        return max(self.layer.thickness.value, 0.0)


def items_of(rows: Sequence[Row]) -> list[Item]:
    """All layers of the rows, from the outside in."""
    return [
        Item(index, row.first + place, layer)
        for index, row in enumerate(rows)
        for place, layer in enumerate(row.layers)
    ]


# --- Repeats --------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Repeat:
    """Layers drawn once that lie ``times`` over each other: places among those drawn."""

    first: int
    after: int
    times: int


def _like(item: Item) -> tuple[object, ...]:
    return item.layer.name, item.layer.angles, item.layer.thickness.value


def once(items: list[Item]) -> tuple[list[Item], list[Repeat]]:
    """The layers with repeats drawn once, where there are more plies than can be told apart."""
    if sum(len(plies_of(item.layer)) for item in items) <= MOST_PLIES:
        return items, []
    kept: list[Item] = []
    repeats = []
    at = 0
    likes = [_like(item) for item in items]
    while at < len(items):
        long, times = _best_repeat(likes, at)
        if times > 1:
            repeats.append(Repeat(len(kept), len(kept) + long, times))
        kept += items[at : at + long]
        at += long * times
    return kept, repeats


def _best_repeat(likes: list[tuple[object, ...]], at: int) -> tuple[int, int]:
    """How long a run from here is that lies over itself, and how often; (1, 1) for none."""
    best = (1, 1)
    for long in range(1, (len(likes) - at) // 2 + 1):
        times = 1
        while likes[at + times * long : at + (times + 1) * long] == likes[at : at + long]:
            times += 1
        if times > 2 and (times - 1) * long > (best[1] - 1) * best[0]:
            best = (long, times)
    return best


# --- Bands ----------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Band:
    """One stretch of a drawing, px from its top: solid where it has no ply to hatch."""

    item: Item
    place: int  # of the layer among those drawn
    ply: DrawnPly | None
    top: float
    bottom: float
    is_cut: bool = False  # drawn shorter than it is

    @property
    def height(self) -> float:
        """Height, px."""
        return self.bottom - self.top


@dataclass(frozen=True)
class Column:
    """All bands of a drawing and its height; ``grown``: by how much ink is thicker than true."""

    bands: tuple[Band, ...]
    height: float
    grown: float

    @property
    def is_cut(self) -> bool:
        """Whether something is drawn shorter than it is."""
        return any(band.is_cut for band in self.bands)

    def of_row(self, row: int) -> list[Band]:
        """The bands of one row of the stack."""
        return [band for band in self.bands if band.item.row == row]

    def middle(self, row: int) -> float:
        """Middle of a row, px from the top."""
        own = self.of_row(row)
        return (own[0].top + own[-1].bottom) / 2.0


def column_of(items: Sequence[Item], scale: float, most: float, thin: float = THIN) -> Column:
    """Bands of some layers under each other.

    scale : px per m; most : height, px, above which thick layers are cut short; thin : a layer
    under so many px is solid ink.
    """
    rough = [band for place, item in enumerate(items) for band in _bands(item, place, scale, thin)]
    return _stacked(_cut_short(rough, most))


def _bands(item: Item, place: int, scale: float, thin: float) -> list[Band]:
    whole = item.thickness * scale
    plies = plies_of(item.layer)
    if whole < thin and not any(ply.hatch == "glue" for ply in plies):
        return [Band(item, place, None, 0.0, whole)]
    bands = []
    for ply in plies:
        high = max(ply.thickness, 0.0) * scale
        is_hatched = high >= HATCHED and ply.hatch != "glue"
        high = max(high, GLUE) if ply.hatch == "glue" else high
        bands.append(Band(item, place, ply if is_hatched else None, 0.0, high))
    return bands


def _cut_short(bands: list[Band], most: float) -> list[Band]:
    """Bands that together keep within a height, the tallest cut short to one another's height."""
    if sum(band.height for band in bands) <= most:
        return bands
    heights = sorted(band.height for band in bands)
    left, cap = most, LEAST_CUT
    for index, height in enumerate(heights):
        cap = left / (len(heights) - index)
        if height >= cap:
            break
        left -= height
    cap = max(cap, LEAST_CUT)
    return [
        replace(band, bottom=cap, is_cut=True) if band.ply and band.height > cap + 2.0 else band
        for band in bands
    ]


def _stacked(bands: list[Band]) -> Column:
    y = grown = 0.0
    placed: list[Band] = []
    for run in _runs(bands):
        high = sum(band.height for band in run)
        least = LEAST_INK if run[0].ply is None else 0.0
        factor = least / high if 0.0 < high < least else 1.0
        spare = least if high <= 0.0 else 0.0
        for band in run:
            tall = band.height * factor + spare / len(run)
            grown += tall - band.height
            placed.append(replace(band, top=y, bottom=y + tall))
            y += tall
    return Column(tuple(_gapped(placed)), y, grown)


def _runs(bands: list[Band]) -> list[list[Band]]:
    """Solid neighbours together, hatched bands each alone."""
    runs: list[list[Band]] = []
    for band in bands:
        if runs and band.ply is None and runs[-1][-1].ply is None:
            runs[-1].append(band)
        else:
            runs.append([band])
    return runs


def _gapped(bands: list[Band]) -> list[Band]:
    """Paper between solid neighbours of two layers, half out of each, where both can spare it."""
    found = list(bands)
    for index in range(len(found) - 1):
        above, below = found[index], found[index + 1]
        if above.ply or below.ply or above.place == below.place:
            continue
        if min(above.height, below.height) >= LEAST_INK + GAP / 2.0:
            found[index] = replace(above, bottom=above.bottom - GAP / 2.0)
            found[index + 1] = replace(below, top=below.top + GAP / 2.0)
    return found


# --- Core and skins -------------------------------------------------------------------------------


@dataclass(frozen=True)
class Sandwich:
    """Core and skins of a panel: places of its layers; the core from ``first`` to ``after``."""

    first: int
    after: int


def sandwich_of(items: Sequence[Item], scale: float) -> Sandwich | None:
    """Where the core lies between skins; None for a panel without, or with one too thin to see."""
    cores = [index for index, item in enumerate(items) if item.layer.drawn.is_core]
    if not cores:
        return None
    first = max(cores, key=lambda index: (items[index].thickness, -index))
    after = first + 1
    while after < len(items) and _like(items[after]) == _like(items[first]):
        after += 1
    thick = sum(item.thickness for item in items[first:after])
    if thick * scale < THIN or thick < 0.2 * sum(item.thickness for item in items):
        return None
    return Sandwich(first, after) if first > 0 or after < len(items) else None
