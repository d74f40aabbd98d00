"""Cloth: what the words mean, which plies it has, and how much resin it will hold."""

from __future__ import annotations

import re
from dataclasses import dataclass

from panelwright import units
from panelwright.errors import Problem, UnitError, UnknownName
from panelwright.materials.catalogue import Catalogue
from panelwright.materials.records import Row
from panelwright.panels.layers import ClothLayer
from panelwright.panels.laying import Laid
from panelwright.panels.resolve.context import Context, given, share_of
from panelwright.panels.resolve.words import longest, tokens
from panelwright.panels.stack import StackLayer
from panelwright.provenance import Evidence, Input, Scope
from panelwright.units import Quantity

DEFAULT_FIBRE = "e_glass"
THREAD = "polyester_fibre"
#: Half of the 90 % range of a nominal cloth mass, and of one that was weighed.
NOMINAL_MASS, WEIGHED_MASS = 0.05, 0.01
#: Two masses of one kind of cloth that differ by less than this are the same cloth.
SAME_CLOTH = 0.02
#: Half of the 90 % range of a fibre fraction that was written without one.
PLANNED_FRACTION = 0.03
#: A bare number in the words of a cloth is g/m2 from here on; below it, nothing.
LEAST_BARE = 15.0

_MASS = re.compile(
    r"(?P<number>\d+\s+\d+/\d+|\d+/\d+|\d+(?:\.\d+)?)\s*"
    r"(?P<unit>gsm|g\s*/\s*(?:m2|m\^2|m²|sqm)|kg\s*/\s*(?:m2|m\^2|m²)"
    r"|oz\s*/\s*(?:yd|sqyd|ft|sqft)(?:2|\^2|²)?|oz|g)?(?=$|[\s,])"
)


@dataclass(frozen=True)
class Cloth:
    """What the words of a cloth mean."""

    name: str
    fibre: Row
    form: Row
    mass: Quantity
    stocked: Row | None
    plies: tuple[tuple[str, float], ...]  # angle text (or "random") and share, from the marked face


def read_plies(text: str) -> tuple[tuple[str, float], ...]:
    """``+45:0.5 -45:0.5`` as pairs of angle and share."""
    pairs = (part.split(":") for part in text.split())
    return tuple((angle, float(share)) for angle, share in pairs)


def _unknown(text: str, catalogue: Catalogue, what: str) -> UnknownName:
    names = catalogue.table("cloths").like(text)
    problem = Problem(
        f"{text!r} is not a cloth that is known: {what}",
        text,
        "fibre, kind of cloth and mass, such as 'E-glass biaxial 300 g/m2'",
        " or ".join(repr(name) for name in names),
    )
    return UnknownName(problem, names)


def _mass_in(text: str, is_mat: bool) -> tuple[Quantity | None, str]:
    """The mass in the words and the words without it. Cloth goes by oz/yd2, mat by oz/ft2."""
    for match in _MASS.finditer(text):
        number, unit = match["number"], re.sub(r"\s+", "", match["unit"] or "")
        if not unit and units.parse(number, "ratio").value < LEAST_BARE:
            continue
        unit = {"": "g/m2", "g": "g/m2", "oz": "oz/ft2" if is_mat else "oz/yd2"}.get(unit, unit)
        unit = re.sub(r"sq(yd|ft|m)", r"\g<1>2", unit)
        unit = re.sub(r"(yd|ft)$", r"\g<1>2", unit)
        return units.parse(f"{number} {unit}", "cloth_mass"), text[: match.start()] + text[
            match.end() :
        ]
    return None, text


def read_cloth(text: str, catalogue: Catalogue) -> Cloth:
    """What a builder means by the words of a cloth: "biax 300", "carbon twill 200 g/m2".

    Raises :class:`UnknownName` where fibre, form or mass cannot be told.
    """
    stocked = catalogue.table("cloths").get(text)
    return _from_words(text, catalogue) if stocked is None else _stocked(stocked, catalogue)


