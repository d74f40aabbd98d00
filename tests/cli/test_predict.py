"""``panelwright predict``: files, shop words, options, refusals."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from tests.jobs.panels import EXAMPLES, MATERIALS, SCENARIOS

from .running import Command

WORDS = "biax 300, 8 mm redcedar, 2 x twill 200"


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
@pytest.mark.parametrize("options", [[], ["--full"], ["--json"], ["--units", "both"]], ids=str)
def test_every_example_is_predicted(panelwright: Command, path: Path, options: list[str]) -> None:
    ran = panelwright("predict", str(path), *options)
    assert (ran.code, ran.err) == (0, "")
    assert ran.out.strip()


def test_json_is_one_document_in_si(panelwright: Command) -> None:
    """S5 A by hand: 7.5 kg/m2."""
    ran = panelwright("predict", str(SCENARIOS / "s5a.toml"), "--json")
    assert json.loads(ran.out)["areal_mass"]["value"] == pytest.approx(7.5)


def test_words_are_said_back_with_the_file_they_stand_for(panelwright: Command) -> None:
    ran = panelwright("predict", WORDS, "--process", "hand", "--size", "3.4 m x 0.9 m")
    assert ran.code == 0
    assert "2  8 mm redcedar  →  western redcedar strips" in ran.out
    assert '    strips = "western redcedar"\n    thickness = "8 mm"' in ran.out
    assert ran.out.index("Understood") < ran.out.index("As a panel file") < ran.out.index("Mass")


def test_words_in_json_are_json_only(panelwright: Command) -> None:
    ran = panelwright("predict", WORDS, "--json")
    assert json.loads(ran.out)["panel"]["process"] == "hand lay-up"


def test_inches_and_ounces_in_words(panelwright: Command) -> None:
    """12 oz/yd2 are 406.9 g/m2 (33.9057 each); 1/2 in are 12.7 mm (exact)."""
    ran = panelwright("predict", '12 oz/yd2 biax, 1/2" redcedar', "--json")
    made = json.loads(ran.out)
    assert made["layers"][1]["thickness"]["value"] == pytest.approx(0.0127)
    assert "407 g/m²" in made["layers"][0]["name"]


def test_a_saved_file_predicts_the_same(panelwright: Command, tmp_path: Path) -> None:
    saved = tmp_path / "tender.toml"
    words = panelwright("predict", WORDS, "--size", "3.4 m x 0.9 m", "--json", "--save", str(saved))
    again = panelwright("predict", str(saved), "--json")
    assert (words.code, again.code) == (0, 0)
    assert words.out == again.out


def test_saving_says_where(panelwright: Command, tmp_path: Path) -> None:
    saved = tmp_path / "tender.toml"
    assert panelwright("predict", WORDS, "--save", str(saved)).out.endswith(f"Written to {saved}\n")


def test_saving_never_writes_over_a_file(panelwright: Command, tmp_path: Path) -> None:
    saved = tmp_path / "tender.toml"
    saved.write_text("mine", encoding="utf-8")
    ran = panelwright("predict", WORDS, "--save", str(saved))
    assert (ran.code, ran.out) == (2, "")
    assert "There is a file of that name already" in ran.err
    assert saved.read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize(
    "arguments",
    [
        ["biax 300, 8 mm plastecine"],
        [WORDS, "--process", "knitting"],
        [WORDS, "--size", "3 x 4"],
        [WORDS, "--working", "weight"],
        [WORDS, "--working", "mass", "--json"],
        [WORDS, "--units", "cubits"],
    ],
)
def test_nothing_is_written_where_the_input_is_refused(
    panelwright: Command, tmp_path: Path, arguments: list[str]
) -> None:
    saved = tmp_path / "never.toml"
    ran = panelwright("predict", *arguments, "--save", str(saved))
    assert (ran.code, ran.out) == (2, "")
    assert ran.err
    assert not saved.exists()


def test_no_folder_to_save_in(panelwright: Command, tmp_path: Path) -> None:
    ran = panelwright("predict", WORDS, "--save", str(tmp_path / "no" / "where.toml"))
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith("Cannot write the file: ")


@pytest.mark.parametrize(
    ("option", "value"),
    [("--process", "hand"), ("--resin", "epoxy"), ("--size", "1 m x 1 m"), ("--title", "Mine")],
)
def test_options_of_words_are_refused_beside_a_file(
    panelwright: Command, option: str, value: str
) -> None:
    ran = panelwright("predict", str(EXAMPLES[0]), option, value)
    assert ran.code == 2
    assert f"{option} goes with shop words" in ran.err


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("format = 1\n", "the panel has no layers"),
        ('[[layer]]\ncloth = "E-glass twill 200 g/m2"\n', "`format` is missing"),
        ("format = 1\nlayer = 3\n", "must be written as [[layer]] tables"),
        ('format = 1\n[[layer]]\ncloth = "glass\n', "bad.toml:3"),
        (
            'format = 1\n[[layer]]\nboard = "western redcedar"\nthickness = "5 mil"\n',
            '"0.005 in"',
        ),
        (
            'format = 1\n[[layer]]\ncloth = "E-glass twill 200 g/m2"\nresin_pack = "6 kg"\n',
            "bad.toml:4, layer 1, resin_pack",
        ),
        (
            'format = 1\n[[layer]]\nboard = "western redcedar"\nthickness = "12 m"\n',
            "bad.toml:4, layer 1, thickness",
        ),
        (
            'format = 1\n[[layer]]\nboard = "western redcedar"\nthickness = "-8 mm"\n',
            "bad.toml:4, layer 1, thickness",
        ),
    ],
)
def test_mistakes_in_a_file_are_told_with_their_place(
    panelwright: Command, tmp_path: Path, text: str, says: str
) -> None:
    path = tmp_path / "bad.toml"
    path.write_text(text, encoding="utf-8")
    ran = panelwright("predict", str(path))
    assert (ran.code, ran.out) == (2, "")
    assert says in ran.err


def test_all_mistakes_of_a_file_are_told_at_once(panelwright: Command, tmp_path: Path) -> None:
    path = tmp_path / "bad.toml"
    path.write_text(
        'format = 1\ncolour = "blue"\n[[layer]]\nclothe = "twill"\n[[layer]]\n'
        'board = "western redcedar"\nthickness = "1,5 mm"\n',
        encoding="utf-8",
    )
    assert len(panelwright("predict", str(path)).err.splitlines()) == 3


@pytest.mark.parametrize(
    ("content", "says"),
    [(b"\xff\xfe\x00", "not text in UTF-8"), (b"#" * 900_000, "too large")],
)
def test_what_is_no_panel_file_is_refused(
    panelwright: Command, tmp_path: Path, content: bytes, says: str
) -> None:
    path = tmp_path / "bad.toml"
    path.write_bytes(content)
    ran = panelwright("predict", str(path))
    assert ran.code == 2
    assert says in ran.err


def test_a_missing_file_offers_its_neighbours(panelwright: Command, tmp_path: Path) -> None:
    (tmp_path / "roof.toml").write_text("format = 1", encoding="utf-8")
    ran = panelwright("predict", str(tmp_path / "rof.toml"))
    assert ran.code == 2
    assert "There is no such file" in ran.err
    assert "roof.toml" in ran.err


def test_a_folder_is_no_panel_file(panelwright: Command, tmp_path: Path) -> None:
    folder = tmp_path / "folder.toml"
    folder.mkdir()
    ran = panelwright("predict", str(folder))
    assert ran.code == 2
    assert "cannot be read" in ran.err


def test_what_is_not_understood_is_asked_back(panelwright: Command) -> None:
    ran = panelwright("predict", "biax 300, 8 mm redceder strips")
    assert ran.code == 2
    assert "8 mm redceder strips" in ran.err
    assert "western redcedar" in ran.err


def test_working_prints_the_derivation(panelwright: Command) -> None:
    ran = panelwright("predict", str(EXAMPLES[-1]), "--working", "areal_mass")
    assert ran.code == 0
    assert ran.out.startswith("Working of areal mass: 4.58 kg/m²\n")
    assert "Given values" in ran.out


# --- The user's own materials ---------------------------------------------------------------------


def test_own_materials_beside_the_catalogue(panelwright: Command) -> None:
    """S3 by hand: 27.5602 mm with the scenario's own resin of 1130 kg/m3."""
    path = str(SCENARIOS / "s3.toml")
    ran = panelwright("predict", path, "--materials", str(MATERIALS), "--json")
    assert ran.code == 0
    assert json.loads(ran.out)["thickness"]["value"] == pytest.approx(27.5602e-3, rel=1e-4)
    without = panelwright("predict", path)
    assert without.code == 2
    assert "scenario resin, bench" in without.err


