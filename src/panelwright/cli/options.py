"""What several commands let one choose."""

from __future__ import annotations

from enum import StrEnum


class System(StrEnum):
    """Units to show."""

    SI = "si"
    IMPERIAL = "imperial"
    BOTH = "both"


class PageSize(StrEnum):
    """Sheets that a shop's printer takes."""

    A4 = "A4"
    LETTER = "Letter"