def _stocked(row: Row, catalogue: Catalogue) -> Cloth:
    form = catalogue.table("cloth_forms").row(row.text("form"))
    fibre = catalogue.table("fibres").row(row.text("fibre"))
    found = row.input("areal_mass")
    mass = Quantity(found.value, found.low, found.high, row.name, True)
    return Cloth(_name(fibre, form, mass), fibre, form, mass, row, read_plies(row.text("plies")))


def _name(fibre: Row, form: Row, mass: Quantity) -> str:
    return f"{fibre.name} {form.name} {units.show(mass.value, 'cloth_mass')}"


def _from_words(text: str, catalogue: Catalogue) -> Cloth:
    forms, fibres = list(catalogue.table("cloth_forms")), list(catalogue.table("fibres"))
    is_mat = bool(set(tokens(text)) & {"mat", "csm", "strand"})
    try:
        mass, rest = _mass_in(text, is_mat)
    except UnitError as wrong:
        raise UnknownName(wrong.problems[0]) from None
    fibre_found = longest(fibres, tokens(rest))
    fibre, words = fibre_found or (catalogue.table("fibres").row(DEFAULT_FIBRE), tokens(rest))
    form_found = longest(forms, words)
    if form_found is None:
        raise _unknown(text, catalogue, "the kind of cloth is missing")
    form, left = form_found
    left = [word for word in left if word not in _FILL_WORDS]
    if left:
        raise _unknown(text, catalogue, f"{' '.join(left)!r} says nothing to me")
    if mass is None:
        raise _unknown(text, catalogue, "its mass is missing")
    return _cloth_of(fibre, form, mass, catalogue)


_FILL_WORDS = frozenset(
    {"cloth", "fabric", "fibre", "fiber", "glass", "stitched", "of", "a", "layer"}
)


def _cloth_of(fibre: Row, form: Row, mass: Quantity, catalogue: Catalogue) -> Cloth:
    table = catalogue.table("cloths")
    stocked = table.nearest("areal_mass", mass.value, fibre=fibre.id, form=form.id)
    if stocked is not None and not _same_mass(stocked, mass.value):
        stocked = None
    return Cloth(
        _name(fibre, form, mass),
        fibre,
        form,
        mass,
        stocked,
        read_plies((stocked or form).text("plies")),
    )


def _same_mass(row: Row, mass: float) -> bool:
    """Whether a stocked cloth is the one meant: its nominal mass within 2 %."""
    return abs((row.number("areal_mass") or 0.0) / mass - 1.0) < SAME_CLOTH


def _fraction(context: Context, cloth: Cloth, layer: ClothLayer, laid: Laid) -> dict[str, Input]:
    """The inputs that say how much of the layer is fibre: as given, gauged, or by process."""
    cause = f"fibre fraction of {laid.place}"
    if layer.thickness is not None:
        return {"gauged_thickness": given(layer.thickness, f"gauged {cause}", relative=0.02)}
    if layer.fibre_volume_fraction is not None:
        wanted = given(layer.fibre_volume_fraction, cause, half_width=PLANNED_FRACTION)
        return {"fibre_volume_given": wanted}
    if layer.fibre_mass_fraction is not None:
        wanted = given(layer.fibre_mass_fraction, cause, half_width=PLANNED_FRACTION)
        return {"fibre_mass_fraction": wanted}
    return {"fibre_mass_fraction": _by_process(context, cloth)}


def _by_process(context: Context, cloth: Cloth) -> Input:
    rows = context.catalogue.table("fibre_fractions").where(
        fibre_group=cloth.fibre.text("fibre_group"),
        fraction_group=cloth.form.text("fraction_group"),
        process=context.process.id,
    )
    if not rows:
        raise UnknownName(
            Problem(
                f"how much resin {cloth.name} holds by {context.process.name} is not known",
                hint="give fibre_mass_fraction, fibre_volume_fraction or a gauged thickness",
            )
        )
    cause = f"fibre fraction reached by {context.process.name}"
    return rows[0].input("fibre_mass_fraction", cause=cause, scope=Scope.PROCESS)


