"""Every mistake in a panel file gets its own sentence: where, what, what is allowed, what to try.

What has to be said is fixed by the design of the panel file; the limits of packing are geometry
(square 0.785, hexagonal 0.907).
"""

from __future__ import annotations

import jsonschema
import pytest
import tomlkit

from panelwright.errors import InputError
from panelwright.panels import description
from panelwright.panels.description import MOST_TEXT

from .written import FILE, FORMAT, built, layer, problem, problems, read

BIAX = layer(cloth="biax 300")
STRIPS = layer(strips="western redcedar", thickness="8 mm")

#: What is written, the line and the key of the problem, and what the sentence must say.
MISTAKES: dict[str, tuple[str, int | None, str, tuple[str, ...]]] = {
    # nothing there
    "no layers": (FORMAT, None, "", ("no layers", "add a [[layer]]")),
    "empty text": ("format = 1\nlayer = []", 2, "layer", ("no layers",)),
    "layer is a number": (FORMAT + "layer = 3", 2, "layer", ("[[layer]]", "Given: 3")),
    "layer is a list of numbers": (FORMAT + "layer = [1]", 2, "layer", ("[[layer]]", "[1]")),
    "empty layer": (FORMAT + "[[layer]]\n", 2, "layer 1", ("does not say what it is",)),
    # format
    "no format": (BIAX, None, "", ("`format` is missing", "format = 1")),
    "format 2": ("format = 2\n" + BIAX, 1, "format", ("format 1", "Given: 2", "Allowed: 1")),
    "format as text": ('format = "1"\n' + BIAX, 1, "format", ("format 1", "Given: '1'")),
    "format true": ("format = true\n" + BIAX, 1, "format", ("Given: true",)),
    # kinds
    "kind missing": (
        FORMAT + '[[layer]]\nthickness = "8 mm"',
        2,
        "layer 1",
        ("does not say what it is", "Given: thickness", "cloth, strips, board"),
    ),
    "kind misspelt": (
        FORMAT + layer(clothe="biax 300"),
        2,
        "layer 1",
        ("does not say what it is", "Given: clothe", "Try: `cloth`"),
    ),
    "two kinds": (
        FORMAT + layer(cloth="biax 300", core="PET foam 110", thickness="20 mm"),
        2,
        "layer 1",
        ("cannot be cloth and core at once", "a [[layer]] for each"),
    ),
    # keys
    "unknown key": (
        FORMAT + layer(cloth="biax 300", angel=45),
        4,
        "layer 1, angel",
        ("`angel` is not known here", "angel = 45", "`angle`"),
    ),
    "unknown key of the panel": (
        FORMAT + 'proces = "hand"\n' + BIAX,
        2,
        "proces",
        ("`proces` is not known here", "`process`"),
    ),
    "unknown key of a table": (
        FORMAT + STRIPS + 'strip = { cover = "20 mm", profil = "square" }',
        5,
        "layer 1, strip, profil",
        ("`profil` is not known here", "width, cover, profile", "`profile`"),
    ),
    "panel key below a layer": (
        FORMAT + BIAX + 'process = "hand lay-up"',
        4,
        "layer 1, process",
        ("key of the panel", "below a [[layer]]", "above the first [[layer]]"),
    ),
    "mirror below a layer": (
        FORMAT + BIAX + "mirror = true",
        4,
        "layer 1, mirror",
        ("`mirror` is a key of the panel", "mirror = true", "above the first [[layer]]"),
    ),
    "angle on a coat": (
        FORMAT + layer(coat="gelcoat", angle=45),
        4,
        "layer 1, angle",
        ("`angle` is not known here",),
    ),
    "thickness missing": (
        FORMAT + layer(core="PET foam 110"),
        2,
        "layer 1, thickness",
        ("`thickness` is missing",),
    ),
    # values
    "negative thickness": (
        FORMAT + layer(strips="western redcedar", thickness="-8 mm"),
        4,
        "layer 1, thickness",
        ("must be more than zero", "Given: -8 mm", "up to 500 mm"),
    ),
    "no thickness": (
        FORMAT + layer(strips="western redcedar", thickness="0 mm"),
        4,
        "layer 1, thickness",
        ("must be more than zero", "Given: 0 mm"),
    ),
    "negative at the end of its range": (
        FORMAT + layer(strips="western redcedar", thickness="8 mm +/- 9 mm"),
        4,
        "layer 1, thickness",
        ("past what is possible", "8 mm +/- 9 mm", "more than zero"),
    ),
    "a 12 m ply": (
        FORMAT + layer(cloth="biax 300", thickness="12 m"),
        4,
        "layer 1, thickness",
        ("12 m is more than this can be", "up to 30 mm"),
    ),
    "wrong dimension": (
        FORMAT + layer(cloth="biax 300", thickness="300 g/m2"),
        4,
        "layer 1, thickness",
        ("a mass over area", "a thickness is wanted"),
    ),
    "mil": (
        FORMAT + layer(cloth="biax 300", thickness="5 mil"),
        4,
        "layer 1, thickness",
        ("thousandth of an inch", '"0.005 in"'),
    ),
    "decimal comma": (
        FORMAT + layer(cloth="biax 300", thickness="1,5 mm"),
        4,
        "layer 1, thickness",
        ("comma", '"1.5 mm"'),
    ),
    "no unit": (
        FORMAT + layer(cloth="biax 300", thickness=0.5),
        4,
        "layer 1, thickness",
        ("text with a unit", '"0.5 mm"'),
    ),
    "a yes for a number": (
        FORMAT + layer(cloth="biax 300", thickness=True),
        4,
        "layer 1, thickness",
        ("not a quantity", "a yes or no"),
    ),
    "infinity": (
        FORMAT + layer(cloth="biax 300") + "fibre_mass_fraction = inf",
        4,
        "layer 1, fibre_mass_fraction",
        ("finite",),
    ),
    "a list for a name": (
        FORMAT + "[[layer]]\ncloth = ['biax 300']",
        3,
        "layer 1, cloth",
        ("`cloth` must be text", "['biax 300']"),
    ),
    "a number for a name": (
        FORMAT + "[[layer]]\ncloth = 300",
        3,
        "layer 1, cloth",
        ("`cloth` must be text", "Given: 300"),
    ),
    "an empty name": (FORMAT + layer(cloth=""), 3, "layer 1, cloth", ("`cloth` is empty",)),
    "a long name": (
        FORMAT + layer(cloth="x" * 121),
        3,
        "layer 1, cloth",
        ("`cloth` is too long", "up to 120 characters"),
    ),
    "text for a yes": (
        FORMAT + 'mirror = "yes"\n' + BIAX,
        2,
        "mirror",
        ("`mirror` must be true or false", "'yes'"),
    ),
    "a word that is not on the list": (
        FORMAT + layer(cloth="biax 300", face="outside"),
        4,
        "layer 1, face",
        ("none of the words", "'out' or 'in'"),
    ),
    "a table for a size": (
        FORMAT + 'size = "3 m x 2 m"\n' + BIAX,
        2,
        "size",
        ("`size` must be a table",),
    ),
    # counts
    "repeat 0": (
        FORMAT + layer(cloth="biax 300", repeat=0),
        4,
        "layer 1, repeat",
        ("too small", "at least 1"),
    ),
    "repeat -1": (
        FORMAT + layer(cloth="biax 300", repeat=-1),
        4,
        "layer 1, repeat",
        ("too small", "Given: -1", "at least 1"),
    ),
    "repeat 1.5": (
        FORMAT + layer(cloth="biax 300", repeat=1.5),
        4,
        "layer 1, repeat",
        ("must be a whole number", "Given: 1.5"),
    ),
    "repeat a thousand million": (
        FORMAT + layer(cloth="biax 300", repeat=10**9),
        4,
        "layer 1, repeat",
        ("too large", "at most 200"),
    ),
    "repeat of thousands of digits": (
        FORMAT + "[[layer]]\ncloth = 'biax 300'\nrepeat = 0x" + "f" * 5000,
        4,
        "layer 1, repeat",
        ("too large", "very many digits"),
    ),
    "coats 0": (
        FORMAT + layer(coat="gelcoat", coats=0),
        4,
        "layer 1, coats",
        ("too small", "at least 1"),
    ),
    "Poisson's ratio of 3": (
        FORMAT + layer(thickness="1 mm") + "[layer.lamina]\nnu12 = 3\n" + 'density = "2000 kg/m3"',
        5,
        "layer 1, lamina, nu12",
        ("too large", "less than 1.5"),
    ),
    # how much is fibre
    "fraction given twice": (
        FORMAT + layer(cloth="biax 300", fibre_mass_fraction=0.5, fibre_volume_fraction=0.3),
        2,
        "layer 1",
        ("fibre_mass_fraction = 0.5 and fibre_volume_fraction = 0.3", "give one of them"),
    ),
    "fraction and thickness": (
        FORMAT + layer(cloth="biax 300", fibre_mass_fraction=0.5, thickness="0.4 mm"),
        2,
        "layer 1",
        ("thickness = 0.4 mm", "give one of them"),
    ),
    "fraction of 120 %": (
        FORMAT + layer(cloth="biax 300", fibre_mass_fraction="120 %"),
        4,
        "layer 1, fibre_mass_fraction",
        ("120 % is more than this can be", "99 %"),
    ),
    "fraction as a number of percent": (
        FORMAT + layer(cloth="biax 300", fibre_mass_fraction=45),
        4,
        "layer 1, fibre_mass_fraction",
        ("Given: 45", '"45 %"'),
    ),
    # the air
    "reversed span": (
        FORMAT + 'service = { temperature = "50 to -5 degC" }\n' + BIAX,
        2,
        "service, temperature",
        ("runs backwards",),
    ),
    "humidity 140 %": (
        FORMAT + 'shop = { temperature = "20 degC", humidity = "140 %" }\n' + BIAX,
        2,
        "shop, humidity",
        ("140 % is more than this can be", "0 % to 100 %"),
    ),
    "service humidity up to 140 %": (
        FORMAT + 'service = { humidity = "40 to 140 %" }\n' + BIAX,
        2,
        "service, humidity",
        ("past what is possible", "0 % to 100 %"),
    ),
    "temperature 900 degC": (
        FORMAT + 'shop = { temperature = "900 degC", humidity = "50 %" }\n' + BIAX,
        2,
        "shop, temperature",
        ("900 degC is more than this can be", "100 °C"),
    ),
    "service at 900 degC": (
        FORMAT + 'service = { temperature = "-5 to 900 degC" }\n' + BIAX,
        2,
        "service, temperature",
        ("more than this can be", "300 °C"),
    ),
    "half an air": (
        FORMAT + 'shop = { temperature = "20 degC" }\n' + BIAX,
        2,
        "shop, humidity",
        ("`humidity` is missing",),
    ),
    "moisture 200 %": (
        FORMAT + layer(strips="western redcedar", thickness="8 mm", moisture="200 %"),
        5,
        "layer 1, moisture",
        ("200 % is more than this can be", "150 %"),
    ),
    # groups
    "group is a number": (FORMAT + "group = 3\n" + BIAX, 2, "group", ("[[group]]", "Given: 3")),
    "group is one table": (
        FORMAT + BIAX + '[group]\nname = "a"',
        4,
        "group",
        ("written as [[group]] tables",),
    ),
    "group without a name": (
        FORMAT + BIAX + "[[group]]\n[[group.layer]]\ncloth = 'biax 300'",
        4,
        "group 1, name",
        ("`name` is missing",),
    ),
    "group with an empty name": (
        FORMAT + BIAX + "[[group]]\nname = ''\n[[group.layer]]\ncloth = 'biax 300'",
        5,
        "group 1, name",
        ("`name` is empty",),
    ),
    "empty group": (
        FORMAT + BIAX + "[[group]]\nname = 'skin'",
        4,
        "group 1",
        ("no layers", "[[group.layer]]"),
    ),
    "two groups of one name": (
        FORMAT + BIAX + 2 * "[[group]]\nname = 'skin'\n[[group.layer]]\ncloth = 'biax 300'\n",
        9,
        "group 2, name",
        ("two groups have this name", "skin"),
    ),
    "panel key below a group": (
        FORMAT + BIAX + "[[group]]\nname = 'a'\nmirror = true\n[[group.layer]]\ncloth = 'biax 300'",
        6,
        "group 1, mirror",
        ("key of the panel", "below a [[group]]"),
    ),
    "mistake inside a group": (
        FORMAT + BIAX + "[[group]]\nname = 'a'\n[[group.layer]]\ncloth = 'biax 300'\nangel = 3",
        8,
        "group 1, layer 1, angel",
        ("`angle`",),
    ),
    # TOML
    "no quotes": (
        FORMAT + "[[layer]]\ncloth = biax 300",
        3,
        "",
        ("not TOML", "cloth = biax 300", "in quotes"),
    ),
    "no quotes around a quantity": (
        FORMAT + "[[layer]]\ncore = 'PET foam 110'\nthickness = 8 mm",
        4,
        "",
        ("not TOML", "thickness = 8 mm", "in quotes"),
    ),
    "quotes not closed": (
        FORMAT + '[[layer]]\ncloth = "biax 300\n',
        3,
        "",
        ("not TOML", 'cloth = "biax 300'),
    ),
    "a line of prose": (FORMAT + "two plies of biax\n", 2, "", ("not TOML", "two plies of biax")),
    "a key twice": (
        FORMAT + layer(cloth="biax 300", angle=0) + "angle = 45\n",
        5,
        "",
        ("written twice", "angle = 45", "keep one"),
    ),
    "a table twice": (FORMAT + "[shop]\n[shop]\n", 3, "", ("written twice", "[shop]")),
    "a NUL": (FORMAT + 'title = "a\0b"\n' + BIAX, 2, "", ("\\x00", "delete")),
    "a number of thousands of digits": (
        FORMAT + "x = " + "1" * 5000,
        None,
        "",
        ("far too many digits",),
    ),
    "lists in lists in lists": (
        FORMAT + "x = " + "[" * 3000 + "]" * 3000,
        None,
        "",
        ("too deep",),
    ),
    "a huge file": (
        FORMAT + "#" * MOST_TEXT,
        None,
        "",
        ("too long", f"{len(FORMAT) + MOST_TEXT} characters"),
    ),
    "a hundred thousand layers": (
        FORMAT + "[[layer]]\n" * 100_000,
        None,
        "",
        ("too long",),
    ),
}


