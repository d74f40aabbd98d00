"""``panelwright materials`` and ``panelwright schema``."""

from __future__ import annotations

import json

import jsonschema
import pytest

from tests.jobs.panels import EXAMPLES, MATERIALS

from .running import Command


def test_tables(panelwright: Command) -> None:
    ran = panelwright("materials")
    assert ran.code == 0
    assert "timbers" in ran.out


def test_search(panelwright: Command) -> None:
    ran = panelwright("materials", "western", "redcedar")
    assert ran.code == 0
    assert "eastern" not in ran.out


def test_show_gives_values_with_sources(panelwright: Command) -> None:
    """Wood Handbook FPL-GTR-190, table 5-3a: western redcedar has a specific gravity of 0.32."""
    ran = panelwright("materials", "show", "western", "redcedar")
    assert "specific gravity 12" in ran.out
    assert "0.32" in ran.out
    assert "source: FPL-GTR-190" in ran.out


@pytest.mark.parametrize("words", [["show", "redceder"], ["redceder"]])
def test_an_unknown_name_offers_the_nearest(panelwright: Command, words: list[str]) -> None:
    ran = panelwright("materials", *words)
    assert (ran.code, ran.out) == (2, "")
    assert "redcedar" in ran.err


@pytest.mark.parametrize("words", [[], ["redcedar"], ["show", "redcedar"]], ids=str)
def test_json(panelwright: Command, words: list[str]) -> None:
    ran = panelwright("materials", *words, "--json")
    made = json.loads(ran.out)
    assert isinstance(made, list)
    assert made
    assert all("table" in one for one in made)


def test_own_materials_are_found(panelwright: Command) -> None:
    ran = panelwright("materials", "show", "scenario resin, bench", "--materials", str(MATERIALS))
    assert ran.code == 0
    assert "source: scenario S3" in ran.out


def test_schema_of_a_panel_file(panelwright: Command) -> None:
    made = json.loads(panelwright("schema").out)
    jsonschema.Draft202012Validator.check_schema(made)
    assert "layer" in made["properties"]


def test_schema_of_a_prediction_holds_for_one(panelwright: Command) -> None:
    made = json.loads(panelwright("schema", "prediction").out)
    predicted = json.loads(panelwright("predict", str(EXAMPLES[0]), "--json").out)
    jsonschema.validate(predicted, made)


def test_no_other_schema(panelwright: Command) -> None:
    assert panelwright("schema", "kitchen").code == 2
