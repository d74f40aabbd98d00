"""The ledger: mass by cause, in the part, to mix and to buy, per area of panel."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from panelwright.mechanics import resin
from panelwright.mechanics.arrays import Array
from panelwright.panels.evaluate import Build
from panelwright.panels.stack import StackLayer
from panelwright.working import leaf

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


@dataclass(frozen=True)
class Part:
    """One summand of a total: its name and its value, by which a working leads on to its maker."""

    name: str
    value: Array


def _sum(parts: Mapping[str, Array]) -> Array:
    """The sum of some causes, each declared by name."""
    joined = np.stack(list(parts.values()), axis=-1)
    leaf("causes", "kg/m²", joined, [Part(name, value) for name, value in parts.items()])
    return resin.total(joined)


def _where(layers: Sequence[StackLayer], says: str, holds: Callable[[StackLayer], bool]) -> Array:
    """1 for each layer of which something holds, else 0; ``says`` names it in a working."""
    found = np.array([holds(layer) for layer in layers], dtype=np.float64)
    leaf("counted", "-", found, [says])
    return found


def _everywhere(layers: Sequence[StackLayer]) -> Array:
    return _where(layers, "all layers", lambda layer: True)


def _films(layers: Sequence[StackLayer], film: str) -> Array:
    return _where(layers, f"layers that are a {film}", lambda layer: layer.film == film)


def _poured(build: Build, layers: Sequence[StackLayer]) -> dict[str, Entry]:
    """The causes that come out of a pot and lie in layers."""
    whole = resin.mass_of_cause
    everywhere, lines = _everywhere(layers), _films(layers, "glue line")
    coats = _films(layers, "coat")
    cloth = _sum(
        {
            "held by the cloth": whole(build.cloth_resin, everywhere),
            "held by a bulking mat": whole(build.fill_resin, everywhere),
        }
    )
    soak, kerf = whole(build.soak, everywhere), whole(build.kerf, everywhere)
    seal = whole(build.film, _films(layers, "seal film"))
    glue = _glue(build.film, build.edge, lines, everywhere)
    glue_laid = _glue(build.film_laid, build.edge_laid, lines, everywhere)
    coats_laid = whole(build.film_laid, coats)
    return {
        CLOTH_RESIN: Entry(cloth, cloth, cloth),
        SOAK: Entry(soak, soak, soak),
        SEAL_FILM: Entry(seal, seal, seal),
        GLUE_LINES: Entry(glue, glue_laid, glue_laid),
        KERF_RESIN: Entry(kerf, kerf, kerf),
        COATS: Entry(whole(build.film, coats), coats_laid, coats_laid),
    }


def _glue(film: Array, edge: Array, lines: Array, everywhere: Array) -> Array:
    """Glue between layers and between the strips of a layer."""
    return _sum(
        {
            "between layers": resin.mass_of_cause(film, lines),
            "between strips": resin.mass_of_cause(edge, everywhere),
        }
    )


def _taken_away(bench: Bench, laid_resin: Array) -> dict[str, Array]:
    """Resin of the panel's own product that leaves with peel ply, mesh, bleeder and lines."""
    peel = resin.resin_in_sacrificial_cloth(bench.peel_ply_resin, bench.peel_ply_faces)
    mesh = resin.resin_in_sacrificial_cloth(bench.mesh_resin, bench.bag_faces)
    bleeder = resin.resin_in_sacrificial_cloth(bench.bleeder_resin, bench.bag_faces)
    lines = resin.resin_in_lines(bench.lines_resin, laid_resin)
    return {PEEL_PLY: peel, CONSUMABLES: _sum({"mesh": mesh, "bleeder": bleeder, "lines": lines})}


def _by_product(build: Build, layers: Sequence[StackLayer]) -> dict[str, Array]:
    """What is laid of each product, per area, before consumables and loss."""
    names = sorted({p for la in layers for p in (la.resin, la.film_product, la.edge_product) if p})
    return {name: _laid(build, layers, name) for name in names}


