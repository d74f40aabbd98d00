"""Every headline of every example opens down to values that say where they come from."""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from panelwright.errors import InputError
from panelwright.jobs.strength import ACTIONS, CRIMPS, CRUSHED, EDGES, HEELS, SHEARED
from panelwright.jobs.working import Working, headline_names, strength_name, work
from panelwright.panels.description import read
from panelwright.provenance import Input
from panelwright.reports.working_text import working_text
from panelwright.working import Leaf, Node, Step, leaves, steps_below
from tests.mechanics.registry import FUNCTIONS

from .panels import EXAMPLES, described, panel, predicted, shipped

HEADLINES = ("thickness", "areal_mass", "mass", "resin_in_part", "resin_to_mix")


STIFFNESS = tuple(
    f"{what}_{way}"
    for what in ("stiffness", "modulus", "bending_modulus", "shear_stiffness")
    for way in ("along", "across")
)
#: Words of the strength records of a core, and the working of their load.
CORE = {CRUSHED: "crushing", CRIMPS: "crimping_along"}


def of_core(path: Path) -> dict[str, float]:
    """What ends the core of a panel, as predicted, by the name of its working."""
    found = {}
    for record in predicted(path).strength:
        for name in (CORE.get(record.action), CORE.get(record.mode)):
            if name is not None:
                way = "across" if record.action.endswith("across") else "along"
                found[name.replace("along", way)] = record.value.value
    return found


def of_layers(path: Path) -> dict[str, float]:
    """First damage and ultimate of the layers, as predicted, by the name of their working."""
    loads = {*SHEARED, *(action for both in ACTIONS for action in both)}
    return {
        strength_name(record.action, record.level): record.value.value
        for record in predicted(path).strength
        if record.action in loads and record.layer
    }


def of_faces(path: Path) -> dict[str, float]:
    """Wrinkling, dimpling and dents of the faces, as predicted, by the name of their working."""
    found = {}
    for record in predicted(path).strength:
        for words, what in (("wrinkles", "wrinkling"), ("into the cells", "dimpling")):
            if words in record.mode:
                found[strength_name(record.action, what)] = record.value.value
        if record.action in (*EDGES, *HEELS):
            found[record.action.replace(" ", "_")] = record.value.value
    return found


def names(path: Path) -> tuple[str, ...]:
    """What a working must open: the headlines, the strengths and the products to mix."""
    mixes = (mix.product for mix in predicted(path).mixes)
    strengths = of_layers(path) | of_core(path) | of_faces(path)
    return (*HEADLINES, *STIFFNESS, *strengths, *mixes)


ASKED = [(path, name) for path in EXAMPLES for name in headline_names(described(path), shipped())]
IDS = [f"{path.stem}-{name}" for path, name in ASKED]


@cache
def worked(path: Path, name: str) -> Working:
    return work(described(path), shipped(), name)


def constants_of(step: Step) -> Iterator[Leaf]:
    """What the formula itself says, on its own source: its defaults, and which result is meant."""
    known = inspect.signature(FUNCTIONS[step.formula.name]).parameters
    for name, node in step.arguments.items():
        if isinstance(node, Leaf) and (node.value is known[name].default or name == "which"):
            yield node


def without_origin(node: Node) -> Iterator[Leaf]:
    """Leaves with a value that nobody vouches for.

    An array of layers has an origin for each entry that is not nought; a choice of layers (ones
    and noughts) says in words which they are.
    """
    steps = [step for step in steps_below(node) if step.formula.name in FUNCTIONS]
    vouched = {
        id(leaf) for step in steps if step.formula.name != "total" for leaf in constants_of(step)
    }
    for leaf in leaves(node):
        if id(leaf) in vouched:
            continue
        values = np.atleast_1d(np.asarray(leaf.value, dtype=np.float64))
        if len(leaf.origins) == 1 and isinstance(leaf.origins[0], str):
            if not set(np.unique(values)) <= {0.0, 1.0}:
                yield leaf
        elif len(leaf.origins) != len(values):
            if np.any(values != 0.0):
                yield leaf
        elif any(
            value != 0.0 and not (isinstance(origin, Input) and origin.source)
            for value, origin in zip(values, leaf.origins, strict=True)
        ):
            yield leaf


@pytest.mark.parametrize(("path", "name"), ASKED, ids=IDS)
def test_opens_down_to_given_values(path: Path, name: str) -> None:
    done = worked(path, name)
    assert isinstance(done.node, Step)
    assert [leaf.name for leaf in without_origin(done.node)] == []
    assert any(isinstance(o, Input) for leaf in leaves(done.node) for o in leaf.origins)


