"""Lines of equal merit against closed forms of solid plates; axes; who stands where."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from panelwright.jobs.lineup import known_solid
from panelwright.jobs.predict import predict_resolved
from panelwright.mechanics.beam import sheet_stiffness
from panelwright.mechanics.comparing import equal_merit
from panelwright.panels.charted import (
    FOAM,
    HONEYCOMB,
    LAMINATE,
    PLYWOOD,
    PROPERTIES,
    TIMBER,
    Charted,
    charted,
)
from panelwright.panels.charts import (
    FOUND,
    HALF_FOUND,
    PREDICTED,
    SAME_STUFF,
    Axis,
    Compared,
    Point,
    axis,
    best_of,
    guides,
    merit,
    standing,
)
from panelwright.panels.spread import Ranged
from panelwright.provenance import Evidence
from tests.jobs.panels import EXAMPLES, panel, predicted, predicted_text, shipped

MASS, STIFF = PROPERTIES["areal_mass"], PROPERTIES["stiffness_along"]


@cache
def _solid(words: str) -> Charted:
    found = known_solid(words, shipped())
    assert found is not None
    return charted(predict_resolved(found.resolved, shipped(), 64))


def _value(words: str, key: str) -> float:
    return _solid(words).values[key].value


def _ranged(value: float, spread: float = 0.1) -> Ranged:
    low, high = (1.0 - spread) * value, (1.0 + spread) * value
    return Ranged(value, low, high, "", Evidence.GIVEN)


def _point(across: float, up: float, name: str = "one") -> Point:
    return Point(Compared(name, name, Charted()), _ranged(across), _ranged(up), PREDICTED)


# --- Powers ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("key", [key for key, one in PROPERTIES.items() if key != "cost"])
def test_each_property_of_a_solid_grows_with_its_thickness_as_is_said(key: str) -> None:
    """Beam theory: EI = E t³/12, W = t²/6, what is pulled and weighs as t; a board has no layers.

    The sheet of steel where the table of solids has it; the board where strength is asked.
    """
    strong = key.startswith(("moment", "pull", "shear_along", "shear_across"))
    thin, thick = ("8 mm Sitka spruce board", "16 mm Sitka spruce board")
    if not strong and key != "insulation" and not key.startswith("resin"):
        thin, thick = "8 mm steel", "16 mm steel"
    if key == "resin_to_mix":
        assert _value(thin, key) == 0.0, "a solid has no resin: nothing to compare"
        return
    power = math.log(_value(thick, key) / _value(thin, key)) / math.log(2.0)
    assert power == pytest.approx(PROPERTIES[key].power, abs=1e-6)


@pytest.mark.parametrize(
    ("across", "up", "power", "says"),
    [
        # ashby-1992 (from memory): E^(1/3)/ρ for a plate in bending, so E as ρ³; E/ρ for a tie
        ("density", "modulus_bent_along", 3.0, "equally stiff plate per kilogram"),
        ("density", "modulus_across", 1.0, "equally stiff sheet, pulled, per kilogram"),
        # the same for plates of any thickness: EI as m³; σ_f^(1/2)/ρ: moment as m²
        ("areal_mass", "stiffness_along", 3.0, "equally stiff plate per kilogram"),
        ("areal_mass", "moment_across_first", 2.0, "equally strong plate per kilogram"),
        ("areal_mass", "sheet_stiffness_along", 1.0, "equally stiff sheet, pulled, per kilogram"),
        ("areal_mass", "pull_along_ultimate", 1.0, "equally strong sheet, pulled, per kilogram"),
        ("areal_mass", "insulation", 1.0, "equally warm per kilogram"),
        ("cost", "stiffness_across", 3.0, "equally stiff plate for its money"),
        ("thickness", "stiffness_along", 3.0, "equally stiff plate for its thickness"),
        ("stiffness_along", "areal_mass", 1.0 / 3.0, "equally stiff plate per kilogram"),
        ("areal_mass", "thickness", 1.0, SAME_STUFF),
        ("stiffness_along", "moment_along_first", 2.0 / 3.0, SAME_STUFF),
    ],
)
def test_lines_of_equal_merit(across: str, up: str, power: float, says: str) -> None:
    found = merit(PROPERTIES[across], PROPERTIES[up])
    assert found is not None
    assert found.power == pytest.approx(power, rel=1e-12)
    assert found.says == says


@pytest.mark.parametrize(
    ("across", "up"),
    [("density", "thickness"), ("areal_mass", "density"), ("areal_mass", "areal_mass")],
)
def test_what_has_no_line(across: str, up: str) -> None:
    assert merit(PROPERTIES[across], PROPERTIES[up]) is None


def test_plates_of_one_stuff_lie_on_one_line() -> None:
    """A solid plate in any thickness has the same E^(1/3)/ρ (ashby-1992, from memory)."""
    thin, thick = "2 mm aluminium", "13 mm aluminium"
    on_line = equal_merit(
        _value(thick, "areal_mass"), _value(thin, "areal_mass"), _value(thin, "stiffness_along"), 3
    )
    assert float(on_line) == pytest.approx(_value(thick, "stiffness_along"), rel=1e-9)


@pytest.mark.parametrize(
    ("words", "modulus", "density"),
    [("aluminium", 70e9, 2700.0), ("window glass", 70e9, 2500.0), ("acrylic sheet", 3.2e9, 1190.0)],
)
def test_how_far_apart_the_lines_of_two_stuffs_lie(
    words: str, modulus: float, density: float
) -> None:
    """At equal mass EI goes as E/ρ³ (ashby-1992, from memory); steel 210 GPa, 7850 kg/m³.

    Moduli and densities as in general engineering handbooks, from memory.
    """
    steel = _value("3 mm steel", "stiffness_along") / _value("3 mm steel", "areal_mass") ** 3
    other = f"7 mm {words}"
    there = _value(other, "stiffness_along") / _value(other, "areal_mass") ** 3
    closed = (modulus / density**3) / (210e9 / 7850.0**3)
    assert there / steel == pytest.approx(closed, rel=1e-9)


def test_a_sheet_that_is_pulled() -> None:
    """Hooke's law: 3 mm of steel, 210 GPa, 630 MN/m."""
    assert float(sheet_stiffness(210e9, 3e-3)) == pytest.approx(630e6, rel=1e-12)
    assert _value("3 mm steel", "sheet_stiffness_along") == pytest.approx(630e6, rel=1e-9)


