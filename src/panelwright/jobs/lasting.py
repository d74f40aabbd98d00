"""What loads that last leave of the stiffness and the strength of a panel's materials."""

from __future__ import annotations

from panelwright.materials.catalogue import Catalogue
from panelwright.materials.records import Row
from panelwright.panels.checks import TIMBER
from panelwright.panels.records import LastingRecord
from panelwright.panels.resolve import Resolved
from panelwright.panels.stack import StackLayer

#: Materials of the table that speak of wood.
OF_TIMBER = ("timber and plywood", "solid timber, steady 12 % moisture")
#: Rows for laminates: how the name of the cloth begins, and its construction; empty for any.
OF_CLOTH = {
    "laminate, unidirectional E-glass along": ("E-glass", ("unidirectional",)),
    "laminate, woven roving or biaxial E-glass, polyester": ("E-glass", ("woven", "stitched")),
    "laminate, chopped mat, polyester": ("E-glass", ("mat", "combination")),
    "laminate, unidirectional carbon along": ("carbon", ("unidirectional",)),
    "laminate, carbon, compression": ("carbon", ()),
    "laminate, aramid along": ("aramid", ()),
    "laminate, flax": ("flax", ()),
}


def _of_layer(row: Row, layer: StackLayer) -> bool:
    """Whether a row speaks of a layer."""
    material = row.text("material")
    if layer.kind == "core":
        return layer.form in row.text("core_classes").split(";")
    if layer.kind in TIMBER:
        return material in OF_TIMBER
    if layer.kind != "cloth" or material not in OF_CLOTH:
        return False
    begins, forms = OF_CLOTH[material]
    return layer.name.startswith(begins) and (not forms or layer.form in forms)


def lasting_records(resolved: Resolved, catalogue: Catalogue) -> tuple[LastingRecord, ...]:
    """Share left after an hour, a thousand hours and ten years, by material and property.

    Only what the table of service factors knows; no prediction is reduced by it.
    """
    found: dict[tuple[str, str], list[tuple[float, float, str]]] = {}
    for row in catalogue.table("service_factors").where(effect="sustained load"):
        share, time = row.number("factor"), row.number("duration")
        if share is None or time is None:
            continue
        if any(_of_layer(row, layer) for layer in resolved.layers):
            key = row.text("material"), row.text("property")
            found.setdefault(key, []).append((time, share, row.source))
    return tuple(
        LastingRecord(
            material, what, tuple((time, share) for time, share, _ in values), values[0][2]
        )
        for (material, what), values in found.items()
    )
