"""One change in a panel file: one line of difference, comments and units kept."""

from __future__ import annotations

import difflib
import tomllib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from panelwright.errors import InputError
from panelwright.panels.description import read
from panelwright.panels.editing import (
    add_duty,
    add_layer,
    copy_layer,
    group_layers,
    layer_count,
    mirror_layers,
    move_layer,
    remove_duty,
    remove_layer,
    repeat_layer,
    set_value,
)
from panelwright.panels.laying import lay
from panelwright.panels.shop_words import NotUnderstood
from tests.jobs.panels import EXAMPLES, shipped

TEXT = """# A lid. Every number is invented.
format = 1
title = "Lid"            # as the owner calls it
process = "hand lay-up"

# outer skin
[[layer]]
cloth = "E-glass biaxial 300 g/m2"   # from the short roll
repeat = 2

[[layer]]
strips = "western redcedar"
thickness = "1/4 in"                 # as faired
strip = { width = "22 mm", cover = "20 mm" }

# inner skin, a leftover
[[layer]]
cloth = "E-glass twill 200 g/m2"
angle = 45

[[group]]
name = "edge"
[[group.layer]]
cloth = "E-glass twill 200 g/m2"
"""


def changed(before: str, after: str) -> tuple[list[str], list[str]]:
    """Lines taken away and lines added."""
    lines = list(difflib.ndiff(before.splitlines(), after.splitlines()))
    taken = [line[2:] for line in lines if line.startswith("- ")]
    added = [line[2:] for line in lines if line.startswith("+ ")]
    return taken, added


def names(text: str) -> list[str]:
    layers = tomllib.loads(text)["layer"]
    return [str(layer.get("cloth") or layer.get("strips") or layer.get("core")) for layer in layers]


BIAX, CEDAR, TWILL = "E-glass biaxial 300 g/m2", "western redcedar", "E-glass twill 200 g/m2"


@pytest.mark.parametrize(
    ("path", "typed", "line"),
    [
        (("layer", 1, "thickness"), "3/8 in", 'thickness = "3/8 in"                 # as faired'),
        (("title",), "Hatch", 'title = "Hatch"            # as the owner calls it'),
        (("layer", 0, "repeat"), "3", "repeat = 3"),
        (("layer", 2, "angle"), "-45", "angle = -45"),
        (("layer", 1, "strip", "cover"), "19 mm", 'strip = { width = "22 mm", cover = "19 mm" }'),
    ],
)
def test_a_changed_value_is_one_line_of_difference(
    path: tuple[str | int, ...], typed: str, line: str
) -> None:
    taken, added = changed(TEXT, set_value(TEXT, path, typed))
    assert len(taken) == 1
    assert added == [line]


def test_the_same_value_changes_nothing() -> None:
    assert set_value(TEXT, ("layer", 1, "thickness"), "1/4 in") == TEXT


def test_a_new_key_is_one_line_and_nothing_typed_takes_it_away() -> None:
    made = set_value(TEXT, ("layer", 0, "fibre_mass_fraction"), "0.5")
    assert changed(TEXT, made) == ([], ["fibre_mass_fraction = 0.5"])
    assert changed(made, set_value(made, ("layer", 0, "fibre_mass_fraction"), " ")) == (
        ["fibre_mass_fraction = 0.5"],
        [],
    )


def test_what_is_typed_wrong_is_kept_for_the_reader_to_refuse() -> None:
    made = set_value(TEXT, ("layer", 1, "thickness"), "8,0 mm")
    assert tomllib.loads(made)["layer"][1]["thickness"] == "8,0 mm"
    with pytest.raises(InputError, match="8,0 mm"):
        read(made)


def test_a_moved_layer_takes_its_comment_along() -> None:
    made = move_layer(TEXT, 0, 2)
    assert names(made) == [CEDAR, TWILL, BIAX]
    assert (
        '# outer skin\n[[layer]]\ncloth = "E-glass biaxial 300 g/m2"   # from the short roll'
        in made
    )
    assert sorted(filter(None, made.splitlines())) == sorted(filter(None, TEXT.splitlines()))
    assert names(move_layer(made, 2, 0)) == names(TEXT)


def test_a_copied_and_a_removed_layer() -> None:
    twice = copy_layer(TEXT, 1)
    assert names(twice) == [BIAX, CEDAR, CEDAR, TWILL]
    assert changed(TEXT, twice)[0] == []
    assert remove_layer(twice, 2) == TEXT
    assert names(remove_layer(TEXT, 0)) == [CEDAR, TWILL]
    assert "outer skin" not in remove_layer(TEXT, 0)


def test_a_layer_said_in_shop_words() -> None:
    catalogue = shipped()
    first = add_layer(TEXT, 0, "twill 160", catalogue)
    assert names(first)[1:] == names(TEXT)
    assert changed(TEXT, first)[0] == []
    last = add_layer(TEXT, 3, "6 mm ash", catalogue)
    assert layer_count(last) == 4
    assert tomllib.loads(last)["group"][0]["name"] == "edge"
    with pytest.raises(NotUnderstood):
        add_layer(TEXT, 0, "unobtainium", catalogue)


