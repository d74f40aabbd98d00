"""Panels written in a test, and how far they get."""

from __future__ import annotations

import pytest

from panelwright.errors import InputError, Problem
from panelwright.materials.catalogue import Catalogue
from panelwright.panels import description
from panelwright.panels.checks import refuse_impossible
from panelwright.panels.description import Description
from panelwright.panels.evaluate import Build, evaluate
from panelwright.panels.resolve import Resolved, resolve
from panelwright.panels.stack import stack_of

FORMAT = "format = 1\n"
FILE = "panel.toml"


def layer(**keys: object) -> str:
    """One ``[[layer]]``; text is quoted, what is not text stands as it is written."""
    lines = [f'{k} = "{v}"' if isinstance(v, str) else f"{k} = {_bare(v)}" for k, v in keys.items()]
    return "\n".join(["[[layer]]", *lines]) + "\n"


def _bare(value: object) -> str:
    if isinstance(value, dict):
        return "{ " + ", ".join(f'{key} = "{text}"' for key, text in value.items()) + " }"
    return str(value).lower() if isinstance(value, bool) else str(value)


def read(*parts: str) -> Description:
    """A panel file of these parts, read."""
    return description.read(FORMAT + "".join(parts), FILE)


def resolved(*parts: str) -> Resolved:
    """A panel file of these parts, resolved against the shipped catalogue."""
    return resolve(read(*parts), Catalogue.shipped())


def evaluated(text: str) -> Build:
    """What a panel file comes to, at the middle values."""
    panel = resolve(description.read(text, FILE), Catalogue.shipped())
    build = evaluate(stack_of(panel.layers))
    refuse_impossible(panel, build)
    return build


def built(*parts: str) -> Build:
    """What a panel file of these parts comes to, at the middle values."""
    return evaluated(FORMAT + "".join(parts))


def problems(text: str) -> tuple[Problem, ...]:
    """All that is wrong with a panel file, from reading it to its layers."""
    with pytest.raises(InputError) as refused:
        evaluated(text)
    return refused.value.problems


def problem(text: str) -> Problem:
    """The one thing that is wrong with a panel file."""
    found = problems(text)
    assert len(found) == 1, [one.sentence() for one in found]
    return found[0]
