"""Draws of the causes: standard normal, each by its name, and what they say of a result."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Callable, Mapping
from dataclasses import replace
from statistics import NormalDist

import numpy as np
import pytest

from panelwright.jobs.predict import evaluate_panel, predict
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics.arrays import Array
from panelwright.panels.evaluate import Build, evaluate
from panelwright.panels.resolve import Resolved
from panelwright.panels.section import straight_plies
from panelwright.panels.spread import (
    DRAWS,
    Causes,
    Ranged,
    causes_of,
    draw,
    drawn_stack,
    drivers,
    ends,
    ranged,
    stream,
    with_model_error,
)
from panelwright.panels.stack import FIELDS, Stack, StackLayer, stack_of
from panelwright.provenance import Evidence, Input, Scope

from .written import layer, read, resolved

#: Below this a correlation of two unlike streams of 1024 draws is chance: one sd is 1/32, and of
#: the 780 pairs of forty streams not one should be off by four.
CHANCE = 0.125
STREAMS = [f"cause {number}" for number in range(40)]


def one(value: float, low: float, high: float, cause: str = "a cause") -> Input:
    return Input(value, low, high, "a test", Evidence.PRACTICE, cause, Scope.LAYER)


def _mass(build: Build) -> Array:
    return build.areal_mass


def range_of(panel: Resolved, what: Callable[[Build], Array] = _mass) -> Ranged:
    """A result of a panel with its 90 % range."""
    middle = evaluate(stack_of(panel.layers))
    drawn = evaluate(drawn_stack(panel.layers))
    return ranged(what(middle), what(drawn), "", causes_of(panel.inputs()))


TENDER = (
    layer(cloth="biax 300"),
    layer(strips="western redcedar", thickness="8 mm", strip={"cover": "20 mm"}, seal="wet"),
    layer(cloth="twill 200", repeat=2, fibre_mass_fraction="0.45 (0.40 to 0.48)"),
    layer(cloth="flax twill 300", moisture="8 %"),
    layer(core="balsa 150", thickness="12 mm"),
    layer(cloth="carbon UD 200", thickness="0.25 mm"),
    layer(coat="fill coat", coats=2),
)


@pytest.mark.parametrize("draws", [256, DRAWS])
def test_a_stream_is_standard_normal(draws: int) -> None:
    values = np.sort(stream("any cause", draws))
    assert np.mean(values) == pytest.approx(0.0, abs=1e-12)
    assert np.std(values) == pytest.approx(1.0, abs=0.01)
    expected = [NormalDist().inv_cdf(p) for p in (0.05, 0.25, 0.5, 0.75, 0.95)]
    assert np.percentile(values, [5, 25, 50, 75, 95]) == pytest.approx(expected, abs=0.02)


def test_streams_of_unlike_causes_are_not_correlated() -> None:
    found = np.corrcoef([stream(name) for name in STREAMS])
    assert np.max(np.abs(found - np.eye(len(STREAMS)))) < CHANCE


def test_streams_are_not_correlated_in_their_squares() -> None:
    """Two streams that go wide together would widen a sum though they are not correlated."""
    found = np.corrcoef([stream(name) ** 2 for name in STREAMS])
    assert np.max(np.abs(found - np.eye(len(STREAMS)))) < CHANCE


def test_the_causes_of_one_panel_correlate_by_chance_alone() -> None:
    """Over all their pairs the deviation of the correlation is 1/sqrt(1024)."""
    names = sorted({given.cause for given in resolved(*TENDER).inputs()})
    found = np.corrcoef([stream(name) for name in names])
    pairs = found[np.triu_indices(len(names), 1)]
    assert len(names) > 20
    assert np.std(pairs) == pytest.approx(1.0 / 32.0, rel=0.1)
    assert np.mean(pairs) == pytest.approx(0.0, abs=0.005)


def test_the_same_name_gives_the_same_digits() -> None:
    assert np.array_equal(
        stream("density of western redcedar"), stream("density of western redcedar")
    )
    first = stream("density of western redcedar").copy()
    stream.cache_clear()
    assert np.array_equal(first, stream("density of western redcedar"))
    assert not np.array_equal(first, stream("density of okoume"))


def test_a_stream_cannot_be_spoilt() -> None:
    with pytest.raises(ValueError, match="read-only"):
        stream("any cause")[0] = 0.0


def test_unlike_sides_come_out_as_the_5_and_95_percent_points() -> None:
    values = draw(one(0.45, 0.40, 0.48))
    low, middle, high = np.percentile(values, [5, 50, 95])
    assert low == pytest.approx(0.40, abs=0.001)
    assert middle == pytest.approx(0.45, abs=0.0005)
    assert high == pytest.approx(0.48, abs=0.001)


def test_what_cannot_be_negative_is_never_drawn_so() -> None:
    assert np.min(draw(one(0.1, 0.0, 1.0))) >= 0.0
    assert np.min(draw(one(1.0, 0.0, 2.0))) == 0.0


@pytest.mark.parametrize("middle", [-1.0, 0.0, 0.2])
def test_what_may_be_negative_varies_to_both_sides(middle: float) -> None:
    """Such as the direction of a ply: laid at 0 it may lie a little to either side."""
    values = draw(one(middle, middle - 0.5, middle + 0.5))
    assert np.percentile(values, 5) == pytest.approx(middle - 0.5, abs=0.005)
    assert np.percentile(values, 95) == pytest.approx(middle + 0.5, abs=0.005)


def test_what_does_not_vary_is_drawn_as_it_is() -> None:
    assert np.all(draw(one(3.0, 3.0, 3.0)) == 3.0)


def test_inputs_of_one_cause_move_together() -> None:
    first, second = draw(one(1.0, 0.9, 1.1)), draw(one(10.0, 9.0, 11.0))
    assert np.corrcoef(first, second)[0, 1] == pytest.approx(1.0, abs=1e-12)


def test_the_same_panel_gives_the_same_digits() -> None:
    assert range_of(resolved(*TENDER)) == range_of(resolved(*TENDER))


@pytest.mark.parametrize("at", [0, 1, 3, 4, 6, 7])
def test_a_layer_that_is_added_changes_no_draw_of_the_others(at: int) -> None:
    """In front, behind or between; beside a bare core it would change what the core drinks."""
    before = drawn_stack(resolved(*TENDER).layers)
    more = resolved(*TENDER[:at], layer(cloth="aramid 170 plain weave"), *TENDER[at:]).layers
    after = drawn_stack(more)
    others = [index for index, one in enumerate(more) if "aramid" not in one.name]
    assert len(others) == len(more) - 1
    for name, column in vars(before).items():
        assert np.array_equal(getattr(after, name)[:, others], column), name


def test_no_cause_is_named_by_its_place() -> None:
    """A number of a layer would shuffle all draws behind a layer that is put in front."""
    causes = {given.cause for given in resolved(*TENDER).inputs()}
    assert not [cause for cause in causes if re.search(r"\b(layer|group) \d", cause)]


def test_the_middle_lies_in_the_range() -> None:
    panel = resolved(*TENDER)
    for what in (_mass, lambda build: build.thickness):
        found = range_of(panel, what)
        assert found.low <= found.value <= found.high
        assert found.low < found.high


def test_a_range_holds_its_middle_where_the_draws_do_not() -> None:
    found = ranged(1.0, np.linspace(2.0, 3.0, DRAWS), "m", Causes({}, DRAWS))
    assert (found.low, found.value) == (1.0, 1.0)
    assert found.high == pytest.approx(2.95, abs=0.001)


BOARD = {"board": "western redcedar", "density": "400 kg/m3", "moisture": "10 %"}


def test_a_result_in_proportion_to_one_cause_has_its_range() -> None:
    """8 ± 0.4 mm of timber whose density is known: mass ± 5 %."""
    text = layer(**{**BOARD, "density": "400 kg/m3 +/- 0 kg/m3"}, thickness="8 mm +/- 0.4 mm")
    found = range_of(resolved(text))
    assert found.value == pytest.approx(3.2, rel=1e-12)
    assert (found.high - found.value) / found.value == pytest.approx(0.05, rel=0.01)
    assert (found.value - found.low) / found.value == pytest.approx(0.05, rel=0.01)
    assert [driver.cause for driver in found.drivers] == [
        "made thickness of western redcedar board"
    ]
    assert found.drivers[0].share == pytest.approx(1.0, rel=1e-9)
    assert found.evidence is Evidence.GIVEN


def test_two_causes_add_as_squares() -> None:
    """First order: a sum of two thicknesses, ± 0.3 and ± 0.4 mm, is ± 0.5 mm.

    Within three standard errors of 1024 draws. Of a 5 % point, in half-widths of the range:
    sqrt(0.05 × 0.95/1024)/0.1031/1.645 = 0.040. Of the deviation: 0.3 × 0.4/0.5²/32 = 0.015.
    """
    text = layer(**BOARD, thickness="8 mm +/- 0.3 mm")
    text += layer(**{**BOARD, "board": "okoume"}, thickness="9 mm +/- 0.4 mm")
    panel = resolved(text)
    found = range_of(panel, lambda build: 1e3 * build.thickness)
    assert found.high - found.value == pytest.approx(0.5, rel=3 * 0.040)
    assert found.value - found.low == pytest.approx(0.5, rel=3 * 0.040)
    drawn = evaluate(drawn_stack(panel.layers)).thickness
    assert 1.645e3 * np.std(drawn) == pytest.approx(0.5, rel=3 * 0.015)
    shares = {driver.cause: driver.share for driver in found.drivers}
    assert shares["made thickness of okoume board"] == pytest.approx(0.64, abs=0.06)
    assert shares["made thickness of western redcedar board"] == pytest.approx(0.36, abs=0.06)


def test_a_cause_that_two_layers_share_adds_straight() -> None:
    """Two boards of one timber: its density is drawn once, so the mass is ± 10 % and not 7 %."""
    dense = {**BOARD, "density": "400 kg/m3 +/- 40 kg/m3"}
    text = layer(**dense, thickness="8 mm +/- 0 mm") * 2
    found = range_of(resolved(text))
    assert (found.high - found.value) / found.value == pytest.approx(0.10, rel=0.01)


def test_fixed_fibre_mass_makes_thickness_and_fraction_move_against_each_other() -> None:
    layers = resolved(layer(cloth="twill 200", areal_mass="200 g/m2 +/- 0 g/m2")).layers
    drawn = evaluate(drawn_stack(layers))
    found = np.corrcoef(drawn.fibre_volume_fraction[:, 0], drawn.layer_thickness[:, 0])
    assert found[0, 1] < -0.9


# --- A layer written in parts ---------------------------------------------------------------------


SKIN = layer(cloth="biax 300")
FOAM = {"core": "PET foam 110"}
REDCEDAR = {"strips": "western redcedar", "strip": {"cover": "20 mm"}}
UD = {"cloth": "E-glass unidirectional 300 g/m2"}


def told(*parts: str) -> Mapping[str, Ranged]:
    """The headlines of a panel."""
    found = predict(read(*parts), Catalogue.shipped())
    assert found.section is not None
    return {
        "thickness": found.thickness,
        "areal mass": found.areal_mass,
        "along": found.section.stiffness_along,
        "across": found.section.stiffness_across,
        **found.section.moduli,
    }


@pytest.mark.parametrize(
    ("whole", "parts"),
    [
        (
            (SKIN, layer(**FOAM, thickness="16 mm"), SKIN),
            (SKIN, layer(**FOAM, thickness="8 mm") * 2, SKIN),
        ),
        (
            (SKIN, layer(**FOAM, thickness="16 mm"), SKIN),
            (SKIN, layer(**FOAM, thickness="8 mm", repeat=2), SKIN),
        ),
        (
            (SKIN, layer(**FOAM, thickness="16 mm +/- 0.6 mm"), SKIN),
            (SKIN, layer(**FOAM, thickness="8 mm +/- 0.3 mm") * 2, SKIN),
        ),
        (
            (SKIN, layer(**FOAM, thickness="16 mm"), SKIN),
            (
                SKIN,
                layer(**FOAM, thickness="10 mm", name="outer"),
                layer(**FOAM, thickness="6 mm", note="what was left"),
                SKIN,
            ),
        ),
        (
            (SKIN, layer(**REDCEDAR, thickness="9 mm"), SKIN),
            (SKIN, layer(**REDCEDAR, thickness="3 mm") * 3, SKIN),
        ),
        ((layer(**UD, repeat=2),), (layer(**UD) * 2,)),
        (
            (layer(**UD, fibre_volume_fraction="0.4", repeat=3),),
            (layer(**UD, fibre_volume_fraction="0.4") * 3,),
        ),
        (
            (layer(**UD, fibre_mass_fraction="0.5", void_fraction="0.02", repeat=2),),
            (layer(**UD, fibre_mass_fraction="0.5", void_fraction="0.02") * 2,),
        ),
        ((layer(**UD, thickness="0.5 mm", repeat=2),), (layer(**UD, thickness="0.5 mm") * 2,)),
        (
            (layer(cloth="E-glass twill 400 g/m2", angle=45),),
            (layer(cloth="E-glass twill 200 g/m2", angle=45) * 2,),
        ),
    ],
)
def test_a_layer_written_in_parts_changes_no_range(
    whole: tuple[str, ...], parts: tuple[str, ...]
) -> None:
    one, many = told(*whole), told(*parts)
    for name, expected in one.items():
        found = many[name]
        assert (found.low, found.value, found.high) == pytest.approx(
            (expected.low, expected.value, expected.high), rel=1e-9
        ), name
        assert {d.cause for d in found.drivers} == {d.cause for d in expected.drivers}


def test_sheets_with_glue_between_them_each_have_their_tolerance() -> None:
    """± 0.3 mm twice, by the same machine, and not ± 0.3 mm of one piece."""
    foam, glue = layer(**FOAM, thickness="8 mm"), layer(glue="epoxy, thickened")

    def tolerances(*parts: str) -> list[float]:
        cores = [one for one in resolved(*parts).layers if one.kind == "core"]
        widths = (one.inputs["solid_thickness"] for one in cores)
        return [1e3 * (width.high - width.value) for width in widths]

    assert tolerances(foam, foam) == pytest.approx([0.15, 0.15])
    assert tolerances(foam, glue, foam) == pytest.approx([0.3, 0.3])


@pytest.mark.parametrize("more", [{}, {"fibre_volume_fraction": "0.4"}])
def test_sixteen_plies_are_as_uncertain_as_one(more: dict[str, str]) -> None:
    one, many = (told(layer(**UD, **more, repeat=n)) for n in (1, 16))
    apart = told(layer(**UD, **more) * 16)
    for name in ("thickness", "areal mass"):
        relative = (one[name].high - one[name].low) / one[name].value
        for plies in (many, apart):
            found = (plies[name].high - plies[name].low) / plies[name].value
            assert found == pytest.approx(relative, rel=1e-6)


def _only(layers: list[StackLayer], name: str) -> list[StackLayer]:
    """The layers with all inputs fixed but one."""
    return [
        replace(
            one,
            inputs={
                key: given if key == name else replace(given, low=given.value, high=given.value)
                for key, given in one.inputs.items()
            },
        )
        for one in layers
    ]


@pytest.mark.parametrize("cloth", ["E-glass unidirectional 300 g/m2", "carbon UD 200"])
def test_fixed_fibre_mass_keeps_modulus_times_thickness(cloth: str) -> None:
    """Resin adds thickness and next to no stiffness along: E t is fibre, and fibre is weighed."""
    drawn = drawn_stack(_only(resolved(layer(cloth=cloth)).layers, "fibre_mass_fraction"))
    build = evaluate(drawn)
    E, t = straight_plies(drawn, build).E1[:, 0], build.layer_thickness[:, 0]

    def relative(values: Array) -> float:
        return float(np.std(values) / np.mean(values))

    assert relative(E) > 0.05
    assert relative(t) > 0.05
    assert relative(E * t) < 0.2 * min(relative(E), relative(t))


# --- Plain draws ----------------------------------------------------------------------------------


def _plainly(layers: list[StackLayer], draws: int) -> Stack:
    """The stack under plain independent draws, each cause drawn once."""
    random = np.random.default_rng(1)
    causes = sorted({given.cause for one in layers for given in one.inputs.values()})
    streams = {cause: random.standard_normal(draws) for cause in causes}
    columns = {name: np.zeros((draws, len(layers))) for name in FIELDS}
    for index, one in enumerate(layers):
        for name, given in one.inputs.items():
            z = streams[given.cause]
            values = given.value + z * np.where(z < 0.0, given.sd_below, given.sd_above)
            columns[name][:, index] = values if given.low < 0.0 else np.maximum(values, 0.0)
    return Stack(**columns)


def _thickness(build: Build) -> Array:
    return build.thickness


@pytest.mark.parametrize("draws", [512, DRAWS])
@pytest.mark.parametrize("what", [_mass, _thickness])
def test_plain_draws_come_to_the_same_range(what: Callable[[Build], Array], draws: int) -> None:
    """200 000 plain draws. Three standard errors of an end point, in half-widths of the range.

    sqrt(0.05 × 0.95/n)/0.1031/1.645 of a normal result: 0.057 at 512 draws, 0.040 at 1024.
    """
    layers = resolved(*TENDER).layers
    low, high = np.percentile(what(evaluate(_plainly(layers, 200_000))), (5.0, 95.0))
    found = np.percentile(what(evaluate(drawn_stack(layers, draws))), (5.0, 95.0))
    error = math.sqrt(0.05 * 0.95 / draws) / 0.1031 / 1.645
    assert np.max(np.abs(found - (low, high))) < 3.0 * error * (high - low) / 2.0


def test_first_order_where_it_is_linear() -> None:
    """Mass of five timbers of fixed thickness is a sum of their densities: variances add."""
    species = ("western redcedar", "okoume", "Sitka spruce", "white ash", "paulownia")
    text = "".join(
        layer(board=name, density="500 kg/m3 +/- 50 kg/m3", thickness="10 mm +/- 0 mm")
        for name in species
    )
    found = range_of(resolved(text))
    half = 0.5 * math.sqrt(5.0)
    assert found.value == pytest.approx(25.0)
    assert found.high - found.value == pytest.approx(half, rel=3 * 0.040)
    assert found.value - found.low == pytest.approx(half, rel=3 * 0.040)
    assert len(found.drivers) == 5


# --- Model error ----------------------------------------------------------------------------------


ERRORS = resolved(*TENDER).model_errors


def test_a_model_error_is_a_factor_about_one() -> None:
    error = ERRORS["modulus"]
    factor = with_model_error(np.ones(DRAWS), error)
    deviation = (
        Catalogue.shipped().table("model_errors").row("modulus").number("standard_deviation")
    )
    assert np.median(factor) == pytest.approx(1.0, abs=1e-3)
    assert np.std(np.log(factor)) == pytest.approx(deviation, rel=0.01)
    assert np.percentile(factor, (5, 95)) == pytest.approx((error.low, error.high), rel=1e-3)
    assert np.min(factor) > 0.0


def test_a_model_error_leaves_alone_what_is_as_gauged() -> None:
    whole, part = np.full(DRAWS, 20.0), np.full(DRAWS, 2.0)
    found = with_model_error(whole, ERRORS["thickness"], part)
    assert found == pytest.approx(18.0 + with_model_error(part, ERRORS["thickness"]), rel=1e-12)


def _causes(found: Ranged) -> set[str]:
    return {driver.cause for driver in found.drivers}


def test_each_headline_has_its_own_model_error_among_its_drivers() -> None:
    found = told(layer(**UD, repeat=4))
    for name, error in (
        ("thickness", "thickness"),
        ("areal mass", "areal mass"),
        ("along", "bending stiffness"),
        ("across", "bending stiffness"),
        ("Ex", "modulus"),
        ("Ey_bending", "modulus"),
        ("Gxy", "shear modulus"),
        ("nuxy", "Poisson's ratio"),
    ):
        errors = {cause for cause in _causes(found[name]) if "model error" in cause}
        assert errors == {f"model error of {error}"}, name


def test_what_was_gauged_has_no_model_error_of_thickness() -> None:
    panel = (layer(**FOAM, thickness="10 mm"), layer(**UD, thickness="0.4 mm"))
    assert "model error of thickness" not in _causes(told(*panel)["thickness"])
    done = evaluate_panel(resolved(*panel))
    assert np.array_equal(done.told_build.thickness, done.drawn_build.thickness)
    assert not np.array_equal(done.told_build.areal_mass, done.drawn_build.areal_mass)


def test_thickness_and_mass_of_the_whole_go_with_the_same_error() -> None:
    """The kilograms of a panel have the range of its kilograms per square metre."""
    found = predict(read('[size]\nlength = "2 m"\nwidth = "1 m"\n', *TENDER), Catalogue.shipped())
    assert found.mass is not None
    for end in ("low", "value", "high"):
        assert getattr(found.mass, end) == pytest.approx(2.0 * getattr(found.areal_mass, end))


# --- Drivers and evidence -------------------------------------------------------------------------


def test_drivers_share_the_whole_and_leave_chance_out() -> None:
    causes = Causes(dict.fromkeys(["a", "b", "c"], Evidence.PRACTICE))
    found = drivers(3.0 * stream("a") + 4.0 * stream("b"), causes)
    assert [driver.cause for driver in found] == ["b", "a"]
    assert math.fsum(driver.share for driver in found) == pytest.approx(1.0, rel=1e-12)
    assert found[0].share == pytest.approx(0.64, abs=0.06)


def test_a_result_that_does_not_vary_has_no_drivers() -> None:
    assert drivers(np.full(DRAWS, 2.0), Causes({"a": Evidence.PRACTICE})) == ()


def test_evidence_is_the_weakest_of_what_decides() -> None:
    """80 % of the range decide; a guess that hardly matters does not spoil the rest."""
    kinds = {"a": Evidence.PUBLISHED, "b": Evidence.ESTIMATED}
    mostly_read = ranged(0.0, 3.0 * stream("a") + 1.0 * stream("b"), "", Causes(kinds))
    mostly_guessed = ranged(0.0, 1.0 * stream("a") + 3.0 * stream("b"), "", Causes(kinds))
    assert mostly_read.evidence is Evidence.PUBLISHED
    assert mostly_guessed.evidence is Evidence.ESTIMATED


def test_what_lies_beyond_the_decisive_share_does_not_count() -> None:
    """Variances 7, 2 and 1: the first two make up 90 %, the first alone 70 %."""
    names = ("a", "b", "c")
    values = sum(math.sqrt(part) * stream(n) for part, n in zip((7, 2, 1), names, strict=True))
    read_, guess, practice = Evidence.PUBLISHED, Evidence.ESTIMATED, Evidence.PRACTICE
    third_is_weak = Causes(dict(zip(names, (read_, practice, guess), strict=True)))
    second_is_weak = Causes(dict(zip(names, (read_, guess, practice), strict=True)))
    assert ranged(0.0, np.asarray(values), "", third_is_weak).evidence is practice
    assert ranged(0.0, np.asarray(values), "", second_is_weak).evidence is guess


@pytest.mark.parametrize("draws", [256, 512, DRAWS])
def test_chance_is_no_driver(draws: int) -> None:
    """Of forty causes that do not act, none is told."""
    names = ["a", *STREAMS]
    found = drivers(stream("a", draws), Causes(dict.fromkeys(names, Evidence.PRACTICE), draws))
    assert [driver.cause for driver in found] == ["a"]


def test_a_cause_has_the_weakest_evidence_of_its_inputs() -> None:
    read = Input(1.0, 0.9, 1.1, "", Evidence.PUBLISHED, "a")
    guess = Input(1.0, 0.9, 1.1, "", Evidence.ESTIMATED, "a")
    fixed = Input(1.0, 1.0, 1.0, "", Evidence.ESTIMATED, "b")
    for order in itertools.permutations([read, guess, fixed]):
        assert causes_of(order).evidence == {"a": Evidence.ESTIMATED}


@pytest.mark.parametrize("draws", [2, 3, 20, 21, 512, 1024])
def test_ends_are_the_percentiles_of_numpy(draws: int) -> None:
    values = np.random.default_rng(draws).lognormal(size=draws)
    assert ends(values) == pytest.approx(tuple(np.percentile(values, (5.0, 95.0))), rel=1e-14)


def test_what_is_known_to_be_there_does_not_vanish() -> None:
    """A modulus across the grain with a range over a factor of five has no draw at nought."""
    wide = Input(0.0177, 0.005, 0.028, "invented", Evidence.ESTIMATED, "a wide cause")
    values = draw(wide)
    assert values.min() == pytest.approx(0.0005)
    assert np.quantile(values, [0.05, 0.95]) == pytest.approx([0.005, 0.028], rel=0.01)
