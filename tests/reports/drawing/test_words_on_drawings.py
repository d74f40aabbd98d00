"""No word of a drawing leaves its box or lies on another, whatever the stack and the width."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from panelwright.panels.records import Prediction
from panelwright.reports.drawing import (
    card_svg,
    details_svg,
    key_svg,
    ledger_svg,
    polar_svg,
    section_sheet,
    section_svg,
    shares_svg,
    style_sheet,
)
from tests.jobs.panels import EXAMPLES, panel, predicted, predicted_text
from tests.reports.drawing.boxes import faults, parsed, words_of

WIDTHS = (336.0, 540.0, 668.0, 826.0)
Drawing = Callable[[Prediction, float], str]
DRAWINGS: dict[str, Drawing] = {
    "section across": lambda p, w: section_svg(p, w, selected=2),
    "section along": lambda p, w: section_svg(p, w, "along"),
    "section in inches": lambda p, w: section_svg(p, w, system="imperial"),
    "section in both": lambda p, w: section_svg(p, w, system="both"),
    "details": details_svg,
    "details in both": lambda p, w: details_svg(p, w, system="both"),
    "ledger": ledger_svg,
    "ledger in ounces": lambda p, w: ledger_svg(p, w, "imperial"),
    "dense ledger": lambda p, w: ledger_svg(p, w, dense=True),
    "polar": polar_svg,
    "small polar": lambda p, w: polar_svg(p, w, most=75.0),
    "low section": lambda p, w: section_svg(p, w, most=90.0),
    "shares": shares_svg,
    "card": lambda p, w: card_svg(p.layers, p.thickness.value, w),
    "sheet": section_sheet,
}


def check(prediction: Prediction, width: float) -> None:
    for name, draw in DRAWINGS.items():
        svg = draw(prediction, width)
        if svg:
            assert faults(svg) == [], (name, width)
            assert not re.search(r"nan|inf\b", re.sub(r"<(title|desc)>.*?</\1>", "", svg)), name
            assert " style=" not in svg
            assert "<script" not in svg


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_examples(path: Path, width: float) -> None:
    check(predicted(path), width)


@pytest.mark.parametrize("width", WIDTHS)
def test_the_key(width: float) -> None:
    assert faults(key_svg(width)) == []


CLOTHS = (
    "E-glass biaxial 300 g/m2",
    "carbon twill 200 g/m2",
    "E-glass unidirectional 300 g/m2",
    "E-glass chopped mat 450 g/m2",
    "E-glass plain weave 25 g/m2",
)
SOLIDS = (
    'strips = "western redcedar"\nthickness = "{t} mm"\n'
    'strip = {{ width = "22 mm", cover = "20 mm", profile = "bead and cove" }}',
    'core = "PET foam 110"\nthickness = "{t} mm"',
    'core = "aramid honeycomb 48 kg/m3"\nthickness = "{t} mm"',
    'core = "end-grain balsa 150"\nthickness = "{t} mm"\nkerf = '
    '{{ width = "1 mm", pitch = "30 mm" }}',
    'plywood = "birch plywood"\nthickness = "{t} mm"',
    'board = "western redcedar"\nthickness = "{t} mm"\nangle = 37',
)
clothes = st.builds(
    lambda cloth, angle, repeat: f'cloth = "{cloth}"\nangle = {angle}\nrepeat = {repeat}',
    st.sampled_from(CLOTHS),
    st.sampled_from((0, 30, -45, 90)),
    st.sampled_from((1, 1, 2, 6)),
)
solids = st.builds(
    lambda text, t: text.format(t=t), st.sampled_from(SOLIDS), st.sampled_from((3, 8, 25, 110))
)
stacks = st.builds(
    lambda out, core, inside: [*out, *core, *inside],
    st.lists(clothes, min_size=1, max_size=7),
    st.lists(solids, max_size=2),
    st.lists(clothes, max_size=5),
)


@settings(max_examples=10, deadline=None)
@given(stacks, st.sampled_from(WIDTHS))
def test_any_stack(layers: list[str], width: float) -> None:
    check(predicted_text(panel(*layers)), width)


def test_one_ply_and_forty() -> None:
    one = predicted_text(panel('cloth = "E-glass plain weave 163 g/m2"'))
    unlike = [
        f'cloth = "E-glass biaxial 300 g/m2"\nangle = {index}\nname = "ply number {index}"'
        for index in range(40)
    ]
    forty = predicted_text(panel(*unlike))
    for width in WIDTHS:
        check(one, width)
        check(forty, width)


def test_a_long_name_keeps_within_its_drawing_and_nothing_of_it_is_markup() -> None:
    name = 'a <b>&amp;\\" very long name of a layer ' * 3
    layers = [
        f'cloth = "E-glass biaxial 300 g/m2"\nname = "{name.strip()}"',
        'core = "PET foam 110"\nthickness = "20 mm"',
    ]
    prediction = predicted_text(panel(*layers, head='title = "<script>alert(1)</script>"'))
    for width in WIDTHS:
        check(prediction, width)
    texts = " ".join(parsed(section_svg(prediction, 668.0)).itertext())
    assert "<script>alert(1)</script>" in texts


def test_the_measure_can_fail() -> None:
    head = '<svg xmlns="http://www.w3.org/2000/svg" width="100" height="40">'
    apart = head + '<text x="2" y="15">one</text><text x="50" y="15">two</text></svg>'
    upon = head + '<text x="2" y="15">one</text><text x="12" y="15">two</text></svg>'
    past = head + '<text x="90" y="15">three</text></svg>'
    assert faults(apart) == []
    assert len(faults(upon)) == 1
    assert len(faults(past)) == 1


def test_every_class_of_a_drawing_has_a_rule() -> None:
    css = style_sheet()
    used: set[str] = set()
    for path in EXAMPLES:
        for draw in DRAWINGS.values():
            used.update(re.findall(r'class="([^"]+)"', draw(predicted(path), 540.0)))
    names = {name for classes in used for name in classes.split()}
    # groups that only carry a name, and words in the plain figure style
    assert {n for n in names if f".{n}" not in css} <= {"detail", "figure"}
    assert min(float(px) for px in re.findall(r"font-size: ([\d.]+)px", css)) >= 13.0


def test_texts_are_found() -> None:
    texts = [one.text for one in words_of(section_svg(predicted(EXAMPLES[-1]), 826.0))]
    assert {"outside", "inside", "A", "B"} <= set(texts)
