"""What a drawing is told of a layer."""

from __future__ import annotations

import pytest

from panelwright.panels.records import Drawn
from tests.jobs.panels import panel, predicted_text


def drawn(layer: str) -> Drawn:
    return predicted_text(panel(layer)).layers[0].drawn


def test_a_stitched_cloth_is_drawn_by_its_plies() -> None:
    layer = drawn('cloth = "E-glass biaxial ±45 with mat 800 g/m2"')
    assert [(ply.hatch, ply.angle) for ply in layer.plies] == [
        ("stitched", 45.0),
        ("stitched", -45.0),
        ("mat", None),
    ]
    assert not layer.is_core


def test_strips_keep_their_joint_and_their_rings() -> None:
    layer = drawn(
        'strips = "western redcedar"\nthickness = "8 mm"\nring_angle = 30\n'
        'strip = { width = "22 mm", cover = "20 mm", profile = "bead and cove" }'
    )
    assert layer.profile == "bead and cove"
    assert layer.width == pytest.approx(0.022)
    assert layer.cover == pytest.approx(0.020)
    assert layer.ring_angle == pytest.approx(30.0)
    assert layer.is_core


def test_a_core_keeps_its_density_cells_and_kerfs() -> None:
    honeycomb = drawn('core = "aramid honeycomb 48 kg/m3"\nthickness = "12 mm"')
    assert honeycomb.plies[0].hatch == "honeycomb"
    assert honeycomb.cell == pytest.approx(0.0032)
    foam = drawn(
        'core = "PVC foam 80"\nthickness = "20 mm"\n'
        'kerf = { width = "1 mm", pitch = "30 mm", depth = "18 mm" }'
    )
    assert foam.plies[0].hatch == "foam"
    assert foam.density == pytest.approx(80.0)
    assert list(foam.kerf or ()) == pytest.approx([0.001, 0.030, 0.018])


@pytest.mark.parametrize(
    "layer",
    [
        'coat = "gelcoat"',
        'glue = "epoxy, thickened"',
        'plywood = "birch plywood"\nthickness = "6 mm"',
        'cloth = "biax 300"\nrepeat = 2',
        'strips = "western redcedar"\nthickness = "8 mm"\nseal = "cured"',
    ],
)
def test_the_plies_make_up_the_layer(layer: str) -> None:
    for record in predicted_text(panel(layer)).layers:
        whole = sum(ply.thickness for ply in record.drawn.plies)
        assert whole == pytest.approx(record.thickness.value)
