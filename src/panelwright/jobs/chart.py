"""Any property of panels against any other: who stands on the chart, who is left out and why."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache

import numpy as np

from panelwright import units
from panelwright.errors import InputError, PanelwrightError, Problem, UnitError
from panelwright.fabrication.cost import UnitPrice
from panelwright.jobs.lineup import LINE_UP_DRAWS, Entrant, known_solid
from panelwright.jobs.measure import worked
from panelwright.jobs.predict import evaluate_panel, predict_resolved
from panelwright.jobs.pricing import Priced, by_all_names, newest_prices, priced
from panelwright.jobs.shelf import Filter, OnChart, Shelf, snapshot_of
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.charted import (
    COST,
    LAMINATE,
    PROPERTIES,
    SHEET,
    Property,
    bare,
    charted,
)
from panelwright.panels.charts import (
    PREDICTED,
    Axis,
    Chart,
    Compared,
    LeftOut,
    Point,
    axis,
    best_of,
    guides,
    is_inside,
    merit,
    standing,
)
from panelwright.panels.description import read
from panelwright.panels.likeness import TIMBERS
from panelwright.panels.resolve import resolve
from panelwright.panels.shop_words import panel_file, sized
from panelwright.panels.spread import Ranged
from panelwright.provenance import Evidence
from panelwright.samples.found import Findings

#: Most panels of the shelf on one chart, most of which a cost is worked out at once, most pieces.
MOST, MOST_PRICED, MOST_PIECES = 2000, 300, 300
#: Most that are named, and most thicknesses that solids are shown in.
MOST_NAMED, MOST_SIZES = 40, 6
SHELF, NAMED, NONE = "shelf", "named", "none"
SETS = (SHELF, NAMED, NONE)
#: A finding and the property that it is one of.
_FINDINGS = {"areal mass": "areal_mass", "thickness": "thickness", "density": "density"}
_PANEL = re.compile(r"p-?\d+", re.IGNORECASE)
_PIECE = re.compile(r"s-?\d+", re.IGNORECASE)


@dataclass(frozen=True)
class Wanted:
    """What is to be charted, and how.

    ``across``, ``up`` : keys of ``PROPERTIES``; ``of`` : one of ``SETS``; ``wanted`` : of the
    shelf; ``named`` : numbers of panels and pieces, solids with their thickness, shop words;
    ``solids`` : thicknesses that known solids are set beside in, none for none of them;
    ``through`` : the id of whom the first line goes through, the best where empty; ``part`` :
    the part of the axes that is looked at: from and to across, from and to up, SI.
    """

    across: str = "areal_mass"
    up: str = "stiffness_along"
    log_across: bool = True
    log_up: bool = True
    of: str = SHELF
    wanted: Filter = field(default_factory=Filter)
    named: tuple[str, ...] = ()
    solids: tuple[str, ...] = ()
    through: str = ""
    part: tuple[float, float, float, float] | None = None


def property_of(key: str, axis_name: str) -> Property:
    """A property by its key. Raises :class:`InputError`."""
    if key not in PROPERTIES:
        what = f"there is nothing of this name to put {axis_name}"
        raise InputError(Problem(what, key[:60], ", ".join(PROPERTIES), key=axis_name))
    return PROPERTIES[key]


def chart(shelf: Shelf, wanted: Wanted) -> Chart:
    """A chart of what is wanted. Raises :class:`InputError` for names that are not known."""
    across, up = property_of(wanted.across, "across"), property_of(wanted.up, "up")
    everyone, notes = gathered(shelf, wanted)
    currency = ""
    if COST in (across, up):
        everyone, currency, more = _priced(shelf, everyone)
        notes += more
    return drawn(everyone, wanted, notes, currency)


def drawn(
    everyone: Sequence[Compared], wanted: Wanted, notes: Sequence[str] = (), currency: str = ""
) -> Chart:
    """The chart of those who are there, and who of them is left out."""
    across, up = property_of(wanted.across, "across"), property_of(wanted.up, "up")
    logs = (wanted.log_across, wanted.log_up)
    points, missing = _placed(everyone, (across, up), logs)
    axes = (
        axis(across, [one.across for one in points], logs[0]),
        axis(up, [one.up for one in points], logs[1]),
    )
    if wanted.part is not None:
        axes = _part(axes, wanted.part)
    inside = [one for one in points if is_inside(one, *axes)]
    found = Chart(
        *axes,
        tuple(points),
        left_out=missing,
        notes=tuple(notes),
        currency=currency,
        is_part=wanted.part is not None,
        hidden=len(points) - len(inside),
    )
    return _with_lines(found, wanted.through)


def _with_lines(found: Chart, through: str) -> Chart:
    """The chart with its lines of equal merit, where its properties have any."""
    alike = merit(found.across.of, found.up.of)
    own = [one for one in found.points if not one.of.handbook_only] or list(found.points)
    chosen = [one for one in found.points if one.of.id == through]
    if alike is None or not own:
        return found
    usable = [one for one in chosen or own if min(one.across.value, one.up.value) > 0.0]
    if not usable:
        return found
    first = best_of(usable, alike, found.up.of)
    lines = guides(found.across, found.up, found.points, first, alike)
    return replace(found, merit=alike, guides=lines, through=first.of.title)


def _part(axes: tuple[Axis, Axis], part: tuple[float, ...]) -> tuple[Axis, Axis]:
    """Axes that show a part alone. Raises :class:`InputError` for a part that is none."""
    across, up = (
        replace(one, low=min(ends), high=max(ends))
        for one, ends in zip(axes, (part[:2], part[2:]), strict=True)
    )
    for one in (across, up):
        if not one.low < one.high or (one.log and one.low <= 0.0):
            what = "there is no such part of the chart"
            given = f"{one.of.name} from {one.low:.4g} to {one.high:.4g}"
            raise InputError(Problem(what, given, hint="the whole chart"))
    return across, up


# --- Who stands there -----------------------------------------------------------------------------

_NOUGHT = "nought or less has no place on a logarithmic axis: take an even one"


def _placed(
    everyone: Sequence[Compared], of: tuple[Property, Property], logs: tuple[bool, bool]
) -> tuple[list[Point], tuple[LeftOut, ...]]:
    """Points, and who is left out by the reason."""
    points: list[Point] = []
    left: dict[str, list[str]] = {}
    keys = of[0].key, of[1].key
    for one in everyone:
        stands = standing(one, *keys)
        if one.found and stands == PREDICTED:
            continue  # a piece that says nothing here beyond its panel: :func:`gathered` tells
        across, up = (one.charted.values.get(key) for key in keys)
        if across is None or up is None:
            why = _why(one, of[0] if across is None else of[1])
        elif (logs[0] and across.value <= 0.0) or (logs[1] and up.value <= 0.0):
            why = _NOUGHT
        else:
            points.append(Point(one, across, up, stands))
            continue
        left.setdefault(why, []).append(one.title)
    ordered = sorted(left.items(), key=lambda pair: -len(pair[1]))
    return points, tuple(LeftOut(why, tuple(titles)) for why, titles in ordered)


_STRENGTH = ("moment", "pull", "shear_along", "shear_across")
_LATER = ("sheet_stiffness", "insulation")


def _why(one: Compared, of: Property) -> str:
    """Why a property of one is not known."""
    values = one.charted.values
    if of == COST:
        return "its cost is not known: not all of its materials have a price"
    if (
        of.key.startswith(_LATER)
        and "stiffness_along" in values
        and "sheet_stiffness_along" not in values
    ):
        return f"it was kept before {_said(of)} was worked out: keep it anew"
    if of.key == "insulation":
        return "how a layer conducts heat is not known"
    if of.key.startswith(_STRENGTH):
        if one.handbook_only:
            return "the handbook has no strength of it here"
        return "the strength of a layer is not known: give it or test it"
    return "the stiffness of a layer is not known: give its constants or test it"


def _said(of: Property) -> str:
    return of.name[:1].lower() + of.name[1:]


def gathered(shelf: Shelf, wanted: Wanted) -> tuple[list[Compared], list[str]]:
    """All that is wanted, and what is to be said of it. Raises :class:`InputError`."""
    notes: list[str] = []
    found: list[Compared] = []
    if wanted.of == SHELF:
        panels, total = shelf.to_chart(wanted.wanted, MOST)
        if total > len(panels):
            notes.append(
                f"the first {len(panels)} of {total} panels are shown: look for fewer of them"
            )
        found += _of_shelf(shelf, panels, notes)
    elif wanted.of == NAMED:
        found += _named(shelf, wanted.named, notes)
    found += _solids(shelf.catalogue(), wanted.solids)
    known = set(_FINDINGS.values())
    if any(one.found for one in found) and not {wanted.across, wanted.up} & known:
        names = " and ".join(sorted(_said(PROPERTIES[key]) for key in known))
        notes.append(f"pieces are not shown: what is measured of them is {names}")
    return found, notes


def _of_panel(one: OnChart) -> Compared:
    return Compared(one.number, one.title, one.charted, href=f"/panel/{one.number}")


def _of_shelf(shelf: Shelf, panels: Sequence[OnChart], notes: list[str]) -> Iterator[Compared]:
    """Panels, each with the pieces of it that were measured."""
    pieces = [(one, piece) for one in panels for piece in one.measured]
    if len(pieces) > MOST_PIECES:
        notes.append(f"of {len(pieces)} measured pieces the first {MOST_PIECES} are shown")
    yield from map(_of_panel, panels)
    for one, (number, title, records) in pieces[:MOST_PIECES]:
        found = _measured(shelf, number, records)
        if isinstance(found, str):
            notes.append(f"{number} is not shown: {found}")
        elif found:
            yield _of_piece(one, number, title, found)


def _of_piece(one: OnChart, number: str, title: str, found: Mapping[str, Ranged]) -> Compared:
    """A piece: what was measured of it, and of the rest what its panel is predicted."""
    whole = replace(one.charted, values={**one.charted.values, **found})
    name = f"{title or 'piece'} of {one.title}"
    return Compared(number, name, whole, found=frozenset(found), href=f"/piece/{number}")


def _measured(shelf: Shelf, number: str, records: int) -> dict[str, Ranged] | str:
    """What was measured of a piece by its key; a sentence where its readings cannot be."""
    known = _MEASURED.setdefault(shelf.name, {})
    if (number, records) not in known:
        try:
            known[number, records] = _ranges(worked(shelf, shelf.piece(number)).findings)
        except PanelwrightError as wrong:
            return wrong.problems[0].sentence()
    return known[number, records]


#: What pieces came to, by shelf, number and how many records there were: records are only added.
_MEASURED: dict[str, dict[tuple[str, int], dict[str, Ranged]]] = {}
_UNITS = {"areal_mass": "kg/m2", "thickness": "m", "density": "kg/m3"}


def _ranges(findings: Findings) -> dict[str, Ranged]:
    found = {}
    for name, key in _FINDINGS.items():
        one = findings.get(name)
        if one is not None:
            ends = (one.low, one.high)
            found[key] = Ranged(one.value, *ends, _UNITS[key], Evidence.MEASURED)
    return found


def _named(shelf: Shelf, names: Sequence[str], notes: list[str]) -> Iterator[Compared]:
    """Those that are named. Raises :class:`InputError` for a name that is none."""
    if len(names) > MOST_NAMED:
        what = "too many are named to be told apart"
        allowed = f"up to {MOST_NAMED}"
        raise InputError(Problem(what, str(len(names)), allowed, "the whole shelf"))
    catalogue = shelf.catalogue()
    for name in names:
        if _PANEL.fullmatch(name):
            yield from _of_shelf(shelf, shelf.to_chart_these([name]), notes)
        elif _PIECE.fullmatch(name):
            piece = shelf.piece(name)
            found = _measured(shelf, piece.number, len(piece.records))
            if isinstance(found, str) or not found:
                why = found or "nothing was measured of it yet"
                raise InputError(Problem(f"{piece.number} cannot be shown", hint=str(why)))
            (panel,) = shelf.to_chart_these([piece.panel])
            yield _of_piece(panel, piece.number, piece.title, found)
        else:
            yield _of_words(name, catalogue)


def _of_words(words: str, catalogue: Catalogue) -> Compared:
    """A known solid with its thickness, else a panel in shop words. Raises InputError."""
    solid = known_solid(words, catalogue)
    if solid is None:
        snapshot = snapshot_of(panel_file(words, catalogue, title=words), catalogue)
        sources = dict.fromkeys(one.given.source for one in snapshot.inputs if one.given.source)
        return Compared(words, words, charted(snapshot.prediction, tuple(sources)))
    if not solid.has_thickness:
        what = f"how thick the {solid.title.partition(' (')[0]} is has to be said"
        raise InputError(Problem(what, hint="its thickness before its name: 3 mm steel"))
    return _solid(words, catalogue)


def _thick(size: str) -> float:
    """A thickness of solids, m. Raises :class:`InputError`."""
    try:
        found = units.parse(size, "thickness")
    except UnitError as wrong:
        raise InputError([replace(one, key="solids") for one in wrong.problems]) from None
    if found.has_range or not sized(f"{size} steel")[0]:
        what = "one plain thickness is wanted of solids"
        raise InputError(Problem(what, size[:40], "3 mm; 10 mm", key="solids"))
    return found.value


def _solids(catalogue: Catalogue, sizes: Sequence[str]) -> Iterator[Compared]:
    """Every solid sheet and plywood of the catalogue and some timbers, in these thicknesses."""
    if len(sizes) > MOST_SIZES:
        what = "too many thicknesses of solids"
        raise InputError(Problem(what, str(len(sizes)), f"up to {MOST_SIZES}", key="solids"))
    names = [row.name for table in ("solids", "plywoods") for row in catalogue.table(table)]
    names += [f"{catalogue.table('timbers').row(id).name} board" for id in TIMBERS]
    for size in sizes:
        if not 0.0 < _thick(size) <= 1.0:
            what = "this is no thickness of a sheet"
            raise InputError(Problem(what, size[:40], "up to 1 m", key="solids"))
        told = " ".join(size.split())
        yield from (_solid(f"{told} {name}", catalogue) for name in names)


@lru_cache(maxsize=256)
def _solid(words: str, catalogue: Catalogue) -> Compared:
    solid = known_solid(words, catalogue)
    assert isinstance(solid, Entrant)
    made = predict_resolved(solid.resolved, catalogue, LINE_UP_DRAWS)
    sources = dict.fromkeys(
        one.source for la in solid.resolved.layers for one in la.inputs.values()
    )
    title = solid.title.partition(" (")[0]
    found = charted(made, tuple(sources))
    if found.kind == LAMINATE:
        found = replace(found, kind=SHEET)
    return Compared(words, title, found, handbook_only=True, href=_row_of(words))


def _row_of(words: str) -> str:
    """Where the handbook's row of a solid is looked up."""
    return f"/materials?find={'+'.join(sized(words)[1].removesuffix(' board').split())}"


