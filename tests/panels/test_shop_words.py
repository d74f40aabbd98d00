"""One line of shop words: understood rightly, or one good question; never a guess.

Conversions: 1 oz/yd2 = 33.9057 g/m2 and 1 oz/ft2 = 305.152 g/m2 by definition of the units; mat
is sold by the square foot and cloth by the square yard (common practice, no source).
"""

from __future__ import annotations

import tomllib
from typing import Any

import pytest

from panelwright.errors import InputError, PanelwrightError
from panelwright.materials.catalogue import Catalogue
from panelwright.panels import description
from panelwright.panels.resolve import Resolved, resolve
from panelwright.panels.resolve.cloth import read_cloth
from panelwright.panels.shop_words import (
    EXAMPLE,
    MOST_WORDS,
    NotUnderstood,
    panel_file,
    phrases,
    read_phrase,
)

CATALOGUE = Catalogue.shipped()


def panel(words: str) -> Resolved:
    """The panel that shop words stand for, through the panel file."""
    return resolve(description.read(panel_file(words, CATALOGUE), "words"), CATALOGUE)


def layers(words: str) -> list[dict[str, Any]]:
    """The ``[[layer]]`` tables of the panel file that shop words stand for."""
    found: list[dict[str, Any]] = tomllib.loads(panel_file(words, CATALOGUE))["layer"]
    return found


def fibre(words: str) -> float:
    """Fibre of the first layer, g/m2."""
    plies = [one for one in panel(words).layers if one.laid == 0]
    return 1e3 * sum(one.inputs["fibre_mass"].value for one in plies)


@pytest.mark.parametrize(
    ("words", "fibre_id", "form", "mass", "off"),
    [
        ("biax 300", "e_glass", "biaxial_45", 300, 0.0),
        ("300 biax", "e_glass", "biaxial_45", 300, 0.0),
        ("biax 300 gsm", "e_glass", "biaxial_45", 300, 0.0),
        ("BIAX 300 GSM", "e_glass", "biaxial_45", 300, 0.0),
        ("  Biax    300  ", "e_glass", "biaxial_45", 300, 0.0),
        ("300g biax", "e_glass", "biaxial_45", 300, 0.0),
        ("biax 0.3 kg/m2", "e_glass", "biaxial_45", 300, 1e-9),
        ("E-glass biaxial 300 g/m2", "e_glass", "biaxial_45", 300, 0.0),
        ("E-GLASS BIAXIAL 300 G/M2", "e_glass", "biaxial_45", 300, 0.0),
        ("biax ±45 300", "e_glass", "biaxial_45", 300, 0.0),
        ("double bias 400", "e_glass", "biaxial_45", 400, 0.0),
        ("biax 0/90 600", "e_glass", "biaxial_0_90", 600, 0.0),
        ("glass ud 300 g/m²", "e_glass", "unidirectional", 300, 0.0),
        ("2/2 twill 200", "e_glass", "twill_2x2", 200, 0.0),
        ("carbon twill 200", "c_ht", "twill_2x2", 200, 0.0),
        ("flax twill 300", "flax", "twill_2x2", 300, 0.0),
        ("triax 750", "e_glass", "triaxial_long", 750, 0.0),
        ("quad 800", "e_glass", "quadraxial", 800, 0.0),
        ("mat 450", "e_glass", "chopped_mat", 450, 0.0),
        # ounces: a stocked weight stands for its nominal ounces within 2 %
        ("12 oz biax", "e_glass", "biaxial_45", 12 * 33.9057, 0.02),
        ("12 oz/yd2 biax", "e_glass", "biaxial_45", 12 * 33.9057, 0.02),
        ("11 oz biax", "e_glass", "biaxial_45", 11 * 33.9057, 1e-5),
        ("18 oz woven roving", "e_glass", "woven_roving", 18 * 33.9057, 0.02),
        ("1.5 oz mat", "e_glass", "chopped_mat", 1.5 * 305.152, 0.02),
        ("1 1/2 oz mat", "e_glass", "chopped_mat", 1.5 * 305.152, 0.02),
        ("3/4 oz mat", "e_glass", "chopped_mat", 0.75 * 305.152, 0.02),
        ("2.5 oz mat", "e_glass", "chopped_mat", 2.5 * 305.152, 1e-5),
        ("2.5 oz/ft2 mat", "e_glass", "chopped_mat", 2.5 * 305.152, 1e-5),
        ("9 oz/yd2 mat", "e_glass", "chopped_mat", 9 * 33.9057, 0.02),
    ],
)
def test_cloth(words: str, fibre_id: str, form: str, mass: float, off: float) -> None:
    cloth = read_cloth(layers(words)[0]["cloth"], CATALOGUE)
    assert (cloth.fibre.id, cloth.form.id) == (fibre_id, form)
    assert fibre(words) == pytest.approx(mass, rel=off + 1e-12)


