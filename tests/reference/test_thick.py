"""Our plates against exact three-dimensional elasticity.

A plate theory is judged by its distance from the exact value: for panels with a core of timber,
foam or end grain 1 % in deflection from a span of ten thicknesses and 4 % from five, 3 % in the
stresses in the plane from twenty, 5 % in the shear of the core from ten. Laminates whose plies are
25 times as stiff along as across are farther off where they are thick.
"""

from __future__ import annotations

import pytest

from .cases import thick_cases
from .thick import Distance, distances, is_of_the_shop, kind

#: Largest distance allowed by what is asked, from a span over thickness on.
ALLOWED = {
    "deflection": ((10.0, 0.01), (5.0, 0.04)),
    "stress in the plane": ((20.0, 0.03),),
    "core shear": ((10.0, 0.05),),
}
#: Largest distance of the stress in a face from ten on.
FACES_AT_TEN = 0.015


def allowed(one: Distance) -> float | None:
    """Largest distance; None where none is set."""
    spans = ALLOWED[kind(one.name)]
    return next((limit for span, limit in spans if one.slenderness >= span), None)


HELD = [one for one in distances() if is_of_the_shop(one.case) and allowed(one) is not None]


def _id(one: Distance) -> str:
    return f"{one.case.id}-{one.name}"


@pytest.mark.parametrize("one", HELD, ids=_id)
def test_panels_with_a_core(one: Distance) -> None:
    limit = allowed(one)
    assert limit is not None
    assert abs(one.off) <= limit, f"exact {one.exact}, ours {one.ours} ({one.case.source})"


@pytest.mark.parametrize(
    "one",
    [
        one
        for one in distances()
        if is_of_the_shop(one.case)
        and one.slenderness >= 10
        and one.name.endswith(("top", "bottom"))
    ],
    ids=_id,
)
def test_faces_bend_by_themselves(one: Distance) -> None:
    """Straight normals alone are up to a quarter below the exact value."""
    assert abs(one.off) <= FACES_AT_TEN


@pytest.mark.parametrize(
    "one",
    [d for d in distances() if not is_of_the_shop(d.case) and d.slenderness >= 20],
    ids=_id,
)
def test_slender_laminates(one: Distance) -> None:
    """Deflection within 0.5 %, stress within 0.5 %, shear within 2 %."""
    limit = {"deflection": 0.005, "core shear": 0.02, "stress in the plane": 0.005}[kind(one.name)]
    assert abs(one.off) <= limit


@pytest.mark.parametrize(
    "one",
    [d for d in distances() if kind(d.name) == "deflection" and d.slenderness >= 10],
    ids=_id,
)
def test_deflection_of_laminates_at_ten(one: Distance) -> None:
    assert abs(one.off) <= 0.015


def test_every_value_is_here_once() -> None:
    assert len({(one.case.id, one.name) for one in distances()}) == len(distances())
    assert len(distances()) == sum(len(case.expected) for case in thick_cases()) == 228
    assert len(HELD) == 78
    assert all(case.source and case.status for case in thick_cases())