@pytest.mark.parametrize(("text", "line", "key", "says"), MISTAKES.values(), ids=list(MISTAKES))
def test_each_mistake(text: str, line: int | None, key: str, says: tuple[str, ...]) -> None:
    with pytest.raises(InputError) as refused:
        description.read(text, FILE)
    (found,) = refused.value.problems
    sentence = found.sentence()
    assert (found.file, found.line) == (FILE, line), sentence
    assert not key or found.key == key
    for part in says:
        assert part in sentence


def test_all_problems_at_once_each_at_its_line() -> None:
    found = problems("""\
process = "hand lay-up"
shop = { temperature = "900 degC", humidity = "50 %" }

[[layer]]
clothe = "biax 300"

[[layer]]
core = "PET foam 110"
thickness = "-20 mm"
angel = 3

[[layer]]
cloth = "biax 300"
mirror = true

[[group]]
name = "skin"
""")
    assert sorted((one.line or 0, one.key) for one in found) == [
        (0, ""),
        (2, "shop, temperature"),
        (4, "layer 1"),
        (9, "layer 2, thickness"),
        (10, "layer 2, angel"),
        (14, "layer 3, mirror"),
        (16, "group 1"),
    ]


def test_names_that_are_not_known_come_all_at_once_with_the_nearest() -> None:
    found = problems(
        'format = 1\nprocess = "hand lay up by bucket"\nresin = "epoxi, laminating"\n'
        + layer(cloth="biaks 300")
        + layer(strips="redceder", thickness="8 mm")
        + layer(core="PETT foam 110", thickness="20 mm")
        + layer(plywood="birsh plywood", thickness="9 mm")
        + layer(coat="gelcote")
        + layer(glue="epoxy, thickend")
    )
    nearest = {
        "process": "hand lay-up",
        "resin": "epoxy, laminating",
        "layer 1, cloth": "biaxial",
        "layer 2, strips": "western redcedar",
        "layer 3, core": "PET foam",
        "layer 4, plywood": "birch plywood",
        "layer 5, coat": "gelcoat",
        "layer 6, glue": "epoxy, thickened",
    }
    assert {one.key for one in found} == set(nearest)
    assert len(found) == len(nearest)
    for one in found:
        assert nearest[one.key] in one.hint
        assert one.line is not None
        assert one.given


