"""Stiffness in words: what is said, in which units, to how many digits."""

from __future__ import annotations

import re
from dataclasses import fields, is_dataclass, replace
from pathlib import Path
from typing import Any

import pytest

from panelwright.panels.records import AngleRecord, LikenessRecord, Prediction, SectionRecord
from panelwright.panels.spread import Ranged
from panelwright.provenance import Evidence
from panelwright.reports.layout import wide
from panelwright.reports.prediction_json import as_json
from panelwright.reports.stiffness_text import BAR, UNLIKE, like, stiffness_parts
from tests.jobs.panels import EXAMPLES, panel, predicted, predicted_text

SYSTEMS = ("si", "imperial", "both")
TITLES = [
    "Like these",
    "Stiffness",
    "Which layer does the work",
    "Stiffness for its mass",
    "How it moves",
    "Rules for the moduli of a ply, side by side",
]
STEEL = (
    'thickness = "3 mm"\nlamina = { density = "7850 kg/m3", E1 = "210 GPa", E2 = "210 GPa", '
    'G12 = "80.769 GPa", nu12 = 0.3 }'
)
TENDER = next(path for path in EXAMPLES if path.stem == "tender-topside")
EACH = pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)


def parts(made: Prediction, system: str = "si") -> dict[str, str]:
    return dict(stiffness_parts(made, system))


def section_of(made: Prediction) -> SectionRecord:
    assert made.section is not None
    return made.section


def known(value: float, spread: float = 0.0) -> Ranged:
    return Ranged(value, value - spread, value + spread, "m", Evidence.GIVEN)


def certain(value: Any) -> Any:
    """The same record with every range closed on its middle."""
    if isinstance(value, Ranged):
        return replace(value, low=value.value, high=value.value)
    if isinstance(value, dict):
        return {name: certain(entry) for name, entry in value.items()}
    if isinstance(value, tuple):
        return tuple(map(certain, value))
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{f.name: certain(getattr(value, f.name)) for f in fields(value)})
    return value


def likened(along: Ranged, across: Ranged, mass: Ranged) -> Prediction:
    """A panel of which only its likeness is of interest."""
    record = LikenessRecord("birch plywood", along, across, mass)
    return replace(predicted(TENDER), likeness=(record,))


# --- Glance ---------------------------------------------------------------------------------------


def test_the_line_of_likeness() -> None:
    made = likened(known(8.19e-3, 0.9e-3), known(8.26e-3, 0.3e-3), known(6.74e-3, 0.8e-3))
    assert like(made, "si") == (
        "As stiff as 8.2 mm birch plywood along, 8.3 mm across; as heavy as 6.7 mm."
    )
    assert like(made, "imperial") == (
        "As stiff as 0.32 in birch plywood along, 0.33 in across; as heavy as 0.27 in."
    )
    assert " ".join(like(made, "both").split()) == (
        "As stiff as 8.2 mm (0.32 in) birch plywood along, 8.3 mm (0.33 in) across; as heavy as "
        "6.7 mm (0.27 in)."
    )


def test_a_wide_range_takes_digits_away() -> None:
    """Half a range of 12 mm: no tenths."""
    made = likened(known(83.4e-3, 12e-3), known(83.4e-3, 5e-3), known(0.62e-3))
    assert like(made, "si") == (
        "As stiff as 83 mm birch plywood along, 83.4 mm across; as heavy as 0.62 mm."
    )


@EACH
def test_tenths_of_a_millimetre_at_a_glance(path: Path) -> None:
    for shown in re.findall(r"([\d.]+) mm", like(predicted(path), "si")):
        assert len(shown.partition(".")[2]) <= 1, shown


def test_nothing_is_said_of_a_panel_that_is_not_known() -> None:
    made = predicted_text(panel('thickness = "3 mm"\nlamina = { density = "1400 kg/m3" }'))
    assert like(made, "si") == ""
    assert stiffness_parts(made, "si") == []


# --- Full -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("system", SYSTEMS)
@EACH
def test_every_part_is_there(path: Path, system: str) -> None:
    found = parts(predicted(path), system)
    assert list(found) == TITLES
    assert all(found.values())


