"""Strips for one part: how many, from which boards, what the plane takes, how they bend and move.

The part is given by stations; a flat one by two alike. Numbers come with a range where their
causes have one, drawn as those of the panel are; counts stand on the middle values.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from panelwright import units
from panelwright.errors import InputError, Problem
from panelwright.fabrication.faired import refuse_thin
from panelwright.fabrication.strip_records import (
    PERCENT,
    Bending,
    Drying,
    PlankedStation,
    Planking,
    Sawing,
    SpringBack,
    Station,
    StripsRecord,
    bend,
    practice,
    small,
)
from panelwright.fabrication.strip_warnings import strip_warnings
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics import (
    cutting,
    laminate,
    moisture,
    resin,
    sandwich,
    stations,
    strips,
    timber,
)
from panelwright.mechanics.arrays import Array, array
from panelwright.panels.spread import DRAWS, Causes, Ranged, causes_of, draw, ranged
from panelwright.provenance import Input

#: Thinnest strip that is worth laminating a bend from, m. Common practice.
LEAST_PLY = 1.5e-3
#: Plies that the spring-back of a laminated bend is told for.
PLIES = (2, 3, 4, 6)

# --- The values, in the middle and drawn ----------------------------------------------------------

Values = Mapping[str, Array]


@dataclass(frozen=True)
class _Drawn:
    """Inputs by name in the middle, shape ``()``, and under draws, shape ``(n,)``."""

    given: Mapping[str, Input]
    middle: Values
    drawn: Values
    causes: Causes

    def ranged(self, of: Callable[[Values], Array], unit: str) -> Ranged:
        """A result of the values with its range."""
        drawn = np.broadcast_to(of(self.drawn), self.drawn["thickness"].shape)
        return ranged(of(self.middle), drawn, unit, self.causes)


_OF_THE_LAYER = {
    "thickness": "solid_thickness",
    "cover": "edge_cover",
    "spread": "edge_spread",
    "kept": "edge_kept",
    "moisture": "moisture",
    "intersection": "intersection_moisture",
    "moe_12": "moe_12",
    "moe_green": "moe_green",
    "bend_12": "bend_12",
    "bend_green": "bend_green",
    "radial": "shrink_radial",
    "tangential": "shrink_tangential",
    "flat_share": "flat_share",
}
_OF_PRACTICE = ("soaked_bend", "station_spacing")


def _inputs(of: Planking, catalogue: Catalogue) -> dict[str, Input]:
    named = {
        name: of.layer.inputs[field]
        for name, field in _OF_THE_LAYER.items()
        if field in of.layer.inputs
    }
    named |= {name: practice(catalogue, name) for name in _OF_PRACTICE}
    return named | {"spare": of.spare}


def _drawn(given: Mapping[str, Input], draws: int) -> _Drawn:
    return _Drawn(
        given,
        {name: array(one.value) for name, one in given.items()},
        {name: draw(one, draws) for name, one in given.items()},
        causes_of(given.values(), draws),
    )


# --- The part -------------------------------------------------------------------------------------


@dataclass(frozen=True)
class _Shell:
    """The part in numbers: what does not vary."""

    at: Array
    girth: Array
    area: float
    length: float
    widest: float
    angle: float  # rad, of the strips
    along: float  # curvature, 1/m
    round_girth: Array

    @property
    def along_strips(self) -> float:
        """Greatest curvature along the strips, 1/m."""
        return float(np.max(strips.curvature_at(self.along, self.round_girth, self.angle)))

    @property
    def across_strips(self) -> Array:
        """Curvature across the strips at each station, 1/m."""
        return strips.curvature_at(self.along, self.round_girth, self.angle + 0.5 * math.pi)


def _shell(of: Planking) -> _Shell:
    at = array([one.at for one in of.stations])
    girth = array([one.girth for one in of.stations])
    bent = array([0.0 if one.radius is None else 1.0 / one.radius for one in of.stations])
    turn = math.radians(of.layer.angle or 0.0) % math.pi
    return _Shell(
        at,
        girth,
        float(stations.area_of_stations(at, girth)),
        float(at[-1] - at[0]),
        float(np.max(girth)),
        min(turn, math.pi - turn),
        0.0 if of.along is None else 1.0 / of.along,
        bent,
    )


def _refuse(what: str, given: str, allowed: str, hint: str) -> InputError:
    return InputError(Problem(what, given, allowed, hint))


def _check(of: Planking) -> None:
    if "edge_cover" not in of.layer.inputs:
        what = "what one strip covers is not said, so the strips cannot be counted"
        hint = 'strip = { width = "22 mm", cover = "20 mm" } in the layer of the panel file'
        raise _refuse(what, of.layer.name, "", hint)


# --- Round the form -------------------------------------------------------------------------------


def _planked_station(
    of: Planking, drawn: _Drawn, station: Station, curvature: float, count: float, share: float
) -> PlankedStation:
    cover, thickness = drawn.middle["cover"], drawn.middle["thickness"]
    left_of_it = float(strips.tapered_cover(station.girth, count))
    flat = PlankedStation(
        station.at,
        station.girth,
        int(strips.strips_across(station.girth, cover)),
        left_of_it,
        float(strips.covers_in_girth(left_of_it, cover)),
    )
    if curvature <= 0.0:
        return flat
    radius = float(strips.radius_of_curvature(curvature))
    widest = float(strips.widest_cover(radius, share * thickness))
    left = drawn.ranged(lambda v: strips.thickness_left(v["thickness"], v["cover"], radius), "m")
    refuse_thin(of.layer, radius, share, f"at {units.show(station.at, 'length')} ")
    half = strips.half_angle_touching(cover, radius)
    return replace(
        flat,
        radius=radius,
        planed=drawn.ranged(lambda v: strips.corner_height(v["cover"], radius), "m"),
        left=left,
        widest=widest,
        bevel=float(np.degrees(half)),
        gap=float(strips.gap_of_square_edges(thickness, half)),
    )


def _mean_left(shell: _Shell, found: Sequence[PlankedStation], drawn: _Drawn) -> Ranged | None:
    """Thickness over the shell, each station taken as bent throughout to its smallest radius."""
    if all(one.radius is None for one in found):
        return None
    radii = array([0.0 if one.radius is None else one.radius for one in found])

    def mean(values: Values) -> Array:
        thick, cover = values["thickness"][..., None], values["cover"][..., None]
        left = strips.thickness_left(thick, cover, radii)
        return array(stations.area_of_stations(shell.at, shell.girth * left) / shell.area)

    return drawn.ranged(mean, "m")


# --- Bending --------------------------------------------------------------------------------------


def _at_rupture(values: Values) -> Array:
    """Strain at which the timber breaks, at its moisture."""
    at, most = values["moisture"], values["intersection"]
    return strips.strain_at_rupture(
        moisture.property_at_moisture(values["bend_12"], values["bend_green"], at, most),
        moisture.property_at_moisture(values["moe_12"], values["moe_green"], at, most),
    )


def _tightest(values: Values) -> Array:
    return strips.tightest_bend(values["thickness"], _at_rupture(values))


def _laminated(asked: float, drawn: _Drawn, dry: float) -> tuple[SpringBack, ...]:
    """Plies of one strip's thickness in all, bent dry to come out as asked."""
    thickness = float(drawn.middle["thickness"])
    found = []
    for plies in PLIES:
        lost = strips.spring_back(plies)
        form = float(strips.form_for_bend(asked, lost))
        found.append(SpringBack(plies, float(lost), thickness / plies, form, dry / plies <= form))
    return tuple(found)