def test_a_missing_format_does_not_hide_the_rest() -> None:
    assert len(problems(layer(cloth="biax 300", angel=3))) == 2


def test_a_byte_order_mark_and_windows_line_ends_are_no_mistake() -> None:
    written = FORMAT + 'title = "x"\n' + BIAX
    marked = description.read("\ufeff" + written.replace("\n", "\r\n"), FILE)
    assert marked.panel == description.read(written, FILE).panel
    assert marked.lines == description.read(written, FILE).lines


def test_long_values_are_cut_in_the_message() -> None:
    found = problem(FORMAT + layer(cloth="biax 300", colour="x" * 10_000))
    assert len(found.sentence()) < 700


def test_deep_values_are_cut_in_the_message() -> None:
    deep = "x" + ".x" * 400
    found = problem(FORMAT + f"{deep} = 1\n" + BIAX)
    assert found.key == "x"
    assert len(found.sentence()) < 700


@pytest.mark.parametrize("key", ['"\\u0007 \\n"', '"' + "k" * 5000 + '"'])
def test_an_odd_key_stays_on_one_line_of_the_message(key: str) -> None:
    sentence = problem(FORMAT + f"{key} = 1\n" + BIAX).sentence()
    assert sentence.isprintable()
    assert len(sentence) < 700


