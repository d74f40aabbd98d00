"""The command line under test, with nobody's own materials in the way."""

from __future__ import annotations

from pathlib import Path

import pytest

from .running import Command


@pytest.fixture
def panelwright(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> Command:
    """The command, run in this process; its settings lie in a folder of the test."""
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "settings"))
    return Command(monkeypatch, capsys)
