"""The ledger: mass by cause, in the part, to mix and to buy, per area of panel."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from panelwright.mechanics import resin
from panelwright.mechanics.arrays import Array
from panelwright.panels.evaluate import Build
from panelwright.panels.stack import StackLayer

FIBRE = "fibre"
CLOTH_RESIN = "resin in the cloth"
SOAK = "soak"
SEAL_FILM = "seal film"
GLUE_LINES = "glue lines"
KERF_RESIN = "kerf resin"
SOLID = "core or timber"
COATS = "coats"
PEEL_PLY = "peel ply"
CONSUMABLES = "mesh, bleeder and lines"
LOSS = "pot and tool loss"
CAUSES = (
    FIBRE,
    CLOTH_RESIN,
    SOAK,
    SEAL_FILM,
    GLUE_LINES,
    KERF_RESIN,
    SOLID,
    COATS,
    PEEL_PLY,
    CONSUMABLES,
    LOSS,
)


@dataclass(frozen=True)
class Bench:
    """What the process takes beyond the part; panel values of shape ``(...)``, SI, shares."""

    pot_loss: Array
    peel_ply_resin: Array
    peel_ply_faces: Array
    bleeder_resin: Array
    mesh_resin: Array
    bag_faces: Array
    lines_resin: Array
    cloth_waste: Array
    core_waste: Array
    strip_spare: Array


@dataclass(frozen=True)
class Entry:
    """One cause: kg/m2 of panel, shape ``(...)``. ``mixes`` says whether it comes from a pot."""

    in_part: Array
    to_mix: Array
    to_buy: Array
    mixes: bool = True


@dataclass(frozen=True)
class Ledger:
    """Entries by cause, what to mix by product, and the totals of resin."""

    entries: dict[str, Entry]
    products: dict[str, Array]
    cloth_mass: Array
    resin_in_part: Array
    to_mix: Array


def _mask(flags: Sequence[bool]) -> Array:
    return np.array(flags, dtype=np.float64)


def _films(layers: list[StackLayer], film: str) -> Array:
    return _mask([layer.film == film for layer in layers])


def _everywhere(layers: list[StackLayer]) -> Array:
    return np.ones(len(layers))


def _poured(build: Build, layers: list[StackLayer]) -> dict[str, Entry]:
    """The causes that come out of a pot and lie in layers."""
    everywhere = _everywhere(layers)

    def whole(mass: Array, belongs: Array) -> Array:
        return resin.mass_of_cause(mass, belongs)

    cloth = resin.total(
        np.stack(
            [whole(build.cloth_resin, everywhere), whole(build.fill_resin, everywhere)], axis=-1
        )
    )
    soak, kerf = whole(build.soak, everywhere), whole(build.kerf, everywhere)
    lines = _films(layers, "glue line")
    glue = resin.total(np.stack([whole(build.film, lines), whole(build.edge, everywhere)], axis=-1))
    glue_laid = resin.total(
        np.stack([whole(build.film_laid, lines), whole(build.edge_laid, everywhere)], axis=-1)
    )
    seal = whole(build.film, _films(layers, "seal film"))
    coats = _films(layers, "coat")
    coats_laid = whole(build.film_laid, coats)
    return {
        CLOTH_RESIN: Entry(cloth, cloth, cloth),
        SOAK: Entry(soak, soak, soak),
        SEAL_FILM: Entry(seal, seal, seal),
        GLUE_LINES: Entry(glue, glue_laid, glue_laid),
        KERF_RESIN: Entry(kerf, kerf, kerf),
        COATS: Entry(whole(build.film, coats), coats_laid, coats_laid),
    }


def _taken_away(bench: Bench, laid_resin: Array) -> dict[str, Array]:
    """Resin of the panel's own product that leaves with peel ply, mesh, bleeder and lines."""
    peel = resin.resin_in_sacrificial_cloth(bench.peel_ply_resin, bench.peel_ply_faces)
    mesh = resin.resin_in_sacrificial_cloth(bench.mesh_resin, bench.bag_faces)
    bleeder = resin.resin_in_sacrificial_cloth(bench.bleeder_resin, bench.bag_faces)
    lines = resin.resin_in_lines(bench.lines_resin, laid_resin)
    return {PEEL_PLY: peel, CONSUMABLES: resin.total(np.stack([mesh, bleeder, lines], axis=-1))}