# --- Lines within the axes ------------------------------------------------------------------------

_values = st.floats(1e-2, 1e6)


@settings(max_examples=200)
@given(
    st.lists(st.tuples(_values, _values), min_size=1, max_size=6),
    st.booleans(),
    st.booleans(),
    st.sampled_from(["stiffness_along", "thickness", "moment_along_first"]),
)
def test_lines_lie_within_the_axes_and_keep_their_merit(
    places: list[tuple[float, float]], log_across: bool, log_up: bool, key: str
) -> None:
    points = [_point(x, y, str(at)) for at, (x, y) in enumerate(places)]
    across = axis(MASS, [one.across for one in points], log_across)
    up = axis(PROPERTIES[key], [one.up for one in points], log_up)
    found = merit(MASS, PROPERTIES[key])
    assert found is not None
    first = best_of(points, found, PROPERTIES[key])
    lines = guides(across, up, points, first, found)
    assert lines
    assert lines[0].times == 1.0
    for line in lines:
        for x, y in zip(line.across, line.up, strict=True):
            assert across.low * (1 - 1e-9) <= x <= across.high * (1 + 1e-9)
            assert up.low * (1 - 1e-9) <= y <= up.high * (1 + 1e-9)
            on_it = line.times * first.up.value * (x / first.across.value) ** found.power
            assert y == pytest.approx(on_it, rel=1e-9, abs=1e-12)


