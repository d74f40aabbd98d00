"""``panelwright measure``, ``reconcile`` and ``house`` as a builder types them."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from .running import Command

EXAMPLE = str(Path(__file__).parents[2] / "examples" / "camper-roof.toml")
FOUR = ["mass=413.8 g by 0.1 g", "length=250.2", "width=250.1", "thickness@A1=31.68"]


@pytest.fixture
def place(panelwright: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("PANELWRIGHT_SHELF", str(tmp_path / "shelf"))
    assert panelwright("shelf", "add", EXAMPLE).code == 0
    return tmp_path / "shelf"


def test_alone_it_says_what_to_read_and_in_what_order(panelwright: Command) -> None:
    ran = panelwright("measure")
    assert ran.code == 0
    assert "Before the build" in ran.out
    assert "Four are enough: mass, length, width and thickness." in ran.out


def test_four_readings_make_a_piece_and_are_reconciled(panelwright: Command, place: Path) -> None:
    ran = panelwright("measure", "P-0001", *FOUR, "--title", "Coupon")
    assert (ran.code, ran.err) == (0, "")
    assert "S-0001, of P-0001 (Camper roof), revision 1" in ran.out
    assert "6.613 kg/m²" in ran.out
    assert "cannot be told from zero" in ran.out
    ran = panelwright("reconcile", "S-0001")
    assert ran.code == 0
    for said in ("heavier than predicted", "Why the areal mass differs", "not explained", "within"):
        assert said in ran.out
    assert "unsure mostly by" in panelwright("reconcile", "S-0001", "--full").out


MARKS = """reading,at,value,division
scale length,,40 mm,0.5 mm
scale mark,1,100 900,
scale mark,2,900 900,
edge mark,1/0,200 100,2
edge mark,1/2,200 120,2
edge mark,1/4,200 730,2
edge mark,2/0,600 100,2
edge mark,2/2,600 120,2
edge mark,2/4,600 734,2
"""


def test_pixels_of_a_photo_in_a_table_are_a_thickness(
    panelwright: Command, place: Path, tmp_path: Path
) -> None:
    """By hand: 800 px are 40 mm; 632 px in the mean are 31.6 mm, 20 px are 1.00 mm.

    The second place is 4 px deeper over 400, a third of it in the direction of the layers: a tilt
    of 1/300, whose cosine takes 6 millionths off.
    """
    table = tmp_path / "edge.csv"
    table.write_text(MARKS, "utf-8")
    told = panelwright("measure", "P-0001", "--file", str(table), "--json")
    found = {one["name"]: one["value"] for one in json.loads(told.out)["findings"]}
    assert found["thickness at the edge"] == pytest.approx(31.6e-3, rel=1e-5)
    assert found["layers 1 to 2 at the edge"] == pytest.approx(1.0e-3, rel=1e-5)
    text = " ".join(panelwright("reconcile", "S-0001", "--full").out.split())
    assert "at the edge" in text
    assert "the whole" in text
    assert "Mark three places or more" in text
    moved = panelwright("measure", "S-0001", "edge mark@2/4=600 730 by 2", "--reason", "a burr")
    assert "31.50 mm" in moved.out
    wrong = panelwright("measure", "S-0001", "edge mark@2/9=600 730")
    assert wrong.code == 2
    assert "boundary 0 (outside face) to 4 (inside face)" in wrong.err


def test_a_piece_goes_on_a_sheet(panelwright: Command, place: Path, tmp_path: Path) -> None:
    panelwright("measure", "P-0001", *FOUR, "--who", "Ann", "--again", "yes")
    sheet = tmp_path / "S-0001.pdf"
    ran = panelwright("reconcile", "S-0001", "--sheet", str(sheet), "--paper", "Letter")
    assert (ran.code, ran.out) == (0, f"Written to {sheet}\n")
    assert sheet.read_bytes().startswith(b"%PDF")
    again = panelwright("reconcile", "S-0001", "--sheet", str(sheet))
    assert again.code == 2
    assert "a file of that name already" in again.err


def test_outside_the_range_is_exit_code_one(panelwright: Command, place: Path) -> None:
    panelwright("measure", "P-0001", "mass=520", "length=250", "width=250")
    ran = panelwright("reconcile", "S-0001")
    assert ran.code == 1
    assert "outside" in ran.out


def test_machines_get_si(panelwright: Command, place: Path) -> None:
    told = json.loads(panelwright("measure", "P-0001", *FOUR, "--json").out)
    assert told["schema"] == "panelwright/measure/1"
    mass = next(one for one in told["findings"] if one["name"] == "areal mass")
    assert mass["low"] < 6.6129 < mass["high"]
    told = json.loads(panelwright("reconcile", "S-0001", "--json").out)
    assert told["agrees"] is True
    assert {one["name"] for one in told["compared"]} == {"areal mass", "thickness"}
    assert {"splits", "rest", "difference"} <= set(told["compared"][0])


def test_a_file_is_read_and_its_wrong_cells_named(
    panelwright: Command, place: Path, tmp_path: Path
) -> None:
    good, bad = tmp_path / "good.csv", tmp_path / "bad.csv"
    good.write_text("reading,at,value\nmass,,413.8\nlength,,250\nwidth,,250\nthickness,A,31.7\n")
    bad.write_text("reading,at,value\nmass,,heavy\nthickness,A,12 kg\n")
    assert panelwright("measure", "P-0001", "--file", str(good)).code == 0
    ran = panelwright("measure", "P-0001", "--file", str(bad))
    assert ran.code == 2
    assert "bad.csv:2, column C (value)" in ran.err
    assert "bad.csv:3, column C (value)" in ran.err


def test_what_was_pasted_and_is_refused_is_given_back(
    panelwright: Command, place: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("sys.stdin", io.StringIO("mass\t1,5\nlength\t250\n"))
    ran = panelwright("measure", "P-0001", "--paste")
    assert ran.code == 2
    assert "Nothing was kept. What was pasted:\nmass\t1,5\nlength\t250" in ran.err
    assert "pasted:1, column B (value): A comma can be" in ran.err


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (["P-0001", "mass"], "name=value"),
        (["P-0001", "mas=3"], "not a reading that is known"),
        (["P-0009", "mass=3"], "no such panel"),
        (["S-0009", "mass=3"], "no such piece"),
        (["P-0001"], "No reading is given"),
        (["P-0001", "mass=5", "length=250", "width=250"], "less than its cloth alone"),
        (["P-0001", "thickness=3"], "thinner than its core"),
        (["P-0001", "mass=400", "--date", "yesterday"], "no day"),
        (["P-0001", "--file", "nowhere.csv"], "no such file"),
    ],
)
def test_bad_input_is_a_sentence_and_exit_code_two(
    panelwright: Command, place: Path, arguments: list[str], says: str
) -> None:
    ran = panelwright("measure", *arguments)
    assert ran.code == 2
    assert says in ran.err
    assert ran.out == ""


def test_house_values_are_shown_switched_and_exported(
    panelwright: Command, place: Path, tmp_path: Path
) -> None:
    assert "No house values yet" in panelwright("house").out
    plate = tmp_path / "plate.toml"
    plate.write_text(
        'format = 1\ntitle = "Plate"\nprocess = "hand lay-up"\n'
        '[[layer]]\ncloth = "E-glass twill 300 g/m2"\nrepeat = 4\n'
    )
    panelwright("shelf", "add", str(plate))
    panelwright("measure", "P-0002", "mass=1350", "length=600", "width=800", "cloth=1210")
    ran = panelwright("house")
    key = "fibre_fractions/glass_woven_hand/fibre_mass_fraction"
    assert "too few to rest on" in ran.out
    assert key in ran.out
    words = ("predict", "4 x twill 300", "--process", "hand lay-up", "--full")
    said = " ".join(panelwright(*words, "--shelf", str(place)).out.split())
    assert "your house value of 1 plate: too few to rest on" in said
    assert "your house value" not in panelwright(*words).out
    assert "(switched off)" in panelwright("house", "off", key).out
    assert "your house value" not in panelwright(*words, "--shelf", str(place)).out
    sheet = tmp_path / "house.csv"
    assert panelwright("house", "--export", str(sheet)).code == 0
    assert key in sheet.read_text()
    assert panelwright("house", "--export", str(sheet)).code == 2
    assert panelwright("house", "away", key).code == 2
    assert panelwright("house", "reset", key).code == 0
    assert "No house values yet" in panelwright("house").out