def _by_product(build: Build, layers: list[StackLayer]) -> dict[str, Array]:
    """What is laid of each product, per area, before consumables and loss."""
    names = sorted({p for la in layers for p in (la.resin, la.film_product, la.edge_product) if p})
    found = {}
    for name in names:
        poured = _mask([layer.resin == name for layer in layers])
        filmed = _mask([layer.film_product == name for layer in layers])
        edged = _mask([layer.edge_product == name for layer in layers])
        parts = [
            resin.mass_of_cause(build.cloth_resin, poured),
            resin.mass_of_cause(build.fill_resin, poured),
            resin.mass_of_cause(build.soak, poured),
            resin.mass_of_cause(build.kerf, poured),
            resin.mass_of_cause(build.film_laid, filmed),
            resin.mass_of_cause(build.edge_laid, edged),
        ]
        found[name] = resin.total(np.stack(parts, axis=-1))
    return found


def _solids(build: Build, layers: list[StackLayer], bench: Bench) -> Entry:
    strips = _mask([layer.kind == "strips" for layer in layers])
    timber = resin.mass_of_cause(build.solid, strips)
    sheets = resin.mass_of_cause(build.solid, 1.0 - strips)
    bought = [
        resin.with_waste(timber, bench.strip_spare),
        resin.with_waste(sheets, bench.core_waste),
    ]
    in_part = resin.total(np.stack([timber, sheets], axis=-1))
    return Entry(in_part, in_part * 0.0, resin.total(np.stack(bought, axis=-1)), mixes=False)


def _fibre(build: Build, layers: list[StackLayer], bench: Bench) -> Entry:
    everywhere = _everywhere(layers)
    parts = [build.fibre, build.water, build.thread]
    in_part = resin.total(
        np.stack([resin.mass_of_cause(part, everywhere) for part in parts], axis=-1)
    )
    return Entry(in_part, in_part * 0.0, resin.with_waste(in_part, bench.cloth_waste), mixes=False)


def ledger(build: Build, layers: list[StackLayer], bench: Bench, main_product: str) -> Ledger:
    """Where the mass goes.

    build : arrays ``(..., L)``; layers : the L stack layers; bench : values ``(...)``;
    main_product : name of the panel's resin, which peel ply, mesh and lines take away.
    """
    poured = _poured(build, layers)
    products = _by_product(build, layers)
    zero = build.areal_mass * 0.0
    laid_main = products.get(main_product, zero)
    taken = _taken_away(bench, laid_main)
    away = resin.total(np.stack(list(taken.values()), axis=-1))
    used = resin.total(np.stack([entry.to_mix for entry in poured.values()] + [away], axis=-1))
    loss = resin.pot_and_tool_loss(bench.pot_loss, used)
    entries = {
        FIBRE: _fibre(build, layers, bench),
        SOLID: _solids(build, layers, bench),
        **poured,
        **{cause: Entry(zero, mass, mass) for cause, mass in taken.items()},
        LOSS: Entry(zero, loss, loss),
    }
    if main_product in products or np.any(away > 0.0):
        products[main_product] = resin.total(np.stack([laid_main, away], axis=-1))
    mixed = {
        name: resin.with_waste(mass, bench.pot_loss)
        for name, mass in products.items()
        if np.any(mass > 0.0)
    }
    return Ledger(
        entries={cause: entries[cause] for cause in CAUSES},
        products=mixed,
        cloth_mass=resin.mass_of_cause(build.fibre, _everywhere(layers)),
        resin_in_part=resin.total(np.stack([entry.in_part for entry in poured.values()], axis=-1)),
        to_mix=resin.total(np.stack([used, loss], axis=-1)),
    )
