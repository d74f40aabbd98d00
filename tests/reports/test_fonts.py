"""The faces: what is shipped is what was taken, and figures come from the text face."""

from __future__ import annotations

import hashlib
import io
import tomllib
from importlib.resources import files

from fontTools.ttLib import TTFont

from panelwright.reports.fonts import FACES, LETTERING, TEXT, data, style_sheet

HERE = files("panelwright.reports.fonts")


def test_the_fonts_are_those_that_were_taken() -> None:
    taken = tomllib.loads(HERE.joinpath("VENDORED.toml").read_text("utf-8"))["font"]
    assert {font["file"] for font in taken} == {face.file for face in FACES}
    for font in taken:
        assert (
            hashlib.sha256(HERE.joinpath(font["file"]).read_bytes()).hexdigest() == font["sha256"]
        )
        assert "Open Font License" in HERE.joinpath(font["licence"].split(", ")[1]).read_text(
            "utf-8"
        )


def test_the_text_has_every_sign_that_is_printed_and_figures_of_one_width() -> None:
    font = TTFont(io.BytesIO(data(TEXT)))
    signs = font.getBestCmap()
    missing = [sign for sign in "0123456789 ≈≤≥√→✓✗▸…×·°²³½φρτσΣ−–’“”₁₂" if ord(sign) not in signs]
    assert not missing
    widths = {font["hmtx"][signs[ord(digit)]][0] for digit in "0123456789"}
    assert len(widths) == 1


def test_the_lettering_leaves_figures_to_the_text() -> None:
    signs = TTFont(io.BytesIO(data(LETTERING))).getBestCmap()
    assert not [digit for digit in "0123456789" if ord(digit) in signs]
    assert ord("A") in signs


def test_a_style_sheet_holds_the_fonts_or_says_where_they_are() -> None:
    assert style_sheet().count("data:font/woff2;base64,") == len(FACES)
    assert 'url("/static/fonts/text.woff2")' in style_sheet("/static/fonts")
