"""Our plates against finite elements of a general library (scikit-fem), where no table reaches.

Five fields on biquadratic elements: another discretisation of the same theory, written by itself
from the strains.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable
from typing import Any

import numpy as np
import skfem
from skfem.helpers import grad

from panelwright.mechanics import plate
from panelwright.mechanics.arrays import Array
from panelwright.mechanics.plate import Edge, Edges
from panelwright.mechanics.sides import side
from tests.reference.sections import Plies, section

A, B = 0.6, 0.4
#: Fields held at an end of x (u, v, w, φx, φy); at an end of y they change places in pairs.
HELD = {Edge.SUPPORTED: (1, 2, 4), Edge.CLAMPED: (0, 1, 2, 3, 4), Edge.FREE: ()}
ACROSS = (1, 0, 2, 4, 3)
#: Glass on the bias outside, timber, cloth along inside: E1, E2, G12, nu12, G13, G23, angle, m.
PLIES = Plies(
    *np.array(
        [
            (3.4e10, 9e9, 3.6e9, 0.28, 3.4e9, 2.8e9, 0.6, 0.8e-3),
            (9e9, 4e8, 6e8, 0.35, 6e8, 7e7, 0.0, 9e-3),
            (2.2e10, 2.1e10, 4e9, 0.13, 3.4e9, 3.3e9, 0.0, 1.2e-3),
        ]
    ).T
)


def strains(u: Any) -> list[Any]:
    """The eight strains of five fields, in the order of a section's matrix."""
    g = grad(u)
    return [
        g[0][0],
        g[1][1],
        g[0][1] + g[1][0],
        g[3][0],
        g[4][1],
        g[3][1] + g[4][0],
        g[2][0] + u[3],
        g[2][1] + u[4],
    ]


class Elements:
    """The plate on a mesh whose lines run at places x and y, bent under a pressure."""

    def __init__(
        self, x: Array, y: Array, edges: Edges, made: Array, pressure: Callable[[Array], Array]
    ) -> None:
        mesh = skfem.MeshQuad.init_tensor(x, y)
        self.basis = skfem.Basis(mesh, skfem.ElementVector(skfem.ElementQuad2(), 5), intorder=4)
        self.made = made

        def energy(u: Any, v: Any, w: Any) -> Any:
            one, other = strains(u), strains(v)
            pairs = zip(*np.nonzero(made), strict=True)
            return sum(made[i, j] * one[j] * other[i] for i, j in pairs)

        def work(v: Any, w: Any) -> Any:
            return pressure(w.x) * v[2]

        matrix = skfem.BilinearForm(energy).assemble(self.basis)
        load = skfem.LinearForm(work).assemble(self.basis)
        self.values = skfem.solve(*skfem.condense(matrix, load, D=self._held(edges)))

    def _held(self, edges: Edges) -> Array:
        """Unknowns that the edges hold."""
        found = []
        for end, edge in enumerate(edges):
            way, far = divmod(end, 2)
            at = (A, B)[way] * far
            dofs = self.basis.get_dofs(lambda x, way=way, at=at: np.isclose(x[way], at))
            fields = [ACROSS[field] if way else field for field in HELD[edge]]
            found += [dofs.all([f"u^{field + 1}"]) for field in fields]
        return np.unique(np.concatenate(found))

    def deflections(self) -> tuple[Array, Array]:
        """Places of the corners of the cells, ``(2, n)``, and deflections there."""
        return self.basis.mesh.p, self.values[self.basis.nodal_dofs[2]]

    def strains(self) -> tuple[Array, Array]:
        """Places within the cells, ``(2, n)``, and strains there, ``(n, 8)``."""
        fields = self.basis.interpolate(self.values)
        at = np.asarray(self.basis.global_coordinates()).reshape(2, -1)
        return at, np.stack([np.asarray(e).reshape(-1) for e in strains(fields)], axis=-1)


