"""Which cloth, resin and process the table of ply strains holds no row for.

Asked of the catalogue as a panel asks it: form of the cloth, fibre, family of resin, process.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from panelwright.materials.catalogue import Catalogue
from panelwright.panels.resolve.strength import FAMILIES

Have = frozenset[tuple[str, str, str, str]]


@cache
def rows_that_are() -> Have:
    """Fibre, group of forms, family of resin and process of every row."""
    return frozenset(
        (row.text("fibre"), row.text("form_group"), family, process)
        for row in Catalogue.shipped().table("ply_strains").where(quantity="eps_1t")
        for family in row.text("resin_families").split(";")
        for process in row.text("processes").split(";")
    )


def parts(group: str) -> tuple[str, ...]:
    """Groups of the table that a group of forms needs: cloth with mat needs both its parts."""
    return ("stitched", "mat") if group == "combination" else (group,)


def cloths() -> Iterator[tuple[str, str, str]]:
    """Id and name of the fibre and group of forms of every cloth of the catalogue, each once."""
    shipped = Catalogue.shipped()
    found = dict.fromkeys(
        (
            cloth.text("fibre"),
            shipped.table("cloth_forms").row(cloth.text("form")).text("fraction_group"),
        )
        for cloth in shipped.table("cloths").where()
    )
    for fibre, group in found:
        yield fibre, shipped.table("fibres").row(fibre).name, group


def known(fibre: str, group: str, family: str, process: str) -> bool:
    """Whether every part of a cloth has its row."""
    return all((fibre, part, family, process) in rows_that_are() for part in parts(group))


def missing() -> Iterator[tuple[str, str, str, tuple[str, ...], int]]:
    """Fibre, form, family, names of the processes without a row, and of how many."""
    processes = [(row.id, row.name) for row in Catalogue.shipped().table("processes").where()]
    for fibre, name, group in cloths():
        for family in FAMILIES.values():
            without = tuple(
                said for process, said in processes if not known(fibre, group, family, process)
            )
            if without:
                yield name, group, family, without, len(processes)
