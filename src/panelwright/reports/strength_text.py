"""Strength as a builder reads it: where the panel is weakest, then every load at two levels."""

from __future__ import annotations

import re
from collections.abc import Iterable

from panelwright import units
from panelwright.panels.records import (
    FIRST,
    ULTIMATE,
    CriteriaRecord,
    Prediction,
    StrengthRecord,
)
from panelwright.panels.spread import Ranged
from panelwright.provenance import Evidence
from panelwright.reports.layout import SYSTEMS, narrow, printed, sentence, table, wrapped

#: Unit of a load per width, its dimension, and what its figures are for one width of panel.
DIMENSIONS = {"N/m": "line_load", "N": "moment", "Pa": "pressure"}
PER_WIDTH = {"si": "for 1 m of width", "imperial": "for 1 ft of width"}
#: Of a moment: the unit of width over the metre.
WIDTHS = {"si": units.factor("m"), "imperial": units.factor("ft")}
#: First damage and end that differ by less than this are told as one.
SAME = 1.02
#: Columns of an action and of what happens.
ACTION, ENDS = 18, 30
WET = (
    "From first damage on, water gets in, stiffness and fatigue suffer and it creaks; a part that "
    "is wet, or loaded often, must stay below it. A dry part loaded seldom may go beyond, never "
    "near the ultimate."
)
SKINS = (
    "A thin skin that is pressed ends at the least of what its plies bear and what wrinkles it; "
    "both stand above. A heel is an even pressure on a patch {heel}, an edge is long and "
    "straight: from there on the core under the skin keeps a dent. The patch is ours, not a "
    "standard's; the skin itself is not judged under them."
)
LASTING = (
    "A load that stays on takes part of the strength, and lets a panel creep. Nothing above is "
    "reduced for it: multiply yourself. Common practice and tables from memory, wide by 10 to "
    "40 %; heat and water take more."
)
SIDE_BY_SIDE = (
    "From the strength of each layer by itself, at the middle values; cracks inside a laminate, "
    "which come earlier, are in the first damage above. Where criteria differ much, test. Norris "
    "looks at timber only."
)
LEFT_OUT = (
    "Not in these figures: buckling, cut-outs and free edges, fatigue and long loads, heat, "
    "joints and fasteners, impact. Timber is small clear wood but for the knots and the slope you "
    "gave. They are estimates "
    "of a mean with its range, not design values: local codes and a licensed engineer override."
)


def scaled(value: Ranged, system: str, small: bool) -> tuple[str, float, float, float]:
    """Dimension and figures for the width that is told; small : the load has no width."""
    dimension = "force" if small and value.unit == "N" else DIMENSIONS[value.unit]
    width = WIDTHS[system] if dimension == "moment" else 1.0
    return dimension, width * value.value, width * value.low, width * value.high


def _shown(value: Ranged, system: str, small: bool = False) -> str:
    dimension, middle, low, high = scaled(value, system, small)
    return units.show(middle, dimension, system, low, high)


def _range(value: Ranged, system: str, small: bool) -> str:
    dimension, _, low, high = scaled(value, system, small)
    return units.show_range(low, high, dimension, system).rpartition(" ")[0]


def _happens(record: StrengthRecord) -> str:
    """What happens and where: the layer, the mode, its face."""
    layer = f"{printed(record.layer)}: " if record.layer else ""
    at = f", {record.place}" if record.place and record.layer else ""
    return f"{layer}{record.mode}{at}"


def _briefly(record: StrengthRecord) -> str:
    """The same without the mass or density in the name of the layer: for the glance."""
    return re.sub(r",? [\d.]+ k?g/m[²³]", "", _happens(record))


def _at(records: Iterable[StrengthRecord], level: str) -> list[StrengthRecord]:
    return sorted((r for r in records if r.level == level), key=lambda r: r.value.value)


def _unknown(prediction: Prediction) -> str:
    names = prediction.unknown_strength
    if not names:
        return ""
    return (
        f"The strength of {' and of '.join(map(printed, names))} is not known: give it or test it."
    )


def _skins(prediction: Prediction) -> str:
    """How the ends of skins on a core are meant; empty without a core."""
    footprints = {r.action: r.footprint for r in prediction.strength if r.footprint}
    if not footprints:
        return ""
    heel = next((size for action, size in footprints.items() if "heel" in action), "")
    return SKINS.format(heel=heel)


def _glue(prediction: Prediction) -> str:
    names = prediction.unknown_glue
    if not names:
        return ""
    return f"{' and '.join(map(printed, names))}: not known, judged by the weaker neighbour."