def _bending(of: Planking, shell: _Shell, drawn: _Drawn) -> Bending | None:
    if not {"bend_12", "moe_12"} <= drawn.given.keys():
        return None
    curvature = shell.along_strips
    asked = float(strips.radius_of_curvature(curvature)) if curvature > 0.0 else None
    dry = drawn.ranged(_tightest, "m")
    width = None if of.width is None else array(of.width)
    return Bending(
        asked,
        dry,
        drawn.ranged(lambda v: v["soaked_bend"] * _tightest(v), "m"),
        None
        if width is None
        else drawn.ranged(lambda v: strips.tightest_bend(width, _at_rupture(v)), "m"),
        None
        if asked is None
        else drawn.ranged(lambda v: strips.thickest_for_bend(asked, _at_rupture(v)), "m"),
        () if asked is None else _laminated(asked, drawn, dry.value),
    )


def _refuse_bend(of: Planking, bends: Bending | None) -> None:
    """A bend that even a soaked strip of the most willing timber does not take."""
    if bends is None or bends.asked is None or bends.asked >= bends.soaked.low:
        return
    what = (
        f"strips {small(of.layer.inputs['solid_thickness'].value)} thick do not bend to "
        f"{bend(bends.asked)}, not even soaked or steamed"
    )
    hint = f"a radius of {bend(bends.soaked.high)} or more, soaked"
    if bends.thickest is not None and bends.thickest.value >= LEAST_PLY:
        hint += f", or layers of strips up to {small(bends.thickest.value)} thick, which bend dry"
    allowed = f"{bend(bends.soaked.value)} or more"
    raise _refuse(what, bend(bends.asked), allowed, hint)


