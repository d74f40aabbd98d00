"""Our strips on a form against geometry and beam theory worked outside this code.

Source and status of each case stand in its file under ``mechanics/``.
"""

from __future__ import annotations

import pytest

from .answers import held_against
from .cases import Case, planking_cases


@pytest.mark.parametrize("case", planking_cases(), ids=lambda case: case.id)
def test_strips_on_a_form(case: Case) -> None:
    off = [
        f"{printed.name}: printed {printed.value} {printed.unit}, ours {printed.shown(ours)}"
        for printed, ours in held_against(case)
        if not printed.within(ours)
    ]
    assert not off, f"{case.id} ({case.source}): {'; '.join(off)}"


def test_every_case_is_here_once() -> None:
    ids = [case.id for case in planking_cases()]
    assert len(ids) == len(set(ids)) == 6
    assert sum(len(case.expected) for case in planking_cases()) == 63
    assert all(case.source and case.status for case in planking_cases())
