"""The registry of formulas and the recorder that shows the working of a number."""

from __future__ import annotations

import inspect
import re
from pathlib import Path

import numpy as np
import pytest

from panelwright import working
from panelwright.mechanics import fractions, laminate, resin
from panelwright.working import Formula, Leaf, Step, leaves, recording, steps_below

from .mechanics.registry import FORMULAS, FUNCTIONS, unit_of

BIBLIOGRAPHY = Path(__file__).parents[1] / "docs" / "references.bib"

#: What a formula may rest on besides a document, as its source begins.
PRINCIPLES = (
    "mass balance",
    "definition",
    "geometry",
    "common practice",
    "cell-size model",
    "rule of mixtures",
    "beam theory",
    "turning an orthotropic compliance",
    "laminate of",
    "average of the stiffness",
    "interpolation",
    "crimp",
    "from memory",
    "solved for",
    "see the rule's own source",
)


def _id(made_by: Formula) -> str:
    return made_by.name


def _bibliography() -> set[str]:
    entries = re.findall(r"^@\w+\{([^,\s]+),", BIBLIOGRAPHY.read_text(encoding="utf-8"), re.M)
    return {key.lower() for key in entries}


def _rests_on(part: str) -> str:
    """The key or the principle that one part of a source begins with, or nothing."""
    part = part.strip().lower()
    key = re.split(r"[\s,:]", part, maxsplit=1)[0]
    if key in _bibliography():
        return key
    return next((principle for principle in PRINCIPLES if part.startswith(principle)), "")


# --- Registry -------------------------------------------------------------------------------------


@pytest.mark.parametrize("made_by", FORMULAS, ids=_id)
def test_formula_says_what_it_is(made_by: Formula) -> None:
    for field in ("says", "symbol", "unit", "equation", "source"):
        assert getattr(made_by, field).strip(), field
    assert made_by.symbol.split("_")[0] in made_by.equation
    assert all(re.fullmatch(r".+ \[[^\]]+\]", text) for text in made_by.inputs.values())


@pytest.mark.parametrize("made_by", FORMULAS, ids=_id)
def test_formula_names_a_source_that_exists(made_by: Formula) -> None:
    for part in made_by.source.split(";"):
        assert _rests_on(part), f"{made_by.name}: {part.strip()!r} is no key and no principle"


@pytest.mark.parametrize("made_by", FORMULAS, ids=_id)
def test_docstring_covers_every_argument(made_by: Formula) -> None:
    """Each argument by name, or by its group (masses, moistures...), or all of them at once."""
    text = inspect.getdoc(FUNCTIONS[made_by.name]) or ""
    body = text.partition("\n")[2].lower()
    assert body.strip(), f"{made_by.name}: one line only"
    at_once = re.search(r"\b(all|both|any one unit)\b", body)
    missing = [name for name in made_by.inputs if not re.search(rf"\b{name}\b", body)]
    assert at_once or not missing, f"{made_by.name}: {missing}"


def test_formulas_come_by_name() -> None:
    names = [made_by.name for made_by in working.formulas()]
    assert names == sorted(names)
    assert len(names) == len(set(names))


def test_symbols_of_the_equation_are_those_of_the_inputs() -> None:
    """A spot check that the reader of a working finds each symbol explained: mass balance."""
    made_by = next(made_by for made_by in FORMULAS if made_by.name == "ply_thickness")
    for described in made_by.inputs.values():
        assert described.split(" [")[0] in made_by.equation
        assert unit_of(described)


def test_registering_refuses_unnamed_inputs() -> None:
    register = working.formula(
        symbol="x", unit="-", equation="x = a", source="definition", inputs={}
    )
    with pytest.raises(TypeError, match=r"nameless: inputs must name \['a'\]"):

        @register
        def nameless(a: float) -> float:
            return a


def test_registering_refuses_a_second_formula_of_one_name() -> None:
    register = working.formula(
        symbol="x", unit="-", equation="x = a", source="definition", inputs={"mass": "m [kg]"}
    )
    with pytest.raises(TypeError, match="a formula named areal_mass is registered already"):

        @register
        def areal_mass(mass: float) -> float:
            return mass


# --- Recorder -------------------------------------------------------------------------------------