_METRIC = re.compile(r"\d (?:mm|m|N·m|N/mm|[MG]Pa)\b|\d kg/m³|GPa per|N·m per")
_IMPERIAL = re.compile(r"\d (?:in|ft|lbf·ft|lbf/in|[Mk]si)\b|\d lb/ft³|Msi per|lbf·ft per")


@EACH
def test_each_system_keeps_to_itself_and_both_has_both(path: Path) -> None:
    for title in TITLES:
        if title == "Which layer does the work":  # shares have no unit
            continue
        metric, imperial, both = (
            parts(certain(predicted(path)), system)[title] for system in SYSTEMS
        )
        assert _METRIC.search(metric), title
        assert not _IMPERIAL.search(metric), title
        assert _IMPERIAL.search(imperial), title
        assert not _METRIC.search(imperial), title
        assert _METRIC.search(both), title
        assert _IMPERIAL.search(both), title


@pytest.mark.parametrize("system", SYSTEMS)
@EACH
def test_within_the_page(path: Path, system: str) -> None:
    for text in parts(predicted(path), system).values():
        assert max(wide(line) for line in text.splitlines()) <= 100


def test_steel_by_hand() -> None:
    """E t³/12 = 472.5 N m; 210 GPa; 3 mm; 210/7.85 = 26.8; 472.5/23.55 = 20.1."""
    found = parts(certain(predicted_text(panel(STEEL))))
    assert re.search(r"bending, for its width +47[23] N·m", found["Stiffness"])
    assert re.search(r"modulus in bending +210 GPa", found["Stiffness"])
    assert re.search(r"steel +3\.0 mm +3\.0 mm +3\.0 mm", found["Like these"])
    assert "The neutral plane lies in the middle." in found["Stiffness"]
    assert re.search(r"tie or sheet, E/ρ +26\.8 +26\.8\n", found["Stiffness for its mass"])
    assert re.search(r"for its mass +20\.1 +20\.1\n", found["Stiffness for its mass"])


def test_steel_by_hand_in_pounds_and_inches() -> None:
    """472.5 N m = 348.5 lbf ft; 210 GPa = 30.5 Msi; 7850 kg/m3 = 490 lb/ft3 = 0.2836 lb/in3."""
    found = parts(certain(predicted_text(panel(STEEL))), "imperial")
    assert re.search(r"bending, for its width +34[89] lbf·ft", found["Stiffness"])
    assert re.search(r"modulus in bending +30\.5 Msi", found["Stiffness"])
    assert re.search(r"steel +0\.12 in +0\.12 in +0\.12 in", found["Like these"])
    assert re.search(r"density of the whole +490 lb/ft³", found["Stiffness for its mass"])
    assert re.search(r"tie or sheet, E/ρ +107 +107\n", found["Stiffness for its mass"])


@EACH
def test_shares_are_those_of_the_record(path: Path) -> None:
    """What is printed adds up to all of it, within the rounding of each row."""
    text = parts(predicted(path))["Which layer does the work"]
    rows = [re.findall(r"(\d+) %|(–)", line[-42:]) for line in text.splitlines()]
    cells = [[int(share or 0) for share, _ in row] for row in rows if len(row) == 4]
    assert cells
    for column in zip(*cells, strict=True):
        assert sum(column) == pytest.approx(100, abs=0.5 * len(cells) + 0.5)


# --- Words ----------------------------------------------------------------------------------------


@pytest.mark.parametrize("unlikeness", [0.0, 0.01, 0.1, 0.4, 1.0])
def test_how_unsymmetric_in_words(unlikeness: float) -> None:
    made = predicted(TENDER)
    section = replace(section_of(made), unlikeness=unlikeness)
    said = parts(replace(made, section=section))["Stiffness"]
    words = next(text for most, text in UNLIKE if unlikeness <= most)
    assert words in " ".join(said.split())


def test_where_the_neutral_plane_lies() -> None:
    made = predicted(TENDER)

    def said(along: float, across: float, system: str = "si") -> str:
        section = replace(section_of(made), neutral_along=along, neutral_across=across)
        text = parts(replace(made, section=section), system)["Stiffness"]
        match = re.search(r"The neutral plane lies (.+?)\.(?:\s|$)", " ".join(text.split()))
        assert match
        return match[1]

    assert said(0.0, 1e-5) == "in the middle"
    assert said(2.73e-3, 2.73e-3) == "2.7 mm outwards of the middle"
    assert said(-2.54e-3, 0.0) == (
        "2.5 mm inwards of the middle bending along, in the middle bending across"
    )
    assert said(2.54e-3, 2.54e-3, "both") == "2.5 mm (0.10 in) outwards of the middle"


