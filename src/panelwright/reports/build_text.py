"""The plan of a build as a builder reads it: glance, or full."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from panelwright import units
from panelwright.fabrication.plan import BuildPlan, JobMix, Step
from panelwright.reports.build_words import (
    amount,
    bought,
    cost_words,
    cut_rows,
    hours,
    money,
    named,
    post_cure_words,
    pot_rows,
    size_of,
    strip_lines,
    when,
)
from panelwright.reports.layout import (
    first_system,
    heading,
    narrow,
    plural,
    printed,
    sentence,
    table,
    wrapped,
)

#: Worries shown at a glance; the rest are counted.
GLANCE_WORRIES = 4
NAME, REMARK = 30, 40


def glance(plan: BuildPlan, system: str = "si") -> str:
    """What is made, what to mix and when, how long it takes, what worries."""
    parts = [
        heading(printed(plan.title)),
        _parts(plan, system),
        _mixes(plan, system),
        _pots(plan, system),
        _time(plan),
        _said("What worries me", [*plan.ratio_said[:1], *plan.warnings], GLANCE_WORRIES),
        _said("Taken for granted", plan.assumed, GLANCE_WORRIES),
    ]
    return "\n\n".join(part for part in parts if part)


def full(plan: BuildPlan, system: str = "si") -> str:
    """Everything: the ledger, what to buy, every step, cautions."""
    parts = [
        heading(printed(plan.title)),
        _parts(plan, system),
        _ledger(plan, system),
        _mixes(plan, system),
        _said("The mix ratio", plan.ratio_said, None),
        _pots(plan, system),
        _heat(plan, system),
        _buys(plan, system),
        _cuts(plan, system),
        _planks(plan, system),
        _tasks(plan),
        _time(plan),
        _steps(plan),
        _said("What worries me", plan.warnings, None),
        _said("Taken for granted", plan.assumed, None),
        _said("Before you mix, cut or sand", list(_cautions(plan)), None),
        _standing(),
    ]
    return "\n\n".join(part for part in parts if part)


def _standing() -> str:
    return wrapped(
        "Estimated, not certified: class rules, the standard that applies and a licensed naval "
        "architect or engineer override this plan. Data sheets of the products override its times."
    )


def _parts(plan: BuildPlan, system: str) -> str:
    one = first_system(system)
    rows = []
    for part in plan.parts:
        mass = part.mass
        each = " each" if part.count > 1 else ""
        rows.append(
            [
                narrow(named(part), NAME),
                size_of(part, system),
                units.show(mass.value, "mass", one, mass.low, mass.high) + each,
                units.show_range(mass.low, mass.high, "mass", one),
            ]
        )
    return table(rows)


def _mix_row(mix: JobMix, system: str) -> list[str]:
    one = first_system(system)
    mass = mix.to_mix
    shown = units.show(mass.value, "resin_mass", one, mass.low, mass.high)
    span = units.show_range(mass.low, mass.high, "resin_mass", one)
    split = ""
    if mix.resin is not None and mix.hardener is not None:
        resin, hardener = (units.show(m, "resin_mass", one) for m in (mix.resin, mix.hardener))
        split = f"{resin} resin + {hardener} hardener"
    pots = plural(mix.pots, "pot") if mix.pots else ""
    packs = ""
    if mix.packs is not None and mix.pack is not None:
        packs = f"{plural(mix.packs, 'pack')} of {units.show(mix.pack, 'mass', one)}"
        packs += ", one more to be sure" * (mass.high > mix.packs * mix.pack)
    remark = "; ".join(part for part in (split, pots, packs) if part)
    return [narrow(mix.product, NAME), shown, span, narrow(remark, REMARK)]


def _mixes(plan: BuildPlan, system: str) -> str:
    rows = [_mix_row(mix, system) for mix in plan.mixes]
    return f"To mix\n{table(rows, indent='  ')}" if rows else ""


def _pots(plan: BuildPlan, system: str) -> str:
    found = pot_rows(plan, system)
    if not found:
        return ""
    ratio = f", {plan.ratio}" if plan.ratio else ""
    head = ["go", "when", "pots", "g each", "resin + hardener", "begin", "use in", "gels in"]
    rows = [head]
    several = len(plan.parts) > 1
    counts = {part.name: named(part) for part in plan.parts}
    for row in found:
        session = row.session
        name = f"{counts[session.part]}: {session.stage.name}" if several else session.stage.name
        day = f"day {session.day}"
        cells = [row.numbers.rpartition("–")[2], row.grams, row.parts, row.starts]
        rows.append([narrow(name, 26), day, *cells, row.use_in, row.gels_in])
    return f"Pots{ratio}\n{table(rows, right=(2, 3, 4), indent='  ')}"


def _time(plan: BuildPlan) -> str:
    middle, low, high = plan.hours
    text = (
        f"{plural(plan.days, 'day')} on the calendar, {hours(middle)} hours of work "
        f"({hours(low)} to {hours(high)}), without {plan.not_in_hours}."
    )
    lines = [wrapped(text)]
    if plan.priced is not None:
        priced = plan.priced
        lines.append(
            wrapped(
                f"Cost by your prices: {cost_words(priced)}; "
                f"{money(priced.left, priced.currency)} of it stays in stock."
            )
        )
        if priced.missing:
            lines.append(wrapped(f"No price given, so not counted: {', '.join(priced.missing)}."))
    return "\n".join(lines)


def _said(title: str, found: Sequence[str], most: int | None) -> str:
    if not found:
        return ""
    now = found if most is None else found[:most]
    lines = [wrapped(sentence(printed(text)), first="  • ") for text in now]
    if len(found) > len(now):
        lines.append(f"    and {plural(len(found) - len(now), 'more point')}: see --full")
    return "\n".join([title, *lines])


def _ledger(plan: BuildPlan, system: str) -> str:
    one = first_system(system)
    rows = [["Resin and all else", "in the part", "to mix", "to buy"]]
    for row in plan.ledger:
        cells = [
            units.show(mass.value, "resin_mass", one, mass.low, mass.high) if mass.value else "–"
            for mass in (row.in_part, row.to_mix, row.to_buy)
        ]
        rows.append([row.cause, *cells])
    return table(rows, right=(1, 2, 3))


def _heat(plan: BuildPlan, system: str) -> str:
    heat = plan.heat
    if heat is None:
        return ""
    one = first_system(system)
    pot, laid = (units.show(k, "temperature_change", one) for k in (heat.pot, heat.laminate))
    bounds = (
        f"If no heat escaped, a pot would warm itself by up to {pot}, the wet laminate by {laid}: "
        f"pour into a tray, lay no more than a few millimetres in one go."
    )
    return wrapped(" ".join([bounds, *post_cure_words(heat, system)]))


def _buys(plan: BuildPlan, system: str) -> str:
    rows = []
    for line in plan.buys:
        cost = "" if line.bought is None else f"{line.bought:.2f}"
        need = f"{amount(line, line.need, system)} used"
        what, note = narrow(printed(line.what), 26), narrow(line.note, 26)
        rows.append([what, bought(line, system), need, note, cost])
    text = f"To buy\n{table(rows, right=(1, 2, 4), indent='  ')}"
    return f"{text}\n" + wrapped(f"At hand: {'; '.join(plan.also)}.", first="  ")


def _cuts(plan: BuildPlan, system: str) -> str:
    rows = []
    for part in plan.parts:
        name = f"{named(part)}: " if len(plan.parts) > 1 else ""
        rows += [
            [narrow(f"{name}{row.what}", NAME), row.count, row.size, narrow(row.remark, NAME)]
            for row in cut_rows(part, system)
        ]
    return f"To cut\n{table(rows, right=(1,), indent='  ')}" if rows else ""


def _planks(plan: BuildPlan, system: str) -> str:
    lines = [line for part in plan.parts for line in strip_lines(part, system)]
    return "\n".join(["Strips", *(wrapped(line, first="  • ") for line in lines)]) if lines else ""


def _tasks(plan: BuildPlan) -> str:
    rows = [["Hours", "", ""]]
    for task in plan.tasks:
        span = f"{hours(task.low)} … {hours(task.high)}"
        rows.append([f"  {task.name}", hours(task.hours), span, task.evidence])
    return table(rows, right=(1,))


def _steps(plan: BuildPlan) -> str:
    lines = ["Steps ([ ] to tick, HOLD: nothing goes on until it is seen to)"]
    part, session = "", None
    for number, step in enumerate(plan.steps, start=1):
        if step.part != part and len(plan.parts) > 1:
            lines.append(f"\n  {printed(step.part)}")
        if step.session is not None and step.session != session:
            go = plan.sessions[step.session]
            people = "one person" if go.hands == 1 else f"{go.hands} people"
            lines.append(f"  — {printed(go.stage.name)}, {when(go)}, {people}")
        part, session = step.part, step.session
        lines.append(_step(number, step))
    return "\n".join(lines)


def _step(number: int, step: Step) -> str:
    boxes = "".join(f"  {printed(box.name)} ______" for box in step.boxes)
    ground = f" [{step.ground}]" if step.ground else ""
    hold = "HOLD: " if step.hold else ""
    dangers = f" ! {'; '.join(step.dangers)}." if step.dangers else ""
    text = f"{hold}{printed(step.text)}.{ground}{dangers}{boxes}"
    return wrapped(text, first=f"  [ ] {number:>2}  ")


def _cautions(plan: BuildPlan) -> Iterator[str]:
    for caution in plan.cautions:
        yield f"{caution.name}: {caution.what_happens}. {sentence(caution.usual_control)}"
