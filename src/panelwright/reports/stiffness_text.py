"""Stiffness as a builder reads it: what it is like, then the figures."""

from __future__ import annotations

from panelwright import units
from panelwright.panels.records import LikenessRecord, MovementRecord, Prediction, SectionRecord
from panelwright.panels.spread import Ranged
from panelwright.reports.layout import narrow, printed, table, wrapped
from panelwright.reports.section_text import merged, numbers

#: Widest name of a layer or a step, columns.
NAME = 34
DASH = "–"
#: How unsymmetric, from least to most: up to this, and the words.
UNLIKE = (
    (0.005, "Symmetric: it stays flat when pulled."),
    (0.05, "Nearly symmetric: it hardly bends when pulled."),
    (0.20, "Not symmetric: it bends a little when pulled, and warps a little."),
    (1.01, "Far from symmetric: it bends when pulled, and warps with heat and moisture."),
)
#: Curvature that raises the middle of a metre by less than this, m, is not worth a figure.
FLAT = 5e-5


def _shown(value: Ranged, dimension: str, system: str) -> str:
    return units.show(value.value, dimension, system, value.low, value.high)


def _range(value: Ranged, dimension: str, system: str) -> str:
    if value.high <= value.low:
        return ""
    return units.show_range(value.low, value.high, dimension, system)


def _plain(value: Ranged, system: str) -> str:
    """A thickness to its digits, without the mark of the rule in brackets."""
    return _shown(value, "thickness", system).partition(" (≈")[0]


def like(prediction: Prediction, system: str) -> str:
    """One sentence: as stiff as, as heavy as; empty where the stiffness is not known."""
    if not prediction.likeness:
        return ""
    first = prediction.likeness[0]
    one = "imperial" if system == "imperial" else "si"
    along, across, mass = (_plain(v, one) for v in (first.along, first.across, first.mass))
    return wrapped(
        f"As stiff as {along} {first.name} along, {across} across; as heavy as {mass} of it."
    )


def _likeness_row(record: LikenessRecord, system: str) -> list[str]:
    values = (record.along, record.across, record.mass)
    return [record.name, *(_plain(value, system) for value in values)]


def _likeness(prediction: Prediction, system: str) -> str:
    head = ["", "as stiff\nalong", "as stiff\nacross", "\nas heavy"]
    rows = [_likeness_row(record, system) for record in prediction.likeness]
    return table([head, *rows], right=(1, 2, 3), indent="  ")


def _figures(section: SectionRecord, system: str) -> str:
    moduli = section.moduli
    rows = [
        ("bending, for its width", "moment", section.stiffness_along, section.stiffness_across),
        ("transverse shear", "line_load", section.shear_along, section.shear_across),
        ("modulus in its plane", "modulus", moduli["Ex"], moduli["Ey"]),
        ("modulus in bending", "modulus", moduli["Ex_bending"], moduli["Ey_bending"]),
        ("shear in its plane", "modulus", moduli["Gxy"], None),
    ]
    body = [
        [name, *_pair(dimension, along, system), *_pair(dimension, across, system)]
        for name, dimension, along, across in rows
    ]
    head = ["", "along", "90 % range", "across", "90 % range"]
    return table([head, *body], right=(1, 3), indent="  ")


def _pair(dimension: str, value: Ranged | None, system: str) -> list[str]:
    if value is None:
        return ["", ""]
    return [
        _shown(value, dimension, system),
        _range(value, dimension, system).rpartition(" ")[0],
    ]


def _symmetry(section: SectionRecord, system: str) -> str:
    words = next(text for most, text in UNLIKE if section.unlikeness <= most)
    planes = []
    for way, height in (("along", section.neutral_along), ("across", section.neutral_across)):
        if abs(height) >= FLAT:
            side = "outside" if height > 0.0 else "inside"
            planes.append(
                f"{units.show(abs(height), 'thickness', system)} {side} of the middle {way}"
            )
    neutral = f" The neutral plane lies {', '.join(planes)}." if planes else ""
    return wrapped(f"{words}{neutral}", first="  ")


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
    head = ["", "share of", "bending\nalong", "\nacross", "give in\nshear along", "\nacross"]
    return table([head, *rows], right=(0, 2, 3, 4, 5), indent="  ")


def _angles(section: SectionRecord, system: str) -> str:
    upto = [row for row in section.by_angle if row[0] <= 90.0]
    rows = [
        ["angle to the length", *(f"{angle:.0f}°" for angle, _, _ in upto)],
        ["in its plane", *(units.show(plane, "modulus", system) for _, plane, _ in upto)],
        ["in bending", *(units.show(bent, "modulus", system) for _, _, bent in upto)],
    ]
    return table(rows, right=range(1, len(upto) + 1), indent="  ")


def _growth(strain: float, system: str) -> str:
    size = units.show(abs(strain), "thickness", system).partition(" (≈")[0]
    return DASH if abs(strain) < FLAT / 10 else f"{'−' if strain < 0 else '+'}{size}"


def _rise(rise: float, system: str) -> str:
    if abs(rise) < FLAT:
        return "stays flat"
    size = units.show(abs(rise), "thickness", system).partition(" (≈")[0]
    return f"{size} {'out' if rise > 0.0 else 'in'}wards"


def _movement_row(move: MovementRecord, system: str) -> list[str]:
    return [
        narrow(move.step, NAME),
        _growth(move.growth_along, system),
        _growth(move.growth_across, system),
        _rise(move.rise_along, system),
        _rise(move.rise_across, system),
    ]


def _movement(section: SectionRecord, system: str) -> str:
    head = [
        "free, over a metre",
        "grows\nalong",
        "grows\nacross",
        "middle rises\nalong",
        "middle rises\nacross",
    ]
    rows = [_movement_row(move, system) for move in section.movement]
    return table([head, *rows], right=(1, 2), indent="  ")


def _rules(section: SectionRecord, system: str) -> str:
    words = {"E2": "modulus across the fibre", "G12": "shear modulus"}
    rows = [
        [
            words[name],
            ", ".join(f"{rule} {units.show(v, 'modulus', system)}" for rule, v in by.items()),
        ]
        for name, by in section.rules.items()
    ]
    return table([[name, narrow(text, 62)] for name, text in rows], indent="  ")


def stiffness_parts(prediction: Prediction, system: str) -> list[tuple[str, str]]:
    """Titles and texts of the stiffness; none where it is not known. Both systems: metric."""
    section = prediction.section
    if section is None:
        return []
    one = "imperial" if system == "imperial" else "si"
    figures = "\n\n".join([_figures(section, one), _symmetry(section, one), _angles(section, one)])
    parts = [
        ("Like these", _likeness(prediction, one)),
        ("Stiffness", figures),
        ("Which layer does the work", _shares(prediction, section)),
        ("How it moves", _movement(section, one)),
    ]
    if section.rules:
        parts.append(("What rules say of the first cloth, as if straight", _rules(section, one)))
    return parts
