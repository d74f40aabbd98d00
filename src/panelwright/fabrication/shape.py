"""How large a part is and how far it bends: what the ledger of a square metre is taken times."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from panelwright.errors import InputError, Problem
from panelwright.fabrication.part import CutOut, Part, PartDescription
from panelwright.mechanics import laminate, stations
from panelwright.panels.description import Description
from panelwright.panels.layers import AnyLayer, CoreLayer
from panelwright.panels.places import Path
from panelwright.units import Quantity


@dataclass(frozen=True)
class StationShape:
    """One section of a shell; m, ``turn`` in degrees. ``radius`` is None where it is flat."""

    at: float
    girth: float
    radius: float | None
    turn: float
    turn_given: bool


@dataclass(frozen=True)
class Shape:
    """A part as it is laid: SI units.

    ``area`` of what stays, ``laid`` of what is covered with cloth and core before the cut-outs
    are made, ``cut`` the length of their edges; ``girth`` of a flat part is its width.
    """

    length: float
    girth: float
    area: float
    laid: float
    edge: float
    cut: float
    curvature: float  # mean over the shell, 1/m
    stations: tuple[StationShape, ...] = ()

    @property
    def is_shell(self) -> bool:
        """Whether it is given by stations."""
        return bool(self.stations)

    @property
    def tightest(self) -> StationShape | None:
        """The station with the smallest radius."""
        bent = [one for one in self.stations if one.radius is not None]
        return min(bent, key=lambda one: one.radius or math.inf) if bent else None


def shape_of(part: Part, index: int, description: Description, job: PartDescription) -> Shape:
    """The shape of a part.

    index : of the part in its file. Raises :class:`InputError` where no size is said, and for
    cut-outs that leave nothing.
    """
    path: Path = ("part", index)
    return _shell(part) if part.station else _flat(part, description, job, path)


def _flat(part: Part, description: Description, job: PartDescription, path: Path) -> Shape:
    size = part.size or description.panel.size
    if size is None:
        what = "the size of the part is not said"
        hint = 'size = { length = "3.2 m", width = "1.85 m" } in the panel file or in the [[part]]'
        raise InputError(job.problem(path, Problem(what, description.panel.title, hint=hint)))
    length, width = size.length.value, size.width.value
    laid = float(laminate.mass_of_area(length, width))
    holes = math.fsum(_hole(hole) for hole in part.cutout)
    for number, hole in enumerate(part.cutout):
        _refuse_hole(hole, (length, width), job, (*path, "cutout", number))
    if holes >= laid:
        what = "the cut-outs are larger than the part"
        given, allowed = f"{holes:.3g} m² of cut-outs", f"less than {laid:.3g} m²"
        raise InputError(job.problem((*path, "cutout"), Problem(what, given, allowed)))
    cut = math.fsum(_rim(hole) for hole in part.cutout)
    return Shape(length, width, laid - holes, laid, 2.0 * (length + width), cut, 0.0)


def _sides(hole: CutOut) -> tuple[float, float]:
    if hole.diameter is not None:
        return hole.diameter.value, hole.diameter.value
    assert hole.length is not None
    assert hole.width is not None
    return hole.length.value, hole.width.value


def _hole(hole: CutOut) -> float:
    """Area of all holes of one kind."""
    length, width = _sides(hole)
    return hole.count * length * width * (1.0 if hole.diameter is None else math.pi / 4.0)


def _rim(hole: CutOut) -> float:
    """Length of their edges."""
    length, width = _sides(hole)
    return hole.count * (2.0 * (length + width) if hole.diameter is None else math.pi * length)


def _refuse_hole(
    hole: CutOut, sides: tuple[float, float], job: PartDescription, path: Path
) -> None:
    own = sorted(_sides(hole))
    if own[0] > min(sides) or own[1] > max(sides):
        what = "a cut-out is larger than the part it is cut from"
        given = " × ".join(f"{side:.3g} m" for side in own)
        allowed = f"up to {min(sides):.3g} × {max(sides):.3g} m"
        raise InputError(job.problem(path, Problem(what, given, allowed)))


def _shell(part: Part) -> Shape:
    found = []
    for station in part.station:
        radius = None if station.radius is None else station.radius.value
        turn = 0.0
        if station.turn is not None:
            turn = abs(station.turn.value)
        elif radius is not None:
            turn = float(np.degrees(stations.most_turn(station.girth.value, radius)))
        given = station.turn is not None
        found.append(StationShape(station.at.value, station.girth.value, radius, turn, given))
    places = np.array([one.at for one in found])
    girths = np.array([one.girth for one in found])
    turns = np.radians([one.turn for one in found])
    area = float(stations.area_of_stations(places, girths))
    # the bend summed round each section, over the shell: an area if the girth were the turn
    bend = float(stations.area_of_stations(places, turns))
    length = float(places[-1] - places[0])
    return Shape(
        length=length,
        girth=float(np.max(girths)),
        area=area,
        laid=area,
        edge=2.0 * length + found[0].girth + found[-1].girth,
        cut=0.0,
        curvature=float(stations.mean_curvature(bend, area)),
        stations=tuple(found),
    )


def bent(description: Description, shape: Shape) -> Description:
    """The panel as it is bent in the part: its cores take the mean curvature of the shell.

    A core that says its own bend keeps it.
    """
    if shape.curvature <= 0.0:
        return description
    radius = 1.0 / shape.curvature
    text = f"{radius:.3g} m, mean of the shell"
    quantity = Quantity(radius, radius, radius, text, False)

    def of(layer: AnyLayer) -> AnyLayer:
        if not isinstance(layer, CoreLayer) or _says_its_bend(layer):
            return layer
        return layer.model_copy(update={"bend_radius": quantity})

    layers = tuple(of(layer) for layer in description.panel.layer)
    groups = tuple(
        group.model_copy(update={"layer": tuple(of(layer) for layer in group.layer)})
        for group in description.panel.group
    )
    panel = description.panel.model_copy(update={"layer": layers, "group": groups})
    return replace(description, panel=panel)


def _says_its_bend(layer: CoreLayer) -> bool:
    return layer.bend_radius is not None or layer.bend_radius_across is not None
