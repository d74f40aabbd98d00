"""A prediction as it is kept: everything it rests on, readable for ever.

A snapshot is JSON with the number of its form. What later versions add to the records has a
default there; what they rename or drop is put right by a step of :data:`STEPS`.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import Any

from pydantic import TypeAdapter

from panelwright.errors import InputError, Problem
from panelwright.panels.records import Prediction
from panelwright.panels.verdicts import DutyRecord
from panelwright.provenance import Input

#: The number of the form that is written now.
FORM = 1

#: How a snapshot of one form becomes one of the next, by the number of the old.
STEPS: dict[int, Callable[[dict[str, Any]], dict[str, Any]]] = {}


@dataclass(frozen=True)
class Kept:
    """One resolved input: what it is a value of, such as ``2 western redcedar: density``."""

    of: str
    given: Input


@dataclass(frozen=True)
class Snapshot:
    """A prediction with every input it rests on, the house values in force, and its duties."""

    prediction: Prediction
    inputs: tuple[Kept, ...] = ()
    house_values: Mapping[str, float] = field(default_factory=dict)
    duties: tuple[DutyRecord, ...] = ()


@cache
def _adapter() -> TypeAdapter[Snapshot]:
    return TypeAdapter(Snapshot)


def dump(snapshot: Snapshot) -> str:
    """The snapshot as JSON; :func:`load` gives it back to the last digit."""
    content = _adapter().dump_python(snapshot)
    return json.dumps({"form": FORM, **content}, ensure_ascii=False, separators=(",", ":"))


def load(text: str) -> Snapshot:
    """The snapshot of a text, of this form or an older one.

    Raises :class:`InputError` for a text that is none, or is of a newer form.
    """
    try:
        content = json.loads(text)
        form = content.pop("form")
        while form in STEPS:
            content, form = STEPS[form](content), form + 1
        if form != FORM:
            what = "this prediction was kept by a newer version of Panelwright"
            raise InputError(Problem(what, f"form {form}", f"up to {FORM}", "the newer version"))
        return _adapter().validate_python(content)
    except (ValueError, KeyError, AttributeError, TypeError, RecursionError) as wrong:
        what = "this is not a stored prediction"
        raise InputError(Problem(what, str(wrong).splitlines()[0][:80])) from None
