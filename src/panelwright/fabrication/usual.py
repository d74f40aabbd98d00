"""What stands in where the shop has not said: rows of the table of consumables, with their tags."""

from __future__ import annotations

from dataclasses import replace

from panelwright import units
from panelwright.materials.catalogue import Catalogue
from panelwright.materials.records import TEXT
from panelwright.panels.resolve.context import exact, given
from panelwright.provenance import Input
from panelwright.units import Quantity

_AMOUNT = "amount_in_unit"


def usual(catalogue: Catalogue, id: str) -> Input:
    """A row of the table of consumables in SI, with its range, source and evidence.

    A labour in h/m2 stays in hours. Raises UnknownName for an id that is not there.
    """
    row = catalogue.table("consumables").row(id)
    unit = row.text("unit")
    scale = 1.0 if unit in {TEXT, "h/m^2", ""} else units.factor(unit)
    value, low, high = (
        scale * (row.number(column) or 0.0)
        for column in (_AMOUNT, f"{_AMOUNT}_low", f"{_AMOUNT}_high")
    )
    return Input(
        value, low, high, row.source, row.evidence(), row.name, row=f"consumables/{row.id}"
    )


def said(quantity: Quantity | None, cause: str, otherwise: Input) -> Input:
    """What the part file says, else what is usual."""
    if quantity is None:
        return otherwise
    if quantity.has_range:
        return given(quantity, cause)
    return replace(exact(quantity.value, f"given: {quantity.text}"), cause=cause)