def test_cloth_with_mat_by_its_two_numbers() -> None:
    """Worked check A01: 17 oz/yd2 stitched and 3/4 oz/ft2 of mat are 805.3 g/m2 together."""
    assert fibre("1708") == pytest.approx(805.261503, rel=0.01)


def test_bare_ounces_of_cloth_with_mat_are_asked_for() -> None:
    """A supplier's help page took the stitched number alone for the whole; by the square foot it
    would be 5.2 kg/m2."""
    with pytest.raises(NotUnderstood) as asked:
        panel_file("17 oz biax with mat", CATALOGUE)
    assert "square yard" in str(asked.value)
    assert "square foot" in str(asked.value)
    assert asked.value.nearest == ("E-glass biaxial ±45 with mat 801 g/m2",)


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ("8 mm redcedar", {"strips": "western redcedar", "thickness": "8 mm"}),
        ("redcedar 8 mm", {"strips": "western redcedar", "thickness": "8 mm"}),
        ("8mm redcedar strips", {"strips": "western redcedar", "thickness": "8 mm"}),
        ("1/2 in western redcedar", {"strips": "western redcedar", "thickness": "1/2 in"}),
        ("1 1/2 in spruce", {"strips": "Sitka spruce", "thickness": "1 1/2 in"}),
        ("20 mm spruce board", {"board": "Sitka spruce", "thickness": "20 mm"}),
        ("0.6 mm okoume veneer", {"veneer": "okoume", "thickness": "0.6 mm"}),
        ('½" balsa 150', {"core": "balsa 150", "thickness": "½ in"}),
        ("balsa 150 1/2 in", {"core": "balsa 150", "thickness": "1/2 in"}),
        ("8 mm balsa strips", {"strips": "balsa, long grain", "thickness": "8 mm"}),
        ("PET foam 110 30 mm", {"core": "PET foam 110", "thickness": "30 mm"}),
        ("30 mm PET 110", {"core": "PET 110", "thickness": "30 mm"}),
        ("30 mm PET foam 110 kg/m3", {"core": "PET foam 110 kg/m3", "thickness": "30 mm"}),
        ("25 mm XPS", {"core": "XPS", "thickness": "25 mm"}),
        ("12 mm aramid honeycomb 48", {"core": "aramid honeycomb 48", "thickness": "12 mm"}),
        ("9 mm birch ply", {"plywood": "birch plywood", "thickness": "9 mm"}),
        ("3 mm bulker", {"bulking_mat": "bulker", "thickness": "3 mm"}),
        ("2 mm core mat", {"bulking_mat": "core mat", "thickness": "2 mm"}),
        ("gelcoat", {"coat": "gelcoat"}),
        ("2 coats epoxy fill coat", {"coat": "epoxy, fill coat", "coats": 2}),
        ("2 coats of gelcoat", {"coat": "gelcoat", "coats": 2}),
        ("2 coats twill 200", {"cloth": "twill 200", "repeat": 2}),
        ("thickened epoxy", {"glue": "epoxy, thickened"}),
        ("2 x twill 200", {"cloth": "twill 200", "repeat": 2}),
        ("2x twill 200", {"cloth": "twill 200", "repeat": 2}),
        ("3 × twill 200", {"cloth": "twill 200", "repeat": 3}),
        ("2 layers of twill 200", {"cloth": "twill 200", "repeat": 2}),
        ("2 plies twill 200", {"cloth": "twill 200", "repeat": 2}),
        ("carbon twill 200 at 45", {"cloth": "carbon twill 200", "angle": 45}),
        ("2 x UD 300 at -45°", {"cloth": "UD 300", "angle": -45, "repeat": 2}),
        ("biax 300 @ 90 deg", {"cloth": "biax 300", "angle": 90}),
        ("9 mm birch ply at 90", {"plywood": "birch plywood", "thickness": "9 mm", "angle": 90}),
    ],
)
def test_layer(words: str, expected: dict[str, Any]) -> None:
    assert layers(words) == [expected]
    assert panel(words).laid[0].layer.kind in expected