# --- Sawing ---------------------------------------------------------------------------------------


def _saw(of: Planking, catalogue: Catalogue, longest: float, count: float, have: float) -> Sawing:
    boards = of.boards
    assert boards is not None
    kerf = boards.kerf
    if kerf is None:
        kerf = practice(catalogue, "saw_kerf", "length").value
    thickness = of.layer.inputs["solid_thickness"].value
    sawn = thickness + practice(catalogue, "planing_allowance", "length").value
    deep = of.width or of.layer.inputs["edge_cover"].value
    per_width = strips.strips_from_board(boards.width, sawn, kerf)
    per_depth = strips.strips_from_board(boards.thickness, deep, kerf)
    if per_width < 1.0 or per_depth < 1.0:
        what = "no strip comes out of such a board"
        given = f"{small(boards.width)} wide, {small(boards.thickness)} thick"
        allowed = f"{small(sawn)} wide and {small(deep)} thick, or more"
        raise _refuse(what, given, allowed, f"boards {small(deep)} thick")
    per_board = per_width * per_depth
    slope = of.scarf or practice(catalogue, "scarf_slope").value
    scarf = float(strips.scarf_length(sawn, slope))
    if boards.length <= scarf:
        what = "the boards are shorter than a scarf"
        allowed = f"more than {small(scarf)}"
        raise _refuse(what, units.show(boards.length, "length"), allowed, "longer boards")
    each = cutting.lapped_pieces(longest, boards.length, scarf)
    whole = bool(each == 1.0)
    pieces = count if whole else strips.pieces_for_running(have, boards.length, scarf)
    face, section = array(boards.width) * boards.thickness, array(sawn) * deep
    return Sawing(
        sawn,
        kerf,
        int(per_board),
        float(strips.sawing_loss(per_board, section, face)),
        0.0 if whole else scarf,
        int(each),
        int(pieces),
        int(strips.boards_for(pieces, per_board)),
    )


# --- Moisture -------------------------------------------------------------------------------------


def _swell(values: Values) -> Array:
    """Growth across the strips for 1 % of moisture."""
    coefficient = moisture.movement_coefficient
    return timber.over_the_rings(
        coefficient(values["tangential"]), coefficient(values["radial"]), values["flat_share"]
    )


def _girth_step(shell: _Shell, drawn: _Drawn) -> Ranged | None:
    if not {"radial", "tangential", "flat_share"} <= drawn.given.keys():
        return None
    change = moisture.change_of_size_by_coefficient
    return drawn.ranged(lambda v: change(shell.widest, _swell(v), 0.0, PERCENT), "m")


