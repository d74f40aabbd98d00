"""What was acknowledged is there after the power went, or kill -9."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

from panelwright.jobs.shelf import open_shelf

from .test_trouble import PANEL

WRITES = 200

#: Writes pieces for ever, and says each number once it was told that it is kept.
WRITER = """
import sys
from panelwright.jobs.shelf import Gauged, Record, open_shelf
shelf = open_shelf(sys.argv[1])
while True:
    record = Record("2026-03-01", 0.5, 0.0, 0.5, 0.25, (Gauged("a", 6e-3), Gauged("b", 6e-3)))
    print(shelf.save_piece("P-0001", title="x" * 300, record=record), flush=True)
"""


def _killed_after(folder: Path, writes: int) -> list[str]:
    """The numbers that a writer said before it was killed in the middle of going on."""
    words = [sys.executable, "-c", WRITER, str(folder)]
    surroundings = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True, env=surroundings) as writer:
        assert writer.stdout is not None
        said = [writer.stdout.readline().strip() for _ in range(writes)]
        os.kill(writer.pid, signal.SIGKILL)
        said += [line.strip() for line in writer.stdout if line.endswith("\n")]
    assert writer.returncode == -signal.SIGKILL
    return said


def test_every_acknowledged_write_is_there_after_kill_9(tmp_path: Path) -> None:
    folder = tmp_path / "shelf"
    shelf = open_shelf(folder)
    shelf.save_panel(PANEL)
    shelf.close()
    said: list[str] = []
    for writes in (1, 3, 40, WRITES - 44):
        said += _killed_after(folder, writes)
        shelf = open_shelf(folder)
        assert shelf.verify().problems == ()
        pieces = {piece.number: piece for piece in shelf.panel("P-0001").pieces}
        shelf.close()
        assert set(said) <= set(pieces)
        assert len(pieces) - len(said) <= 4, "at most one for each kill was not said"
        assert all(len(piece.records[0].gauged) == 2 for piece in pieces.values())
    assert len(said) >= WRITES


#: Opens the shelf and keeps a panel.
OPENER = """
import sys
from panelwright.jobs.shelf import open_shelf
shelf = open_shelf(sys.argv[1])
print(shelf.just_made, shelf.save_panel(sys.argv[2])[0], flush=True)
"""


def test_programs_that_start_at_once_make_one_shelf(place: str) -> None:
    words = [sys.executable, "-c", OPENER, place, PANEL]
    surroundings = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    started = [
        subprocess.Popen(words, stdout=subprocess.PIPE, text=True, env=surroundings)
        for _ in range(4)
    ]
    said = [one.communicate()[0].split() for one in started]
    assert [made for made, _ in said].count("True") == 1
    assert sorted(number for _, number in said) == ["P-0001", "P-0002", "P-0003", "P-0004"]
    shelf = open_shelf(place)
    assert shelf.verify().problems == ()
    shelf.close()
