"""Plain text laid out in columns and wrapped lines."""

from __future__ import annotations

import re
import textwrap
import unicodedata
from collections.abc import Sequence
from itertools import zip_longest

WIDTH = 92
NO_BREAK = "\N{NO-BREAK SPACE}"


#: What is shown for a choice of units, the first large.
SYSTEMS = {"si": ("si",), "imperial": ("imperial",), "both": ("si", "imperial")}


def first_system(system: str) -> str:
    """The one system of a place that has room for one; metric where both are wanted."""
    return SYSTEMS[system][0]


def wide(text: str) -> int:
    """Columns that a text takes on a terminal; combining marks take none, wide letters two."""
    return sum(_columns(character) for character in text)


def _columns(character: str) -> int:
    if unicodedata.combining(character):
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1


def _lines(row: Sequence[str], count: int) -> list[list[str]]:
    """The lines that a row takes: as many as its tallest cell."""
    cells = [cell.split("\n") for cell in (*row, *[""] * (count - len(row)))]
    return [list(line) for line in zip_longest(*cells, fillvalue="")]


def table(rows: Sequence[Sequence[str]], *, right: Sequence[int] = (), indent: str = "") -> str:
    """Rows in aligned columns, two blanks apart; a cell may hold several lines.

    right : numbers of the columns that are aligned to the right.
    """
    count = max((len(row) for row in rows), default=0)
    lines = [line for row in rows for line in _lines(row, count)]
    widths = [max(wide(line[column]) for line in lines) for column in range(count)]
    return "\n".join((indent + _joined(line, widths, right)).rstrip() for line in lines)


def _joined(cells: Sequence[str], widths: Sequence[int], right: Sequence[int]) -> str:
    padded = []
    for column, (cell, width) in enumerate(zip(cells, widths, strict=True)):
        blanks = " " * (width - wide(cell))
        padded.append(blanks + cell if column in right else cell + blanks)
    shown = [cell for cell, width in zip(padded, widths, strict=True) if width]
    return "  ".join(shown)


def on_the_point(rows: Sequence[Sequence[str]], columns: Sequence[int]) -> list[list[str]]:
    """Rows whose numbers in some columns stand with their decimal points under each other."""
    found = [list(row) for row in rows]
    for column in columns:
        cells = [row[column] for row in found if column < len(row)]
        tails = [wide(cell) - wide(cell.partition(".")[0]) for cell in cells]
        for row, tail in zip((r for r in found if column < len(r)), tails, strict=True):
            row[column] += " " * (max(tails) - tail)
    return found


def wrapped(text: str, *, first: str = "", rest: str | None = None, width: int = WIDTH) -> str:
    """A paragraph within the width; ``first`` and ``rest`` begin its lines."""
    following = " " * wide(first) if rest is None else rest
    return textwrap.fill(
        text,
        width,
        initial_indent=first,
        subsequent_indent=following,
        break_on_hyphens=False,
    )


def clipped(text: str, width: int = WIDTH) -> str:
    """A line no wider than this; what is cut off is marked."""
    return text if wide(text) <= width else text[: width - 1].rstrip() + "…"


def narrow(text: str, width: int) -> str:
    """A text as the lines of a cell no wider than this; a number keeps its unit beside it."""
    bound = re.sub(r"(?<=\d) (?=\S)", NO_BREAK, text)
    lines = textwrap.wrap(bound, width, break_on_hyphens=False)
    return "\n".join(lines).replace(NO_BREAK, " ") or text


def heading(text: str) -> str:
    """A heading with a rule under it, on as many lines as it needs."""
    lines = narrow(text, WIDTH)
    return f"{lines}\n{'─' * max(map(wide, lines.splitlines()), default=0)}"


def plural(count: int, one: str, many: str | None = None) -> str:
    """``1 pack``, ``2 packs``."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def sentence(text: str) -> str:
    """The text with a capital and a full stop."""
    plain = text.strip().rstrip(".")
    return f"{plain[:1].upper()}{plain[1:]}." if plain else ""


def printed(text: str) -> str:
    """A name or a source with its powers raised: ``kg/m3`` as ``kg/m³``."""
    for unit in ("m", "ft", "yd"):
        for power, raised in (("2", "²"), ("3", "³")):
            text = text.replace(f"/{unit}{power}", f"/{unit}{raised}")
            text = text.replace(f"/{unit}^{power}", f"/{unit}{raised}")
    return text


def spans(numbers: Sequence[int]) -> str:
    """Rising whole numbers with runs drawn together: ``1–3, 5``."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return ", ".join(str(run[0]) if len(run) == 1 else f"{run[0]}–{run[-1]}" for run in runs)
