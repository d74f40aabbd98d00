"""A prediction as a builder reads it: glance, or full."""

from __future__ import annotations

from panelwright import units
from panelwright.panels.records import LayerRecord, Mix, Prediction
from panelwright.panels.spread import Ranged
from panelwright.reports.layout import heading, plural, sentence, table, wrapped
from panelwright.reports.section_text import merged, numbers, section

#: Worries shown at a glance; the rest are counted.
GLANCE_WORRIES = 3
#: Below this, kg/m2, a ledger entry is written as a dash.
NOTHING = 5e-5


def shown(value: Ranged, dimension: str, system: str) -> str:
    """The middle to the digits its range allows."""
    return units.show(value.value, dimension, system, value.low, value.high)


def shown_range(value: Ranged, dimension: str, system: str) -> str:
    """The 90 % range, or nothing where there is none."""
    if value.high <= value.low:
        return ""
    return units.show_range(value.low, value.high, dimension, system)


def _title(prediction: Prediction, system: str) -> str:
    parts = [prediction.process, prediction.resin]
    if prediction.length is not None and prediction.width is not None:
        sides = (units.show(s, "length", system) for s in (prediction.length, prediction.width))
        parts.insert(0, " × ".join(sides))
    return f"{prediction.title}\n{'; '.join(parts)}"


def _mass_words(prediction: Prediction, system: str) -> str:
    if prediction.mass is None or prediction.area is None:
        return ""
    whole = shown(prediction.mass, "mass", system)
    return f"{whole} for {units.show(prediction.area, 'area', system)}"


def _to_buy(mix: Mix, system: str) -> str:
    """What to buy of a product, in packs where their size is given."""
    if mix.in_all is None:
        return "to buy: give a size"
    if mix.pack is None or mix.packs is None:
        return f"to buy: {shown(mix.in_all, 'resin_mass', system)} (no pack size given)"
    pack = units.show(mix.pack, "mass", system)
    return f"to buy: {plural(mix.packs, 'pack')} of {pack}"


def _mixed(mix: Mix) -> tuple[Ranged, str]:
    """How much of a product to mix: in all, else per area; and its dimension."""
    return (mix.per_area, "cloth_mass") if mix.in_all is None else (mix.in_all, "resin_mass")


def _resin_lines(prediction: Prediction, system: str) -> list[list[str]]:
    if not prediction.mixes:
        return [["Resin to mix", "none", "", ""]]
    rows = []
    for index, mix in enumerate(prediction.mixes):
        value, dimension = _mixed(mix)
        rows.append(
            [
                "Resin to mix" if index == 0 else "",
                shown(value, dimension, system),
                shown_range(value, dimension, system),
                mix.product,
                _to_buy(mix, system),
            ]
        )
    return rows


def _worry_lines(prediction: Prediction, most: int | None) -> list[str]:
    found = [*prediction.warnings, *prediction.assumed]
    if not found:
        return ["What worries me   nothing that these numbers show"]
    shown_now = found if most is None else found[:most]
    lines = ["What worries me"]
    lines += [wrapped(text, first="  • ") for text in shown_now]
    if len(found) > len(shown_now):
        more = len(found) - len(shown_now)
        lines.append(f"  and {plural(more, 'more point', 'more points')}: see --full")
    return lines


def glance(prediction: Prediction, system: str = "si") -> str:
    """The few lines that a builder needs."""
    return _head(prediction, system, GLANCE_WORRIES)


def _head(prediction: Prediction, system: str, most_worries: int | None) -> str:
    rows = [
        [
            "Thickness",
            shown(prediction.thickness, "thickness", system),
            shown_range(prediction.thickness, "thickness", system),
        ],
        [
            "Mass",
            shown(prediction.areal_mass, "areal_mass", system),
            shown_range(prediction.areal_mass, "areal_mass", system),
            _mass_words(prediction, system),
        ],
        *_resin_lines(prediction, system),
    ]
    return "\n".join(
        [_title(prediction, system), "", table(rows), "", *_worry_lines(prediction, most_worries)]
    )


def _angles(layers: list[LayerRecord]) -> str:
    angles = layers[0].angles
    if layers[0].kind == "plywood":
        return f"face grain {angles[0]:.0f}°, {len(angles)} veneers"
    words = ["random" if angle is None else f"{angle:.0f}°" for angle in angles]
    if layers[0].kind in {"cloth", "lamina", "strips", "board", "veneer"}:
        return " ".join(words).replace("-", "−")
    return "" if angles[0] is None else words[0]


def _percent(value: float | None) -> str:
    return "" if value is None else f"{100.0 * value:.0f} %"


