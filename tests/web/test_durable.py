"""A workshop that is killed keeps what it said it had kept."""

from __future__ import annotations

import os
import re
import shutil
import signal
import subprocess
import sys
import threading
from pathlib import Path

import httpx2

from panelwright.jobs.shelf import open_shelf

SERVE = "import sys; from panelwright.web.serving import serve; serve(sys.argv[1], 18700)"
WRITERS, LEAST = 3, 20


def _write(address: str, said: list[str], enough: threading.Event) -> None:
    """Keep pieces until the workshop is gone."""
    with httpx2.Client(base_url=address) as browser:
        page = browser.get("/panel/P-0001/piece").text
        mark = re.findall(r'name="mark" value="(\w+)"', page)[0]
        while True:
            try:
                answer = browser.post("/panel/P-0001/piece", data={"mark": mark, "weight": "1 kg"})
            except httpx2.TransportError:
                return
            assert answer.status_code == 303
            said.append(answer.headers["location"].rpartition("/")[2])
            if len(said) >= LEAST:
                enough.set()


def test_every_acknowledged_form_is_kept_after_kill_9(demonstration: Path, tmp_path: Path) -> None:
    folder = tmp_path / "shelf"
    shutil.copytree(demonstration, folder)
    shelf = open_shelf(folder)
    before = {piece.number for piece in shelf.panel("P-0001").pieces}
    shelf.close()
    surroundings = {**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)}
    words = [sys.executable, "-u", "-c", SERVE, str(folder)]
    said: list[str] = []
    enough = threading.Event()
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True, env=surroundings) as server:
        assert server.stdout is not None
        address = next(
            found[1]
            for line in server.stdout
            if (found := re.search(r"(http://127\.0\.0\.1:\d+)/", line))
        )
        writers = [
            threading.Thread(target=_write, args=(address, said, enough)) for _ in range(WRITERS)
        ]
        for writer in writers:
            writer.start()
        assert enough.wait(60)
        server.send_signal(signal.SIGKILL)
        for writer in writers:
            writer.join(30)
    shelf = open_shelf(folder)
    kept = {piece.number for piece in shelf.panel("P-0001").pieces} - before
    assert shelf.verify().problems == ()
    shelf.close()
    assert set(said) <= kept
    assert len(kept) - len(said) <= WRITERS