# --- What it costs --------------------------------------------------------------------------------


def _priced(shelf: Shelf, everyone: Sequence[Compared]) -> tuple[list[Compared], str, list[str]]:
    """Those of the shelf with what their material costs; the currency, and what is to be said."""
    catalogue = shelf.catalogue()
    prices = by_all_names(newest_prices(shelf.prices()), catalogue)
    if not prices:
        return list(everyone), "", ["no prices at hand: write some, per kg, m² or m³, on the shelf"]
    on_shelf = [one for one in everyone if one.href.startswith("/panel/")]
    notes = []
    if len(on_shelf) > MOST_PRICED:
        notes.append(f"a cost is worked out for the first {MOST_PRICED} panels alone")
    texts = shelf.texts([one.id for one in on_shelf[:MOST_PRICED]])
    told = tuple(sorted(prices.items()))
    costs = {number: _cost(text, catalogue, told) for number, text in texts.items()}
    currencies = {cost.currency for cost in costs.values() if cost.value is not None}
    missing = sorted({name for cost in costs.values() for name in cost.missing})
    if missing:
        more = f" and {len(missing) - 6} more" if len(missing) > 6 else ""
        notes.append(f"there is no price of {'; '.join(missing[:6])}{more}")
    mixed = {cost.why for cost in costs.values() if cost.why and not cost.missing}
    notes += sorted(mixed)
    if len(currencies) > 1:
        notes.append(f"costs are in {' and '.join(sorted(currencies))}: none is shown")
        costs = {}
    return [_with_cost(one, costs.get(one.id)) for one in everyone], _only(currencies), notes


def _only(words: set[str]) -> str:
    return next(iter(words)) if len(words) == 1 else ""


def _with_cost(one: Compared, cost: Priced | None) -> Compared:
    if cost is None or cost.value is None:
        return one
    values = {**one.charted.values, COST.key: bare(cost.value)}
    return replace(one, charted=replace(one.charted, values=values))


@lru_cache(maxsize=2 * MOST_PRICED)
def _cost(text: str, catalogue: Catalogue, told: tuple[tuple[str, UnitPrice], ...]) -> Priced:
    """What a panel file comes to today by the newest prices, with its range."""
    try:
        resolved = resolve(read(text), catalogue)
        done = evaluate_panel(resolved, LINE_UP_DRAWS)
    except PanelwrightError as wrong:
        return Priced(None, why=wrong.problems[0].what)
    return priced(done, dict(told), np.ones(len(resolved.layers)))
