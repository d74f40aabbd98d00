"""How wide words come out, whatever the fonts at hand: an upper bound, and lines that fit it."""

from __future__ import annotations

#: Widths in thousandths of the size, the wider of the lettering face and of a common wide sans
#: serif as measured, for letters and signs alike; anything else is taken as a wide capital.
_WIDTHS = {
    "ijl'.,:;|·!": 320,
    " It()/[]": 395,
    "frJ-–²³°": 505,
    "csvxyzk?": 600,
    "abdeghnopqu": 640,
    "0123456789": 660,
    "ABDEFLPSTXYZK": 700,
    "CGHNOQRUVwÅÄÖÜ&": 800,
    "mMW%×±=−→≈+<>": 1000,
}
_OF = {letter: width for letters, width in _WIDTHS.items() for letter in letters}
_SPACED = 15  # thousandths between letters


def width_of(text: str, size: float) -> float:
    """Width of a line of words at most, px."""
    return sum(_OF.get(letter, 1000) + _SPACED for letter in text) * size / 1000.0


def lines_of(text: str, size: float, width: float, most: int) -> list[str]:
    """The words in at most so many lines no wider than this; what is left out is marked."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if width_of(longer, size) <= width:
            lines[-1] = longer
        else:
            lines += _parts(word, size, width)
    lines = [line for line in lines if line]
    if len(lines) <= most:
        return lines
    return [*lines[: most - 1], shortened(" ".join(lines[most - 1 :]), size, width)]


def _parts(word: str, size: float, width: float) -> list[str]:
    """A word cut where it must be, each part no wider than this."""
    parts = [""]
    for letter in word:
        if parts[-1] and width_of(parts[-1] + letter, size) > width:
            parts.append("")
        parts[-1] += letter
    return parts


def shortened(text: str, size: float, width: float) -> str:
    """One line no wider than this; what is cut off is marked."""
    if width_of(text, size) <= width:
        return text
    while text and width_of(text + "…", size) > width:
        text = text[:-1]
    return text.rstrip(" ,") + "…"
