"""The factor of a plate cell by cell: what lies within a cell is eliminated there.

Where two cut sides cross, the plate falls into cells. A bulge within a cell touches no other cell,
so that it is solved for by what stands on the lines between the cells (static condensation;
szabo-babuska-1991, chapter 3): many small matrices and a middling one in place of a large one. The
answer is that of :func:`panelwright.mechanics.plate.factor` of the whole matrix.

Unknowns of a coarser sum come first in a cell and on the lines too, so that its factors are corners
of these; only the matrix of the lines is factored anew.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache

import numpy as np
import numpy.typing as npt
from scipy.linalg import LinAlgError, cho_factor, cho_solve, solve_triangular

from panelwright.mechanics.arrays import Array, ArrayLike, array
from panelwright.mechanics.plate import (
    Edges,
    Plate,
    Solver,
    energy_weights,
    factor,
    limp,
    plate,
    stiffness,
)
from panelwright.mechanics.sides import Side, products_of_parts

Places = npt.NDArray[np.intp]


@dataclass(frozen=True)
class Cell:
    """Where the unknowns of a cell stand: within it, and on the lines around it.

    ``rows`` and ``columns`` add up to the places of entries in the matrix of all cells.
    """

    within: Places  # among the unknowns, those of a coarser sum first
    around: Places
    on_lines: Places  # those around, among the unknowns of the lines
    rows: tuple[Places, Places]  # of those within, of those around
    columns: tuple[Places, Places]


@dataclass(frozen=True)
class Layout:
    """The cells of a plate, and its unknowns on the lines between them."""

    cells: tuple[Cell, ...]
    lines: Places


@lru_cache(maxsize=16)
def _layout(x: Side, y: Side, edges: Edges, coupled: bool) -> Layout:
    of = plate(x, y, edges, coupled)
    fields, nx, ny = of.shape
    place = np.full((fields, nx + 1, ny + 1), -1)  # where held, or a part of lower power has none
    numbers = np.full(fields * nx * ny, -1)
    numbers[of.free] = np.arange(of.unknowns)
    place[:, :nx, :ny] = numbers.reshape(of.shape)
    high_x, high_y = x.functions.shape[1], y.functions.shape[1]
    f, a, b = np.indices((fields, high_x, high_y)).reshape(3, -1)
    # the matrix of all cells is (part of x, x, x of the other, part of y, field, other, y, y)
    deep = (x.functions.shape[0], high_x, high_x, y.functions.shape[0], fields, fields)
    whole = (*deep, high_y, high_y)
    nought = np.zeros_like(f)
    inner = (a > 1) & (b > 1)
    parts, on_lines = [], np.zeros(of.unknowns, dtype=bool)
    for i, j in np.ndindex(len(x.orders), len(y.orders)):
        found = place[f, x.functions[i][a], y.functions[j][b]]
        each = []
        for kind in (inner, ~inner):
            chosen = np.flatnonzero(kind & (found >= 0))
            each.append(chosen[np.argsort(found[chosen])])
        row = np.ravel_multi_index((i + nought, a, nought, j + nought, f, nought, b, nought), whole)
        column = np.ravel_multi_index((nought, nought, a, nought, nought, f, nought, b), whole)
        on_lines[found[each[1]]] = True
        parts.append((found, each, row, column))
    lines = np.flatnonzero(on_lines)
    cells = tuple(
        Cell(
            found[within],
            found[around],
            np.searchsorted(lines, found[around]),
            (row[within], row[around]),
            (column[within], column[around]),
        )
        for found, (within, around), row, column in parts
    )
    return Layout(cells, lines)


@dataclass(frozen=True)
class FactorByCells:
    """The factor of a plate, cell by cell; :func:`panelwright.mechanics.plate.solve` takes it."""

    layout: Layout
    scale: Array  # (unknowns,), to a diagonal of ones
    lower: tuple[Array, ...]  # of each cell: factor of what lies within
    reach: tuple[Array, ...]  # of each cell: lower⁻¹ times what ties it to the lines
    lines: Array  # matrix of the lines, nothing eliminated
    _solved: dict[int, Array] = field(default_factory=dict)  # factor of the lines, by their number

    def solve(self, of: Plate, loads: Array, coarser: int = 0) -> Array:
        """Unknowns under loads, as :func:`panelwright.mechanics.plate.solve`."""
        many = of.left[coarser]
        scaled = (loads.T * self.scale).T.reshape(len(loads), -1)
        left = int(np.searchsorted(self.layout.lines, many))
        over = scaled[self.layout.lines]
        inner = []
        for cell, lower, reach in zip(self.layout.cells, self.lower, self.reach, strict=True):
            kept = int(np.searchsorted(cell.within, many))
            one = _forward(lower[:kept, :kept], scaled[cell.within[:kept]])
            over[cell.on_lines] -= reach[:kept].T @ one
            inner.append(one)
        over[:left] = cho_solve((self._of_lines(many, left), True), over[:left], check_finite=False)
        over[left:] = 0.0
        found = np.zeros(scaled.shape)
        found[self.layout.lines] = over
        for one, cell, lower, reach in zip(
            inner, self.layout.cells, self.lower, self.reach, strict=True
        ):
            kept = len(one)
            rest = one - reach[:kept] @ over[cell.on_lines]
            found[cell.within[:kept]] = _forward(lower[:kept, :kept], rest, back=True)
        return array((found.reshape(loads.shape).T * self.scale).T)

    def _of_lines(self, many: int, left: int) -> Array:
        """Factor of the lines once the cells of a sum of so many unknowns are eliminated."""
        if many not in self._solved:
            matrix = self.lines.copy()
            for cell, reach in zip(self.layout.cells, self.reach, strict=True):
                kept = reach[: int(np.searchsorted(cell.within, many))]
                matrix[np.ix_(cell.on_lines, cell.on_lines)] -= kept.T @ kept
            self._solved[many] = _cholesky(matrix[:left, :left])
        return self._solved[many]


def _forward(lower: Array, right: Array, back: bool = False) -> Array:
    return array(
        solve_triangular(lower, right, lower=True, trans=1 if back else 0, check_finite=False)
    )


def _cholesky(matrix: Array) -> Array:
    try:
        return array(cho_factor(matrix, lower=True, overwrite_a=True)[0])
    except (LinAlgError, ValueError):
        raise limp() from None


def factor_by_cells(of: Plate, section: ArrayLike) -> FactorByCells:
    """Factor of a plate of a section ``(8, 8)``. Raises FormulaError where the plate is limp."""
    layout = _layout(of.x, of.y, of.edges, of.first == 0)
    weights = energy_weights(of, section)
    along, across = (
        np.moveaxis(products_of_parts(one), 0, 2).reshape(4, len(one.orders), -1)
        for one in (of.x, of.y)
    )
    by_y = np.tensordot(weights, across, axes=(2, 0))  # (in x, field and other, part of y, y y)
    every = np.tensordot(along, by_y.transpose(0, 2, 1, 3), axes=(0, 0)).reshape(-1)
    blocks = []
    own = np.zeros(of.unknowns)
    for cell in layout.cells:
        within, around = (every[cell.rows[kind][:, None] + cell.columns[kind]] for kind in (0, 1))
        tied = every[cell.rows[0][:, None] + cell.columns[1]]
        blocks.append((within, tied, around))
        own[cell.within] = np.diag(within)
        own[cell.around] += np.diag(around)
    if not np.all(own > 0.0):
        raise limp()
    scale = 1.0 / np.sqrt(own)
    lines = np.zeros((layout.lines.size, layout.lines.size))
    lower, reach = [], []
    for cell, (within, tied, around) in zip(layout.cells, blocks, strict=True):
        inner, outer = scale[cell.within], scale[cell.around]
        one = _cholesky(inner[:, None] * within * inner)
        lower.append(one)
        reach.append(_forward(one, inner[:, None] * tied * outer))
        lines[np.ix_(cell.on_lines, cell.on_lines)] += outer[:, None] * around * outer
    return FactorByCells(layout, scale, tuple(lower), tuple(reach), lines)


def fastest(of: Plate, section: ArrayLike) -> Solver:
    """A factor of the plate: of the whole where no side is cut, else cell by cell."""
    if len(of.x.orders) == len(of.y.orders) == 1:
        return factor(stiffness(of, section))
    return factor_by_cells(of, section)
