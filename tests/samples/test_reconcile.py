"""Findings and the split by cause: held to balances worked by hand and to panels made to order."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from panelwright.errors import InputError
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import read
from panelwright.panels.evaluate import evaluate
from panelwright.panels.resolve import resolve
from panelwright.panels.stack import StackLayer, stack_of
from panelwright.samples.findings import reduce
from panelwright.samples.known import Book
from panelwright.samples.readings import Reading
from panelwright.samples.reconcile import Reconciled, lessons, reconcile

from .panels import CORED, SOLID

SIDE = 0.5


def _layers(text: str) -> list[StackLayer]:
    return list(resolve(read(text, "invented"), Catalogue.shipped()).layers)


def _made(layers: list[StackLayer], **values: float) -> list[StackLayer]:
    """The layers with other values of some fields, times the predicted ones."""
    return [
        replace(
            la,
            inputs={
                name: replace(one, value=one.value * t, low=one.value * t, high=one.value * t)
                if (t := values.get(name)) is not None
                else one
                for name, one in la.inputs.items()
            },
        )
        for la in layers
    ]


def _readings(layers: list[StackLayer], *, weigh_parts: bool = True) -> list[Reading]:
    """What exact instruments read off a panel of these layers."""
    stack = stack_of(layers)
    build = evaluate(stack)
    area = SIDE**2
    found = [
        Reading("mass", float(build.areal_mass) * area, "", 1e-4),
        Reading("length", SIDE, "", 1e-4),
        Reading("width", SIDE, "", 1e-4),
        *(Reading("thickness", float(build.thickness), f"{n}", 1e-5) for n in range(9)),
    ]
    if weigh_parts:
        solid = float(np.sum(build.solid))
        found.append(Reading("cloth", float(np.sum(build.fibre + build.thread)), "", 1e-4))
        if solid:
            thick = float(np.sum(stack.solid_thickness))
            found.append(Reading("core mass", solid * area, "", 1e-4))
            found += [Reading("core thickness", thick, f"{n}", 1e-5) for n in range(9)]
    return found


def _predicted(layers: list[StackLayer]) -> dict[str, tuple[float, float, float]]:
    build = evaluate(stack_of(layers))
    mass, thick = float(build.areal_mass), float(build.thickness)
    return {
        "areal mass": (mass, 0.9 * mass, 1.1 * mass),
        "thickness": (thick, 0.9 * thick, 1.1 * thick),
    }


def _reconciled(text: str, **values: float) -> Reconciled:
    layers = _layers(text)
    readings = _readings(_made(layers, **values))
    found = reduce(readings, Book(layers))
    done = reconcile(readings, found, layers, _predicted(layers), 0.01)
    assert done is not None
    return done


def test_a_balance_of_a_solid_laminate_is_that_worked_by_hand() -> None:
    """600 x 800 mm, 1350 g, 1210 g/m2 of cloth: 2812.5 g/m2, so 1602.5 of resin, m = 0.43022."""
    readings = [
        Reading("mass", 1.350, "", 1e-3),
        Reading("length", 0.6, "", 1e-3),
        Reading("width", 0.8, "", 1e-3),
        Reading("cloth", 1.210, "", 1e-3),
        *(Reading("thickness", 1.9e-3, f"{n}", 1e-5) for n in range(9)),
    ]
    found = reduce(readings, Book(_layers(SOLID)))

    def value(name: str) -> float:
        one = found.get(name)
        assert one is not None
        return one.value

    assert value("areal mass") == pytest.approx(2.8125, rel=1e-12)
    assert value("resin by mass") == pytest.approx(1.6025, rel=1e-12)
    assert value("fibre mass fraction by mass") == pytest.approx(1.21 / 2.8125, rel=1e-12)
    assert value("density") == pytest.approx(2.8125 / 1.9e-3, rel=1e-12)
    bare = 1.21 / 2540 + 1.6025 / 1150  # densities of the catalogue
    assert value("voids by thickness") == pytest.approx(1 - bare / 1.9e-3, abs=2e-4)


def test_a_negative_void_content_is_told_as_measured() -> None:
    thin = [
        Reading("mass", 1.350, "", 1e-3),
        Reading("length", 0.6, "", 1e-3),
        Reading("width", 0.8, "", 1e-3),
        Reading("cloth", 1.210, "", 1e-3),
        *(Reading("thickness", 1.8e-3, f"{n}", 1e-5) for n in range(9)),
    ]
    void = reduce(thin, Book(_layers(SOLID))).get("voids by thickness")
    assert void is not None
    assert void.value < -0.03
    assert "negative, as measured" in void.note


def test_budgets_by_derivatives_and_by_draws_agree() -> None:
    layers = _layers(CORED)
    for finding in reduce(_readings(layers), Book(layers)).found:
        if finding.u_drawn is not None and finding.u > 0.0:
            assert finding.u_drawn == pytest.approx(finding.u, rel=0.10), finding.name


def test_soak_is_told_from_resin_in_the_faces() -> None:
    """As much more resin either in the cloth or below the surface: the thickness tells which."""
    layers = _layers(CORED)
    drunk = evaluate(stack_of(_made(layers, soak=2.0)))
    resin = float(np.sum(drunk.cloth_resin))
    soak = float(np.sum(drunk.soak))
    found = reduce(_readings(_made(layers, soak=2.0)), Book(layers))
    faces, sunk = found.get("resin in the faces"), found.get("soak")
    assert faces is not None
    assert sunk is not None
    assert faces.value == pytest.approx(resin, rel=0.01)
    assert sunk.value == pytest.approx(soak, rel=0.01)
    assert sunk.told


def test_without_the_core_weighed_a_little_soak_cannot_be_told_from_nothing() -> None:
    layers = _layers(CORED)
    readings = _readings(_made(layers, soak=0.3), weigh_parts=False)
    found = reduce(readings, Book(layers)).get("soak")
    assert found is not None
    assert found.told is False


@pytest.mark.parametrize(
    ("field", "times", "part"),
    [
        ("fibre_mass_fraction", 0.85, "resin in the cloth"),
        ("fibre_mass", 1.10, "cloth mass"),
        ("soak", 2.0, "soak"),
        ("solid_density", 1.08, "core density"),
    ],
)
def test_the_difference_goes_to_the_cause_that_made_it(field: str, times: float, part: str) -> None:
    done = _reconciled(CORED, **{field: times})
    mass = done.compared[0]
    assert mass.splits[0].part == part
    assert mass.splits[0].told
    # it leans to the book by what the readings leave open
    assert abs(mass.splits[0].value - mass.difference) <= 2.0 * mass.splits[0].u + 0.03 * abs(
        mass.difference
    )
    total = sum(split.value for split in mass.splits) + mass.rest
    assert total == pytest.approx(mass.difference, abs=1e-12)


def test_a_panel_as_predicted_has_no_difference() -> None:
    for compared in _reconciled(CORED).compared:
        assert compared.difference == pytest.approx(0.0, abs=1e-6)
        assert not any(split.told for split in compared.splits)
        assert compared.within


def test_a_lesson_does_not_lean_to_the_book() -> None:
    """A shop far from the book is taught its own value, not one on the way to it."""
    layers = _layers(CORED)
    made = _made(layers, fibre_mass_fraction=0.80, soak=1.6)
    readings = _readings(made)
    rows = {"density of PET foam 110 kg/m³": "cores/pet_110"}
    found = reduce(readings, Book(layers))
    told = {one.key: one for one in lessons(readings, found, layers, 0.01, rows)}
    fraction = told["fibre_fractions/glass_woven_hand/fibre_mass_fraction"]
    soak = told["core_surfaces/pet_hand/soak"]
    book = Catalogue.shipped()
    said = book.table("fibre_fractions").row("glass_woven_hand").number("fibre_mass_fraction")
    sunk = book.table("core_surfaces").row("pet_hand").number("soak")
    assert said is not None
    assert sunk is not None
    assert fraction.value == pytest.approx(0.80 * said, rel=0.01)
    assert soak.value == pytest.approx(1.6 * sunk, rel=0.03)  # of one face
    assert told["cores/pet_110/density"].value == pytest.approx(110.0, rel=0.02)


def test_mass_alone_teaches_no_soak() -> None:
    layers = _layers(CORED)
    readings = [one for one in _readings(layers) if one.what in {"mass", "length", "width"}]
    keys = {one.key for one in lessons(readings, reduce(readings, Book(layers)), layers, 0.01)}
    assert not any("soak" in key for key in keys)


@pytest.mark.parametrize(
    ("what", "value", "says"),
    [
        ("mass", 0.05, "less than its cloth alone"),
        ("thickness", 0.010, "thinner than its core"),
    ],
)
def test_what_cannot_be_of_this_panel_is_refused(what: str, value: float, says: str) -> None:
    layers = _layers(CORED)
    readings = [one for one in _readings(layers) if one.what != what]
    with pytest.raises(InputError, match=says):
        reduce([*readings, Reading(what, value, "", 1e-4)], Book(layers))


@pytest.mark.parametrize(
    ("values", "says"),
    [
        ({"crucible": 5.0, "crucible and piece": 5.0, "crucible and rest": 5.0}, "nothing is left"),
        ({"crucible": 1.0, "crucible and piece": 5.0, "crucible and rest": 6.0}, "heavier out"),
        ({"dry": 6.0, "moist": 5.0}, "heavier out of the oven"),
        ({"in air": 5.0, "in water": 5.0, "wire in water": 0.0}, "no less in water"),
        ({"hits": 11.0, "points": 10.0}, "more points are hit"),
    ],
)
def test_weighings_that_contradict_each_other_are_refused(
    values: dict[str, float], says: str
) -> None:
    readings = [Reading(what, value, "", 1e-6) for what, value in values.items()]
    with pytest.raises(InputError, match=says):
        reduce(readings, Book(_layers(SOLID)))


def test_burn_off_and_immersion_come_through_the_readings() -> None:
    """Case b2 of the weighing cases: 67.030 % of fibre by mass."""
    values = {
        "crucible": 35.221e-3,
        "crucible and piece": 38.4127e-3,
        "crucible and rest": 37.3604e-3,
        "in air": 8.4172e-3,
        "in water": 3.9105e-3,
        "wire in water": 0.1432e-3,
        "water density": 997.5,
    }
    readings = [Reading(what, value, "", 5e-7) for what, value in values.items()]
    found = reduce(readings, Book(_layers(SOLID)))
    share, dense = found.get("fibre mass fraction by burn-off"), found.get("density by immersion")
    assert share is not None
    assert dense is not None
    assert share.value == pytest.approx(0.670301093, rel=1e-8)
    assert dense.value == pytest.approx(1805.66399, rel=1e-8)  # case b1
    void = found.get("voids by burn-off")
    assert void is not None
    theory = 1.0 / (0.670301093 / 2540 + 0.329698907 / 1150)  # densities of the catalogue
    assert void.value == pytest.approx(1.0 - 1805.66399 / theory, abs=1e-6)


def test_the_moisture_of_the_core_is_no_resin() -> None:
    """Case a5 of the weighing cases through the readings: 3 % less water in 5.2 kg/m2 of timber."""
    text = CORED.replace('core = "PET foam 110 kg/m3"', 'board = "western redcedar"')
    layers = _layers(text)
    area = SIDE**2
    common = [
        Reading("mass", 6.4 * area, "", 1e-4),
        Reading("length", SIDE, "", 1e-4),
        Reading("width", SIDE, "", 1e-4),
        Reading("cloth", 0.6, "", 1e-4),
        Reading("core mass", 5.2 * area, "", 1e-4),
    ]
    wet = [Reading("core moisture", 0.12, "", 5e-3), Reading("moisture", 0.09, "", 5e-3)]
    films = Book(layers).films.value
    raw = reduce(common, Book(layers)).get("resin by mass")
    right = reduce([*common, *wet], Book(layers)).get("resin by mass")
    assert raw is not None
    assert right is not None
    assert raw.value == pytest.approx(0.600 - films, rel=1e-9)
    assert right.value == pytest.approx(0.739285714 - films, rel=1e-8)