def test_the_first_line_goes_through_the_best_and_others_stand_beside_it() -> None:
    points = [_point(2.0, 800.0, "best"), _point(4.0, 800.0, "an eighth of it")]
    found = merit(MASS, STIFF)
    assert found is not None
    best = best_of(points, found, STIFF)
    assert best.of.id == "best"
    across, up = (
        axis(MASS, [p.across for p in points], True),
        axis(STIFF, [p.up for p in points], True),
    )
    assert {line.times for line in guides(across, up, points, best, found)} == {1, 0.5, 0.25, 0.125}


def test_of_what_there_had_better_be_little_of_the_best_has_least() -> None:
    turned = merit(STIFF, MASS)
    assert turned is not None
    points = [_point(800.0, 2.0, "light"), _point(800.0, 4.0, "heavy")]
    assert best_of(points, turned, MASS).of.id == "light"


# --- Axes -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("log", [True, False])
def test_an_axis_has_room_for_every_range(log: bool) -> None:
    values = [_ranged(3.0, 0.2), _ranged(70.0, 0.5)]
    found = axis(MASS, values, log)
    assert all(found.low <= value.low and value.high <= found.high for value in values)
    assert found.share(found.low) == 0.0
    assert found.share(found.high) == pytest.approx(1.0)
    assert log or found.low == 0.0


def test_a_range_that_reaches_nought_is_cut_off_on_a_logarithmic_axis() -> None:
    wide = Ranged(5.0, -1.0, 12.0, "", Evidence.GIVEN)
    assert axis(MASS, [wide], True).low == pytest.approx(0.5 / 1.25)
    assert axis(MASS, [wide], False).low < -1.0


@pytest.mark.parametrize("log", [True, False])
def test_an_axis_with_nothing_on_it_is_still_one(log: bool) -> None:
    found = axis(MASS, [], log)
    assert found.low < found.high
    assert not log or found.low > 0.0


# --- What stands there ----------------------------------------------------------------------------


def test_shapes_go_by_what_holds_the_faces_apart() -> None:
    kinds = {path.stem: charted(predicted(path)).kind for path in EXAMPLES}
    assert kinds["tender-topside"] == TIMBER  # strips
    assert kinds["skiff-bottom-sandwich"] == TIMBER  # end-grain balsa
    assert kinds["camper-roof"] == FOAM
    assert kinds["instrument-platform"] == HONEYCOMB
    assert kinds["skiff-bottom-solid"] == LAMINATE
    biax = 'cloth = "E-glass biaxial 300 g/m2"'
    sheet = 'plywood = "birch plywood"\nthickness = "9 mm"'
    assert charted(predicted_text(panel(biax, sheet, biax))).kind == PLYWOOD


def test_a_piece_is_measured_in_both_in_one_or_in_neither() -> None:
    piece = Compared("S-0001", "a piece", Charted(), found=frozenset({"areal_mass", "thickness"}))
    assert standing(piece, "areal_mass", "thickness") == FOUND
    assert standing(piece, "areal_mass", "areal_mass") == FOUND
    assert standing(piece, "areal_mass", "stiffness_along") == HALF_FOUND
    assert standing(piece, "density", "stiffness_along") == PREDICTED


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_what_is_charted_is_what_is_predicted(path: Path) -> None:
    made = predicted(path)
    found = charted(made).values
    assert found["thickness"].value == made.thickness.value
    assert (found["areal_mass"].low, found["areal_mass"].high) == (
        made.areal_mass.low,
        made.areal_mass.high,
    )
    if made.section is not None:
        assert found["stiffness_across"].value == made.section.stiffness_across.value
        assert found["density"].low == made.section.merit["density"].low
    bent = [one.value.value for one in made.strength if one.action.startswith("bent along")]
    assert ("moment_along_first" in found) == (bool(bent) and not made.unknown_strength)
    if "moment_along_first" in found:
        ends = {found[f"moment_along_{tail}"].value for tail in ("first", "ultimate")}
        assert min(bent) in ends


def test_a_log_axis_places_decades_evenly() -> None:
    found = Axis(MASS, True, 1.0, 100.0)
    assert found.share(10.0) == pytest.approx(0.5)
