"""What a panel does as a plate under its load: deflection, stresses in every layer, what governs.

The plate is solved once; a sum a step coarser comes with it (module ``mechanics.plate``), and what
changes between the two is told beside every result. Places that are judged lie on a grid over every
part of the plate, edges, corners and the rims of patches included.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from panelwright.mechanics import (
    criteria,
    lamina,
    laminate,
    plate,
    plate_cells,
    plate_draws,
    sides,
    transverse_shear,
    warping,
)
from panelwright.mechanics.arrays import Array
from panelwright.panels import strength
from panelwright.panels.evaluate import Build
from panelwright.panels.section import Section
from panelwright.panels.spread import with_axis
from panelwright.panels.stack import Stack

#: Coupling below which bending is taken not to stretch the panel.
LEAST_COUPLING = 1e-9
#: Change on refinement up to which a result is converged: deflection, and governing stress.
CONVERGED_DEFLECTION, CONVERGED_STRESS = 1e-3, 2e-2

#: A load as the unknowns of a plate feel it.
Load = Callable[[plate.Plate], Array]


@dataclass(frozen=True)
class Bent:
    """A panel bent under its load, as the finer and the coarser sum have it."""

    held: plate.Plate
    section: Array  # (8, 8)
    factor: plate.Solver
    loads: Array  # (unknowns,)
    unknowns: Array  # (unknowns, 2): finer, coarser


def section_of_plate(made: Section) -> Array:
    """The 8 x 8 matrix of a section, ``(..., 8, 8)``."""
    whole = laminate.whole_stiffness(made.extension, made.coupling, made.bending)
    return plate.section_matrix(whole, made.shear)


def bend(made: Section, x: sides.Side, y: sides.Side, edges: plate.Edges, load: Load) -> Bent:
    """Bend a panel.

    x, y : its sides along and across, cut where the load begins or ends. Raises
    :class:`FormulaError` for a mechanism, a load beyond the panel, a panel without stiffness.
    """
    unlike = laminate.unlikeness(made.extension, made.coupling, made.bending)
    of = plate.plate(x, y, edges, bool(unlike > LEAST_COUPLING))
    section = section_of_plate(made)
    factor, loads = plate_cells.fastest(of, section), load(of)
    both = np.stack([plate.solve(of, factor, loads, coarser) for coarser in (0, 1)], axis=-1)
    return Bent(of, section, factor, loads, both)


@dataclass(frozen=True)
class Found:
    """A result, and how much it was off in the coarser sum, as a share of it."""

    value: float
    last_change: float
    x: float  # m
    y: float


def _found(finer: Array, coarser: Array, x: Array, y: Array) -> Found:
    """The largest in size over the places, ``(nx, ny)``, with its sign."""
    at = np.unravel_index(np.argmax(np.abs(finer)), finer.shape)
    value, before = float(finer[at]), float(np.max(np.abs(coarser)))
    change = before / abs(value) - 1.0 if value else 0.0
    return Found(value, change, float(x[at[0]]), float(y[at[1]]))


def largest_deflection(of: Bent) -> Found:
    """Largest deflection over the panel, positive outwards, m."""
    x, y = sides.places(of.held.x), sides.places(of.held.y)
    finer, coarser = plate.deflection_at(of.held, of.unknowns, x, y)
    return _found(finer, coarser, x, y)


@dataclass(frozen=True)
class Stresses:
    """Of every layer at the places; ``P`` runs over x, then y, of the finer and the coarser sum."""

    x: Array  # (nx,), m
    y: Array  # (ny,)
    forces: Array  # (2, P, 8): N, M and Q per width, N/m and N
    strains: Array  # (2, P, L, 2, 3): along 1, 2 and shear, at the outer and inner face
    stresses: Array  # the same, Pa
    shear: Array  # (2, P, L, 3, 2): 13 and 23 at the outer face, within, at the inner face, Pa
    whole: Array  # (2, P, 8): strains of the mid-plane, curvatures, shear strains


def _is_smooth(of: plate.Plate) -> bool:
    """Whether the load goes on over the whole plate: no patch, no line."""
    return len(of.x.orders) == len(of.y.orders) == 1


def _warps(of: plate.Plate, x: Array, y: Array) -> Array:
    """1 at places where the section may warp as its shear asks, ``(nx, ny)``.

    It is held from that at a clamped edge, and has other stresses near it that no theory of
    plates tells; at a free edge likewise.
    """
    made = np.ones((x.size, y.size))
    for end, far in enumerate((0.0, of.x.length, 0.0, of.y.length)):
        if of.edges[end] is not plate.Edge.SUPPORTED:
            at = np.isclose((x, y)[end // 2], far, rtol=0.0, atol=1e-9 * of.x.length)
            made[(at,) if end < 2 else (slice(None), at)] = 0.0
    return made


def stresses(
    of: Bent,
    stack: Stack,
    build: Build,
    made: Section,
    x: Array | None = None,
    y: Array | None = None,
) -> Stresses:
    """Stresses of every ply, top and bottom, in its own axes, and transverse shear of every layer.

    stack, build, made : of the panel that was bent; x, y : places, m; the whole grid where none.
    Faces on a soft core bend by themselves under an even or evenly rising load (module
    ``mechanics.warping``). Under a patch they do so in a way of their own, which is not told here:
    what a patch does to the face and the core under it is in ``mechanics.sandwich_failure``.
    """
    x = sides.places(of.held.x) if x is None else x
    y = sides.places(of.held.y) if y is None else y
    panel = with_axis(stack), with_axis(build), with_axis(made)
    return _stresses(of.held, of.unknowns, of.section, panel, x, y)


#: Stack, build and section of one panel, or of its draws, an axis of places in each.
Placed = tuple[Stack, Build, Section]


def _stresses(
    held: plate.Plate, unknowns: Array, section: Array, panel: Placed, x: Array, y: Array
) -> Stresses:
    """Stresses of sums, ``(unknowns, n)``; section : one for all, or each's, ``(n, 1, 8, 8)``."""
    stack, build, made = panel
    whole, along, across = (
        plate.strains_at(held, unknowns, x, y, slope).reshape(unknowns.shape[1], -1, plate.STRAINS)
        for slope in ((0, 0), (1, 0), (0, 1))
    )
    forces = np.einsum("...i,...ij->...j", whole, section)
    t, z = build.layer_thickness, made.heights
    k = made.constants
    own = lamina.matrix(lamina.reduced_stiffness(k.E1, k.E2, k.G12, k.nu12))
    flow = transverse_shear.shear_flow(
        made.turned, t, z, made.extension, made.coupling, made.bending
    )
    faces = laminate.face_strains(whole[..., :6], z, t)
    if _is_smooth(held):
        warp = warping.warp(flow, lamina.turned_shear(k.G13, k.G23, stack.angle), t)
        straight = warping.warp_strains(warp, made.turned, t, z, made.compliance)
        warps = _warps(held, x, y).reshape(-1, 1)
        slopes = (
            warps * np.einsum("...i,...ij->...j", slope, section[..., 6:])
            for slope in (along, across)
        )
        faces = warping.warped_strains(faces, straight, *slopes)
    strains = lamina.own_strains_of_faces(faces, stack.angle)
    shear = transverse_shear.shear_under_force(
        transverse_shear.shear_of_slopes(made.turned, t, z, along[..., :6], across[..., :6]),
        flow,
        forces[..., 6:],
        t,
    )
    return Stresses(
        x,
        y,
        forces,
        strains,
        np.einsum("...lij,...lfj->...lfi", own, strains),
        transverse_shear.shear_stress_by_place(shear, stack.angle),
        whole,
    )


