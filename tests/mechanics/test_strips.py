"""Strips against geometry done point by point, a reference library and a handbook's table."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import trapezoid

from panelwright.mechanics import moisture, stations, strips


def test_area_of_stations_against_a_reference_library() -> None:
    position = np.array([0.0, 0.3, 0.7, 1.0, 1.6])
    girth = np.array([0.2, 0.9, 1.4, 1.2, 0.1])
    assert stations.area_of_stations(position, girth) == pytest.approx(
        trapezoid(girth, position), rel=1e-14
    )


@pytest.mark.parametrize(
    ("thickness", "cover", "radius"), [(8e-3, 20e-3, 0.14), (12e-3, 40e-3, 0.1), (6e-3, 20e-3, 5.0)]
)
def test_no_place_of_a_faired_shell_is_thinner(
    thickness: float, cover: float, radius: float
) -> None:
    """Ray by ray through one strip: the faired faces are the circles that lie wholly in wood."""
    rays = np.linspace(0.0, np.arctan(0.5 * cover / radius), 2001)
    inner_face, outer_face = radius / np.cos(rays), (radius + thickness) / np.cos(rays)
    left = np.min(outer_face) - np.max(inner_face)
    assert strips.thickness_left(thickness, cover, radius) == pytest.approx(left, rel=1e-12)


def test_small_form_of_the_corner_is_as_near_as_it_says() -> None:
    radius = np.linspace(0.1, 2.0, 50)
    exact = strips.corner_standoff(0.5 * radius, radius)
    off = strips.corner_height(0.5 * radius, radius) / exact - 1.0
    assert np.all(off > 0.0)
    assert np.all(off < 0.02)


def test_a_flat_panel_loses_nothing() -> None:
    assert strips.thickness_left(8e-3, 20e-3, 0.0) == 8e-3
    assert strips.corner_height(20e-3, 0.0) == 0.0


def test_what_no_plane_can_leave_is_nought() -> None:
    assert strips.thickness_left(3e-3, 60e-3, 0.05) == 0.0


def test_a_count_that_is_whole_stays() -> None:
    """2.4 m of 20 mm are 120, though 2.4/0.02 is a hair more in binary."""
    assert strips.strips_across([2.4, 2.4001], 0.02).tolist() == [120.0, 121.0]
    assert strips.strips_from_board(0.0305, 0.0065, 0.0015) == 4.0


def test_one_ply_alone_springs_back_wholly() -> None:
    assert strips.spring_back(1.0) == 1.0


def test_form_and_released_bend_are_inverse() -> None:
    lost = strips.spring_back([2.0, 3.0, 5.0])
    form = strips.form_for_bend(0.8, lost)
    np.testing.assert_allclose(strips.released_radius(form, lost), 0.8, rtol=1e-14)


#: FPL-GTR-190, Table 4-2 (from memory, one decimal): temperature in degC, humidity, moisture in %.
TABLE_4_2 = [
    (-1.1, 0.30, 6.3),
    (4.4, 0.65, 12.3),
    (10.0, 0.80, 16.4),
    (21.1, 0.40, 7.7),
    (21.1, 0.65, 12.0),
    (26.7, 0.50, 9.1),
    (37.8, 0.90, 19.5),
]


@pytest.mark.parametrize(("celsius", "humidity", "percent"), TABLE_4_2)
def test_air_for_a_moisture_against_the_handbook(
    celsius: float, humidity: float, percent: float
) -> None:
    """Within what half the last digit of the moisture is worth there."""
    ends = moisture.humidity_for_moisture(
        celsius + 273.15, [(percent - 0.05) / 100.0, (percent + 0.05) / 100.0]
    )
    assert ends[0] <= humidity <= ends[1]


def test_air_for_a_moisture_undoes_the_moisture() -> None:
    humidity = np.linspace(0.05, 0.95, 19)
    settled = moisture.equilibrium_moisture(290.0, humidity)
    np.testing.assert_allclose(moisture.humidity_for_moisture(290.0, settled), humidity, rtol=1e-12)
