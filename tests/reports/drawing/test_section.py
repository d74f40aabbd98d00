"""What a section shows: scale, true thickness, ink, repeats, cuts; and that it stays the same."""

from __future__ import annotations

import re
from itertools import pairwise

import pytest

from panelwright.panels.records import Prediction
from panelwright.provenance import Evidence
from panelwright.reports.drawing import (
    card_svg,
    details_svg,
    evidence_svg,
    ledger_table,
    polar_table,
    range_rule_svg,
    section_caption,
    section_svg,
    section_table,
    shares_table,
)
from panelwright.reports.drawing.bands import GAP, LEAST_INK, column_of, items_of, once, rows_of
from panelwright.reports.drawing.labels import spread
from panelwright.reports.drawing.scales import PX_PER_M, SCALES, bar, largest
from tests.jobs.panels import EXAMPLES, panel, predicted, predicted_text
from tests.reports.drawing.boxes import SVG, parsed

TENDER = next(path for path in EXAMPLES if path.stem == "tender-topside")
SKIN = 'cloth = "E-glass biaxial 300 g/m2"'


def tender() -> Prediction:
    return predicted(TENDER)


def hits(svg: str) -> list[float]:
    """Heights of the layers as drawn, px."""
    return [
        float(node.get("height", 0)) for node in parsed(svg).iter() if node.get("class") == "hit"
    ]


def test_one_millimetre_on_paper_is_one_millimetre() -> None:
    # CSS Values 4: 1 in is 96 px; NIST SP 811: 1 in is 25.4 mm
    assert pytest.approx(96.0) == 0.0254 * PX_PER_M


def test_the_same_stack_gives_the_same_picture() -> None:
    text = TENDER.read_text(encoding="utf-8")
    one, two = (section_svg(predicted_text(text), 668.0) for _ in range(2))
    assert one == two


def test_thickness_is_true_at_the_scale_told() -> None:
    # 8 mm of strips at 5:1 is 40 mm, 151.2 px
    assert section_caption(tender(), 826.0) == ("Section across the strips", "5:1")
    assert hits(section_svg(tender(), 826.0))[1] == pytest.approx(151.2, abs=0.1)
    assert hits(section_svg(tender(), 336.0))[1] == pytest.approx(60.5, abs=0.1)  # 2:1


@pytest.mark.parametrize(("length", "scale"), [(0.008, 5), (0.0002, 50), (0.12, 1), (0.0503, 1)])
def test_the_largest_scale_that_fits(length: float, scale: int) -> None:
    assert largest(length, 190.0) == scale
    assert scale in SCALES


def test_cut_along_the_strips_shows_no_joint() -> None:
    across, along = (section_svg(tender(), 668.0, cut) for cut in ("across", "along"))
    assert 'class="glue"' in across
    assert 'class="glue"' not in along
    assert section_caption(tender(), 668.0, "along")[0] == "Section along the strips"


def test_a_selected_layer_has_a_filled_balloon_and_two_bars() -> None:
    chosen = section_svg(tender(), 668.0, selected=4)
    assert chosen.count('class="pencil"') == 2
    assert chosen.count('class="balloon selected"') == 1
    assert 'class="pencil"' not in section_svg(tender(), 668.0)


@pytest.mark.parametrize("px_per_mm", [0.5, 1.0, 3.78, 18.9])
def test_ink_is_true_but_never_thinner_than_a_line(px_per_mm: float) -> None:
    prediction = predicted_text(
        panel(f"{SKIN}\nrepeat = 3", 'core = "PET foam 110"\nthickness = "30 mm"')
    )
    column = column_of(items_of(rows_of(prediction.layers)), 1e3 * px_per_mm, 1e9)
    ink = [band for band in column.bands if band.ply is None]
    true = sum(layer.thickness.value for layer in prediction.layers[:3]) * 1e3 * px_per_mm
    assert ink[-1].bottom - ink[0].top == pytest.approx(max(true, LEAST_INK))
    gaps = [below.top - above.bottom for above, below in pairwise(ink)]
    assert all(gap == pytest.approx(0.0) or gap == pytest.approx(GAP) for gap in gaps)
    assert all(band.height >= LEAST_INK - 1e-9 for band in ink) or true < 3 * LEAST_INK