def _angle(angle: float, modulus: float) -> AngleRecord:
    return AngleRecord(angle, known(modulus, modulus / 10.0), known(2.0 * modulus, modulus / 10.0))


def _around(moduli: dict[float, float]) -> list[list[str]]:
    made = predicted(TENDER)
    section = replace(section_of(made), by_angle=tuple(_angle(*item) for item in moduli.items()))
    text = parts(replace(made, section=section))["Stiffness"].split("\n\n")[-1]
    return [line.split() for line in text.splitlines()[2:]]


def test_bars_are_as_long_as_the_moduli() -> None:
    rows = _around({0.0: 10e9, 45.0: 5e9, 90.0: 0.1e9, 135.0: 5e9})
    assert [row[0] for row in rows] == ["0°", "45°", "90°"]
    assert [row[3] for row in rows] == ["█" * BAR, "█" * (BAR // 2), "█"]
    assert [row[-1] for row in rows] == ["█" * BAR, "█" * (BAR // 2), "█"]


def test_a_panel_that_is_askew_is_shown_on_both_sides_of_its_length() -> None:
    rows = _around({0.0: 10e9, 45.0: 8e9, 90.0: 2e9, 135.0: 4e9})
    assert [row[0] for row in rows] == ["−45°", "0°", "45°", "90°"]
    assert [len(row[3]) for row in rows] == [9, 22, 18, 4]


def test_movement_has_its_sign_and_its_range() -> None:
    made = predicted(TENDER)
    section = section_of(made)
    move = replace(
        section.movement[0],
        growth_along=known(-4e-4, 0.5e-4),
        growth_across=known(0.0),
        rise_along=known(2.34e-2, 0.4e-2),
        rise_across=known(-8e-4, 1.5e-3),
    )
    text = parts(replace(made, section=replace(section, movement=(move,))))["How it moves"]
    values, spans = text.splitlines()[2:4]
    assert re.split(r" {2,}", values.strip())[1:] == ["−0.40 mm", "–", "+23.4 mm", "−0.8 mm"]
    assert re.split(r" {2,}", spans.strip()) == ["−0.45 … −0.35", "19.4 … 27.4", "−2.3 … 0.7"]


def test_rules_have_capitals_ranges_and_sources() -> None:
    text = parts(predicted(TENDER))["Rules for the moduli of a ply, side by side"]
    for name in ("Halpin–Tsai, factor 2", "Förster and Knappe", "Chamis", "rule of mixtures"):
        assert name in text
    for taken in ("rule of mixtures", "Halpin–Tsai, factor 2", "Förster and Knappe"):
        assert f"▸ {taken}" in text
    assert text.count("▸") == 4  # three, and the sentence that explains it
    words = " ".join(text.split())
    for source in ("kaw-2006", "chamis-1983", "foerster-knappe-1971", "halpin-tsai-1969"):
        assert source in words
    assert "fitted to tests of glass in resin" in words


# --- Machine output -------------------------------------------------------------------------------


@EACH
def test_the_machine_reads_the_same(path: Path) -> None:
    made = predicted(path)
    section, written = section_of(made), as_json(made)["section"]
    assert [rule["rule"] for rule in written["ply_rules"]["rules"]] == [
        r.rule for r in section.rules
    ]
    assert {rule["unit"] for rule in written["ply_rules"]["rules"]} == {"Pa"}
    assert [one["name"] for one in written["against_handbook"]] == [
        h.name for h in section.handbook
    ]
    for name, value in section.merit.items():
        assert written["merit"][name]["value"] == value.value
        assert written["merit"][name]["unit"] == value.unit
    for move, read in zip(section.movement, written["movement"], strict=True):
        assert read["rise_over_1_m"]["across"]["value"] == move.rise_across.value
        assert read["rise_over_1_m"]["across"]["unit"] == "m"
        assert read["growth"]["along"]["low"] == move.growth_along.low
    assert [at["angle_deg"] for at in written["by_angle"]] == [at.angle for at in section.by_angle]
