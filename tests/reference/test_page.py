"""docs/reference_checks.md says what the script makes of today's cases and formulas."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path

import pytest

SCRIPT = Path(__file__).parents[2] / "docs" / "make_reference_checks.py"


def test_page_is_up_to_date(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("sys.path", list(sys.path))
    spec = importlib.util.spec_from_file_location("make_reference_checks", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    script = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(script)
    written = script.PAGE.read_text(encoding="utf-8")
    assert written == script.page(), "run: python docs/make_reference_checks.py"
