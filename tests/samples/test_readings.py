"""Readings as typed, pasted and in spreadsheets; refusals name row and column."""

from __future__ import annotations

import io
from zipfile import ZipFile

import pytest

from panelwright.errors import InputError, PanelwrightError
from panelwright.samples.readings import (
    KINDS,
    PAIRS,
    Reading,
    order_of_reading,
    read_reading,
    refuse_mixed,
    standing,
)
from panelwright.samples.sheets import letters, readings_of_file, readings_of_text


def _said(wrong: pytest.ExceptionInfo[PanelwrightError]) -> list[str]:
    return [problem.sentence() for problem in wrong.value.problems]


def test_a_number_alone_is_in_the_unit_of_its_kind_and_units_are_read() -> None:
    assert read_reading("mass", "413.8").value == pytest.approx(0.4138, rel=1e-15)
    assert read_reading("mass", "1 lb").value == pytest.approx(0.45359237, rel=1e-15)
    assert read_reading("Core_thickness", "1/2 in", "A1") == Reading(
        "core thickness", 0.0127, "A1", 1e-5
    )
    assert read_reading("moisture", "9").value == 0.09
    assert read_reading("temperature", "18 by 0.5").division == pytest.approx(0.5)


def test_a_reading_carries_the_division_of_its_instrument() -> None:
    assert read_reading("mass", "413.8 by 0.1 g").division == pytest.approx(1e-4)
    assert read_reading("mass", "413.8 g", division="5").division == pytest.approx(5e-3)
    assert read_reading("mass", "413.8").division == KINDS["mass"].division


@pytest.mark.parametrize(
    ("what", "text", "says"),
    [
        ("mass", "abc", "no number"),
        ("mass", "12 mm", "a mass"),
        ("mass", "1,5", "comma"),
        ("mass", "0", "more than nothing"),
        ("mass", "-3", "mass: "),
        ("thickness", "=A1*2", "formula"),
        ("humidity", "150", "up to 100 %"),
        ("thicknes", "3", "'thickness'|thickness"),
    ],
)
def test_what_cannot_be_a_reading_is_refused(what: str, text: str, says: str) -> None:
    with pytest.raises(PanelwrightError, match=says):
        read_reading(what, text)


def test_a_reading_with_a_reason_takes_the_place_of_those_before_it() -> None:
    first, second = Reading("mass", 1.0), Reading("thickness", 2.0, "A1")
    third, fixed = Reading("thickness", 3.0, "A2"), Reading("mass", 1.1, reason="not level")
    assert standing([first, second, third, fixed]) == (second, third, fixed)
    assert standing([first, Reading("mass", 1.2)]) == (first, Reading("mass", 1.2))


def test_mixed_units_are_told_from_readings_that_do_not_fit() -> None:
    fine = [Reading("thickness", 0.0316 + 1e-4 * n, f"{n}") for n in range(4)]
    refuse_mixed(fine)
    with pytest.raises(InputError, match=r"thickness@X: this does not fit.*another unit"):
        refuse_mixed([*fine, Reading("thickness", 3.16, "X")])


def test_a_pasted_table_is_read_with_and_without_heads() -> None:
    with_heads = "What;Point;Value;Unit;Resolution\nmass;;413.8;g;0.1\nthickness;A1;31.7;mm;\n"
    found = readings_of_text(with_heads, "pasted")
    assert [one.what for one in found] == ["mass", "thickness"]
    assert found[0].division == pytest.approx(1e-4)
    assert found[1].at == "A1"
    assert readings_of_text("mass\t413.8\nthickness@A1\t31.7", "pasted")[1].at == "A1"


def test_every_wrong_cell_is_named_by_row_and_column() -> None:
    table = "reading,at,value\nmass,,abc\nthickness,A1,12 g\nfoo,,3\nlength,,\n\nwidth,,=1+2\n"
    with pytest.raises(InputError) as wrong:
        readings_of_text(table, "pasted.csv")
    places = [(p.file, p.line, p.key) for p in wrong.value.problems]
    assert places == [
        ("pasted.csv", 2, "column C (value)"),
        ("pasted.csv", 3, "column C (value)"),
        ("pasted.csv", 4, "column A (reading)"),
        ("pasted.csv", 5, "column C (value)"),
        ("pasted.csv", 7, "column C (value)"),
    ]


