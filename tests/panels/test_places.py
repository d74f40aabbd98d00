"""The line of every key, on TOML written in all the ways that TOML allows (toml.io, v1.0.0)."""

from __future__ import annotations

import json
from typing import Any

import pytest
import tomlkit
from hypothesis import given
from hypothesis import strategies as st

from panelwright.panels.places import Path, line_of, places

TRICKY = '''\
# a comment = with an equals sign
format = 1
notes = """
layer = "this is text"
[[layer]]
still text \\""" and still text
"""
title = 'ends with three quotes, which open nothing: """'
"a.b" . 'c d' = [ # [ not a bracket
  [1, 2], # ]
  [3],
  "]",
]
size = { length = "3 m", "wid th" = { list = [1,
  2], unit = "m" }, last = 1 }
shop.temperature = "17 degC"

[[layer]]
cloth = "a # no comment, no ] and no } either"  # a comment
strip.cover = "20 mm"
[layer.lamina]
E1 = "40 GPa"

[[ layer ]]
cloth = """one line"""
[[group]]
name = "skin"
[[group.layer]]
cloth = "first"
[[group.layer]]
cloth = "second"
[["group"]]
[[group.layer]]
cloth = "third"
'''
LINES: dict[Path, int] = {
    ("format",): 2,
    ("notes",): 3,
    ("title",): 8,
    ("a.b",): 9,
    ("a.b", "c d"): 9,
    ("a.b", "c d", 0): 10,
    ("a.b", "c d", 1): 11,
    ("a.b", "c d", 2): 12,
    ("size", "length"): 14,
    ("size", "wid th"): 14,
    ("size", "wid th", "list", 1): 15,
    ("size", "wid th", "unit"): 15,
    ("size", "last"): 15,
    ("shop", "temperature"): 16,
    ("layer", 0): 18,
    ("layer", 0, "cloth"): 19,
    ("layer", 0, "strip", "cover"): 20,
    ("layer", 0, "lamina"): 21,
    ("layer", 0, "lamina", "E1"): 22,
    ("layer", 1): 24,
    ("layer", 1, "cloth"): 25,
    ("group", 0): 26,
    ("group", 0, "name"): 27,
    ("group", 0, "layer", 0): 28,
    ("group", 0, "layer", 0, "cloth"): 29,
    ("group", 0, "layer", 1, "cloth"): 31,
    ("group", 1): 32,
    ("group", 1, "layer", 0, "cloth"): 34,
}


@pytest.mark.parametrize(("path", "line"), LINES.items(), ids=str)
def test_line_of_each_key(path: Path, line: int) -> None:
    assert places(TRICKY)[path] == line


def test_what_stands_in_text_is_no_key() -> None:
    found = places(TRICKY)
    assert len([path for path in found if path[0] == "layer" and len(path) == 2]) == 2
    assert not any("still text" in str(path) for path in found)


def test_the_text_is_toml() -> None:
    """Else the lines above prove nothing."""
    assert len(tomlkit.parse(TRICKY).unwrap()["layer"]) == 2


def test_windows_line_ends_do_not_count_twice() -> None:
    assert places(TRICKY.replace("\n", "\r\n")) == places(TRICKY)


@pytest.mark.parametrize("sign", ["\u2028", "\x85", "\x0c", "\x1c"])
def test_only_a_line_feed_ends_a_line(sign: str) -> None:
    """Python's splitlines knows more line ends than TOML does."""
    assert places(f"# a{sign}b\nformat = 1\n")[("format",)] == 2


def test_a_list_of_inline_tables() -> None:
    found = places(
        'layer = [\n  { cloth = "a" },\n  { cloth = "b",\n angle = 3 },\n]\nmirror = true'
    )
    assert found["layer", 0, "cloth"] == 2
    assert found["layer", 1, "cloth"] == 3
    assert found["layer", 1, "angle"] == 4
    assert found["mirror",] == 6


def test_line_of_falls_back_to_what_holds_it() -> None:
    found = places('[[layer]]\ncloth = "a"\n')
    assert line_of(found, ("layer", 0, "thickness")) == 1
    assert line_of(found, ("layer", 0, "cloth", "deeper")) == 2
    assert line_of(found, ("elsewhere",)) is None


@given(st.text(max_size=200) | st.text("[]{}=.,\"'#\n\\ ab1", max_size=200))
def test_any_text_raises_nothing(text: str) -> None:
    lines = text.replace("\r\n", "\n").count("\n") + 1
    assert all(1 <= line <= lines for line in places(text).values())


_KEYS = st.text(min_size=1, max_size=8)
_LEAVES = st.text(max_size=12) | st.integers(-9, 9) | st.booleans()
_TABLES = st.dictionaries(
    _KEYS,
    st.recursive(_LEAVES, lambda inner: st.lists(inner, max_size=3), max_leaves=4)
    | st.dictionaries(_KEYS, _LEAVES, max_size=3)
    | st.lists(st.dictionaries(_KEYS, _LEAVES, min_size=1, max_size=3), min_size=1, max_size=3),
    max_size=5,
)


def _written(key: str) -> set[str]:
    """The ways in which a key may stand in the text."""
    bare = tomlkit.dumps({key: 0}).split(" = ")[0]
    return {key, bare, json.dumps(key)[1:-1]}


def _keys(value: Any, path: Path = ()) -> list[Path]:
    if isinstance(value, dict):
        return [p for k, v in value.items() for p in [(*path, k), *_keys(v, (*path, k))]]
    if isinstance(value, list):
        return [p for i, v in enumerate(value) for p in _keys(v, (*path, i))]
    return []


@given(_TABLES)
def test_every_key_of_a_file_has_a_line_that_holds_it(table: dict[str, Any]) -> None:
    text = tomlkit.dumps(table)
    found, lines = places(text), text.replace("\r\n", "\n").split("\n")
    for path in _keys(table):
        line = lines[found[path] - 1]
        assert any(written in line for written in _written(str(path[-1]))), (path, line)


@pytest.mark.parametrize(
    "text",
    [
        "a = " + "[" * 50_000,
        "a = " + "{a=" * 30_000,
        "a" + ".a" * 60_000 + " = 1",
        "[" + "a." * 60_000 + "a]",
        '"""' + '\\"' * 60_000,
        '"a' * 60_000,
        "'''a\"\"\"b" * 20_000,
        '"\\' * 60_000,
    ],
    ids=lambda text: text[:8],
)
def test_text_made_to_hurt_is_scanned_once(text: str) -> None:
    """Work grows with the length of the text: the places noted do not outgrow its signs."""
    assert len(places(text)) <= len(text)
