"""House values: what the shop's own pieces say of the catalogue's coefficients.

A shop's value differs from the trade's, and each build differs from the shop's usual. So:

- the shop's mean μ is normal about the catalogue's middle;
- a build's value is normal about μ with a scatter σ from build to build, which is not known;
- a finding of a build is normal about its value with the uncertainty of its budget.

Of the variance behind the catalogue's range, :data:`BETWEEN_BUILDS` is taken as scatter from build
to build and the rest as differences between shops (common practice, no source). σ² is
inverse gamma about that share with :data:`WEIGHT` builds' worth of belief, and is summed over a
grid; for each σ the mean follows in closed form (gelman-2013, sections 2.5 and 5.4, from memory).
What is handed on is the range of the *next build*: uncertainty of μ and scatter together.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from panelwright.mechanics.arrays import Array
from panelwright.mechanics.uncertainty import updated_mean, updated_uncertainty
from panelwright.provenance import Input

BETWEEN_BUILDS = 0.25
WEIGHT = 4.0
#: Scatter from build to build that is tried, as multiples of the usual one.
_GRID = np.geomspace(0.2, 5.0, 61)
#: Fewer plates than this, and the word is that they are too few.
ENOUGH = 3
OFF, ON, RESET, LEARNT = "off", "on", "reset", "learnt"


@dataclass(frozen=True)
class Told:
    """What one plate told of a value: coupons of one plate are one."""

    value: float
    u: float
    pieces: tuple[str, ...] = ()


@dataclass(frozen=True)
class HouseValue:
    """A value learnt, SI: for the next build, with its 90 % range; the catalogue's beside it.

    ``mean``, ``mean_u`` : of the shop; ``scatter`` : from build to build; ``told`` : plates behind
    it.
    """

    key: str
    name: str
    value: float
    low: float
    high: float
    mean: float
    mean_u: float
    scatter: float
    told: tuple[Told, ...]
    book: Input
    used: bool = True

    @property
    def pieces(self) -> int:
        """How many pieces stand behind it."""
        return sum(max(len(one.pieces), 1) for one in self.told)

    @property
    def are_few(self) -> bool:
        """Whether the catalogue still says most of it."""
        return len(self.told) < ENOUGH

    @property
    def words(self) -> str:
        """How much stands behind it."""
        plates = len(self.told)
        said = f"{plates} plate{'' if plates == 1 else 's'}"
        if self.pieces > plates:
            said += f" ({self.pieces} pieces; coupons of one plate are one)"
        return f"{said}: too few to rest on, the book says most of it" if self.are_few else said


def learn(key: str, name: str, book: Input, told: Sequence[Told], used: bool = True) -> HouseValue:
    """The house value that some plates come to, from the catalogue's value and range.

    book : of the catalogue, before; told : one for each plate.
    """
    variance = (0.5 * (book.sd_below + book.sd_above)) ** 2
    scatters = np.sqrt(BETWEEN_BUILDS * variance) * _GRID
    shop = np.sqrt((1.0 - BETWEEN_BUILDS) * variance)
    found = np.array([one.value for one in told])
    own = np.array([one.u for one in told])
    each = np.hypot(own[None, :], scatters[:, None])
    means = updated_mean(np.full((len(scatters), 1), book.value), shop, found, each)
    sure = updated_uncertainty(np.full((len(scatters), 1), shop), each)
    weights = _weights(found - book.value, each, shop, variance * BETWEEN_BUILDS, scatters)
    next_build = np.hypot(sure, scatters)
    low, middle, high = _quantiles(means, next_build, weights)
    if book.low >= 0.0:
        low, middle, high = (max(value, 0.0) for value in (low, middle, high))
    mean = float(weights @ means)
    mean_u = float(np.sqrt(weights @ (sure**2 + (means - mean) ** 2)))
    return HouseValue(
        key,
        name,
        middle,
        low,
        high,
        mean,
        mean_u,
        float(weights @ scatters),
        tuple(told),
        book,
        used,
    )


def _weights(gaps: Array, each: Array, shop: Array, usual: float, scatters: Array) -> Array:
    """How likely each scatter is: its belief before times how likely it makes what was found."""
    half = 0.5 * WEIGHT
    belief = -(half + 0.5) * 2.0 * np.log(scatters) - half * usual / scatters**2
    belief += np.log(scatters)  # the grid is even in the logarithm
    inverse = 1.0 / each**2
    # of a normal with a common part: determinant and inverse of diag + shop² by the known update
    common = 1.0 / shop**2 + inverse.sum(axis=1)
    fit = (gaps**2 * inverse).sum(axis=1) - (gaps * inverse).sum(axis=1) ** 2 / common
    size = np.log(each**2).sum(axis=1) + np.log(common * shop**2)
    log = belief - 0.5 * (fit + size)
    weights = np.exp(log - log.max())
    return np.asarray(weights / weights.sum())


def _quantiles(means: Array, sds: Array, weights: Array) -> tuple[float, float, float]:
    """5, 50 and 95 % points of a mixture of normals, by halving."""
    from scipy.special import ndtr  # slow to come, and a prediction needs no quantiles

    wanted = np.array([0.05, 0.5, 0.95])
    low = np.full(3, np.min(means - 8.0 * sds))
    high = np.full(3, np.max(means + 8.0 * sds))
    for _ in range(60):
        middle = 0.5 * (low + high)
        below = ndtr((middle[:, None] - means) / sds) @ weights < wanted
        low, high = np.where(below, middle, low), np.where(below, high, middle)
    return float(low[0]), float(low[1]), float(low[2])


def plates(lessons: Sequence[tuple[str, str, float, float]]) -> tuple[Told, ...]:
    """Lessons as plates: ``(plate, piece, value, u)`` each; pieces of one plate come together.

    Their mean, with the uncertainty of one: caliper, cloth and build are the same for all.
    """
    families: dict[str, list[tuple[str, float, float]]] = {}
    for plate, piece, value, u in lessons:
        families.setdefault(plate, []).append((piece, value, u))
    found = []
    for of in families.values():
        values = np.array([value for _, value, _ in of])
        doubts = np.array([doubt for *_, doubt in of])
        pieces = tuple(piece for piece, _, _ in of)
        found.append(Told(float(values.mean()), float(np.sqrt(np.mean(doubts**2))), pieces))
    return tuple(found)
