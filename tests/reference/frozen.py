"""When the tables behind a comparison were frozen: the commit, and the content they had then.

A clone without the whole history has no such commits, so what is checked is the content: the name
that the repository gives to a file's bytes (``git hash-object``). Whoever has the history sees the
same name under ``git rev-parse COMMIT:PATH``.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from importlib.resources import files


@dataclass(frozen=True)
class Frozen:
    """A table, the last commit that changed it, the one that first compared, and its content."""

    table: str
    commit: str
    compared: str
    content: str


FROZEN = (
    Frozen("ply_strains", "bd960df", "e060f48", "2dd701ea801d"),
    Frozen("ply_strains_panels", "bd960df", "e060f48", "bf7809d053bd"),
    Frozen("fibres", "bd960df", "75900b2", "ed83116f9a76"),
    Frozen("laminate_rules", "bd960df", "75900b2", "f1a2ae7f7026"),
)
#: What was changed in the commit that brought a comparison, or after it, in words.
CHANGED = (
    (
        "resins",
        "75900b2",
        "the modulus of infusion epoxy from 3.1 to 3.3 GPa and its density from 1140 to 1150 "
        "kg/m³, on published data, and a row for polyester of no stated kind came in with the "
        "comparison of moduli",
    ),
    (
        "cloth_forms",
        "75900b2",
        "the yarn across a tape named as glass, with the comparison of moduli",
    ),
    (
        "fibre_fractions",
        "after",
        "the ranges of stitched and unidirectional glass by hand, middles kept: see below",
    ),
    ("model_errors", "after", "the error of strength, from 0.28 to 0.32: see below"),
)
#: The default rules across the fibre and in shear, chosen on published laminae.
RULES_CHOSEN = "7692e95"


def content(table: str) -> str:
    """The name of the content of a table as it is now, its first twelve digits."""
    data = files("panelwright.materials").joinpath("data", f"{table}.csv").read_bytes()
    whole = b"blob %d\0" % len(data) + data
    return hashlib.sha1(whole, usedforsecurity=False).hexdigest()[:12]
