"""A prediction as a builder reads it: glance, or full."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from panelwright import units
from panelwright.mechanics.laminate import mass_of_area
from panelwright.panels.records import LayerRecord, LedgerRow, Mix, Prediction, RuleOfThumb
from panelwright.panels.spread import Ranged
from panelwright.reports.layout import (
    SYSTEMS,
    heading,
    narrow,
    on_the_point,
    plural,
    printed,
    sentence,
    table,
    wrapped,
)
from panelwright.reports.section_text import merged, numbers, section
from panelwright.reports.stiffness_text import like, stiffness_parts
from panelwright.reports.strength_text import (
    criteria_text,
    in_service,
    lasting_text,
    service_text,
    strength_text,
    weakest_at,
)

#: Worries shown at a glance; the rest are counted.
GLANCE_WORRIES = 3
#: Below this, kg/m2, a ledger entry is written as a dash.
NOTHING = 5e-5
#: Drivers of one result that are listed.
DRIVERS = 5
#: Widest name of a layer, a cause, anything else, and widest remark in a table, columns.
LAYER, CAUSE, NAME, REMARK = 22, 18, 34, 40
DASH = "–"


def shown(value: Ranged, dimension: str, system: str) -> str:
    """The middle to the digits its range allows; both systems, a line each."""
    return "\n".join(
        units.show(value.value, dimension, one, value.low, value.high) for one in SYSTEMS[system]
    )


def shown_range(value: Ranged, dimension: str, system: str) -> str:
    """The 90 % range, or nothing where there is none; both systems, a line each."""
    if value.high <= value.low:
        return ""
    return "\n".join(
        units.show_range(value.low, value.high, dimension, one) for one in SYSTEMS[system]
    )


def _bare(text: str) -> str:
    """A shown quantity without its unit, for a column whose head has it."""
    return text.rpartition(" ")[0]


def _unit(dimension: str, system: str) -> str:
    return units.show(1.0, dimension, system).rpartition(" ")[2]


def _together(values: Iterable[Ranged]) -> Ranged:
    """Layers that the file describes once: all that varies in them varies together."""
    first, *others = values
    return replace(
        first,
        value=first.value + sum(other.value for other in others),
        low=first.low + sum(other.low for other in others),
        high=first.high + sum(other.high for other in others),
    )


def _over(value: Ranged, area: float) -> Ranged:
    """A mass per area over the whole panel."""
    value_, low, high = (
        float(mass_of_area(end, area)) for end in (value.value, value.low, value.high)
    )
    return replace(value, value=value_, low=low, high=high, unit="kg")


# --- Glance ---------------------------------------------------------------------------------------


def _size(prediction: Prediction, system: str) -> str:
    if prediction.length is None or prediction.width is None:
        return ""
    sides = (prediction.length, prediction.width)
    first, *others = (
        " × ".join(units.show(side, "length", one) for side in sides) for one in SYSTEMS[system]
    )
    return f"{first} ({others[0]})" if others else first


def _title(prediction: Prediction, system: str) -> str:
    parts = [_size(prediction, system), prediction.process, prediction.resin]
    return f"{printed(prediction.title)}\n{'; '.join(part for part in parts if part)}"


def _mass_words(prediction: Prediction, system: str) -> str:
    mass, area = prediction.mass, prediction.area
    if mass is None or area is None:
        return ""
    return "\n".join(
        f"{shown(mass, 'mass', one)} for {units.show(area, 'area', one)}" for one in SYSTEMS[system]
    )


def _to_buy(mix: Mix, system: str) -> str:
    """What to buy of a product, in packs where their size is given."""
    if mix.in_all is None:
        return "give a size for what to buy"
    if mix.pack is None or mix.packs is None:
        return f"buy {shown(mix.in_all, 'resin_mass', SYSTEMS[system][0])}"
    pack = units.show(mix.pack, "mass", SYSTEMS[system][0])
    short = mix.in_all.high > mix.packs * mix.pack
    return f"buy {plural(mix.packs, 'pack')} of {pack}" + ", one more to be sure" * short


def _mixed(mix: Mix) -> tuple[Ranged, str]:
    """How much of a product to mix: in all, else per area; and its dimension."""
    return (mix.per_area, "cloth_mass") if mix.in_all is None else (mix.in_all, "resin_mass")


def _mix_rows(prediction: Prediction, system: str) -> list[list[str]]:
    rows = []
    for index, mix in enumerate(prediction.mixes):
        value, dimension = _mixed(mix)
        remark = narrow(f"{mix.product}: {_to_buy(mix, system)}", REMARK)
        label = "" if index else "Resin to mix"
        quantity = (shown(value, dimension, system), shown_range(value, dimension, system))
        rows.append([label, *quantity, remark])
    return rows or [["Resin to mix", "none"]]


def _listed(title: str, found: Sequence[str], most: int | None, nothing: str = "") -> str:
    """Sentences under a title; beyond ``most`` they are counted."""
    if not found:
        return nothing and f"{title}\n  {nothing}"
    shown_now = found if most is None else found[:most]
    lines = [wrapped(sentence(printed(text)), first="  • ") for text in shown_now]
    more = len(found) - len(shown_now)
    if more:
        lines.append(f"    and {plural(more, 'more point')}: see --full")
    return "\n".join([title, *lines])


def _headlines(prediction: Prediction, system: str) -> str:
    rows = [
        [name, shown(value, dimension, system), shown_range(value, dimension, system), remark]
        for name, value, dimension, remark in (
            ("Thickness", prediction.thickness, "thickness", ""),
            ("Mass", prediction.areal_mass, "areal_mass", _mass_words(prediction, system)),
        )
    ]
    return table([*rows, *_mix_rows(prediction, system)])


NO_WORRY = "Nothing that these numbers show."


def glance(prediction: Prediction, system: str = "si") -> str:
    """The few lines that a builder needs."""
    found = [*prediction.warnings, *prediction.assumed]
    worries = _listed("What worries me", found, GLANCE_WORRIES, NO_WORRY)
    head = [
        _title(prediction, system),
        _headlines(prediction, system),
        like(prediction, system),
        weakest_at(prediction, system),
        in_service(prediction, system),
    ]
    return "\n\n".join(part for part in (*head, worries) if part)


# --- Full -----------------------------------------------------------------------------------------


def _angle(angle: float | None) -> str:
    if angle is None:
        return "random"
    return f"{angle:+.0f}°".replace("-", "−") if angle else "0°"


def _angles(layer: LayerRecord) -> str:
    if layer.kind == "plywood":
        return f"face\n{_angle(layer.angles[0])}"
    if layer.angles == (None,) and layer.kind != "cloth":
        return ""
    return "\n".join(_angle(angle) for angle in layer.angles)


def _percents(*values: float | None) -> str:
    return "\n".join(f"{100.0 * value:.0f} %" for value in values if value is not None)


def _with_range(value: Ranged, dimension: str, system: str) -> str:
    """The middle, and its range beneath; a dash for nothing."""
    if value.value == 0.0:
        return DASH
    return "\n".join(
        line
        for one in SYSTEMS[system]
        for line in (
            shown(value, dimension, one).partition(" (")[0],
            _bare(shown_range(value, dimension, one)),
        )
        if line
    )


def _layer_row(first: int, same: list[LayerRecord], system: str) -> list[str]:
    layer = same[0]
    return [
        numbers(first, len(same)),
        narrow(printed(layer.name), LAYER),
        _with_range(_together(one.thickness for one in same), "thickness", system),
        _with_range(_together(one.areal_mass for one in same), "areal_mass", system),
        _angles(layer),
        _percents(layer.fibre_mass_fraction, layer.fibre_volume_fraction),
        _percents(
            sum(one.share_of_thickness for one in same), sum(one.share_of_mass for one in same)
        ),
        layer.evidence.word,
    ]


_LAYER_HEAD = (
    "",
    "layer",
    "thickness,\n90 % range",
    "mass,\n90 % range",
    "angle",
    "fibre by\nmass,\nvolume",
    "share:\nthick.,\nmass",
    "weakest\nevidence",
)


def _layers(prediction: Prediction, system: str) -> str:
    rows = [_layer_row(first, same, system) for first, same in merged(prediction.layers)]
    return table([_LAYER_HEAD, *rows], right=(0, 2, 3, 4, 5, 6))


def _cells(values: Sequence[Ranged | None], dimension: str, system: str) -> list[str]:
    return [
        DASH if value is None or value.value < NOTHING else _bare(shown(value, dimension, system))
        for value in values
    ]


def _ledger_row(
    name: str, values: Sequence[Ranged | None], area: float | None, system: str
) -> list[str]:
    in_part = values[0]
    span = "" if in_part is None else _bare(shown_range(in_part, "cloth_mass", system))
    row = [narrow(name, CAUSE), *_cells(values, "cloth_mass", system), span]
    if area is not None:
        whole = [None if value is None else _over(value, area) for value in values]
        row += _cells(whole, "mass", system)
    return row


def _columns(row: LedgerRow) -> tuple[Ranged, Ranged | None, Ranged]:
    return row.in_part, row.to_mix if row.mixes else None, row.to_buy


def _holds(row: LedgerRow) -> bool:
    return max(row.in_part.value, row.to_mix.value, row.to_buy.value) >= NOTHING


def _ledger_table(prediction: Prediction, system: str) -> str:
    area = prediction.area
    per_area, whole = (_unit(dimension, system) for dimension in ("cloth_mass", "mass"))
    columns = ("in the part", "to mix", "to buy")
    head = [per_area, *columns, "90 % range\nin the part"]
    if area is not None:
        of = f"{whole} for {units.show(area, 'area', system)}"
        head += [f"{of}\n{columns[0]}", columns[1], columns[2]]
    rows = [
        _ledger_row(row.cause, _columns(row), area, system)
        for row in prediction.ledger
        if _holds(row)
    ]
    sums = (prediction.areal_mass, prediction.to_mix, None)
    rows.append(_ledger_row("together", sums, area, system))
    level = [f"\n{cell}" if "\n" not in cell else cell for cell in head]
    figures = (1, 2, 3, 5, 6, 7)
    return table([level, *on_the_point(rows, figures)], right=figures)


def _ledger(prediction: Prediction, system: str) -> str:
    parts = [_ledger_table(prediction, one) for one in SYSTEMS[system]]
    nothing = [row.cause for row in prediction.ledger if not _holds(row)]
    if nothing:
        parts.append(wrapped(f"Nothing of: {', '.join(nothing)}."))
    return "\n\n".join(parts)


def _buying(prediction: Prediction, system: str) -> str:
    rows = [
        [narrow(mix.product, NAME), shown(*_mixed(mix), system), _to_buy(mix, system)]
        for mix in prediction.mixes
    ]
    return table([["", "to mix", "to buy"], *rows], indent="  ") if rows else "  Nothing to mix."


def _rule_row(rule: RuleOfThumb, ours: float, system: str) -> list[str]:
    off = f"{100.0 * (rule.resin / ours - 1.0):+.0f} %".replace("-", "−") if ours > 0.0 else ""
    counts = f"counts {rule.counts}; leaves out {rule.leaves_out}"
    mass = "\n".join(units.show(rule.resin, "cloth_mass", one) for one in SYSTEMS[system])
    return [narrow(rule.name, NAME), mass, off, narrow(counts, REMARK)]


def _rules(prediction: Prediction, system: str) -> str:
    """The rules of the trade from the leanest to the richest, this prediction among them."""
    ours = prediction.to_mix
    counts = narrow("counts all of the ledger, glue too", REMARK)
    rows = [(ours.value, ["▸ this prediction", shown(ours, "cloth_mass", system), "", counts])]
    rows += [(rule.resin, _rule_row(rule, ours.value, system)) for rule in prediction.rules]
    ordered = [row for _, row in sorted(rows, key=lambda pair: pair[0])]
    head = ["", "to mix", "against\nthis", ""]
    return table([head, *ordered], right=(1, 2), indent="  ")


def _drivers(prediction: Prediction) -> str:
    results = (
        ("thickness", prediction.thickness),
        ("mass", prediction.areal_mass),
        ("resin to mix", prediction.to_mix),
    )
    rows = [
        [
            "" if index else name,
            f"{100 * driver.share:.0f} %",
            narrow(printed(driver.cause), REMARK),
            driver.evidence.value,
        ]
        for name, value in results
        for index, driver in enumerate(value.drivers[:DRIVERS])
    ]
    return table(rows, right=(1,), indent="  ") or "  Nothing varies."


def _cautions(prediction: Prediction) -> str:
    said = (
        f"{sentence(one.name)} {sentence(one.what_happens)} {sentence(one.usual_control)}"
        for one in prediction.cautions
    )
    return "\n".join(wrapped(text, first="  • ") for text in said)


ESTIMATES = (
    "These are estimates, not certification: class rules, the applicable standard, local codes "
    "and a licensed naval architect or engineer override them. Follow the safety data sheets."
)


def full(prediction: Prediction, system: str = "si") -> str:
    """Everything, with ranges."""
    titled = [
        ("Section", section(prediction, system)),
        ("Layer by layer, from the outside", _layers(prediction, system)),
        ("Ledger", _ledger(prediction, system)),
        ("To mix and to buy", _buying(prediction, system)),
        ("What rules of thumb would have said", prediction.rules and _rules(prediction, system)),
        *stiffness_parts(prediction, system),
        ("Strength: what it bears", strength_text(prediction, system)),
        ("First failure, by several criteria", criteria_text(prediction, system)),
        ("In heat and water", service_text(prediction, system)),
        ("Under loads that last", lasting_text(prediction)),
        ("What drives the range", _drivers(prediction)),
        ("Cautions", _cautions(prediction)),
    ]
    parts = [
        _title(prediction, system),
        _headlines(prediction, system),
        like(prediction, system),
        weakest_at(prediction, system),
        in_service(prediction, system),
        _listed("What worries me", prediction.warnings, None, NO_WORRY),
        _listed("What I took for granted", prediction.assumed, None),
        *(f"{heading(title)}\n{text}" for title, text in titled if text),
        wrapped(ESTIMATES),
        f"Ranges hold nine of ten panels made to this description: {prediction.draws} draws of the "
        f"causes.\nPanelwright {prediction.version}",
    ]
    return "\n\n".join(part for part in parts if part)
