"""The working of one number of a panel: the same evaluation again, with every step kept."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from typing import Any

import numpy as np

from panelwright.errors import InputError, Problem
from panelwright.fabrication.ledger import Bench, Ledger, Part, ledger
from panelwright.jobs import strength as strength_job
from panelwright.jobs.predict import bench_of
from panelwright.jobs.stiffness import is_stiff
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics import lamina, laminate, sandwich_failure, timber_failure
from panelwright.mechanics.arrays import Array, array
from panelwright.panels import faces, strength
from panelwright.panels.checks import refuse_impossible
from panelwright.panels.description import Description
from panelwright.panels.evaluate import Build, evaluate
from panelwright.panels.records import FIRST, ULTIMATE
from panelwright.panels.resolve import Resolved, resolve
from panelwright.panels.resolve.context import exact
from panelwright.panels.section import ACROSS, FIBRE_ACROSS, Section, section
from panelwright.panels.stack import FIELDS, UNITS, Stack, origins, stack_of
from panelwright.provenance import Evidence
from panelwright.working import Leaf, Node, Recorder, leaf, recording


@dataclass(frozen=True)
class Working:
    """A headline with the node that made it, and the names of the stack layers.

    ``dimension`` is the key of :data:`panelwright.units.DIMENSIONS` that it is shown in.
    """

    name: str
    dimension: str
    node: Node
    layers: tuple[str, ...]


#: Units of the panel values that are no plain share.
_BENCH_UNITS = {
    "peel_ply_resin": "kg/m²",
    "bleeder_resin": "kg/m²",
    "mesh_resin": "kg/m²",
}


#: Dimension of a load per width, by its unit.
_PER_WIDTH = {"N/m": "line_load", "N": "force"}
#: Constants that a rule is used with: name, value, on whose word.
_CONSTANTS: tuple[tuple[str, Any, str, Evidence], ...] = (
    ("shape factor across round fibres", ACROSS, "the rule's own source", Evidence.MEMORY),
    (
        "Poisson's ratio across a fibre",
        FIBRE_ACROSS,
        "isotropic in its cross-section, a usual value",
        Evidence.PRACTICE,
    ),
    *(
        (f"{what} of knots in the modulus", value, "the rule's own source", Evidence.PRACTICE)
        for what, value in zip(("weight", "power"), timber_failure.KNOT_IN_MODULUS, strict=True)
    ),
    *(
        (f"{what} of knots in the strength", value, "the rule's own source", Evidence.PRACTICE)
        for what, values in zip(
            ("weight", "power"),
            zip(timber_failure.EDGE_KNOT, timber_failure.KNOT_IN_COMPRESSION, strict=True),
            strict=True,
        )
        for value in values
    ),
    *(
        (f"power of density within a species, {what}", value, "fpl-gtr-190", Evidence.MEMORY)
        for what, value in timber_failure.WITHIN_SPECIES.items()
    ),
    (
        "shear of a ±45 ply over the strain of its fibre",
        strength.SHEAR_AT_BREAK,
        "geometry, with Poisson's ratio at most 1",
        Evidence.ESTIMATED,
    ),
    (
        "what design leaves of wrinkling on springs",
        sandwich_failure.ANTIPLANE_ALIKE,
        "as on a thick core, 0.5 of 0.91",
        Evidence.MEMORY,
    ),
    ("radius of a heel", faces.HEEL, "ours, no standard", Evidence.PRACTICE),
    *(
        ("sign of the load", sign, "the load that is asked for", Evidence.GIVEN)
        for sign in strength.SIGNS.values()
    ),
)


def _declare(resolved: Resolved, stack: Stack, bench: Bench) -> None:
    for name in FIELDS:
        value = getattr(stack, name)
        leaf(name.replace("_", " "), UNITS.get(name, "-"), value, origins(resolved.layers, name))
    for name, constant, source, evidence in _CONSTANTS:
        leaf(name, "-", constant, [exact(constant, source, evidence)])
    for name, value in vars(bench).items():
        unit = _BENCH_UNITS.get(name, "-")
        leaf(name.replace("_", " "), unit, value, [resolved.bench.get(name)])


def _area(resolved: Resolved) -> Array | None:
    """Area of the panel, declared as given; None where its size is not."""
    size = resolved.description.panel.size
    if size is None:
        return None
    area = array(size.length.value * size.width.value)
    source = f"given: {size.length.text} × {size.width.text}"
    leaf("area", "m²", area, [exact(float(area), source)])
    return area


def _stiffness(resolved: Resolved, stack: Stack, build: Build) -> dict[str, tuple[Array, str]]:
    """Headlines of the stiffness; none where that of a layer is not known."""
    if not is_stiff(resolved.layers):
        return {}
    made = section(stack, build)
    part, across = lamina.part, 1
    return (
        _core_strength(stack, made)
        | _strength(stack, build, made)
        | _of_faces(stack, build, made)
        | {
            "stiffness_along": (part(made.strip, 0), "moment"),
            "stiffness_across": (part(made.strip, across), "moment"),
            "modulus_along": (part(made.extension_moduli, 0), "modulus"),
            "modulus_across": (part(made.extension_moduli, across), "modulus"),
            "bending_modulus_along": (part(made.bending_moduli, 0), "modulus"),
            "bending_modulus_across": (part(made.bending_moduli, across), "modulus"),
            "shear_stiffness_along": (part(part(made.shear, 0), 0), "line_load"),
            "shear_stiffness_across": (part(part(made.shear, across), across), "line_load"),
        }
    )


def _core_strength(stack: Stack, made: Section) -> dict[str, tuple[Array, str]]:
    """Headlines of what ends a core under a pressed panel; none without a core."""
    found: dict[str, tuple[Array, str]] = {}
    if np.any(stack.crush > 0.0):
        found["crushing"] = (faces.crushing(stack), "stress")
    if np.any(stack.through_E > 0.0):
        for way, name in enumerate(("along", "across")):
            held = lamina.part(lamina.part(made.shear, way), way)
            found[f"crimping_{name}"] = (sandwich_failure.crimping_force(held), "line_load")
    return found


def _strength(stack: Stack, build: Build, made: Section) -> dict[str, tuple[Array, str]]:
    """Headlines of first damage and ultimate, for every load that some limit is known for."""
    states = strength.states(stack, build, made)
    ends: dict[str, tuple[strength.Strength, str]] = {}
    for load, actions in enumerate(strength_job.ACTIONS):
        both = strength.in_plane(states, stack, build, load)
        ends |= {
            action: (end, strength_job.UNITS[load])
            for action, end in zip(actions, both, strict=True)
        }
    for way, action in enumerate(strength_job.SHEARED):
        ends[action] = (strength.in_shear(states, stack, build, way), "N/m")
    return {
        strength_name(action, level): (end.load, _PER_WIDTH[unit])
        for action, (both_ends, unit) in ends.items()
        for level, end in ((FIRST, both_ends.first), (ULTIMATE, both_ends.ultimate))
        if np.isfinite(end.load)
    }


def _of_faces(stack: Stack, build: Build, made: Section) -> dict[str, tuple[Array, str]]:
    """Headlines of faces that wrinkle or dimple, and of what dents the panel; with a core only."""
    of = faces.faces(stack, build, made)
    found: dict[str, tuple[Array, str]] = {}
    for load, actions in enumerate(strength_job.ACTIONS):
        dimension = _PER_WIDTH[strength_job.UNITS[load]]
        for sign, action in zip((1, -1), actions, strict=True):
            for what, fails in (("wrinkling", faces.wrinkling), ("dimpling", faces.dimpling)):
                end = fails(of, build, made, load, sign)
                found[strength_name(action, what)] = end.load, dimension
    dents = faces.dents(of)
    for loads, actions, dimension in (
        (dents.line, strength_job.EDGES, "line_load"),
        (dents.patch, strength_job.HEELS, "force"),
    ):
        for face, action in enumerate(actions):
            found[_underscored(action)] = lamina.part(loads, face), dimension
    return {name: value for name, value in found.items() if np.isfinite(value[0])}


def strength_name(action: str, level: str) -> str:
    """Name of the working of a strength, by its words: ``pulled_along_first_damage``.

    level : ``FIRST``, ``ULTIMATE``, or ``wrinkling`` and ``dimpling`` of the faces.
    """
    return _underscored(f"{action} {level}")


def _underscored(words: str) -> str:
    return words.replace(",", "").replace(" ", "_").replace("-", "_")


def _headlines(
    resolved: Resolved, build: Build, books: Ledger, stiffness: dict[str, tuple[Array, str]]
) -> dict[str, tuple[Array, str]]:
    """What a working can be asked for: the value and its dimension, by name."""
    found = {
        "thickness": (build.thickness, "thickness"),
        "areal_mass": (build.areal_mass, "areal_mass"),
        "resin_in_part": (books.resin_in_part, "areal_mass"),
        "resin_to_mix": (books.to_mix, "areal_mass"),
    }
    found |= stiffness
    area = _area(resolved)
    if area is None:
        return found | {name: (mass, "cloth_mass") for name, mass in books.products.items()}
    return {
        **found,
        "mass": (laminate.mass_of_area(build.areal_mass, area), "mass"),
        **{
            name: (laminate.mass_of_area(mass, area), "resin_mass")
            for name, mass in books.products.items()
        },
    }


def _link(recorder: Recorder) -> None:
    """Lead every total on to the makers of its summands."""
    for step in recorder.steps:
        arguments: dict[str, Node] = {}
        for name, node in step.arguments.items():
            origins_of = node.origins if isinstance(node, Leaf) else ()
            parts = [origin for origin in origins_of if isinstance(origin, Part)]
            arguments |= {part.name: _maker(recorder, part) for part in parts} or {name: node}
        step.arguments = arguments


def _maker(recorder: Recorder, part: Part) -> Node:
    return recorder.node(part.value) or Leaf(part.name, "kg/m²", part.value)


def _wanted(name: str, known: dict[str, tuple[Array, str]]) -> str:
    """The headline that is meant; blanks and hyphens count as underscores, commas as nothing."""
    asked = name.strip().lower()
    for wanted in (asked, _underscored(asked)):
        if wanted in known:
            return wanted
    close = difflib.get_close_matches(asked, known, n=1)
    what = "there is no working of that name"
    allowed = ", ".join(f'"{one}"' if " " in one else one for one in known)
    raise InputError(Problem(what, name, allowed, close[0] if close else ""))


def _all(resolved: Resolved, stack: Stack, bench: Bench) -> dict[str, tuple[Array, str]]:
    """Every headline of a resolved panel. Raises :class:`InputError` for layers that cannot be."""
    build = evaluate(stack)
    refuse_impossible(resolved, build)
    books = ledger(build, resolved.layers, bench, resolved.resin.name)
    return _headlines(resolved, build, books, _stiffness(resolved, stack, build))


def headline_names(description: Description, catalogue: Catalogue) -> tuple[str, ...]:
    """The numbers of a described panel that have a working. Raises as :func:`work`."""
    resolved = resolve(description, catalogue)
    return tuple(_all(resolved, stack_of(resolved.layers), bench_of(resolved)))


def work(description: Description, catalogue: Catalogue, name: str) -> Working:
    """The working of one headline of a described panel.

    name : ``thickness``, ``areal_mass``, ``resin_in_part``, ``resin_to_mix``, ``mass`` where the
    size is known, those of :func:`_stiffness`, ``crushing`` and ``crimping_along`` or ``_across``
    where there is a core, a strength by its words (:func:`strength_name`), or the name of a
    product for what to mix of it.
    Raises :class:`InputError` for another name, and as :func:`panelwright.jobs.predict.predict`.
    """
    resolved = resolve(description, catalogue)
    with recording() as recorder:
        stack, bench = stack_of(resolved.layers), bench_of(resolved)
        _declare(resolved, stack, bench)
        headlines = _all(resolved, stack, bench)
    _link(recorder)
    wanted = _wanted(name, headlines)
    value, dimension = headlines[wanted]
    node = recorder.node(value)
    assert node is not None, f"{wanted} was made by no registered formula"
    return Working(wanted, dimension, node, tuple(layer.name for layer in resolved.layers))