def _layer_row(first: int, same: list[LayerRecord], system: str) -> list[str]:
    layer = same[0]
    thickness = sum(one.thickness.value for one in same)
    mass = sum(one.areal_mass.value for one in same)
    return [
        numbers(first, len(same)),
        layer.name,
        units.show(thickness, "thickness", system),
        units.show(mass, "areal_mass", system),
        _angles(same),
        _percent(layer.fibre_mass_fraction),
        _percent(layer.fibre_volume_fraction),
        _percent(sum(one.share_of_thickness for one in same)),
        _percent(sum(one.share_of_mass for one in same)),
        layer.evidence.word,
    ]


def _layers(prediction: Prediction, system: str) -> str:
    head = [
        "",
        "layer",
        "thickness",
        "mass",
        "angle",
        "fibre",
        "fibre",
        "of the",
        "of the",
        "rests",
    ]
    units_row = ["", "", "", "", "", "by mass", "by vol.", "thickness", "mass", "evidence"]
    rows = [_layer_row(first, same, system) for first, same in merged(prediction.layers)]
    return table([head, units_row, *rows], right=(0, 2, 3, 5, 6, 7, 8))


def _cell(value: Ranged, system: str) -> str:
    return "–" if value.value < NOTHING else units.show(value.value, "cloth_mass", system)


def _ledger(prediction: Prediction, system: str) -> str:
    head = ["", "in the part", "to mix", "to buy", "in the part, 90 % range"]
    rows = [head] + [
        [
            row.cause,
            _cell(row.in_part, system),
            _cell(row.to_mix, system) if row.mixes else "–",
            _cell(row.to_buy, system),
            shown_range(row.in_part, "cloth_mass", system),
        ]
        for row in prediction.ledger
    ]
    total = prediction.areal_mass
    rows.append(
        [
            "together",
            _cell(total, system),
            _cell(prediction.to_mix, system),
            "",
            shown_range(total, "cloth_mass", system),
        ]
    )
    return table(rows, right=(1, 2, 3))


def _buying(prediction: Prediction, system: str) -> str:
    rows = [
        [f"  {mix.product}", f"to mix: {shown(*_mixed(mix), system)}", _to_buy(mix, system)]
        for mix in prediction.mixes
    ]
    return table(rows) or "  nothing to mix"


def _rules(prediction: Prediction, system: str) -> str:
    ours = units.show(prediction.to_mix.value, "cloth_mass", system)
    rows = [["  this prediction, to mix", ours]]
    rows += [
        [f"  {rule.name}", units.show(rule.resin, "cloth_mass", system)]
        for rule in prediction.rules
    ]
    notes = [
        wrapped(f"{rule.name}. Counts: {rule.counts}. Leaves out: {rule.leaves_out}.", first="  • ")
        for rule in prediction.rules
    ]
    return "\n".join([table(rows, right=(1,)), *notes])


def _drivers(prediction: Prediction) -> str:
    rows = []
    for name, value in (("thickness", prediction.thickness), ("mass", prediction.areal_mass)):
        rows += [
            [
                f"  {name if index == 0 else ''}",
                f"{100 * driver.share:.0f} %",
                driver.cause,
                driver.evidence.value,
            ]
            for index, driver in enumerate(value.drivers[:5])
        ]
    return table(rows, right=(1,)) or "  nothing varies"


def _cautions(prediction: Prediction) -> str:
    lines = [
        wrapped(
            f"{sentence(one.name)} {sentence(one.what_happens)} {sentence(one.usual_control)}",
            first="  • ",
        )
        for one in prediction.cautions
    ]
    lines.append(
        wrapped(
            "These are estimates, not certification: class rules, the applicable standard, local "
            "codes and a licensed naval architect or engineer override them. Follow the safety "
            "data sheets.",
            first="  • ",
        )
    )
    return "\n".join(lines)


def full(prediction: Prediction, system: str = "si") -> str:
    """Everything, with ranges."""
    parts = [
        _head(prediction, system, None),
        heading("Section") + "\n" + section(prediction, system),
        heading("Layer by layer, from the outside") + "\n" + _layers(prediction, system),
        heading("Ledger, per square metre") + "\n" + _ledger(prediction, system),
        heading("To mix and to buy") + "\n" + _buying(prediction, system),
    ]
    if prediction.rules:
        parts.append(
            heading("What rules of thumb would have said") + "\n" + _rules(prediction, system)
        )
    parts.append(heading("What drives the range") + "\n" + _drivers(prediction))
    parts.append(heading("Cautions") + "\n" + _cautions(prediction))
    foot = f"Panelwright {prediction.version}, {prediction.draws} draws of the causes"
    return "\n\n".join([*parts, foot])