@pytest.mark.parametrize(("path", "name"), ASKED, ids=IDS)
def test_each_step_follows_from_what_it_names(path: Path, name: str) -> None:
    """Its formula, fed with the values of the nodes it is linked to, gives its value again."""
    for step in steps_below(worked(path, name).node):
        values = [node.value for node in step.arguments.values()]
        if step.formula.name == "total":
            again = sum(np.asarray(value) for value in values)
        else:
            again = FUNCTIONS[step.formula.name](*values)
        np.testing.assert_allclose(again, step.value, rtol=1e-12, err_msg=step.formula.says)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_is_the_number_that_was_predicted(path: Path) -> None:
    made = predicted(path)
    assert made.mass is not None
    expected = {
        "thickness": made.thickness.value,
        "areal_mass": made.areal_mass.value,
        "mass": made.mass.value,
        "resin_in_part": made.resin_in_part.value,
        "resin_to_mix": made.to_mix.value,
    }
    for mix in made.mixes:
        assert mix.in_all is not None
        expected[mix.product] = mix.in_all.value
    for name, value in expected.items():
        assert float(worked(path, name).node.value) == pytest.approx(value, rel=1e-12), name


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_stiffness_and_strength_are_the_numbers_that_were_predicted(path: Path) -> None:
    made = predicted(path).section
    assert made is not None
    expected = (
        of_core(path)
        | of_layers(path)
        | {
            "stiffness_along": made.stiffness_along.value,
            "stiffness_across": made.stiffness_across.value,
            "shear_stiffness_along": made.shear_along.value,
            "shear_stiffness_across": made.shear_across.value,
        }
    )
    for name, value in expected.items():
        assert float(worked(path, name).node.value) == pytest.approx(value, rel=1e-12), name


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_every_name_is_opened(path: Path) -> None:
    assert set(headline_names(described(path), shipped())) >= set(names(path))


def test_a_honeycomb_is_opened_too() -> None:
    text = panel(
        'cloth = "E-glass twill 200 g/m2"',
        'core = "aramid honeycomb, 4.8 mm cell, 48 kg/m3"\nthickness = "15 mm"',
        'cloth = "E-glass twill 200 g/m2"',
        head='resin = "epoxy, infusion"',
    )
    done = work(read(text), shipped(), "pressed along, dimpling")
    assert [leaf.name for leaf in without_origin(done.node)] == []


def test_every_working_can_be_read() -> None:
    """The text of each, of a panel with everything: its layers, its steps, no place left blank."""
    path = next(path for path in EXAMPLES if path.stem == "camper-roof")
    for name in headline_names(described(path), shipped()):
        done = worked(path, name)
        text = working_text(done.name, "", done.node, done.layers)
        assert f"Working of {name.replace('_', ' ')}" in text
        assert "nan" not in text


def test_some_example_has_a_core_to_work_out() -> None:
    assert any(
        {"crushing", "crimping_along", "crimping_across"} <= set(of_core(p)) for p in EXAMPLES
    )


def test_without_a_size_a_product_is_per_area() -> None:
    text = panel('cloth = "E-glass twill 200 g/m2"\nfibre_mass_fraction = 0.5', head="pot_loss = 0")
    done = work(read(text), shipped(), "epoxy, laminating")
    assert float(done.node.value) == pytest.approx(0.200, rel=1e-12)
    assert done.dimension == "cloth_mass"


def test_a_strength_is_asked_for_in_its_words() -> None:
    panel = next(path for path in EXAMPLES if path.stem == "tender-topside")
    done = worked(panel, "bent along, outside stretched, first damage")
    assert done.name == "bent_along_outside_stretched_first_damage"
    assert done.dimension == "force"


@pytest.mark.parametrize("name", ["areal mass", "Areal-Mass", " areal_mass "])
def test_a_name_is_taken_as_it_is_said(name: str) -> None:
    assert worked(EXAMPLES[0], name).name == "areal_mass"


def test_another_name_is_refused_with_those_there_are() -> None:
    with pytest.raises(InputError) as refused:
        worked(EXAMPLES[0], "areal mas")
    (problem,) = refused.value.problems
    assert problem.given == "areal mas"
    assert "resin_to_mix" in problem.allowed
    assert problem.hint == "areal_mass"


def test_a_panel_without_a_size_has_no_mass_to_work_out() -> None:
    with pytest.raises(InputError, match="no working of that name"):
        work(read(panel('cloth = "E-glass twill 200 g/m2"')), shipped(), "mass")
