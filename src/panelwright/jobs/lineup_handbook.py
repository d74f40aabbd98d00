"""Materials of a panel as they lie in it, beside the handbook's, each for its density."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from panelwright.jobs.lineup_entrants import Stood
from panelwright.mechanics import beam
from panelwright.mechanics.arrays import Array
from panelwright.panels.checks import TIMBER
from panelwright.panels.evaluate import evaluate
from panelwright.panels.lineup_records import Corrected, Specific
from panelwright.panels.section import constants


def _specific(density: Array, modulus: Array, shear: Array) -> Specific:
    return Specific(
        float(density),
        float(modulus),
        float(shear),
        float(beam.specific_modulus(modulus, density)),
        float(beam.plate_merit(modulus, density)),
        float(beam.specific_modulus(shear, density)),
    )


_CORRECTED = {"cloth": "fibre", "core": "core", **dict.fromkeys(TIMBER, "timber")}


def corrected(of: Stood) -> tuple[Corrected, ...]:
    """Each material as it lies here, resin and all, beside the handbook's, by density."""
    if of.stiff is None:
        return ()
    stack, build, own = of.done.stack, of.done.build, of.stiff.made.constants
    nothing = np.zeros_like(stack.solid_density)
    straight = replace(stack, solid_density=nothing, grain_slope=nothing, knot_share=nothing)
    usual = evaluate(straight)
    handbook = constants(straight, usual)
    found: dict[tuple[str, float], Corrected] = {}
    for index, layer in enumerate(of.layers):
        thick = build.layer_thickness[index]
        if layer.film or thick <= 0.0:
            continue
        kind = _CORRECTED.get(layer.kind, "solid")
        is_core = kind == "core"
        shear = (own.G13 if is_core else own.G12)[index]
        density = beam.mean_density(build.layer_mass[index], thick)
        here = _specific(density, own.E1[index], shear)
        by_kind = {
            "fibre": (stack.fibre_density, stack.fibre_E1, stack.fibre_G12),
            "timber": (usual.density, handbook.E1, handbook.G12),
        }
        book = by_kind.get(kind, (build.density, own.E1, own.G13 if is_core else own.G12))
        pair = Corrected(layer.name, kind, here, _specific(*(values[index] for values in book)))
        found.setdefault((layer.name, round(here.pulled)), pair)
    return tuple({one.layer: one for one in reversed(found.values())}.values())[::-1]
