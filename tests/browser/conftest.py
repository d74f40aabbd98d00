"""A workshop served over a shelf of the demonstration, and a browser before it."""

from __future__ import annotations

import os
import shutil
import threading
import time
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest
import uvicorn
from playwright.sync_api import BrowserContext, Page

from panelwright.jobs.shelf import open_shelf
from panelwright.web.access import Access
from panelwright.web.app import create_app
from panelwright.web.serving import LOOPBACK, listening

PATIENCE = 20.0
#: Where workshops of the tests listen: each of the processes that test side by side has ports of
#: its own, so that one that comes back finds its port free.
PORT = 18400 + 100 * int(os.environ.get("PYTEST_XDIST_WORKER", "gw0").removeprefix("gw"))


class Workshop:
    """A server over a folder; may be stopped and started again."""

    def __init__(self, folder: Path, access: Access | None = None) -> None:
        self.folder = folder
        self._access = access
        self.start()

    def start(self) -> None:
        """Open the shelf and answer at ``address``."""
        self.shelf = open_shelf(self.folder)
        self._held = listening(LOOPBACK, PORT)
        self.address = f"http://{LOOPBACK}:{self._held.getsockname()[1]}"
        app = create_app(self.shelf, self._access)
        self._server = uvicorn.Server(uvicorn.Config(app, log_level="warning", ws="none"))
        self._thread = threading.Thread(target=self._server.run, args=([self._held],))
        self._thread.start()
        began = time.monotonic()
        while not self._server.started:
            assert time.monotonic() - began < PATIENCE, "the workshop did not open"
            time.sleep(0.01)

    def close(self) -> None:
        """Answer no more."""
        self._server.should_exit = True
        self._thread.join(PATIENCE)
        assert not self._thread.is_alive()
        self._held.close()
        self.shelf.close()


@pytest.fixture(scope="session")
def browser_type_launch_args() -> dict[str, Any]:
    """The browser of the system."""
    program = next(
        filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None
    )
    if program is None:
        pytest.fail("these tests need a browser: sudo apt install chromium")
    words = (
        "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking "
        "--disable-component-update --disable-sync"
    )
    return {"executable_path": program, "args": words.split()}


@pytest.fixture(scope="session")
def workshop(demonstration: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Workshop]:
    """The demonstration, for tests that only read."""
    folder = tmp_path_factory.mktemp("served") / "shelf"
    shutil.copytree(demonstration, folder)
    with closing(Workshop(folder)) as made:
        yield made


@pytest.fixture(scope="session")
def base_url(workshop: Workshop) -> str:
    """Where paths lead that a test gives without a host."""
    return workshop.address


@pytest.fixture
def own_workshop(demonstration: Path, tmp_path: Path) -> Iterator[Workshop]:
    """The demonstration, for one test that writes."""
    shutil.copytree(demonstration, tmp_path / "shelf")
    with closing(Workshop(tmp_path / "shelf")) as made:
        yield made


@pytest.fixture
def quiet(context: BrowserContext) -> Iterator[list[str]]:
    """What went wrong in the browser or left this machine; must be nothing at the end."""
    heard: list[str] = []

    def failed(request: Any) -> None:
        if request.failure != "net::ERR_ABORTED":  # left for another page before it was all here
            heard.append(f"{request.url}: {request.failure}")

    def watch(page: Page) -> None:
        page.on("console", lambda said: heard.append(f"{said.type}: {said.text}"))
        page.on("pageerror", lambda wrong: heard.append(str(wrong)))
        page.on("requestfailed", failed)

    def asked(request: Any) -> None:
        place = urlsplit(request.url)
        if place.scheme != "data" and place.hostname != LOOPBACK:
            heard.append(f"asked elsewhere: {request.url}")

    context.on("page", watch)
    context.on("request", asked)
    yield heard
    assert heard == []
