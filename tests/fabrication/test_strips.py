"""Strips of a whole part: a worked scenario, geometry by hand, and what a part cannot be."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from panelwright.errors import InputError
from panelwright.fabrication.faired import faired_layers
from panelwright.fabrication.ledger import GLUE_LINES
from panelwright.fabrication.one_face import one_face
from panelwright.fabrication.strip_records import (
    Air,
    Boards,
    Planking,
    Station,
    StripsRecord,
)
from panelwright.fabrication.strips import plan_strips
from panelwright.jobs.predict import evaluate_panel, stiffen
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics import strips as formulas
from panelwright.panels.description import read
from panelwright.panels.resolve import Resolved, resolve
from panelwright.panels.stack import StackLayer
from panelwright.provenance import Evidence, Input

CATALOGUE = Catalogue.shipped()
SCENARIOS = Path(__file__).parents[1] / "jobs" / "scenarios.json"
PANEL = """
format = 1
title = "invented"
process = "hand lay-up"
resin = "epoxy, laminating"
shop = {{ temperature = "17 degC", humidity = "{humidity}" }}
[[layer]]
cloth = "E-glass biaxial 300 g/m2"
[[layer]]
strips = "western redcedar"
thickness = "{thickness}"
angle = {angle}
strip = {{ width = "22 mm"{cover} }}
glue = "epoxy, thickened"
[[layer]]
cloth = "E-glass twill 200 g/m2"
"""
SPARE = Input(0.12, 0.12, 0.12, "given", Evidence.GIVEN, "")


def resolved(
    thickness: str = "8 mm",
    cover: str = ', cover = "20 mm"',
    angle: int = 0,
    humidity: str = "60 %",
) -> Resolved:
    text = PANEL.format(thickness=thickness, cover=cover, angle=angle, humidity=humidity)
    return resolve(read(text), CATALOGUE)


def strips_of(panel: Resolved) -> StackLayer:
    return next(layer for layer in panel.layers if layer.kind == "strips")


def planking(*stations: Station, **asked: Any) -> Planking:
    given: dict[str, Any] = {"layer": strips_of(resolved()), "spare": SPARE, "width": 0.022}
    return Planking(**{**given, **asked, "stations": stations})


def planned(*stations: Station, **asked: Any) -> StripsRecord:
    return plan_strips(planking(*stations, **asked), CATALOGUE)


FLAT = (Station(0.0, 1.0), Station(3.0, 1.0))


# --- The tender of the scenarios ------------------------------------------------------------------


@pytest.fixture(scope="module")
def tender() -> dict[str, Any]:
    """Worked outside this code; all its data is invented."""
    found = json.loads(SCENARIOS.read_text(encoding="utf-8"))["scenarios"]
    return next(one for one in found if one["id"] == "S1")


def test_the_tender_comes_out_as_worked(tender: dict[str, Any]) -> None:
    asked, expected = tender["inputs"], tender["expected"]
    length, girth = asked["length_m"], asked["girth_mid_m"]
    bilge = asked["tightest_bilge_radius_mm"] / 1000.0
    # ends that give the area of the scenario, which says nothing of them
    ends = 2.0 * asked["hull_area_m2"] / length - girth
    record = planned(Station(0.0, ends), Station(0.5 * length, girth, bilge), Station(length, ends))
    assert record.area == pytest.approx(asked["hull_area_m2"], rel=1e-12)
    assert record.count == expected["strips_at_midship"]
    assert record.running.value == pytest.approx(expected["strip_metres"], rel=5e-3)
    assert record.to_have.value == pytest.approx(expected["strip_metres_to_buy"], rel=5e-3)
    planed = record.stations[1].planed
    assert planed is not None
    assert 1000.0 * planed.value == pytest.approx(expected["corner_planed_mm"], rel=5e-3)
    staples = formulas.staples(record.count, asked["stations"], 0.0)
    assert staples == expected["staples"]


# --- By hand --------------------------------------------------------------------------------------


def test_a_flat_part_by_hand() -> None:
    """3 m by 1 m of strips that cover 20 mm: 50 of them, 150 m; 12 % spare: 56, 168 m."""
    record = planned(*FLAT)
    assert (record.count, record.count_with_spare) == (50, 56)
    assert record.running.value == pytest.approx(150.0)
    assert record.to_have.value == pytest.approx(168.0)
    assert record.over_area == pytest.approx(0.0, abs=1e-12)
    assert all(one.planed is None and one.bevel is None for one in record.stations)
    assert record.mean_left is None
    assert record.warnings == (
        "stations 3 m apart: strips of 8 mm dish between them beyond "
        "0.317 … 0.405 m (common practice)",
    )


@pytest.mark.parametrize(("angle", "count", "longest"), [(0, 50, 3.0), (90, 150, 1.0)])
def test_strips_run_along_or_round(angle: int, count: int, longest: float) -> None:
    record = planned(*FLAT, layer=strips_of(resolved(angle=angle)))
    assert record.count == count
    assert record.longest == pytest.approx(longest)


def test_diagonal_strips_bend_and_fair_by_half_the_curvature() -> None:
    """Euler's theorem at 45°: a cylinder of radius R bends strips to 2R, and is faired at 2R."""
    bent = (Station(0.0, 1.0, 1.0), Station(1.0, 1.0, 1.0))
    record = planned(*bent, layer=strips_of(resolved(angle=45)))
    assert record.bending is not None
    assert record.bending.asked == pytest.approx(2.0)
    assert [one.radius for one in record.stations] == pytest.approx([2.0, 2.0])


