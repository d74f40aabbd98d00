"""Our formulas against worked checks from outside: builds, timber, plies, laminates.

Source and status of each case stand beside it in the JSON files and in docs/reference_checks.md.
"""

from __future__ import annotations

import numpy as np
import pytest

from panelwright.mechanics.arrays import Array

from .answers import held_against, moisture_points
from .cases import Case, Expected, build_cases, mechanics_cases, moisture_table, timber_cases

AGREEING = [case for case in timber_cases() if not case.disagrees]
DISAGREEING = [case for case in timber_cases() if case.disagrees]


def _id(case: Case) -> str:
    return case.id


def _check(case: Case, expected: Expected, ours: Array) -> None:
    assert expected.within(ours), (
        f"{case.id}, {expected.name}: printed {expected.value} {expected.unit}, "
        f"ours {expected.shown(ours)} ({case.source})"
    )


def _hold(case: Case) -> None:
    for expected, ours in held_against(case):
        _check(case, expected, ours)


@pytest.mark.parametrize("case", build_cases(), ids=_id)
def test_build(case: Case) -> None:
    _hold(case)


@pytest.mark.parametrize(
    ("case", "name"),
    [
        pytest.param(case, name, id=f"{case.id}-{name}")
        for case in mechanics_cases()
        for name in case.expected
    ],
)
def test_mechanics(case: Case, name: str) -> None:
    _check(case, *next(pair for pair in held_against(case) if pair[0].name == name))


@pytest.mark.parametrize("case", AGREEING, ids=_id)
def test_timber(case: Case) -> None:
    _hold(case)


@pytest.mark.parametrize("case", DISAGREEING, ids=_id)
def test_known_disagreements_are_still_there(case: Case) -> None:
    """The page lists these; a case that comes to agree must leave the list."""
    assert not any(expected.within(ours) for expected, ours in held_against(case))


def test_moisture_against_the_equation() -> None:
    """The equation of FPL-RN-0268, worked outside this code and printed to two decimals."""
    difference = moisture_points() - np.array(moisture_table()["equation_pct"])
    assert difference.shape == (8, 10)
    assert np.max(np.abs(difference)) <= 0.005


def test_moisture_against_the_handbook() -> None:
    """FPL-GTR-190, Table 4-2 (from memory), printed to one decimal.

    To two decimals the equation lies within the table's rounding everywhere. Unrounded, three of
    the eighty values are past it, by 0.0006 to 0.0038 points: the table was rounded down from
    what the equation makes 13.5506, 6.2514 and 19.8538.
    """
    table = np.array(moisture_table()["handbook_pct"])
    difference = np.abs(moisture_points() - table)
    assert np.max(np.abs(np.round(moisture_points(), 2) - table)) <= 0.05 + 1e-9
    assert np.sum(difference > 0.05) == 3
    assert np.max(difference) < 0.054


def test_every_case_is_here_once() -> None:
    ids = [case.id for case in (*build_cases(), *timber_cases(), *mechanics_cases())]
    assert len(ids) == len(set(ids))
    assert (len(build_cases()), len(timber_cases()), len(mechanics_cases())) == (64, 35, 27)


@pytest.mark.parametrize("case", [*build_cases(), *timber_cases(), *mechanics_cases()], ids=_id)
def test_case_names_source_and_status(case: Case) -> None:
    assert case.source
    assert case.status
    assert case.expected
    counts = [np.all(np.mod(printed.value, 1.0) == 0.0) for printed in case.expected.values()]
    assert all(
        printed.rel + printed.abs > 0.0 or whole
        for printed, whole in zip(case.expected.values(), counts, strict=True)
    )
