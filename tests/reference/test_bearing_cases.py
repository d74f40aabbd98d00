"""Our strips and plates against tables and worked checks from outside.

Source and status of each case stand in its file under ``mechanics/``.
"""

from __future__ import annotations

import pytest

from .answers import answers
from .bearing import ANSWERS
from .cases import Case, bending_cases


@pytest.mark.parametrize("case", bending_cases(), ids=lambda case: case.id)
def test_bending(case: Case) -> None:
    ours = answers(case)
    assert ours.keys() == case.expected.keys()
    off = [
        f"{name}: printed {expected.value} {expected.unit}, ours {expected.shown(ours[name])}"
        for name, expected in case.expected.items()
        if not expected.within(ours[name])
    ]
    assert not off, f"{case.id} ({case.source}): {'; '.join(off)}"


def test_every_case_is_here_once() -> None:
    ids = [case.id for case in bending_cases()]
    assert sorted(ids) == sorted(ANSWERS)
    assert len(ids) == 20
    assert sum(len(case.expected) for case in bending_cases()) == 126
    assert all(case.source and case.status for case in bending_cases())
    assert all(e.rel + e.abs > 0.0 for case in bending_cases() for e in case.expected.values())
