"""What is kept of a prediction comes back to the last digit, also of older forms."""

from __future__ import annotations

import json
import math
from dataclasses import replace
from pathlib import Path

import pytest

from panelwright.errors import InputError
from panelwright.jobs.shelf import snapshot_of
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.stored import FORM, Snapshot, dump, load


def _snapshot(root: Path, name: str = "tender-topside") -> Snapshot:
    text = (root / "examples" / f"{name}.toml").read_text("utf-8")
    return snapshot_of(text, Catalogue.shipped())


def test_every_example_comes_back_exactly(root: Path) -> None:
    for path in sorted((root / "examples").glob("*.toml")):
        made = _snapshot(root, path.stem)
        assert load(dump(made)) == made, path.stem
        assert dump(load(dump(made))) == dump(made), path.stem


def test_it_keeps_what_it_rests_on(root: Path) -> None:
    made = _snapshot(root)
    kept = load(dump(made))
    assert kept.prediction.text == (root / "examples/tender-topside.toml").read_text("utf-8")
    assert kept.prediction.catalogue == Catalogue.shipped().hash
    assert all(one.given.source for one in kept.inputs)
    assert len({one.of for one in kept.inputs}) == len(kept.inputs) > 50


def test_numbers_without_bounds_come_back(root: Path) -> None:
    made = _snapshot(root)
    endless = replace(made.prediction.thickness, high=math.inf, low=-math.inf)
    made = replace(made, prediction=replace(made.prediction, thickness=endless))
    assert load(dump(made)) == made


def test_what_later_versions_add_has_a_default_and_what_they_drop_is_passed_over(
    root: Path,
) -> None:
    content = json.loads(dump(_snapshot(root)))
    del content["house_values"]
    content["prediction"]["layers"][0]["of_a_later_day"] = 1
    assert load(json.dumps(content)).house_values == {}


@pytest.mark.parametrize("text", ["", "null", "[]", "{}", '{"form": 1}', '{"form": "x"}', "{"])
def test_another_text_is_refused(text: str) -> None:
    with pytest.raises(InputError, match=r"[Tt]his (is not a stored|prediction was kept)"):
        load(text)


def test_a_newer_form_is_refused_by_name(root: Path) -> None:
    text = dump(_snapshot(root)).replace(f'"form":{FORM}', f'"form":{FORM + 1}', 1)
    with pytest.raises(InputError, match="newer version"):
        load(text)
