"""Our criteria and failure modes against worked checks from outside.

Source and status of each case stand in its file under ``mechanics/``.
"""

from __future__ import annotations

import pytest

from .cases import Case, strength_cases
from .strength import ANSWERS


@pytest.mark.parametrize(
    ("case", "name"),
    [
        pytest.param(case, name, id=f"{case.id}-{name}")
        for case in strength_cases()
        for name in case.expected
    ],
)
def test_strength(case: Case, name: str) -> None:
    expected, ours = case.expected[name], ANSWERS[case.id](case)[name]
    assert expected.within(ours), (
        f"{case.id}, {name}: printed {expected.value} {expected.unit}, "
        f"ours {expected.shown(ours)} ({case.source})"
    )


@pytest.mark.parametrize("case", strength_cases(), ids=lambda case: case.id)
def test_each_case_is_answered_in_full(case: Case) -> None:
    assert ANSWERS[case.id](case).keys() == case.expected.keys()
    assert case.source
    assert case.status
    assert all(printed.rel + printed.abs > 0.0 for printed in case.expected.values())


def test_every_case_is_here_once() -> None:
    ids = [case.id for case in strength_cases()]
    assert sorted(ids) == sorted(ANSWERS)
    assert len(ids) == len(set(ids)) == 13