@pytest.mark.parametrize(
    "change",
    [
        lambda text: remove_layer(text, 3),
        lambda text: remove_layer(text, -1),
        lambda text: move_layer(text, 0, 3),
        lambda text: copy_layer(text, 9),
        lambda text: set_value(text, ("layer", 7, "thickness"), "8 mm"),
        lambda text: remove_layer("format = 1\n[[layer]]\ncloth = 'x'\n", 0),
        lambda text: set_value("not = = toml", ("title",), "x"),
    ],
)
def test_what_is_not_there_is_refused(change: object) -> None:
    with pytest.raises(InputError):
        change(TEXT)  # type: ignore[operator]


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda path: path.stem)
def test_every_example_comes_back_from_every_move(example: Path) -> None:
    text = example.read_text("utf-8")
    count = layer_count(text)
    assert count == len(tomllib.loads(text)["layer"])
    for layer in range(count):
        for to in range(count):
            there = move_layer(text, layer, to)
            assert names(move_layer(there, to, layer)) == names(text)
            assert len(read(there).panel.layer) == count


@given(
    st.lists(st.tuples(st.sampled_from("cmrs"), st.integers(0, 5), st.integers(0, 5)), max_size=8)
)
def test_any_chain_of_changes_leaves_a_file_that_is_read(steps: list[tuple[str, int, int]]) -> None:
    text = TEXT
    expected = names(TEXT)
    for kind, one, other in steps:
        count = len(expected)
        layer, to = one % count, other % count
        if kind == "c" and count < 20:
            text = copy_layer(text, layer)
            expected.insert(layer + 1, expected[layer])
        elif kind == "m":
            text = move_layer(text, layer, to)
            expected.insert(to, expected.pop(layer))
        elif kind == "r" and count > 1:
            text = remove_layer(text, layer)
            expected.pop(layer)
        elif kind == "s":
            text = set_value(text, ("title",), f"Lid {one}")
        assert names(text) == expected
    assert text.count("# as the owner calls it") == 1


def test_mirror_is_one_line_and_back() -> None:
    mirrored = mirror_layers(TEXT)
    assert changed(TEXT, mirrored) == ([], ["mirror = true"])
    lines = mirrored.splitlines()
    assert lines.index("mirror = true") == lines.index('process = "hand lay-up"') + 1
    assert read(mirrored).panel.mirror
    assert mirror_layers(mirrored) == TEXT


def test_a_layer_laid_once_more() -> None:
    assert changed(TEXT, repeat_layer(TEXT, 0)) == (["repeat = 2"], ["repeat = 3"])
    taken, added = changed(TEXT, repeat_layer(TEXT, 1))
    assert (taken, added) == ([], ["repeat = 2"])


def test_layers_in_a_group_lie_as_before() -> None:
    free = TEXT.partition("[[group]]")[0].rstrip() + "\n"
    grouped = group_layers(free, 0, 1, 'a "skin"')
    before, after = lay(read(free)), lay(read(grouped))
    assert [one.layer for one in before] == [one.layer for one in after]
    for comment in (
        "# outer skin",
        "# from the short roll",
        "# as faired",
        "# inner skin, a leftover",
    ):
        assert comment in grouped
    assert read(grouped).panel.group[0].name == 'a "skin"'


def test_a_group_of_constants_keeps_its_tables() -> None:
    constants = '[layer.lamina]\nE1 = "40 GPa"\ndensity = "1900 kg/m3"\n'
    text = f'format = 1\n[[layer]]\nthickness = "1 mm"\n{constants}'
    grouped = group_layers(text, 0, 0, "ply")
    assert [one.layer for one in lay(read(text))] == [one.layer for one in lay(read(grouped))]


@pytest.mark.parametrize(
    ("first", "last", "name", "said"),
    [(0, 1, " ", "no name"), (0, 1, "edge", "Two groups"), (0, 9, "skin", "no such layer")],
)
def test_a_group_that_cannot_be(first: int, last: int, name: str, said: str) -> None:
    with pytest.raises(InputError, match=said):
        group_layers(TEXT, first, last, name)


def test_a_table_that_was_not_there_is_one_line() -> None:
    with_kerf = set_value(TEXT, ("layer", 1, "kerf", "width"), "1 mm")
    assert changed(TEXT, with_kerf) == ([], ['kerf = { width = "1 mm" }'])
    assert set_value(with_kerf, ("layer", 1, "kerf", "width"), "") == TEXT
    assert set_value(TEXT, ("layer", 1, "kerf", "width"), "") == TEXT


def test_duties_are_added_below_all_else_and_taken_away() -> None:
    once = add_duty(TEXT, "kneel on it")
    assert changed(TEXT, once)[0] == []
    assert read(once).panel.duty[0].ready == "kneel on it"
    assert read(once).panel.duty[0].span is not None, "the lid has no size"
    twice = add_duty(once, "")
    assert remove_duty(twice, 1) == once
    assert read(remove_duty(twice, 0)).panel.duty[0].ready is None
    with_load = once + "[[duty.load]]\nown_weight = true\n"
    assert remove_duty(with_load, 0) == TEXT
    with pytest.raises(InputError, match="no such duty"):
        remove_duty(once, 3)


def test_a_value_deep_in_a_duty_is_one_line() -> None:
    once = add_duty(TEXT, "kneel on it")
    deep = set_value(once, ("duty", 0, "like", "as"), "birch plywood 9 mm")
    assert changed(once, deep) == ([], ['like = { as = "birch plywood 9 mm" }'])
    deeper = set_value(deep, ("duty", 0, "like", "at_least", "stiffness"), "1")
    assert read(deeper).panel.duty[0].like is not None
    taken = set_value(deeper, ("duty", 0, "limits", "deflection"), "span/50")
    assert changed(deeper, taken)[1] == ['limits = { deflection = "span/50", reserve = 2 }']
