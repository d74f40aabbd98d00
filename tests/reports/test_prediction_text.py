"""Glance and full: what is in them, how wide they are, that they say the predicted numbers."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from panelwright.panels.records import Prediction
from panelwright.reports.layout import wide
from panelwright.reports.prediction_text import full, glance
from panelwright.reports.section_text import section
from tests.jobs.panels import EXAMPLES, SCENARIOS, panel, predicted, predicted_text

SYSTEMS = ("si", "imperial", "both")
#: Columns of a terminal or a page that a report must keep within.
PAGE = 100

LONG_NAME = "the third layer of the outside skin, which was laid on a wet Thursday, twice over"
HARD = panel(
    'coat = "gelcoat"',
    f'name = "{LONG_NAME}"\ncloth = "E-glass biaxial ±45 with mat 800 g/m2"\nrepeat = 12',
    'strips = "western redcedar"\nthickness = "12 mm"\nstrip = { cover = "20 mm" }',
    'plywood = "birch plywood"\nthickness = "6 mm"',
    'core = "aramid honeycomb 48 kg/m3"\nthickness = "300 mm"',
    'cloth = "carbon unidirectional 300 g/m2"\nangle = -60',
    head=(
        'title = "A very long title of a panel that somebody made up to see what happens here"\n'
        'process = "infusion"\nsize = { length = "120 m", width = "80 m" }\nresin_pack = "20 kg"'
    ),
)


def section_of(text: str, title: str) -> str:
    """The part of a report under one heading."""
    return re.split(r"\n\n(?=[A-Z][^\n]*\n─)", text.split(f"{title}\n─", 1)[1])[0]


@pytest.fixture(scope="module")
def hard() -> Prediction:
    return predicted_text(HARD)


@pytest.mark.parametrize("system", SYSTEMS)
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_fits_a_page(path: Path, system: str) -> None:
    for text in (glance(predicted(path), system), full(predicted(path), system)):
        assert [line for line in text.splitlines() if wide(line) > PAGE] == []
        assert [line for line in text.splitlines() if line != line.rstrip()] == []


@pytest.mark.parametrize("system", ["si", "imperial", "both"])
def test_long_names_and_large_numbers_fit_too(hard: Prediction, system: str) -> None:
    text = full(hard, system)
    assert [line for line in text.splitlines() if wide(line) > PAGE] == []
    assert "twice over" in " ".join(text.split())


def test_glance_by_hand() -> None:
    """Case A08 (arithmetic): 8.904 kg to mix for 5.92 m2; its inputs are invented."""
    text = glance(predicted(SCENARIOS / "a08.toml"))
    lines = text.splitlines()
    assert lines[0] == "A08"
    assert lines[1] == "3.2 m × 1.85 m; wet lay-up, vacuum bag; epoxy, laminating"
    assert lines[3].startswith("Thickness")
    assert "for 5.92 m²" in lines[4]
    assert re.match(r"Resin to mix  8\.9 kg .*epoxy, laminating: buy 8\.9 kg$", lines[5])
    assert lines[7].startswith("As stiff as ")
    assert lines[9].startswith("Weakest when bent ")
    assert "What worries me" in lines


def test_imperial_by_hand() -> None:
    """S5 A: 54.0 kg and 7.5 kg/m2; 0.453 592 37 kg a pound, 0.092 903 04 m2 a square foot."""
    text = glance(predicted(SCENARIOS / "s5a.toml"), "imperial")
    assert "13.1 ft × 5.91 ft" in text
    assert re.search(r"Mass +1\.54 lb/ft²", text)
    assert "119 lb for 77.5 ft²" in text
    assert not re.search(r"\d (mm|kg|g/m²|kg/m²|m²)\b", text)


def test_both_gives_each_headline_twice() -> None:
    lines = glance(predicted(SCENARIOS / "s5a.toml"), "both").splitlines()
    assert lines[3].startswith("Thickness")
    assert " mm" in lines[3]
    assert " in" in lines[4]


def test_packs_are_counted_in_words() -> None:
    """S2: 10.92 kg in packs of 6 kg are two packs."""
    assert "buy 2 packs of 6 kg" in glance(predicted(SCENARIOS / "s2.toml"))


def test_a_range_beyond_the_packs_is_said() -> None:
    text = panel(
        'coat = "epoxy, fill coat"\nmass = "295 g/m2 +/- 30 g/m2"',
        head='resin_pack = "6 kg"\npot_loss = "0 %"\nsize = { length = "4 m", width = "5 m" }',
    )
    said = " ".join(glance(predicted_text(text)).split())
    assert "buy 1 pack of 6 kg, one more to be sure" in said


def test_worries_are_counted_beyond_the_first_three() -> None:
    text = panel(
        'cloth = "E-glass chopped mat 450 g/m2"',
        'strips = "western redcedar"\nthickness = "8 mm"\nmoisture = "20 %"',
        'core = "PET foam 110 kg/m3"\nthickness = "8 mm"',
        head='shop = { temperature = "5 degC", humidity = "60 %" }',
    )
    made = predicted_text(text)
    more = len(made.warnings) + len(made.assumed) - 3
    assert more > 1
    assert f"and {more} more points: see --full" in glance(made)
    assert "see --full" not in full(made)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_worries_and_cautions_are_sentences(path: Path) -> None:
    points = re.findall(r"^  • (.+(?:\n    .+)*)", full(predicted(path)), re.MULTILINE)
    assert points
    for point in points:
        assert point[0].isupper() or not point[0].isalpha(), point
        assert point.endswith("."), point
        assert ".." not in point


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_printed_ledger_adds_up(path: Path) -> None:
    """The causes as printed add up to the total as printed, within the rounding of each."""
    rows = section_of(full(predicted(path)), "Ledger").split("\n\n")[0].splitlines()[3:]
    found = (re.split(r" {2,}", row) for row in rows)
    cells = [row for row in found if len(row) > 1]  # not the second line of a name
    for column in (1, 2):
        figures = [_figure(row[column]) for row in cells]
        steps = [_step(row[column]) for row in cells]
        assert figures[-1] > 0.0
        assert sum(figures[:-1]) == pytest.approx(figures[-1], abs=0.5 * sum(steps) + 1e-9)


def _figure(text: str) -> float:
    return 0.0 if text.strip() == "–" else float(text.replace("\u2009", ""))


def _step(text: str) -> float:
    """What the last digit shown is worth; noughts at the end may be rounding."""
    digits = text.replace("\u2009", "").strip()
    if digits == "–":
        return 0.0
    if "." in digits:
        return 10.0 ** -len(digits.partition(".")[2])
    return 10.0 ** (len(digits) - len(digits.rstrip("0")))


def test_causes_without_mass_are_named_not_tabled() -> None:
    ledger = section_of(full(predicted(SCENARIOS / "s5a.toml")), "Ledger")
    assert "Nothing of: soak, seal film, glue lines, kerf resin, core or timber" in ledger


def test_ledger_has_the_whole_panel_beside_the_square_metre() -> None:
    """S5 A: 7.5 kg/m2 on 7.2 m2 are 54.0 kg, of which 3.45 kg/m2 are fibre: 24.8 kg."""
    ledger = section_of(full(predicted(SCENARIOS / "s5a.toml")), "Ledger")
    assert "kg for 7.2 m²" in ledger
    assert re.search(r"^together +7500 .* 54\.0", ledger, re.MULTILINE)
    assert re.search(r"^fibre +3450 .* 24\.8", ledger, re.MULTILINE)


def test_without_a_size_the_ledger_is_per_area_only() -> None:
    text = full(predicted_text(panel('cloth = "E-glass twill 200 g/m2"')))
    assert "kg for" not in text
    assert "give a size for what to buy" in text


def test_rules_run_from_lean_to_rich_with_the_distance() -> None:
    """One to one on S5 A: 3450 g/m2 of resin for as much cloth; ours is 4050 x 1.15 = 4657.5."""
    rules = section_of(
        full(predicted(SCENARIOS / "s5a.toml")), "What rules of thumb would have said"
    )
    found = re.findall(r"^  (\S.*?) {2,}(\d+) g/m²", rules, re.MULTILINE)
    assert [int(mass) for _, mass in found] == sorted(int(mass) for _, mass in found)
    assert "▸ this prediction" in [name for name, _ in found]
    lean = next(line for line in rules.splitlines() if "one gram of resin" in line)
    assert f"−{round(100 * (1 - 3450 / 4657.5))} %" in lean
    assert "leaves out" in rules


def test_section_numbers_every_layer_once() -> None:
    for path in EXAMPLES:
        made = predicted(path)
        drawn = section(made, "si")
        shown: list[int] = []
        for first, last in re.findall(r"^ *(\d+)(?:–(\d+))? ", drawn, re.MULTILINE):
            shown += range(int(first), int(last or first) + 1)
        assert shown == list(range(1, len(made.layers) + 1)), path.stem
        assert drawn.index("outside") < drawn.index("inside")


def test_section_draws_to_one_scale() -> None:
    """Two boards, one three times as thick as the other: three times as many lines."""
    board = 'board = "western redcedar"\nthickness = "{} mm"'
    made = predicted_text(panel(board.format(4), 'glue = "epoxy, thickened"', board.format(12)))
    rows = [line[6:34] for line in section(made, "si").splitlines() if ")) )" in line]
    glue = (
        section(made, "si")
        .splitlines()
        .index(next(line for line in section(made, "si").splitlines() if "━━━━" in line))
    )
    thin = glue - 2
    assert len(rows) - thin == 3 * thin


def test_plywood_says_how_its_face_grain_lies() -> None:
    made = predicted_text(panel('plywood = "birch plywood"\nthickness = "9 mm"\nangle = 90'))
    layers = section_of(full(made), "Layer by layer, from the outside").splitlines()
    assert " face " in layers[4]
    assert " +90° " in layers[5]