def test_boards_by_hand() -> None:
    """A board of 150 by 25 mm gives 13 strips sawn 8.5 mm with 2.5 mm of kerf: (150 + 2.5)/11.

    With scarfs of 8 x 8.5 = 68 mm each 2.4 m adds 2.332 m: 168 m take 73 pieces, 6 boards.
    """
    sawing = planned(*FLAT, boards=Boards(0.150, 0.025, 2.4)).sawing
    assert sawing is not None
    assert (sawing.per_board, sawing.pieces_per_strip) == (13, 2)
    assert sawing.scarf == pytest.approx(0.068)
    assert (sawing.pieces, sawing.boards) == (73, 6)
    assert sawing.loss == pytest.approx(1.0 - 13 * 8.5 * 22.0 / (150.0 * 25.0))


def test_boards_long_enough_need_no_scarf() -> None:
    sawing = planned(*FLAT, boards=Boards(0.150, 0.050, 3.1)).sawing
    assert sawing is not None
    assert (sawing.scarf, sawing.pieces_per_strip, sawing.pieces) == (0.0, 1, 56)
    assert (sawing.per_board, sawing.boards) == (26, 3)


def test_glue_is_that_of_the_ledger() -> None:
    """What lies between strips is one number, here for the part and there for a square metre."""
    panel = resolved()
    books = evaluate_panel(panel).books.entries[GLUE_LINES]
    record = planned(*FLAT, layer=strips_of(panel))
    assert record.glue_kept is not None
    assert record.glue_laid is not None
    assert record.glue_kept.value == pytest.approx(3.0 * float(books.in_part))
    assert record.glue_laid.value == pytest.approx(3.0 * float(books.to_mix))


def test_bends_rest_on_the_handbook() -> None:
    """Western redcedar at 12 %, FPL-GTR-190, Table 5-3a: MOR 51.7 MPa, MOE 7.7 GPa (read).

    The shop at 21.1 degC and 65 % has 12.0 % by Table 4-2 (from memory): R = t E/(2 MOR).
    """
    layer = strips_of(resolved(humidity="64.6 %"))  # 12.0 % at 17 degC by the equation
    bending = planned(*FLAT, layer=layer).bending
    assert bending is not None
    assert bending.dry.value == pytest.approx(0.008 * 7700.0 / (2.0 * 51.7), rel=2e-3)
    assert bending.edgeways is not None
    assert bending.edgeways.value == pytest.approx(bending.dry.value * 22.0 / 8.0)
    assert bending.dry.low < bending.dry.value < bending.dry.high
    assert bending.soaked.value == pytest.approx(0.35 * bending.dry.value)


def test_girth_moves_by_the_coefficients_of_the_handbook() -> None:
    """C_T 0.00172, C_R 0.00081 (closed form of Table 13-5, from memory), rings not known: half."""
    step = planned(*FLAT).girth_step
    assert step is not None
    assert step.value == pytest.approx(1.0 * 0.5 * (0.00172 + 0.00081), rel=5e-3)
    assert step.low < 0.00090
    assert step.high > 0.00160


def test_what_is_common_practice_says_so() -> None:
    record = planned(*FLAT)
    assert record.spacing.evidence is Evidence.PRACTICE
    assert {one.evidence for one in record.grounds} >= {Evidence.PRACTICE, Evidence.GIVEN}
    assert all(one.source for one in record.grounds)


def test_the_window_of_moisture_in_air() -> None:
    """FPL-GTR-190, Table 4-2 (from memory): at 15.6 degC, 40 % gives 7.8 % and 65 % 12.1 %."""
    drying = planned(*FLAT, air=Air(288.75, 0.40, 0.65)).drying
    assert drying.settles == pytest.approx((0.078, 0.121), abs=5e-4)
    assert drying.driest == pytest.approx(0.413, abs=5e-3)
    assert drying.dampest == pytest.approx(0.645, abs=5e-3)


