"""Findings of a piece: what its readings come to, each with what makes it unsure.

Where a reading is missing, the value that the panel was predicted with stands in, with its range;
the budget of a finding says so.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from functools import cached_property

import numpy as np

from panelwright.errors import InputError, Problem
from panelwright.mechanics import fractions, weighing
from panelwright.mechanics.arrays import Array
from panelwright.mechanics.uncertainty import (
    half_width_95,
    mean_uncertainty,
    reading_uncertainty,
)
from panelwright.samples.budget import TOLD, Budget, Known, budget
from panelwright.samples.edge import Photo, Span, photos_of
from panelwright.samples.found import Closure, Edge, EdgeLayer, Finding, Findings, ThicknessMap
from panelwright.samples.known import Bag, Book
from panelwright.samples.readings import KINDS, Reading

#: What stands in for what was not gauged.
ON_PHOTO = "photo of the cut edge"
#: Density of water at 23 °C, kg/m3 (astm-d792, from memory).
WATER = Known("water density", 997.5, 0.3, "water at 23 °C")


def _finding(
    name: str, dimension: str, found: Budget, *, zero: bool = False, note: str = ""
) -> Finding:
    if not (math.isfinite(found.value) and math.isfinite(found.u)):
        raise InputError(Problem(f"{name} cannot be worked from these readings"))
    told = found.is_told if zero else None
    return Finding(
        name, found.value, found.u, dimension, found.u_drawn, found.contributions, told, note
    )


class Reducing:
    """One piece being reduced: its readings, and what the book says where none was taken."""

    def __init__(self, readings: Iterable[Reading], book: Book) -> None:
        told = tuple(readings)
        self.edges = edges_of(told, book)
        self.bag = Bag(told, known_of(told, self.edges, book))
        self.book = book

    # Parts of a balance ---------------------------------------------------------------------------

    @cached_property
    def sides(self) -> list[Known]:
        """What the area is made of; empty where it was not read."""
        if self.bag.has("area"):
            return [self.bag.known("area")]
        if self.bag.has("length", "width"):
            return [self.bag.known("length"), self.bag.known("width")]
        return []

    @staticmethod
    def area(x: Mapping[str, Array]) -> Array:
        """Area of the piece, m2."""
        return x["area"] if "area" in x else x["length"] * x["width"]

    @cached_property
    def weighed(self) -> list[Known]:
        """What the areal mass is made of: the last weighing; empty where there is none."""
        if not (self.sides and self.bag.has("mass")):
            return []
        last = Bag(self.bag.by_kind["mass"][-1:]).known("mass")
        tare = [self.bag.known("tare")] if self.bag.has("tare") else []
        return [last, *tare, *self.sides]

    def areal_mass(self, x: Mapping[str, Array]) -> Array:
        """What a square metre weighs."""
        return weighing.weighed_uptake(x.get("tare", 0.0 * x["mass"]), x["mass"], self.area(x))

    @cached_property
    def cloth(self) -> Known:
        """Dry cloth, weighed or by the book."""
        if self.bag.has("cloth"):
            known = self.bag.known("cloth")
            return Known("cloth mass", known.value, known.u, known.source)
        return self.book.cloth

    @cached_property
    def core(self) -> list[Known]:
        """What the mass of the core is made of."""
        if not self.book.is_cored:
            return []
        if not self.bag.has("core mass"):
            return [self.book.core]
        sides = [self.bag.known(n) for n in ("core length", "core width") if self.bag.has(n)]
        return [self.bag.known("core mass"), *sides, *self._core_water]

    @cached_property
    def _core_water(self) -> list[Known]:
        if not self.bag.has("core moisture", "moisture"):
            if not self.book.has_moisture:
                return []
            change = Known("change of moisture", 0.0, 0.005, "not read: none assumed")
            return [self._then, change]
        then, now = self.bag.known("core moisture"), self.bag.known("moisture")
        # one meter reads both: what it reads wrong it reads wrong twice, and only steps are left
        u = float(np.hypot(*(reading_uncertainty(KINDS["moisture"].division),) * 2))
        return [then, Known("change of moisture", now.value - then.value, max(u, 0.003), "read")]

    @cached_property
    def _then(self) -> Known:
        if self.bag.has("core moisture"):
            return self.bag.known("core moisture")
        return self.book.moisture

    def core_mass(self, x: Mapping[str, Array]) -> Array:
        """Core of a square metre at its moisture when the piece was weighed."""
        if not self.book.is_cored:
            return 0.0 * x["cloth mass"]
        if not self.bag.has("core mass"):
            return x["core mass"]
        length = x.get("core length", x.get("length"))
        width = x.get("core width", x.get("width"))
        area = self.area(x) if length is None or width is None else length * width
        whole = weighing.weighed_uptake(0.0, x["core mass"], area)
        if "change of moisture" not in x:
            return whole
        then = x["core moisture"]
        return weighing.mass_at_moisture(whole, then, then + x["change of moisture"])

    @cached_property
    def core_thick(self) -> list[Known]:
        """Thickness of the core; nothing for a solid laminate."""
        if not self.book.is_cored:
            return []
        if self.bag.has("core thickness"):
            return [self.bag.known("core thickness")]
        return [self.book.core_thickness]

    @cached_property
    def resin_density(self) -> Known:
        """Of the cured resin: of a button, or by the book."""
        if self.bag.has("resin density"):
            return self.bag.known("resin density")
        return self.book.resin_density

    @cached_property
    def films(self) -> Known:
        """Glue, coats and seal films by the book."""
        return self.book.films

    @cached_property
    def balanced(self) -> list[Known]:
        """Everything that a mass balance starts from."""
        return [*self.weighed, *self.core, self.cloth, self.films]

    def resin(self, x: Mapping[str, Array]) -> Array:
        """All resin but glue and coats."""
        rest = self.core_mass(x) + x["glue and coats"]
        return weighing.resin_by_balance(self.areal_mass(x), rest, x["cloth mass"])

    @cached_property
    def thick(self) -> list[Known]:
        """Everything that a balance of thickness starts from."""
        book = self.book
        if self.bag.has("faces"):
            known = [self.bag.known("faces")]
        elif self.bag.has("thickness"):
            known = [self.bag.known("thickness"), *self.core_thick]
        else:
            return []
        known += [book.film_thickness, book.voids]
        return [*known, self.cloth, book.fibre_density, self.resin_density]

    @staticmethod
    def bare(x: Mapping[str, Array]) -> Array:
        """Thickness of the cloth with its resin: the faces, without glue and coats."""
        faces = x["faces"] if "faces" in x else x["thickness"] - x.get("core thickness", 0.0)
        return faces - x["thickness of glue and coats"]

    def in_faces(self, x: Mapping[str, Array]) -> Array:
        """Resin in the faces, by their thickness."""
        return weighing.resin_by_thickness(
            self.bare(x),
            0.0,
            x["voids"],
            x["cloth mass"],
            x["fibre density"],
            x["resin density"],
        )


def _once(*lists: Sequence[Known]) -> list[Known]:
    """Inputs of a model, each once."""
    return list({known.name: known for of in lists for known in of}.values())


def reduce(readings: Sequence[Reading], book: Book) -> Findings:
    """All findings that some readings allow.

    readings : those that stand. Raises :class:`InputError` for readings that cannot be of this
    panel: lighter than its cloth, thinner than its core.
    """
    work = Reducing(readings, book)
    _refuse_impossible(work)
    found: list[Finding] = []
    closures: list[Closure] = []
    found += _whole(work)
    if book.has_cloth:
        found += _balance(work, closures)
    found += [*_faces(work), *_burnt(work), *_counted(work), *_oven(work), *_later(work)]
    found += _used(work, found)
    found += _on_photos(work, closures)
    gauged, worked = thickness_map(readings), work.bag.worked
    return Findings(tuple(found), gauged, tuple(closures), _missing(work), work.edges, worked)


def _refuse_impossible(work: Reducing) -> None:
    problems = _out_of_order(work.bag)
    if work.weighed and work.bag.has("tare"):
        gross, tare = work.weighed[0].value, work.bag.known("tare").value
        if gross <= tare:
            what = "it weighs no more than what it was weighed in"
            problems.append(Problem(what, f"{gross:g} kg, tare {tare:g} kg", key="mass"))
    if work.weighed and not problems:
        whole = budget(work.areal_mass, work.weighed)
        bare = work.cloth
        if whole.value + TOLD * whole.u < bare.value - TOLD * bare.u:
            what = "the piece weighs less than its cloth alone"
            given = f"{whole.value * 1e3:.0f} g/m2, cloth {bare.value * 1e3:.0f} g/m2"
            hint = "the mass, its unit, and the sides of the piece"
            problems.append(Problem(what, given, hint=hint, key="mass"))
    if work.bag.has("thickness"):
        problems += _too_thin(work)
    if problems:
        raise InputError(problems)


def _too_thin(work: Reducing) -> list[Problem]:
    """A piece thinner than its core, or than its core and its fibre alone."""
    mean = work.bag.known("thickness")
    core = work.core_thick[0] if work.core_thick else Known("core thickness", 0.0)
    fibre = Known("fibre", 0.0)
    if work.book.has_cloth:
        cloth, dense = work.cloth, work.book.fibre_density
        fibre = Known("fibre", cloth.value / dense.value, cloth.u / dense.value)
    most = mean.value + TOLD * mean.u
    for what, least in (
        ("its core", core.value - TOLD * core.u),
        (
            "its core and the bare fibre together" if work.core_thick else "its fibre alone",
            core.value + fibre.value - TOLD * float(np.hypot(core.u, fibre.u)),
        ),
    ):
        if most < least:
            given = f"{mean.value * 1e3:.2f} mm; it cannot be below {least * 1e3:.2f} mm"
            hint = "the thickness, its unit, and the core and cloth of this piece"
            problem = Problem(f"the piece is thinner than {what}", given, hint=hint)
            return [problem.at(key="thickness")]
    return []


#: What cannot weigh less (or count less) than the next: lighter, heavier, and what that would mean.
_ORDER = (
    ("crucible", "crucible and rest", "nothing is left in the crucible"),
    ("crucible and rest", "crucible and piece", "it came heavier out of the furnace"),
    ("dry", "moist", "it came heavier out of the oven"),
)


def _out_of_order(bag: Bag) -> list[Problem]:
    """Weighings that contradict each other."""
    problems = []
    for light, heavy, means in _ORDER:
        if bag.has(light, heavy) and bag.known(light).value >= bag.known(heavy).value:
            given = f"{light} {bag.known(light).value * 1e3:g} g, "
            given += f"{heavy} {bag.known(heavy).value * 1e3:g} g"
            problems.append(Problem(f"{means}: these two do not fit", given, key=heavy))
    if bag.has("in air", "in water", "wire in water"):
        air, water, wire = (bag.known(n).value for n in ("in air", "in water", "wire in water"))
        if water - wire >= air:
            what = "it weighs no less in water than in air"
            given = f"in air {air * 1e3:g} g, in water {water * 1e3:g} g, wire {wire * 1e3:g} g"
            problems.append(Problem(what, given, hint="the wire weighed alone, as deep"))
    if bag.has("hits", "points") and np.max(bag.values("hits")) > bag.values("points")[0]:
        given = f"{np.max(bag.values('hits')):g} of {bag.values('points')[0]:g}"
        problems.append(Problem("more points are hit than the grid has", given, key="hits"))
    return problems


def _whole(work: Reducing) -> list[Finding]:
    found = []
    if work.weighed:
        found.append(_finding("areal mass", "areal_mass", budget(work.areal_mass, work.weighed)))
    if work.bag.has("thickness"):
        known = work.bag.known("thickness")
        whole = budget(lambda x: x["thickness"], [known])
        note = "" if "thickness" in work.bag.by_kind else f"by the {known.source}"
        found.append(_finding("thickness", "thickness", whole, note=note))
        if work.weighed:
            dense = budget(
                lambda x: weighing.bulk_density(work.areal_mass(x), x["thickness"]),
                _once(work.weighed, [known]),
            )
            found.append(_finding("density", "density", dense))
    return found


def _balance(work: Reducing, closures: list[Closure]) -> list[Finding]:
    found = []
    if work.weighed:
        resin = budget(work.resin, work.balanced)
        found.append(_finding("resin by mass", "cloth_mass", resin, zero=True))
        share = budget(
            lambda x: weighing.fibre_mass_fraction(x["cloth mass"], work.resin(x)), work.balanced
        )
        note = "as if all resin lay in the cloth" if work.book.is_cored else ""
        found.append(_finding("fibre mass fraction by mass", "fraction", share, note=note))
    if work.thick:
        found += _by_thickness(work)
    if work.weighed and work.thick:
        both = _once(work.balanced, work.thick)
        found.append(
            _soak(work, both, closures) if work.book.is_cored else _void(work, both, closures)
        )
    return found


def _by_thickness(work: Reducing) -> list[Finding]:
    faces = budget(work.in_faces, work.thick)
    share = budget(
        lambda x: weighing.fibre_mass_fraction(x["cloth mass"], work.in_faces(x)), work.thick
    )
    volume = budget(
        lambda x: fractions.fibre_volume_fraction(
            x["cloth mass"],
            x["fibre density"],
            work.bare(x),
        ),
        work.thick,
    )
    return [
        _finding("resin in the faces", "cloth_mass", faces, zero=True),
        _finding("fibre mass fraction by thickness", "fraction", share),
        _finding("fibre volume fraction", "fraction", volume),
    ]


def _soak(work: Reducing, both: list[Known], closures: list[Closure]) -> Finding:
    def model(x: Mapping[str, Array]) -> Array:
        return weighing.resin_elsewhere(work.resin(x), work.in_faces(x))

    soak = budget(model, both)
    said = work.book.known("soak", lambda x: np.sum(x["soak"] + x["fill_resin"], axis=-1))
    u = float(np.hypot(soak.u, said.u))
    says = "resin by mass, less what the thickness of the faces holds, against the usual soak"
    closures.append(Closure(says, soak.value - said.value, u, "cloth_mass"))
    return _finding("soak", "cloth_mass", soak, zero=True)


def _void(work: Reducing, both: list[Known], closures: list[Closure]) -> Finding:
    def model(x: Mapping[str, Array]) -> Array:
        bare = fractions.ply_thickness(
            x["cloth mass"], work.resin(x), x["fibre density"], x["resin density"]
        )
        return weighing.voids_by_thickness(bare, work.bare(x))

    void = budget(model, [known for known in both if known.name != "voids"])
    usual = work.book.voids
    u = float(np.hypot(void.u, usual.u))
    says = "cloth mass, mass and thickness against the usual voids"
    closures.append(Closure(says, void.value - usual.value, u, "fraction"))
    note = (
        "negative, as measured: one of the readings or densities is off" if void.value < 0 else ""
    )
    return _finding("voids by thickness", "fraction", void, zero=True, note=note)


def _faces(work: Reducing) -> list[Finding]:
    names = [name for name in ("outside face", "inside face") if work.bag.has(name)]
    return [
        _finding(
            name,
            "thickness",
            budget(lambda x, n=name: x[n], [work.bag.known(name)]),  # type: ignore[misc]
        )
        for name in names
    ]


def _burnt(work: Reducing) -> list[Finding]:
    found: list[Finding] = []
    hung = ("in air", "in water", "wire in water")
    immersed: list[Known] = []
    if work.bag.has(*hung):
        water = work.bag.known("water density") if work.bag.has("water density") else WATER
        immersed = [*(work.bag.known(name) for name in hung), water]
        dense = budget(_density, immersed)
        found.append(_finding("density by immersion", "density", dense))
    ovens = ("crucible", "crucible and piece", "crucible and rest")
    if not (work.bag.has(*ovens) and work.book.has_cloth):
        return found
    loss = work.bag.known("cloth loss") if work.bag.has("cloth loss") else Known("cloth loss", 0.0)
    burnt = [*(work.bag.known(name) for name in ovens), loss]
    share = budget(_residue, burnt)
    found.append(_finding("fibre mass fraction by burn-off", "fraction", share))
    if immersed:
        dense_of = [work.book.fibre_density, work.resin_density]
        both = _once(burnt, immersed, dense_of)
        found.append(_finding("voids by burn-off", "fraction", budget(_voids, both), zero=True))
        found.append(
            _finding("fibre volume fraction by burn-off", "fraction", budget(_volume, both))
        )
    return found


def _density(x: Mapping[str, Array]) -> Array:
    return weighing.density_by_immersion(
        x["in air"], x["in water"], x["wire in water"], x["water density"]
    )


def _residue(x: Mapping[str, Array]) -> Array:
    return weighing.fibre_by_burn_off(
        x["crucible and rest"], x["crucible"], x["crucible and piece"], x["cloth loss"]
    )


def _voids(x: Mapping[str, Array]) -> Array:
    theory = fractions.void_free_density(_residue(x), x["fibre density"], x["resin density"])
    return fractions.void_fraction(_density(x), theory)


def _volume(x: Mapping[str, Array]) -> Array:
    return weighing.constituent_volume_fraction(_residue(x), _density(x), x["fibre density"])


# A cut edge --------------------------------------------------------------------------------------


def edges_of(readings: Sequence[Reading], book: Book) -> tuple[Edge, ...]:
    """What the marks on photos come to. Raises :class:`InputError` for marks that cannot be."""
    photos = photos_of(readings, book.laid_count)
    names = [f", photo {one.name}" if len(photos) > 1 and one.name else "" for one in photos]
    return tuple(_edge(photo, book, name) for photo, name in zip(photos, names, strict=True))


def _edge(photo: Photo, book: Book, name: str) -> Edge:
    """``name`` : what tells its findings from those of another photo."""
    if photo.missing:
        return Edge(photo)
    last = book.laid_count
    whole = photo.span(0, last) if {0, last} <= set(photo.boundaries) else None
    return Edge(
        photo,
        tuple(_edge_layer(span, book, _layers(span) + name) for span in photo.spans()),
        None if whole is None else _edge_layer(whole, book, f"thickness at the edge{name}"),
    )


def _layers(span: Span) -> str:
    if span.first == span.last:
        return f"layer {span.first} at the edge"
    return f"layers {span.first} to {span.last} at the edge"


def _edge_layer(span: Span, book: Book, name: str) -> EdgeLayer:
    note = "" if span.places > 1 else "one place: how it scatters is not known"
    found = _finding(name, "thickness", span.thickness, note=note)
    predicted = book.thickness_of(span.first, span.last)
    return EdgeLayer(span.first, span.last, found, span.places, *predicted)


def known_of(readings: Sequence[Reading], edges: Sequence[Edge], book: Book) -> dict[str, Known]:
    """What edges stand in for: the whole thickness where nothing was gauged, and the two faces.

    Of several photos the surest. Faces gauged by themselves at a sawn edge come before a photo.
    """
    found = {}
    wholes = [edge.whole.found for edge in edges if edge.whole is not None]
    if wholes:
        best = min(wholes, key=lambda one: one.u)
        found["thickness"] = Known("thickness", best.value, best.u, ON_PHOTO)
    faces = _gauged_faces(readings) or _faces_on_photos(edges, book)
    if faces is not None and book.is_cored:
        found["faces"] = faces
    return found


def _gauged_faces(readings: Sequence[Reading]) -> Known | None:
    """Both faces together, gauged at a sawn edge."""
    bag = Bag(tuple(readings))
    if not bag.has("outside face", "inside face"):
        return None
    known = [bag.known("outside face"), bag.known("inside face")]
    both = budget(lambda x: x["outside face"] + x["inside face"], known)
    return Known("faces", both.value, both.u, "read")


def _faces_on_photos(edges: Sequence[Edge], book: Book) -> Known | None:
    """Both faces together on the surest photo that shows the core between them."""
    if book.core_laid is None:
        return None
    first, last = book.core_laid
    core = (first - 1, last)
    found = [
        faces
        for edge in edges
        if edge.whole is not None and set(core) <= set(edge.photo.boundaries)
        if (faces := edge.photo.faces(core, book.laid_count)) is not None
    ]
    best = min(found, key=lambda one: one.u, default=None)
    return None if best is None else Known("faces", best.value, best.u, ON_PHOTO)


def _on_photos(work: Reducing, closures: list[Closure]) -> list[Finding]:
    found = []
    for edge in work.edges:
        found += [layer.found for layer in edge.layers]
        if edge.whole is None:
            continue
        whole = edge.whole.found
        found += [whole] if len(edge.layers) > 1 else []
        if "thickness" in work.bag.by_kind:
            gauged = work.bag.known("thickness")
            u = float(np.hypot(gauged.u, whole.u))
            says = "thickness as gauged against the photo of the cut edge"
            closures.append(Closure(says, gauged.value - whole.value, u, "thickness"))
    return found


def _counted(work: Reducing) -> list[Finding]:
    if not work.bag.has("hits", "points"):
        return []
    hits, points = work.bag.values("hits"), float(work.bag.values("points")[0])
    mean = float(weighing.counted_fraction(hits, points))
    if len(hits) < 2:
        return [Finding("voids by counting", mean, 0.0, "fraction", note="one field: no scatter")]
    scatter = float(np.std(hits / points, ddof=1))
    u = float(mean_uncertainty(scatter, len(hits), 0.0))
    half = 100.0 * float(half_width_95(scatter, len(hits)))
    note = f"{len(hits)} fields; 95 % within {half:.2g} points of percent"
    return [Finding("voids by counting", mean, u, "fraction", None, (), mean > TOLD * u, note)]


def _oven(work: Reducing) -> list[Finding]:
    if not work.bag.has("moist", "dry"):
        return []
    known = [work.bag.known("moist"), work.bag.known("dry")]
    found = budget(lambda x: weighing.oven_dry_moisture(x["moist"], x["dry"]), known)
    return [_finding("moisture by oven", "fraction", found)]


def _later(work: Reducing) -> list[Finding]:
    """What changed between the first weighing and the last."""
    masses = work.bag.by_kind.get("mass", ())
    if len(masses) < 2 or not work.sides:
        return []
    first, last = (Bag((one,)).known("mass") for one in (masses[0], masses[-1]))
    known = [
        Known("first mass", first.value, first.u, "read"),
        Known("last mass", last.value, last.u, "read"),
        *work.sides,
    ]
    change = budget(
        lambda x: weighing.weighed_uptake(x["first mass"], x["last mass"], work.area(x)), known
    )
    found = [_finding("change since the first weighing", "cloth_mass", change, zero=True)]
    if work.book.has_moisture:
        core, then = work.book.core, work._then

        def moved(x: Mapping[str, Array]) -> Array:
            took = weighing.weighed_uptake(x["first mass"], x["last mass"], work.area(x))
            return took / weighing.mass_at_moisture(x["core mass"], x["core moisture"], 0.0)

        water = budget(moved, [*known, core, then])
        note = "if all of it is water in the core"
        found.append(_finding("change of moisture", "fraction", water, zero=True, note=note))
    return found


def _used(work: Reducing, found: list[Finding]) -> list[Finding]:
    """Resin that was mixed and does not lie in the piece."""
    resin = next((one for one in found if one.name == "resin by mass"), None)
    if resin is None or not work.bag.has("resin mixed") or work.bag.unweighed_pots:
        return []
    mixed = work.bag.known("resin mixed")
    if mixed.value == 0.0:
        return []
    known = _once([mixed], work.balanced)

    def model(x: Mapping[str, Array]) -> Array:
        used = weighing.weighed_uptake(0.0, x["resin mixed"], work.area(x))
        return weighing.resin_elsewhere(used, work.resin(x) + x["glue and coats"])

    return [_finding("resin mixed and not in it", "cloth_mass", budget(model, known), zero=True)]


def thickness_map(readings: Sequence[Reading]) -> ThicknessMap | None:
    """Thickness over a piece; None where it was not gauged."""
    points = tuple((one.at, one.value) for one in readings if one.what == "thickness")
    if not points:
        return None
    values = np.array([value for _, value in points])
    many = len(values) > 1
    scatter = float(np.std(values, ddof=1)) if many else None
    half = float(half_width_95(scatter, len(values))) if scatter is not None else None
    return ThicknessMap(
        points, float(values.mean()), scatter, float(values.min()), float(values.max()), half
    )


def _missing(work: Reducing) -> tuple[str, ...]:
    """What would tell more, in words."""
    said: list[str] = []
    if not work.weighed:
        said.append("mass, length and width, for what a square metre weighs")
    if not work.bag.has("thickness"):
        said.append("thickness at nine points, to tell resin in the faces from soak and voids")
    if work.book.has_cloth and not work.bag.has("cloth"):
        said.append("the cloth weighed dry: the book's mass of it may be 5 % off")
    if pots := work.bag.unweighed_pots:
        said.append(f"what was mixed in {pots} more {'pots' if pots > 1 else 'pot'}")
    said += [
        f"{edge.photo.missing}, for the photo of the cut edge"
        for edge in work.edges
        if edge.photo.missing
    ]
    if work.bag.has("hits") and not work.bag.has("points"):
        said.append("points, how many the grid has in each field")
    if work.book.is_cored and not work.bag.has("core mass"):
        said.append("the core weighed and gauged before the build: nobody can do it afterwards")
    return tuple(said)
