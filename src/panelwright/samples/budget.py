"""What each reading contributes to how sure a finding is: first derivatives, then draws.

JCGM 100 by first derivatives, taken as central differences of the model itself; JCGM 101 beside
it by draws of the same inputs, which sees what bends within their spread.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from panelwright.mechanics.arrays import Array
from panelwright.mechanics.uncertainty import combined_uncertainty, variance_shares
from panelwright.panels.spread import stream

#: A result of its inputs by name, each of shape ``(n,)``.
Model = Callable[[Mapping[str, Array]], Array]

#: Half of the step of a derivative, in standard uncertainties: short enough to be straight.
STEP = 1e-2
DRAWS = 1024
#: More standard uncertainties from zero than this, and something is there (k = 2, about 95 %).
TOLD = 2.0


@dataclass(frozen=True)
class Known:
    """An input of a finding with its standard uncertainty, SI; ``source``: a reading or a row."""

    name: str
    value: float
    u: float = 0.0
    source: str = ""


@dataclass(frozen=True)
class Contribution:
    """Share of the variance of a finding that one input brings."""

    name: str
    share: float
    source: str = ""


@dataclass(frozen=True)
class Budget:
    """A value, its standard uncertainty by derivatives and by draws, and who contributes."""

    value: float
    u: float
    u_drawn: float
    contributions: tuple[Contribution, ...]

    @property
    def is_told(self) -> bool:
        """Whether it can be told from zero."""
        return abs(self.value) > TOLD * self.u


def budget(model: Model, inputs: Sequence[Known]) -> Budget:
    """The finding of a model with its uncertainty budget; inputs independent.

    model : elementwise on arrays ``(n,)``. Contributions come the largest first.
    """
    names = [known.name for known in inputs]
    middle = np.array([known.value for known in inputs])
    u = np.array([known.u for known in inputs])
    moved = np.concatenate([[0 * u], np.diag(STEP * u), np.diag(-STEP * u)]) + middle
    results = _over(model, names, moved)
    count = len(inputs)
    steps = np.where(u > 0.0, 2.0 * STEP * u, 1.0)
    sensitivities = (results[1 : count + 1] - results[count + 1 :]) / steps
    shares = variance_shares(sensitivities, u)
    found = [Contribution(k.name, float(s), k.source) for k, s in zip(inputs, shares, strict=True)]
    return Budget(
        float(results[0]),
        float(combined_uncertainty(sensitivities, u)),
        _drawn(model, names, middle, u),
        tuple(sorted((one for one in found if one.share > 0.0), key=lambda one: -one.share)),
    )


def _over(model: Model, names: Sequence[str], rows: Array) -> Array:
    columns = dict(zip(names, rows.T, strict=True))
    return np.broadcast_to(model(columns), rows.shape[:1])


def _drawn(model: Model, names: Sequence[str], middle: Array, u: Array) -> float:
    streams = np.stack([stream(f"reading: {name}", DRAWS) for name in names], axis=-1)
    return float(np.std(_over(model, names, middle + u * streams)))