# --- What to look at ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("asked", "part"),
    [
        ({"along": 0.5}, "strips do not bend dry to 500 mm"),
        ({"along": 0.7}, "a bend to 700 mm is near where dry strips break"),
        ({"layer": strips_of(resolved(humidity="85 %"))}, "too wet to glue (8 % to 12 %"),
        ({"layer": strips_of(resolved(humidity="25 %"))}, "too dry to glue (8 % to 12 %"),
    ],
)
def test_warnings_say_what_works(asked: dict[str, Any], part: str) -> None:
    assert any(part in text for text in planned(*FLAT, **asked).warnings)


def test_narrow_ends_are_told() -> None:
    ends = (Station(0.0, 0.3), Station(0.3, 2.0, 0.07))
    warnings = planned(*ends).warnings
    assert any(
        "if all 100 strips ran through" in text and "15 close it" in text for text in warnings
    )


def test_a_bend_that_takes_more_than_its_share_is_told() -> None:
    warnings = planned(Station(0.0, 1.0), Station(0.3, 1.0, 0.05)).warnings
    assert any("lose no more than 10 %" in text for text in warnings)


# --- What cannot be -------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("asked", "what", "figure"),
    [
        ({"layer": strips_of(resolved(cover=""))}, "hat one strip covers", "cover = "),
        ({"along": 0.05}, "do not bend to 50 mm", "or more"),
        ({"boards": Boards(0.15, 0.018, 2.4)}, "o strip comes out", "22 mm thick"),
        ({"boards": Boards(0.15, 0.025, 0.05)}, "shorter than a scarf", "more than 68 mm"),
    ],
)
def test_what_cannot_be_is_refused_with_a_figure(
    asked: dict[str, Any], what: str, figure: str
) -> None:
    with pytest.raises(InputError) as refused:
        planned(*FLAT, **asked)
    assert what in str(refused.value)
    assert figure in str(refused.value)


def test_strips_too_wide_for_a_bend_are_refused() -> None:
    """20 mm round 8 mm: a standoff of sqrt(64 + 100) - 8 = 4.8 mm, more than half of 8 mm."""
    with pytest.raises(InputError, match=r"would keep 3\.19 mm.*strips that cover 7\.16 mm"):
        planned(Station(0.0, 1.0), Station(0.3, 1.0, 0.008))


# --- One face -------------------------------------------------------------------------------------


def test_one_face_is_what_the_section_says() -> None:
    panel = resolved()
    done = evaluate_panel(panel, draws=256)
    found = one_face(
        done.stack, done.drawn_stack, panel.layers, 1.0, panel.inputs(), CATALOGUE,
        Air(290.15, 0.45, 0.75),
    )  # fmt: skip
    assert found is not None
    # wetter: the bare inside grows, the shell opens, its middle goes inwards
    assert found.rise.high < 0.0
    assert found.humidity == pytest.approx(0.60, abs=1e-6)
    assert found.driest is not None
    assert found.dampest is not None
    assert found.driest < 0.60 < found.dampest
    assert found.ends is not None
    assert found.ends[0] > 0.0 > found.ends[1]
    assert "humidity until the inside is glassed" in found.advice[0]


def test_a_panel_with_nothing_left_to_glass_has_no_such_stage() -> None:
    panel = resolved()
    bare = replace(panel, layers=[la for la in panel.layers if la.laid < 2])
    done = evaluate_panel(bare, draws=64)
    found = one_face(done.stack, done.drawn_stack, bare.layers, 1.0, bare.inputs(), CATALOGUE)
    assert found is None


# --- The bent part in the prediction --------------------------------------------------------------


def test_a_bent_part_is_predicted_thinner_by_what_fairing_takes() -> None:
    """20 mm round 140 mm: sqrt(140² + 10²) - 140 = 0.35669 mm of 8 mm."""
    flat = resolved("8 mm +/- 0.3 mm")
    bent = replace(flat, layers=faired_layers(flat.layers, 0.140))
    lost = np.sqrt(0.140**2 + 0.010**2) - 0.140
    whole, left = evaluate_panel(flat, draws=256), evaluate_panel(bent, draws=256)
    assert whole.build.thickness - left.build.thickness == pytest.approx(lost, rel=1e-9)
    np.testing.assert_allclose(
        whole.drawn_build.thickness - left.drawn_build.thickness, lost, rtol=1e-9
    )
    stiff, thinner = stiffen(whole), stiffen(left)
    assert stiff is not None
    assert thinner is not None
    assert np.all(thinner.made.strip < stiff.made.strip)


def test_what_is_no_strip_is_left_as_it_is() -> None:
    panel = resolved()
    bent = faired_layers(panel.layers, 0.2)
    same = [
        made is given
        for made, given in zip(bent, panel.layers, strict=True)
        if given.kind != "strips"
    ]
    assert all(same)
    assert len(same) == len(panel.layers) - 1
