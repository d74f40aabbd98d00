"""Why the default rules across the fibre are what they are: literature, not our comparisons.

Source: Soden, Hinton and Kaddour 1998 (from memory), four laminae; see shear_rule.json.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from panelwright.mechanics import micromechanics

LAMINAE = json.loads((Path(__file__).parent / "shear_rule.json").read_text())["laminae"]


def column(name: str) -> np.ndarray:
    return np.array([lamina[name] for lamina in LAMINAE])


SHEAR: dict[str, Callable[[], np.ndarray]] = {
    "series": lambda: micromechanics.series_mixture(column("Gf12"), column("Gm"), column("Vf")),
    "halpin-tsai 1": lambda: micromechanics.halpin_tsai(
        column("Gf12"), column("Gm"), column("Vf"), 1.0
    ),
    "chamis": lambda: micromechanics.chamis(column("Gf12"), column("Gm"), column("Vf")),
    "foerster-knappe": lambda: micromechanics.foerster_knappe_shear(
        column("Gf12"), column("Gm"), column("Vf")
    ),
}
ACROSS: dict[str, Callable[[], np.ndarray]] = {
    "series": lambda: micromechanics.series_mixture(column("Ef2"), column("Em"), column("Vf")),
    "halpin-tsai 2": lambda: micromechanics.halpin_tsai(
        column("Ef2"), column("Em"), column("Vf"), 2.0
    ),
    "chamis": lambda: micromechanics.chamis(column("Ef2"), column("Em"), column("Vf")),
}


def misfit(computed: np.ndarray, measured: np.ndarray) -> float:
    return float(np.sqrt(np.mean(np.log(computed / measured) ** 2)))


def test_default_shear_rule_is_the_nearest() -> None:
    off = {name: misfit(rule(), column("G12")) for name, rule in SHEAR.items()}
    assert min(off, key=lambda name: off[name]) == "foerster-knappe"
    assert off["foerster-knappe"] < 0.10


@pytest.mark.parametrize("name", ["series", "halpin-tsai 1", "chamis"])
def test_other_shear_rules_are_low(name: str) -> None:
    assert np.all(SHEAR[name]() < column("G12"))


def test_default_rule_across_is_the_nearest() -> None:
    off = {name: misfit(rule(), column("E2")) for name, rule in ACROSS.items()}
    assert min(off, key=lambda name: off[name]) == "halpin-tsai 2"