@pytest.mark.parametrize(
    ("fraction", "kept"),
    [(0.70, True), (0.784, True), (0.786, True), (0.906, True), (0.908, False), (0.95, False)],
)
def test_fibre_by_volume_up_to_hexagonal_packing(fraction: float, kept: bool) -> None:
    """pi/(2 sqrt 3) = 0.9069: the closest that round fibres can lie."""
    text = layer(cloth="woven roving 600", fibre_volume_fraction=fraction)
    if kept:
        assert built(text).fibre_volume_fraction[0] == pytest.approx(fraction, abs=1e-9)
        return
    found = problem(FORMAT + text)
    assert "more fibre than fits" in found.what
    assert "0.907" in found.allowed
    assert found.line == 3


def test_fibre_by_mass_beyond_what_packs() -> None:
    """E-glass 2540 in resin 1150 kg/m3: 0.97 by mass is 0.936 by volume."""
    found = problem(FORMAT + layer(cloth="woven roving 600", fibre_mass_fraction=0.97))
    assert "93.6 % by volume" in found.what


def test_a_layer_gauged_thinner_than_its_bare_fibre() -> None:
    """600 g/m2 of glass of 2540 kg/m3 is 0.236 mm of solid glass."""
    found = problem(FORMAT + layer(cloth="woven roving 600", thickness="0.23 mm"))
    assert "thinner than its bare fibre" in found.what
    assert found.hint


