"""A change is tried: the glance agrees with the whole prediction, and work can be ended."""

from __future__ import annotations

import pytest

from panelwright.errors import InputError
from panelwright.jobs.predict import glance_of
from panelwright.jobs.trying import changed, glanced, tried
from panelwright.panels.description import read
from panelwright.panels.resolve import resolve
from tests.jobs.panels import EXAMPLES, shipped

TEXT = EXAMPLES[-1].read_text("utf-8")


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_a_glance_has_the_middle_values_of_the_prediction(path: object) -> None:
    text = path.read_text("utf-8")  # type: ignore[attr-defined]
    glance, whole = glanced(text, shipped()), tried(text, shipped())
    for name in ("thickness", "areal_mass", "resin_in_part", "to_mix", "mass"):
        a, b = getattr(glance, name), getattr(whole, name)
        assert (a is None) == (b is None), name
        if a is not None:
            assert a.value == pytest.approx(b.value, rel=1e-12), name
    assert glance.warnings == whole.warnings
    assert [one.thickness.value for one in glance.layers] == pytest.approx(
        [one.thickness.value for one in whole.layers], rel=1e-12
    )
    assert (glance.section is None) == (whole.section is None)
    if glance.section is not None and whole.section is not None:
        along = glance.section.stiffness_along.value
        assert along == pytest.approx(whole.section.stiffness_along.value, rel=1e-12)
        assert glance.likeness[0].along.value == pytest.approx(
            whole.likeness[0].along.value, rel=1e-12
        )


class _Enough(Exception):
    pass


def test_long_work_ends_between_its_parts() -> None:
    text = TEXT.replace("format = 1", "format = 1\nnotes = 'never asked before'", 1)
    seen = 0

    def stop() -> None:
        nonlocal seen
        seen += 1
        if seen == 4:
            raise _Enough

    with pytest.raises(_Enough):
        tried(text, shipped(), stop)
    assert seen == 4
    parts = 0

    def count() -> None:
        nonlocal parts
        parts += 1

    tried(text, shipped(), count)
    assert parts > 10


def test_a_change_without_a_word_is_none() -> None:
    assert changed(TEXT, " ", "", shipped()) == TEXT


@pytest.mark.parametrize("do", ["down", "copy 1 2", "group 1", "move 1", "set", "fly 1", "up -1"])
def test_a_change_that_is_none_is_told_what_there_is(do: str) -> None:
    with pytest.raises(InputError, match="Allowed: up, down, copy, repeat, remove, move"):
        changed(TEXT, do, "skin", shipped())


def test_a_glance_at_a_panel_without_stiffness() -> None:
    layer = '[[layer]]\nthickness = "1 mm"\n[layer.lamina]\ndensity = "900 kg/m3"\n'
    text = f"format = 1\n{layer}"
    glance = glance_of(resolve(read(text), shipped()), shipped())
    assert glance.section is None
    assert glance.likeness == ()
