"""The tables that the docs call frozen still are what they were when the comparison was made."""

from __future__ import annotations

import pytest

from .frozen import FROZEN, Frozen, content


@pytest.mark.parametrize("one", FROZEN, ids=lambda one: one.table)
def test_a_frozen_table_is_unchanged(one: Frozen) -> None:
    """If it was changed for good reason: move it to CHANGED, with the reason."""
    assert content(one.table) == one.content