def test_a_whole_panel_from_the_outside_in() -> None:
    found = panel("gelcoat, biax 300, 8 mm redcedar, 2 x twill 200,")
    assert [one.kind for one in found.laid] == ["coat", "cloth", "strips", "cloth", "cloth"]


def test_the_example_that_is_offered_is_understood() -> None:
    assert len(panel(EXAMPLE).laid) == 4


#: What is asked, and names that must be among the nearest three; none where none is near.
QUESTIONS: dict[str, tuple[str, tuple[str, ...]]] = {
    "honeycomb": ("'honeycomb'", ("aluminium honeycomb",)),
    "12 mm honeycomb": ("'12 mm honeycomb'", ("aluminium honeycomb",)),
    "db 400": ("'db 400'", ()),
    "redcedar": ("how thick", ()),
    "PET foam 110": ("how thick", ()),
    "birch ply": ("how thick", ()),
    '½" balsa': ("of what density", ("end-grain balsa, 150 kg/m3",)),
    "3 mm cork": ("of what density", ("cork agglomerate, 120 kg/m3",)),
    "8 mm": ("a thickness without a name", ()),
    "biax": ("its mass is missing", ("E-glass biaxial ±45 300 g/m2",)),
    "aramid 170": ("kind of cloth is missing", ("aramid plain weave 170 g/m2",)),
    "nylon twill 170": ("'nylon' says nothing", ("carbon twill 2x2 200 g/m2",)),
    "biax 1": ("'1' says nothing to me", ()),
    "biax 300 0.4 mm": ("a cloth goes by its mass", ()),
    "biax 3 g/m2": ("no cloth weighs 3 g/m2", ()),
    "biax 30 kg/m2": ("no cloth weighs 30 kg/m2", ()),
    "12 m": ("'12 m'", ()),
    "8 mm cedar": ("'8 mm cedar'", ("western redcedar",)),
    "8 mm redceder": ("'8 mm redceder'", ("western redcedar",)),
    "-8 mm redcedar": ("'-8 mm redcedar'", ("western redcedar",)),
    "8 MM redcedar": ("written small", ()),
    "gelcoat at 45": ("a coat has no direction", ()),
    "2 x 3 x twill 200": ("'3 x' says nothing", ()),
    "biax 300; 8 mm redcedar": ("commas part the layers", ()),
    "biax 300; twill 200": ("commas part the layers", ()),
    "spline": ("'spline'", ()),
    "?": ("'?'", ()),
}


@pytest.mark.parametrize(("words", "asks", "near"), [(w, *q) for w, q in QUESTIONS.items()])
def test_one_question(words: str, asks: str, near: tuple[str, ...]) -> None:
    with pytest.raises(NotUnderstood) as asked:
        panel_file(f"biax 300, {words}, twill 200", CATALOGUE)
    question = asked.value
    assert question.problems[0].what.startswith("what is ")
    assert asks in question.problems[0].what
    assert question.phrase == words
    assert len(question.nearest) <= 3
    assert set(near) <= set(question.nearest)
    assert all(name in question.problems[0].hint for name in question.nearest)
    assert len(question.problems) == 1


