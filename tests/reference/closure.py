"""Do published panels close: thickness from cloth mass and fibre fraction against the gauge?

The cloth of each panel is known layer by layer, the fibre fraction and the thickness were
measured; our formulas make the thickness from the first two. A panel that does not close tells
of the data, not of the formula: the three numbers cannot all be of the same piece.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np

from panelwright.mechanics import fractions, laminate, weighing
from panelwright.mechanics.arrays import Array
from panelwright.units import parse

from .cases import experiments

#: kg/m3, as the records of the plates themselves reckon (2600) and for standard carbon.
FIBRE_DENSITY = {"glass": 2600.0, "carbon": 1800.0}
#: kg/m3, cured, by what its description holds. It drops out where the fraction is by volume.
RESIN_DENSITY = {"epox": 1154.0, "polyester": 1200.0, "vinyl ester": 1150.0}

#: Panels of two fibres, layer by layer, as their description says.
MIXED = {"carbon-core-glass-skins-rtm": ("glass", "carbon", "carbon", "carbon", "glass")}

#: m2 of plates whose dry cloth was weighed: the weighed mass counts, not the one of the label.
WEIGHED_PLATE_AREA = {"glass-3-plates-mass-balance-resin-batch": 0.1024}

#: How far from 1 the ratio may be before a panel is said not to close.
CLOSES_WITHIN = 0.08

#: Panels that do not close, with what the records themselves say about it.
DO_NOT_CLOSE = {
    (
        "glass-ud-handlayup-5x868",
        "",
    ): "cloth, fraction and thickness cannot be of one panel: at the "
    "gauged thickness the cloth would be 0.45 of the volume, not 0.30",
    ("glass-triax-handlayup-5x759", ""): "the fraction is printed as 0.30, which leaves 2 % of the "
    "11 % open to rounding; the rest is not explained by the record",
    **{
        (
            "glass-3-plates-mass-balance-resin-batch",
            f"plate {number}",
        ): "weighed cloth over the area "
        "of the plate, burn-off and gauge differ alike on all three plates of the batch"
        for number in (1, 2, 3)
    },
}

#: Experiments without a cloth mass for each layer, and why.
NOT_CHECKABLE = {
    "carbon-cantilever-plates-frequencies": "prepreg, given by ply thickness",
    "carbon-ud-infused-3-and-5-layers": "cloth mass not given",
    "carbon-ud-noncrimp-large-tow": "cloth mass only as a class, from the name of the cloth",
    "foam-core-60-blocks-shear-compression-density": "bare foam",
    "glass-crossply-dry-and-water-saturated": "cloth mass not listed, worked from the thickness",
    "glass-multidirectional-infused-offaxis": "cloth mass not given, assumed",
    "glass-plainweave-hand-vs-vacuum-bag": "cloth mass not read",
    "glass-pultruded-flat": "cloth mass not given",
    "glass-ud-infused-burnoff-and-bending": "cloth mass not given, worked from the thickness",
    "glass-ud-polyester-handlayup-4-and-8x610": "cloth mass in words, not layer by layer",
    "honeycomb-plate-simply-supported-frequencies": "metal faces",
    "poplar-lvl-carbon-one-and-two-faces": "cloth mass not read",
    "sandwich-foam-45skins-three-point-bending": "cloth mass in words; the record contradicts "
    "the weighed cloth",
    "sandwich-foam-columns-glass-skins": "cloth mass not read",
    "spruce-plate-free-vibration-pair-1": "solid timber",
    "spruce-plate-free-vibration-pair-3": "solid timber",
    "spruce-plate-free-vibration-pair-4": "solid timber",
    "wooden-doors-sound-transmission": "doors of wood",
}

_QUANTITY = re.compile(
    r"(?P<what>thickness|density|void content|dry fabric mass|fibre (?:volume|mass) fraction)"
    r"(?P<how>, burn-off| from cloth mass and thickness)?"
    r"(?:, (?P<cut>[^(]+)| \((?P<piece>[^)]+)\))?"
)


@dataclass(frozen=True)
class Closure:
    """One panel: thickness measured and computed, m.

    ``basis`` says which fibre fraction was used; ``circular`` that the record worked it back from
    the thickness, so that it closes by construction; ``nominal`` that the thickness was not gauged.
    """

    experiment: str
    piece: str
    basis: str
    measured: float
    computed: float
    circular: bool = False
    nominal: bool = False

    @property
    def ratio(self) -> float:
        """Measured over computed."""
        return self.measured / self.computed

    @property
    def closes(self) -> bool:
        """Whether the ratio is within ``CLOSES_WITHIN`` of 1."""
        return abs(self.ratio - 1.0) <= CLOSES_WITHIN


def cloth_mass(panel: Mapping[str, Any]) -> Array | None:
    """Dry cloth of each layer, kg/m2; None where it is not known layer by layer."""
    listed = panel.get("fabric_areal_mass_g_m2")
    if not isinstance(listed, list):
        return None
    return np.array([parse(f"{mass} g/m2", "cloth_mass").value for mass in listed])


def fibre_density(experiment: str, layers: int) -> Array:
    """Density of the fibre of each layer, kg/m3."""
    fibres = MIXED.get(experiment) or (experiment.split("-", maxsplit=1)[0],) * layers
    return np.array([FIBRE_DENSITY[fibre] for fibre in fibres])


def resin_density(panel: Mapping[str, Any]) -> float:
    """Density of the cured resin, kg/m3."""
    return next(value for name, value in RESIN_DENSITY.items() if name in panel["resin"])


#: ``{what: {piece: (value, how it was found)}}``; the piece is empty for the panel.
Measured = dict[str, dict[str, tuple[float, str]]]


def by_piece(measurements: Sequence[Mapping[str, Any]]) -> Measured:
    """The measured values that a closure needs, in the units of the records."""
    found: Measured = {}
    for item in measurements:
        read = _QUANTITY.fullmatch(item["quantity"])
        if read and item["value"] is not None:
            piece = (read["piece"] or read["cut"] or "").replace("mean of plates", "")
            values = found.setdefault(read["what"], {})
            how = (read["how"] or "").strip(", ")
            values[piece] = (float(item["value"]), how or _brief(item.get("note", "")))
    return found


def _brief(note: str) -> str:
    """A note of one word is how a value was found; a longer one is for the reader."""
    return note if note.isalpha() else ""


def thickness(cloth: Array, mass_fraction: Array, fibre: Array, resin: float) -> float:
    """Thickness of a void-free laminate from its cloths, m."""
    held = fractions.resin_in_cloth(cloth, mass_fraction)
    plies = fractions.ply_thickness(cloth, held, fibre, resin)
    return float(laminate.panel_thickness(plies))


def closures() -> Iterator[Closure]:
    """Every piece of every experiment whose cloth is known layer by layer."""
    for experiment in experiments():
        cloth = cloth_mass(experiment["panel"])
        if cloth is not None:
            yield from _closures_of(experiment, cloth)


def _closures_of(experiment: Mapping[str, Any], cloth: Array) -> Iterator[Closure]:
    name, measured = experiment["id"], by_piece(experiment["measurements"])
    fibre, resin = fibre_density(name, len(cloth)), resin_density(experiment["panel"])
    for what in (
        kind for kind in ("fibre volume fraction", "fibre mass fraction") if kind in measured
    ):
        for piece, (gauged, gauged_how) in measured["thickness"].items():
            fraction, how = measured[what].get(piece) or _the_only(name, measured[what])
            mass_fraction = np.broadcast_to(fraction, cloth.shape)
            if what == "fibre volume fraction":
                mass_fraction = fractions.mass_from_volume_fraction(fraction, fibre, resin)
            weighed = _weighed(name, piece, measured, cloth)
            yield Closure(
                name,
                piece,
                ", ".join(filter(None, (what, how))),
                parse(f"{gauged} mm", "thickness").value,
                thickness(weighed, mass_fraction, fibre, resin),
                circular="from cloth mass" in how,
                nominal=gauged_how == "nominal",
            )


def _weighed(name: str, piece: str, measured: Measured, cloth: Array) -> Array:
    """The cloths of a piece, brought to what they weighed together where that is known."""
    if name not in WEIGHED_PLATE_AREA:
        return cloth
    dry = parse(f"{measured['dry fabric mass'][piece][0]} g", "mass").value
    per_area = weighing.weighed_uptake(0.0, dry, WEIGHED_PLATE_AREA[name])
    return laminate.shares(cloth) * per_area


def _the_only(name: str, fractions: Mapping[str, tuple[float, str]]) -> tuple[float, str]:
    if len(fractions) != 1:
        raise LookupError(f"{name}: no fibre fraction of this piece, and more than one to take")
    return next(iter(fractions.values()))


@dataclass(frozen=True)
class BurnOff:
    """One burnt plate: what its record prints, and what density and burn-off make of it."""

    experiment: str
    piece: str
    volume_fraction_printed: float
    volume_fraction: float
    void_printed: float
    void: float


def burn_offs() -> Iterator[BurnOff]:
    """The plates whose burn-off, density, fibre volume fraction and voids are all printed."""
    wanted = ("fibre mass fraction", "density", "fibre volume fraction", "void content")
    for experiment in experiments():
        measured = by_piece(experiment["measurements"])
        if not all(what in measured for what in wanted):
            continue
        name, resin = experiment["id"], resin_density(experiment["panel"])
        fibre = float(fibre_density(name, 1)[0])
        for piece in measured["density"]:
            mass, density, volume, void = (measured[what][piece][0] for what in wanted)
            void_free = fractions.void_free_density(mass, fibre, resin)
            yield BurnOff(
                name,
                piece,
                volume,
                float(weighing.constituent_volume_fraction(mass, density, fibre)),
                void,
                float(fractions.void_fraction(density, void_free)),
            )
