"""Every registered formula with its function, and plausible arguments for any of them."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import Callable
from typing import Any

import numpy as np

from panelwright import mechanics
from panelwright.mechanics.arrays import Array
from panelwright.working import Formula, formulas


def functions() -> dict[str, Callable[..., Any]]:
    """Name of a registered formula to the function that a caller gets."""
    modules = [
        importlib.import_module(f"{mechanics.__name__}.{module.name}")
        for module in pkgutil.iter_modules(mechanics.__path__)
    ]
    found: dict[str, Callable[..., Any]] = {}
    for made_by in formulas():
        for module in modules:
            function = getattr(module, made_by.name, None)
            if function is not None and function.__module__ == module.__name__:
                found[made_by.name] = function
    return found


FUNCTIONS = functions()
FORMULAS = tuple(made_by for made_by in formulas() if made_by.name in FUNCTIONS)

#: Range of values by unit; what must lie elsewhere is named.
_BY_UNIT = {
    "m": (1e-3, 1e-2),
    "m²": (0.5, 2.0),
    "1/m": (0.1, 2.0),
    "kg": (0.1, 2.0),
    "kg/m²": (0.1, 2.0),
    "kg/m³": (400.0, 2600.0),
    "K": (275.0, 305.0),
    "rad": (0.3, 1.5),
    "any": (1.0, 10.0),
    "-": (0.05, 0.6),
    "1 or 0 [-]": (0.0, 1.0),
}
_BY_NAME = {
    "void_fraction": (0.0, 0.1),
    "moisture": (0.06, 0.2),
    "intersection": (0.21, 0.28),
    "faces": (1.0, 2.0),
}


def unit_of(described: str) -> str:
    """The unit in ``symbol [unit]``."""
    return described.rpartition("[")[2].removesuffix("]")


def is_amount(described: str) -> bool:
    """Whether an input is nought for a layer that is not there: a mass, a thickness, a volume."""
    return unit_of(described) in {"m", "kg/m²"}


def arguments(made_by: Formula, shape: tuple[int, ...], seed: int) -> dict[str, Array]:
    """Positive random arrays of one shape for every argument of a formula."""
    rng = np.random.default_rng([seed, *made_by.name.encode()])
    return {
        name: rng.uniform(*(_BY_NAME.get(name) or _BY_UNIT[unit_of(described)]), size=shape)
        for name, described in made_by.inputs.items()
    }
