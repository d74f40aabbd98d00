"""What fairing a bend takes from strips, in thickness, mass and stiffness of the panel."""

from __future__ import annotations

import math

import numpy as np
import pytest

from panelwright.errors import InputError
from panelwright.jobs.faired import FairedPlace, faired_place, has_strips_that_fair
from panelwright.jobs.predict import evaluate_panel
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import read
from panelwright.panels.resolve import resolve
from panelwright.provenance import Evidence

CATALOGUE = Catalogue.shipped()
PANEL = """
format = 1
title = "invented"
process = "hand lay-up"
resin = "epoxy, laminating"
[[layer]]
cloth = "E-glass biaxial 300 g/m2"
[[layer]]
strips = "western redcedar"
thickness = "{thickness}"
density = "350 kg/m3"
strip = {{ width = "27 mm", cover = "25 mm" }}
[[layer]]
cloth = "E-glass twill 200 g/m2"
"""


def place(radius: float, thickness: str = "12 mm") -> FairedPlace:
    whole = evaluate_panel(resolve(read(PANEL.format(thickness=thickness)), CATALOGUE), 256)
    return faired_place(whole, radius, CATALOGUE)


def test_the_loss_is_that_of_the_worked_case() -> None:
    """D15 of the worked cases: 25 mm round 150 mm takes 0.52 mm of 12, to half a per cent."""
    found = place(0.150)
    exact = math.hypot(0.150, 0.0125) - 0.150
    assert found.lost.value == pytest.approx(exact, rel=1e-9)
    assert 0.012 - found.lost.value == pytest.approx(0.011479167, rel=5e-3)
    # the loss is geometry: it has no range of its own
    assert found.lost.low == pytest.approx(found.lost.high, rel=1e-9)


def test_mass_falls_by_the_timber_planed_off() -> None:
    """Timber weighed at 350 kg/m3 and the glue between strips, 376 g/m2 of which 0.4 is kept."""
    whole = evaluate_panel(resolve(read(PANEL.format(thickness="12 mm")), CATALOGUE), 256)
    found = faired_place(whole, 0.150, CATALOGUE)
    lost = found.lost.value
    timber, glue = 350.0 * lost, 0.376 * 0.4 * lost / 0.025
    gone = float(whole.build.areal_mass) - found.areal_mass.value
    assert gone == pytest.approx(timber + glue, rel=1e-6)


def test_the_bent_place_is_the_panel_written_so_thin() -> None:
    """Predicting the thinner strips as written in a file gives the same panel."""
    found = place(0.150)
    thin = 1000.0 * (0.012 - found.lost.value)
    written = evaluate_panel(resolve(read(PANEL.format(thickness=f"{thin!r} mm")), CATALOGUE), 256)
    assert found.thickness.value == pytest.approx(float(written.build.thickness), rel=1e-12)
    assert found.areal_mass.value == pytest.approx(float(written.build.areal_mass), rel=1e-12)


def test_stiffness_falls_between_the_square_and_the_cube() -> None:
    whole = evaluate_panel(resolve(read(PANEL.format(thickness="12 mm")), CATALOGUE), 256)
    found = faired_place(whole, 0.150, CATALOGUE)
    assert found.share_across is not None
    assert found.share_along is not None
    # skins on their distance, timber on its thickness: between a square and a cube
    apart = float(whole.build.thickness + 0.012) / 2.0
    square = ((apart - found.lost.value) / apart) ** 2
    cube = ((0.012 - found.lost.value) / 0.012) ** 3
    assert cube < found.share_across.value < square
    assert cube < found.share_along.value < square
    # timber is stiffer along the strips and bears more of the whole there
    assert found.share_along.value < found.share_across.value
    # both panels are drawn alike: their share is far surer than either stiffness
    assert found.stiffness_across is not None
    sure = (found.share_across.high - found.share_across.low) / found.share_across.value
    loose = found.stiffness_across.high - found.stiffness_across.low
    assert sure < 0.1 * loose / found.stiffness_across.value


def test_the_range_of_the_strips_stays_theirs() -> None:
    found = place(0.150, "12 mm +/- 0.5 mm")
    assert found.thickness.high - found.thickness.low > 0.0009
    strips = next(la for la in found.done.resolved.layers if la.kind == "strips")
    assert strips.inputs["solid_thickness"].evidence is Evidence.GIVEN
    assert "fairing takes round 150 mm" in strips.inputs["solid_thickness"].source


def test_a_wide_round_takes_next_to_nothing() -> None:
    found = place(50.0)
    assert found.lost.value < 2e-6
    assert found.share_along is not None
    assert found.share_along.value == pytest.approx(1.0, abs=1e-3)


def test_a_bend_too_tight_is_refused_with_the_cover_that_works() -> None:
    with pytest.raises(InputError, match=r"Strips that cover 25 mm round 10 mm would keep"):
        place(0.010)


def test_only_strips_whose_cover_is_said_are_faired() -> None:
    said = resolve(read(PANEL.format(thickness="12 mm")), CATALOGUE)
    unsaid = resolve(
        read(PANEL.format(thickness="12 mm").replace(', cover = "25 mm"', "")), CATALOGUE
    )
    assert has_strips_that_fair(said.layers)
    assert not has_strips_that_fair(unsaid.layers)


def test_it_is_drawn_as_the_flat_panel_is() -> None:
    found = place(0.150)
    assert np.shape(found.done.drawn_build.thickness) == (256,)
