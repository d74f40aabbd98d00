"""The list of plies without a strength is what a prediction finds: asked of whole panels."""

from __future__ import annotations

import pytest

from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import read
from panelwright.panels.resolve import resolve

from .strength_rows import known, missing

RESINS = {"polyester": "polyester, isophthalic", "vinyl ester": "vinyl ester", "epoxy": "epoxy"}


@pytest.mark.parametrize("process", ["hand", "bag", "infusion"])
@pytest.mark.parametrize("family", RESINS)
@pytest.mark.parametrize(
    ("cloth", "fibre", "group"),
    [
        ("E-glass biaxial 300 g/m2", "e_glass", "stitched"),
        ("E-glass chopped mat 300 g/m2", "e_glass", "mat"),
        ("E-glass woven roving 600 g/m2", "e_glass", "woven roving"),
        ("E-glass biaxial ±45 with mat 801 g/m2", "e_glass", "combination"),
        ("carbon twill 2x2 200 g/m2", "c_ht", "woven"),
    ],
)
def test_a_panel_has_a_strength_where_the_list_has_no_gap(
    cloth: str, fibre: str, group: str, family: str, process: str
) -> None:
    head = f'format = 1\nprocess = "{process}"\nresin = "{RESINS[family]}"\n'
    text = f'{head}[[layer]]\ncloth = "{cloth}"\n'
    layers = resolve(read(text), Catalogue.shipped()).layers
    plies = [layer for layer in layers if layer.kind == "cloth"]
    assert plies
    assert all("strain_1t" in ply.inputs for ply in plies) == known(fibre, group, family, process)


def test_gaps_that_a_builder_meets() -> None:
    gaps = {(name, group, family): without for name, group, family, without, _ in missing()}
    for group in ("stitched", "mat"):
        assert "hand lay-up" in gaps["E-glass", group, "vinyl ester"]
    assert "hand lay-up" in gaps["flax", "woven", "epoxy"]
    assert ("carbon, standard modulus", "woven", "epoxy") in gaps  # closed mould alone
    assert "vacuum infusion" not in gaps["carbon, standard modulus", "woven", "epoxy"]
