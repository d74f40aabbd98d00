"""What heat, water and loads that last leave of the stiffness and strength of a panel."""

from __future__ import annotations

from collections.abc import Iterator

from panelwright.materials.catalogue import Catalogue
from panelwright.panels.records import LastingRecord, ServiceRecord
from panelwright.panels.resolve import Resolved
from panelwright.panels.service import (
    HEAT,
    HEAT_AND_WATER,
    LASTING,
    WATER,
    Series,
    Share,
    series_of,
    together,
)
from panelwright.panels.stack import StackLayer

#: Kinds of layer that heat and water weaken; glue lines and coats are not in the table.
WEAKENED = ("cloth", "core", "strips", "board", "veneer", "plywood", "lamina")
#: Service up to this is as the tests were made, K.
WARM = 298.15 + 0.01


def _layers(resolved: Resolved) -> list[StackLayer]:
    """One stack layer for each kind of material in the panel."""
    found: dict[tuple[str, str, str], StackLayer] = {}
    for layer in resolved.layers:
        if layer.kind in WEAKENED and not layer.film:
            # by what the table can tell apart: another weight of the same cloth is told once
            is_cloth = layer.kind == "cloth"
            key = layer.kind, layer.form, layer.fibre_group if is_cloth else layer.name
            found.setdefault(key, layer)
    return list(found.values())


def lasting_records(resolved: Resolved, catalogue: Catalogue) -> tuple[LastingRecord, ...]:
    """Share left after an hour, a thousand hours and ten years, by material and property.

    Only what the table of service factors knows; no prediction is reduced by it.
    """
    found: dict[tuple[str, str], LastingRecord] = {}
    for layer in _layers(resolved):
        for series in series_of(catalogue, layer, resolved.resin.id, LASTING):
            left = tuple(
                (row.number("duration") or 0.0, row.number("factor") or 0.0)
                for row in series.rows
                if row.number("duration") is not None
            )
            if left:
                key = series.material, series.what
                found.setdefault(key, LastingRecord(*key, left, series.rows[0].source))
    return tuple(found.values())


def _hottest(resolved: Resolved) -> float | None:
    """The hottest the panel will be, K, where that is warmer than the tests."""
    service = resolved.description.panel.service
    if service is None or service.temperature is None:
        return None
    return service.temperature.high if service.temperature.high > WARM else None


def _by_property(found: list[Series]) -> dict[str, list[Series]]:
    """Series that speak of one property, together."""
    named: dict[str, list[Series]] = {}
    for series in found:
        named.setdefault(series.what, []).append(series)
    return named


def _heated(
    layer: StackLayer, series: list[Series], temperature: float, wet: bool
) -> Iterator[ServiceRecord]:
    for what, same in _by_property(series).items():
        shares = [share for one in same if (share := one.left(temperature, "temperature"))]
        materials = ", ".join(dict.fromkeys(one.material for one in same))
        share = together(shares) if len(shares) == len(same) else None
        hottest = min(one.rows[-1].number("temperature") or 0.0 for one in same)
        yield _record(layer, materials, what, temperature, wet, share, hottest)


def _record(
    layer: StackLayer,
    material: str,
    what: str,
    temperature: float | None,
    wet: bool,
    share: Share | None,
    known_to: float | None,
) -> ServiceRecord:
    if share is None:
        return ServiceRecord(layer.name, material, what, temperature, wet, known_to=known_to)
    left = (share.value, share.low, share.high)
    return ServiceRecord(
        layer.name, material, what, temperature, wet, *left, share.evidence, share.source, known_to
    )


def _soaked(layer: StackLayer, series: list[Series]) -> Iterator[ServiceRecord]:
    for what, same in _by_property(series).items():
        shares = [
            Share(
                row.number("factor") or 0.0,
                row.number("factor_low") or 0.0,
                row.number("factor_high") or 0.0,
                row.evidence("factor"),
                row.source,
            )
            for one in same
            for row in one.rows
        ]
        yield _record(layer, same[0].material, what, None, True, together(shares), None)


def _of_layer(
    layer: StackLayer, catalogue: Catalogue, resin: str, hottest: float | None, wet: bool
) -> list[ServiceRecord]:
    def known(effects: tuple[str, ...]) -> list[Series]:
        return list(series_of(catalogue, layer, resin, effects))

    found: list[ServiceRecord] = []
    if wet:
        # rows of heat and soaking are against dry and cool: they hold both, and are not multiplied
        warm = hottest if hottest is not None else WARM
        found += _heated(layer, known(HEAT_AND_WATER), warm, True)
        found += _soaked(layer, known(WATER))
    if hottest is not None:
        told = {record.what for record in found}
        found += [r for r in _heated(layer, known(HEAT), hottest, False) if r.what not in told]
    if wet and not any(record.wet for record in found):
        found.append(ServiceRecord(layer.name, "", "", hottest, True))
    if hottest is not None and not any(record.temperature for record in found):
        found.append(ServiceRecord(layer.name, "", "", hottest, False))
    return found


def service_records(resolved: Resolved, catalogue: Catalogue) -> tuple[ServiceRecord, ...]:
    """What the hottest service temperature and water leave, by layer and property.

    Empty for a panel that stays cool and dry. A layer of which no row speaks has a record without
    a share: not known. No prediction is reduced by any of it.
    """
    service = resolved.description.panel.service
    hottest, wet = _hottest(resolved), service is not None and service.wet
    if hottest is None and not wet:
        return ()
    return tuple(
        record
        for layer in _layers(resolved)
        for record in _of_layer(layer, catalogue, resolved.resin.id, hottest, wet)
    )
