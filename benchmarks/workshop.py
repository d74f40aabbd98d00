"""How long the workshop takes with many panels: starting, its pages, its memory.

    python benchmarks/workshop.py [panels] [--keep FOLDER]

The shelf is that of benchmarks/shelf.py. Pages are asked over HTTP of a server of its own, which
is started as a person starts it; each page twice unseen, then the middle of several goes.
"""

from __future__ import annotations

import argparse
import http.client
import os
import re
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from shelf import fill, seconds

from panelwright.jobs.demonstration import fill_with_demonstration
from panelwright.jobs.shelf import open_shelf

PAGES = {
    "shelf": "/shelf",
    "shelf, words": "/shelf?find=tend+top",
    "shelf, words, span, core": "/shelf?find=skiff&thicker=5+mm&thinner=20+mm&core=end-grain+balsa",
    "shelf, page 300 by title": "/shelf?order=title&page=300",
    "panel": "/panel/P-0042",
    "panel, solid": "/panel/P-0041",
    "write a panel anew": "/panel/P-0042/write",
    "working of the thickness": "/panel/P-0042/working/thickness",
    "working of the stiffness": "/panel/P-0042/working/stiffness_along",
    "workings": "/panel/P-0042/working",
    "then and today": "/panel/P-0042/today",
    "everything, as text": "/panel/P-0042/full",
    "piece": "/piece/S-0001",
    "record": "/piece/S-0001/record",
    "materials": "/materials",
    "materials, words": "/materials?find=cedar",
    "about": "/about",
    "api: shelf": "/api/shelf",
    "api: panel": "/api/panel/P-0042",
    "datasheet": "/panel/P-0042/sheet.pdf",
}
PATIENCE = 60.0


def start(folder: Path) -> tuple[subprocess.Popen[str], int, float]:
    """The server, its port, and the time from its start to its first whole answer, s."""
    words = [sys.executable, "-m", "panelwright", "serve", "--no-browser", "--port", "18500"]
    # as start.py does: compiled files are kept
    surroundings = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
    began = time.perf_counter()
    server = subprocess.Popen(
        [*words, "--shelf", str(folder)],
        stdout=subprocess.PIPE,
        text=True,
        bufsize=1,
        env=surroundings,
    )
    assert server.stdout is not None
    for line in server.stdout:
        if found := re.search(r"http://127\.0\.0\.1:(\d+)/", line):
            port = int(found[1])
            ask(port, "/shelf")
            return server, port, time.perf_counter() - began
    raise RuntimeError("the server did not start")


def ask(port: int, path: str) -> bytes:
    """The content of a page; raises where it is refused."""
    line = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE)
    line.request("GET", path)
    answer = line.getresponse()
    content = answer.read()
    line.close()
    if answer.status != 200:
        raise RuntimeError(f"{path}: {answer.status}")
    return content


def memory(process: int) -> tuple[float, float]:
    """What a process holds now and held at most, MB."""
    told = Path(f"/proc/{process}/status").read_text()
    now, most = (int(re.findall(rf"{name}:\s+(\d+)", told)[0]) for name in ("VmRSS", "VmHWM"))
    return now / 1024, most / 1024


def stop(server: subprocess.Popen[str]) -> None:
    os.kill(server.pid, signal.SIGINT)
    server.wait(PATIENCE)


def main(count: int, folder: Path) -> None:
    if not folder.exists():
        shelf = open_shelf(folder)
        fill_with_demonstration(shelf)
        fill(shelf, count)
        shelf.close()
    starts = []
    for _ in range(4):
        server, port, taken = start(folder)
        starts.append(taken)
        if len(starts) < 4:
            stop(server)
    print(f"{'start to first shelf':<28}{sorted(starts[1:])[1] * 1e3:>8.0f} ms")
    for name, path in PAGES.items():
        for _ in range(2):
            size = len(ask(port, path))
        taken = seconds(lambda at=path: ask(port, at), 7)
        print(f"{name:<28}{taken * 1e3:>8.0f} ms{size / 1e3:>10.0f} kB")
    now, most = memory(server.pid)
    print(f"{'memory':<28}{now:>8.0f} MB{most:>10.0f} MB at most")
    stop(server)


if __name__ == "__main__":
    words = argparse.ArgumentParser()
    words.add_argument("panels", nargs="?", type=int, default=10_000)
    words.add_argument("--keep", type=Path)
    given = words.parse_args()
    with tempfile.TemporaryDirectory() as made:
        main(given.panels, given.keep or Path(made) / "shelf")
