"""Which rows of the service table speak of a layer, and what they leave of it.

A row gives the share left of one property of one material in one condition. Rows of one property
that speak of a layer by several materials (two polyesters of one family) are told together: the
middle is their mean, the range covers them all. What no row speaks of is not known: None, never 1.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from panelwright.materials.catalogue import Catalogue
from panelwright.materials.records import Row
from panelwright.mechanics.service import share_left
from panelwright.panels.stack import StackLayer
from panelwright.provenance import Evidence, weakest

#: Effects of the table, by what is asked.
HEAT = ("temperature", "temperature, dry", "temperature, short time")
HEAT_AND_WATER = ("temperature and long soaking in water",)
WATER = ("saturated with water",)
LASTING = ("sustained load",)


@dataclass(frozen=True)
class Share:
    """Share left of a property, its 90 % range, and on whose word."""

    value: float
    low: float
    high: float
    evidence: Evidence
    source: str


@dataclass(frozen=True)
class Series:
    """One property of one material under one effect: the rows, mildest first."""

    material: str
    what: str
    effect: str
    rows: tuple[Row, ...]

    def left(self, condition: float, column: str) -> Share | None:
        """Share left at a condition; None beyond the last that was tried.

        column : ``temperature`` (K) or ``duration`` (s).
        """
        first = self.rows[0].number(f"{column}_from") if column == "temperature" else 0.0
        tried = [first or 0.0, *(row.number(column) or 0.0 for row in self.rows)]

        def at(name: str) -> float:
            shares = [1.0, *(row.number(name) or 0.0 for row in self.rows)]
            return float(share_left(condition, tried, shares))

        value, low, high = at("factor"), at("factor_low"), at("factor_high")
        if math.isnan(value):
            return None
        kinds = [row.evidence("factor") for row in self.rows]
        return Share(value, low, high, weakest(kinds), self.rows[0].source)


def speaks_of(row: Row, layer: StackLayer, resin: str) -> bool:
    """Whether a row of the table speaks of a layer.

    resin : id of the resin of the panel.
    """

    def fits(column: str, word: str) -> bool:
        words = row.text(column)
        return not words or word in words.split(";")

    if layer.kind == "core":
        return row.text("kinds") == "core" and fits("core_classes", layer.form)
    return (
        bool(row.text("kinds"))
        and fits("kinds", layer.kind)
        and fits("fibre_groups", layer.fibre_group)
        and fits("forms", layer.form)
        and (layer.kind != "cloth" or fits("resins", resin))
    )


def series_of(
    catalogue: Catalogue, layer: StackLayer, resin: str, effects: Iterable[str]
) -> tuple[Series, ...]:
    """All that the table knows of a layer under some effects, a series for each property.

    Rows without a share (codes, coefficients) are left out.
    """
    wanted = set(effects)
    found: dict[tuple[str, str, str], list[Row]] = {}
    for row in catalogue.table("service_factors"):
        meant = row.text("effect") in wanted and speaks_of(row, layer, resin)
        if meant and row.number("factor") is not None:
            key = row.text("material"), row.text("property"), row.text("effect")
            found.setdefault(key, []).append(row)

    def harshness(row: Row) -> float:
        return row.number("temperature") or row.number("duration") or 0.0

    return tuple(Series(*key, tuple(sorted(rows, key=harshness))) for key, rows in found.items())


def together(shares: Iterable[Share]) -> Share:
    """Several materials of one kind as one share: the mean, and a range that covers them all."""
    found = list(shares)
    return Share(
        sum(share.value for share in found) / len(found),
        min(share.low for share in found),
        max(share.high for share in found),
        weakest([share.evidence for share in found]),
        found[0].source,
    )