def test_own_materials_are_read_from_their_usual_place(
    panelwright: Command, tmp_path: Path
) -> None:
    place = tmp_path / "settings" / "panelwright" / "materials.toml"
    place.parent.mkdir(parents=True)
    place.write_text(MATERIALS.read_text(encoding="utf-8"), encoding="utf-8")
    assert panelwright("predict", str(SCENARIOS / "s3.toml")).code == 0


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ('[[resins]]\nid = "x"\nname = "x"\nevidence = "common practice"\n', "source"),
        ('[[resins]]\nid = "x"\nname = "x"\nsource = "me"\nevidence = "a hunch"\n', "evidence"),
        (
            '[[resins]]\nid = "x"\nname = "x"\nsource = "me"\nevidence = "common practice"\n'
            'density_cured = "1150 mm"\n',
            "own.toml:6, density_cured",
        ),
        ("[[glitter]]\nid = 1\n", "not a table of the catalogue"),
        ("[[resins", "own.toml"),
    ],
)
def test_bad_rows_of_own_materials_are_refused_with_their_place(
    panelwright: Command, tmp_path: Path, row: str, says: str
) -> None:
    own = tmp_path / "own.toml"
    own.write_text(row, encoding="utf-8")
    ran = panelwright("predict", WORDS, "--materials", str(own))
    assert (ran.code, ran.out) == (2, "")
    assert says in ran.err


