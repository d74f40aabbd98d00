"""``panelwright lineup``: what it prints, writes and refuses."""

from __future__ import annotations

import csv
import json
import shutil
from pathlib import Path

import pytest

from panelwright.panels.lineup_records import SCHEMA

from .running import Command

EXAMPLES = Path(__file__).parents[2] / "examples"
TENDER, ROOF = (str(EXAMPLES / f"{name}.toml") for name in ("tender-topside", "camper-roof"))


def test_a_timber_core_beside_foam_plywood_and_steel(panelwright: Command) -> None:
    ran = panelwright(
        "lineup", TENDER, ROOF, "9 mm birch plywood", "steel", "--equal", "stiffness", "--along"
    )
    assert ran.code == 0
    assert "Equal bending stiffness along: that of A." in ran.out
    assert "its core" in ran.out
    assert "in place of 30 mm" in ran.out
    assert "handbook only" in ran.out
    assert "D (steel) is" in ran.out
    assert "times as heavy as A (Tender topside)" in ran.out
    assert "Shapley" in ran.out
    assert "licensed" in ran.out
    assert max(map(len, ran.out.splitlines())) <= 92


@pytest.mark.parametrize("units", ["imperial", "both"])
def test_in_inches_too(panelwright: Command, units: str) -> None:
    ran = panelwright("lineup", TENDER, "1/4 in birch plywood", "--units", units)
    assert ran.code == 0
    assert "Thickness, in" in ran.out


def test_shop_words_stand_beside_files(panelwright: Command) -> None:
    ran = panelwright("lineup", TENDER, "biax 300, 10 mm PET foam 110 kg/m3, biax 300", "--full")
    assert ran.code == 0
    assert "For their density" in ran.out
    assert "the handbook" in ran.out


def test_for_machines(panelwright: Command) -> None:
    ran = panelwright("lineup", TENDER, ROOF, "3 mm steel", "--json")
    found = json.loads(ran.out)
    assert found["schema"] == SCHEMA
    assert [one["letter"] for one in found["panels"]] == ["A", "B", "C"]
    rows = {row["key"]: row for row in found["rows"]}
    steel = rows["stiffness_along"]["cells"][2]["value"]
    assert steel["value"] == pytest.approx(210e9 * 3e-3**3 / 12.0)  # EN 1993-1-1, from memory
    assert rows["moment_along_first"]["cells"][2] == {
        "value": None,
        "said": "not known: the strength of steel",
        "measured": False,
    }
    for why in found["why"]:
        whole = 1.0
        for cause in why["causes"]:
            whole *= cause["factor"]
        assert whole == pytest.approx(why["ratio"], rel=1e-12)


def test_a_sheet_has_units_and_sources(panelwright: Command, tmp_path: Path) -> None:
    sheet = tmp_path / "lineup.csv"
    ran = panelwright("lineup", TENDER, "9 mm birch plywood", "--csv", str(sheet))
    assert ran.code == 0
    assert f"Written to {sheet}" in ran.out
    with sheet.open(encoding="utf-8", newline="") as file:
        head, units, *panels = csv.reader(file)
    by_name = dict(zip(head, zip(units, *panels, strict=True), strict=True))
    assert by_name["thickness"][0] == "m"
    assert by_name["areal_mass"][0] == "kg/m2"
    assert float(by_name["thickness"][2]) == pytest.approx(9e-3)
    assert all(by_name["sources"][1:])
    assert by_name["evidence"][2].endswith("handbook only")
    again = panelwright("lineup", TENDER, "9 mm birch plywood", "--csv", str(sheet))
    assert again.code == 2
    assert "a file of that name already" in again.err


def test_numbers_of_a_shelf_stand_beside_words(
    panelwright: Command, demonstration: Path, tmp_path: Path
) -> None:
    place = tmp_path / "shelf"
    shutil.copytree(demonstration, place)
    ran = panelwright("lineup", "P-0002", "S-0001", "3 mm steel", "--shelf", str(place))
    assert ran.code == 0
    assert "● measured: thickness, mass, mean density;" in " ".join(ran.out.split())
    card = tmp_path / "card.pdf"
    ran = panelwright("card", "S-0001", "--shelf", str(place), "--pdf", str(card))
    assert ran.code == 0
    assert card.read_bytes().startswith(b"%PDF")


def test_variants_of_one(panelwright: Command) -> None:
    ran = panelwright("lineup", ROOF, f"{ROOF} with layer 2 thickness = 20 mm")
    assert ran.code == 0
    assert "Camper roof with layer 2" in ran.out


def test_a_piece_by_its_files(panelwright: Command, tmp_path: Path) -> None:
    table = tmp_path / "weighed.csv"
    table.write_text("reading,at,value,unit\nmass,,610,g\nlength,,600,mm\nwidth,,200,mm\n")
    ran = panelwright("lineup", f"{TENDER} + {table}", ROOF, "--json")
    rows = {row["key"]: row["cells"][0] for row in json.loads(ran.out)["rows"]}
    assert rows["areal_mass"]["measured"] is True
    assert rows["areal_mass"]["value"]["value"] == pytest.approx(0.61 / 0.12)
    assert rows["thickness"]["measured"] is False


