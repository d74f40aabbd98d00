"""A panel against its duties, as text: each limit with its value, its range and its verdict."""

from __future__ import annotations

from collections.abc import Iterator

from panelwright import units
from panelwright.panels.spread import Ranged
from panelwright.panels.verdicts import (
    KEPT,
    NOT_KEPT,
    ONLY_JUST,
    DutyRecord,
    LimitRecord,
    LoadRecord,
    WayRecord,
)
from panelwright.reports.layout import (
    first_system,
    heading,
    narrow,
    printed,
    sentence,
    table,
    wrapped,
)

#: Verdicts in words and with their sign; black alone must do.
VERDICTS = {KEPT: "✓ kept", ONLY_JUST: "only just", NOT_KEPT: "✗ not kept"}
#: Columns of the name of a limit and of what is allowed.
NAME, ALLOWED = 22, 24
ESTIMATES = (
    "Estimates, not certification: class rules, the applicable standard, local codes and a "
    "licensed engineer or naval architect override them. Nothing that lives depend on is built on "
    "these figures alone."
)


def shown(value: Ranged, dimension: str, system: str) -> str:
    """A found value, rounded by its range, with its unit."""
    text = units.show(value.value, dimension, first_system(system), value.low, value.high)
    return text.partition(" (")[0]


def shown_range(value: Ranged | None, dimension: str, system: str) -> str:
    """Its range without the unit; empty where there is none."""
    if value is None or value.high <= value.low:
        return ""
    one = first_system(system)
    text = units.show_range(value.low, value.high, dimension, one).partition(" (")[0]
    unit = units.show(value.value, dimension, one).partition(" (")[0].partition(" ")[2]
    return text.removesuffix(unit).rstrip()


def allowed(limit: LimitRecord) -> str:
    """What is allowed, as it was written."""
    return f"{limit.sense} {limit.limit_text}"


def found(limit: LimitRecord, system: str) -> str:
    """What was found; words where it is not known."""
    if limit.value is None:
        return "not known"
    return shown(limit.value, limit.dimension, system)


def lasting_words(seconds: float) -> str:
    """How long, in the largest unit that fits."""
    for name, size in (("years", 3.15576e7), ("days", 86400.0), ("h", 3600.0), ("min", 60.0)):
        if seconds >= 0.999 * size:
            return f"{seconds / size:.3g} {name if seconds >= 1.5 * size else name.rstrip('s')}"
    return f"{seconds:.3g} s"


def held_words(duty: DutyRecord) -> str:
    """How the panel is held, in words."""
    if duty.strip:
        return f"a strip, {duty.strip}"
    ways = dict.fromkeys(_edges_words(way) for way in duty.ways)
    return "; or ".join(ways)


def _edges_words(way: WayRecord) -> str:
    sides = ("left", "right", "bottom", "top")
    if len(set(way.edges)) == 1:
        return f"all edges {way.edges[0]}"
    return ", ".join(f"{side} {edge}" for side, edge in zip(sides, way.edges, strict=True))


def load_words(load: LoadRecord, system: str) -> str:
    """A load: what, how much, on what."""
    one = first_system(system)
    force = units.show(abs(load.force), "force", one).partition(" (")[0]
    side = "" if load.force >= 0.0 else ", towards the outside"
    if load.over is None:
        pressure = units.show(abs(load.pressure), "pressure", one).partition(" (")[0]
        return f"{load.words}: {pressure} over the whole field, {force} in all{side}"
    (x0, x1), (y0, y1) = load.over
    sizes = (
        units.show(side_length, "thickness", one).partition(" (")[0]
        for side_length in (x1 - x0, y1 - y0)
    )
    if x1 - x0 <= 0.0 or y1 - y0 <= 0.0:
        return f"{load.words}: {force} on a line{side}"
    return f"{load.words}: {force} on {' x '.join(sizes)}{side}"


LimitRow = tuple[str, str, str, str, str, str]


def limit_rows(duty: DutyRecord, system: str) -> list[LimitRow]:
    """A row for each limit under one of heads."""
    head = ("limit", "found", "range", "allowed", "", "what governs")
    return [head, *(_limit_row(one, system) for one in duty.limits)]


def _limit_row(one: LimitRecord, system: str) -> LimitRow:
    return (
        one.name,
        found(one, system),
        shown_range(one.value, one.dimension, system),
        allowed(one),
        VERDICTS[one.kept],
        printed(one.governs),
    )


def size_words(duty: DutyRecord, system: str) -> str:
    """Length by width of the field."""
    one = first_system(system)
    sides = (duty.length, duty.width)
    return " x ".join(units.show(side, "thickness", one).partition(" (")[0] for side in sides)


def _head(duty: DutyRecord, system: str) -> str:
    held = f"{size_words(duty, system)}, {held_words(duty)}"
    return wrapped(f"{printed(duty.name)}: {VERDICTS[duty.kept]}. {held}.")


