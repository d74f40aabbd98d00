"""The catalogue with the user's own materials beside it."""

from __future__ import annotations

from pathlib import Path

from platformdirs import user_config_path

from panelwright.materials.catalogue import Catalogue

OWN_FILE = "materials.toml"


def own_file() -> Path:
    """Where a user's own materials are read from when no other file is named."""
    return user_config_path("panelwright", appauthor=False) / OWN_FILE


def catalogue_with(path: Path | None) -> Catalogue:
    """The shipped catalogue, and the rows of ``path`` or of the user's own file if there is one."""
    shipped = Catalogue.shipped()
    if path is not None:
        return shipped.with_file(path)
    return shipped.with_file(own_file()) if own_file().is_file() else shipped


def catalogue_of_shelf(place: str, path: Path | None) -> Catalogue:
    """What panels of a shelf are predicted with, and the rows of ``path`` beside it."""
    from contextlib import closing

    from panelwright.jobs.shelf import open_shelf

    with closing(open_shelf(place)) as shelf:
        catalogue = shelf.catalogue()
    return catalogue if path is None else catalogue.with_file(path)
