"""Bending of a rectangular plate held at its edges, by the method of Ritz.

The plate is shear-flexible (first-order theory) and of any lay-up: the full A, B, D and transverse
shear stiffness. Five fields - u, v in the plane, w across it, and the turns φx, φy of its normals -
are sums of products of a polynomial of x and one of y (module ``sides``); what an edge holds is
left out of the sum.

Axes and signs: x along the side a, y along the side b, z as in the section; loads and deflection
are positive along +z. Strain at a height z is e + z k with k = (φx,x; φy,y; φx,y + φy,x); the shear
strains are w,x + φx and w,y + φy (reddy-2004, chapter 3). So a moment is positive where it
stretches what lies at +z.

The unknowns stand with those of the highest powers last: the matrix of a coarser sum is then the
upper left corner of the finer one, and one factorisation solves both. The last change on refinement
costs next to nothing. Where an edge's hold is not known, the caller solves both ways.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Protocol

import numpy as np
import numpy.typing as npt
from scipy.linalg import LinAlgError, cho_factor, cho_solve

from panelwright.errors import FormulaError, Problem
from panelwright.mechanics.arrays import Array, ArrayLike, array
from panelwright.mechanics.sides import Side, integrals, means, products, shapes

#: Places of the fields among the unknowns.
U, V, W, TURN_X, TURN_Y = range(5)
FIELDS = 5

#: Generalised strains and the derivatives of fields that make them: (strain, field, in x, in y).
#: Strains: εx, εy, γxy, κx, κy, κxy, then shear xz and yz.
_STRAINS = (
    (0, U, 1, 0),
    (1, V, 0, 1),
    (2, U, 0, 1),
    (2, V, 1, 0),
    (3, TURN_X, 1, 0),
    (4, TURN_Y, 0, 1),
    (5, TURN_X, 0, 1),
    (5, TURN_Y, 1, 0),
    (6, W, 1, 0),
    (6, TURN_X, 0, 0),
    (7, W, 0, 1),
    (7, TURN_Y, 0, 0),
)
STRAINS = 8
#: The same as noughts and ones, ``(strain, field, in x, in y)``.
_MAKES = np.zeros((STRAINS, FIELDS, 2, 2))
_MAKES[tuple(np.array(_STRAINS).T)] = 1.0


class Edge(StrEnum):
    """How an edge is held."""

    SUPPORTED = "simply supported"
    CLAMPED = "clamped"
    FREE = "free"


#: What is held by an edge at an end of x, by its kind; at an end of y, u and v, φx and φy change
#: places. A supported edge lies on a stiff, straight bearer: the plate may draw in square to it,
#: but not slide along it, nor its normals turn along it. A clamped edge is held in the plane too.
#: Where two clamped edges face each other this changes little, even for a panel that couples:
#: the curvatures between them add up to nothing, and so does the pull they make.
_HELD_AT_X = {
    Edge.SUPPORTED: (V, W, TURN_Y),
    Edge.CLAMPED: (U, V, W, TURN_X, TURN_Y),
    Edge.FREE: (),
}
_ACROSS = {U: V, V: U, W: W, TURN_X: TURN_Y, TURN_Y: TURN_X}

#: More than these take seconds and gigabytes.
MOST_UNKNOWNS = 4000

#: x = 0, x = a, y = 0, y = b.
Edges = tuple[Edge, Edge, Edge, Edge]


# --- The plate ------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Plate:
    """A rectangular plate: its sides, its edges, and the unknowns of the sum.

    ``first`` : the first field of the sum, ``W`` where nothing moves in the plane. ``free`` :
    places of the unknowns that nothing holds among (field, function of x, of y), those of the
    highest powers last. ``left`` : how many are left in the sum itself, in one a step coarser,
    and so on.
    """

    x: Side
    y: Side
    edges: Edges
    first: int
    free: npt.NDArray[np.intp]
    left: tuple[int, ...]

    @property
    def unknowns(self) -> int:
        """Number of unknowns."""
        return self.left[0]

    @property
    def shape(self) -> tuple[int, int, int]:
        """Fields, functions of x, functions of y."""
        return FIELDS - self.first, self.x.size, self.y.size


def plate(x: Side, y: Side, edges: Edges, coupled: bool = True) -> Plate:
    """A plate of two sides, held at x = 0, x = a, y = 0, y = b.

    coupled : whether bending stretches it (B is not nil); where it does not, the fields in the
    plane are left out. Raises FormulaError where the plate can move without bending, and where so
    many cuts would ask for more than ``MOST_UNKNOWNS``.
    """
    _refuse_mechanism(edges)
    loose = np.ones((FIELDS, x.size, y.size), dtype=bool)
    for end in (0, 1):
        for field in _HELD_AT_X[edges[end]]:
            loose[field, end, :] = False
        for field in _HELD_AT_X[edges[2 + end]]:
            loose[_ACROSS[field], :, end] = False
    for field, at_x, at_y in _pins(edges):
        loose[field, at_x, at_y] = False
    first = U if coupled else W
    loose = loose[first:]
    below = np.broadcast_to(np.minimum.outer(x.below, y.below), loose.shape)[loose]
    if below.size > MOST_UNKNOWNS:
        raise FormulaError(
            Problem(
                "so many loads at once ask for too fine a sum",
                f"{below.size} unknowns",
                f"up to {MOST_UNKNOWNS}",
                "solve for each load by itself: the answers add up",
            )
        )
    free = np.flatnonzero(loose)[np.argsort(-below, kind="stable")]
    left = tuple(int(np.sum(below >= steps)) for steps in range(max(*x.orders, *y.orders)))
    return Plate(x, y, edges, first, free, left)


def _refuse_mechanism(edges: Edges) -> None:
    """FormulaError where w may be a tilt of the whole plate: α + β x + γ y, on a unit square."""
    rows = []
    for end in (0, 1):
        rows += [[1.0, end, 0.0], [0.0, 0.0, 1.0]] if edges[end] is not Edge.FREE else []
        rows += [[1.0, 0.0, end], [0.0, 1.0, 0.0]] if edges[2 + end] is not Edge.FREE else []
    if Edge.CLAMPED in edges or (rows and np.linalg.matrix_rank(np.array(rows)) == 3):
        return
    raise FormulaError(
        Problem(
            "a plate held like this falls or turns about its edge",
            ", ".join(edges),
            "one clamped edge, or two that are simply supported",
            "say what else holds it",
        )
    )


def _pins(edges: Edges) -> list[tuple[int, int, int]]:
    """Values at corners pinned in the plane so that the plate cannot slide or spin there.

    Only as many as the edges leave loose: loads across the plate put no force on them.
    """
    if Edge.CLAMPED in edges:
        return []
    rows: list[list[float]] = []  # of (shift in x, shift in y, turn) on a unit square
    for end in (0, 1):
        rows += [[0.0, 1.0, end]] if edges[end] is not Edge.FREE else []
        rows += [[1.0, 0.0, -end]] if edges[2 + end] is not Edge.FREE else []
    pins = []
    for pin, row in (
        ((U, 0, 0), [1.0, 0.0, 0.0]),
        ((V, 0, 0), [0.0, 1.0, 0.0]),
        ((V, 1, 0), [0.0, 1.0, 1.0]),
        ((U, 0, 1), [1.0, 0.0, -1.0]),
    ):
        if np.linalg.matrix_rank(np.array([*rows, row])) > np.linalg.matrix_rank(np.array(rows)):
            rows.append(row)
            pins.append(pin)
    return pins


# --- Stiffness ------------------------------------------------------------------------------------


def section_matrix(whole: ArrayLike, shear: ArrayLike) -> Array:
    """The 8 x 8 matrix of a section: forces, moments and shear forces from their strains.

    whole : A, B, D as of ``laminate.whole_stiffness``, ``(..., 6, 6)``; shear : for (xz, yz),
    ``(..., 2, 2)``, N/m. Gives ``(..., 8, 8)``.
    """
    bent, sheared = array(whole), array(shear)
    lead = np.broadcast_shapes(bent.shape[:-2], sheared.shape[:-2])
    made = np.zeros((*lead, STRAINS, STRAINS))
    made[..., :6, :6], made[..., 6:, 6:] = bent, sheared
    return made


def energy_weights(of: Plate, section: ArrayLike) -> Array:
    """What products of functions count for in the energy, ``(4, fields · fields, 4)``.

    section : ``(8, 8)``. In x, then both fields, then in y; of the four in a direction: function
    and other, function and slope, slope and function, both slopes.
    """
    makes = _MAKES[:, of.first :]
    strained = np.tensordot(np.tensordot(makes, array(section), axes=(0, 0)), makes, axes=(3, 0))
    # from (field, in x, in y, other, in x, in y): derivatives in x, both fields, derivatives in y
    return array(strained.transpose(1, 4, 0, 3, 2, 5).reshape(4, len(makes[0]) ** 2, 4))


def stiffness(of: Plate, section: ArrayLike) -> Array:
    """Matrix of the elastic energy over the unknowns, ``(unknowns, unknowns)``.

    section : of :func:`section_matrix`, ``(8, 8)``. Linear in its entries.
    """
    fields, nx, ny = of.shape
    weights = energy_weights(of, section)
    along, across = products(of.x).reshape(4, nx * nx), products(of.y).reshape(4, ny * ny)
    full = np.tensordot(along, np.matmul(weights, across), axes=(0, 0))
    # full is (x, x of the other, field, other, y, y of the other): where its entries lie in it
    row = np.arange(nx)[:, None] * (nx * (fields * ny) ** 2) + np.arange(ny) * ny
    column = np.arange(nx)[:, None] * (fields * ny) ** 2 + np.arange(ny)
    of_field = (np.arange(fields) * (ny * ny))[:, None, None]
    rows = (row + of_field * fields).reshape(-1)[of.free]
    columns = (column + of_field).reshape(-1)[of.free]
    return array(full.reshape(-1)[rows[:, None] + columns])


# --- Loads ----------------------------------------------------------------------------------------


def load_of_products(of: Plate, along: ArrayLike, across: ArrayLike) -> Array:
    """Load on the unknowns of a pressure f(x) g(y).

    along : integrals of f times each function of x, ``(order + 1,)``; across : of g likewise.
    Gives ``(unknowns,)``.
    """
    made = np.zeros(of.shape)
    made[W - of.first] = np.multiply.outer(array(along), array(across))
    return array(made.reshape(-1)[of.free])


def pressure(of: Plate, at_start: float, rise_x: float = 0.0, rise_y: float = 0.0) -> Array:
    """Load of a pressure that is even, or rises evenly over the plate (a head of water).

    at_start : at the corner x = y = 0, Pa; rise_x, rise_y : over the sides a and b, Pa.
    Gives ``(unknowns,)``.
    """
    x0, x1 = (integrals(of.x, 0.0, of.x.length, power) for power in (0, 1))
    y0, y1 = (integrals(of.y, 0.0, of.y.length, power) for power in (0, 1))
    even = load_of_products(of, at_start * x0 + rise_x * x1, y0)
    return even + load_of_products(of, rise_y * x0, y1)


def patch(of: Plate, force: float, x: tuple[float, float], y: tuple[float, float]) -> Array:
    """Load of a force spread evenly over a rectangle.

    force : N; x, y : from, to, m; a side of no length makes a line, two make a point.
    Gives ``(unknowns,)``. Raises FormulaError for a patch that is not on the plate.
    """
    for (start, end), along, name in ((x, of.x, "a"), (y, of.y, "b")):
        if not 0.0 <= start <= end <= along.length:
            raise FormulaError(
                Problem(
                    f"a patch lies beyond the side {name} of its plate",
                    f"from {start:g} to {end:g} m",
                    f"within 0 to {along.length:g} m, the lesser end first",
                )
            )
    return load_of_products(of, force * means(of.x, *x), means(of.y, *y))


# --- Solution -------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Factor:
    """A stiffness matrix, scaled to unit diagonal and factored (Cholesky, lower)."""

    scale: Array  # (unknowns,)
    lower: Array  # (unknowns, unknowns)

    def solve(self, of: Plate, loads: Array, coarser: int = 0) -> Array:
        """Unknowns under loads, as :func:`solve`."""
        many = of.left[coarser]
        scale = self.scale[:many].reshape(-1, *[1] * (loads.ndim - 1))
        found = np.zeros(loads.shape)
        found[:many] = scale * cho_solve(
            (self.lower[:many, :many], True), scale * loads[:many], check_finite=False
        )
        return found


class Solver(Protocol):
    """A factor of either kind: of the whole matrix, or cell by cell."""

    def solve(self, of: Plate, loads: Array, coarser: int = 0) -> Array:
        """Unknowns under loads."""


def factor(matrix: Array) -> Factor:
    """Factor of a matrix of :func:`stiffness`. Raises FormulaError where the plate is limp."""
    own = np.diag(matrix)
    if not np.all(own > 0.0):
        raise limp()
    scale = 1.0 / np.sqrt(own)
    try:
        lower, _ = cho_factor(matrix * scale[:, None] * scale, lower=True, overwrite_a=True)
    except (LinAlgError, ValueError):
        raise limp() from None
    return Factor(scale, lower)


def limp() -> FormulaError:
    """What is said of a plate whose matrix has no factor."""
    return FormulaError(
        Problem(
            "a plate without stiffness in some direction has no deflection to tell",
            "A, B, D or the transverse shear stiffness nil, or no numbers",
            hint="give every layer its moduli",
        )
    )


def solve(of: Plate, by: Solver, loads: Array, coarser: int = 0) -> Array:
    """Unknowns under loads.

    by : of :func:`factor` or of ``plate_cells.factor_by_cells``; loads : ``(unknowns,)`` or
    ``(unknowns, n)``; coarser : 1 for the sum without the highest power of each part (of a whole
    side: the two highest). Gives the shape of the loads.
    """
    return by.solve(of, loads, coarser)


# --- Fields ---------------------------------------------------------------------------------------


def _whole(of: Plate, unknowns: Array) -> Array:
    """Sums with what is held put back as noughts, ``(sums, fields, functions, functions)``."""
    full = np.zeros((unknowns[0].size, FIELDS * of.x.size * of.y.size))
    start = of.first * of.x.size * of.y.size
    full[:, of.free + start] = unknowns.reshape(len(unknowns), -1).T
    return array(full.reshape(-1, FIELDS, of.x.size, of.y.size))


def _at(full: Array, x: Array, y: Array) -> Array:
    """A field at crossings: full ``(m, n, n)``, x ``(nx, n)``, y ``(ny, n)``."""
    return array(np.matmul(np.matmul(x, full), y.T))


def deflection_at(of: Plate, unknowns: Array, x: ArrayLike, y: ArrayLike) -> Array:
    """Deflection along +z at the crossings of places x and y.

    unknowns : ``(unknowns, ...)``; x, y : ``(nx,)``, ``(ny,)``, m. Gives ``(..., nx, ny)``, m.
    """
    at_x, at_y = shapes(of.x, x)[0], shapes(of.y, y)[0]
    found = _at(_whole(of, unknowns)[:, W], at_x, at_y)
    return found.reshape(*unknowns.shape[1:], *found.shape[1:])


def strains_at(
    of: Plate, unknowns: Array, x: ArrayLike, y: ArrayLike, slope: tuple[int, int] = (0, 0)
) -> Array:
    """Strains of the mid-plane, curvatures and shear strains at the crossings of places x and y.

    Arguments as of :func:`deflection_at`. slope : (1, 0) or (0, 1) for their slopes along x or y.
    Gives ``(..., nx, ny, 8)``.
    """
    full = _whole(of, unknowns)
    at_x, at_y = shapes(of.x, x), shapes(of.y, y)
    made = np.zeros((STRAINS, len(full), at_x.shape[1], at_y.shape[1]))
    for strain, field, dx, dy in _STRAINS:
        made[strain] += _at(full[:, field], at_x[dx + slope[0]], at_y[dy + slope[1]])
    return np.moveaxis(made, 0, -1).reshape(*unknowns.shape[1:], *made.shape[2:], STRAINS)


def load_of_forces(of: Plate, forces: Array, x: Array, y: Array) -> Array:
    """Load on the unknowns of forces, moments and shear forces that a plate holds inside.

    forces : ``(m, nx, ny, 8)`` at the crossings of places x and y, times the weights of those
    places. With the forces of an answer itself it gives back the load. Gives ``(unknowns, m)``.
    """
    at_x, at_y = shapes(of.x, x), shapes(of.y, y)
    made = np.zeros((len(forces), FIELDS, of.x.size, of.y.size))
    for strain, field, dx, dy in _STRAINS:
        made[:, field] += _at(forces[..., strain], at_x[dx].T, at_y[dy].T)
    return array(made[:, of.first :].reshape(len(forces), -1)[:, of.free].T)
