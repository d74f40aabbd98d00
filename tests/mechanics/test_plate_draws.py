"""Many draws of one plate in a small span, against the whole answer to each draw."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from panelwright.mechanics import plate, plate_draws
from panelwright.mechanics.arrays import Array
from panelwright.mechanics.plate import Edge, Edges, Plate
from panelwright.mechanics.sides import quadrature, side
from tests.reference.sections import Plies, section

from .stacks import random_plies

DRAWS = 120
HELD: dict[str, Edges] = {
    "supported": (Edge.SUPPORTED,) * 4,
    "clamped": (Edge.CLAMPED,) * 4,
    "clamped and free": (Edge.CLAMPED, Edge.FREE, Edge.SUPPORTED, Edge.FREE),
}


def stiff(plies: Plies) -> Array:
    made = section(plies)
    return plate.section_matrix(made.whole, made.S)


def varied(plies: Plies, spread: float, seed: int) -> Array:
    """Sections with every constant of every layer drawn by itself, angles and thicknesses too."""
    rng = np.random.default_rng(seed)

    def times(values: Array, deviation: float) -> Array:
        return np.asarray(values * np.exp(deviation * rng.normal(size=(DRAWS, values.size))))

    drawn = replace(
        plies,
        **{name: times(getattr(plies, name), spread) for name in ("E1", "E2", "G12", "G13", "G23")},
        nu12=np.broadcast_to(plies.nu12, (DRAWS, plies.nu12.size)),
        angle=plies.angle + 0.05 * rng.normal(size=(DRAWS, plies.angle.size)),
        thickness=times(plies.thickness, spread / 3.0),
    )
    return stiff(drawn)


#: Lay-up, in steps of a millimetre: cloth, timber and cloth, all of them unlike.
CLOTH = (2.2e10, 2.1e10, 4e9, 0.13, 3.4e9, 3.3e9)
BIAS = (3.4e10, 9e9, 3.6e9, 0.28, 3.4e9, 2.8e9)
TIMBER = (9e9, 4e8, 6e8, 0.35, 6e8, 7e7)
LAID = [(*BIAS, 0.5, 0.8e-3), (*TIMBER, 0.0, 9e-3), (*BIAS, -0.7, 0.5e-3), (*CLOTH, 0.0, 0.4e-3)]
PANEL = Plies(*np.array(LAID).T)


@cache
def both(name: str, spread: float, seed: int = -1) -> tuple[Array, Array, Array, Array]:
    """Deflection and scaled strains by the span and by the whole, with a load that varies too."""
    plies = PANEL if seed < 0 else random_plies(np.random.default_rng(seed), (4,))
    middle, sections = stiff(plies), varied(plies, spread, seed + 1)
    of = plate.plate(side(0.6, orders=[10]), side(0.4, orders=[10]), HELD[name])
    loads = np.stack([plate.pressure(of, 1e3), plate.pressure(of, 0.0, 1e3)], axis=-1)
    amounts = np.exp(spread * np.random.default_rng(3).normal(size=(DRAWS, 2)))
    by = plate.factor(plate.stiffness(of, middle))
    small = plate_draws.reduced(of, middle, by, sections, loads)
    near = small.span @ plate_draws.drawn(small, sections, amounts).T
    whole = [
        plate.solve(of, plate.factor(plate.stiffness(of, one)), loads @ times)
        for one, times in zip(sections, amounts, strict=True)
    ]
    x, y = np.linspace(0.0, 0.6, 7), np.linspace(0.0, 0.4, 7)
    scale = np.sqrt(np.diag(middle))

    def seen(unknowns: Array) -> tuple[Array, Array]:
        return (
            plate.deflection_at(of, unknowns, x, y),
            plate.strains_at(of, unknowns, x, y) * scale,
        )

    return *seen(near), *seen(np.stack(whole, axis=-1))


def off(near: Array, whole: Array, of_value: float = 0.0) -> float:
    """Largest error of the 5, 50 and 95 % of the draws, as a share of the range; where it counts.

    of_value : share of the middle value below which a range is taken to be that wide.

    That is where the middle is near the largest of its kind over the plate, where it governs.
    """
    bounds = [np.percentile(values, (5.0, 50.0, 95.0), axis=0) for values in (near, whole)]
    wide = bounds[1][2] - bounds[1][0]
    counts = np.abs(bounds[1][1]) > 0.7 * np.max(np.abs(bounds[1][1]))
    wide = np.maximum(wide, of_value * np.abs(bounds[1][1]))
    error = np.max(np.abs(bounds[0] - bounds[1]), axis=0)
    return float(np.max(error[counts] / wide[counts]))


@pytest.mark.parametrize("name", HELD)
@pytest.mark.parametrize("spread", [0.05, 0.15])
def test_ranges_are_those_of_the_whole(name: str, spread: float) -> None:
    """Within 1 % of the range, in deflection, strains and curvatures.

    Shear within that or half a percent of its value, a quarter of what counts as converged in the
    whole answer; at a corner beside a free edge it settles in no sum, and is left out.
    """
    near_w, near, whole_w, whole = both(name, spread)
    assert off(near_w, whole_w) < 0.002
    assert off(near[..., :6], whole[..., :6]) < 0.01
    assert off(near[:, 1:-1, :, 6:], whole[:, 1:-1, :, 6:], 0.5) < 0.01
    assert off(near[:, :, 1:-1, 6:], whole[:, :, 1:-1, 6:], 0.5) < 0.01


@pytest.mark.parametrize("name", HELD)
def test_every_draw_is_near_where_the_spread_is_large(name: str) -> None:
    """Every constant of every layer known to 35 %: each deflection within 1 % of the range."""
    near, _, whole, _ = both(name, 0.35)
    at = np.unravel_index(np.argmax(np.mean(np.abs(whole), axis=0)), whole.shape[1:])
    wide = np.ptp(np.percentile(whole[:, at[0], at[1]], (5.0, 95.0)))
    assert np.max(np.abs(near - whole)[:, at[0], at[1]]) < 0.01 * wide


@pytest.mark.parametrize("seed", range(4))
def test_any_lay_up(seed: int) -> None:
    """Layers from foam to carbon at any angle: deflections of all draws, and ranges of strain."""
    near, near_strains, whole, strains = both("supported", 0.1, seed)
    at = np.unravel_index(np.argmax(np.mean(np.abs(whole), axis=0)), whole.shape[1:])
    wide = np.ptp(np.percentile(whole[:, at[0], at[1]], (5.0, 95.0)))
    assert np.max(np.abs(near - whole)[:, at[0], at[1]]) < 0.01 * wide
    assert off(near_strains[..., :6], strains[..., :6]) < 0.02


def _plate(order: int = 8) -> Plate:
    return plate.plate(side(0.6, orders=[order]), side(0.4, orders=[order]), HELD["supported"])


def test_the_middle_itself_is_exact() -> None:
    of, middle, sections = _plate(), stiff(PANEL), varied(PANEL, 0.1, 0)
    load = plate.pressure(of, 1e3)[:, None]
    by = plate.factor(plate.stiffness(of, middle))
    small = plate_draws.reduced(of, middle, by, sections, load)
    alone = small.span @ plate_draws.drawn(small, middle[None])[0]
    whole = plate.solve(of, by, load)[:, 0]
    np.testing.assert_allclose(alone, whole, atol=1e-9 * np.max(np.abs(whole)))


def test_work_is_never_too_large() -> None:
    of, middle, sections = _plate(), stiff(PANEL), varied(PANEL, 0.3, 0)
    load = plate.pressure(of, 1e3)
    by = plate.factor(plate.stiffness(of, middle))
    small = plate_draws.reduced(of, middle, by, sections, load[:, None])
    near = load @ small.span @ plate_draws.drawn(small, sections).T
    whole = [
        load @ plate.solve(of, plate.factor(plate.stiffness(of, one)), load) for one in sections
    ]
    assert np.all(near <= np.array(whole) * (1.0 + 1e-9))


def test_draws_that_do_not_vary() -> None:
    of, middle = _plate(), stiff(PANEL)
    load = plate.pressure(of, 1e3)[:, None]
    by = plate.factor(plate.stiffness(of, middle))
    same = np.repeat(middle[None], 5, axis=0)
    small = plate_draws.reduced(of, middle, by, same, load)
    found = small.span @ plate_draws.drawn(small, same).T
    expected = np.repeat(plate.solve(of, by, load), 5, axis=1)
    np.testing.assert_allclose(found, expected, atol=1e-9 * np.max(np.abs(expected)))


def test_load_of_forces_gives_the_load_back() -> None:
    """What the plate holds inside is what lies on it."""
    of, middle = _plate(), stiff(PANEL)
    load = plate.pressure(of, 1e3, 2e3)
    answer = plate.solve(of, plate.factor(plate.stiffness(of, middle)), load)
    (x, in_x), (y, in_y) = quadrature(of.x), quadrature(of.y)
    forces = plate.strains_at(of, answer, x, y) @ middle * (in_x[:, None] * in_y)[..., None]
    back = plate.load_of_forces(of, forces[None], x, y)[:, 0]
    np.testing.assert_allclose(back, load, atol=1e-7 * np.max(np.abs(load)))
