"""What panels are compared by beside their section: as sheets that are pulled, and against heat."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from panelwright.jobs.stiffness import Stiffened
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics import beam, lamina
from panelwright.panels.insulation import conductivities, resistance, unknown_conductivity
from panelwright.panels.spread import Ranged, ranged
from panelwright.provenance import Evidence, weakest

if TYPE_CHECKING:
    from panelwright.jobs.predict import Evaluated


def sheet_stiffnesses(stiff: Stiffened) -> dict[str, Ranged]:
    """EA per width along and across. A cloth of more resin is thicker and softer: so drawn."""
    found = {}
    for way, name in enumerate(("along", "across")):
        middle, drawn = (
            beam.sheet_stiffness(lamina.part(made.extension_moduli, way), build.thickness)
            for made, build in ((stiff.made, stiff.build), (stiff.drawn, stiff.drawn_build))
        )
        found[f"sheet_stiffness_{name}"] = stiff.ranged(middle, drawn, "N/m")
    return found


def insulation(done: Evaluated, catalogue: Catalogue) -> Ranged | tuple[str, ...]:
    """Sum of t/k from face to face; names of the layers that it is not known of where it is not."""
    layers = done.resolved.layers
    given = conductivities(catalogue, layers)
    unknown = unknown_conductivity(layers, given)
    if unknown:
        return tuple(unknown)
    found = ranged(
        resistance(done.stack, done.build, layers, given),
        resistance(done.drawn_stack, done.drawn_build, layers, given, done.causes.draws),
        "m2 K/W",
        done.causes,
    )
    kinds = [one.evidence for one in given if one is not None] or [Evidence.ESTIMATED]
    return replace(found, evidence=weakest([found.evidence, *kinds]))


def beside(done: Evaluated, stiff: Stiffened | None, catalogue: Catalogue) -> dict[str, Ranged]:
    """All of it by key; what is not known is not there."""
    found = {} if stiff is None else sheet_stiffnesses(stiff)
    warm = insulation(done, catalogue)
    return {**found, "insulation": warm} if isinstance(warm, Ranged) else found
