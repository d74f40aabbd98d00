"""The fields of each kind of layer: every key of the panel file, what stands there, its words."""

from __future__ import annotations

import pytest

from panelwright.panels.description import spoken
from panelwright.panels.layer_fields import (
    FIRST,
    SAID,
    FileLayer,
    dotted,
    file_layers,
    path_of,
)
from panelwright.panels.layers import BY_KIND, LaminaConstants
from tests.jobs.panels import EXAMPLES

TEXT = """format = 1
[[layer]]
strips = "western redcedar"
thickness = "8 mm"
strip = { width = "22 mm", cover = "20 mm" }
glue = "epoxy, thickened"
[[layer]]
group = "skin"
[[group]]
name = "skin"
[[group.layer]]
cloth = "E-glass twill 200 g/m2"
repeat = 2
"""


def _keys(layer: FileLayer) -> dict[str, str]:
    return {
        ".".join(str(p) for p in one.path if isinstance(p, str)): one.value for one in layer.fields
    }


def test_what_the_file_says_stands_in_the_fields() -> None:
    strips, skin, cloth = file_layers(TEXT)
    assert (strips.kind, skin.kind, cloth.kind) == ("strips", "group", "cloth")
    assert (strips.name, cloth.name) == ("layer.1", "group.1.layer.1")
    assert (strips.described, cloth.described) == ("layer 1", "group 1, layer 1")
    keys = _keys(strips)
    assert keys["layer.strip.cover"] == "20 mm"
    assert keys["layer.glue"] == "epoxy, thickened"
    assert keys["layer.moisture"] == ""
    assert _keys(cloth)["group.layer.repeat"] == "2"


@pytest.mark.parametrize("kind", list(BY_KIND))
def test_every_key_of_every_kind_has_a_field_with_words(kind: str) -> None:
    (layer,) = file_layers(f"[[layer]]\n{kind} = 'x'\n")
    keys = {str(one.path[2]) for one in layer.fields}
    assert keys == set(BY_KIND[kind].model_fields)
    for one in layer.fields:
        assert path_of(one.name) == one.path
        assert one.words.strip()
        assert one.words[0].isupper() or one.path[-1] in LaminaConstants.model_fields, one.words
    assert layer.fields[0].path[-1] == kind or kind == "lamina"
    firsts = [one.is_first for one in layer.fields]
    assert firsts == sorted(firsts, reverse=True)


def test_no_words_for_keys_that_are_none() -> None:
    keys = {name for model in BY_KIND.values() for name in model.model_fields}
    for said in {*SAID, *FIRST}:
        assert said.split(" ")[0] in keys, said


def test_choices_are_those_that_the_file_takes() -> None:
    cloth = file_layers(TEXT)[2]
    faces = next(one for one in cloth.fields if one.path[-1] == "face")
    assert faces.choices == ("out", "in")


@pytest.mark.parametrize(
    "text", ["", "layer = 3", "[[layer]]\n", "= x", "[layer]\n", "group = [1, 2]"]
)
def test_what_is_no_panel_has_no_fields(text: str) -> None:
    assert all(not layer.fields for layer in file_layers(text))


def test_names_lead_back() -> None:
    path = ("group", 0, "layer", 11, "strip", "width")
    assert dotted(path) == "group.1.layer.12.strip.width"
    assert path_of(dotted(path)) == path
    assert spoken(path) == "group 1, layer 12, strip, width"


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_is_read_into_fields(path: object) -> None:
    layers = file_layers(path.read_text("utf-8"))  # type: ignore[attr-defined]
    assert layers
    assert all(layer.fields for layer in layers)
