"""``panelwright check``: exit codes, text, JSON that keeps to its schema."""

from __future__ import annotations

import json
from pathlib import Path

import jsonschema
import pytest

from panelwright.reports.duty_json import schema

from .running import Command

PANEL = """format = 1
title = "Hatch"
[[layer]]
cloth = "E-glass biaxial 300 g/m2"
[[layer]]
strips = "western redcedar"
thickness = "12 mm"
[[layer]]
cloth = "E-glass biaxial 300 g/m2"
[[duty]]
name = "Knee on the hatch"
ready = "kneel on it"
span = { length = "400 mm", width = "300 mm" }
limits = { deflection = "LIMIT", reserve = 1 }
"""


@pytest.fixture
def file(tmp_path: Path) -> Path:
    path = tmp_path / "hatch.toml"
    path.write_text(PANEL.replace("LIMIT", "20 mm"), encoding="utf-8")
    return path


def test_kept_is_0_not_kept_is_1_refused_is_2(panelwright: Command, file: Path) -> None:
    kept = panelwright("check", str(file))
    assert kept.code == 0, kept.err
    assert "Knee on the hatch: ✓ kept" in kept.out
    assert "licensed engineer" in kept.out
    file.write_text(PANEL.replace("LIMIT", "0.1 mm"), encoding="utf-8")
    missed = panelwright("check", str(file))
    assert missed.code == 1
    assert "✗ not kept" in missed.out
    file.write_text(PANEL.replace("LIMIT", "soft"), encoding="utf-8")
    refused = panelwright("check", str(file))
    assert refused.code == 2
    assert f"{file}:14, duty 1, limits, deflection" in refused.err
    assert "span/100" in refused.err


def test_everything_has_loads_sources_and_both_ways(panelwright: Command, file: Path) -> None:
    said = panelwright("check", str(file), "--full", "--units", "imperial").out
    for word in (
        "lbf",
        "Common practice, no source",
        "clamped where you are unsure",
        "EI of at least",
    ):
        assert word in said
    assert all(len(line) <= 100 for line in said.splitlines())


def test_machines_read_what_the_schema_says(panelwright: Command, file: Path) -> None:
    made = json.loads(panelwright("check", str(file), "--json").out)
    jsonschema.validate(made, schema())
    told = json.loads(panelwright("schema", "check").out)
    jsonschema.validate(made, told)
    (duty,) = made["duties"]
    assert duty["kept"] == "yes"
    deflection = duty["limits"][0]
    assert deflection["limit"] == pytest.approx(0.02)
    assert deflection["used"] == pytest.approx(deflection["value"]["value"] / 0.02)
