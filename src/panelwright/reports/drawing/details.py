"""The skins of a sandwich, drawn again and larger."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from panelwright.mechanics.arrays import Array
from panelwright.panels.records import Prediction
from panelwright.reports.drawing.bands import (
    Band,
    Column,
    Item,
    Repeat,
    column_of,
    once,
    plies_of,
)
from panelwright.reports.drawing.ink import Mask
from panelwright.reports.drawing.labels import spread
from panelwright.reports.drawing.letters import lines_of, width_of
from panelwright.reports.drawing.paint import (
    Frame,
    boundaries,
    face,
    painted,
    wave_of,
)
from panelwright.reports.drawing.scales import PX_PER_M, SCALES, largest, next_larger
from panelwright.reports.drawing.section import (
    RADIUS,
    Balloon,
    Plan,
    balloon_svg,
    most_for,
    plan_of,
    times_svg,
)
from panelwright.reports.drawing.svg import circle, drawing, group, line, words
from panelwright.reports.drawing.told import facts_of, row_in_words
from panelwright.reports.layout import printed

#: Most height of a skin in a detail, px, and what of the core is drawn with it.
MOST, STUB = 200.0, 44.0
#: From this width on two details stand beside each other, px.
BESIDE = 620.0
#: From so many rows on a label is one line.
CROWDED = 8


@dataclass(frozen=True)
class Label:
    """Lines beside a detail, with the balloon before them; ``wanted``: what they name, px."""

    balloon: Balloon | None
    lines: tuple[tuple[str, str], ...]  # words and their class
    wanted: float

    @property
    def height(self) -> float:
        """Height with the room around it, px."""
        return max(18.0 * len(self.lines), 2.0 * RADIUS) + 6.0


@dataclass(frozen=True)
class Detail:
    """One skin: its layers with repeats drawn once, at its scale; the core is its neighbour."""

    name: str
    outside: bool
    items: tuple[Item, ...]
    repeats: tuple[Repeat, ...]
    core: Item
    scale: int

    def column(self) -> Column:
        """Bands of the skin."""
        return column_of(self.items, self.scale * PX_PER_M, MOST, thin=0.0)


def _detail(plan: Plan, outside: bool) -> Detail:
    core = plan.sandwich
    assert core is not None
    items, repeats = once(list(plan.skin(outside)))
    larger = tuple(scale for scale in SCALES if scale > plan.scale) or (next_larger(plan.scale),)
    scale = largest(sum(item.thickness for item in items), MOST, larger)
    beside = plan.items[core.first if outside else core.after - 1]
    return Detail("A" if outside else "B", outside, tuple(items), tuple(repeats), beside, scale)


def details_of(plan: Plan) -> list[Detail]:
    """The details that a section asks for."""
    return [_detail(plan, outside) for outside in (True, False) if plan.has_detail(outside)]


def details_svg(
    prediction: Prediction,
    width: float,
    cut: str = "across",
    selected: int | None = None,
    system: str = "si",
) -> str:
    """Details A and B; nothing for a panel without a core, or without thin skins."""
    plan = plan_of(prediction.layers, width - 92.0, most_for(width), cut)
    details = details_of(plan)
    if not details:
        return ""
    beside = width >= BESIDE and len(details) == 2
    each = (width - 24.0) / 2.0 if beside else min(width, 520.0)
    parts, x, y, high = "", 0.0, 0.0, 0.0
    for detail in details:
        drawn, tall = _detail_svg(detail, plan, (x, y), each, cut, selected, system)
        parts += drawn
        high = max(high, y + tall)
        x, y = (x + each + 24.0, 0.0) if beside else (0.0, y + tall + 16.0)
    told = "; ".join(
        f"Detail {one.name}, {one.scale}:1, from the outside inwards: "
        + "; ".join(row_in_words(plan.rows[index], system) for index in _rows(one))
        for one in details
    )
    title = f"Details of {printed(prediction.title)}"
    return drawing(parts, width, high, title, f"{told}.")


def _rows(detail: Detail) -> list[int]:
    return list(dict.fromkeys(item.row for item in detail.items))


def _detail_svg(
    detail: Detail,
    plan: Plan,
    at: tuple[float, float],
    width: float,
    cut: str,
    selected: int | None,
    system: str,
) -> tuple[str, float]:
    """One detail with its labels, and its height, px."""
    x, y = at
    column = detail.column()
    left, box_wide = x + 6.0, min(max(0.38 * width, 100.0), 200.0)
    times = 20.0 + width_of("× 99", 15.0) if detail.repeats else 0.0
    head = 30.0
    shift = 0.0 if detail.outside else STUB
    text_left = left + box_wide + times + 22.0
    labels = _labels(detail, plan, column, shift, selected, system, x + width - text_left)
    drawn = column.height + STUB
    need = sum(label.height for label in labels)
    top = y + head + max(0.0, (need - drawn) / 2.0)
    frame = Frame(left, left + box_wide, top + shift, detail.scale * PX_PER_M, cut)
    tall = head + max(drawn, need) + 6.0
    content = [
        words(x + 2.0, y + 15.0, f"Detail {detail.name}, {detail.scale}:1"),
        *(painted(band, frame) for band in column.bands),
        boundaries(column, frame),
        face(column, frame, detail.outside),
        _core(detail, column, frame),
        _sides(frame, top, drawn),
        times_svg(frame, column, detail.repeats, frame.right + 5.0),
        _beside(labels, frame, (top, y + head, y + tall), text_left),
    ]
    return group("".join(content), class_="detail"), tall


def _core(detail: Detail, column: Column, frame: Frame) -> str:
    """What of the core is drawn: hatched to a freehand line."""
    edge = column.height if detail.outside else 0.0
    top, bottom = (edge, edge + STUB) if detail.outside else (edge - STUB, edge)
    level = frame.top + (bottom - 5.0 if detail.outside else top + 5.0)
    wave = wave_of(detail.core.layer.name, level)

    def within(x: Array, y: Array) -> Mask:
        found: Mask = y <= wave.at(x) if detail.outside else y >= wave.at(x)
        return found

    thickest = max(plies_of(detail.core.layer), key=lambda ply: ply.thickness)
    band = Band(detail.core, -1, thickest, top, bottom, is_cut=True)
    y = frame.top + edge
    return (
        painted(band, frame, within)
        + line(frame.left, y, frame.right, y, "med")
        + wave.svg(frame.left, frame.right)
    )


def _sides(frame: Frame, top: float, high: float) -> str:
    return "".join(
        line(x, top + 4.0, x, top + high - 4.0, "thin") for x in (frame.left, frame.right)
    )


def _labels(
    detail: Detail,
    plan: Plan,
    column: Column,
    shift: float,
    selected: int | None,
    system: str,
    room: float,
) -> list[Label]:
    """Labels of the rows of a skin in their order, and of the core."""
    found = []
    rows = _rows(detail)
    for index in rows:
        row = plan.rows[index]
        balloon = Balloon(row.label, 0.0, row.holds(selected))
        wide = room - 2.0 * balloon.half - 6.0
        name, facts = printed(row.layers[0].name), facts_of(row, system)
        if len(rows) > CROWDED:
            lines = [(one, "word small") for one in lines_of(name, 13.0, wide, 1)]
        else:
            lines = [(one, "word") for one in lines_of(name, 15.0, wide, 3)]
            lines += [(one, "small") for one in lines_of(facts, 13.0, wide, 2)]
        found.append(Label(balloon, tuple(lines), shift + column.middle(index)))
    text = f"{printed(detail.core.layer.name)}, cut short"
    lines = [(one, "small") for one in lines_of(text, 13.0, room, 3)]
    middle = column.height + 0.5 * STUB if detail.outside else 0.5 * STUB
    core = Label(None, tuple(lines), middle)
    return [*found, core] if detail.outside else [core, *found]


def _beside(
    labels: Sequence[Label], frame: Frame, levels: tuple[float, float, float], left: float
) -> str:
    """The labels, spread so that none meets another, each with a line to what it names."""
    top, low, high = levels
    middles = spread(
        [top + label.wanted for label in labels], [label.height for label in labels], low, high
    )
    parts = []
    for label, y in zip(labels, middles, strict=True):
        text_left, wanted = left, top + label.wanted
        if label.balloon is not None:
            half = label.balloon.half
            parts.append(line(frame.right - 6.0, wanted, left, y, "thin"))
            parts.append(circle(frame.right - 6.0, wanted, 1.8, "solid rim"))
            parts.append(balloon_svg(left + half, y, label.balloon))
            text_left = left + 2.0 * half + 6.0
        first = y - 9.0 * len(label.lines) + 13.5
        parts += [
            words(text_left, first + 18.0 * index, text, kind)
            for index, (text, kind) in enumerate(label.lines)
        ]
    return "".join(parts)
