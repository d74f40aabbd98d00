"""A duty in numbers: a field of panel, its edges, what acts on it, and how the panel bears that.

What an edge is like is seldom known: where it is not, the panel is answered for both ways of it.
Under a small patch the skin bends by itself, which first-order theory does not see: that is judged
by the formula for a dent.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, field, replace

import numpy as np

from panelwright.errors import FormulaError, InputError, Problem, UnknownName
from panelwright.materials.catalogue import Catalogue
from panelwright.materials.records import Row
from panelwright.mechanics import beam, loads, plate, sides
from panelwright.mechanics.arrays import Array, array
from panelwright.panels import bearing, faces, strength
from panelwright.panels.bearing import Bent, Found, Stresses
from panelwright.panels.description import Description
from panelwright.panels.duties import UNSURE, Duty, Edges, Load
from panelwright.panels.evaluate import Build
from panelwright.panels.section import Section, section_of
from panelwright.panels.spread import with_axis
from panelwright.panels.stack import Stack

SIDES = ("left", "right", "bottom", "top")
#: What an edge that nobody is sure of may be like.
WAYS = (plate.Edge.SUPPORTED, plate.Edge.CLAMPED)


@dataclass(frozen=True)
class Acting:
    """One load as it acts: N and Pa, positive inwards; ``over``: from, to along and across, m."""

    words: str
    source: str
    force: float
    over: tuple[tuple[float, float], tuple[float, float]] | None = None
    pressure: float = 0.0  # at the bottom edge
    rise: float = 0.0  # from the bottom to the top edge
    is_spread: bool = False  # by its nature: a pressure, water, a weight

    def on(self, of: plate.Plate) -> Array:
        """The load on the unknowns of a plate, whose outside is up."""
        if self.over is not None:
            return plate.patch(of, -self.force, *self.over)
        return plate.pressure(of, -self.pressure, rise_y=-self.rise)

    @property
    def area(self) -> float:
        """What it stands on, m2; 0 for a line, a point and what lies everywhere."""
        if self.over is None:
            return 0.0
        (x0, x1), (y0, y1) = self.over
        return (x1 - x0) * (y1 - y0)


@dataclass(frozen=True)
class Field:
    """The field between the supports, m, and all that acts on it."""

    length: float
    width: float
    acting: tuple[Acting, ...]

    @property
    def force(self) -> float:
        """All of it, N."""
        return sum(one.force for one in self.acting)

    @property
    def mean_pressure(self) -> float:
        """All of it spread over the field, without its sign, Pa."""
        return abs(self.force) / (self.length * self.width)

    def load(self, of: plate.Plate) -> Array:
        """All that acts, on the unknowns of a plate."""
        return array(np.sum([one.on(of) for one in self.acting], axis=0))

    def sides(self) -> tuple[sides.Side, sides.Side]:
        """Its sides, cut where a load begins or ends."""
        cuts = [one.over for one in self.acting if one.over is not None]
        return (
            sides.side(self.length, [end for over in cuts for end in over[0]]),
            sides.side(self.width, [end for over in cuts for end in over[1]]),
        )


# --- From the file to numbers ---------------------------------------------------------------------


def ready_row(catalogue: Catalogue, name: str) -> Row:
    """A ready duty by its words; UnknownName with the nearest."""
    return catalogue.table("ready_duties").find(name)


def ready_numbers(row: Row) -> dict[str, float]:
    """Numbers of a ready duty: force, pressure, head, mass, footprint, in SI."""
    names = ("force", "pressure", "head", "mass", "times_gravity")
    found = {name: row.number(name) for name in (*names, "footprint_length", "footprint_width")}
    return {name: value for name, value in found.items() if value is not None}


def field_of(
    description: Description, index: int, catalogue: Catalogue, mass: float, thickness: float
) -> Field:
    """The field of a duty and what acts on it.

    index : of the duty in the file; mass : of the panel per area, kg/m2; thickness : m. Raises
    :class:`InputError` with the place in the file for what cannot be.
    """
    duty, size = description.panel.duty[index], description.panel.size
    path = ("duty", index)
    span = duty.span or size
    if span is None:
        what = "the duty does not say how large the field is"
        hint = 'span = { length = "600 mm", width = "300 mm" }'
        raise InputError(description.problem(path, Problem(what, hint=hint)))
    a, b = span.length.value, span.width.value
    if min(a, b) < thickness:
        given = f"{1e3 * min(a, b):.4g} mm against {1e3 * thickness:.3g} mm"
        problem = Problem("the span is less than the panel is thick", given, "a longer span")
        raise InputError(description.problem((*path, "span"), problem))
    acting: list[Acting] = []
    if duty.ready is not None:
        try:
            row = ready_row(catalogue, duty.ready)
        except UnknownName as unknown:
            names = ", ".join(one.name for one in catalogue.table("ready_duties"))
            told = [replace(one, allowed=names) for one in unknown.problems]
            place = (*path, "ready")
            raise InputError([description.problem(place, one) for one in told]) from None
        acting.append(_ready(row, a, b))
    for number, load in enumerate(duty.load):
        made = _acting(load, a, b, mass)
        _refuse_beyond(description, (*path, "load", number), made, a, b)
        acting.append(made)
    if duty.strip is not None:
        _refuse_strip(description, path, duty, acting, a)
    return Field(a, b, tuple(acting))


def _refuse_strip(
    description: Description,
    path: tuple[str | int, ...],
    duty: Duty,
    acting: list[Acting],
    span: float,
) -> None:
    """InputError for loads that are not those of the strip, and an arm that is none."""
    if duty.arm is not None and duty.arm.value > span / 2.0:
        given, allowed = duty.arm.text, f"up to {1e3 * span / 2.0:.4g} mm, half the span"
        problem = Problem("the loads of four points would pass each other", given, allowed)
        raise InputError(description.problem((*path, "arm"), problem))
    is_even = "even load" in str(duty.strip)
    for one in acting:
        if is_even and one.over is not None:
            problem = Problem(
                "an even load lies on the whole strip",
                one.words,
                "loads without `on` and `at`",
                'strip = "three points", or no strip at all',
            )
            raise InputError(description.problem((*path, "strip"), problem))
        if not is_even and one.is_spread:
            problem = Problem(
                f"a strip held at {duty.strip} takes a force at a point",
                one.words,
                "force or mass",
                'strip = "simply supported, even load" for what lies everywhere',
            )
            raise InputError(description.problem((*path, "strip"), problem))


def _ready(row: Row, a: float, b: float) -> Acting:
    """A ready duty as it acts in the middle of the field; cut to it where it is larger."""
    told = ready_numbers(row)
    force, pressure = told.get("force", 0.0), told.get("pressure", 0.0)
    inwards = -1.0 if row.text("towards") == "outside" else 1.0
    if "head" in told:
        pressure = float(loads.pressure_of_head(loads.SEA_WATER, loads.GRAVITY, told["head"]))
    if "mass" in told:
        force = float(loads.force_of_mass(told["mass"], told.get("times_gravity", 1.0)))
    if "footprint_length" in told:
        wide = min(told["footprint_length"], a), min(told["footprint_width"], b)
        along, across = (row.number(name) for name in ("along", "across"))
        over = _placed(a, wide[0], along), _placed(b, wide[1], across)
        return Acting(row.name, row.source, inwards * force, over)
    is_spread = pressure > 0.0
    pressure = inwards * (pressure or force / (a * b))
    return Acting(row.name, row.source, pressure * a * b, None, pressure, is_spread=is_spread)


def _placed(side: float, wide: float, share: float | None) -> tuple[float, float]:
    """From, to along a side of what is so wide, at a share of the way or in the middle."""
    start = (side - wide) * (0.5 if share is None else share)
    return start, start + wide


def _about(middle: float, wide: float) -> tuple[float, float]:
    return middle - wide / 2.0, middle + wide / 2.0


def _acting(load: Load, a: float, b: float, mass: float) -> Acting:
    inwards = -1.0 if load.towards == "outside" else 1.0
    source = load.source or "given by you"
    if load.own_weight:
        pressure = inwards * float(beam.pressure_of_mass(mass, loads.GRAVITY))
        name = load.name or "own weight"
        return Acting(name, "gravity", pressure * a * b, None, pressure, is_spread=True)
    if load.pressure is not None:
        pressure = inwards * load.pressure.value
        name = load.name or f"a pressure of {load.pressure.text}"
        return Acting(name, source, pressure * a * b, None, pressure, is_spread=True)
    if load.head is not None:
        return _water(load, inwards, source, a, b)
    if load.mass is not None:
        times = 1.0 if load.times_gravity is None else load.times_gravity.value
        force = inwards * float(loads.force_of_mass(load.mass.value, times))
        name = load.name or f"a mass of {load.mass.text}"
    else:
        assert load.force is not None
        force, name = inwards * load.force.value, load.name or f"a force of {load.force.text}"
    if load.on is None and load.at is None:
        return Acting(name, source, force, None, force / (a * b))
    return Acting(name, source, force, _over(load, a, b))


def _water(load: Load, inwards: float, source: str, a: float, b: float) -> Acting:
    """Water over the bottom edge, and more or less of it over the top edge."""
    assert load.head is not None
    top = load.head if load.head_top is None else load.head_top
    low, high = (
        inwards * float(loads.pressure_of_head(loads.SEA_WATER, loads.GRAVITY, head.value))
        for head in (load.head, top)
    )
    name = load.name or f"{load.head.text} of water"
    return Acting(name, source, (low + high) / 2.0 * a * b, None, low, high - low, is_spread=True)


def _over(load: Load, a: float, b: float) -> tuple[tuple[float, float], tuple[float, float]]:
    on, at = load.on, load.at
    given = (None, None) if on is None else (on.length, on.width)
    wide = [0.0 if side is None else side.value for side in given]
    middle = (a / 2.0, b / 2.0) if at is None else (at.along.value, at.across.value)
    return _about(middle[0], wide[0]), _about(middle[1], wide[1])


def _refuse_beyond(
    description: Description, path: tuple[str | int, ...], made: Acting, a: float, b: float
) -> None:
    """InputError for a footprint that is not all on the field."""
    if made.over is None:
        return
    for (start, end), long, side in zip(made.over, (a, b), ("length", "width"), strict=True):
        if start < -1e-9 or end > long + 1e-9:
            given = f"from {1e3 * start:.4g} to {1e3 * end:.4g} mm"
            problem = Problem(
                f"the load stands beyond the {side} of the field",
                given,
                f"0 to {1e3 * long:.4g} mm",
                "another place with `at`, or a smaller footprint with `on`",
            )
            raise InputError(description.problem(path, problem))


def edges_of(duty: Duty, catalogue: Catalogue) -> Edges:
    """The edges as the file has them, or as a ready duty does where the file says nothing."""
    if duty.ready is None or "edges" in duty.model_fields_set:
        return duty.edges
    held = ready_row(catalogue, duty.ready).text("held").split(";")
    if len(held) != len(SIDES):
        return duty.edges
    return Edges.model_validate(dict(zip(SIDES, held, strict=True)))


def ways_of(edges: Edges) -> dict[str, plate.Edges]:
    """The ways in which the edges may be held: one, or two where somebody is unsure."""
    held = [getattr(edges, side) for side in SIDES]
    if UNSURE not in held:
        return {"as held": _as_edges(held, plate.Edge.SUPPORTED)}
    return {f"{way.value} where you are unsure": _as_edges(held, way) for way in WAYS}


def _as_edges(held: list[str], unsure: plate.Edge) -> plate.Edges:
    left, right, bottom, top = (unsure if word == UNSURE else plate.Edge(word) for word in held)
    return left, right, bottom, top


# --- How the panel bears it -----------------------------------------------------------------------


@dataclass(frozen=True)
class Panel:
    """A panel and its draws: stack, build, section, states of damage, faces."""

    stack: Stack
    build: Build
    states: strength.States
    skins: faces.Faces

    @property
    def made(self) -> Section:
        """The section, undamaged."""
        return self.states.sections[0]


def panel_of(stack: Stack, build: Build, made: Section) -> Panel:
    """A panel with its states of damage and its faces; arrays may be those of draws."""
    return Panel(stack, build, strength.states(stack, build, made), faces.faces(stack, build, made))


#: What may end a panel, as the words of an answer begin.
IN_PLANE, IN_SHEAR, WRINKLES, DIMPLES, DENT = "in plane", "shear", "wrinkles", "dimples", "dent"


@dataclass(frozen=True)
class Reserve:
    """What multiplies the load to reach an end: how, where, and under draws."""

    how: str
    at: Found
    layer: int
    place: int
    mode: int
    draws: Array  # (n,)
    load: int = 0  # of a dent: which load


@dataclass(frozen=True)
class Borne:
    """A panel under its duty, held one way."""

    held: str
    bent: Bent | None  # of a plate
    deflection: Found  # m, positive outwards
    deflections: Array  # (n,)
    strain: Found  # largest along fibre or grain
    strains: Array  # (n,)
    strained: tuple[int, int]  # the layer and its face where it is
    first: tuple[Reserve, ...]
    ends: tuple[Reserve, ...]
    through: Stresses | None  # of a plate, where first damage governs


def bear(middle: Panel, drawn: Panel, field: Field, held: str, edges: plate.Edges) -> Borne:
    """Bend a panel and its draws under a duty. Raises FormulaError for a mechanism."""
    x, y = field.sides()
    states = [bearing.bend(made, x, y, edges, field.load) for made in middle.states.sections]
    found = [
        bearing.stresses(bent, middle.stack, middle.build, made)
        for bent, made in zip(states, middle.states.sections, strict=True)
    ]
    whole = _Draws(drawn, bearing.bend_draws(states[0], drawn.made), 0)
    deflection = bearing.largest_deflection(states[0])
    first = [
        _in_plane(middle.states.first, drawn.states.first, found[0], whole),
        _in_shear(middle, found[0], whole, damage=True),
        *_dents(middle, drawn, field),
    ]
    least = [bearing.in_plane(*pair) for pair in zip(found, middle.states.bears, strict=True)]
    state = max(range(len(least)), key=lambda at: _known(least[at].reserve.value))
    damaged = drawn.states.sections[state]
    draws = (
        whole if state == 0 else _Draws(drawn, bearing.bend_draws(states[state], damaged), state)
    )
    bears = middle.states.bears[state], drawn.states.bears[state]
    end = _in_plane(*bears, found[state], draws)
    # what cracks first may be what ends it: then both are the same
    strongest = end if _known(end.at.value) >= _known(first[0].at.value) else first[0]
    strain, strains, strained = _strain(middle, found[0], whole)
    governs = next((one for one in sorted(first, key=lambda r: r.at.value) if _is_known(one)), None)
    spot = deflection if governs is None or governs.how == DENT else governs.at
    return Borne(
        held,
        states[0],
        deflection,
        bearing.drawn_deflection(whole.bent, deflection),
        strain,
        strains,
        strained,
        tuple(one for one in first if _is_known(one)),
        tuple(
            one
            for one in (
                strongest,
                _in_shear(middle, found[0], whole, damage=False),
                *_unstable(middle, found[0], whole),
            )
            if _is_known(one)
        ),
        bearing.stresses(
            states[0],
            middle.stack,
            middle.build,
            middle.made,
            np.array([spot.x]),
            np.array([spot.y]),
        ),
    )


def _is_known(one: Reserve) -> bool:
    return math.isfinite(one.at.value)


def _known(value: float) -> float:
    """A reserve to choose by: one that is not known is the least."""
    return value if math.isfinite(value) else -1.0


@dataclass(frozen=True)
class _Draws:
    """Draws of a panel bent in one state of damage; what was asked of a place is kept."""

    panel: Panel
    bent: bearing.Drawn
    state: int
    told: dict[tuple[float, float], Stresses] = field(default_factory=dict)

    def at(self, at: Found) -> Stresses:
        """Their stresses at one place."""
        place = at.x, at.y
        if place not in self.told:
            made = self.panel.states.sections[self.state]
            self.told[place] = bearing.drawn_stresses(
                self.bent, self.panel.stack, self.panel.build, made, at
            )
        return self.told[place]


def _finite(values: Array, middle: float) -> Array:
    return np.where(np.isfinite(values), values, middle)


def _in_plane(
    bears: strength.Bears, drawn_bears: strength.Bears, found: Stresses, draws: _Draws
) -> Reserve:
    least = bearing.in_plane(found, bears)
    at = least.reserve
    if not math.isfinite(at.value):
        return Reserve(IN_PLANE, at, least.layer, least.place, least.mode, np.full(1, np.inf))
    placed = tuple(np.expand_dims(one, 1) for one in drawn_bears)
    values = strength.weakest(draws.at(at).strains, placed, 1).load[:, 0]  # type: ignore[arg-type]
    return Reserve(IN_PLANE, at, least.layer, least.place, least.mode, _finite(values, at.value))


def _in_shear(middle: Panel, found: Stresses, draws: _Draws, damage: bool) -> Reserve:
    least = bearing.in_shear(found, middle.states.own, damage)
    at = least.reserve
    if not math.isfinite(at.value):
        return Reserve(IN_SHEAR, at, least.layer, least.place, least.mode, np.full(1, np.inf))
    own = with_axis(draws.panel.states.own, 1)
    values = bearing.shear_reserves(draws.at(at), own, damage).load[:, 0]
    return Reserve(IN_SHEAR, at, least.layer, least.place, least.mode, _finite(values, at.value))


def _unstable(middle: Panel, found: Stresses, draws: _Draws) -> Iterator[Reserve]:
    """A pressed skin that wrinkles, or buckles into the cells."""
    drawn = draws.panel
    for how, under in ((WRINKLES, faces.wrinkling_under), (DIMPLES, faces.dimpling_under)):
        one = with_axis(middle.skins), with_axis(middle.build), with_axis(middle.made)
        weak = under(*one, found.whole[..., :6])
        least = bearing.least_of(found, weak)
        at = least.reserve
        if not math.isfinite(at.value):
            continue
        many = with_axis(drawn.skins, 1), with_axis(drawn.build, 1), with_axis(drawn.made, 1)
        values = under(*many, draws.at(at).whole[..., :6]).load[:, 0]
        yield Reserve(how, at, least.layer, least.place, least.mode, _finite(values, at.value))


def _dents(middle: Panel, drawn: Panel, field: Field) -> Iterator[Reserve]:
    """The core under each patch, by the formula for a round patch of the same area."""
    for number, one in enumerate(field.acting):
        if one.area <= 0.0:
            continue
        radius, pressure = math.sqrt(one.area / math.pi), abs(one.force) / one.area
        face = 0 if one.force > 0.0 else 1
        bears = float(faces.crush_pressure(middle.skins, radius)[face])
        if not math.isfinite(bears):
            continue
        values = faces.crush_pressure(drawn.skins, radius)[:, face] / pressure
        assert one.over is not None
        (x0, x1), (y0, y1) = one.over
        at = Found(bears / pressure, 0.0, (x0 + x1) / 2.0, (y0 + y1) / 2.0)
        yield Reserve(DENT, at, face, 0, 0, _finite(values, at.value), number)


def along_fibre(strains: Array, stack: Stack) -> Array:
    """Size of the strain along fibre or grain at both faces of each layer, ``(..., L, 2)``.

    A core has neither: nil there.
    """
    has = np.where(stack.through_E > 0.0, 0.0, 1.0)
    return array(np.abs(strains[..., 0]) * has[..., None])


def _strain(middle: Panel, found: Stresses, draws: _Draws) -> tuple[Found, Array, tuple[int, int]]:
    """The largest strain along fibre or grain, the same of the draws, its layer and face."""
    along = along_fibre(found.strains, middle.stack)
    largest = np.max(along, axis=(-1, -2))
    at = bearing.found_of(found, largest)
    layer, face = np.unravel_index(np.argmax(along[0, np.argmax(largest[0])]), along.shape[-2:])
    many = along_fibre(draws.at(at).strains, with_axis(draws.panel.stack, 1))
    return at, np.max(many, axis=(-1, -2))[:, 0], (int(layer), int(face))


def softened(made: Section, stack: Stack, build: Build, left: Array) -> Section:
    """The section once its layers have kept so much of their stiffness, ``(L,)``."""
    k = made.constants
    moduli = {name: getattr(k, name) * left for name in ("E1", "E2", "G12", "G13", "G23")}
    return section_of(replace(k, **moduli), stack, build)


def refused(wrong: FormulaError, description: Description, index: int) -> InputError:
    """What the plate refuses, with the place in the file."""
    return InputError(
        [description.problem(("duty", index, "edges"), one) for one in wrong.problems]
    )


def name_of(duty: Duty) -> str:
    """What a duty is called."""
    return duty.name if duty.name != "duty" or duty.ready is None else duty.ready