def test_each_just_keeps_its_duty(panelwright: Command) -> None:
    duty = "kneel on it, 600 mm x 310 mm, clamped, span/100"
    ran = panelwright("lineup", TENDER, "birch plywood", "--duty", duty, "--keep")
    assert ran.code == 0
    assert "Each as thick as just keeps what it must bear." in ran.out
    assert "A kept: deflection; B kept: deflection." in ran.out
    assert "kneel on it: 800 N on 60 mm x 60 mm, for 1 min" in ran.out


def test_duties_for_machines(panelwright: Command) -> None:
    duty = "1.2 kPa, 600 mm x 310 mm, clamped, span/100"
    ran = panelwright("lineup", TENDER, "9 mm birch plywood", "--duty", duty, "--json")
    found = json.loads(ran.out)
    (asked,) = found["asked"]
    assert (asked["length"], asked["width"]) == (0.6, 0.31)
    assert asked["edges"] == [["clamped"] * 4]
    assert asked["loads"][0]["pressure"] == pytest.approx(1200.0)
    rows = {row["key"]: row for row in found["duties"]}
    assert rows["duty_1_deflection"]["cells"][0]["value"]["unit"] == "m"
    assert rows["duty_1_used"]["cells"][0]["said"] == "kept: deflection"


def test_the_duties_of_the_panels_and_of_a_file(panelwright: Command) -> None:
    own = panelwright("lineup", TENDER, "9 mm birch plywood", "--duty", "own")
    file = panelwright("lineup", TENDER, "9 mm birch plywood", "--duty", TENDER)
    assert own.code == 0
    assert own.out == file.out
    assert "Limit used up, %" in own.out


def test_prices_come_from_the_shelf_that_is_named(panelwright: Command, tmp_path: Path) -> None:
    ran = panelwright("lineup", TENDER, ROOF, "--shelf", str(tmp_path / "shelf"))
    assert ran.code == 0
    assert "Material cost: no prices at hand: none are built in" in ran.out


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        ([TENDER], "A line-up of one compares nothing"),
        ([TENDER] * 9, "9 panels are too many"),
        ([TENDER, "steel"], "How thick the steel is has to be said"),
        ([TENDER, ROOF, "--along"], "nothing is made equal"),
        ([TENDER, ROOF, "--equal", "mass", "--across"], "mass has no direction"),
        ([TENDER, ROOF, "--equal", "stiffness", "--along", "--across"], "not both"),
        ([TENDER, ROOF, "--equal", "cost"], "there is no price of"),
        ([TENDER, "3 mm steel", "--equal", "strength"], "The strength of steel"),
        ([TENDER, "unobtainium"], "What is 'unobtainium'?"),
        ([TENDER, "nowhere.toml"], "There is no such file"),
        ([TENDER, f"{ROOF} + nowhere.csv"], "There is no such file"),
        ([TENDER, ROOF, "--keep"], "No duty is named"),
        ([TENDER, ROOF, "--keep", "--equal", "mass"], "not both"),
        ([TENDER, ROOF, "--keep", "--along", "--duty", "own"], "--keep without it"),
        ([TENDER, ROOF, "--duty", "dance"], "What is 'dance' in a duty?"),
    ],
)
def test_a_sentence_for_each_refusal(panelwright: Command, arguments: list[str], said: str) -> None:
    ran = panelwright("lineup", *arguments)
    assert ran.code == 2
    assert said in ran.err
    assert not ran.out


def test_pictures_are_written(panelwright: Command, tmp_path: Path) -> None:
    bars, shares, merit = (tmp_path / f"{name}.svg" for name in ("bars", "shares", "merit"))
    files = ("--bars", str(bars), "--shares", str(shares), "--merit", str(merit))
    ran = panelwright("lineup", TENDER, ROOF, *files)
    assert ran.code == 0
    assert "B  Camper roof" in shares.read_text("utf-8")
    assert bars.read_text("utf-8").startswith("<svg")
    assert "equally stiff plate per kilogram" in merit.read_text("utf-8")


def test_rows_of_a_duty_are_axes_too(panelwright: Command, tmp_path: Path) -> None:
    merit = tmp_path / "merit.svg"
    asked = ("--duty", "1 kPa, 600 mm x 310 mm, clamped", "--axes", "areal_mass,duty_1_deflection")
    ran = panelwright("lineup", TENDER, ROOF, "--merit", str(merit), *asked)
    assert ran.code == 0
    assert "Deflection against mass" in merit.read_text("utf-8")


def test_axes_that_are_no_rows_are_refused(panelwright: Command, tmp_path: Path) -> None:
    merit = tmp_path / "merit.svg"
    ran = panelwright("lineup", TENDER, ROOF, "--merit", str(merit), "--axes", "mass,beauty")
    assert ran.code == 2
    assert "no two rows" in ran.err
    assert not merit.exists()


def test_a_card_is_written_once(panelwright: Command, tmp_path: Path) -> None:
    path = tmp_path / "card.pdf"
    ran = panelwright("card", "9 mm birch plywood", "--hide", "--pdf", str(path))
    assert ran.code == 0
    assert path.read_bytes().startswith(b"%PDF")
    again = panelwright("card", "9 mm birch plywood", "--pdf", str(path))
    assert again.code == 2
    assert "a file of that name already" in again.err
    assert "has to be said" in panelwright("card", "steel", "--pdf", str(tmp_path / "x.pdf")).err
