"""Running the command line in this process, as the installed command does."""

from __future__ import annotations

import sys
from dataclasses import dataclass

import pytest

from panelwright.cli.main import run


@dataclass(frozen=True)
class Ran:
    """What a command left behind."""

    code: int
    out: str
    err: str


class Command:
    """``panelwright`` with arguments."""

    def __init__(self, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
        self.monkeypatch = monkeypatch
        self.capsys = capsys

    def __call__(self, *arguments: str) -> Ran:
        self.monkeypatch.setattr(sys, "argv", ["panelwright", *arguments])
        self.capsys.readouterr()
        with pytest.raises(SystemExit) as left:
            run()
        out, err = self.capsys.readouterr()
        code = left.value.code
        assert code is None or isinstance(code, int)
        return Ran(code or 0, out, err)