def _limits(duty: DutyRecord, system: str) -> str:
    rows = limit_rows(duty, system)
    cells = [[narrow(row[0], NAME), *row[1:3], narrow(row[3], ALLOWED), row[4]] for row in rows]
    return table(cells, right=(1, 2), indent="  ")


def _governs(duty: DutyRecord) -> Iterator[str]:
    for one in duty.limits:
        if one.kept != KEPT and one.governs != "the largest deflection":
            yield wrapped(f"{one.name}: {printed(one.governs)}", first="  ", rest="    ")


def glance(duties: tuple[DutyRecord, ...], system: str = "si") -> str:
    """Each duty with its limits, what governs those that are not kept, and what worries."""
    parts = []
    for duty in duties:
        lines = [_head(duty, system), _limits(duty, system), *_governs(duty)]
        lines += _after(duty, system)
        if duty.unsure:
            lines.append(wrapped(sentence(duty.unsure), first="  ", rest="  "))
        lines += [wrapped(sentence(one), first="  ! ", rest="    ") for one in duty.warnings[:-1]]
        parts.append("\n".join(lines))
    return "\n\n".join([*parts, wrapped(sentence(duties[0].warnings[-1])), wrapped(ESTIMATES)])


def _way(way: WayRecord, system: str) -> list[str]:
    cells = [way.held, shown(way.deflection, "thickness", system)]
    for value in (way.first_damage, way.reserve):
        cells.append("not known" if value is None else shown(value, "ratio", system))
        cells.append(shown_range(value, "ratio", system))
    return cells


def full(duties: tuple[DutyRecord, ...], system: str = "si") -> str:
    """Everything: loads with sources, each way the edges may hold, what is taken for granted."""
    parts = []
    for duty in duties:
        lines = [heading(duty.name), _head(duty, system), "", _limits(duty, system), ""]
        lines += [
            wrapped(f"{one.name}: {printed(one.governs)}", first="  ", rest="    ")
            for one in duty.limits
        ]
        lines += ["", *_loads(duty, system), "", *_ways(duty, system), *_after(duty, system)]
        lines += ["", "Taken for granted"]
        lines += [wrapped(sentence(one), first="  ", rest="    ") for one in duty.assumes]
        lines += ["Not in these figures"]
        lines += [wrapped(sentence(one), first="  ", rest="    ") for one in duty.not_covered]
        lines += [wrapped(sentence(one), first="  ! ", rest="    ") for one in duty.warnings]
        parts.append("\n".join(lines))
    return "\n\n".join([*parts, wrapped(ESTIMATES)])


def _loads(duty: DutyRecord, system: str) -> list[str]:
    lasts = "" if duty.lasts is None else f", for {lasting_words(duty.lasts)}"
    return [
        wrapped(
            f"{load_words(load, system)}{lasts}. {sentence(load.source)}", first="  ", rest="    "
        )
        for load in duty.loads
    ]


def _ways(duty: DutyRecord, system: str) -> list[str]:
    head = ["held", "deflection", "first damage\nat times", "\nrange", "end\nat times", "\nrange"]
    rows = [_way(way, system) for way in duty.ways]
    lines = [table([head, *rows], right=(1, 2, 3, 4, 5), indent="  ")]
    for way in duty.ways:
        for said, governs in (("first damage", way.first_governs), ("end", way.governs)):
            if governs:
                lines.append(
                    wrapped(f"{way.held}, {said}: {printed(governs)}", first="  ", rest="    ")
                )
    if duty.by_hand is not None:
        one = units.show(duty.by_hand, "thickness", first_system(system)).partition(" (")[0]
        lines.append(wrapped(f"By hand, one wave: {one}.", first="  "))
    if duty.unsure:
        lines.append(wrapped(sentence(duty.unsure), first="  ", rest="  "))
    return lines


def after_words(duty: DutyRecord, system: str) -> str:
    """The deflection at once and once the load has lasted; empty for a short one."""
    if duty.lasts is None or (duty.after is None and not duty.after_unknown):
        return ""
    worst = max(duty.ways, key=lambda way: way.deflection.value)
    now = shown(worst.deflection, "thickness", system)
    if duty.after is None:
        then = f"not known: how {' and '.join(duty.after_unknown)} creeps"
    else:
        then = shown(duty.after, "thickness", system)
        then += f" ({shown_range(duty.after, 'thickness', system)})"
    return f"Deflection at once {now}, after {lasting_words(duty.lasts)} {then}."


def _after(duty: DutyRecord, system: str) -> list[str]:
    said = after_words(duty, system)
    return [wrapped(said, first="  ", rest="    ")] if said else []


def is_kept(duties: tuple[DutyRecord, ...]) -> bool:
    """Whether every limit of every duty is kept also at the unfavourable end of its range."""
    return all(duty.kept == KEPT for duty in duties)
