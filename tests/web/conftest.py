"""A workshop over a shelf of the demonstration, asked in this process."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from panelwright.jobs.shelf import Shelf, open_shelf
from panelwright.web.access import Access
from panelwright.web.app import create_app

HERE = "http://127.0.0.1"


@pytest.fixture(scope="session")
def shelf(demonstration: Path, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shelf]:
    """The demonstration, for tests that only read or that add."""
    folder = tmp_path_factory.mktemp("workshop") / "shelf"
    shutil.copytree(demonstration, folder)
    made = open_shelf(folder)
    yield made
    made.close()


@pytest.fixture
def visitor(shelf: Shelf) -> Iterator[TestClient]:
    """A browser on this machine."""
    with TestClient(create_app(shelf), base_url=HERE) as client:
        yield client


@pytest.fixture
def networked(shelf: Shelf) -> Iterator[TestClient]:
    """A browser elsewhere on the shop's network, not let in yet."""
    app = create_app(shelf, Access("four words of a shop"))
    with TestClient(app, base_url="http://192.168.7.20:8377") as client:
        yield client


@pytest.fixture
def own_shelf(tmp_path: Path) -> Iterator[Shelf]:
    """An empty shelf for one test."""
    made = open_shelf(tmp_path / "shelf")
    yield made
    made.close()