def _laid(build: Build, layers: Sequence[StackLayer], product: str) -> Array:
    """What is laid of one product, per area."""
    whole = resin.mass_of_cause
    wet = _where(layers, f"layers wet out with {product}", lambda la: la.resin == product)
    film = _where(layers, f"films of {product}", lambda la: la.film_product == product)
    edge = _where(layers, f"strips glued with {product}", lambda la: la.edge_product == product)
    return _sum(
        {
            "held by the cloth": whole(build.cloth_resin, wet),
            "held by a bulking mat": whole(build.fill_resin, wet),
            SOAK: whole(build.soak, wet),
            KERF_RESIN: whole(build.kerf, wet),
            "films, as laid": whole(build.film_laid, film),
            "between strips, as laid": whole(build.edge_laid, edge),
        }
    )


def _solids(build: Build, layers: Sequence[StackLayer], bench: Bench) -> Entry:
    strips = _where(layers, "layers of strips", lambda layer: layer.kind == "strips")
    others = _where(layers, "layers that are not strips", lambda layer: layer.kind != "strips")
    timber = resin.mass_of_cause(build.solid, strips)
    sheets = resin.mass_of_cause(build.solid, others)
    in_part = _sum({"strips": timber, "sheets": sheets})
    bought = {
        "strips": resin.with_waste(timber, bench.strip_spare),
        "sheets": resin.with_waste(sheets, bench.core_waste),
    }
    return Entry(in_part, in_part * 0.0, _sum(bought), mixes=False)


def _fibre(build: Build, layers: Sequence[StackLayer], bench: Bench) -> Entry:
    everywhere = _everywhere(layers)
    parts = {"dry fibre": build.fibre, "its water": build.water, "stitching": build.thread}
    in_part = _sum({name: resin.mass_of_cause(mass, everywhere) for name, mass in parts.items()})
    return Entry(in_part, in_part * 0.0, resin.with_waste(in_part, bench.cloth_waste), mixes=False)


def _mixed(laid: Array, away: Array, bench: Bench) -> Array:
    """What to mix of a product: laid, taken away by consumables, and left in pots."""
    used = _sum({"laid": laid, "taken away": away})
    return _sum({"used": used, LOSS: resin.pot_and_tool_loss(bench.pot_loss, used)})


def _products(laid: Mapping[str, Array], main: str, away: Array, bench: Bench) -> dict[str, Array]:
    """What to mix of each product; consumables take away the panel's own resin."""
    nothing = away * 0.0
    mixed = {
        name: _mixed(laid.get(name, nothing), away if name == main else nothing, bench)
        for name in sorted({*laid, main})
    }
    return {name: mass for name, mass in mixed.items() if np.any(mass > 0.0)}


def ledger(build: Build, layers: Sequence[StackLayer], bench: Bench, main_product: str) -> Ledger:
    """Where the mass goes.

    build : arrays ``(..., L)``; layers : the L stack layers; bench : values ``(...)``;
    main_product : name of the panel's resin, which peel ply, mesh and lines take away.
    """
    poured, laid = _poured(build, layers), _by_product(build, layers)
    zero = build.areal_mass * 0.0
    taken = _taken_away(bench, laid.get(main_product, zero))
    used = _sum({cause: entry.to_mix for cause, entry in poured.items()} | taken)
    loss = resin.pot_and_tool_loss(bench.pot_loss, used)
    entries = {
        FIBRE: _fibre(build, layers, bench),
        SOLID: _solids(build, layers, bench),
        **poured,
        **{cause: Entry(zero, mass, mass) for cause, mass in taken.items()},
        LOSS: Entry(zero, loss, loss),
    }
    return Ledger(
        entries={cause: entries[cause] for cause in CAUSES},
        products=_products(laid, main_product, _sum(taken), bench),
        cloth_mass=resin.mass_of_cause(build.fibre, _everywhere(layers)),
        resin_in_part=_sum({cause: entry.in_part for cause, entry in poured.items()}),
        to_mix=_sum({"used": used, LOSS: loss}),
    )