def test_a_layer_gauged_thinner_than_round_fibres_pack() -> None:
    """0.25 mm would be 0.2362/0.25 = 94.5 % glass."""
    found = problem(FORMAT + layer(cloth="woven roving 600", thickness="0.25 mm"))
    assert "94.5 % by volume" in found.what


def test_schema_is_valid_and_takes_what_the_reader_takes() -> None:
    schema = description.schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    check = jsonschema.Draft202012Validator(schema)
    good = tomlkit.parse(
        FORMAT
        + 'size = { length = "3 m", width = "1 m" }\n'
        + layer(cloth="biax 300", angle=45, fibre_mass_fraction=0.5)
        + layer(strips="western redcedar", thickness="8 mm", strip={"cover": "20 mm"})
    ).unwrap()
    assert check.is_valid(good)
    for wrong in (
        {**good, "format": 2},
        {**good, "proces": "hand"},
        {**good, "layer": [{"cloth": "biax 300", "thickness": 3}]},
        {**good, "layer": [{"cloth": "biax 300", "repeat": 0}]},
    ):
        assert not check.is_valid(wrong)


def test_what_was_typed_is_kept_as_it_was() -> None:
    text = layer(strips="western redcedar", thickness="5/16 in")
    kept = read(text)
    assert kept.text == FORMAT + text
    assert kept.panel.layer[0].model_dump()["thickness"] == "5/16 in"