def _nearest(words: str) -> tuple[str, ...] | None:
    """What is offered in place of words; None where they are understood."""
    try:
        panel(words)
    except NotUnderstood as asked:
        return asked.nearest
    return None


def test_each_name_that_is_offered_leads_on() -> None:
    """A cloth is understood by its name, a core by its name and a thickness.

    A class of cores may be offered first, and then its densities.
    """
    for words in QUESTIONS:
        for name in _nearest(words) or ():
            plain = name.replace(",", "")
            if _nearest(plain) is None:
                continue
            further = _nearest(f"12 mm {plain}")
            assert further is None or further, name
            for other in further or ():
                assert _nearest(f"12 mm {other.replace(',', '')}") is None, other


def test_a_decimal_comma_is_pointed_out() -> None:
    with pytest.raises(NotUnderstood) as asked:
        panel_file("biax 300, 1,5 mm birch ply", CATALOGUE)
    assert "a decimal has a point" in str(asked.value)


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("", "no layers are named"),
        (" , ,", "no layers are named"),
        ("biax 300, " * 400, f"up to {MOST_WORDS}"),
        ("30 mm PET 500", "72 to 352 kg/m3"),
        ("0 x twill 200", "`repeat` is too small"),
        ("999 x twill 200", "`repeat` is too large"),
        ("900 mm redcedar", "more than this can be"),
        ("0 mm redcedar", "must be more than zero"),
        ("PET foam 110 30 mm at 45", "no direction"),
    ],
)
def test_refused_with_a_sentence(words: str, says: str) -> None:
    with pytest.raises(PanelwrightError) as refused:
        panel(words)
    assert says.lower() in str(refused.value).lower()


@pytest.mark.parametrize("row", CATALOGUE.table("cloths").rows, ids=lambda row: row.id)
def test_the_name_a_cloth_is_shown_by_reads_back_to_it(row: Any) -> None:
    """What is printed can be typed in again; the plies of a stock cloth stay its own."""
    cloth = read_cloth(row.name, CATALOGUE)
    again = read_cloth(cloth.name, CATALOGUE)
    assert (again.form.id, again.fibre.id, again.plies) == (
        cloth.form.id,
        cloth.fibre.id,
        cloth.plies,
    )
    assert again.mass.value == pytest.approx(cloth.mass.value, rel=1e-12)


def test_a_cloth_that_is_not_stocked_is_named_as_it_is_read() -> None:
    cloth = read_cloth("carbon biax 350", CATALOGUE)
    again = read_cloth(cloth.name, CATALOGUE)
    assert (again.fibre.id, again.form.id, again.mass.value) == ("c_ht", "biaxial_45", 0.35)


def test_the_panel_file_keeps_what_was_typed() -> None:
    typed = 'Ann\'s "tender", \\ on\ntwo lines \x7f\u2028'
    text = panel_file(
        "biax 300", CATALOGUE, title=typed, process="bag", resin="epoxy", size=("3 m", "2 ft")
    )
    found = tomllib.loads(text)
    assert (found["title"], found["process"], found["resin"]) == (typed, "bag", "epoxy")
    assert found["size"] == {"length": "3 m", "width": "2 ft"}
    read = description.read(text, "words").panel
    assert (read.title, read.process, read.resin) == (typed, "bag", "epoxy")


def test_each_phrase_is_what_the_panel_file_says_of_its_layer() -> None:
    words = "biax 300 at 30, 8 mm redcedar, 2 x twill 200"
    lines = [tomllib.loads("\n".join(read_phrase(p, CATALOGUE).lines)) for p in phrases(words)]
    assert lines == layers(words)


def test_commas_inside_brackets_part_nothing() -> None:
    assert phrases("PVA glue (D4, cross-linking) , biax 300") == [
        "PVA glue (D4, cross-linking)",
        "biax 300",
    ]


def test_the_question_is_an_input_error() -> None:
    """So that whoever handles input errors handles it too."""
    assert issubclass(NotUnderstood, InputError)
