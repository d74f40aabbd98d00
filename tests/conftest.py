"""What all tests share."""

from pathlib import Path

import pytest
from hypothesis import settings

# The same examples each time: a check that fails now and then says nothing about a change.
settings.register_profile("house", derandomize=True, deadline=None)
settings.load_profile("house")


@pytest.fixture(scope="session")
def root() -> Path:
    """The folder of the project."""
    return Path(__file__).resolve().parent.parent
