"""Write a panel file for somebody who said the panel in shop words."""

from __future__ import annotations

import re

from panelwright.errors import InputError, Problem
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.shop_words import panel_file, phrases


def sides(size: str) -> tuple[str, str] | None:
    """Length and width as typed in one field, ``3.4 m x 0.9 m``; None for an empty one.

    Raises :class:`InputError` for what is not two of them.
    """
    if not size.strip():
        return None
    parts = [part.strip() for part in re.split(r"\s+x\s+|×", size)]
    if len(parts) != 2 or not all(parts):
        raise InputError(Problem("a size is a length and a width", size, hint='"3.4 m x 0.9 m"'))
    return parts[0], parts[1]


def panel_text(
    words: str,
    catalogue: Catalogue,
    title: str = "",
    process: str = "",
    resin: str = "",
    size: str = "",
) -> str:
    """The panel file of one line in shop words. Raises :class:`InputError`."""
    return panel_file(
        ", ".join(phrases(words)),
        catalogue,
        title=title.strip() or "Panel",
        process=process.strip() or None,
        resin=resin.strip() or None,
        size=sides(size),
    )
