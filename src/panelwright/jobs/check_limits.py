"""The limits of a duty: each kept, only just or not, on the worse of the ways of its edges."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from panelwright.errors import InputError, PanelwrightError
from panelwright.jobs.checked import Checked, joined, least, untold
from panelwright.panels import duty
from panelwright.panels.description import read
from panelwright.panels.duties import Duty
from panelwright.panels.duty import Borne, Field, Panel
from panelwright.panels.evaluate import evaluate
from panelwright.panels.lasting import Left
from panelwright.panels.likeness import layer_of_solid
from panelwright.panels.resolve import resolve
from panelwright.panels.section import section
from panelwright.panels.spread import Ranged, with_axis
from panelwright.panels.stack import stack_of
from panelwright.panels.strip_duty import bear_strip
from panelwright.panels.verdicts import (
    AT_LEAST,
    AT_MOST,
    KEPT,
    NOT_KEPT,
    ONLY_JUST,
    LimitRecord,
    WayRecord,
)
from panelwright.units import Quantity


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


def limits(
    of: Checked,
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
        governs = f"not known: how {joined(left.unknown)} creeps under a load that lasts"
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
        why = untold(unknown)
        if not unknown and left.unknown_strength:
            whose = joined(left.unknown_strength)
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


# --- Like what is known ---------------------------------------------------------------------------


def _reference(of: Checked, words: str, index: int) -> Panel:
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
    of: Checked, one: Duty, index: int, field: Field, borne: list[Borne]
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


def _as_strong(of: Checked, one: Duty, theirs: list[Borne], borne: list[Borne]) -> LimitRecord:
    like = one.like
    assert like is not None
    assert like.at_least.strength is not None
    wanted = like.at_least.strength
    name = f"strength, against {like.as_}"
    if of.unknown:
        why = untold(of.unknown)
        return _limit(name, "ratio", AT_LEAST, wanted.value, wanted.text, None, why)
    pairs = [
        (end, other, way)
        for way, their in zip(borne, theirs, strict=True)
        if (end := least(way.ends)) is not None and (other := least(their.ends)) is not None
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
