"""One plate under many draws of its section and its load: a small system for each draw.

The matrix of a plate is linear in the entries of its section. The answer to a drawn section lies
near the span of the answer to the middle one and of its derivatives by the ways in which the
sections vary; the energy, written in that span, is a small matrix, linear in the section as well,
whose parts are made once (Galerkin projection; noor-peters-1980). What is left out is of higher
order in the variation, and work and deflection under the load are too small, never too large.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from panelwright.mechanics import plate
from panelwright.mechanics.arrays import Array, ArrayLike, array
from panelwright.mechanics.plate import STRAINS, Plate, Solver
from panelwright.mechanics.sides import quadrature

#: Ways in which sections vary that are followed to the first and to the second derivative, and the
#: share of the largest below which a way is no way.
FIRST, SECOND, LEAST_WAY = 24, 6, 1e-4
#: Share of the largest below which a function of the span is one already there.
LEAST_FUNCTION = 1e-9
_UPPER = np.triu_indices(STRAINS)


@dataclass(frozen=True)
class Reduced:
    """A plate in the span of a few answers.

    ``span`` : those answers, ``(unknowns, r)``. ``parts`` : the matrix for a section of 1 in each
    entry of the upper triangle, ``(36, r, r)``. ``loads`` : on the span, ``(loads, r)``.
    """

    plate: Plate
    span: Array
    parts: Array
    loads: Array


def _ways(middle: Array, sections: Array) -> Array:
    """How sections vary about the middle one, each way as far as they do, ``(ways, 8, 8)``."""
    scale = np.sqrt(np.diagonal(middle))
    even = (sections - middle) / (scale[:, None] * scale)
    _, sizes, ways = np.linalg.svd(even[:, _UPPER[0], _UPPER[1]], full_matrices=False)
    many = int(np.sum(sizes > LEAST_WAY * sizes[0]))
    kept = ways[: min(FIRST, max(many, 1))]
    made = np.zeros((len(kept), STRAINS, STRAINS))
    made[:, _UPPER[0], _UPPER[1]] = kept * sizes[: len(kept), None]
    made = made + np.swapaxes(np.triu(made, 1), -1, -2)
    return array(made * (scale[:, None] * scale))


def reduced(of: Plate, middle: ArrayLike, by: Solver, sections: ArrayLike, loads: Array) -> Reduced:
    """The plate in the span of its middle answers and their derivatives.

    middle : the section that ``by`` factors, ``(8, 8)``; sections : draws, ``(n, 8, 8)``; loads :
    ``(unknowns, m)``. Raises nothing.
    """
    ways = _ways(array(middle), array(sections))
    (x, in_x), (y, in_y) = quadrature(of.x), quadrature(of.y)
    weight = (in_x[:, None] * in_y)[..., None]

    def strains(answers: Array) -> Array:
        return plate.strains_at(of, answers, x, y)

    def answers_to(forces: Array) -> Array:
        load = plate.load_of_forces(of, forces.reshape(-1, *forces.shape[-3:]) * weight, x, y)
        return plate.solve(of, by, -load)

    answers = plate.solve(of, by, loads)
    first = answers_to(strains(answers) @ ways[:, None, None])
    of_first = strains(first).reshape(len(ways), -1, x.size, y.size, STRAINS)
    moved = np.sum(of_first @ array(middle) * of_first * weight, axis=(1, 2, 3, 4))
    strongest = np.argsort(-moved)[:SECOND]
    strong, of_first = ways[strongest], of_first[strongest]
    by_pair = of_first @ strong[:, None, None, None]
    one, other = np.triu_indices(len(strong))
    second = answers_to(by_pair[one, other] + by_pair[other, one])
    span = np.concatenate([answers, first, second], axis=1)
    span = span / np.maximum(np.max(np.abs(span), axis=0), 1e-300)
    made = _parts(strains(span), weight)
    sizes, turn = np.linalg.eigh(_matrices(made, array(middle)[None])[0])
    kept = sizes > LEAST_FUNCTION * sizes[-1]
    turn = turn[:, kept] / np.sqrt(sizes[kept])
    return Reduced(of, span @ turn, turn.T @ made @ turn, loads.T @ span @ turn)


def _parts(strains: Array, weight: Array) -> Array:
    """Matrices for a section of 1 in each entry, from strains ``(r, nx, ny, 8)``."""
    many = len(strains)
    flat = np.moveaxis(strains, -1, 0).reshape(STRAINS * many, -1)
    products = (flat * weight.reshape(-1)) @ flat.T
    by_pair = products.reshape(STRAINS, many, STRAINS, many).transpose(0, 2, 1, 3)
    rows, columns = _UPPER
    both = by_pair[rows, columns] + by_pair[columns, rows]
    return array(both * np.where(rows == columns, 0.5, 1.0)[:, None, None])


def _matrices(parts: Array, sections: Array) -> Array:
    """The small matrices of sections, ``(n, r, r)``."""
    return array(np.tensordot(sections[:, _UPPER[0], _UPPER[1]], parts, axes=1))


def drawn(of: Reduced, sections: ArrayLike, amounts: ArrayLike = 1.0) -> Array:
    """Amounts of the span in the answer to each draw, ``(n, r)``; ``span @ drawn`` are unknowns.

    sections : ``(n, 8, 8)``; amounts : of each load in each draw, ``(n, loads)``; 1 where all are
    as they were given. Raises :class:`numpy.linalg.LinAlgError` for a draw without stiffness.
    """
    many = array(sections)
    times = np.broadcast_to(array(amounts), (len(many), len(of.loads)))
    load = (times @ of.loads)[..., None]
    return np.asarray(np.linalg.solve(_matrices(of.parts, many), load)[..., 0], np.float64)
