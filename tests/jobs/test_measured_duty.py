"""Duties judged with what was measured: held to the check of a panel that is written with it."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import numpy as np
import pytest

from panelwright.jobs.check import check_text
from panelwright.jobs.measure import measure
from panelwright.jobs.measured_duty import as_found
from panelwright.jobs.reconcile import Reconciliation, reconcile_piece
from panelwright.jobs.shelf import Shelf, open_shelf
from panelwright.panels.evaluate import evaluate
from panelwright.panels.stack import stack_of
from panelwright.panels.verdicts import KEPT, NOT_KEPT
from panelwright.reports.bench_words import of_duty
from panelwright.samples.readings import Reading, read_reading

PANEL = """format = 1
title = "the hatch"
process = "hand lay-up"
resin = "epoxy, laminating"
size = {{ length = "600 mm", width = "400 mm" }}
[[layer]]
cloth = "E-glass twill 300 g/m2"
repeat = 8
{fraction}
[[duty]]
name = "a knee"
ready = "kneel on it"
span = {{ length = "600 mm", width = "400 mm" }}
edges = "simply supported"
limits = {{ deflection = "{limit}", reserve = 0.5 }}
"""


@pytest.fixture
def shelf(tmp_path: Path) -> Iterator[Shelf]:
    opened = open_shelf(tmp_path / "shelf")
    yield opened
    opened.close()


def _weighed(shelf: Shelf, mass: float, thickness: float, limit: str = "100 mm") -> Reconciliation:
    """A hatch of 0.24 m2 with all its cloth weighed: kg and mm."""
    shelf.save_panel(PANEL.format(fraction="", limit=limit))
    readings = [
        read_reading("mass", f"{mass} kg by 1 g"),
        read_reading("length", "600"),
        read_reading("width", "400"),
        read_reading("cloth", "2400"),
        *(Reading("thickness", 1e-3 * thickness, f"{n}", 1e-5) for n in range(9)),
    ]
    number = measure(shelf, "P-0001", readings).worked.piece.number
    return reconcile_piece(shelf, number)


def test_it_is_the_check_of_a_panel_with_the_fraction_that_was_found(shelf: Shelf) -> None:
    """m = 2400/(1400/0.24) = 0.4114 by hand: with that in its file, a panel bends as much."""
    done = _weighed(shelf, 1.4, 4.13)
    assert done.reconciled is not None
    (change,) = done.duties
    found = as_found(done.work.resolved, done.reconciled.moved, "S-0001")
    fraction = float(evaluate(stack_of(found.layers)).fibre_mass_fraction[0])
    assert fraction == pytest.approx(0.4114, abs=0.003)
    text = PANEL.format(fraction=f"fibre_mass_fraction = {fraction!r}", limit="100 mm")
    (written,) = check_text(text, shelf.catalogue())
    for one, other in zip(change.after.limits, written.limits, strict=True):
        assert one.value is not None
        assert other.value is not None
        assert one.value.value == pytest.approx(other.value.value, rel=0.02), one.name


def test_more_resin_makes_it_stiffer_and_says_so(shelf: Shelf) -> None:
    done = _weighed(shelf, 1.4, 4.13)
    (change,) = done.duties
    before, after = change.before.limits[0].value, change.after.limits[0].value
    assert before is not None
    assert after is not None
    assert after.value < before.value
    said = of_duty(done.title, change.before, change.after, "si")
    assert said.startswith(
        "With what was measured the hatch still keeps “a knee”: its deflection falls"
    )
    assert "its reserve rises from" in said


def test_the_sentence_is_in_the_units_that_are_wanted(shelf: Shelf) -> None:
    """The hatch is the piece: 1400 g against 1200 g predicted, 200 g or 7.05 oz."""
    done = _weighed(shelf, 1.4, 4.13)
    assert "the hatch will be 200 g heavier" in done.sentence()
    assert "the hatch will be 7.1 oz heavier" in done.sentence("imperial")


def test_a_duty_that_is_lost_is_told(shelf: Shelf) -> None:
    """Far too little resin: thin, and past the limit that it kept before."""
    done = _weighed(shelf, 0.9, 2.6, limit="100 mm")
    (change,) = done.duties
    assert change.before.kept == KEPT
    assert change.after.kept == NOT_KEPT
    said = of_duty(done.title, change.before, change.after, "si")
    assert "the hatch no longer keeps “a knee”" in said
    assert "its deflection rises from" in said


def test_what_was_found_draws_the_ranges_in_and_moves_nothing_else(shelf: Shelf) -> None:
    done = _weighed(shelf, 1.2, 3.60)
    assert done.reconciled is not None
    resolved = done.work.resolved
    found = as_found(resolved, done.reconciled.moved, "S-0001")
    known = {one.cause.name for one in done.reconciled.moved}
    for old, new in zip(resolved.layers, found.layers, strict=True):
        for name, given in old.inputs.items():
            now = new.inputs[name]
            if given.cause not in known:
                assert now == given
            else:
                assert now.high - now.low <= (given.high - given.low) * (1.0 + 1e-9)
    stack = stack_of(found.layers)
    np.testing.assert_allclose(
        float(evaluate(stack).areal_mass), float(done.reconciled.build.areal_mass[1]), rtol=1e-9
    )


def test_a_panel_without_a_duty_has_none_to_judge(shelf: Shelf) -> None:
    shelf.save_panel(PANEL.format(fraction="", limit="100 mm").partition("[[duty]]")[0])
    readings = [read_reading(what, text) for what, text in (("mass", "1.2 kg"), ("length", "600"))]
    number = measure(shelf, "P-0001", [*readings, read_reading("width", "400")]).worked.piece.number
    assert reconcile_piece(shelf, number).duties == ()
