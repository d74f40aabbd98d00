"""Glue lines and coats: mass by area, and the thickness that follows."""

from __future__ import annotations

from dataclasses import replace

from panelwright.materials.records import Row
from panelwright.panels.layers import CoatLayer, CoreLayer, GlueLayer, Surface
from panelwright.panels.laying import Laid, beside
from panelwright.panels.resolve.context import Context, exact, given, times
from panelwright.panels.resolve.cores import core_row, surface_class_of
from panelwright.panels.resolve.solids import sinking, soak_of
from panelwright.panels.resolve.stiffness import film_stiffness
from panelwright.panels.resolve.strength import glue_strength
from panelwright.panels.stack import StackLayer
from panelwright.provenance import Input, Scope

ALL_STAYS = "all of what was given stays"


def _beside_honeycomb(context: Context, laid: list[Laid], index: int) -> bool:
    cores = [one.layer for one in beside(laid, index) if one and isinstance(one.layer, CoreLayer)]
    rows = [core_row(context, core) for core in cores]
    return any(row is not None and row.text("form") == "honeycomb" for row in rows)


def resolve_glue(context: Context, laid: list[Laid], index: int) -> list[StackLayer]:
    """A glue line. Against a honeycomb it lies in fillets along the cell walls: no thickness."""
    layer = laid[index].layer
    assert isinstance(layer, GlueLayer)
    glue = context.catalogue.find("glues", layer.glue)
    spread = (
        glue.input("spread", cause=f"spread of {glue.name}", scope=Scope.PROCESS)
        if layer.spread is None
        else given(layer.spread, f"spread of {glue.name}", scope=Scope.PROCESS, relative=0.15)
    )
    if layer.kept is not None:
        kept = given(layer.kept, "glue that is not squeezed out", scope=Scope.PROCESS)
    elif layer.spread is None and glue.number("kept_share") is not None:
        kept = glue.input("kept_share", cause="glue that is not squeezed out", scope=Scope.PROCESS)
    else:
        kept = exact(1.0, ALL_STAYS)
    inputs = {"film_applied": spread, "film_kept": kept, **glue_strength(context, glue)}
    if not _beside_honeycomb(context, laid, index):
        inputs["film_density"] = glue.input("density", cause=f"density of {glue.name}")
        if glue.text("resin"):
            inputs |= film_stiffness(context.catalogue.table("resins").row(glue.text("resin")))
    name = layer.name or f"glue line, {glue.name}"
    return [StackLayer(name, "glue line", index, inputs, film="glue line", film_product=glue.name)]


def _kept(layer: CoatLayer, coat: Row) -> Input:
    """The share of a coat that sanding leaves."""
    cause = f"what sanding leaves of {coat.name}"
    if layer.sanded_off is not None:
        sanded = given(layer.sanded_off, cause, scope=Scope.PROCESS, half_width=0.1)
    else:
        sanded = coat.input("sanded_off", cause=cause, scope=Scope.PROCESS)
    return replace(
        sanded,
        value=1.0 - sanded.value,
        low=max(1.0 - sanded.high, 0.0),
        high=min(1.0 - sanded.low, 1.0),
        source=f"1 less the share sanded off; {sanded.source}",
    )


def _drunk(context: Context, laid: list[Laid], index: int) -> Input | None:
    """What a bare face beside a coat drinks of it; None where none does.

    A face with a seal coat of its own has drunk already.
    """
    for one in beside(laid, index):
        if one is not None and isinstance(one.layer, Surface) and one.layer.seal is None:
            return soak_of(context, one.layer, surface_class_of(context, one.layer))
    return None


def resolve_coat(context: Context, laid: list[Laid], index: int) -> list[StackLayer]:
    """Gelcoat, clear coats, paint, filler: one or several coats, less what is sanded off.

    Neat resin on a bare face sinks in. What has a density of its own is filled or pigmented, and
    paint is not resin: they stay on top.
    """
    layer = laid[index].layer
    assert isinstance(layer, CoatLayer)
    coat = context.catalogue.find("coats", layer.coat)
    cause = f"mass of {coat.name}"
    mass = (
        coat.input("areal_mass", cause=cause, scope=Scope.PROCESS)
        if layer.mass is None
        else given(layer.mass, cause, scope=Scope.PROCESS, relative=0.15)
    )
    applied, resin_id, product = times(mass, layer.coats), coat.text("resin"), coat.name
    neat = resin_id and coat.number("density") is None
    soak = _drunk(context, laid, index) if neat else None
    inputs = {"film_applied": applied} if soak is None else sinking(applied, soak)
    inputs["film_kept"] = _kept(layer, coat)
    if resin_id:
        resin = context.catalogue.table("resins").row(resin_id)
        product = resin.name
        inputs["film_density"] = resin.input("density_cured", cause=f"density of {resin.name}")
        inputs |= film_stiffness(resin)
    elif coat.number("density") is not None:
        inputs["film_density"] = coat.input("density", cause=f"density of {coat.name}")
    name = layer.name or (coat.name if layer.coats == 1 else f"{layer.coats} × {coat.name}")
    return [
        StackLayer(name, "coat", index, inputs, film="coat", resin=product, film_product=product)
    ]