def _drying(of: Planking, catalogue: Catalogue, drawn: _Drawn) -> Drying:
    least = practice(catalogue, "glue_moisture_least").value
    most = practice(catalogue, "glue_moisture_most").value
    now = drawn.ranged(lambda v: v["moisture"], "-")
    if of.air is None:
        return Drying(now, least, most)
    kelvin = of.air.temperature
    window = moisture.humidity_for_moisture(kelvin, [least, most])
    settles = moisture.equilibrium_moisture(kelvin, [of.air.driest, of.air.dampest])
    ends = (float(settles[0]), float(settles[1]))
    return Drying(now, least, most, kelvin, float(window[0]), float(window[1]), ends)


# --- All of it ------------------------------------------------------------------------------------


def plan_strips(of: Planking, catalogue: Catalogue, draws: int = DRAWS) -> StripsRecord:
    """Everything about the strips of one part.

    Raises :class:`InputError` for a cover that is not said, strips too wide or too thick for a
    bend, and boards that give none; each with the nearest figure that works.
    """
    _check(of)
    shell = _shell(of)
    given = _inputs(of, catalogue)
    drawn = _drawn(given, draws)
    cover = drawn.middle["cover"]
    to_plank = strips.width_to_plank(shell.widest, shell.length, shell.angle)
    count = strips.strips_across(to_plank, cover)
    with_spare = strips.with_spare(count, of.spare.value)
    longest = float(strips.longest_strip(shell.widest, shell.length, shell.angle))
    share = practice(catalogue, "planing_share").value
    found = tuple(
        _planked_station(of, drawn, station, float(bent), float(count), share)
        for station, bent in zip(of.stations, shell.across_strips, strict=True)
    )
    running = drawn.ranged(lambda v: strips.strip_length_for(shell.area, v["cover"]), "m")
    to_have = drawn.ranged(
        lambda v: resin.with_waste(strips.strip_length_for(shell.area, v["cover"]), v["spare"]), "m"
    )
    bends = _bending(of, shell, drawn)
    _refuse_bend(of, bends)
    spoilt = practice(catalogue, "staples_spoilt")
    record = StripsRecord(
        name=of.layer.name,
        thickness=drawn.ranged(lambda v: v["thickness"], "m"),
        cover=float(cover),
        width=of.width,
        angle=math.degrees(shell.angle),
        area=shell.area,
        count=int(count),
        count_with_spare=int(with_spare),
        longest=longest,
        running=running,
        to_have=to_have,
        over_area=float(strips.over_the_area(count, longest, running.value)),
        stations=found,
        staples=int(strips.staples(count, len(found), spoilt.value)),
        spacing=drawn.ranged(
            lambda v: strips.station_spacing(v["thickness"], v["station_spacing"]), "m"
        ),
        widest_spacing=float(np.max(np.diff(shell.at))),
        glue_laid=_glue(shell, drawn, squeezed=False),
        glue_kept=_glue(shell, drawn, squeezed=True),
        girth_step=_girth_step(shell, drawn),
        drying=_drying(of, catalogue, drawn),
        mean_left=_mean_left(shell, found, drawn),
        sawing=None
        if of.boards is None
        else _saw(of, catalogue, longest, float(with_spare), to_have.value),
        bending=bends,
        grounds=(*given.values(), spoilt),
    )
    return replace(record, warnings=strip_warnings(record, catalogue))


def _glue(shell: _Shell, drawn: _Drawn, *, squeezed: bool) -> Ranged | None:
    """Glue between the strips of the whole part."""
    if "spread" not in drawn.given:
        return None

    def mass(v: Values) -> Array:
        laid = sandwich.edge_glue(v["thickness"], v["cover"], v["spread"])
        kept = sandwich.kept(laid, v["kept"]) if squeezed else laid
        return laminate.mass_of_area(kept, shell.area)

    return drawn.ranged(mass, "kg")
