"""Stiffness as a builder reads it: what it is like, then the figures."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable

from panelwright import units
from panelwright.panels.records import (
    AngleRecord,
    HandbookRecord,
    LikenessRecord,
    MovementRecord,
    Prediction,
    RuleRecord,
    SectionRecord,
)
from panelwright.panels.spread import Ranged
from panelwright.provenance import Evidence
from panelwright.reports.layout import SYSTEMS, narrow, printed, table, wrapped
from panelwright.reports.section_text import merged, numbers

#: Widest name of a layer, a step or a remark, columns.
NAME, REMARK = 34, 36
#: Longest bar of a modulus, columns.
BAR = 22
DASH = "–"
#: How unsymmetric, from least to most: up to this, and the words.
UNLIKE = (
    (0.005, "Symmetric: it stays flat when pulled."),
    (0.05, "Nearly symmetric: it hardly bends when pulled."),
    (0.20, "Not symmetric: it bends a little when pulled, and may warp a little."),
    (1.01, "Far from symmetric: it bends when pulled, and may warp with heat and moisture."),
)
#: A height or a rise less than this, m, is not worth a figure.
FLAT = 5e-5
#: Moduli on two sides of the length that differ by more than this share are shown apart.
ASKEW = 0.01
#: Unit of a small length, and what of it is worth ten of the last digit shown.
_LENGTHS = {"si": ("mm", 1.0), "imperial": ("in", 0.1)}


# --- Numbers --------------------------------------------------------------------------------------


def _fixed(value: float, places: int) -> str:
    return f"{value:z.{places}f}".replace("-", units.MINUS)


def _length(value: Ranged, system: str, finer: int = 0) -> tuple[str, str]:
    """A small length and its range, to a tenth of a millimetre or a hundredth of an inch.

    ``finer`` places more; fewer where the range is wide.
    """
    unit, ten = _LENGTHS[system]
    size = units.factor(unit)
    half = max((value.high - value.low) / (2.0 * size), ten / 10**finer)
    places = max(0, 1 - math.floor(math.log10(half) + 1e-9))
    middle, low, high = (_fixed(end / size, places) for end in (value.value, value.low, value.high))
    return f"{middle} {unit}", "" if low == high else f"{low} … {high}"


def _solid(value: Ranged, system: str) -> tuple[str, str]:
    """The thickness of a solid: a place more where it is thinner than 1 mm or 0.1 in."""
    unit, ten = _LENGTHS[system]
    return _length(value, system, 1 if value.value < ten * units.factor(unit) else 0)


def _shown(value: Ranged, dimension: str, system: str) -> str:
    return units.show(value.value, dimension, system, value.low, value.high)


def _range(value: Ranged, dimension: str, system: str) -> str:
    """The 90 % range without its unit; empty where there is none."""
    if value.high <= value.low:
        return ""
    return units.show_range(value.low, value.high, dimension, system).rpartition(" ")[0]


def _pair(dimension: str, value: Ranged | None, system: str) -> list[str]:
    if value is None:
        return ["", ""]
    return [_shown(value, dimension, system), _range(value, dimension, system)]


def _ratio(value: Ranged | None) -> list[str]:
    """A ratio to two places, and its range where that shows."""
    if value is None:
        return ["", ""]
    low, high = _fixed(value.low, 2), _fixed(value.high, 2)
    return [_fixed(value.value, 2), "" if low == high else f"{low} … {high}"]


def _each(make: Callable[[str], str], system: str) -> str:
    """A part in one system, or in one below the other."""
    return "\n\n".join(make(one) for one in SYSTEMS[system])


# --- Like -----------------------------------------------------------------------------------------


def _spoken(value: Ranged, system: str) -> str:
    first, *others = (_solid(value, one)[0] for one in SYSTEMS[system])
    return f"{first} ({others[0]})" if others else first


def like(prediction: Prediction, system: str) -> str:
    """One sentence: as stiff as, as heavy as; empty where the stiffness is not known."""
    if not prediction.likeness:
        return ""
    first = prediction.likeness[0]
    along, across, mass = (_spoken(v, system) for v in (first.along, first.across, first.mass))
    return wrapped(f"As stiff as {along} {first.name} along, {across} across; as heavy as {mass}.")


def _likeness_row(record: LikenessRecord, system: str) -> list[str]:
    values = (record.along, record.across, record.mass)
    return [record.name, *(cell for value in values for cell in _solid(value, system))]


def _likeness(records: Iterable[LikenessRecord], system: str) -> str:
    head = [
        "",
        "as stiff\nalong",
        "\nrange",
        "as stiff\nacross",
        "\nrange",
        "\nas heavy",
        "\nrange",
    ]
    rows = [_likeness_row(record, system) for record in records]
    return table([head, *rows], right=(1, 3, 5), indent="  ")


# --- Figures --------------------------------------------------------------------------------------


def _figures(section: SectionRecord, system: str) -> str:
    m = section.moduli
    rows = [
        ("bending, for its width", "moment", section.stiffness_along, section.stiffness_across),
        ("transverse shear", "line_load", section.shear_along, section.shear_across),
        ("modulus in its plane", "modulus", m["Ex"], m["Ey"]),
        ("modulus in bending", "modulus", m["Ex_bending"], m["Ey_bending"]),
        ("shear modulus in its plane", "modulus", m["Gxy"], None),
        ("shear modulus in twisting", "modulus", m["Gxy_bending"], None),
    ]
    body = [
        [name, *_pair(dimension, along, system), *_pair(dimension, across, system)]
        for name, dimension, along, across in rows
    ]
    body.append(["Poisson's ratio in its plane", *_ratio(m["nuxy"])])
    head = ["", "along", "90 % range", "across", "90 % range"]
    return table([head, *body], right=(1, 3), indent="  ")


def _plane(height: float, system: str) -> str:
    if abs(height) < FLAT:
        return "in the middle"
    size = abs(height)
    at = Ranged(size, size, size, "m", Evidence.ESTIMATED)
    first, *others = (_length(at, one)[0] for one in SYSTEMS[system])
    shown = f"{first} ({others[0]})" if others else first
    return f"{shown} {'outwards' if height > 0.0 else 'inwards'} of the middle"


def _symmetry(section: SectionRecord, system: str) -> str:
    words = next(text for most, text in UNLIKE if section.unlikeness <= most)
    along, across = (_plane(h, system) for h in (section.neutral_along, section.neutral_across))
    where = along if along == across else f"{along} bending along, {across} bending across"
    return wrapped(f"{words} The neutral plane lies {where}.", first="  ")


def _all_round(angles: tuple[AngleRecord, ...]) -> list[tuple[str, AngleRecord]]:
    """From the length to across; on both sides of the length where they differ."""
    by_angle = {round(at.angle): at for at in angles}
    upto = sorted(angle for angle in by_angle if angle <= 90)
    other = sorted(angle for angle in by_angle if 90 < angle < 180)
    same = all(
        abs(one.value / two.value - 1.0) <= ASKEW
        for angle in other
        for one, two in (
            (by_angle[angle].in_plane, by_angle[180 - angle].in_plane),
            (by_angle[angle].bending, by_angle[180 - angle].bending),
        )
    )
    left = [] if same else [(f"{units.MINUS}{180 - angle}°", by_angle[angle]) for angle in other]
    return [*left, *((f"{angle}°", by_angle[angle]) for angle in upto)]


def _bar(value: float, largest: float) -> str:
    return "█" * max(1, round(BAR * value / largest))


def _angles(section: SectionRecord, system: str) -> str:
    """Moduli at angles to the length, each with a bar: a polar diagram unrolled."""
    rows = _all_round(section.by_angle)
    plane = max(at.in_plane.value for _, at in rows)
    bent = max(at.bending.value for _, at in rows)
    body = [
        [
            angle,
            _shown(at.in_plane, "modulus", system),
            _bar(at.in_plane.value, plane),
            _shown(at.bending, "modulus", system),
            _bar(at.bending.value, bent),
        ]
        for angle, at in rows
    ]
    head = ["to the\nlength", "modulus\nin its plane", "", "modulus\nin bending", ""]
    return table([head, *body], right=(0, 1, 3), indent="  ")


# --- Which layer ----------------------------------------------------------------------------------


def _percent(value: float) -> str:
    return DASH if value < 0.005 else f"{100.0 * value:.0f} %"


def _shares(prediction: Prediction, section: SectionRecord) -> str:
    rows = []
    for first, same in merged(prediction.layers):
        span = range(first - 1, first - 1 + len(same))
        bending = [sum(section.bending_shares[i][way] for i in span) for way in (0, 1)]
        shear = [sum(section.shear_shares[i][way] for i in span) for way in (0, 1)]
        rows.append(
            [
                numbers(first, len(same)),
                narrow(printed(same[0].name), NAME),
                *(_percent(value) for value in (*bending, *shear)),
            ]
        )
    head = [
        "",
        "share of",
        "stiffness in\nbending along",
        "\nacross",
        "give in\nshear along",
        "\nacross",
    ]
    return table([head, *rows], right=(0, 2, 3, 4, 5), indent="  ")


# --- Merit ----------------------------------------------------------------------------------------


def merit_size(power: float, above: str, below: str) -> float:
    """SI size of one unit of a merit number: a power of one unit over another."""
    return math.pow(units.factor(above), power) / units.factor(below)


#: Merit numbers: words, key, power of what stands above, and by system the unit in words, what
#: stands above and what below.
MERITS = (
    (
        "tie or sheet, E/ρ",
        "specific_modulus",
        1.0,
        {
            "si": ("GPa per g/cm³", "GPa", "g/mL"),
            "imperial": ("Msi per lb/in³", "Msi", "lb/in^3"),
        },
    ),
    (
        "plate in bending, E^(1/3)/ρ",
        "plate_merit",
        1.0 / 3.0,
        {
            "si": ("GPa^(1/3) per g/cm³", "GPa", "g/mL"),
            "imperial": ("Msi^(1/3) per lb/in³", "Msi", "lb/in^3"),
        },
    ),
    (
        "bending stiffness for its mass",
        "stiffness_for_mass",
        1.0,
        {
            "si": ("N·m per kg/m²", "N m", "kg/m^2"),
            "imperial": ("lbf·ft per lb/ft²", "lbf ft", "lb/ft^2"),
        },
    ),
)


def _over(value: Ranged, size: float) -> list[str]:
    """A number and its range in a unit of a given size."""
    middle, low, high = (end / size for end in (value.value, value.low, value.high))
    return [
        units.show(middle, "ratio", "si", low, high),
        units.show_range(low, high, "ratio") if high > low else "",
    ]


def _merit(section: SectionRecord, system: str) -> str:
    merit = section.merit
    rows = [["density of the whole", *_pair("density", merit["density"], system)]]
    for words, key, power, by_system in MERITS:
        unit, above, below = by_system[system]
        size = merit_size(power, above, below)
        ways = (merit[f"{key}_along"], merit[f"{key}_across"])
        rows.append([f"{words}\n  {unit}", *(cell for way in ways for cell in _over(way, size))])
    head = ["for its mass", "along", "90 % range", "across", "90 % range"]
    return table([head, *rows], right=(1, 3), indent="  ")


_AGAINST = {
    "timber": "the handbook's, at the same moisture",
    "cloth": "that of its fibre alone, Ef Vf",
}


def _handbook(records: Iterable[HandbookRecord]) -> str:
    rows = [
        [
            narrow(f"{printed(one.name)}, over {_AGAINST[one.kind]}", NAME + 4),
            *_ratio(one.modulus),
            *_ratio(one.specific),
        ]
        for one in records
    ]
    head = ["", "modulus\nalong", "\n90 % range", "the same\nfor its mass", "\n90 % range"]
    return table([head, *rows], right=(1, 3), indent="  ")


def _merits(section: SectionRecord, system: str) -> str:
    parts = [_each(lambda one: _merit(section, one), system)]
    if section.handbook:
        parts.append(_handbook(section.handbook))
    return "\n\n".join(parts)


# --- Movement -------------------------------------------------------------------------------------


def _signed(value: Ranged, system: str, finer: int = 0) -> str:
    """A change of length with its sign, and its range beneath; a dash for next to nothing."""
    if max(abs(value.low), abs(value.high)) < FLAT / 10**finer:
        return DASH
    middle, span = _length(value, system, finer)
    grows = value.value > 0.0 and any(digit in "123456789" for digit in middle)
    return f"{'+' if grows else ''}{middle}" + (f"\n{span}" if span else "")


def _movement_row(move: MovementRecord, system: str) -> list[str]:
    return [
        narrow(move.step, 26),
        _signed(move.growth_along, system, 1),
        _signed(move.growth_across, system, 1),
        _signed(move.rise_along, system),
        _signed(move.rise_across, system),
    ]


def _movement(section: SectionRecord, system: str) -> str:
    head = [
        f"free, over {units.show(1.0, 'length', system)},\n90 % range",
        "grows\nalong",
        "grows\nacross",
        "middle rises,\nalong",
        "middle rises,\nacross",
    ]
    rows = [_movement_row(move, system) for move in section.movement]
    return table([head, *rows], right=(1, 2, 3, 4), indent="  ")


RISES = "Rises: + outwards, − inwards. A panel held by its frame pushes on it instead of moving."


# --- Rules ----------------------------------------------------------------------------------------

_QUANTITIES = {"E1": "along the fibre", "E2": "across the fibre", "G12": "in shear"}


def _rule_rows(rules: Iterable[RuleRecord], system: str) -> list[list[str]]:
    """The rules by quantity; what a formula is good for stands beside its first use."""
    rows: list[list[str]] = []
    quantities, said = set[str](), set[str]()
    for rule in rules:
        good_for = f"{rule.valid}; {rule.source}"
        rows.append(
            [
                "" if rule.quantity in quantities else _QUANTITIES[rule.quantity],
                f"{'▸' if rule.taken else ' '} {rule.rule}",
                "\n".join(units.show(rule.value, "modulus", one) for one in SYSTEMS[system]),
                "as above" if good_for in said else narrow(good_for, REMARK),
            ]
        )
        quantities.add(rule.quantity)
        said.add(good_for)
    return rows


def _rules(section: SectionRecord, system: str) -> str:
    about = f"{printed(section.ruled)}, as if its fibre lay straight. The prediction rests on ▸."
    rows = table(_rule_rows(section.rules, system), right=(2,), indent="  ")
    return f"{wrapped(about, first='  ')}\n\n{rows}"


# --- Together -------------------------------------------------------------------------------------


def stiffness_parts(prediction: Prediction, system: str) -> list[tuple[str, str]]:
    """Titles and texts of the stiffness; none where it is not known."""
    section = prediction.section
    if section is None:
        return []
    figures = [
        _each(lambda one: _figures(section, one), system),
        _symmetry(section, system),
        _each(lambda one: _angles(section, one), system),
    ]
    moves = _each(lambda one: _movement(section, one), system)
    parts = [
        ("Like these", _each(lambda one: _likeness(prediction.likeness, one), system)),
        ("Stiffness", "\n\n".join(figures)),
        ("Which layer does the work", _shares(prediction, section)),
        ("Stiffness for its mass", _merits(section, system)),
        ("How it moves", f"{moves}\n\n{wrapped(RISES, first='  ')}"),
    ]
    if section.rules:
        parts.append(("Rules for the moduli of a ply, side by side", _rules(section, system)))
    return parts