def test_no_such_file_of_materials(panelwright: Command, tmp_path: Path) -> None:
    ran = panelwright("predict", WORDS, "--materials", str(tmp_path / "none.toml"))
    assert ran.code == 2
    assert "none.toml" in ran.err


# --- Anything at all ------------------------------------------------------------------------------

LEXICON = """
biax twill mat carbon flax redcedar balsa PET foam epoxy glue coat of x at @ , ; ( ) 300 8 mm in "
1/2 ½ 12 oz/yd2 oz/ft2 g/m2 kg/m3 -45 ±45 0 1e9 nan inf 2 3 coats [[layer]] =
"""
shop_words = st.lists(st.sampled_from(LEXICON.split()), max_size=12).map(" ".join)
anything = st.one_of(shop_words, st.text(max_size=40)).map(lambda text: text.replace("\0", ""))


@settings(max_examples=250, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(panel=anything, process=anything, size=anything)
@example(panel="a" * 1000, process="", size="")
@example(panel="\ud800", process="\ud800", size="")
@example(panel="--", process="--", size="--")
@example(panel="biax 300", process="hand", size="1 m x 1 m x")
@example(panel=",,,", process="", size="")
@example(panel="999 x biax 300", process="", size="")
@example(panel="0 x biax 300", process="", size="")
def test_anything_is_answered_or_refused_without_a_traceback(
    panelwright: Command, panel: str, process: str, size: str
) -> None:
    ran = panelwright("predict", f"--process={process}", f"--size={size}", "--", panel)
    assert ran.code in (0, 2)
    assert bool(ran.out) == (ran.code == 0)
    assert bool(ran.err) == (ran.code == 2)
    assert "Traceback" not in ran.err


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    arguments=st.lists(
        st.one_of(
            st.sampled_from(
                [
                    "predict",
                    "materials",
                    "schema",
                    "show",
                    "--json",
                    "--full",
                    "--units",
                    "imperial",
                    "--working",
                    "thickness",
                    "--help",
                    "--version",
                    "--",
                    "-x",
                ]
            ),
            anything,
        ),
        max_size=5,
    )
)
def test_any_arguments_are_answered_or_refused(panelwright: Command, arguments: list[str]) -> None:
    assert panelwright(*arguments).code in (0, 2)


def test_draws_the_section_to_a_file_that_is_svg(panelwright: Command, tmp_path: Path) -> None:
    drawn = tmp_path / "section.svg"
    ran = panelwright("predict", WORDS, "--draw", str(drawn))
    assert ran.out.endswith(f"Written to {drawn}\n")
    root = ElementTree.fromstring(drawn.read_text(encoding="utf-8"))
    assert root.tag == "{http://www.w3.org/2000/svg}svg"
    assert {"outside", "inside"} <= {"".join(node.itertext()) for node in root.iter()}


def test_never_draws_over_another_file_and_then_saves_nothing(
    panelwright: Command, tmp_path: Path
) -> None:
    drawn, saved = tmp_path / "section.svg", tmp_path / "saved.toml"
    drawn.write_text("mine", encoding="utf-8")
    ran = panelwright("predict", WORDS, "--draw", str(drawn), "--save", str(saved))
    assert (ran.code, drawn.read_text(encoding="utf-8")) == (2, "mine")
    assert "There is a file of that name already" in ran.err
    assert not saved.exists()
    same = panelwright("predict", WORDS, "--draw", str(saved), "--save", str(saved))
    assert (same.code, saved.exists()) == (2, False)