def weakest_at(prediction: Prediction, system: str) -> str:
    """One sentence: the bending that damages the panel first, and what it bears in the end."""
    if prediction.unknown_strength:
        return wrapped(_unknown(prediction))
    bent = [r for r in prediction.strength if r.action.startswith("bent")]
    if not bent:
        return ""
    first = _at(bent, FIRST)[0]
    end = _at((r for r in bent if r.action == first.action), ULTIMATE)[0]
    loads = [
        " (".join(_shown(record.value, one) for one in SYSTEMS[system])
        + (")" if system == "both" else "")
        for record in (first, end)
    ]
    width = PER_WIDTH[SYSTEMS[system][0]]
    begins = f"Weakest when {first.action}: from {loads[0]} {width} ({_briefly(first)})"
    if _same(first, end):
        return wrapped(f"{begins}, and that is its end.")
    if _happens(first) == _happens(end):
        return wrapped(f"{begins}; it ends the same way at {loads[1]}.")
    return wrapped(f"{begins}; in the end it bears {loads[1]} ({_briefly(end)}).")


def _same(first: StrengthRecord, end: StrengthRecord) -> bool:
    """Whether damage and end are one."""
    return end.value.value <= SAME * first.value.value and _happens(first) == _happens(end)


def _row(action: str, records: list[StrengthRecord], system: str) -> Iterable[list[str]]:
    """First damage, then every end of one load; one line where they are the same."""
    first, ends = _at(records, FIRST), _at(records, ULTIMATE)
    both = bool(first and ends and _same(first[0], ends[0]))
    shown = (
        [("both", ends[0]), *(("or", end) for end in ends[1:])]
        if both
        else [
            *(("first", record) for record in first),
            *(("end" if number == 0 else "or", end) for number, end in enumerate(ends)),
        ]
    )
    for number, (level, record) in enumerate(shown):
        yield [
            narrow(action, ACTION) if number == 0 else "",
            level,
            _shown(record.value, system, bool(record.footprint)),
            _range(record.value, system, bool(record.footprint)),
            narrow(_happens(record), ENDS),
        ]


def strength_rows(prediction: Prediction, system: str) -> list[list[str]]:
    """The table of strength: load, level, value, range, what happens; the first row is the head."""
    actions = list(dict.fromkeys(record.action for record in prediction.strength))
    rows = [["", "", "load", "90 % range", "what happens"]]
    for action in actions:
        mine = [record for record in prediction.strength if record.action == action]
        rows += _row(action, mine, system)
    return rows


def _table(prediction: Prediction, system: str) -> str:
    return table(strength_rows(prediction, system), right=(2,), indent="  ")


def strength_text(prediction: Prediction, system: str) -> str:
    """Every load at two levels; nothing where no limit is known."""
    if not prediction.strength:
        return ""
    widths = " and ".join(PER_WIDTH[one] for one in SYSTEMS[system])
    known = _unknown(prediction)
    counted = f"{known} Only what is known is counted here. " if known else ""
    per_width = f"Forces are for each unit of width, moments {widths}."
    note = f"{counted}First damage, then the end of each load. {per_width}"
    tables = (_table(prediction, one) for one in SYSTEMS[system])
    notes = (_skins(prediction), _glue(prediction), WET, LEFT_OUT)
    said = (wrapped(text, first="  ") for text in notes if text)
    return "\n\n".join([wrapped(note, first="  "), *tables, *said])


def criteria_text(prediction: Prediction, system: str) -> str:
    """The load at which the first layer fails, by every criterion, one beside the other."""
    if not prediction.criteria:
        return ""
    names = list(dict.fromkeys(name for one in prediction.criteria for name in one.loads))
    parts = [wrapped(SIDE_BY_SIDE, first="  ")]
    for one_system in SYSTEMS[system]:
        head = ["", "", *("\n".join(name.replace("–", "–\n").split()) for name in names)]
        rows = [
            [narrow(one.action, ACTION), *_loads(one, names, one_system)]
            for one in prediction.criteria
        ]
        parts.append(table([head, *rows], right=range(2, len(names) + 2), indent="  "))
    return "\n\n".join(parts)


def _loads(record: CriteriaRecord, names: Iterable[str], system: str) -> Iterable[str]:
    """The unit of the loads, then each without it."""
    shown = {name: _bare(value, record.unit, system) for name, value in record.loads.items()}
    yield next(iter(shown.values()))[1]
    yield from (shown[name][0] if name in shown else "–" for name in names)


def _bare(value: float, unit: str, system: str) -> tuple[str, str]:
    """A load to three digits or so, and its unit."""
    text = _shown(Ranged(value, 0.9 * value, 1.1 * value, unit, Evidence.ESTIMATED), system)
    number, _, of = text.rpartition(" ")
    return number, of


