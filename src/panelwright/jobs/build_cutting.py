"""What is cut and planked for each part of a job: cloth from rolls, core from sheets, strips."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from functools import partial
from typing import TypeVar

from panelwright.errors import InputError
from panelwright.fabrication.buying import called
from panelwright.fabrication.cutting import (
    Cloth,
    ClothCut,
    Roll,
    Sheet,
    SheetCut,
    cloth_cut,
    core_sheets,
    either_run,
)
from panelwright.fabrication.one_face import OneFace, one_face
from panelwright.fabrication.outline import Outline, outline_of
from panelwright.fabrication.part import PartDescription, Stock
from panelwright.fabrication.plan import AtBend, Cut
from panelwright.fabrication.shape import Shape
from panelwright.fabrication.strip_records import Air, Boards, Planking, Station, StripsRecord
from panelwright.fabrication.strips import plan_strips
from panelwright.fabrication.usual import usual
from panelwright.jobs.build_mass import Piece, sacrificed
from panelwright.jobs.faired import faired_place
from panelwright.jobs.predict import glance_with_ranges
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import nearest
from panelwright.panels.layers import ClothLayer, CoreLayer, StripsLayer
from panelwright.panels.places import Path
from panelwright.panels.stack import StackLayer
from panelwright.units import Quantity

R = TypeVar("R")


def cut_for(piece: Piece, job: PartDescription, catalogue: Catalogue) -> Cut:
    """What is cut for a part. Raises :class:`InputError` for what cannot be cut or bent."""
    outline = _outline(piece.shape)
    planks = tuple(_planks(piece, job, catalogue))
    return Cut(
        tuple(_cloths(piece, outline, job, catalogue)),
        tuple(_cores(piece, outline, job)),
        planks,
        _one_face(piece, catalogue) if planks else None,
        _at_bend(piece, planks, catalogue),
    )


def _outline(shape: Shape) -> Outline:
    if shape.is_shell:
        return outline_of([s.at for s in shape.stations], [s.girth for s in shape.stations])
    return outline_of([0.0, shape.length], [shape.girth, shape.girth])


def stock_of(job: PartDescription, name: str) -> tuple[Path, Stock] | None:
    """How the part file says that a material is sold, with its place there."""
    found = [(called(stock.of, name), -index) for index, stock in enumerate(job.job.stock)]
    how_well, place = max(found, default=(0, 0))
    return (("stock", -place), job.job.stock[-place]) if how_well else None


def stock_unused(pieces: Sequence[Piece], job: PartDescription) -> Iterator[str]:
    """What the part file says how it is sold, but no part is made of: perhaps misspelt."""
    names = list(dict.fromkeys(la.name for piece in pieces for la in piece.resolved.layers))
    names += [name for piece in pieces for name, _ in sacrificed(piece)]
    for stock in job.job.stock:
        if any(called(stock.of, name) for name in names):
            continue
        alike = nearest(stock.of, names, 1) or names[:1]
        yield f'[[stock]] of = "{stock.of}" belongs to no layer of this job; one is "{alike[0]}"'


def _value(quantity: Quantity | None, otherwise: float | None) -> float:
    return (otherwise or 0.0) if quantity is None else quantity.value


def _placed(job: PartDescription, path: Path, make: Callable[[], R]) -> R:
    """What is made, or the refusal with its place in the part file."""
    try:
        return make()
    except InputError as wrong:
        raise InputError([job.problem(path, problem) for problem in wrong.problems]) from None


# --- Cloth and core -------------------------------------------------------------------------------


def _cloths(
    piece: Piece, outline: Outline, job: PartDescription, catalogue: Catalogue
) -> Iterator[ClothCut]:
    """The cloths of a part, those of one name and direction together."""
    together: dict[tuple[str, float | None, bool, bool], int] = {}
    for number, one in enumerate(piece.resolved.laid):
        if isinstance(one.layer, ClothLayer):
            rows = [la for la in piece.resolved.layers if la.laid == number]
            shares = [share for la in rows for share in _directions(la)]
            directed = any(angle is not None for angle, _ in shares)
            turn = 0.0 if one.layer.angle is None else one.layer.angle.value
            angle = turn % 180.0 if directed else None
            key = (rows[0].name, angle, either_run(shares), directed and len(rows) > 1)
            together[key] = together.get(key, 0) + 1
    for name, times in sacrificed(piece):
        if stock_of(job, name) is not None:
            together[name, None, True, False] = times
    for (name, angle, either, swaps), plies in together.items():
        found = stock_of(job, name)
        path, stock = found if found is not None else ((), Stock(of=name))
        cloth = replace(_cloth(name, angle, stock, plies, catalogue), either=either, swaps=swaps)
        yield _placed(job, path, partial(cloth_cut, cloth, outline))


def _directions(ply: StackLayer) -> list[tuple[float | None, float]]:
    """Directions of the fibre of one ply and their masses: a woven one has two."""
    mass = ply.inputs["fibre_mass"].value
    if ply.angle is None or "is_woven" not in ply.inputs:
        return [(ply.angle, mass)]
    warp = ply.inputs["warp_share"].value
    return [(ply.angle, warp * mass), (ply.angle + 90.0, (1.0 - warp) * mass)]


def _cloth(
    name: str,
    angle: float | None,
    stock: Stock,
    plies: int,
    catalogue: Catalogue,
) -> Cloth:
    width, lap, stagger, trim = (
        usual(catalogue, id).value for id in ("roll_width", "overlap", "stagger", "end_trim")
    )
    return Cloth(
        name,
        Roll(_value(stock.width, width), None if stock.length is None else stock.length.value),
        plies,
        angle,
        lap=0.0 if stock.butt else _value(stock.overlap, lap),
        trim=_value(stock.trim, trim),
        stagger=_value(stock.stagger, stagger),
        one_piece=stock.one_piece,
        run=stock.run or "",
    )


def _cores(piece: Piece, outline: Outline, job: PartDescription) -> Iterator[tuple[str, SheetCut]]:
    """Sheets of the cores that the part file says the sheet of."""
    tightest = piece.shape.tightest
    bend = 0.0 if tightest is None or tightest.radius is None else 1.0 / tightest.radius
    for number, one in enumerate(piece.resolved.laid):
        if not isinstance(one.layer, CoreLayer):
            continue
        name = next(la.name for la in piece.resolved.layers if la.laid == number and not la.film)
        found = stock_of(job, name)
        if found is None or found[1].length is None or found[1].width is None:
            continue
        sheet = Sheet(found[1].length.value, found[1].width.value)
        thickness = one.layer.thickness.value
        yield name, core_sheets(sheet, outline, thickness, bend)


# --- Strips ---------------------------------------------------------------------------------------


def _stations(shape: Shape) -> tuple[Station, ...]:
    if shape.is_shell:
        return tuple(Station(one.at, one.girth, one.radius) for one in shape.stations)
    return Station(0.0, shape.girth), Station(shape.length, shape.girth)


def _air(piece: Piece) -> Air | None:
    shop = piece.resolved.description.panel.shop
    if shop is None:
        return None
    return Air(shop.temperature.value, shop.humidity.low, shop.humidity.high)


def _boards(stock: Stock) -> Boards | None:
    sides = (stock.width, stock.thickness, stock.length)
    if any(side is None for side in sides):
        return None
    width, thickness, length = (_value(side, None) for side in sides)
    return Boards(width, thickness, length, None if stock.kerf is None else stock.kerf.value)


def _planks(piece: Piece, job: PartDescription, catalogue: Catalogue) -> Iterator[StripsRecord]:
    spare = piece.resolved.bench.get("strip_spare")
    for layer in piece.resolved.layers:
        described = piece.resolved.laid[layer.laid].layer
        covers = isinstance(described, StripsLayer) and described.strip.cover is not None
        if layer.kind != "strips" or layer.film or spare is None or not covers:
            continue
        found = stock_of(job, layer.name)
        stock = Stock(of=layer.name) if found is None else found[1]
        assert isinstance(described, StripsLayer)
        width = described.strip.width
        bend = piece.part.strip_bend
        asked = Planking(
            layer,
            _stations(piece.shape),
            spare,
            None if width is None else width.value,
            None if bend is None else bend.value,
            _boards(stock),
            stock.scarf,
            _air(piece),
        )
        draws = piece.done.causes.draws
        yield _placed(job, piece.path, partial(plan_strips, asked, catalogue, draws))


def _one_face(piece: Piece, catalogue: Catalogue) -> OneFace | None:
    done = piece.done
    return one_face(
        done.stack,
        done.drawn_stack,
        piece.resolved.layers,
        piece.shape.girth,
        piece.resolved.inputs(),
        catalogue,
        _air(piece),
    )


def _at_bend(piece: Piece, planks: Sequence[StripsRecord], catalogue: Catalogue) -> AtBend | None:
    """The panel at its tightest bend across the strips, faired there; None where it has none."""
    radii = [s.radius for record in planks for s in record.stations if s.radius is not None]
    if not radii:
        return None
    there = faired_place(piece.done, min(radii), catalogue)
    return AtBend(
        glance_with_ranges(there.done, catalogue),
        there.lost,
        there.share_along,
        there.share_across,
    )
