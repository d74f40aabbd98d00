"""Measure a piece: readings in, kept for ever, and what they come to and teach."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date as day
from statistics import fmean

from panelwright.errors import InputError, PanelwrightError, Problem
from panelwright.fabrication.ledger import CONSUMABLES, PEEL_PLY, ledger
from panelwright.jobs.predict import bench_of
from panelwright.jobs.shelf import Gauged, PanelOnShelf, Piece, Record, Shelf
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import read
from panelwright.panels.evaluate import evaluate
from panelwright.panels.layers import ClothLayer, CoreLayer
from panelwright.panels.resolve import Resolved, resolve
from panelwright.panels.resolve.cloth import read_cloth
from panelwright.panels.resolve.cores import read_core
from panelwright.panels.stack import stack_of
from panelwright.provenance import Input
from panelwright.samples.findings import reduce
from panelwright.samples.found import Findings
from panelwright.samples.known import Bag, Book
from panelwright.samples.readings import KINDS, ON_A_PHOTO, Reading, refuse_mixed, standing
from panelwright.samples.reconcile import Lesson, lessons

#: Readings of a plate that hold for every coupon cut from it.
_OF_THE_PLATE = ("cloth", "core moisture", "resin density", "cloth loss")


@dataclass(frozen=True)
class Worked:
    """A piece with its panel, the readings that stand, and what they come to."""

    piece: Piece
    panel: PanelOnShelf
    resolved: Resolved
    readings: tuple[Reading, ...]
    findings: Findings


@dataclass(frozen=True)
class Measured:
    """What a measuring left: the piece, its findings, and what it tells of house values."""

    worked: Worked
    lessons: tuple[Lesson, ...]


def readings_of(piece: Piece) -> tuple[Reading, ...]:
    """All readings of a piece, the oldest first; a record from the bench form gives its own."""
    found: list[Reading] = []
    for record in piece.records:
        found += readings_of_record(record)
    return tuple(found)


def readings_of_record(record: Record) -> tuple[Reading, ...]:
    """The readings of one record; of one from the form without instruments, with the usual."""
    if record.readings:
        return record.readings
    values = [("mass", record.gross, "")]
    values += [("tare", record.tare or None, "")]
    values += [("length", record.length, ""), ("width", record.width, "")]
    values += [("thickness", one.thickness, one.at) for one in record.gauged]
    return tuple(
        Reading(what, value, at, KINDS[what].division)
        for what, value, at in values
        if value is not None
    )


def of_the_family(shelf: Shelf, piece: Piece) -> tuple[Reading, ...]:
    """The readings that stand for a piece, with those of the plate it was cut from."""
    own = standing(readings_of(piece))
    kinds = {one.what for one in own}
    above: list[Reading] = []
    parent, seen = piece.cut_from, {piece.number}
    while parent and parent not in seen:
        seen.add(parent)
        whole = shelf.piece(parent)
        told = [o for o in standing(readings_of(whole)) if o.what in _OF_THE_PLATE]
        above += [one for one in told if one.what not in kinds]
        kinds |= {one.what for one in told}
        parent = whole.cut_from
    return (*above, *own)


def resolved_as_kept(panel: PanelOnShelf, shelf: Shelf) -> Resolved:
    """The panel in the very numbers of its stored prediction.

    Raises :class:`InputError` where its materials are not known any more.
    """
    try:
        resolved = resolve(read(panel.text, panel.number), shelf.book())
    except PanelwrightError as wrong:
        what = f"{panel.number} cannot be worked with today's materials: {wrong.problems[0].what}"
        raise InputError(Problem(what, hint="the materials it was predicted with")) from None
    kept = {one.of: one.given for one in panel.snapshot.inputs}

    def then(of: str, now: Input) -> Input:
        return kept.get(of, now)

    layers = [
        replace(
            layer,
            inputs={
                name: then(f"{number} {layer.name}: {name.replace('_', ' ')}", given)
                for name, given in layer.inputs.items()
            },
        )
        for number, layer in enumerate(resolved.layers, start=1)
    ]
    bench = {name: then(name.replace("_", " "), given) for name, given in resolved.bench.items()}
    return replace(resolved, layers=layers, bench=bench)


def thickness_error(resolved: Resolved) -> float:
    """What the formulas may be off by in thickness, a relative standard deviation."""
    error = resolved.model_errors["thickness"]
    return 0.5 * (error.sd_below + error.sd_above)


def worked(shelf: Shelf, piece: Piece, more: Sequence[Reading] = ()) -> Worked:
    """A piece with what its readings, and some more, come to. Raises :class:`InputError`."""
    panel = shelf.panel(piece.panel, piece.revision)
    readings = standing((*of_the_family(shelf, piece), *more))
    refuse_mixed(readings)
    resolved = resolved_as_kept(panel, shelf)
    return Worked(piece, panel, resolved, readings, reduce(readings, Book(resolved.layers)))


def rows_of(resolved: Resolved, book: Catalogue) -> dict[str, str]:
    """Rows that values of the panel file's own are of: fibre fractions and densities of cores.

    By the name of the cause. A fraction planned for one panel, once found, is still one of the
    process; the density in the words of a core is the row's, where the row is of that density.
    """
    found: dict[str, str] = {}
    for layer in resolved.layers:
        said = resolved.laid[layer.laid].layer
        fraction = layer.inputs.get("fibre_mass_fraction")
        density = layer.inputs.get("solid_density")
        if isinstance(said, ClothLayer) and fraction is not None:
            cloth = read_cloth(said.cloth, book, said.areal_mass)
            for row in book.table("fibre_fractions").where(
                fibre_group=cloth.fibre.text("fibre_group"),
                fraction_group=cloth.form.text("fraction_group"),
                process=resolved.process.id,
            )[:1]:
                found[fraction.cause] = f"fibre_fractions/{row.id}"
        elif isinstance(said, CoreLayer) and density is not None and said.density is None:
            core = read_core(said.core, book)
            if core.is_of_its_row:
                found[density.cause] = f"cores/{core.row.id}"
    return found


def lessons_of(work: Worked, book: Catalogue) -> tuple[Lesson, ...]:
    """What a piece tells of fibre fraction, soak, core, waste and hours."""
    layers = work.resolved.layers
    error = thickness_error(work.resolved)
    found = lessons(work.readings, work.findings, layers, error, rows_of(work.resolved, book))
    return (*found, *_of_the_bench(work))


def _of_the_bench(work: Worked) -> list[Lesson]:
    bag = Bag(work.readings)
    area = _area(work.readings)
    if area is None:
        return []
    found = []
    process = work.resolved.process
    plies = len({layer.laid for layer in work.resolved.layers if layer.kind == "cloth"})
    hours = bag.known("hours") if bag.has("hours") else None
    if hours is not None and hours.value and plies and process.number("ply_labour") is not None:
        each = hours.value / (area * plies)
        u = max(hours.u / hours.value, 0.05) * each
        found.append(Lesson(f"processes/{process.id}/ply_labour", each, u))
    rest = work.findings.get("resin mixed and not in it")
    resin = work.findings.get("resin by mass")
    loss = work.resolved.bench.get("pot_loss")
    if rest is not None and resin is not None and loss is not None and loss.row:
        taken = _taken_away(work.resolved)
        used = resin.value + taken
        if used > 0.0:
            found.append(Lesson(f"{loss.row}/pot_loss", (rest.value - taken) / used, rest.u / used))
    return found


def _area(readings: Sequence[Reading]) -> float | None:
    def mean(what: str) -> float | None:
        values = [one.value for one in readings if one.what == what]
        return fmean(values) if values else None

    whole, length, width = mean("area"), mean("length"), mean("width")
    return whole or (length * width if length and width else None)


def _taken_away(resolved: Resolved) -> float:
    """Resin that peel ply, mesh, bleeder and lines take, kg/m2, by the book."""
    stack = stack_of(resolved.layers)
    books = ledger(
        evaluate(stack), resolved.layers, bench_of(resolved), resolved.resin.name
    ).entries
    return float(books[PEEL_PLY].to_mix + books[CONSUMABLES].to_mix)


def measure(
    shelf: Shelf,
    number: str,
    readings: Sequence[Reading],
    *,
    date: str = "",
    remark: str = "",
    who: str = "",
    again: str = "",
    improve: str = "",
    made: str = "",
    title: str | None = None,
    cut_from: str = "",
    cut_at: str = "",
    place: str | None = None,
    left: str | None = None,
) -> Measured:
    """Keep readings of a piece, a new one where a panel or what it is cut from is named.

    number : of a piece, or of a panel whose new piece it is. Nothing is kept of readings that
    cannot be: :class:`InputError` says which. A reading with a reason replaces those before it.
    again : one of AGAIN, whether to build it so again; improve : what to change then.
    made : the moment of the record, ISO 8601 in UTC; now where it is empty.
    """
    is_new = bool(cut_from) or number.strip()[:1].upper() == "P"
    if is_new:
        whole = shelf.piece(cut_from) if cut_from else None
        panel = shelf.panel(whole.panel if whole else number, whole.revision if whole else None)
        piece = Piece("", panel.number, panel.revision, "", cut_from, "", "", "", "", "", (), ())
    else:
        piece = shelf.piece(number)
    work = worked(shelf, piece, readings)
    told = lessons_of(work, shelf.book())
    record = _record(readings, work.readings, _day(date), remark)
    record = replace(record, who=who, again=again, improve=improve, made=made)
    if not record.gauged and any(KINDS[one.what].when == ON_A_PHOTO for one in readings):
        record = replace(record, gauged=_on_a_photo(work.findings))
    kept = shelf.save_piece(
        work.panel.number,
        number=None if is_new else piece.number,
        cut_from=cut_from,
        cut_at=cut_at,
        title=title,
        place=place,
        left=left,
        record=record if readings or remark or again or improve else None,
        lessons=told,
    )
    return Measured(replace(work, piece=shelf.piece(kept)), told)


def _on_a_photo(found: Findings) -> tuple[Gauged, ...]:
    """The whole thickness as photos show it, for a record of which nothing was gauged."""
    wholes = [edge.whole.found for edge in found.edges if edge.whole is not None]
    return tuple(Gauged("cut edge", one.value) for one in wholes[-1:])


def _day(text: str) -> str:
    try:
        return day.fromisoformat(text.strip()).isoformat() if text.strip() else ""
    except ValueError:
        allowed = "year-month-day: 2026-11-25"
        raise InputError(Problem("this is no day", text[:60], allowed, key="date")) from None


def _record(new: Sequence[Reading], stand: Sequence[Reading], date: str, remark: str) -> Record:
    """The readings as a record: with sides known from before where it was weighed again."""

    def last(what: str, among: Sequence[Reading]) -> float | None:
        values = [one.value for one in among if one.what == what]
        return values[-1] if values else None

    def mean(what: str) -> float | None:
        values = [one.value for one in stand if one.what == what]
        return fmean(values) if values else None

    points = [one for one in new if one.what == "thickness"]
    gauged = tuple(Gauged(one.at or str(n), one.value) for n, one in enumerate(points, start=1))
    return Record(
        date=date,
        gross=last("mass", new),
        tare=last("tare", stand) or 0.0,
        length=mean("length"),
        width=mean("width"),
        gauged=gauged,
        remark=remark,
        readings=tuple(new),
    )