def ours(made: Array, edges: Edges, cuts: tuple[list[float], list[float]], load: Any) -> Any:
    """Our answer: of, unknowns."""
    of = plate.plate(side(A, cuts[0]), side(B, cuts[1]), edges)
    return of, plate.solve(of, plate.factor(plate.stiffness(of, made)), load(of))


def at_each(read: Callable[..., Array], of: plate.Plate, unknowns: Array, at: Array) -> Array:
    """Ours at scattered places ``(2, n)``."""
    return np.array([read(of, unknowns, [x], [y])[0, 0] for x, y in at.T])


def graded(cuts: list[float], length: float, cells: int) -> Array:
    """Lines of a mesh: the same number of cells in each part of a side."""
    ends = [0.0, *cuts, length]
    parts = [np.linspace(*pair, cells + 1)[:-1] for pair in itertools.pairwise(ends)]
    return np.append(np.concatenate(parts), length)


def compared(edges: Edges, cuts: tuple[list[float], list[float]], cells: int, load: Any) -> Any:
    """Largest difference in deflection, and root mean square of those of the curvatures.

    Both as shares of the largest. load : ours, and the pressure it is.
    """
    plies = section(PLIES)
    made = plate.section_matrix(plies.whole, plies.S)
    mesh = [graded(part, length, cells) for part, length in zip(cuts, (A, B), strict=True)]
    elements = Elements(mesh[0], mesh[1], edges, made, load[1])
    of, unknowns = ours(made, edges, cuts, load[0])
    at, deflection = elements.deflections()
    off = at_each(plate.deflection_at, of, unknowns, at) - deflection
    within, strained = elements.strains()
    some = slice(None, None, 7)
    mine = at_each(plate.strains_at, of, unknowns, within[:, some])
    rough = mine[:, 3:6] - strained[some, 3:6]
    return (
        np.max(np.abs(off)) / np.max(np.abs(deflection)),
        np.sqrt(np.mean(rough**2)) / np.max(np.abs(mine[:, 3:6])),
    )


def test_clamped_and_free_edges_with_coupling() -> None:
    """One edge clamped, the one beside it supported, two free; the panel twists and stretches."""
    edges = (Edge.CLAMPED, Edge.FREE, Edge.SUPPORTED, Edge.FREE)
    load = (lambda of: plate.pressure(of, 1e3), lambda x: 1e3 + 0.0 * x[0])
    deflection, curvature = compared(edges, ([], []), 24, load)
    assert deflection < 1e-3
    assert curvature < 5e-3


def test_an_off_centre_patch() -> None:
    """A patch near a clamped edge; the lines of the mesh run along its rim."""
    x, y = [0.36, 0.46], [0.06, 0.14]
    edges = (Edge.SUPPORTED, Edge.SUPPORTED, Edge.CLAMPED, Edge.SUPPORTED)
    area = (x[1] - x[0]) * (y[1] - y[0])

    def pressure(at: Array) -> Array:
        inside = (at[0] > x[0]) & (at[0] < x[1]) & (at[1] > y[0]) & (at[1] < y[1])
        return np.where(inside, 500.0 / area, 0.0)

    load = (lambda of: plate.patch(of, 500.0, (x[0], x[1]), (y[0], y[1])), pressure)
    deflection, curvature = compared(edges, (x, y), 7, load)
    assert deflection < 1e-3
    assert curvature < 5e-3


def test_coupling_matters_in_that_comparison() -> None:
    """Without B the same plate is stiffer by more than ten times what is allowed above."""
    made = plate.section_matrix(section(PLIES).whole, section(PLIES).S)
    edges = (Edge.CLAMPED, Edge.FREE, Edge.SUPPORTED, Edge.FREE)
    alone = made.copy()
    alone[:3, 3:6] = alone[3:6, :3] = 0.0
    w = [
        np.max(np.abs(plate.deflection_at(of, unknowns, [A], [B])))
        for of, unknowns in (
            ours(one, edges, ([], []), lambda of: plate.pressure(of, 1e3)) for one in (made, alone)
        )
    ]
    assert w[1] < 0.98 * w[0]
