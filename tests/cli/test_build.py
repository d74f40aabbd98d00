"""``panelwright build``: what it prints, what it writes, what it refuses."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from .running import Command

TENDER, ROOF = "examples/tender-topside.toml", "examples/camper-roof.toml"
JOB, ROOF_JOB = "examples/parts/rowing-tender.toml", "examples/parts/camper-roof.toml"


@pytest.fixture(autouse=True)
def _in_root(monkeypatch: pytest.MonkeyPatch, root: Path) -> None:
    monkeypatch.chdir(root)


def test_a_panel_alone(panelwright: Command) -> None:
    ran = panelwright("build", TENDER)
    assert ran.code == 0
    assert "Tender topside" in ran.out
    assert "To mix" in ran.out
    assert "use in" in ran.out
    assert "mix ratio of epoxy, laminating is not said" in ran.out
    assert max(map(len, ran.out.splitlines())) <= 100


def test_a_job_of_several_panels(panelwright: Command) -> None:
    ran = panelwright("build", JOB)
    assert ran.code == 0
    assert "2 × Bulkhead" in ran.out
    assert "Pots, 2:1 by volume" in ran.out


def test_everything(panelwright: Command) -> None:
    ran = panelwright("build", ROOF, "--part", ROOF_JOB, "--full")
    assert ran.code == 0
    for said in ("in the part", "HOLD:", "[common practice]", "Before you mix", "not certified"):
        assert said in ran.out
    assert "583 + 187" in ran.out  # 770 g at 100:32


def test_imperial(panelwright: Command) -> None:
    ran = panelwright("build", ROOF, "--units", "imperial", "--full")
    assert "ft²" in ran.out
    assert "°F" in ran.out


@pytest.mark.parametrize("arguments", [(TENDER,), (JOB,), (ROOF, "--part", ROOF_JOB)])
def test_for_machines(panelwright: Command, arguments: tuple[str, ...]) -> None:
    schema = json.loads(panelwright("schema", "build").out)
    Draft202012Validator.check_schema(schema)
    ran = panelwright("build", *arguments, "--json")
    made = json.loads(ran.out)
    Draft202012Validator(schema).validate(made)
    assert made["schema"] == "panelwright/build/2"
    assert made["sessions"][0]["stage"]["kind"]


def test_schema_of_a_part_file(panelwright: Command) -> None:
    schema = json.loads(panelwright("schema", "part").out)
    Draft202012Validator.check_schema(schema)
    assert "station" in json.dumps(schema)


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("nothing.toml",), "no such file"),
        ((TENDER, "--part", "nothing.toml"), "no such file"),
        ((TENDER, "--part", ROOF), "`process` is not known here"),
    ],
)
def test_refusals(panelwright: Command, arguments: tuple[str, ...], said: str) -> None:
    ran = panelwright("build", *arguments)
    assert ran.code == 2
    assert said in ran.err
    assert not ran.out


def test_a_panel_that_a_part_names_is_not_there(panelwright: Command, tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text('format = 1\n[[part]]\npanel = "gone.toml"\n', encoding="utf-8")
    ran = panelwright("build", str(job))
    assert ran.code == 2
    assert "gone.toml" in ran.err


def test_a_part_without_a_panel(panelwright: Command, tmp_path: Path) -> None:
    job = tmp_path / "job.toml"
    job.write_text("format = 1\n[[part]]\ncount = 2\n", encoding="utf-8")
    ran = panelwright("build", str(job))
    assert ran.code == 2
    assert "does not say which panel" in ran.err


def test_it_writes_a_shopping_list_and_never_over_one(panelwright: Command, tmp_path: Path) -> None:
    out = tmp_path / "sheets"
    ran = panelwright("build", ROOF, "--part", ROOF_JOB, "--out", str(out))
    assert ran.code == 0
    lines = (out / "shopping.csv").read_text(encoding="utf-8-sig").splitlines()
    assert lines[0].startswith("group,what,to buy")
    assert any(line.startswith('resin,"epoxy, laminating",2 packs of 6 kg') for line in lines)
    again = panelwright("build", ROOF, "--part", ROOF_JOB, "--out", str(out))
    assert again.code == 2
    assert "a file of that name already" in again.err
