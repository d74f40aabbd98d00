"""Cloth: what the words mean, which plies it has, and how much resin it will hold."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from functools import lru_cache

from panelwright import units
from panelwright.errors import Problem, UnitError, UnknownName
from panelwright.materials.catalogue import Catalogue
from panelwright.materials.records import Row
from panelwright.panels.layers import ClothLayer
from panelwright.panels.laying import Laid
from panelwright.panels.resolve.context import Context, given, share_of
from panelwright.panels.resolve.stiffness import angle_input, cloth_stiffness, random_ply
from panelwright.panels.resolve.strength import ply_strength
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
#: A mass given apart that differs by more than this from the one in the name is suspicious.
OTHER_CLOTH = 0.25
#: Half of the 90 % range of a fibre fraction that was written without one.
PLANNED_FRACTION = 0.03
#: A bare number in the words of a cloth is g/m2 from here on; below it, nothing.
LEAST_BARE = 15.0

#: The least and the most that a square metre of cloth weighs, kg.
LIGHTEST, HEAVIEST = 0.008, 6.0

_MASS = re.compile(
    r"(?<!\S)(?P<number>\d+\s+\d+/\d+|\d+/\d+|\d+(?:\.\d+)?)\s*"
    r"(?P<unit>gsm|g\s*/\s*(?:m2|m\^2|m²|sqm)|kg\s*/\s*(?:m2|m\^2|m²)"
    r"|oz\s*/\s*(?:yd|sqyd|ft|sqft)(?:2|\^2|²)?|oz|g)?(?!\S)"
)


@dataclass(frozen=True)
class Ply:
    """One direction of a cloth; ``fibre`` is empty where it is that of the cloth."""

    angle: float | None  # degrees from the roll; None at random
    share: float
    fibre: str = ""


@dataclass(frozen=True)
class Cloth:
    """What the words of a cloth mean."""

    name: str
    fibre: Row
    form: Row
    mass: Quantity
    stocked: Row | None
    plies: tuple[Ply, ...]  # from the marked face

    @property
    def kind(self) -> str:
        """Fibre and form without the mass: what the causes of a cloth are named by."""
        return f"{self.fibre.name} {self.form.name}"


def read_plies(text: str) -> tuple[Ply, ...]:
    """``+45:0.5 -45:0.5`` as plies: angle (or ``random``), share, and another fibre if any.

    The cross yarn of a carbon tape is glass: ``0:0.97 90:0.03:e_glass``.
    """
    return tuple(_ply(*part.split(":")) for part in text.split())


def _ply(angle: str, share: str, fibre: str = "") -> Ply:
    return Ply(None if angle == "random" else float(angle), float(share), fibre)


def _unknown(
    text: str, catalogue: Catalogue, what: str, stocked: tuple[Row, ...] = ()
) -> UnknownName:
    """Why a cloth is not understood, with up to three that are: of those stocked, else alike."""
    names = tuple(row.name for row in stocked[:3]) or catalogue.table("cloths").like(text)
    problem = Problem(
        f"{text!r} is not a cloth that is known: {what}",
        text,
        "fibre, kind of cloth and mass, such as 'E-glass biaxial 300 g/m2'",
        " or ".join(repr(name) for name in names),
    )
    return UnknownName(problem, names)


def _mass_in(words: list[str], ounce: str) -> tuple[Quantity | None, list[str]]:
    """The mass among the words and the words without it. ``ounce``: what a bare oz stands for."""
    text = " ".join(words)
    for match in _MASS.finditer(text):
        number, unit = match["number"], re.sub(r"\s+", "", match["unit"] or "")
        if not unit and units.parse(number, "ratio").value < LEAST_BARE:
            continue
        unit = {"": "g/m2", "g": "g/m2", "oz": ounce}.get(unit, unit)
        if not unit:
            continue
        unit = re.sub(r"sq(yd|ft|m)", r"\g<1>2", unit)
        unit = re.sub(r"(yd|ft)$", r"\g<1>2", unit)
        rest = text[: match.start()] + text[match.end() :]
        return units.parse(f"{number} {unit}", "cloth_mass"), rest.split()
    return None, words


def read_cloth(text: str, catalogue: Catalogue, weighed: Quantity | None = None) -> Cloth:
    """What a builder means by the words of a cloth: "biax 300", "carbon twill 200 g/m2".

    weighed : the mass of the cloth where it is given apart; the words need not say it then.
    Raises :class:`UnknownName` where fibre, form or mass cannot be told.
    """
    stocked = catalogue.table("cloths").get(text)
    if stocked is None:
        return _from_words(text, catalogue, weighed)
    return _stocked(stocked, catalogue)


def _stocked(row: Row, catalogue: Catalogue) -> Cloth:
    form = catalogue.table("cloth_forms").row(row.text("form"))
    fibre = catalogue.table("fibres").row(row.text("fibre"))
    found = row.input("areal_mass")
    mass = Quantity(found.value, found.low, found.high, row.name, True)
    return Cloth(_name(fibre, form, mass), fibre, form, mass, row, read_plies(row.text("plies")))


def _name(fibre: Row, form: Row, mass: Quantity) -> str:
    return f"{fibre.name} {form.name} {units.show(mass.value, 'cloth_mass')}"


@lru_cache(maxsize=512)
def _from_words(text: str, catalogue: Catalogue, weighed: Quantity | None) -> Cloth:
    forms, fibres = catalogue.table("cloth_forms"), catalogue.table("fibres")
    fibre, words = longest(fibres, tokens(text)) or (fibres.row(DEFAULT_FIBRE), tokens(text))
    form_found = longest(forms, words)
    if form_found is None:
        raise _unknown(text, catalogue, "the kind of cloth is missing")
    form, words = form_found
    words = _without_names(form, words)
    try:
        mass, left = _mass_in(words, _ounce(form))
    except UnitError as wrong:
        raise UnknownName(wrong.problems[0]) from None
    left = [word for word in left if word not in _FILL_WORDS]
    stocked = catalogue.table("cloths").where(fibre=fibre.id, form=form.id)
    if "oz" in left:
        raise _unknown(text, catalogue, _OUNCES_OF_TWO, stocked)
    if left:
        raise _unknown(text, catalogue, f"{' '.join(left)!r} says nothing to me")
    mass = mass or weighed
    if mass is None:
        raise _unknown(text, catalogue, "its mass is missing", stocked)
    if not LIGHTEST <= mass.value <= HEAVIEST:
        raise _unknown(text, catalogue, f"no cloth weighs {mass.text}", stocked)
    return _cloth_of(fibre, form, mass, catalogue)


def _without_names(form: Row, words: list[str]) -> list[str]:
    """The words less those that only name the form once more, as the ±45 of "biax ±45"."""
    spoken = {token for name in (form.name, *form.aliases) for token in tokens(name)}
    return [word for word in words if word not in spoken]


def _ounce(form: Row) -> str:
    """What an ounce of a cloth is: by the square yard, of mat by the square foot.

    A cloth with mat stitched to it is sold by both at once, so a bare ounce says neither.
    """
    return {"mat": "oz/ft2", "combination": ""}.get(form.text("construction"), "oz/yd2")


_OUNCES_OF_TWO = (
    "the ounces of the stitched cloth are by the square yard and those of its mat by the square "
    "foot; say g/m2 of both together"
)
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


def _fraction(context: Context, cloth: Cloth, layer: ClothLayer) -> dict[str, Input]:
    """The inputs that say how much of the layer is fibre: as given, gauged, or by process."""
    cause = f"fibre fraction of {cloth.kind}"
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
    cause = f"mass of {cloth.kind}"
    if layer.areal_mass is not None:
        return given(layer.areal_mass, cause, scope=Scope.MATERIAL, relative=WEIGHED_MASS)
    if cloth.stocked is not None and cloth.mass.has_range:
        return cloth.stocked.input("areal_mass", cause=cause)
    return given(cloth.mass, cause, scope=Scope.MATERIAL, relative=NOMINAL_MASS)


def _doubt_mass(context: Context, cloth: Cloth, layer: ClothLayer) -> None:
    """Say so where the mass given apart is not that of the cloth named."""
    given_mass = layer.areal_mass
    if given_mass and abs(given_mass.value / cloth.mass.value - 1.0) > OTHER_CLOTH:
        context.doubt(
            f"{cloth.name} is given as {given_mass.text}: that is another cloth, or a slip; "
            f"{given_mass.text} is taken"
        )


def _thread(context: Context, cloth: Cloth) -> dict[str, Input]:
    row = cloth.stocked or cloth.form
    if not row.number("stitch_mass"):
        return {}
    thread = context.catalogue.table("fibres").row(THREAD)
    return {
        "thread_mass": row.input("stitch_mass", cause=f"thread of {cloth.kind}"),
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


def _voids(context: Context, cloth: Cloth, layer: ClothLayer) -> Input:
    if layer.void_fraction is not None:
        return given(layer.void_fraction, f"voids of {cloth.kind}")
    return context.process.input("void_fraction", cause="voids", scope=Scope.PROCESS)


def _warp_share(layer: ClothLayer) -> float:
    """Share of a woven cloth's fibre along its roll: half, unless the label says otherwise."""
    if layer.directions is None:
        return 0.5
    return sum(share for angle, share in layer.directions.plies if angle == 0.0)


