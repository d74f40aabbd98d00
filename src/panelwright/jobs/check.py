"""Check a panel against its duties: each limit kept, only just or not, and what governs."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np

from panelwright.errors import FormulaError, InputError, Problem
from panelwright.jobs.check_limits import limits
from panelwright.jobs.check_told import (
    NOT_COVERED,
    assumes,
    by_hand,
    governing,
    grid,
    through,
    unsure,
    warnings,
)
from panelwright.jobs.checked import Checked, least
from panelwright.jobs.predict import Evaluated, evaluate_panel, go_on, stiffen
from panelwright.jobs.stiffness import Stiffened
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics.arrays import Array
from panelwright.panels import bearing, duty
from panelwright.panels.description import Description, read
from panelwright.panels.duties import Duty
from panelwright.panels.duty import Borne, Field, Reserve
from panelwright.panels.lasting import Left, left_by_time
from panelwright.panels.records import FIRST, ULTIMATE
from panelwright.panels.resolve import resolve
from panelwright.panels.spread import Ranged
from panelwright.panels.strip_duty import bear_strip
from panelwright.panels.verdicts import (
    DutyRecord,
    LoadRecord,
    WayRecord,
    least_kept,
)

#: Draws of a check: a duty bends each of them.
DRAWS = 512
#: Load that a comparison of stiffness is made with where none is given, Pa.
UNIT = 1e3


def check(
    description: Description, catalogue: Catalogue, between: Callable[[], None] = go_on
) -> tuple[DutyRecord, ...]:
    """Every duty of a panel, judged. between : called between the parts; what it raises ends it.

    Raises :class:`InputError` where a duty cannot be, sets no limit, or there is none.
    """
    if not description.panel.duty:
        hint = '[[duty]] with ready = "kneel on it" and limits = { deflection = "span/100" }'
        raise InputError(Problem("the panel has no duty", file=description.file, hint=hint))
    done = evaluate_panel(resolve(description, catalogue), DRAWS)
    stiff = stiffen(done)
    if stiff is None:
        what = "the stiffness of a layer is not known, so that no duty can be answered"
        raise InputError(Problem(what, file=description.file, hint="give its constants"))
    between()
    refuse_unjudged(description)
    return answered(description, catalogue, done, stiff, between)


def refuse_unjudged(description: Description) -> None:
    """InputError for the first duty of a file that sets no limit."""
    for index, one in enumerate(description.panel.duty):
        if not one.is_judged:
            what = "the duty sets no limit"
            hint = 'limits = { deflection = "span/100", reserve = 2 }'
            raise InputError(description.problem(("duty", index), Problem(what, hint=hint)))


def answered(
    duties: Description,
    catalogue: Catalogue,
    done: Evaluated,
    stiff: Stiffened,
    between: Callable[[], None] = go_on,
) -> tuple[DutyRecord, ...]:
    """Every duty of a file, answered for a panel, which may be another than that of the file.

    done, stiff : the panel, evaluated. Raises :class:`InputError` where a duty cannot be.
    """
    checked = Checked(
        duties,
        catalogue,
        done,
        stiff,
        duty.panel_of(stiff.stack, stiff.build, stiff.made),
        duty.panel_of(stiff.drawn_stack, stiff.drawn_build, stiff.drawn),
        between,
    )
    return tuple(_duty(checked, index) for index in range(len(duties.panel.duty)))


def ready_duties(catalogue: Catalogue) -> tuple[str, ...]:
    """Loads in shop words, by name."""
    return tuple(row.name for row in catalogue.table("ready_duties"))


def check_text(
    text: str,
    catalogue: Catalogue,
    file: str = "panel file",
    between: Callable[[], None] = go_on,
) -> tuple[DutyRecord, ...]:
    """The same of a text; nothing for a panel without a duty.

    The same text from the same rows comes to the same: what was asked lately is kept. Raises
    :class:`InputError`.
    """
    return _of_text(_Asked(text, catalogue, file, between))


@dataclass(frozen=True)
class _Asked:
    """What duties are asked of; who may end the work makes no difference to them."""

    text: str
    catalogue: Catalogue
    file: str
    between: Callable[[], None] = field(compare=False)


@lru_cache(maxsize=32)
def _of_text(asked: _Asked) -> tuple[DutyRecord, ...]:
    description = read(asked.text, asked.file)
    if not description.panel.duty:
        return ()
    return check(description, asked.catalogue, asked.between)


# --- One duty -------------------------------------------------------------------------------------


def _duty(of: Checked, index: int) -> DutyRecord:
    description, one = of.description, of.description.panel.duty[index]
    field = _field(of, index)
    if not field.acting and not (one.like and one.like.at_least.stiffness):
        what = "the duty carries nothing"
        hint = '[[duty.load]] with force = "800 N", or ready = "kneel on it"'
        raise InputError(description.problem(("duty", index), Problem(what, hint=hint)))
    if not field.acting:
        unit = duty.Acting(
            "an even load", "to compare", UNIT * field.length * field.width, None, UNIT
        )
        field = duty.Field(field.length, field.width, (unit,))
    lasts = None if one.lasts is None else one.lasts.value
    if lasts is None and one.ready is not None:
        lasts = duty.ready_row(of.catalogue, one.ready).number("lasts")
    left = left_by_time(of.catalogue, of.done.resolved, lasts)
    borne = list(_borne(of, one, index, field))
    if any(way.deflection.value == 0.0 for way in borne):
        what = "the loads of the duty cancel: nothing bends"
        raise InputError(description.problem(("duty", index, "load"), Problem(what)))
    return _record(of, index, field, borne, left, lasts)


def _field(of: Checked, index: int) -> Field:
    build = of.done.build
    return duty.field_of(
        of.description, index, of.catalogue, float(build.areal_mass), float(build.thickness)
    )


def _borne(of: Checked, one: Duty, index: int, field: Field) -> Iterator[Borne]:
    """The panel bent, each way that its edges may be held."""
    if one.strip is not None:
        yield bear_strip(of.middle, of.drawn, one, field)
        return
    for held, edges in duty.ways_of(duty.edges_of(one, of.catalogue)).items():
        try:
            yield duty.bear(of.middle, of.drawn, field, held, edges)
        except FormulaError as wrong:
            raise duty.refused(wrong, of.description, index) from None
        of.between()


def _record(
    of: Checked,
    index: int,
    field: Field,
    borne: list[Borne],
    left: Left,
    lasts: float | None,
) -> DutyRecord:
    one = of.description.panel.duty[index]
    ways = tuple(_way(of, way, field, left) for way in borne)
    after = _after(of, one, field, borne, left)
    judgements = tuple(limits(of, one, index, field, borne, ways, left, after))
    worst = max(borne, key=lambda way: abs(way.deflection.value))
    return DutyRecord(
        name=duty.name_of(one),
        kept=least_kept(one_limit.kept for one_limit in judgements),
        length=field.length,
        width=field.width,
        strip=one.strip or "",
        limits=judgements,
        ways=ways,
        loads=tuple(
            LoadRecord(
                acting.words,
                acting.source,
                acting.force,
                acting.force / (acting.area or field.length * field.width),
                acting.over,
            )
            for acting in field.acting
        ),
        lasts=lasts,
        after=after,
        after_unknown=left.unknown,
        unsure=unsure(ways),
        by_hand=by_hand(of, field, worst),
        assumes=tuple(assumes(of, field, worst)),
        warnings=tuple(warnings(of, field, borne, left)),
        not_covered=NOT_COVERED,
        deflections=grid(worst),
        through=tuple(through(of, worst)),
        governing_layer=governing(of, worst),
        unknown_strength=left.unknown_strength,
    )


# --- Values ---------------------------------------------------------------------------------------


def _inwards(of: Checked, way: Borne) -> Ranged:
    """The largest deflection without its sign."""
    middle, draws = abs(way.deflection.value), np.abs(way.deflections)
    return of.ranged(middle, draws, "m", "bending_stiffness")


def _weakened(of: Checked, one: Reserve, left: Left) -> Reserve:
    """A reserve once the load has lasted: by the layer that governs, else by the weakest."""
    values, lows, _ = left.strength
    own = one.how in {duty.IN_PLANE, duty.IN_SHEAR}
    share = float(values[one.layer] if own else np.min(values))
    low = float(lows[one.layer] if own else np.min(lows))
    if share == 1.0:
        return one
    spread = np.clip((one.draws / max(one.at.value, 1e-300)), 0.0, None)
    draws = one.at.value * spread * share
    draws = np.where(spread < 1.0, draws * low / share, draws)
    return replace(one, at=replace(one.at, value=one.at.value * share), draws=draws)


def _way(of: Checked, way: Borne, field: Field, left: Left) -> WayRecord:
    first, end = (
        None if of.unknown else least(tuple(_weakened(of, r, left) for r in found))
        for found in (way.first, way.ends)
    )
    edges = tuple(str(edge) for edge in way.bent.held.edges) if way.bent else (way.held, "", "", "")
    return WayRecord(
        held=way.held,
        edges=edges,  # type: ignore[arg-type]
        deflection=_inwards(of, way),
        last_change=abs(way.deflection.last_change),
        first_damage=None if first is None else of.reserve(first),
        first_governs="" if first is None else of.governs(first, FIRST, field),
        first_change=0.0 if first is None else abs(first.at.last_change),
        reserve=None if end is None else of.reserve(end),
        governs="" if end is None else of.governs(end, ULTIMATE, field),
        change=0.0 if end is None else abs(end.at.last_change),
    )


def _after(of: Checked, one: Duty, field: Field, borne: list[Borne], left: Left) -> Ranged | None:
    """The deflection once the load has lasted; None where nothing is known of a layer."""
    if left.unknown or left.is_whole:
        return None
    way = max(borne, key=lambda found: abs(found.deflection.value))
    now = _inwards(of, way)
    grown = [abs(_softened(of, one, field, way, shares)) for shares in left.stiffness]
    middle, low, high = (max(value / now.value, 1.0) for value in (grown[0], grown[2], grown[1]))
    return replace(now, value=now.value * middle, low=now.low * low, high=now.high * high)


def _softened(of: Checked, one: Duty, field: Field, way: Borne, shares: Array) -> float:
    made = duty.softened(of.middle.made, of.middle.stack, of.middle.build, shares)
    if way.bent is None:
        sections = (made, *of.middle.states.sections[1:])
        soft = replace(of.middle, states=replace(of.middle.states, sections=sections))
        return bear_strip(soft, of.drawn, one, field).deflection.value
    x, y = field.sides()
    return bearing.largest_deflection(
        bearing.bend(made, x, y, way.bent.held.edges, field.load)
    ).value
