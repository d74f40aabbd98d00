"""Columns, wrapped lines and the small words of a report."""

from __future__ import annotations

import pytest

from panelwright.reports.layout import (
    clipped,
    heading,
    narrow,
    on_the_point,
    plural,
    printed,
    sentence,
    spans,
    table,
    wide,
    wrapped,
)


def test_columns_are_as_wide_as_their_widest_cell() -> None:
    assert table([["a", "bb"], ["ccc", "d"]]) == "a    bb\nccc  d"
    assert table([["1", "x"], ["22", "y"]], right=(0,), indent="  ") == "   1  x\n  22  y"


def test_a_short_row_leaves_its_last_columns_empty() -> None:
    assert table([["a"], ["b", "c"]]) == "a\nb  c"


def test_a_column_without_a_word_takes_no_room() -> None:
    assert table([["a", "", "b"], ["c", "", "d"]]) == "a  b\nc  d"


def test_a_cell_of_two_lines_takes_two() -> None:
    assert table([["a", "1\n22", "z"]], right=(1,)) == "a   1  z\n   22"


def test_no_rows_no_table() -> None:
    assert table([]) == ""


def test_wide_letters_take_two_columns_and_accents_none() -> None:
    assert wide("漢字") == 4
    assert wide("e\u0301") == 1


def test_decimal_points_stand_under_each_other() -> None:
    rows = on_the_point([["12.25"], ["3"], ["0.5"]], (0,))
    assert table(rows, right=(0,)) == "12.25\n 3\n 0.5"


def test_a_paragraph_keeps_within_its_width() -> None:
    lines = wrapped("word " * 60, first="  • ").splitlines()
    assert max(map(len, lines)) <= 92
    assert lines[0].startswith("  • word")
    assert lines[1].startswith("    word")


def test_cells_and_lines_are_cut_to_measure() -> None:
    assert narrow("one gram of resin", 8) == "one gram\nof resin"
    assert narrow("", 8) == ""
    assert narrow("buy it: 12 kg", 11) == "buy it:\n12 kg"
    assert clipped("abcdef", 4) == "abc…"
    assert clipped("abcd", 4) == "abcd"


def test_heading_has_a_rule_as_long_as_itself() -> None:
    assert heading("Ledger") == "Ledger\n──────"


@pytest.mark.parametrize(
    ("count", "text"), [(0, "0 packs"), (1, "1 pack"), (2, "2 packs"), (21, "21 packs")]
)
def test_plurals(count: int, text: str) -> None:
    assert plural(count, "pack") == text


def test_an_odd_plural_is_given() -> None:
    assert plural(2, "ply", "plies") == "2 plies"


def test_sentences_begin_and_end_as_sentences() -> None:
    assert sentence("layer 2 is dry") == "Layer 2 is dry."
    assert sentence("Done.") == "Done."
    assert sentence("  ") == ""


def test_powers_are_raised_in_print() -> None:
    assert printed("80 kg/m3, 12 oz/yd2, 5 lb/ft^3") == "80 kg/m³, 12 oz/yd², 5 lb/ft³"


def test_runs_of_numbers_are_drawn_together() -> None:
    assert spans([1, 2, 3, 5, 7, 8]) == "1–3, 5, 7–8"