def _roll(layer: ClothLayer) -> float:
    """Direction of the roll, degrees from the length."""
    return 0.0 if layer.angle is None else layer.angle.value


def _directions(cloth: Cloth, layer: ClothLayer, turned: bool) -> list[Ply]:
    """The plies from the outside in, their angles from x and seen from outside.

    Turned over, the order is reversed and angles change sign about the roll.
    """
    roll = _roll(layer)
    own = cloth.plies
    if layer.directions is not None:
        own = tuple(Ply(angle, share) for angle, share in layer.directions.plies)
    if cloth.form.text("construction") == "woven":
        return [Ply(roll, 1.0)]
    sign = -1.0 if turned else 1.0
    plies = [
        replace(ply, angle=None if ply.angle is None else roll + sign * ply.angle) for ply in own
    ]
    return plies[::-1] if turned else plies


def _resin_row(context: Context, layer: ClothLayer, laid: Laid) -> Row:
    if layer.resin is None:
        return context.resin
    return context.row("resins", layer.resin, (*laid.path, "resin"), context.resin)


def resolve_cloth(context: Context, laid_all: list[Laid], number: int) -> list[StackLayer]:
    """The plies of one cloth, from the outside in."""
    laid = laid_all[number]
    layer = laid.layer
    assert isinstance(layer, ClothLayer)
    cloth = read_cloth(layer.cloth, context.catalogue, layer.areal_mass)
    _doubt_mass(context, cloth, layer)
    resin = _resin_row(context, layer, laid)
    mass = _mass_input(cloth, layer)
    thread = _thread(context, cloth)
    common = {
        "resin_density": resin.input("density_cured", cause=f"density of {resin.name}"),
        "void_fraction": _voids(context, cloth, layer),
        **_fraction(context, cloth, layer),
        **_moisture(context, cloth, layer),
    }
    found = []
    for ply in _directions(cloth, layer, laid.turned):
        share, angle = ply.share, ply.angle
        own = ply.fibre or cloth.fibre.id
        fibre = context.catalogue.table("fibres").row(own)
        inputs = {
            **common,
            "fibre_mass": share_of(mass, share, cloth.name),
            "fibre_density": fibre.input("density", cause=f"density of {fibre.name}"),
            **cloth_stiffness(fibre, cloth.form, resin, _warp_share(layer)),
            **ply_strength(context, fibre, cloth.form, resin, share, angle is None),
        }
        if angle is None:
            inputs |= random_ply()
        else:
            inputs["angle"] = angle_input(angle, "cloth", f"{cloth.kind} laid at {_roll(layer):g}°")
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
                cloth.fibre.text("fibre_group"),
                resin=resin.name,
                material=cloth.name,
            )
        )
    return found
