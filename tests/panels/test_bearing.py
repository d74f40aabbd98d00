"""A panel as a plate: stresses add up to forces, loads scale, what governs and where."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from panelwright.errors import FormulaError
from panelwright.mechanics import plate
from panelwright.mechanics.plate import Edge
from panelwright.mechanics.sides import side
from panelwright.panels import bearing, strength
from panelwright.panels.evaluate import evaluate
from panelwright.panels.section import section
from panelwright.panels.stack import Stack, stack_of

from .written import resolved

SUPPORTED = (Edge.SUPPORTED,) * 4
CORED = (
    'process = "vacuum infusion"\nresin = "epoxy, infusion"\n'
    '[[layer]]\ncloth = "E-glass biaxial 300 g/m2"\nangle = 20\n'
    '[[layer]]\ncore = "PVC foam 80 kg/m3"\nthickness = "15 mm"\n'
    '[[layer]]\ncloth = "E-glass twill 200 g/m2"\nrepeat = 2\n'
)


class Panel:
    """A panel with a foam core and unlike faces."""

    def __init__(self, text: str = CORED) -> None:
        self.stack: Stack = stack_of(resolved(text).layers)
        self.build = evaluate(self.stack)
        self.made = section(self.stack, self.build)
        self.states = strength.states(self.stack, self.build, self.made)

    def under(self, bent: bearing.Bent) -> bearing.Stresses:
        return bearing.stresses(bent, self.stack, self.build, self.made)


@pytest.fixture(scope="module")
def panel() -> Panel:
    return Panel()


def even(pressure: float) -> bearing.Load:
    return lambda of: plate.pressure(of, pressure)


def test_stresses_of_the_layers_add_up_to_the_forces(panel: Panel) -> None:
    """Where nothing warps a stress runs straight through its layer: the sides are cut."""
    bent = bearing.bend(panel.made, side(0.6, [0.3]), side(0.4), SUPPORTED, even(-5e3))
    found = panel.under(bent)
    t, z = panel.build.layer_thickness, panel.made.heights
    c, s = np.cos(panel.stack.angle), np.sin(panel.stack.angle)
    turn = np.array(
        [[c * c, s * s, -2 * c * s], [s * s, c * c, 2 * c * s], [c * s, -c * s, c * c - s * s]]
    )
    stress = np.einsum("ijl,...lfj->...lfi", turn, found.stresses)
    mean, rise = stress.mean(axis=-2), stress[..., 0, :] - stress[..., 1, :]
    scale = np.max(np.abs(found.forces[..., 3:6]))
    forces = np.einsum("l,...li->...i", t, mean)
    moments = np.einsum("l,...li->...i", t * z, mean) + np.einsum("l,...li->...i", t**2 / 12, rise)
    np.testing.assert_allclose(moments, found.forces[..., 3:6], atol=1e-6 * scale)
    np.testing.assert_allclose(forces, found.forces[..., :3], atol=1e-4 * scale / np.sum(t))


def test_faces_bend_by_themselves_but_not_at_a_clamped_edge(panel: Panel) -> None:
    """The outer face under pressure: more pressed outside, less inside, than straight normals say.

    At the clamped edge, and under a load with an end, the strains are those of straight normals.
    """
    edges = (Edge.CLAMPED, Edge.SUPPORTED, Edge.SUPPORTED, Edge.SUPPORTED)
    whole, cut = (
        panel.under(bearing.bend(panel.made, x, side(0.4, orders=[12]), edges, even(-5e3)))
        for x in (side(0.6, orders=[12]), side(0.6, [0.3], [11, 11]))
    )
    middle = [found.strains[0][found.x.size // 2 * found.y.size + 10] for found in (whole, cut)]
    assert np.isclose(whole.x[10], 0.3)
    more = (middle[0] - middle[1])[0, :, 0]
    assert more[0] < 0.0 < more[1]
    assert abs(more[0]) < 0.1 * abs(middle[1][0, 0, 0])
    at_edge = [found.strains[0][10] for found in (whole, cut)]
    np.testing.assert_allclose(at_edge[0], at_edge[1], atol=2e-3 * np.max(np.abs(at_edge[1])))


def test_pressure_inwards_bends_inwards_and_stretches_the_inside(panel: Panel) -> None:
    bent = bearing.bend(panel.made, side(0.6), side(0.4), SUPPORTED, even(-5e3))
    deflection, found = bearing.largest_deflection(bent), panel.under(bent)
    assert deflection.value < 0.0
    assert abs(deflection.last_change) < bearing.CONVERGED_DEFLECTION
    middle = found.strains[0].reshape(found.x.size, found.y.size, -1, 2, 3)[10, 10]
    assert middle[-1, 1, 0] > 0.0 > middle[0, 0, 0]


def test_twice_the_load_is_half_the_reserve(panel: Panel) -> None:
    made = {}
    for times in (1.0, 2.0):
        bent = bearing.bend(panel.made, side(0.6), side(0.4), SUPPORTED, even(-5e3 * times))
        found = panel.under(bent)
        made[times] = (
            bearing.in_plane(found, panel.states.first),
            bearing.in_shear(found, panel.states.own, True),
            bearing.in_shear(found, panel.states.own, False),
        )
    for one, two in zip(made[1.0], made[2.0], strict=True):
        assert two.reserve.value == pytest.approx(one.reserve.value / 2.0, rel=1e-9)
        assert (two.layer, two.place, two.mode) == (one.layer, one.place, one.mode)
        assert abs(one.reserve.last_change) < bearing.CONVERGED_STRESS
    in_plane, yields, breaks = made[1.0]
    assert 0.0 < in_plane.reserve.value < np.inf
    assert yields.reserve.value <= breaks.reserve.value
    assert panel.stack.through_E[yields.layer] > 0.0  # it is the core that shears
    assert yields.reserve.x in {0.0, 0.6} or yields.reserve.y in {0.0, 0.4}


def test_under_a_foot_the_rim_is_looked_at(panel: Panel) -> None:
    """The core shears most along the rim of the patch, and the answer has settled."""
    over = (0.25, 0.35), (0.12, 0.22)

    def load(of: plate.Plate) -> np.ndarray:
        return plate.patch(of, -800.0, *over)

    bent = bearing.bend(panel.made, side(0.6, over[0]), side(0.4, over[1]), SUPPORTED, load)
    found = panel.under(bent)
    sheared = bearing.in_shear(found, panel.states.own, True)
    rims = [
        min(abs(place - end) for end in ends)
        for place, ends in zip((sheared.reserve.x, sheared.reserve.y), over, strict=True)
    ]
    assert min(rims) < 1e-6
    assert abs(sheared.reserve.last_change) < bearing.CONVERGED_STRESS
    assert abs(bearing.in_plane(found, panel.states.first).reserve.last_change) < 0.02
    assert abs(bearing.largest_deflection(bent).last_change) < bearing.CONVERGED_DEFLECTION


def test_chosen_places_are_those_of_the_grid(panel: Panel) -> None:
    bent = bearing.bend(panel.made, side(0.6), side(0.4), SUPPORTED, even(-5e3))
    grid = panel.under(bent)
    few = bearing.stresses(bent, panel.stack, panel.build, panel.made, grid.x[[3, 10]], grid.y[[5]])
    at = [3 * grid.y.size + 5, 10 * grid.y.size + 5]
    for name in ("forces", "strains", "stresses", "shear"):
        chosen, whole = getattr(few, name), getattr(grid, name)[:, at]
        np.testing.assert_allclose(chosen, whole, atol=1e-9 * np.max(np.abs(whole)))


def test_a_panel_that_is_not_known_has_no_end(panel: Panel) -> None:
    """Where no layer says what it bears, nothing governs."""
    bent = bearing.bend(panel.made, side(0.6), side(0.4), SUPPORTED, even(-5e3))
    nothing = replace(
        panel.states.own, S13=0.0 * panel.states.own.S13, S23=0.0 * panel.states.own.S23
    )
    found = bearing.in_shear(panel.under(bent), nothing, False)
    assert found.reserve.value == np.inf
    assert found.reserve.last_change == 0.0


def test_a_mechanism_is_refused(panel: Panel) -> None:
    edges = (Edge.FREE, Edge.SUPPORTED, Edge.FREE, Edge.FREE)
    with pytest.raises(FormulaError, match="turns about its edge"):
        bearing.bend(panel.made, side(0.6), side(0.4), edges, even(-5e3))