def _two_plies() -> tuple[np.ndarray, Step]:
    """Resin and thickness of two plies, recorded; the cloth and the thickness step."""
    cloth, fraction = np.array([0.3, 0.2]), np.array([0.5, 0.45])
    fibre, cured = np.array([2540.0, 2540.0]), np.array([1150.0, 1150.0])
    with recording() as recorder:
        working.leaf("w", "kg/m²", cloth, origins=("label", "label"))
        working.leaf("m", "-", fraction)
        held = fractions.resin_in_cloth(cloth, fraction)
        plies = fractions.ply_thickness(cloth, held, fibre, cured)
        total = laminate.panel_thickness(plies)
        node = recorder.node(total)
    assert isinstance(node, Step)
    return cloth, node


def test_arguments_lead_to_the_step_that_made_them() -> None:
    _, total = _two_plies()
    plies = total.arguments["thickness"]
    assert isinstance(plies, Step)
    assert plies.formula.name == "ply_thickness"
    held = plies.arguments["resin_mass"]
    assert isinstance(held, Step)
    assert held.formula.name == "resin_in_cloth"
    np.testing.assert_allclose(held.value, [0.3, 0.2 * 0.55 / 0.45], rtol=1e-14)


def test_declared_values_are_leaves_with_their_origin() -> None:
    cloth, total = _two_plies()
    plies = total.arguments["thickness"]
    assert isinstance(plies, Step)
    found = plies.arguments["fibre_mass"]
    assert isinstance(found, Leaf)
    assert found.value is cloth
    assert (found.name, found.unit, found.origins) == ("w", "kg/m²", ("label", "label"))


def test_leaves_are_each_found_once() -> None:
    cloth, total = _two_plies()
    found = leaves(total)
    assert sum(item.value is cloth for item in found) == 1
    names = [item.name for item in found]
    assert names.count("w") == 1
    assert {"w", "m", "ρf [kg/m³]", "ρm [kg/m³]"} <= set(names)


def test_steps_come_inputs_first() -> None:
    _, total = _two_plies()
    assert [step.formula.name for step in steps_below(total)] == [
        "resin_in_cloth",
        "ply_thickness",
        "panel_thickness",
    ]


def test_equal_values_are_not_the_same_value() -> None:
    """Identity, not equality: two arrays that hold the same numbers keep their own origins."""
    one, other = np.array([0.3]), np.array([0.3])
    with recording() as recorder:
        working.leaf("one", "kg/m²", one)
        working.leaf("other", "kg/m²", other)
    first, second = recorder.node(one), recorder.node(other)
    assert isinstance(first, Leaf)
    assert isinstance(second, Leaf)
    assert (first.name, second.name) == ("one", "other")


def test_defaults_are_arguments_too() -> None:
    with recording() as recorder:
        fractions.resin_in_cloth(0.3, 0.5)
    (step,) = recorder.steps
    assert set(step.arguments) == {"fibre_mass", "fibre_mass_fraction", "thread_mass"}
    assert step.arguments["thread_mass"].value == 0.0


def test_nothing_is_recorded_when_closed() -> None:
    with recording() as recorder:
        resin.with_waste(1.0, 0.1)
    assert len(recorder.steps) == 1
    late = resin.with_waste(2.0, 0.1)
    working.leaf("late", "-", late)
    assert len(recorder.steps) == 1
    assert recorder.node(late) is None


def test_an_inner_recorder_takes_over_and_gives_back() -> None:
    with recording() as outer:
        with recording() as inner:
            resin.with_waste(1.0, 0.1)
        resin.with_waste(2.0, 0.2)
    assert (len(inner.steps), len(outer.steps)) == (1, 1)


def test_a_failing_block_closes_the_recorder() -> None:
    with pytest.raises(ZeroDivisionError), recording() as recorder:
        raise ZeroDivisionError
    resin.with_waste(1.0, 0.1)
    assert recorder.steps == []


def test_recording_changes_no_value() -> None:
    _, total = _two_plies()
    plain = fractions.ply_thickness(
        [0.3, 0.2], fractions.resin_in_cloth([0.3, 0.2], [0.5, 0.45]), 2540.0, 1150.0
    )
    assert total.value == laminate.panel_thickness(plain)