def test_repeats_are_drawn_once_with_their_number() -> None:
    pair = 'cloth = "carbon twill 200 g/m2"\nangle = {}'
    prediction = predicted_text(panel(*[pair.format(angle) for _ in range(6) for angle in (0, 45)]))
    drawn, repeats = once(items_of(rows_of(prediction.layers)))
    assert (len(drawn), [(one.first, one.after, one.times) for one in repeats]) == (2, [(0, 2, 6)])
    assert "× 6" in "".join(parsed(section_svg(prediction, 540.0)).itertext())


def test_a_thick_core_is_cut_short_and_says_so() -> None:
    prediction = predicted_text(panel(SKIN, 'core = "PET foam 110"\nthickness = "120 mm"', SKIN))
    svg = section_svg(prediction, 668.0)
    assert sum(hits(svg)) < 200.0
    assert "cut short" in "".join(parsed(svg).itertext())
    assert "cut short" in "".join(parsed(card_svg(prediction.layers, 0.12, 300.0)).itertext())


def test_details_only_where_skins_are_too_thin_to_hatch() -> None:
    assert "Detail A, 50:1" in details_svg(tender(), 826.0)
    assert details_svg(predicted_text(panel(SKIN)), 826.0) == ""


def test_walls_of_a_honeycomb_stand_at_their_pitch() -> None:
    prediction = predicted_text(
        panel(SKIN, 'core = "aramid honeycomb 48 kg/m3"\nthickness = "12 mm"')
    )
    scale = float(section_caption(prediction, 668.0)[1].partition(":")[0])
    svg = section_svg(prediction, 668.0)
    core = next(node for node in parsed(svg).iter() if node.get("data-layer") == "2")
    paths = "".join(node.get("d", "") for node in core.iter(f"{SVG}path"))
    x = sorted({float(one) for one in re.findall(r"M([\d.]+) ", paths)})
    singles = [a for a in x if all(abs(a - b) > 2.0 for b in x if b != a)]
    # cells of 3.2 mm; every second wall is double
    assert singles[1] - singles[0] == pytest.approx(2 * 3.2e-3 * scale * PX_PER_M, abs=0.2)


def test_tables_say_what_the_drawings_show() -> None:
    assert [row[0] for row in section_table(tender())] == ["layer", "1", "2", "3–4"]
    assert section_table(tender())[2][1:3] == ("western redcedar strips", "8.00 mm")
    assert ledger_table(tender())[1][0] == "fibre"
    assert ledger_table(tender())[-1][0] == "together"
    shares = shares_table(tender())[1:]
    assert sum(int(row[2].partition(" ")[0]) for row in shares) in range(98, 103)
    assert len(polar_table(tender())) == 13


def test_labels_keep_their_order_and_their_distance() -> None:
    middles = spread([10.0, 12.0, 80.0], [20.0, 20.0, 20.0], 0.0, 100.0)
    assert middles == pytest.approx([10.0, 30.0, 80.0])
    crowded = spread([50.0, 50.0, 50.0], [20.0] * 3, 0.0, 200.0)
    assert crowded == pytest.approx([30.0, 50.0, 70.0])


def test_bars_are_round_and_fit() -> None:
    assert bar(5.0, 130.0, "si").words == "5 mm"
    assert bar(5.0, 130.0, "imperial").words == "1/4 in"
    for scale in SCALES:
        for system in ("si", "imperial"):
            assert bar(float(scale), 60.0, system).length <= 60.0


def test_a_rule_and_a_bar_of_evidence() -> None:
    thickness = tender().thickness
    alone = range_rule_svg(thickness, (0.008, 0.010), 140.0)
    found = range_rule_svg(thickness, (0.008, 0.010), 140.0, found=thickness)
    assert "open" in alone
    assert "<circle" not in alone
    assert "<circle" in found
    drawn = {kind: evidence_svg(kind).split("</title>")[1] for kind in Evidence}
    assert len(set(drawn.values())) == len(Evidence)
