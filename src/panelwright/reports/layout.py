"""Plain text laid out in columns and wrapped lines."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Sequence

WIDTH = 92


def wide(text: str) -> int:
    """Columns that a text takes on a terminal; combining marks take none."""
    return sum(0 if unicodedata.combining(character) else 1 for character in text)


def table(rows: Sequence[Sequence[str]], *, right: Sequence[int] = (), indent: str = "") -> str:
    """Rows in aligned columns, two blanks apart.

    right : numbers of the columns that are aligned to the right.
    """
    if not rows:
        return ""
    count = max(len(row) for row in rows)
    full = [[*row, *[""] * (count - len(row))] for row in rows]
    widths = [max(wide(row[column]) for row in full) for column in range(count)]
    lines = []
    for row in full:
        cells = [
            cell.rjust(width) if column in right else cell.ljust(width)
            for column, (cell, width) in enumerate(zip(row, widths, strict=True))
        ]
        lines.append((indent + "  ".join(cells)).rstrip())
    return "\n".join(lines)


def wrapped(text: str, *, first: str = "", rest: str | None = None, width: int = WIDTH) -> str:
    """A paragraph within the width; ``first`` and ``rest`` begin its lines."""
    following = " " * wide(first) if rest is None else rest
    return textwrap.fill(text, width, initial_indent=first, subsequent_indent=following)


def heading(text: str) -> str:
    """A heading with a rule under it."""
    return f"{text}\n{'─' * wide(text)}"


def plural(count: int, one: str, many: str | None = None) -> str:
    """``1 pack``, ``2 packs``."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def sentence(text: str) -> str:
    """The text with a capital and a full stop."""
    plain = text.strip().rstrip(".")
    return f"{plain[:1].upper()}{plain[1:]}." if plain else ""