@pytest.mark.parametrize("text", ["", "  \n\n", "a,b,c,d,e\n1,2,3,4,5\n", 'mass,"413'])
def test_what_is_no_table_is_refused_in_a_sentence(text: str) -> None:
    with pytest.raises(InputError):
        readings_of_text(text, "pasted")


_NS = "http" + "://schemas.openxmlformats.org/spreadsheetml/2006/main"


def _sheet(rows: str, **more: str) -> bytes:
    """A spreadsheet of one sheet, as the open standard for them (ISO/IEC 29500) has it."""
    strings = ["reading", "value", "at", "mass", "thickness", "A1"]
    items = "".join(f"<si><t>{word}</t></si>" for word in strings)
    made = io.BytesIO()
    with ZipFile(made, "w") as archive:
        archive.writestr(
            "xl/worksheets/sheet1.xml",
            f'<worksheet xmlns="{_NS}"><sheetData>{rows}</sheetData></worksheet>',
        )
        archive.writestr("xl/sharedStrings.xml", f'<sst xmlns="{_NS}">{items}</sst>')
        for name, content in more.items():
            archive.writestr(f"xl/{name}.bin", content)
    return made.getvalue()


_ROWS = (
    '<row r="2"><c r="A2" t="s"><v>0</v></c><c r="B2" t="s"><v>2</v></c>'
    '<c r="D2" t="s"><v>1</v></c></row>'
    '<row r="3"><c r="A3" t="s"><v>3</v></c><c r="D3"><v>413.8</v></c></row>'
    '<row r="4"><c r="A4" t="s"><v>4</v></c><c r="B4" t="s"><v>5</v></c>'
    '<c r="D4" t="inlineStr"><is><t>31.7 mm</t></is></c></row>'
)


def test_a_spreadsheet_is_read_as_its_cells() -> None:
    mass, thickness = readings_of_file(_sheet(_ROWS), "sheet.xlsx")
    assert (mass.what, thickness.what, thickness.at) == ("mass", "thickness", "A1")
    assert mass.value == pytest.approx(0.4138)
    assert thickness.value == pytest.approx(0.0317)


def test_a_wrong_cell_of_a_spreadsheet_is_named_as_the_spreadsheet_names_it() -> None:
    rows = _ROWS.replace("<v>413.8</v>", "<v>413.8</v>").replace("31.7 mm", "thin")
    with pytest.raises(InputError) as wrong:
        readings_of_file(_sheet(rows), "sheet.xlsx")
    (problem,) = wrong.value.problems
    assert (problem.line, problem.key) == (4, "column D (value)")


def test_formulas_and_macros_are_refused_in_words() -> None:
    formula = _ROWS.replace("<v>413.8</v>", "<f>SUM(A1:A2)</f><v>413.8</v>")
    with pytest.raises(InputError, match=r"cell D3: a spreadsheet with formulas is not read"):
        readings_of_file(_sheet(formula), "sheet.xlsx")
    with pytest.raises(InputError, match="macros"):
        readings_of_file(_sheet(_ROWS, vbaProject="x"), "sheet.xlsm")


@pytest.mark.parametrize(
    "content",
    [
        b"PK\x03\x04 cut off",
        b"\xd0\xcf\x11\xe0 old",
        b"\xff\xfe\x00",
        _sheet(""),
        _sheet("<row><c"),
        _sheet(_ROWS).replace(b"sheet1", b"shoot1"),
    ],
)
def test_damaged_files_are_refused_in_a_sentence(content: bytes) -> None:
    with pytest.raises(InputError, match=r"file|spreadsheet|readings"):
        readings_of_file(content, "sheet")


def test_columns_are_named_as_spreadsheets_name_them() -> None:
    assert [letters(n) for n in (0, 25, 26, 701, 702)] == ["A", "Z", "AA", "ZZ", "AAA"]


def test_the_order_of_reading_names_every_kind() -> None:
    text = order_of_reading()
    pairs = {name: both for both, pair in PAIRS.items() for name in pair}
    assert all(pairs.get(name, name) in text for name in KINDS)
    assert text.index("Before the build") < text.index("After the build")
