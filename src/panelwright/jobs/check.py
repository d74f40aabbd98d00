"""Check a panel against its duties: each limit kept, only just or not, and what governs."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np

from panelwright.errors import FormulaError, InputError, PanelwrightError, Problem
from panelwright.jobs.predict import Evaluated, evaluate_panel, go_on, stiffen
from panelwright.jobs.stiffness import Stiffened
from panelwright.jobs.strength import PLACES, Named, unknown_strength
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics import beam, laminate, loads, plate
from panelwright.mechanics.arrays import Array
from panelwright.mechanics.plate import Edge
from panelwright.panels import bearing, duty
from panelwright.panels.description import Description, read
from panelwright.panels.duties import Duty
from panelwright.panels.duty import Borne, Field, Panel, Reserve
from panelwright.panels.evaluate import evaluate
from panelwright.panels.lasting import Left, left_by_time
from panelwright.panels.likeness import layer_of_solid
from panelwright.panels.records import FIRST, ULTIMATE
from panelwright.panels.resolve import resolve
from panelwright.panels.section import section
from panelwright.panels.spread import Ranged, with_axis, with_model_error
from panelwright.panels.stack import stack_of
from panelwright.panels.strip_duty import bear_strip
from panelwright.panels.verdicts import (
    AT_LEAST,
    AT_MOST,
    KEPT,
    NOT_KEPT,
    ONLY_JUST,
    DutyRecord,
    LimitRecord,
    LoadRecord,
    ThroughRecord,
    WayRecord,
    least_kept,
)
from panelwright.units import Quantity

#: Deflections that differ by less are alike.
ALIKE = 1.05
#: Deflection as a share of the span from which a figure means only that it is far too soft.
FAR = 0.1
#: Places of a picture, each way.
GRID = 31
#: Draws of a check: a duty bends each of them.
DRAWS = 512
#: Load that a comparison of stiffness is made with where none is given, Pa.
UNIT = 1e3
#: Share of the thickness from which a deflection is no longer small.
LARGE = 0.5
NOT_COVERED = (
    "impact, slamming and fatigue",
    "fire, and heat or water beyond what the prediction says of them",
    "holes, cut-outs, inserts, joints and the edges of the panel themselves",
    "buckling of the panel as a whole under forces in its plane",
    "double curvature",
)
ASSUMED = (
    "edges are closed: nothing crushes the core there, no water gets in",
    "no load comes in by fasteners",
    "the panel is flat, and what supports it does not give way",
)
STANDARD = (
    "a design pressure is not invented here: the applicable standard, class rules or a licensed "
    "engineer or naval architect give it"
)


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
    checked = _Checked(
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


@dataclass(frozen=True)
class _Checked:
    """A panel and its draws, ready to be bent."""

    description: Description
    catalogue: Catalogue
    done: Evaluated
    stiff: Stiffened
    middle: Panel
    drawn: Panel
    between: Callable[[], None]

    @property
    def unknown(self) -> tuple[str, ...]:
        """Layers of no known strength: a reserve by the others alone would be too high."""
        return tuple(unknown_strength(self.done.resolved.layers))

    def ranged(self, middle: float, draws: Array, unit: str, error: str) -> Ranged:
        """A result with the range of its draws and of the model."""
        off = with_model_error(draws, self.stiff.errors[error])
        return self.stiff.ranged(np.asarray(middle), off, unit)

    def reserve(self, one: Reserve) -> Ranged:
        """A reserve factor with its range."""
        error = "strength" if one.how == duty.IN_PLANE else "shear_strength"
        return self.ranged(one.at.value, one.draws, "-", error)

    def place(self, way: Borne) -> str:
        """Layer, face and place of the largest strain."""
        layer, face = way.strained
        at = f"{1e3 * way.strain.x:.0f} mm along, {1e3 * way.strain.y:.0f} mm across"
        return f"{self.done.resolved.layers[layer].name}, {PLACES[face]}, {at}"

    def governs(self, one: Reserve, level: str, field: Field) -> str:
        """What ends it, and where, in words."""
        face = ("outer", "inner")[min(one.layer, 1)]
        if one.how == duty.WRINKLES:
            return f"the {face} skin wrinkles"
        if one.how == duty.DIMPLES:
            return f"the {face} skin buckles into the cells"
        if one.how == duty.DENT:
            words = field.acting[one.load].words
            return f"the core crushes under the {face} skin, by “{words}”"
        shear = one.how == duty.IN_SHEAR
        named = Named(self.done.resolved.layers)
        layer, place, mode = named.where(one.layer, one.place, one.mode, level, shear)
        at = f"{1e3 * one.at.x:.0f} mm along, {1e3 * one.at.y:.0f} mm across"
        return ", ".join(part for part in (f"{layer}: {mode}", place, at) if part)


# --- One duty -------------------------------------------------------------------------------------


def _duty(of: _Checked, index: int) -> DutyRecord:
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


def _field(of: _Checked, index: int) -> Field:
    build = of.done.build
    return duty.field_of(
        of.description, index, of.catalogue, float(build.areal_mass), float(build.thickness)
    )


def _borne(of: _Checked, one: Duty, index: int, field: Field) -> Iterator[Borne]:
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
    of: _Checked,
    index: int,
    field: Field,
    borne: list[Borne],
    left: Left,
    lasts: float | None,
) -> DutyRecord:
    one = of.description.panel.duty[index]
    ways = tuple(_way(of, way, field, left) for way in borne)
    after = _after(of, one, field, borne, left)
    limits = tuple(_limits(of, one, index, field, borne, ways, left, after))
    worst = max(borne, key=lambda way: abs(way.deflection.value))
    return DutyRecord(
        name=duty.name_of(one),
        kept=least_kept(one_limit.kept for one_limit in limits),
        length=field.length,
        width=field.width,
        strip=one.strip or "",
        limits=limits,
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
        unsure=_unsure(ways),
        by_hand=_by_hand(of, field, worst),
        assumes=tuple(_assumes(of, field, worst)),
        warnings=tuple(_warnings(of, field, borne, left)),
        not_covered=NOT_COVERED,
        deflections=_grid(worst),
        through=tuple(_through(of, worst)),
        governing_layer=_governing(of, worst),
        unknown_strength=left.unknown_strength,
    )


# --- Values ---------------------------------------------------------------------------------------


def _inwards(of: _Checked, way: Borne) -> Ranged:
    """The largest deflection without its sign."""
    middle, draws = abs(way.deflection.value), np.abs(way.deflections)
    return of.ranged(middle, draws, "m", "bending_stiffness")


def _least(reserves: tuple[Reserve, ...]) -> Reserve | None:
    return min(reserves, key=lambda one: one.at.value, default=None)


def _weakened(of: _Checked, one: Reserve, left: Left) -> Reserve:
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


def _way(of: _Checked, way: Borne, field: Field, left: Left) -> WayRecord:
    first, end = (
        None if of.unknown else _least(tuple(_weakened(of, r, left) for r in found))
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


def _after(of: _Checked, one: Duty, field: Field, borne: list[Borne], left: Left) -> Ranged | None:
    """The deflection once the load has lasted; None where nothing is known of a layer."""
    if left.unknown or left.is_whole:
        return None
    way = max(borne, key=lambda found: abs(found.deflection.value))
    now = _inwards(of, way)
    grown = [abs(_softened(of, one, field, way, shares)) for shares in left.stiffness]
    middle, low, high = (max(value / now.value, 1.0) for value in (grown[0], grown[2], grown[1]))
    return replace(now, value=now.value * middle, low=now.low * low, high=now.high * high)


def _softened(of: _Checked, one: Duty, field: Field, way: Borne, shares: Array) -> float:
    made = duty.softened(of.middle.made, of.middle.stack, of.middle.build, shares)
    if way.bent is None:
        sections = (made, *of.middle.states.sections[1:])
        soft = replace(of.middle, states=replace(of.middle.states, sections=sections))
        return bear_strip(soft, of.drawn, one, field).deflection.value
    x, y = field.sides()
    return bearing.largest_deflection(
        bearing.bend(made, x, y, way.bent.held.edges, field.load)
    ).value


# --- Limits ---------------------------------------------------------------------------------------


def judged(value: Ranged | None, limit: float, sense: str) -> str:
    """Kept also at the unfavourable end of the range, only at the middle, or not."""
    if value is None:
        return NOT_KEPT
    sign = 1.0 if sense == AT_MOST else -1.0
    end = value.high if sense == AT_MOST else value.low
    if sign * end <= sign * limit:
        return KEPT
    return ONLY_JUST if sign * value.value <= sign * limit else NOT_KEPT


def _limit(
    name: str,
    dimension: str,
    sense: str,
    limit: float,
    text: str,
    value: Ranged | None,
    governs: str,
    held: str = "",
    change: float = 0.0,
) -> LimitRecord:
    kept = judged(value, limit, sense)
    return LimitRecord(name, dimension, sense, limit, text, value, kept, governs, held, change)


def _limits(
    of: _Checked,
    one: Duty,
    index: int,
    field: Field,
    borne: list[Borne],
    ways: tuple[WayRecord, ...],
    left: Left,
    after: Ranged | None,
) -> Iterator[LimitRecord]:
    """Every limit of a duty, each on the worse of the ways its edges may be held."""
    told = one.limits
    if told.deflection is not None:
        yield _deflection(one, field, ways, left, after)
    for name, wanted, value, governs, change in (
        (
            "reserve factor at first damage",
            told.first_damage,
            "first_damage",
            "first_governs",
            "first_change",
        ),
        ("reserve factor", told.reserve, "reserve", "governs", "change"),
    ):
        if wanted is not None:
            yield _reserve_limit(name, wanted, (value, governs, change), ways, left, of.unknown)
    if told.strain is not None:
        way = max(borne, key=lambda found: found.strain.value)
        strain = of.ranged(way.strain.value, way.strains, "-", "bending_stiffness")
        yield _limit(
            "strain along fibre or grain",
            "fraction",
            AT_MOST,
            told.strain.value,
            told.strain.text,
            strain,
            of.place(way),
            way.held,
            abs(way.strain.last_change),
        )
    build, drawn = of.done.build, of.done.told_build
    for name, dimension, bound, middle, draws in (
        ("thickness", "thickness", told.thickness, build.thickness, drawn.thickness),
        ("mass", "areal_mass", told.mass, build.areal_mass, drawn.areal_mass),
    ):
        if bound is not None:
            value_of = of.stiff.ranged(middle, draws, "m" if name == "thickness" else "kg/m2")
            yield _limit(
                name, dimension, AT_MOST, bound.value, bound.text, value_of, "the whole panel"
            )
    if one.like is not None:
        yield from _like(of, one, index, field, borne)


def _deflection(
    one: Duty, field: Field, ways: tuple[WayRecord, ...], left: Left, after: Ranged | None
) -> LimitRecord:
    told = one.limits.deflection
    assert told is not None
    span = field.length if one.strip else min(field.length, field.width)
    limit = told.length if told.over is None else span / told.over
    assert limit is not None
    way = max(ways, key=lambda found: found.deflection.value)
    value: Ranged | None = way.deflection if left.is_whole else after
    governs = "the largest deflection"
    if left.unknown:
        governs = f"not known: how {_and(left.unknown)} creeps under a load that lasts"
    elif not left.is_whole:
        governs = "the largest deflection once the load has lasted"
    return _limit(
        "deflection",
        "thickness",
        AT_MOST,
        limit,
        told.text,
        value,
        governs,
        way.held,
        way.last_change,
    )


def _reserve_limit(
    name: str,
    wanted: Quantity,
    of_way: tuple[str, str, str],
    ways: tuple[WayRecord, ...],
    left: Left,
    unknown: tuple[str, ...],
) -> LimitRecord:
    value, governs, change = of_way
    known = [way for way in ways if getattr(way, value) is not None]
    if left.unknown_strength or not known:
        why = _untold(unknown)
        if not unknown and left.unknown_strength:
            whose = _and(left.unknown_strength)
            why = f"not known: what lasting loads leave of the strength of {whose}"
        return _limit(name, "ratio", AT_LEAST, wanted.value, wanted.text, None, why)
    way = min(known, key=lambda found: getattr(found, value).value)
    return _limit(
        name,
        "ratio",
        AT_LEAST,
        wanted.value,
        wanted.text,
        getattr(way, value),
        getattr(way, governs),
        way.held,
        getattr(way, change),
    )


def _untold(unknown: tuple[str, ...]) -> str:
    whose = _and(unknown) or "the layers that bear it"
    return f"not known: the strength of {whose}; give it or test it"


def _and(names: tuple[str, ...]) -> str:
    return " and of ".join(names)


# --- Like what is known ---------------------------------------------------------------------------


def _reference(of: _Checked, words: str, index: int) -> Panel:
    """A solid that is known, in shop words: a plywood, a timber, a metal with its thickness."""
    try:
        text = f"format = 1\n{layer_of_solid(words, of.catalogue)}"
        stack = stack_of(resolve(read(text), of.catalogue).layers)
    except PanelwrightError as wrong:
        bare = (replace(one, file="", line=None, key="") for one in wrong.problems)
        path = ("duty", index, "like", "as")
        problems = [of.description.problem(path, one) for one in bare]
        raise InputError(problems) from None
    build = evaluate(stack)
    return duty.panel_of(stack, build, section(stack, build))


def _like(
    of: _Checked, one: Duty, index: int, field: Field, borne: list[Borne]
) -> Iterator[LimitRecord]:
    """Limits by a solid that is known: same span, edges and load for both."""
    like = one.like
    assert like is not None
    known = _reference(of, like.as_, index)
    many = Panel(
        with_axis(known.stack),
        with_axis(known.build),
        with_axis(known.states),
        with_axis(known.skins),
    )
    theirs = [
        bear_strip(known, many, one, field)
        if way.bent is None
        else duty.bear(known, many, field, way.held, way.bent.held.edges)
        for way in borne
    ]
    if like.at_least.stiffness is not None:
        ratios = [
            (abs(their.deflection.value / way.deflection.value), their, way)
            for their, way in zip(theirs, borne, strict=True)
        ]
        ratio, their, way = min(ratios, key=lambda found: found[0])
        draws = np.abs(their.deflection.value / way.deflections)
        yield _limit(
            f"stiffness, against {like.as_}",
            "ratio",
            AT_LEAST,
            like.at_least.stiffness.value,
            like.at_least.stiffness.text,
            of.ranged(ratio, draws, "-", "bending_stiffness"),
            "deflection under the same load",
            way.held,
        )
    if like.at_least.strength is not None:
        yield _as_strong(of, one, theirs, borne)
    if like.mass is not None:
        build, drawn = of.done.build, of.done.told_build
        mass = of.stiff.ranged(build.areal_mass, drawn.areal_mass, "kg/m2")
        theirs_mass = float(known.build.areal_mass)
        shown = f"{theirs_mass:.3g} kg/m² of {like.as_}"
        yield _limit("mass", "areal_mass", AT_MOST, theirs_mass, shown, mass, "the whole panel")


def _as_strong(of: _Checked, one: Duty, theirs: list[Borne], borne: list[Borne]) -> LimitRecord:
    like = one.like
    assert like is not None
    assert like.at_least.strength is not None
    wanted = like.at_least.strength
    name = f"strength, against {like.as_}"
    if of.unknown:
        why = _untold(of.unknown)
        return _limit(name, "ratio", AT_LEAST, wanted.value, wanted.text, None, why)
    pairs = [
        (end, other, way)
        for way, their in zip(borne, theirs, strict=True)
        if (end := _least(way.ends)) is not None and (other := _least(their.ends)) is not None
    ]
    if not pairs:
        why = f"not known: the strength of the panel or of {like.as_}"
        return _limit(name, "ratio", AT_LEAST, wanted.value, wanted.text, None, why)
    end, other, way = min(pairs, key=lambda pair: pair[0].at.value / pair[1].at.value)
    ratio = replace(
        end,
        at=replace(end.at, value=end.at.value / other.at.value),
        draws=end.draws / other.at.value,
    )
    return _limit(
        name,
        "ratio",
        AT_LEAST,
        wanted.value,
        wanted.text,
        of.reserve(ratio),
        "reserve in the end under the same load",
        way.held,
    )


# --- What goes with it ----------------------------------------------------------------------------


def _unsure(ways: tuple[WayRecord, ...]) -> str:
    """How much of the answer is due to edges that nobody is sure of."""
    if len(ways) < 2:
        return ""
    loose, tight = (way.deflection.value for way in ways)
    if loose < ALIKE * tight:
        return "how the unsure edges hold makes no difference here"
    return (
        f"not knowing how the edges hold makes {loose / tight:.1f} times the deflection: "
        "each limit is judged on the worse"
    )


def _is_even(field: Field) -> bool:
    return all(one.over is None and one.rise == 0.0 for one in field.acting)


def _by_hand(of: _Checked, field: Field, way: Borne) -> float | None:
    """A bracketing value by one wave; for an even load on four edges of one kind."""
    if way.bent is None or not _is_even(field) or len(set(way.bent.held.edges)) > 1:
        return None
    one = {"simply supported": beam.one_wave_supported, "clamped": beam.one_wave_clamped}
    wave = one.get(str(way.bent.held.edges[0]))
    if wave is None:
        return None
    made = of.middle.made
    free = laminate.bending_free_to_stretch(made.extension, made.coupling, made.bending)
    d11, d12, d22, _, _, d66 = (float(free[..., k]) for k in range(6))
    pressure = abs(field.force) / (field.length * field.width)
    shear = made.shear
    return float(
        wave(pressure, field.length, field.width, d11, d12, d22, d66, shear[0, 0], shear[1, 1])
    )


def _assumes(of: _Checked, field: Field, way: Borne) -> Iterator[str]:
    """What is taken for granted of the surroundings."""
    pressure = abs(field.force) / (field.length * field.width)
    a, b = field.length, field.width
    spans = {"bottom and top": (b, a), "left and right": (a, b)}
    deflection = max(abs(way.deflection.value), 1e-9)
    if way.bent is not None:
        for words, (breadth, span) in spans.items():
            edges = (
                way.bent.held.edges[2:] if words.startswith("bottom") else way.bent.held.edges[:2]
            )
            if all(edge is Edge.FREE for edge in edges):
                continue
            stiff = float(loads.stiff_enough_bearer(pressure, breadth / 2.0, span, deflection))
            yield (
                f"what bears the edges {words} has an EI of at least {_round(stiff)} N·m², "
                "and so gives less than a tenth of the panel's own deflection"
            )
    yield from ASSUMED


def _round(value: float) -> str:
    """Two figures, whole from 10 on."""
    digits = 1 - math.floor(math.log10(value)) if value > 0.0 else 0
    return f"{round(value, digits):.0f}" if value >= 10.0 else f"{value:.2g}"


def _warnings(of: _Checked, field: Field, borne: list[Borne], left: Left) -> Iterator[str]:
    thick = float(of.done.build.thickness)
    span = min(field.length, field.width) if borne[0].bent is not None else field.length
    if any(abs(way.deflection.value) > FAR * span for way in borne):
        yield (
            "a deflection of more than a tenth of the span is beyond what this theory can tell: "
            "it says only that the panel is far too soft"
        )
    elif any(abs(way.deflection.value) > LARGE * thick for way in borne if way.bent is not None):
        yield (
            "the deflection exceeds half the thickness: the real one is less, since the panel "
            "also hangs in its plane; the pull on its edges is not told, and is not nothing"
        )
    for one in field.acting:
        dents = any(found.how == duty.DENT for way in borne for found in way.first)
        if one.over is not None and dents:
            yield (
                f"under “{one.words}” the skin bends by itself, which this theory does not see: "
                "the core under it is judged by the formula for a dent"
            )
    for way in borne:
        if abs(way.deflection.last_change) > bearing.CONVERGED_DEFLECTION:
            yield _changes("the deflection", way.deflection.last_change)
        for name, found in (("first damage", way.first), ("the end", way.ends)):
            least = _least(found)
            if (
                least is not None
                and not of.unknown
                and abs(least.at.last_change) > bearing.CONVERGED_STRESS
            ):
                yield _changes(f"the reserve at {name}", least.at.last_change)
    if left.unknown or left.unknown_strength:
        names = tuple(dict.fromkeys((*left.unknown, *left.unknown_strength)))
        told = f"how {_and(names)} takes a load that lasts is not known"
        yield f"{told}: test it, or shorten the load"
    yield STANDARD


def _changes(what: str, change: float) -> str:
    return f"{what} still changes by {100.0 * abs(change):.2g} % on the last refinement"


# --- Pictures -------------------------------------------------------------------------------------


def _grid(way: Borne) -> tuple[tuple[float, ...], ...]:
    """Deflections inwards over an even grid of the field."""
    if way.bent is None:
        return ()
    held = way.bent.held
    x, y = (np.linspace(0.0, side.length, GRID) for side in (held.x, held.y))
    found = plate.deflection_at(held, way.bent.unknowns[:, :1], x, y)[0]
    return tuple(tuple(float(f"{value:.4g}") for value in row) for row in -found)


def _through(of: _Checked, way: Borne) -> Iterator[ThroughRecord]:
    """Stress along the fibre or grain through the thickness, where first damage governs."""
    if way.through is None:
        return
    heights, thick = of.middle.made.heights, of.middle.build.layer_thickness
    for at, layer in enumerate(of.done.resolved.layers):
        if float(thick[at]) <= 0.0:
            continue
        stress = way.through.stresses[0, 0, at, :, 0]
        z, half = float(heights[at]), float(thick[at]) / 2.0
        yield ThroughRecord(layer.name, z + half, z - half, (float(stress[0]), float(stress[1])))


def _governing(of: _Checked, way: Borne) -> int | None:
    """Place of the layer that governs among those that have a thickness."""
    least = _least(tuple(one for one in way.first if one.how == duty.IN_PLANE))
    if least is None or of.unknown:
        return None
    return int(np.count_nonzero(of.middle.build.layer_thickness[: least.layer] > 0.0))
