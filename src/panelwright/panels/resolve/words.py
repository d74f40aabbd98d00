"""Shop words: which row of a table a person means, and which words are left over."""

from __future__ import annotations

import re
from collections.abc import Iterable

from panelwright.materials.records import Row


def tokens(text: str) -> list[str]:
    """Lower-case words of a text; hyphens, commas and degree signs only part them."""
    spaced = re.sub(r"[\s_\-,()]+", " ", text.lower().replace("±", " +-").replace("°", " "))
    return spaced.replace("+ ", "+-").split()


def longest(rows: Iterable[Row], words: list[str]) -> tuple[Row, list[str]] | None:
    """The row one of whose names takes the most of the words, and the words it leaves.

    Of names of equal length the one met first in the table wins.
    """
    best: tuple[int, Row, list[str]] | None = None
    for row in rows:
        for name in (row.name, row.id, *row.aliases):
            left = without(words, tokens(name))
            if left is not None and (best is None or len(words) - len(left) > best[0]):
                best = (len(words) - len(left), row, left)
    return None if best is None else (best[1], best[2])


def without(words: list[str], wanted: list[str]) -> list[str] | None:
    """The words less the wanted ones, or None where one of them is not there."""
    left = list(words)
    for token in wanted:
        if token not in left:
            return None
        left.remove(token)
    return left if wanted else None