@dataclass(frozen=True)
class Drawn:
    """A panel bent under many draws of its section."""

    of: plate_draws.Reduced
    sections: Array  # (n, 8, 8)
    unknowns: Array  # (unknowns, n)


def bend_draws(of: Bent, drawn: Section) -> Drawn:
    """Bend the draws of a panel under the same load. drawn : their sections, ``(n, ...)``."""
    sections = section_of_plate(drawn)
    span = plate_draws.reduced(of.held, of.section, of.factor, sections, of.loads[:, None])
    return Drawn(span, sections, span.span @ plate_draws.drawn(span, sections).T)


def drawn_deflection(of: Drawn, at: Found) -> Array:
    """Deflection of every draw at one place, m, ``(n,)``."""
    return plate.deflection_at(of.of.plate, of.unknowns, [at.x], [at.y])[:, 0, 0]


def drawn_stresses(of: Drawn, stack: Stack, build: Build, made: Section, at: Found) -> Stresses:
    """Stresses of every draw at one place: ``(n, 1, ...)`` where those of one panel have (2, P).

    stack, build, made : of the draws.
    """
    panel = with_axis(stack, 1), with_axis(build, 1), with_axis(made, 1)
    x, y = np.array([at.x]), np.array([at.y])
    return _stresses(of.of.plate, of.unknowns, of.sections[:, None], panel, x, y)


@dataclass(frozen=True)
class Governs:
    """What multiplies the load to reach a limit, and where; infinite where nothing is known."""

    reserve: Found
    layer: int
    place: int  # 0 outer, 1 inner face; in shear 0 outer face, 1 within, 2 inner face
    mode: int  # place in ``strength.MODES``; in shear 0 for 13, 1 for 23


def least_of(of: Stresses, weak: strength.Weakest) -> Governs:
    """The least of reserves over the places, ``(2, P)``."""
    loads = weak.load
    at = int(np.argmin(loads[0]))
    row, column = divmod(at, of.y.size)
    least, before = float(loads[0, at]), float(np.min(loads[1]))
    change = least / before - 1.0 if np.isfinite(before) else 0.0
    place = float(of.x[row]), float(of.y[column])
    layer, face, mode = (int(values[0, at]) for values in (weak.layer, weak.place, weak.mode))
    return Governs(Found(least, change, *place), layer, face, mode)


def in_plane(of: Stresses, bears: strength.Bears) -> Governs:
    """Where the strains of a layer come nearest to what it bears.

    bears : ``strength.States.first`` for first damage, one of its ``bears`` for a state of damage,
    with the stresses of the panel in that state.
    """
    return least_of(of, strength.weakest(of.strains, bears, 1))


def in_shear(of: Stresses, own: strength.Limits, damage: bool) -> Governs:
    """Where the transverse shear of a layer comes nearest to what it bears.

    own : limits of the layers; damage : whether at first damage, where a core yields.
    """
    return least_of(of, shear_reserves(of, own, damage))


def shear_reserves(of: Stresses, own: strength.Limits, damage: bool) -> strength.Weakest:
    """Reserve in transverse shear at every place."""
    bears = np.stack([own.S13, own.S23], axis=-1)[..., None, :]
    if damage:
        bears = bears * own.yields[..., None, None]
    return strength.worst(criteria.used_share(of.shear, bears))


def found_of(of: Stresses, sizes: Array) -> Found:
    """The largest of sizes at the places, ``(2, P)``: of the finer sum, and how it changed."""
    at = int(np.argmax(sizes[0]))
    row, column = divmod(at, of.y.size)
    value, before = float(sizes[0, at]), float(np.max(sizes[1]))
    change = before / value - 1.0 if value else 0.0
    return Found(value, change, float(of.x[row]), float(of.y[column]))
