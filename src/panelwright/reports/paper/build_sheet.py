"""The build sheet: what to buy, cut and mix, by the clock, and every step with a box to tick."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from markupsafe import Markup

from panelwright import units
from panelwright.fabrication.plan import BuildPlan, PartPlan, Step
from panelwright.reports.build_words import (
    MOST_CHARTS,
    CutRow,
    PotRow,
    amount,
    bought,
    cost_words,
    cut_rows,
    heat_words,
    hours,
    named,
    pot_rows,
    size_of,
    strip_lines,
    when,
)
from panelwright.reports.drawing import pots_svg, section_caption, section_svg
from panelwright.reports.figures import StackRow, stack_rows, stack_units
from panelwright.reports.layout import first_system, plural, printed, sentence
from panelwright.reports.paper.ink import LESS, MARGINS, PX, inked, less
from panelwright.reports.paper.labels import code
from panelwright.reports.paper.pages import SHEETS, Paper, fonts, page, pdf

#: Share of the width of a sheet that the section has, and layers that are listed beside it.
SECTION, LAYERS = 0.52, 12
#: Steps up to here stand in columns of like height: it takes a while to find.
BALANCED = 26


@dataclass(frozen=True)
class _Part:
    """A part at the head of the sheet."""

    name: str
    size: str
    mass: str
    caption: str
    scale: str
    section: Markup
    layers: list[StackRow]
    more: int


@dataclass(frozen=True)
class _Go:
    """The steps of one go, with the sentence over them."""

    head: str
    steps: list[tuple[int, Step, str, list[str]]]  # number, step, its text, its boxes


def _part(part: PartPlan, wide: float, system: str) -> _Part:
    one = first_system(system)
    mass = part.mass
    caption, scale = section_caption(part.prediction, wide)
    layers = stack_rows(part.prediction, system)
    shown = units.show(mass.value, "mass", one, mass.low, mass.high)
    span = units.show_range(mass.low, mass.high, "mass", one)
    return _Part(
        named(part),
        size_of(part, system),
        f"{shown} each" if part.count > 1 else f"{shown} ({span})",
        caption,
        scale,
        inked(section_svg(part.prediction, wide, system=system)),
        layers[:LAYERS],
        max(0, len(layers) - LAYERS),
    )


def _cuts(plan: BuildPlan, system: str) -> list[tuple[str, CutRow]]:
    several = len(plan.parts) > 1
    return [
        (named(part) if several else "", row)
        for part in plan.parts
        for row in cut_rows(part, system)
    ]


def _charts(plan: BuildPlan, wide: float, system: str) -> Iterator[tuple[str, Markup]]:
    several = len(plan.parts) > 1
    drawn = [(s, b) for s in plan.sessions for b in s.batches if len(b.pots) > 1]
    for session, batch in drawn[:MOST_CHARTS]:
        name = f"{printed(session.part)}, {printed(session.stage.name)}" if several else ""
        head = name or printed(session.stage.name)
        day = f"day {session.day}, {plural(session.hands, 'person', 'people')}"
        svg = less(pots_svg(session, batch, plan.day, LESS * wide, system))
        yield f"{head}, by the clock: {day}", inked(svg)


def _goes(plan: BuildPlan) -> list[_Go]:
    """Steps in order, a group for each go and for what lies between."""
    found: list[_Go] = []
    last: tuple[str, int | None] | None = None
    several = len(plan.parts) > 1
    for number, step in enumerate(plan.steps, start=1):
        key = (step.part, step.session)
        if key != last:
            found.append(_Go(_head(plan, step, several=several), []))
        last = key
        boxes = [printed(box.name) for box in step.boxes]
        found[-1].steps.append((number, step, printed(step.text), boxes))
    return found


def _head(plan: BuildPlan, step: Step, *, several: bool) -> str:
    part = f"{printed(step.part)}: " if several else ""
    if step.session is None:
        return f"{part}before and after" if part else ""
    session = plan.sessions[step.session]
    people = plural(session.hands, "person", "people")
    return f"{part}{printed(session.stage.name)} · {when(session)}, {people}"


def _time(plan: BuildPlan) -> str:
    middle, low, high = plan.hours
    text = (
        f"{plural(plan.days, 'day')} on the calendar, {hours(middle)} hours ({hours(low)} to "
        f"{hours(high)}), without {plan.not_in_hours}"
    )
    return text if plan.priced is None else f"{text}. Cost: {cost_words(plan.priced)}"


def build_sheet_html(
    plan: BuildPlan, drawn: date, paper: Paper = Paper.A4, system: str = "si", holds: str = ""
) -> str:
    """The sheets as HTML. ``holds`` : what the square code says; the title if nothing is given."""
    wide = (SHEETS[paper].width - MARGINS) * PX
    whole = sum(part.count * part.mass.value for part in plan.parts)
    return page(
        "build_sheet.html",
        fonts=fonts(),
        paper=paper.value,
        title=printed(plan.title),
        code=code(holds or plan.title),
        date=f"{drawn:%d %b %Y}".lstrip("0"),
        size=size_of(plan.parts[0], system) if len(plan.parts) == 1 else _several(plan),
        whole=units.show(whole, "mass", first_system(system)),
        thick=stack_units(system)[0],
        parts=[_part(part, SECTION * wide, system) for part in plan.parts],
        buys=[
            (printed(line.what), bought(line, system), amount(line, line.need, system), line.note)
            for line in plan.buys
        ],
        also=plan.also,
        cuts=_cuts(plan, system),
        strips=[sentence(text) for part in plan.parts for text in strip_lines(part, system)],
        ratio=plan.ratio,
        ratio_said=[sentence(text) for text in plan.ratio_said],
        pots=_pots(plan, system),
        charts=list(_charts(plan, wide, system)),
        goes=_goes(plan),
        many=len(plan.steps) > BALANCED,
        time=_time(plan),
        worries=[sentence(text) for text in [*heat_words(plan.heat, system), *plan.warnings]],
        assumed=[sentence(text) for text in plan.assumed],
        cautions=[f"{sentence(c.name)} {sentence(c.usual_control)}" for c in plan.cautions],
    )


def _several(plan: BuildPlan) -> str:
    return plural(sum(part.count for part in plan.parts), "part")


def _pots(plan: BuildPlan, system: str) -> list[tuple[str, PotRow]]:
    several = len(plan.parts) > 1
    counts = {part.name: named(part) for part in plan.parts}
    return [
        (
            f"{counts[row.session.part]}: {row.session.stage.name}"
            if several
            else row.session.stage.name,
            row,
        )
        for row in pot_rows(plan, system)
    ]


def build_sheet(
    plan: BuildPlan, drawn: date, paper: Paper = Paper.A4, system: str = "si", holds: str = ""
) -> bytes:
    """The sheets as PDF. Raises NoPrinter where PDF cannot be made here."""
    return pdf(build_sheet_html(plan, drawn, paper, system, holds))
