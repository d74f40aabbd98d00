"""One set of formulas for one panel, for draws and for candidates: a batch is its rows."""

from __future__ import annotations

from dataclasses import fields, replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from panelwright.mechanics.arrays import Array
from panelwright.panels.evaluate import Build, evaluate
from panelwright.panels.spread import drawn_stack
from panelwright.panels.stack import FIELDS, UNITS, Stack, StackLayer, stack_of

from .written import FORMAT, layer, resolved

DRAWS = 32
EXAMPLES = sorted((Path(__file__).resolve().parents[2] / "examples").glob("*.toml"))

#: Every kind of layer at once, as sources of columns.
ALL_KINDS = (
    layer(coat="gelcoat")
    + layer(cloth="biax 300")
    + layer(cloth="flax twill 300", moisture="8 %")
    + layer(cloth="1708", thickness="1.2 mm")
    + layer(cloth="UD 300", fibre_volume_fraction=0.4, void_fraction="2 %")
    + layer(core="PET foam 110", thickness="20 mm", kerf={"width": "1 mm", "pitch": "30 mm"})
    + layer(glue="epoxy, thickened")
    + layer(plywood="birch plywood", thickness="6.5 mm", seal="cured")
    + layer(bulking_mat="bulking mat", thickness="2 mm")
    + layer(core="balsa 150", thickness="12 mm", bend_radius="2 m")
    + layer(cloth="twill 200", repeat=2)
    + layer(strips="western redcedar", thickness="8 mm", strip={"cover": "20 mm"}, seal="wet")
    + layer(damping="cork rubber", thickness="3 mm", density="1000 kg/m3")
    + layer(veneer="okoume", thickness="0.6 mm")
)


def _panels() -> dict[str, list[StackLayer]]:
    found = {"every kind": resolved(ALL_KINDS).layers}
    for path in EXAMPLES:
        text = path.read_text("utf-8").replace("format = 1", "", 1)
        found[path.stem] = resolved(text).layers
    return found


PANELS = _panels()


def _arrays(build: Any, prefix: str = "") -> dict[str, Array]:
    """All arrays of a result, those of its parts too."""
    found: dict[str, Array] = {}
    for entry in fields(build):
        value = getattr(build, entry.name)
        if isinstance(value, np.ndarray | np.floating):
            found[prefix + entry.name] = np.asarray(value)
        else:
            found |= _arrays(value, f"{prefix}{entry.name}.")
    return found


def _row(stack: Stack, index: int) -> Stack:
    return Stack(**{name: getattr(stack, name)[index] for name in FIELDS})


def _evaluated(stack: Stack) -> Build:
    with np.errstate(all="raise"):
        return evaluate(stack)


@pytest.mark.parametrize("name", PANELS)
def test_each_row_of_a_batch_is_the_panel_by_itself(name: str) -> None:
    """To 1e-12 of the largest entry of its block."""
    drawn = drawn_stack(PANELS[name], DRAWS)
    batch = _arrays(_evaluated(drawn))
    for index in range(DRAWS):
        alone = _arrays(_evaluated(_row(drawn, index)))
        assert alone.keys() == batch.keys()
        for key, values in alone.items():
            largest = max(float(np.max(np.abs(values))), 1e-300)
            assert np.max(np.abs(batch[key][index] - values)) <= 1e-12 * largest, key


@pytest.mark.parametrize("name", PANELS)
def test_more_leading_axes(name: str) -> None:
    drawn = drawn_stack(PANELS[name], 6)
    cube = Stack(**{key: np.reshape(getattr(drawn, key), (2, 3, -1)) for key in FIELDS})
    flat, deep = _evaluated(drawn), _evaluated(cube)
    assert deep.areal_mass.shape == (2, 3)
    assert np.array_equal(deep.areal_mass.reshape(6), flat.areal_mass)
    assert np.array_equal(deep.layer_thickness.reshape(6, -1), flat.layer_thickness)


@pytest.mark.parametrize("name", PANELS)
@pytest.mark.parametrize("where", [0, 1, -1])
def test_absent_layers_add_nothing(name: str, where: int) -> None:
    """A column of zeros, wherever it stands, has no thickness and no mass."""
    stack = stack_of(PANELS[name])
    place = where if where >= 0 else stack.fibre_mass.shape[-1]
    with_absent = Stack(**{key: np.insert(getattr(stack, key), place, 0.0) for key in FIELDS})
    before, after = _evaluated(stack), _evaluated(with_absent)
    assert after.layer_thickness[place] == 0.0
    assert after.layer_mass[place] == 0.0
    assert after.thickness == pytest.approx(float(before.thickness), rel=1e-14)
    assert after.areal_mass == pytest.approx(float(before.areal_mass), rel=1e-14)


def test_a_stack_of_absent_layers_is_nothing() -> None:
    build = _evaluated(Stack(**{key: np.zeros((4, 3)) for key in FIELDS}))
    assert np.array_equal(build.areal_mass, np.zeros(4))
    assert np.array_equal(build.thickness, np.zeros(4))


@pytest.mark.parametrize("name", PANELS)
def test_the_layers_make_up_the_panel(name: str) -> None:
    build = _evaluated(drawn_stack(PANELS[name], DRAWS))
    assert build.thickness == pytest.approx(build.layer_thickness.sum(axis=-1), rel=1e-14)
    assert build.areal_mass == pytest.approx(build.layer_mass.sum(axis=-1), rel=1e-14)


@pytest.mark.parametrize("name", PANELS)
def test_the_causes_make_up_the_mass(name: str) -> None:
    build = _evaluated(stack_of(PANELS[name]))
    cloth = [build.fibre, build.water, build.thread, build.cloth_resin]
    causes = [*cloth, build.fill_resin, build.soak, build.film, build.edge, build.kerf, build.solid]
    assert float(np.sum(causes)) == pytest.approx(float(build.areal_mass), rel=1e-14)


def test_a_column_says_what_its_layer_says() -> None:
    layers = PANELS["every kind"]
    stack = stack_of(layers)
    for index, one in enumerate(layers):
        for key in FIELDS:
            given = one.inputs.get(key)
            assert getattr(stack, key)[index] == (0.0 if given is None else given.value)


def test_no_layer_speaks_of_an_array_that_is_not_there() -> None:
    for layers in PANELS.values():
        for one in layers:
            assert set(one.inputs) <= set(FIELDS)


def test_units_are_of_arrays_that_are_there() -> None:
    assert set(UNITS) <= set(FIELDS)


def test_the_order_of_the_layers_does_not_change_the_sums() -> None:
    layers = PANELS["every kind"]
    there, back = _evaluated(stack_of(layers)), _evaluated(stack_of(layers[::-1]))
    assert back.areal_mass == pytest.approx(float(there.areal_mass), rel=1e-14)
    assert back.thickness == pytest.approx(float(there.thickness), rel=1e-14)


def test_a_layer_of_twice_the_thickness_weighs_twice() -> None:
    stack = stack_of(resolved(layer(board="okoume", thickness="9 mm")).layers)
    twice = replace(stack, solid_thickness=2.0 * stack.solid_thickness)
    assert _evaluated(twice).areal_mass == pytest.approx(2.0 * _evaluated(stack).areal_mass)


def test_all_examples_are_held_to_this() -> None:
    assert len(PANELS) == 1 + len(EXAMPLES)
    assert FORMAT.strip() in EXAMPLES[0].read_text("utf-8")
