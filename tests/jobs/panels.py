"""Panels that the tests of jobs, reports and the command line share."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from panelwright.jobs.predict import predict
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import Description, read
from panelwright.panels.records import Prediction

HERE = Path(__file__).parent
EXAMPLES = sorted((HERE.parents[1] / "examples").glob("*.toml"))
SCENARIOS = HERE / "scenarios"
MATERIALS = SCENARIOS / "materials.toml"


@cache
def shipped() -> Catalogue:
    """The catalogue as it is shipped, whatever the person who runs the tests has at home."""
    return Catalogue.shipped()


@cache
def scenario_catalogue() -> Catalogue:
    """The shipped catalogue with the resins of the scenarios."""
    return shipped().with_file(MATERIALS)


def described(path: Path) -> Description:
    """A panel file, read."""
    return read(path.read_text(encoding="utf-8"), path.name)


@cache
def predicted(path: Path) -> Prediction:
    """The prediction of a panel file."""
    return predict(described(path), scenario_catalogue())


def predicted_text(text: str) -> Prediction:
    """The prediction of the text of a panel file."""
    return predict(read(text), shipped())


def panel(*layers: str, head: str = "") -> str:
    """The text of a panel file from its layers."""
    return "\n\n".join([f"format = 1\n{head}", *(f"[[layer]]\n{layer}" for layer in layers)])
