"""Loads as they come to a panel, held to arithmetic done by hand from stated inputs."""

from __future__ import annotations

import pytest

from panelwright.mechanics import beam, loads


def test_a_head_of_sea_water() -> None:
    """ρ g h with 1025 kg/m³, 9.81 m/s², 0.9 m: 9.049725 kPa (arithmetic)."""
    assert loads.pressure_of_head(1025.0, 9.81, 0.9) == pytest.approx(9049.725, rel=1e-9)


def test_wind_on_a_road_going_panel() -> None:
    """Half of 1.225 kg/m³ times (130 km/h)²: 798.707562 Pa (arithmetic)."""
    assert loads.pressure_of_wind(1.225, 130.0 / 3.6) == pytest.approx(798.707562, rel=1e-6)


def test_cargo_thrown_forwards() -> None:
    """240 kg at 0.8 g (EN 12195-1, from memory) with 9.81 m/s²: 1883.52 N (arithmetic)."""
    assert loads.force_of_mass(240.0, 0.8, 9.81) == pytest.approx(1883.52, rel=1e-9)


def test_snow_on_a_flat_roof() -> None:
    """Shape 0.8 (EN 1991-1-3, from memory) times 1.5 kPa on the ground: 1.2 kPa.

    The ready duty holds that product.
    """
    from panelwright.materials.catalogue import Catalogue

    row = Catalogue.shipped().table("ready_duties").find("snow")
    assert row.number("pressure") == pytest.approx(0.8 * 1500.0)


def test_a_bearer_that_is_stiff_enough_gives_a_tenth() -> None:
    """5 q b L⁴/(384 EI) of a simply supported beam, the handbook's formula, is w/10."""
    pressure, breadth, span, deflection = 4e3, 0.2, 0.7, 3e-3
    stiff = float(loads.stiff_enough_bearer(pressure, breadth, span, deflection))
    whole = beam.STRIPS["simply supported, uniform"].bending * pressure * breadth * span**4 / stiff
    assert whole == pytest.approx(deflection / 10.0, rel=1e-12)
