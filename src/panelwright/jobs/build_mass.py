"""What a whole job takes: the ledger over its parts, mixes by product, and what to buy."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from panelwright import units
from panelwright.fabrication.buying import Buy, packed
from panelwright.fabrication.clock import Day
from panelwright.fabrication.cutting import ClothCut, SheetCut
from panelwright.fabrication.hours import Task
from panelwright.fabrication.ledger import CAUSES
from panelwright.fabrication.mixing import Mixing
from panelwright.fabrication.part import Part, PartDescription
from panelwright.fabrication.plan import Cut, JobMix, JobRow
from panelwright.fabrication.schedule import Session
from panelwright.fabrication.shape import Shape
from panelwright.fabrication.stages import POURED, Kind, Stage
from panelwright.fabrication.strip_records import StripsRecord, small
from panelwright.fabrication.usual import usual
from panelwright.jobs.predict import Evaluated
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics import laminate, paste, resin
from panelwright.mechanics.arrays import Array
from panelwright.panels.places import Path
from panelwright.panels.records import Prediction
from panelwright.panels.resolve import Resolved
from panelwright.panels.spread import Causes, Ranged, ranged
from panelwright.provenance import Evidence


@dataclass(frozen=True)
class Piece:
    """One part on the way to its plan."""

    index: int
    part: Part
    name: str
    shape: Shape
    done: Evaluated
    prediction: Prediction
    found: tuple[Stage, ...]
    tasks: tuple[Task, ...]

    @property
    def resolved(self) -> Resolved:
        """Its panel in numbers."""
        return self.done.resolved

    @property
    def path(self) -> Path:
        """Where the part file describes it."""
        return ("part", self.index)


@dataclass(frozen=True)
class Job:
    """All parts of a job and what they share."""

    pieces: Sequence[Piece]
    job: PartDescription
    catalogue: Catalogue
    causes: Causes
    main: str
    mixings: Mapping[str, Mixing]
    day: Day

    def over(
        self, value: Callable[[Piece], Array | float], drawn: Callable[[Piece], Array | float]
    ) -> Ranged:
        """A mass summed over the parts, as often as each is made; kg."""
        middle = math.fsum(piece.part.count * float(value(piece)) for piece in self.pieces)
        many = np.zeros(self.causes.draws)
        for piece in self.pieces:
            many = many + piece.part.count * np.asarray(drawn(piece), np.float64)
        return ranged(middle, many, "kg", self.causes)


FILLETS = "fillets"
#: Half of the 90 % range of a fillet drawn by hand, as a share. Common practice.
FILLET_SPREAD = 0.2


def fillets(piece: Piece, catalogue: Catalogue) -> dict[str, float]:
    """Paste in the fillets of one part by product, kg."""
    found: dict[str, float] = {}
    for fillet in piece.part.fillet:
        angle = 90.0 if fillet.angle is None else fillet.angle.value
        row = catalogue.find("resins", fillet.resin)
        section = paste.fillet_area(fillet.radius.value, np.radians(angle))
        each = paste.fillet_mass(section, row.number("density_cured") or 0.0)
        found[row.name] = found.get(row.name, 0.0) + float(each) * fillet.length.value
    return found


def _all_fillets(whole: Job) -> dict[str, float]:
    """Paste in the fillets of all parts by product, kg."""
    found: dict[str, float] = {}
    for piece in whole.pieces:
        for product, mass in fillets(piece, whole.catalogue).items():
            found[product] = found.get(product, 0.0) + piece.part.count * mass
    return found


def by_hand(mass: float) -> Ranged:
    """A mass of paste drawn by hand."""
    low, high = (mass * (1.0 + way * FILLET_SPREAD) for way in (-1.0, 1.0))
    return Ranged(mass, low, high, "kg", Evidence.PRACTICE)


def pot_loss(resolved: Resolved) -> float:
    """Share of the mix that stays in pots and on tools, on top of what is used."""
    return resolved.bench["pot_loss"].value if "pot_loss" in resolved.bench else 0.0


def _area(piece: Piece, column: str) -> float:
    """The area that a column of the ledger is taken over: what stays, or all that is laid."""
    return piece.shape.area if column == "in_part" else piece.shape.laid


def ledger_of(whole: Job) -> tuple[JobRow, ...]:
    """The ledger of the job: kg by cause, fillets included."""

    def column(cause: str, name: str) -> Ranged:
        return whole.over(
            lambda p: laminate.mass_of_area(
                getattr(p.done.books.entries[cause], name), _area(p, name)
            ),
            lambda p: laminate.mass_of_area(
                getattr(p.done.drawn_books.entries[cause], name), _area(p, name)
            ),
        )

    rows = [
        JobRow(
            cause,
            column(cause, "in_part"),
            column(cause, "to_mix"),
            column(cause, "to_buy"),
            whole.pieces[0].done.books.entries[cause].mixes,
        )
        for cause in CAUSES
    ]
    paste_mass = math.fsum(_all_fillets(whole).values())
    if paste_mass:
        mixed = by_hand(float(resin.with_waste(paste_mass, pot_loss(whole.pieces[0].resolved))))
        rows.append(JobRow(FILLETS, by_hand(paste_mass), mixed, mixed, mixes=True))
    return tuple(row for row in rows if row.to_buy.value > 0.0)


def mixes_of(whole: Job, sessions: Sequence[Session]) -> tuple[JobMix, ...]:
    """What to mix of each product over the job, the most first."""
    extra = {
        product: by_hand(float(resin.with_waste(mass, pot_loss(whole.pieces[0].resolved))))
        for product, mass in _all_fillets(whole).items()
    }
    names = sorted({*extra, *(name for p in whole.pieces for name in p.done.books.products)})
    found = [_mix(whole, sessions, name, extra.get(name)) for name in names]
    return tuple(sorted(found, key=lambda mix: -mix.to_mix.value))


def _mix(whole: Job, sessions: Sequence[Session], name: str, extra: Ranged | None) -> JobMix:
    def of(books: Mapping[str, Array], piece: Piece) -> Array:
        return laminate.mass_of_area(books.get(name, 0.0), piece.shape.laid)

    mass = whole.over(
        lambda p: of(p.done.books.products, p), lambda p: of(p.done.drawn_books.products, p)
    )
    if extra is not None:
        ends = (mass.value + extra.value, mass.low + extra.low, mass.high + extra.high)
        mass = Ranged(*ends, "kg", extra.evidence if mass.value == 0.0 else mass.evidence)
    counts = {piece.name: piece.part.count for piece in whole.pieces}
    pots = sum(
        counts[session.part] * len(batch.pots)
        for session in sessions
        for batch in session.batches
        if batch.product == name
    )
    given = whole.pieces[0].resolved.description.panel.resin_pack
    pack = None if given is None or name != whole.main else given.value
    packs = None if pack is None else int(resin.packs(mass.value, pack))
    mixing = whole.mixings.get(name)
    part = None if mixing is None else mixing.resin(mass.value)
    hardener = None if part is None else mass.value - part
    return JobMix(name, mass, part, hardener, pots, pack, packs)


# --- To buy ---------------------------------------------------------------------------------------


def to_buy(whole: Job, mixes: Sequence[JobMix], cuts: Mapping[int, Cut]) -> tuple[Buy, ...]:
    """What to buy, as the trade sells it; things of like name on one line.

    cuts : what is cut for each part, by its index.
    """
    lines = [line for piece in whole.pieces for line in _of_piece(whole, piece, cuts[piece.index])]
    lines += [_mixed(mix) for mix in mixes]
    merged: dict[tuple[str, str, str], Buy] = {}
    for line in lines:
        key = (line.group, line.what, line.per)
        merged[key] = line if key not in merged else _both(merged[key], line)
    return tuple(sorted(merged.values(), key=lambda line: _GROUPS.index(line.group)))


#: Order of the groups on the list.
_GROUPS = ("timber", "core", "cloth", "resin", "consumables")


def _both(one: Buy, other: Buy) -> Buy:
    units = {*one.other, *other.other}
    more = {unit: one.other.get(unit, 0.0) + other.other.get(unit, 0.0) for unit in units}
    note = one.note if one.note == other.note else "see what to cut"
    return replace(one, need=one.need + other.need, buy=one.buy + other.buy, other=more, note=note)


def _mixed(mix: JobMix) -> Buy:
    line = Buy("resin", mix.product, mix.to_mix.value, mix.to_mix.value, "kg")
    return line if mix.pack is None else packed(line, mix.pack)


def _of_piece(whole: Job, piece: Piece, cut: Cut) -> Iterator[Buy]:
    """Strips, sheets and cloth of one part, the rest by area with what is usually cut away."""
    count = piece.part.count
    yield from (_strip(record, count) for record in cut.strips)
    yield from (_sheet(name, sheets, count, piece) for name, sheets in cut.sheets)
    yield from (_cloth(cloth, count) for cloth in cut.cloth)
    counted = {record.name for record in cut.strips} | {name for name, _ in cut.sheets}
    counted |= {cloth.name for cloth in cut.cloth}
    for number, one in enumerate(piece.resolved.laid):
        rows = [j for j, la in enumerate(piece.resolved.layers) if la.laid == number]
        body = next((j for j in rows if not piece.resolved.layers[j].film), None)
        if body is None or one.kind not in _WASTE:
            continue
        if piece.resolved.layers[body].name not in counted:
            yield _layer(piece, body, one.kind)
    yield from _consumables(whole, piece, cut)


def _strip(record: StripsRecord, count: int) -> Buy:
    need, buy = count * record.running.value, count * record.to_have.value
    size = "" if record.width is None else f"{small(record.width)} wide, "
    note = f"{size}covering {small(record.cover)}"
    other = {"m2": count * record.area}
    if record.sawing is not None:
        boards = count * record.sawing.boards
        note += f"; {boards} boards, {record.sawing.per_board} strips from each"
        other["board"] = float(boards)
    return Buy("timber", record.name, need, buy, "m", note, other)


def _sheet(name: str, sheets: SheetCut, count: int, piece: Piece) -> Buy:
    number = float(count * sheets.sheets)
    area = count * piece.shape.laid
    note = f"{units.show(sheets.wasted, 'fraction')} cut away"
    return Buy("core", name, number, number, "sheet", note, {"m2": area})


def _cloth(cut: ClothCut, count: int) -> Buy:
    run = cut.chosen
    metres = count * run.metres
    width = units.show(run.area / run.metres if run.metres else 0.0, "length")
    wasted = units.show(round(run.wasted, 2), "fraction")
    note = f"{width} roll, {run.way}; {wasted} cut away"
    bought = metres
    if cut.rolls:
        bought = count * (run.metres + cut.left)
        note += f"; {count * cut.rolls} whole"
    group = "consumables" if cut.name in {PEEL_PLY, BAG_FILM} else "cloth"
    return Buy(group, cut.name, metres, bought, "m", note, {"m2": count * run.area})


#: What is bought of a layer by area: its group and the waste that the process usually has.
_WASTE = {
    "cloth": ("cloth", "cloth_waste"),
    "bulking_mat": ("cloth", "cloth_waste"),
    "strips": ("timber", "strip_spare"),
    "board": ("timber", "core_waste"),
    "veneer": ("timber", "core_waste"),
    "plywood": ("timber", "core_waste"),
    "core": ("core", "core_waste"),
    "damping": ("core", "core_waste"),
}


def _layer(piece: Piece, row: int, kind: str) -> Buy:
    group, column = _WASTE[kind]
    given = piece.resolved.bench.get(column)
    waste = 0.0 if given is None else given.value
    area = piece.part.count * piece.shape.laid
    layer = piece.resolved.layers[row]
    mass = float(piece.done.build.solid[row] + piece.done.build.fibre[row])
    need, bought = area, float(resin.with_waste(area, waste))
    note = f"{units.show(waste, 'fraction')} cut away"
    return Buy(group, layer.name, need, bought, "m2", note, {"kg": mass * area})


PEEL_PLY, BAG_FILM = "peel ply", "bag film"


def _bagged(piece: Piece) -> int:
    """How often the part goes under a bag."""
    if piece.resolved.process.number("bag_labour") is None:
        return 0
    return sum(stage.kind in {Kind.LAY, Kind.POUR} for stage in piece.found)


def sacrificed(piece: Piece) -> list[tuple[str, int]]:
    """Cloth and film that are laid over the part and pulled off again, and how often."""
    peels = piece.resolved.bench.get("peel_ply_faces")
    times = ((PEEL_PLY, 0 if peels is None else int(peels.value)), (BAG_FILM, _bagged(piece)))
    return [(name, count) for name, count in times if count]


def _consumables(whole: Job, piece: Piece, cut: Cut) -> Iterator[Buy]:
    count, goes = piece.part.count, _bagged(piece)
    area = count * piece.shape.laid
    film, tape = (usual(whole.catalogue, id) for id in ("bag_film", "sealant_tape"))
    by_roll = {cloth.name for cloth in cut.cloth}
    for name, times in sacrificed(piece):
        spare = film.value if name == BAG_FILM else PEELED
        if name not in by_roll:
            need = times * area
            yield Buy("consumables", name, need, spare * need, "m2")
    if not goes:
        return
    edge = goes * count * piece.shape.edge
    yield Buy("consumables", "sealant tape", edge, edge * tape.value, "m")
    what = "flow mesh" if piece.resolved.process.id in POURED else "breather felt"
    yield Buy("consumables", what, goes * area, goes * area, "m2")


#: Peel ply bought over what it covers. Common practice.
PEELED = 1.1


#: What to have at hand, uncounted, by how the part is made. Common practice.
_ALWAYS = "scale, cups, sticks, brushes, rollers, squeegees, gloves, rags, abrasive, masking tape"
_AT_HAND = {
    "bag": "vacuum pump, gauge, hose, connectors, perforated film",
    "infusion": "feed hose, spiral, clamps, resin trap, gauge",
    "strips": "moulds, strongback, film tape, clamps or staples, scarf jig",
}


def at_hand(whole: Job) -> Iterator[str]:
    """Tools and small things of the job."""
    yield _ALWAYS
    words = {piece.resolved.process.id for piece in whole.pieces}
    words |= {one.kind for piece in whole.pieces for one in piece.resolved.laid}
    for word, things in _AT_HAND.items():
        if word in words:
            yield things
