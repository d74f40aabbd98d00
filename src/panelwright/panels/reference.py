"""Known solids to set beside a panel: sheets and boards that no shop made, by the handbook only."""

from __future__ import annotations

import json
from dataclasses import replace

from panelwright.errors import PanelwrightError
from panelwright.materials.catalogue import Catalogue
from panelwright.materials.records import Row
from panelwright.mechanics import micromechanics
from panelwright.panels.description import FORMAT, Description, read
from panelwright.panels.resolve import Resolved, resolve
from panelwright.panels.resolve.context import exact
from panelwright.panels.shop_words import sized
from panelwright.provenance import Evidence, Input

#: What stands behind the name of a known solid.
HANDBOOK_ONLY = "handbook only"
#: Thickness of one that is scaled anyway.
ANY_THICKNESS = "10 mm"
#: Poisson's ratio of a solid that the table has none for. Common practice.
POISSON = 0.25
#: Tables of known solids, and how a layer of one is written.
_KEYS = (("solids", "lamina"), ("plywoods", "plywood"), ("timbers", "board"))


def solid_in(words: str, catalogue: Catalogue) -> tuple[str, Row] | None:
    """The key of its layer and the row of a known solid; None where the words name none."""
    name = sized(words)[1].strip()
    for table, key in _KEYS:
        tried = name.removesuffix(" board") if table == "timbers" else name
        row = catalogue.table(table).get(tried)
        if row is not None:
            return key, row
    return None


def described_solid(words: str, catalogue: Catalogue) -> Description | None:
    """A known solid as a panel of one layer: "3 mm steel", "9 mm birch plywood".

    None where the words name none; :data:`ANY_THICKNESS` where they name no thickness.
    """
    found = solid_in(words, catalogue)
    if found is None:
        return None
    key, row = found
    thickness = sized(words)[0]
    name = f"{row.name} board" if key == "board" else row.name
    title = f"{thickness} {name}".strip()
    lines = [
        f"format = {FORMAT}",
        f"title = {json.dumps(f'{title} ({HANDBOOK_ONLY})', ensure_ascii=False)}",
        "[[layer]]",
        f"name = {json.dumps(row.name, ensure_ascii=False)}",
        f'thickness = "{thickness or ANY_THICKNESS}"',
        _constants(row) if key == "lamina" else f"{key} = {json.dumps(row.name)}",
    ]
    try:
        return read("\n".join(lines) + "\n", words)
    except PanelwrightError as wrong:
        raise type(wrong)([replace(one, given=words) for one in wrong.problems]) from None


def _shear(row: Row) -> float:
    nu = row.number("nu") or POISSON
    return float(micromechanics.isotropic_shear(row.number("E") or 0.0, nu))


def _constants(row: Row) -> str:
    modulus, shear = (f'"{value / 1e9:.6g} GPa"' for value in (row.number("E") or 0.0, _shear(row)))
    return "\n".join(
        [
            "[layer.lamina]",
            f'density = "{row.number("density") or 0.0:.6g} kg/m3"',
            *(f"{name} = {modulus}" for name in ("E1", "E2")),
            *(f"{name} = {shear}" for name in ("G12", "G13", "G23")),
            f"nu12 = {row.number('nu') or POISSON}",
        ]
    )


def resolve_solid(description: Description, row: Row, catalogue: Catalogue) -> Resolved:
    """A known solid in numbers: those of its row, with their ranges and source."""
    resolved = resolve(description, catalogue)
    if row.table != "solids":
        return resolved
    modulus = row.input("E", cause=f"modulus of {row.name}")
    share = _shear(row) / modulus.value
    shear = replace(
        modulus,
        **{end: share * getattr(modulus, end) for end in ("value", "low", "high")},
        source=f"E/(2 (1 + ν)); {modulus.source}",
    )
    known = row.number("nu") is not None
    nu = row.source if known else "usual for a sheet, common practice"
    evidence = row.evidence() if known else Evidence.PRACTICE
    named: dict[str, Input] = {
        "solid_density": row.input("density", cause=f"density of {row.name}"),
        **dict.fromkeys(("given_E1", "given_E2"), modulus),
        **dict.fromkeys(("given_G12", "given_G13", "given_G23"), shear),
        "given_nu12": exact(row.number("nu") or POISSON, nu, evidence),
    }
    layers = [replace(one, inputs={**one.inputs, **named}) for one in resolved.layers]
    return replace(resolved, layers=layers)
