"""What all tests share."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from hypothesis import settings

from panelwright.jobs.demonstration import fill_with_demonstration
from panelwright.jobs.shelf import PHOTOS, Shelf, open_shelf

from .servers import empty_database, running

# The same examples each time: a check that fails now and then says nothing about a change.
settings.register_profile("house", derandomize=True, deadline=None)
settings.load_profile("house")


@pytest.fixture(scope="session")
def root() -> Path:
    """The folder of the project."""
    return Path(__file__).resolve().parent.parent


@pytest.fixture(scope="session")
def server() -> Iterator[str]:
    """The socket of a PostgreSQL server, started when first asked for."""
    with running() as socket:
        yield socket


@pytest.fixture(params=["folder", "server"])
def place(request: pytest.FixtureRequest, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """Where a shelf may be made: a folder, and a database on a server."""
    monkeypatch.setenv(PHOTOS, str(tmp_path / "photos"))
    if request.param == "folder":
        return str(tmp_path / "shelf")
    return empty_database(request.getfixturevalue("server"))


@pytest.fixture
def shelf(place: str) -> Iterator[Shelf]:
    """An empty shelf, in a folder and on a server."""
    opened = open_shelf(place)
    yield opened
    opened.close()


@pytest.fixture(scope="session")
def demonstration(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The folder of a shelf with the demonstration, closed; to be copied, not opened."""
    folder = tmp_path_factory.mktemp("demonstration") / "shelf"
    made = open_shelf(folder)
    fill_with_demonstration(made)
    made.close()
    return folder
