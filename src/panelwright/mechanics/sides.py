"""Polynomials along a side, whole or cut into parts: what the sums of a plate are made of.

Two straight functions in each part carry the values at its ends; integrals of Legendre polynomials,
which vanish at both ends, bulge between them (szabo-babuska-1991, chapter 2). A side is cut where a
load begins or ends: smooth polynomials do not follow a patch, those of three parts do.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np
import numpy.typing as npt
from numpy.polynomial import legendre

from panelwright.errors import FormulaError, Problem
from panelwright.mechanics.arrays import Array, ArrayLike, array

#: What is shorter than this share of a side is no part of it: a patch is a line, two cuts are one.
LEAST_PART = 1e-6
#: Highest power of a side in so many parts, the last for more; and of parts below a quarter.
ORDERS = (12, 7, 6, 5, 4)
SHORT, ORDER_OF_SHORT = 0.25, 5
#: Places to judge along a whole side and along a part, and how near to the end of a part.
PLACES, PLACES_OF_PART, SEAM = 21, 9, (1e-9, 1.0 - 1e-9)


@dataclass(frozen=True)
class Side:
    """One side: where it is cut into parts, and the highest power in each part.

    The functions: values at x = 0 and at the end, at the cuts, then what bulges in each part, by
    rising power.
    """

    cuts: tuple[float, ...]  # from 0 to the length, m
    orders: tuple[int, ...]  # of the parts

    @property
    def length(self) -> float:
        """Length of the side, m."""
        return self.cuts[-1]

    @cached_property
    def functions(self) -> npt.NDArray[np.intp]:
        """Which functions live in each part, by power, ``(parts, highest + 1)``.

        The two straight ones come first. A part of lower order has the number of functions there,
        one beyond the last.
        """
        parts, most = len(self.orders), max(self.orders)
        ends = np.array([0, *range(2, parts + 1), 1])
        made = np.full((parts, most + 1), self.size)
        made[:, 0], made[:, 1] = ends[:-1], ends[1:]
        first = parts + 1
        for part, order in enumerate(self.orders):
            made[part, 2 : order + 1] = np.arange(first, first + order - 1)
            first += order - 1
        return made

    @property
    def size(self) -> int:
        """Number of functions."""
        return sum(self.orders) + 1

    @cached_property
    def below(self) -> npt.NDArray[np.intp]:
        """How many steps each function is below the finest of its part, ``(size,)``.

        A step is one power; two on a whole side, where an even load asks for even powers only.
        What carries the ends of a part is below all.
        """
        made = np.full(self.size + 1, max(self.orders))
        power = 1 if len(self.orders) > 1 else 2
        for part, order in enumerate(self.orders):
            powers = np.arange(2, order + 1)
            made[self.functions[part, 2 : order + 1]] = (order - powers) // power
        return made[:-1]


def side(length: float, cuts: Sequence[float] = (), orders: Sequence[int] = ()) -> Side:
    """A side of a length [m], cut where a load begins or ends.

    cuts : m; those at an end or on each other count once. orders : highest power of each part,
    where it is not that of ``ORDERS``. Raises FormulaError for a length that is none, and cuts
    or orders that cannot be.
    """
    if not 0.0 < length < np.inf:
        raise FormulaError(Problem("a plate needs two sides", f"{length:g} m", "above 0 m"))
    ends = [0.0, length]
    for cut in cuts:
        if not 0.0 <= cut <= length:
            allowed = f"0 to {length:g} m"
            raise FormulaError(Problem("this place is not on the plate", f"{cut:g} m", allowed))
        if min(abs(cut - end) for end in ends) > LEAST_PART * length:
            ends.append(float(cut))
    ends.sort()
    usual = ORDERS[min(len(ends) - 2, len(ORDERS) - 1)]
    shares = np.diff(ends) / length
    found = tuple(orders) or tuple(
        min(usual, ORDER_OF_SHORT) if share < SHORT else usual for share in shares.tolist()
    )
    if len(found) != shares.size or min(found) < 2 or max(found) > 24:
        wanted = f"{shares.size} from 2 to 24"
        raise FormulaError(Problem("a side has one order for each part", f"{found}", wanted))
    return Side(tuple(ends), found)


def _kept(values: Array) -> Array:
    """Values that are shared by all who ask again: nobody may change them."""
    values.flags.writeable = False
    return values


@lru_cache(maxsize=32)
def _series(order: int) -> Array:
    """Legendre coefficients of functions, slopes and bends, ``(order + 1, 3, order + 1)``."""
    made = np.zeros((3, order + 1, order + 1))
    made[0, 0, :2], made[0, 1, :2] = (0.5, -0.5), (0.5, 0.5)
    for k in range(2, order + 1):
        made[0, k, k], made[0, k, k - 2] = np.array([1.0, -1.0]) / np.sqrt(2.0 * (2.0 * k - 1.0))
    for derivative in (1, 2):
        made[derivative, :, :-1] = legendre.legder(made[derivative - 1], axis=1)
    return np.moveaxis(made, 2, 0)


@lru_cache(maxsize=64)
def _gauss(points: int) -> tuple[Array, Array]:
    """Places from -1 to 1 and weights of Gauss, ``(points,)`` each."""
    places, weights = legendre.leggauss(points)
    return array(places), array(weights)


@lru_cache(maxsize=64)
def quadrature(of: Side, more: int = 0) -> tuple[Array, Array]:
    """Places along a side, m, and weights: exact for products of two functions, ``(n,)`` each.

    more : further points in each part, for loads that are no polynomials.
    """
    ends = np.array(of.cuts)
    middle, half = (ends[1:] + ends[:-1]) / 2.0, (ends[1:] - ends[:-1]) / 2.0
    points, weights = _gauss(max(of.orders) + 1 + more)
    at = (middle[:, None] + half[:, None] * points).reshape(-1)
    return _kept(at), _kept((half[:, None] * weights).reshape(-1))


def shapes(of: Side, places: ArrayLike) -> Array:
    """The functions, their slopes and their bends at places along a side.

    places : ``(n,)``, m; slopes at a cut are those of the part before it. Gives
    ``(3, n, size)``, shared by all who ask for the same places.
    """
    return _shapes(of, array(places).tobytes())


@lru_cache(maxsize=128)
def _shapes(of: Side, places: bytes) -> Array:
    x, ends = np.frombuffer(places), np.array(of.cuts)
    if np.any((x < -1e-9 * of.length) | (x > (1.0 + 1e-9) * of.length)):
        given = f"{np.min(x):g} to {np.max(x):g} m"
        raise FormulaError(
            Problem("this place is not on the plate", given, f"0 to {of.length:g} m")
        )
    part = np.clip(np.searchsorted(ends, x) - 1, 0, len(of.orders) - 1)
    half = (ends[1:] - ends[:-1])[part] / 2.0
    order = max(of.orders)
    at = legendre.legvander((x - ends[part]) / half - 1.0, order)
    local = np.tensordot(at, _series(order), axes=1) / half[:, None, None] ** np.arange(3)[:, None]
    made = np.zeros((3, x.size, of.size + 1))
    made[:, np.arange(x.size)[:, None], of.functions[part]] = np.moveaxis(local, 1, 0)
    return _kept(array(np.ascontiguousarray(made[:, :, :-1])))


@lru_cache(maxsize=64)
def products(of: Side) -> Array:
    """Integrals over a side of products of functions (0) and slopes (1), ``(2, 2, size, size)``."""
    places, weights = quadrature(of)
    at = shapes(of, places)[:2]
    return _kept(array(np.einsum("ipk,jpl->ijkl", at * weights[:, None], at, optimize=True)))


@lru_cache(maxsize=64)
def products_of_parts(of: Side) -> Array:
    """As :func:`products`, over each part by itself, of the functions that live in it.

    Gives ``(parts, 2, 2, n, n)``, n as in ``Side.functions``; nought for what a part has not.
    """
    places, weights = quadrature(of)
    at = np.zeros((2, places.size, of.size + 1))
    at[:, :, :-1] = shapes(of, places)[:2]
    made = []
    for part, functions in enumerate(of.functions):
        inside = slice(*(np.array([part, part + 1]) * (places.size // len(of.orders))))
        own, weight = at[:, inside][:, :, functions], weights[inside, None]
        made.append(np.einsum("ipk,jpl->ijkl", own * weight, own, optimize=True))
    return _kept(array(np.array(made)))


def integrals(of: Side, start: float, end: float, power: int = 0) -> Array:
    """Integrals of the functions times (x/length)^power from start to end [m], ``(size,)``."""
    inner = [cut for cut in of.cuts if start < cut < end]
    ends = np.array([start, *inner, end])
    points, weights = _gauss(max(of.orders) // 2 + 2)
    half = (ends[1:] - ends[:-1])[:, None] / 2.0
    x = (ends[:-1, None] + half * (points + 1.0)).reshape(-1)
    return array(((half * weights).reshape(-1) * (x / of.length) ** power) @ shapes(of, x)[0])


def means(of: Side, start: float, end: float) -> Array:
    """Mean of the functions from start to end; their value where the two are one."""
    if end - start > LEAST_PART * of.length:
        return integrals(of, start, end) / (end - start)
    return array(shapes(of, [(start + end) / 2.0])[0, 0])


@lru_cache(maxsize=64)
def places(of: Side) -> Array:
    """Places along a side at which a plate is judged: both ends and the inside of every part.

    Slopes jump at a cut: each part is looked at by itself, its ends from within. Gives ``(n,)``, m.
    """
    ends = np.array(of.cuts)
    shares = np.clip(
        np.linspace(0.0, 1.0, PLACES if len(of.orders) == 1 else PLACES_OF_PART), *SEAM
    )
    found = array((ends[:-1, None] + np.diff(ends)[:, None] * shares).reshape(-1))
    found[0], found[-1] = ends[0], ends[-1]
    return _kept(found)
