"""The section of a panel, to scale."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from random import Random

from panelwright.panels.records import LayerRecord, Prediction
from panelwright.reports.drawing.bands import (
    THIN,
    Column,
    Item,
    Repeat,
    Row,
    Sandwich,
    column_of,
    items_of,
    once,
    rows_of,
    sandwich_of,
)
from panelwright.reports.drawing.hatches import Look
from panelwright.reports.drawing.labels import spread
from panelwright.reports.drawing.letters import lines_of, width_of
from panelwright.reports.drawing.paint import Frame, boundaries, end, face, painted
from panelwright.reports.drawing.scales import DESK, PX_PER_M, bar, largest, next_larger
from panelwright.reports.drawing.svg import (
    box,
    circle,
    drawing,
    element,
    group,
    line,
    number,
    path,
    words,
)
from panelwright.reports.drawing.told import (
    angles_in_words,
    hatch_in_words,
    length_in_words,
    row_in_words,
)
from panelwright.reports.layout import printed

#: Most height of a section on a desk and on a phone, px.
MOST_DESK, MOST_PHONE = 190.0, 80.0
#: Balloons: radius, pitch, and how many stand beside one section, px.
RADIUS, PITCH, MOST_BALLOONS = 11.0, 27.0, 12
#: A bar shorter than this goes on a line of its own, px, and the height of that line.
LEAST_BAR, BAR_LINE = 70.0, 26.0
#: Thinnest skin that a ring is drawn round, px.
RING = 14.0


@dataclass(frozen=True)
class Plan:
    """What of a panel is drawn at what scale: shared by the section and its details."""

    rows: tuple[Row, ...]
    items: tuple[Item, ...]
    repeats: tuple[Repeat, ...]
    sandwich: Sandwich | None
    scale: int
    most: float

    @property
    def px(self) -> float:
        """Scale, px per m."""
        return self.scale * PX_PER_M

    def column(self) -> Column:
        """The bands of the section."""
        return column_of(self.items, self.px, self.most)

    def has_detail(self, outside: bool) -> bool:
        """Whether a skin has layers that the section can only show as ink."""
        return any(item.thickness * self.px < THIN for item in self.skin(outside))

    def skin(self, outside: bool) -> Sequence[Item]:
        """The layers on one side of the core."""
        if self.sandwich is None:
            return ()
        core = self.sandwich
        return self.items[: core.first] if outside else self.items[core.after :]


def _widest_strip(layers: Sequence[LayerRecord], cut: str) -> float:
    """What the widest strip takes of a section, m; 0 where no joint is cut."""
    found = 0.0
    for layer in layers:
        if layer.drawn.cover is None:
            continue
        look = Look(layer.drawn, layer.angles[0], cut, 1.0, Random(0))
        found = max(found, 0.0 if look.is_along else layer.drawn.cover * look.stretch)
    return found


def plan_of(layers: Sequence[LayerRecord], room: float, most: float, cut: str) -> Plan:
    """How a stack is drawn in a box with so much room sideways, px, and at most so high."""
    rows = rows_of(layers)
    items = items_of(rows)
    thick = sum(item.thickness for item in items)
    scale = min(largest(thick, most), largest(_widest_strip(layers, cut) / 0.97, room))
    core = sandwich_of(items, scale * PX_PER_M)
    if core is not None:
        return Plan(tuple(rows), tuple(items), (), core, scale, most)
    drawn, repeats = once(items)
    scale = largest(sum(item.thickness for item in drawn), most)
    if any(item.thickness * scale * PX_PER_M < THIN for item in drawn) and len(drawn) > 1:
        scale = next_larger(scale)
    return Plan(tuple(rows), tuple(drawn), tuple(repeats), None, scale, 2.5 * most)


def most_for(width: float) -> float:
    """The most height of a section in a box so wide, px."""
    return MOST_DESK if width >= DESK else MOST_PHONE


# --- Balloons -------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Balloon:
    """A numbered balloon: what it says, the height it points to, whether it is selected."""

    label: str
    wanted: float
    is_selected: bool

    @property
    def half(self) -> float:
        """Half its width, px."""
        return max(RADIUS, width_of(self.label, 13.0) / 2.0 + 5.0)


def balloons_of(rows: Sequence[Row], column: Column, selected: int | None) -> list[Balloon]:
    """A balloon for each row drawn; where they are too many, neighbours share one."""
    shown = [i for i in range(len(rows)) if column.of_row(i)]
    each = -(-len(shown) // MOST_BALLOONS)
    found = []
    for start in range(0, len(shown), each):
        held = shown[start : start + each]
        first, last = rows[held[0]], rows[held[-1]]
        end_number = last.first + len(last.layers) - 1
        label = first.label if len(held) == 1 else f"{first.first}–{end_number}"
        wanted = (column.middle(held[0]) + column.middle(held[-1])) / 2.0
        found.append(Balloon(label, wanted, any(rows[i].holds(selected) for i in held)))
    return found


def balloon_svg(x: float, y: float, balloon: Balloon) -> str:
    """A balloon about a point."""
    half, on = balloon.half, " selected" if balloon.is_selected else ""
    shape = element(
        "rect",
        class_=f"balloon{on}",
        x=x - half,
        y=y - RADIUS,
        width=2.0 * half,
        height=2.0 * RADIUS,
        rx=RADIUS,
    )
    return shape + words(x, y + 4.6, balloon.label, f"letter{on}", "middle")


# --- The drawing ----------------------------------------------------------------------------------


def dimension(x: float, top: float, bottom: float, lines: Sequence[str], turned: bool) -> str:
    """A dimension line with arrow ends, its figure beside it."""
    parts = [
        line(x - 22.0, top, x + 5.0, top, "thin"),
        line(x - 22.0, bottom, x + 5.0, bottom, "thin"),
    ]
    inwards = bottom - top < 24.0
    if inwards:
        parts += [line(x, top - 18.0, x, top, "thin"), line(x, bottom, x, bottom + 18.0, "thin")]
    else:
        parts.append(line(x, top, x, bottom, "thin"))
    for y, way in ((top, 1.0), (bottom, -1.0)):
        back = 9.0 * (-way if inwards else way)
        parts.append(path(f"M{number(x)} {number(y)}l-2.4 {number(back)}h4.8z", "solid"))
    middle = (top + bottom) / 2.0
    if turned:
        parts.append(words(x - 6.0, middle, lines[0], "figure", "middle", turned=True))
    else:
        first = middle + 5.0 - 9.0 * (len(lines) - 1)
        parts += [words(x + 8.0, first + 18.0 * i, one, "figure") for i, one in enumerate(lines)]
    return "".join(parts)


def scale_bar(right: float, y: float, scale: float, most: float, system: str) -> str:
    """A bar of a round length, its words to the left."""
    made = bar(scale, most, system)
    left, half = right - made.length, made.length / 2.0
    return (
        line(left, y, right, y, "thin")
        + box(left, y - 2.5, half, 5.0, "solid")
        + line(left, y - 5.0, left, y + 5.0, "thin")
        + line(right, y - 5.0, right, y + 5.0, "thin")
        + words(left - 7.0, y + 5.0, made.words, "figure", "end")
    )


def _bars(frame: Frame, column: Column, index: int) -> str:
    own = column.of_row(index)
    top, high = frame.top + own[0].top, max(own[-1].bottom - own[0].top, 3.0)
    return box(frame.left - 10.0, top, 4.0, high, "pencil") + box(
        frame.right + 6.0, top, 4.0, high, "pencil"
    )


def times_svg(frame: Frame, column: Column, repeats: Sequence[Repeat], x: float) -> str:
    """Brackets of the repeats drawn once, each with its number, from ``x`` to the right."""
    spans = []
    for repeat in repeats:
        own = [band for band in column.bands if repeat.first <= band.place < repeat.after]
        spans.append((frame.top + own[0].top, frame.top + own[-1].bottom))
    middles = spread(
        [sum(span) / 2.0 for span in spans],
        [18.0] * len(spans),
        0.0,
        frame.top + column.height + 40.0,
    )
    parts = []
    for repeat, (top, bottom), y in zip(repeats, spans, middles, strict=True):
        parts.append(path(f"M{number(x)} {number(top + 1)}h6V{number(bottom - 1)}h-6", "thin"))
        parts.append(words(x + 10.0, y + 5.0, f"× {repeat.times}", "figure"))
    return "".join(parts)


def _thickness(prediction: Prediction, system: str) -> list[str]:
    """The figure of the dimension line; both systems, a line each."""
    if system != "both":
        return [length_in_words(prediction.thickness, system, bare=True)]
    return [length_in_words(prediction.thickness, one) for one in ("si", "imperial")]


def _is_turned(column: Column, lines: Sequence[str]) -> bool:
    """Whether the figure of the dimension stands upright beside its line."""
    return len(lines) == 1 and column.height >= width_of(lines[0], 15.0) + 26.0


def _notes(plan: Plan, column: Column) -> list[str]:
    found = []
    if column.is_cut:
        found.append("cut short at the freehand line; the figure is the whole thickness")
    if plan.repeats:
        found.append("layers that repeat are drawn once; the figure is the whole thickness")
    if column.grown > 1.5:
        found.append("thinnest layers drawn thicker than they are")
    return found


def section_svg(
    prediction: Prediction,
    width: float,
    cut: str = "across",
    selected: int | None = None,
    system: str = "si",
    most: float | None = None,
) -> str:
    """The section cut ``across`` or ``along``; ``selected``: number of a layer, from 1.

    most : height of the panel in it, px, where that of a screen so wide is not meant.
    """
    figure = _thickness(prediction, system)
    rows = rows_of(prediction.layers)
    left = 2.0 * max(Balloon(f"{r.first}–{r.first}", 0.0, False).half for r in rows[-1:]) + 22.0
    plan, column, right = _fitted(prediction, width, cut, left, figure, most or most_for(width))
    balloons = balloons_of(plan.rows, column, selected)
    heights = [PITCH] * len(balloons)
    more = max(0.0, sum(heights) - column.height - 56.0) / 2.0
    top = 34.0 + more
    frame = Frame(left, width - right, top, plan.px, cut)
    bottom = top + column.height
    notes = [part for note in _notes(plan, column) for part in lines_of(note, 13.0, width - 8.0, 3)]
    beneath = _bar_room(frame, plan) < LEAST_BAR
    high = bottom + 36.0 + (BAR_LINE if beneath else 0.0) + more
    parts = [
        *(_row(frame, column, plan, index, selected) for index in range(len(plan.rows))),
        boundaries(column, frame),
        face(column, frame, True),
        face(column, frame, False),
        end(frame.left, top, bottom),
        end(frame.right, top, bottom),
        times_svg(frame, column, plan.repeats, frame.right + 12.0),
        _balloon_column(frame, balloons, (2.0, high - 2.0)),
        _lettered(frame, column, plan, system, width),
        _dimension(frame, column, figure, width),
        *(words(4.0, high + 14.0 + 18.0 * i, note, "small") for i, note in enumerate(notes)),
    ]
    head, scale = section_caption(prediction, width, cut, most)
    title = f"{head}, {printed(prediction.title)}, {scale}"
    told = "; ".join(row_in_words(row, system) for row in plan.rows)
    whole = length_in_words(prediction.thickness, system)
    return drawing(
        "".join(parts),
        width,
        high + 18.0 * len(notes) + (4.0 if notes else 0.0),
        title,
        f"From the outside inwards, {whole} in all: {told}.",
    )


def _fitted(
    prediction: Prediction, width: float, cut: str, left: float, figure: Sequence[str], most: float
) -> tuple[Plan, Column, float]:
    """The plan, its bands and the room that dimension and brackets take on the right, px."""
    plan = plan_of(prediction.layers, width - left - 46.0, most, cut)
    column = plan.column()
    wide = max(width_of(line, 15.0) for line in figure)
    right = 46.0 if _is_turned(column, figure) else 42.0 + wide
    if plan.repeats:
        right += 22.0 + max(width_of(f"× {one.times}", 15.0) for one in plan.repeats)
    return plan, column, right


def _dimension(frame: Frame, column: Column, figure: Sequence[str], width: float) -> str:
    turned = _is_turned(column, figure)
    wide = max(width_of(one, 15.0) for one in figure)
    x = width - 8.0 if turned else width - 12.0 - wide
    return dimension(x, frame.top, frame.top + column.height, figure, turned)


def _row(frame: Frame, column: Column, plan: Plan, index: int, selected: int | None) -> str:
    row, own = plan.rows[index], column.of_row(index)
    if not own:
        return ""
    content = element("title", escape(row_in_words(row, "si"), quote=False))
    content += "".join(painted(band, frame) for band in own)
    content += box(
        frame.left,
        frame.top + own[0].top,
        frame.right - frame.left,
        own[-1].bottom - own[0].top,
        "hit",
    )
    if row.holds(selected):
        content += _bars(frame, column, index)
    return group(content, class_="layer", data_layer=row.first, data_layers=row.label)


def _balloon_column(frame: Frame, balloons: Sequence[Balloon], room: tuple[float, float]) -> str:
    middles = spread([frame.top + one.wanted for one in balloons], [PITCH] * len(balloons), *room)
    half = max(one.half for one in balloons)
    parts = []
    for one, y in zip(balloons, middles, strict=True):
        x, to = 1.0 + half, frame.top + one.wanted
        parts.append(line(x + one.half, y, frame.left + 6.0, to, "thin"))
        parts.append(circle(frame.left + 6.0, to, 1.6, "solid rim"))
        parts.append(balloon_svg(x, y, one))
    return "".join(parts)


def _radius(plan: Plan, outside: bool) -> float:
    """Radius of the ring about a skin, px."""
    deep = sum(item.thickness for item in plan.skin(outside)) * plan.px
    return min(max(RING, deep * 0.8 + 4.0), 22.0)


def _ring_at(frame: Frame, radius: float) -> float:
    """Where a ring stands: clear of the words beside it, px."""
    return frame.left + 18.0 + width_of("outside", 15.0) + radius


def _bar_room(frame: Frame, plan: Plan) -> float:
    """Room for the bar of the scale beside the words of the inside face, px."""
    free = frame.left + 20.0 + width_of("inside", 15.0)
    if plan.has_detail(False):
        radius = _radius(plan, False)
        free = _ring_at(frame, radius) + radius + 26.0
    return frame.right - free - width_of("1/16 in", 15.0) - 10.0


def _lettered(frame: Frame, column: Column, plan: Plan, system: str, width: float) -> str:
    """Outside, inside, the rings of the details, the bar of the scale."""
    top, bottom = frame.top, frame.top + column.height
    lead = frame.left + 12.0
    parts = [words(lead, top - 14.0, "outside"), words(lead, bottom + 24.0, "inside")]
    for name, outside, y in (("A", True, top), ("B", False, bottom)):
        if not plan.has_detail(outside):
            continue
        skin = plan.skin(outside)
        deep = sum(item.thickness for item in skin) * plan.px
        radius = _radius(plan, outside)
        x = _ring_at(frame, radius)
        parts.append(circle(x, y + (deep / 2.0 if outside else -deep / 2.0), radius, "thin"))
        parts.append(words(x + radius + 5.0, y - 14.0 if outside else y + 24.0, name))
    room = _bar_room(frame, plan)
    beneath = room < LEAST_BAR
    y = bottom + (19.0 + BAR_LINE if beneath else 19.0)
    right = width - 6.0 if beneath else frame.right
    most = min(right - frame.left - 80.0 if beneath else room, 130.0)
    parts.append(scale_bar(right, y, plan.scale, most, system))
    return "".join(parts)


def section_caption(
    prediction: Prediction, width: float, cut: str = "across", most: float | None = None
) -> tuple[str, str]:
    """Heading and scale of the section: "Section across the strips", "5:1, in mm"."""
    plan = plan_of(prediction.layers, width - 92.0, most or most_for(width), cut)
    strips = [row.layers[0] for row in plan.rows if row.layers[0].kind == "strips"]
    head = f"Section {cut} the length"
    if strips:
        look = Look(strips[0].drawn, strips[0].angles[0], cut, 1.0, Random(0))
        if look.is_along or look.is_endwise:
            head = f"Section {'along' if look.is_along else 'across'} the strips"
    return head, f"{plan.scale}:1"


def section_table(prediction: Prediction, system: str = "si") -> list[tuple[str, ...]]:
    """The section in words, a row for each row of the stack under one of heads."""
    rows = [
        (
            row.label,
            printed(row.layers[0].name),
            length_in_words(row.layers[0].thickness, system),
            angles_in_words(row.layers[0]),
            hatch_in_words(row.layers[0]),
        )
        for row in rows_of(prediction.layers)
    ]
    return [("layer", "name", "thickness", "direction", "drawn as"), *rows]
