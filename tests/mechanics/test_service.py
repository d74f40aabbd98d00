"""What is left between the conditions tried; nothing is told beyond them."""

import numpy as np
import pytest

from panelwright.mechanics.service import share_left

# Made up for the test: nothing is lost at 298 K, then 0.9 at 313 K and 0.6 at 343 K.
TRIED, LEFT = np.array([298.0, 313.0, 343.0]), np.array([1.0, 0.9, 0.6])


def test_straight_between_the_conditions_tried() -> None:
    found = share_left([280.0, 298.0, 305.5, 313.0, 328.0, 343.0], TRIED, LEFT)
    assert found == pytest.approx([1.0, 1.0, 0.95, 0.9, 0.75, 0.6])


def test_nothing_is_told_beyond_the_last() -> None:
    assert np.isnan(share_left(343.1, TRIED, LEFT))