def _mass_input(cloth: Cloth, layer: ClothLayer) -> Input:
    cause = f"mass of {cloth.name}"
    if layer.areal_mass is not None:
        return given(layer.areal_mass, cause, scope=Scope.MATERIAL, relative=WEIGHED_MASS)
    if cloth.stocked is not None and cloth.mass.has_range:
        return cloth.stocked.input("areal_mass", cause=cause)
    return given(cloth.mass, cause, scope=Scope.MATERIAL, relative=NOMINAL_MASS)


def _thread(context: Context, cloth: Cloth) -> dict[str, Input]:
    row = cloth.stocked or cloth.form
    if not row.number("stitch_mass"):
        return {}
    thread = context.catalogue.table("fibres").row(THREAD)
    return {
        "thread_mass": row.input("stitch_mass", cause=f"thread of {cloth.name}"),
        "thread_density": thread.input("density", cause="density of the thread"),
    }


#: Water that plant fibre still holds when it is laid after drying, fraction of the dry mass.
DRIED_FLAX = (0.02, 0.005, 0.06)


def _moisture(context: Context, cloth: Cloth, layer: ClothLayer) -> dict[str, Input]:
    cause = f"moisture of {cloth.fibre.name}"
    if layer.moisture is not None:
        return {"cloth_moisture": given(layer.moisture, cause, half_width=0.01)}
    if cloth.fibre.text("fibre_group") != "flax":
        return {}
    context.doubt(
        f"{cloth.name}: plant fibre takes up 8 to 10 % of water from the air; taken as dried to "
        f"2 %. Dry it for an hour at 105 °C, or say `moisture = ...`."
    )
    middle, low, high = DRIED_FLAX
    source = "dried before use, common practice"
    return {
        "cloth_moisture": Input(middle, low, high, source, Evidence.PRACTICE, cause, Scope.PROCESS)
    }


def _voids(context: Context, layer: ClothLayer, laid: Laid) -> Input:
    if layer.void_fraction is not None:
        return given(layer.void_fraction, f"voids of {laid.place}")
    return context.process.input("void_fraction", cause="voids", scope=Scope.PROCESS)


def _angles(cloth: Cloth, roll: float, turned: bool) -> list[tuple[float | None, float]]:
    """Angle and share of each ply from the outside in; None for random fibre.

    Turned over, the order is reversed and angles change sign about the roll.
    """
    if cloth.form.text("construction") == "woven":
        return [(roll, 1.0)]
    sign = -1.0 if turned else 1.0
    plies = [
        (None if angle == "random" else roll + sign * float(angle), share)
        for angle, share in cloth.plies
    ]
    return plies[::-1] if turned else plies


def _resin_row(context: Context, layer: ClothLayer) -> Row:
    return context.resin if layer.resin is None else context.catalogue.find("resins", layer.resin)


def resolve_cloth(context: Context, laid_all: list[Laid], number: int) -> list[StackLayer]:
    """The plies of one cloth, from the outside in."""
    laid = laid_all[number]
    layer = laid.layer
    assert isinstance(layer, ClothLayer)
    cloth = read_cloth(layer.cloth, context.catalogue)
    resin = _resin_row(context, layer)
    mass = _mass_input(cloth, layer)
    thread = _thread(context, cloth)
    common = {
        "fibre_density": cloth.fibre.input("density", cause=f"density of {cloth.fibre.name}"),
        "resin_density": resin.input("density_cured", cause=f"density of {resin.name}"),
        "void_fraction": _voids(context, layer, laid),
        **_fraction(context, cloth, layer, laid),
        **_moisture(context, cloth, layer),
    }
    roll = 0.0 if layer.angle is None else layer.angle.value
    found = []
    for angle, share in _angles(cloth, roll, laid.turned):
        inputs = {**common, "fibre_mass": share_of(mass, share, cloth.name)}
        if "gauged_thickness" in common:
            inputs["gauged_thickness"] = share_of(
                common["gauged_thickness"], share, "the gauged layer"
            )
        if thread:
            inputs["thread_mass"] = share_of(thread["thread_mass"], share, "its thread")
            inputs["thread_density"] = thread["thread_density"]
        found.append(
            StackLayer(
                layer.name or cloth.name,
                "cloth",
                number,
                inputs,
                angle,
                cloth.form.text("construction"),
                resin=resin.name,
            )
        )
    return found
