"""The two faces of every page and sheet: lettering for words, text for words and all figures."""

from __future__ import annotations

from base64 import b64encode
from dataclasses import dataclass
from importlib.resources import files


@dataclass(frozen=True)
class Face:
    """A face: its file, its family, the weights it has, and the signs it serves (CSS)."""

    file: str
    family: str
    weights: str
    signs: str


#: The lettering has digits of unequal width and a bare stroke for 1: figures are left to the text.
LETTERING = Face("lettering.woff2", "Sheet Lettering", "400", "U+0020-002F, U+003A-2FFF")
TEXT = Face("text.woff2", "Sheet Text", "200 900", "U+0020-2FFF")
FACES = (LETTERING, TEXT)


def data(face: Face) -> bytes:
    """The font itself, WOFF2."""
    return files("panelwright.reports.fonts").joinpath(face.file).read_bytes()


def style_sheet(folder: str | None = None) -> str:
    """The faces as CSS.

    folder : address that the files are served under; None puts the fonts into the style sheet.
    """

    def source(face: Face) -> str:
        if folder is not None:
            return f"{folder}/{face.file}"
        return f"data:font/woff2;base64,{b64encode(data(face)).decode()}"

    def weights(face: Face) -> str:
        # a range of weights is not understood on the way to paper: there bold comes by itself
        return "" if folder is None else f"font-weight: {face.weights}; "

    return "\n".join(
        f'@font-face {{ font-family: "{face.family}"; src: url("{source(face)}") format("woff2"); '
        f"{weights(face)}unicode-range: {face.signs}; font-display: swap; }}"
        for face in FACES
    )
