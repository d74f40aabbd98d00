"""Glue lines and coats: mass by area, and the thickness that follows."""

from __future__ import annotations

from dataclasses import replace

from panelwright.materials.records import Row
from panelwright.panels.layers import CoatLayer, CoreLayer, GlueLayer
from panelwright.panels.laying import Laid
from panelwright.panels.resolve.context import Context, exact, given, times
from panelwright.panels.resolve.cores import read_core
from panelwright.panels.stack import StackLayer
from panelwright.provenance import Input, Scope

ALL_STAYS = "all of what was given stays"


def _beside_honeycomb(context: Context, laid: list[Laid], index: int) -> bool:
    beside = laid[max(index - 1, 0) : index] + laid[index + 1 : index + 2]
    return any(
        isinstance(neighbour.layer, CoreLayer)
        and read_core(neighbour.layer.core, context.catalogue).row.text("form") == "honeycomb"
        for neighbour in beside
    )


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
    inputs = {"film_applied": spread, "film_kept": kept}
    if not _beside_honeycomb(context, laid, index):
        inputs["film_density"] = glue.input("density", cause=f"density of {glue.name}")
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


def resolve_coat(context: Context, laid: list[Laid], index: int) -> list[StackLayer]:
    """Gelcoat, clear coats, paint, filler: one or several coats, less what is sanded off."""
    layer = laid[index].layer
    assert isinstance(layer, CoatLayer)
    coat = context.catalogue.find("coats", layer.coat)
    cause = f"mass of {coat.name}"
    mass = (
        coat.input("areal_mass", cause=cause, scope=Scope.PROCESS)
        if layer.mass is None
        else given(layer.mass, cause, scope=Scope.PROCESS, relative=0.15)
    )
    inputs = {"film_applied": times(mass, layer.coats), "film_kept": _kept(layer, coat)}
    resin_id = coat.text("resin")
    product = coat.name
    if resin_id:
        resin = context.catalogue.table("resins").row(resin_id)
        product = resin.name
        inputs["film_density"] = resin.input("density_cured", cause=f"density of {resin.name}")
    elif coat.number("density") is not None:
        inputs["film_density"] = coat.input("density", cause=f"density of {coat.name}")
    name = layer.name or (coat.name if layer.coats == 1 else f"{layer.coats} × {coat.name}")
    return [StackLayer(name, "coat", index, inputs, film="coat", film_product=product)]