# --- Heat, water and time -------------------------------------------------------------------------

SERVICE = (
    "What the hottest service and long soaking leave, against dry at 20 to 25 °C. Nothing above is "
    "reduced for it: multiply yourself. Rows of heat and water hold both."
)
#: Widest name of a material and of a property in the table of heat and water, columns.
SERVED = 25
#: Words of a property that is no strength.
_NO_STRENGTH = ("modulus", "stiffness only")


def _condition(temperature: float | None, wet: bool, system: str) -> str:
    hot = ""
    if temperature is not None:
        hot = f"at {units.show(temperature, 'temperature', SYSTEMS[system][0])}"
    return " ".join(part for part in ("wet" if wet else "", hot) if part)


def service_rows(prediction: Prediction, system: str) -> list[list[str]]:
    """A row for each property and condition; layers of one kind are told once."""
    rows: dict[tuple[str, ...], list[str]] = {}
    for one in prediction.service:
        if one.value is None or one.low is None or one.high is None or one.evidence is None:
            continue
        condition = _condition(one.temperature, one.wet, system)
        span = f"{one.low:.0%} … {min(one.high, 1.0):.0%}".replace("%", " %")
        left = f"{one.value:.0%}".replace("%", " %")
        cells = [narrow(printed(one.material), SERVED), narrow(_signs(one.what), SERVED), condition]
        rows.setdefault(tuple(cells), [*cells, left, span, one.evidence.word])
    return list(rows.values())


def not_told(prediction: Prediction, system: str) -> list[str]:
    """Sentences on what no table tells."""
    found = []
    for one in prediction.service:
        if one.value is not None:
            continue
        condition = _condition(one.temperature, one.wet, system)
        layer = sentence(printed(one.layer)).rstrip(".")
        if one.known_to is not None and one.what:
            most = units.show(one.known_to, "temperature", SYSTEMS[system][0])
            found.append(f"{layer}: {_signs(one.what)} is not known above {most}.")
        else:
            found.append(f"{layer}: what is left {condition} is not known: test it so.")
    return list(dict.fromkeys(found))


def service_text(prediction: Prediction, system: str) -> str:
    """What heat and water leave, by material; nothing for a panel that stays cool and dry."""
    if not prediction.service:
        return ""
    head = ["", "left of it", "when", "", "90 % range", "evidence"]
    rows = service_rows(prediction, system)
    shown = table([head, *rows], right=(3, 4), indent="  ") if rows else ""
    unknown = "\n".join(
        wrapped(text, first="  • ", rest="    ") for text in not_told(prediction, system)
    )
    intro = wrapped(SERVICE, first="  ", rest="  ")
    return "\n\n".join(part for part in (intro, shown, unknown) if part)


def in_service(prediction: Prediction, system: str) -> str:
    """One sentence: what the service of the panel may leave of its strength."""
    known = [
        one
        for one in prediction.service
        if one.value is not None and not any(word in one.what for word in _NO_STRENGTH)
    ]
    if not prediction.service:
        return ""
    condition = _condition(
        max((one.temperature or 0.0 for one in prediction.service), default=0.0) or None,
        any(one.wet for one in prediction.service),
        system,
    )
    if not known:
        return wrapped(f"What is left of that {condition} is not known: test it so.")
    worst = min(known, key=lambda one: one.value or 0.0)
    share = f"{worst.value:.0%}".replace("%", " %")
    when = _condition(worst.temperature, worst.wet, system)
    return wrapped(
        f"That is dry, cool and for a short time: {when} a layer may keep as little as {share} of "
        f"its strength ({_briefly_named(worst.layer)})."
    )


def _signs(text: str) -> str:
    return text.replace("+-", "±")


def _briefly_named(layer: str) -> str:
    return re.sub(r",? [\d.]+ k?g/m[²³]", "", printed(layer))


#: Times of a lasting load: up to this many s, and the words.
TIMES = ((3.7e3, "1 hour"), (3.7e6, "1000 hours"), (4e8, "10 years"))


def lasting_text(prediction: Prediction) -> str:
    """What loads that last leave, by material; nothing where nothing is known."""
    if not prediction.lasting:
        return ""
    rows = []
    for one in prediction.lasting:
        by_time = {
            next((words for most, words in TIMES if time <= most), ""): f"{share:.0%}"
            for time, share in one.left
        }
        shares = (by_time.get(words, "").replace("%", " %") for _, words in TIMES)
        rows.append([narrow(one.material, ENDS), narrow(one.what, ENDS), *shares])
    head = ["", "left of it after", *(words for _, words in TIMES)]
    return f"{wrapped(LASTING, first='  ')}\n\n{table([head, *rows], right=(2, 3, 4), indent='  ')}"
