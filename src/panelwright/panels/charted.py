"""What panels are charted by: each property with its name, and how it grows with the thickness."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace

from panelwright.panels.records import FIRST, ULTIMATE, LayerRecord, Prediction
from panelwright.panels.spread import Ranged

#: What stands between the faces, by which a mark gets its shape.
LAMINATE, TIMBER, PLYWOOD = "solid laminate", "timber", "plywood"
FOAM, HONEYCOMB, OTHER = "foam", "honeycomb", "another core"
#: What a known solid of one stuff is.
SHEET = "solid sheet"

SIZE, BENT, PULLED, STRONG = "Size and mass", "Bent", "Pulled and sheared", "Strength"
MATERIAL, FOR_MASS, MORE = "As if it were solid", "For its mass", "Money and warmth"


@dataclass(frozen=True)
class Property:
    """One property of a panel: ``dimension`` of ``units``, or how its unit is told.

    ``power`` : how it grows with the thickness of a plate of one material: EI with its cube, what
    is of the material alone with nought. ``group`` : under what it is listed.
    """

    key: str
    name: str
    dimension: str
    power: float
    group: str


def _ways(
    key: str, name: str, dimension: str, power: float, group: str, tail: str = ""
) -> Iterator[Property]:
    for way in ("along", "across"):
        yield Property(f"{key}_{way}{tail}", name.format(way), dimension, power, group)


def _properties() -> Iterator[Property]:
    yield Property("thickness", "Thickness", "thickness", 1.0, SIZE)
    yield Property("areal_mass", "Mass per area", "areal_mass", 1.0, SIZE)
    yield Property("density", "Density of the whole", "density", 0.0, SIZE)
    yield Property("resin_to_mix", "Resin to mix", "cloth_mass", 1.0, SIZE)
    yield from _ways("stiffness", "Bending stiffness {}", "moment", 3.0, BENT)
    for tail, word in (("first", "first damage"), ("ultimate", "the end")):
        name = f"Moment {{}} at {word}"
        yield from _ways("moment", name, "width_moment", 2.0, STRONG, f"_{tail}")
    yield from _ways("shear", "Core shear {}", "line_load", 1.0, STRONG)
    for tail, word in (("first", "first damage"), ("ultimate", "the end")):
        yield from _ways("pull", f"Pull {{}} at {word}", "line_load", 1.0, STRONG, f"_{tail}")
    yield from _ways("sheet_stiffness", "Stiffness pulled {}", "line_load", 1.0, PULLED)
    yield from _ways("shear_stiffness", "Stiffness in shear through it, {}", "line_load", 1, PULLED)
    yield from _ways("modulus_bent", "Modulus bent {}", "modulus", 0.0, MATERIAL)
    yield from _ways("modulus", "Modulus pulled {}", "modulus", 0.0, MATERIAL)
    yield from _ways("plate_merit", "Plate for its mass {}, E^⅓/ρ", "plate_merit", 0.0, FOR_MASS)
    yield from _ways(
        "specific_modulus", "Tie for its mass {}, E/ρ", "specific_modulus", 0.0, FOR_MASS
    )
    yield from _ways(
        "stiffness_for_mass", "Bending stiffness {} over mass", "stiffness_for_mass", 2.0, FOR_MASS
    )
    yield Property("cost", "Material cost", "", 1.0, MORE)
    yield Property("insulation", "Insulation, sum of t/k", "insulation", 1.0, MORE)


#: Every property by its key, in the order of the lists.
PROPERTIES: Mapping[str, Property] = {one.key: one for one in _properties()}
COST = PROPERTIES["cost"]


@dataclass(frozen=True)
class Charted:
    """What a panel can be charted by: ``kind`` of its core, values by key of ``PROPERTIES``.

    ``strength_unknown`` : names of the layers whose strength is not known; ``sources`` : of all
    that the values rest on.
    """

    kind: str = OTHER
    values: Mapping[str, Ranged] = field(default_factory=dict)
    strength_unknown: tuple[str, ...] = ()
    sources: tuple[str, ...] = ()


def kind_of(layers: tuple[LayerRecord, ...]) -> str:
    """What holds a panel's faces apart, the thickest of it; LAMINATE where nothing does."""
    cores = [layer for layer in layers if layer.drawn.is_core]
    if not cores:
        return LAMINATE
    core = max(cores, key=lambda layer: layer.thickness.value)
    if core.kind in {"strips", "board"} or core.form == "balsa_end":
        return TIMBER
    if core.kind == "plywood":
        return PLYWOOD
    if core.form.endswith("honeycomb"):
        return HONEYCOMB
    return FOAM if core.kind == "core" and core.form != "cork" else OTHER


#: Loads of the strength records, along and across.
_BENT = ("bent along", "bent across")
_PULLED = ("pulled along", "pulled across")
_SHEARED = ("shear force along", "shear force across")
_LEVELS = {"first": FIRST, "ultimate": ULTIMATE}


def _least(made: Prediction, action: str, level: str) -> Ranged | None:
    """The least load of those that begin with these words, at one level."""
    found = [
        one.value for one in made.strength if one.action.startswith(action) and one.level == level
    ]
    return min(found, key=lambda value: value.value, default=None)


def _strength(made: Prediction) -> Iterator[tuple[str, Ranged | None]]:
    """Moments, pulls and shear.

    Where a layer's strength is not known, the least of what is known would stand for a whole that
    may be weaker: then there is no moment and no pull.
    """
    for at, way in enumerate(("along", "across")):
        for tail, level in () if made.unknown_strength else _LEVELS.items():
            yield f"moment_{way}_{tail}", _least(made, _BENT[at], level)
            yield f"pull_{way}_{tail}", _least(made, _PULLED[at], level)
        yield f"shear_{way}", _least(made, _SHEARED[at], ULTIMATE)


def _stiffness(made: Prediction) -> Iterator[tuple[str, Ranged | None]]:
    section = made.section
    if section is None:
        return
    for way, axis in (("along", "x"), ("across", "y")):
        yield f"stiffness_{way}", getattr(section, f"stiffness_{way}")
        yield f"shear_stiffness_{way}", getattr(section, f"shear_{way}")
        yield f"modulus_{way}", section.moduli.get(f"E{axis}")
        yield f"modulus_bent_{way}", section.moduli.get(f"E{axis}_bending")
    yield from section.merit.items()


def bare(value: Ranged) -> Ranged:
    """A range without what drives it."""
    return replace(value, drivers=())


def charted(made: Prediction, sources: tuple[str, ...] = ()) -> Charted:
    """What a prediction can be charted by. Nothing is worked out: each value is one of its own."""
    found: dict[str, Ranged | None] = {
        "thickness": made.thickness,
        "areal_mass": made.areal_mass,
        "resin_to_mix": made.to_mix,
        **dict(_stiffness(made)),
        **dict(_strength(made)),
        **made.beside,
    }
    values = {
        key: bare(value) for key, value in found.items() if value is not None and key in PROPERTIES
    }
    return Charted(kind_of(made.layers), values, made.unknown_strength, sources)
