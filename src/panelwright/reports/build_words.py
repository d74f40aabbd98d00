"""A plan of a build in shop words: what text, sheets and spreadsheets share."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from panelwright import units
from panelwright.fabrication.buying import Buy, Priced
from panelwright.fabrication.cutting import ClothCut
from panelwright.fabrication.plan import AtBend, BuildPlan, Heat, PartPlan
from panelwright.fabrication.pots import Pot
from panelwright.fabrication.schedule import Batch, Session
from panelwright.fabrication.stages import Kind
from panelwright.fabrication.strip_records import StripsRecord
from panelwright.fabrication.times import DAY, clock, lasting
from panelwright.reports.layout import SYSTEMS, first_system, plural, printed

DASH = "–"
#: Goes that are drawn by the clock; all stand in the table of pots.
MOST_CHARTS = 8
#: Dimension that an amount to buy is shown in.
_DIMENSION = {"m": "length", "m2": "area", "kg": "resin_mass"}
_UNIT = {"sheet": "sheet", "board": "board", "piece": "piece"}


def amount(line: Buy, value: float, system: str = "si") -> str:
    """An amount of a line in the unit it is sold in, both systems where both are wanted."""
    if line.per in _UNIT:
        return plural(round(value), _UNIT[line.per])
    dimension = "mass" if line.per == "kg" and value >= 100.0 else _DIMENSION[line.per]
    first, *others = (units.show(value, dimension, one) for one in SYSTEMS[system])
    return f"{first} ({others[0]})" if others else first


def bought(line: Buy, system: str = "si") -> str:
    """What to buy of a line: packs where it comes in packs."""
    if line.packs is not None and line.pack is not None:
        pack = units.show(line.pack, "mass", first_system(system))
        return f"{plural(line.packs, 'pack')} of {pack}"
    return amount(line, line.buy, system)


def heat_words(heat: Heat | None, system: str = "si") -> list[str]:
    """How warm a full pot could become, and the post-cure: a sentence each."""
    if heat is None:
        return []
    pot = units.show(heat.pot, "temperature_change", first_system(system))
    full = f"A full pot could warm itself by up to {pot}: pour it into a tray."
    return [full, *post_cure_words(heat, system)]


def post_cure_words(heat: Heat, system: str = "si") -> list[str]:
    """How hot and how long the post-cure is; nothing where there is none."""
    if heat.post_cure is None or heat.held_at is None:
        return []
    at = units.show(heat.held_at, "temperature", first_system(system))
    return [f"Post-cure at {at}: {lasting(heat.post_cure)} with its ramps."]


def grams(mass: float) -> str:
    """A mass on the shop's scales, whole grams, without its unit."""
    return f"{1e3 * mass:.0f}"


def parts_of(pot: Pot) -> str:
    """Resin and hardener of a pot: grams, or millilitres where it is measured by volume."""
    if pot.resin is not None and pot.hardener is not None:
        return f"{grams(pot.resin)} + {grams(pot.hardener)}"
    if pot.volumes is not None:
        resin, hardener = (f"{1e6 * volume:.0f}" for volume in pot.volumes)
        return f"{resin} + {hardener} mL"
    return DASH


def minutes(seconds: float) -> str:
    """Whole minutes, rounded down: a time that must not be passed."""
    return f"{int(seconds // 60.0)} min"


@dataclass(frozen=True)
class PotRow:
    """Pots of one product in one go, all alike."""

    session: Session
    batch: Batch
    numbers: str
    grams: str
    parts: str
    starts: str
    use_in: str
    gels_in: str
    temperature: str


def pot_rows(plan: BuildPlan, system: str = "si") -> list[PotRow]:
    """One row for each product of each go that has timed pots."""
    return [
        _pot_row(session, batch, system)
        for session in plan.sessions
        for batch in session.batches
        if batch.pots
    ]


def _gels_in(pots: Sequence[Pot]) -> str:
    """When the first of some pots gels, and between when and when that may be."""
    first = min(pots, key=lambda pot: pot.gels - pot.start)
    low, high = (int((end - first.start) // 60.0) for end in (first.gels_low, first.gels_high))
    middle = minutes(first.gels - first.start)
    return middle if high - low < 2 else f"{middle} ({low} … {high})"


def _pot_row(session: Session, batch: Batch, system: str) -> PotRow:
    pots = batch.pots
    first, last = pots[0], pots[-1]
    one = first_system(system)
    warm = sorted({units.show(pot.temperature, "temperature", one) for pot in (first, last)})
    return PotRow(
        session,
        batch,
        "1" if len(pots) == 1 else f"1–{len(pots)}",
        grams(first.mass),
        parts_of(first),
        clock(first.start) if len(pots) == 1 else f"{clock(first.start)} … {clock(last.start)}",
        minutes(min(pot.use_by - pot.start for pot in pots)),
        _gels_in(pots),
        " … ".join(warm),
    )


@dataclass(frozen=True)
class CutRow:
    """Pieces alike of one cloth or core."""

    what: str
    count: str
    size: str
    remark: str


def cut_rows(part: PartPlan, system: str = "si") -> list[CutRow]:
    """What to cut for one of a part: cloth piece by piece, core by the sheet."""
    one = first_system(system)
    rows = []
    for cloth in part.cut.cloth:
        remark = _way_words(cloth, one)
        for line in cloth.chosen.lines:
            size = " × ".join(units.show(s, "length", one) for s in (line.length, line.width))
            rows.append(CutRow(printed(cloth.name), str(line.count), size, remark))
            remark = ""
    for name, sheets in part.cut.sheets:
        round_it = "round the girth" if part.shape.is_shell else "across"
        laid = f"its length {round_it if sheets.turned else 'along'}"
        other = f"{laid}; {sheets.other_way} the other way, {sheets.by_area} by area alone"
        in_rows = " + ".join(map(str, sheets.rows))
        rows.append(CutRow(printed(name), str(sheets.sheets), f"sheets, rows of {in_rows}", other))
    return rows


def _way_words(cloth: ClothCut, system: str) -> str:
    """How much of a roll, which way, against what the other way, and what decided."""
    ways = [way for way in (cloth.chosen, cloth.other) if way is not None]
    text = " against ".join(f"{units.show(way.metres, 'length', system)} {way.way}" for way in ways)
    return f"{text}: {cloth.why}" if cloth.why else text


def strip_lines(part: PartPlan, system: str = "si") -> list[str]:
    """What there is to say of the strips of a part."""
    one = first_system(system)
    return [text for record in part.cut.strips for text in _about_strips(part, record, one) if text]


def _about_strips(part: PartPlan, record: StripsRecord, system: str) -> Iterator[str]:
    def long(value: float) -> str:
        return units.show(value, "length", system)

    def thick(value: float) -> str:
        return units.show(value, "thickness", system)

    have = record.to_have
    yield (
        f"{part.name}: {record.count} {record.name} at the widest ({record.count_with_spare} with "
        f"spare), {long(record.longest)} long; {long(record.running.value)} in the part, "
        f"{long(have.value)} to have ({units.show_range(have.low, have.high, 'length', system)})"
    )
    yield f"{record.staples} staples or clamps; {_glue_words(record, system)}"
    sawing = record.sawing
    if sawing is not None:
        lost = units.show(round(sawing.loss, 3), "fraction")
        text = (
            f"{sawing.boards} boards, {sawing.per_board} strips of {thick(sawing.sawn)} from each; "
            f"{lost} goes into dust and offcut"
        )
        if sawing.pieces_per_strip > 1:
            text += f", {sawing.pieces_per_strip} pieces scarfed to a strip"
        yield text
    bent = [at for at in record.stations if at.planed is not None and at.left is not None]
    if bent:
        worst = min(bent, key=lambda at: at.left.value if at.left else 0.0)
        assert worst.planed is not None
        assert worst.left is not None
        assert worst.widest is not None
        yield (
            f"fairing takes {thick(worst.planed.value)} at {long(worst.at)} and leaves "
            f"{thick(worst.left.value)}; strips that cover {thick(worst.widest)} would lose a tenth"
        )
    if part.cut.at_bend is not None:
        yield _at_bend(part, part.cut.at_bend, system)
    yield _bends(record, system)
    yield _moves(part, record, system)


def _at_bend(part: PartPlan, there: AtBend, system: str) -> str:
    """What fairing the tightest bend does to the panel there."""
    thin, flat = (
        units.show(made.thickness.value, "thickness", system)
        for made in (there.prediction, part.prediction)
    )
    text = f"the panel is {thin} there, {flat} where it is flat"
    if there.share_along is None or there.share_across is None:
        return text
    along, across = (100.0 * share.value for share in (there.share_along, there.share_across))
    return f"{text}, and keeps {along:.0f} % of its stiffness along, {across:.0f} % across"


def _glue_words(record: StripsRecord, system: str) -> str:
    if record.glue_laid is None:
        return "glue between them not counted"
    return f"{units.show(record.glue_laid.value, 'resin_mass', system)} of glue on their edges"


def _bends(record: StripsRecord, system: str) -> str:
    bends = record.bending
    if bends is None:
        return ""
    dry, soaked = (
        units.show_range(limit.low, limit.high, "thickness", system)
        for limit in (bends.dry, bends.soaked)
    )
    text = f"they break at a radius of {dry} dry, {soaked} soaked or steamed"
    if bends.asked is None:
        return text
    dimension = "thickness" if bends.asked < 1.0 else "length"
    text += f"; asked of them: {units.show(bends.asked, dimension, system)}"
    if bends.asked >= bends.dry.high:
        return text
    lost = ", ".join(
        f"{one.plies} plies {units.show(round(one.lost, 3), 'fraction')}" for one in bends.laminated
    )
    return f"{text}; laminated, a bend springs back by: {lost}"


def _moves(part: PartPlan, record: StripsRecord, system: str) -> str:
    if record.girth_step is None:
        return ""
    step = units.show(record.girth_step.value, "thickness", system)
    text = f"loose, the widest girth moves by {step} for 1 % of moisture"
    bare = part.cut.one_face
    if bare is None:
        return text
    least, most = sorted(abs(end) for end in (bare.rise.low, bare.rise.high))
    rise = units.show(abs(bare.rise.value), "thickness", system, least, most)
    ends = units.show_range(least, most, "thickness", system)
    return (
        f"{text}; glassed outside only and not braced, it bows by {rise} ({ends}) over "
        f"{units.show(bare.chord, 'length', system)}: {'; '.join(bare.advice)}"
    )


def when(session: Session) -> str:
    """The day and the time at which a go begins and ends."""
    start = clock(session.start % DAY)
    if session.stage.kind in {Kind.PLANK, Kind.FAIR}:
        last = int(session.end // DAY) + 1
        return f"day {session.day}" if last == session.day else f"days {session.day} to {last}"
    if session.end <= session.start:
        return f"day {session.day}, from {start}"
    end = clock(session.end - DAY * (session.start // DAY))
    return f"day {session.day}, {start} to {end}"


def size_of(part: PartPlan, system: str = "si") -> str:
    """How large a part is."""
    shape, one = part.shape, first_system(system)
    area = units.show(shape.area, "area", one)
    if shape.is_shell:
        return f"{area}, {units.show(shape.length, 'length', one)} long"
    sides = " × ".join(units.show(side, "length", one) for side in (shape.length, shape.girth))
    return f"{sides}, {area}"


def named(part: PartPlan) -> str:
    """The name of a part, and how often it is made."""
    name = printed(part.name)
    return f"{part.count} × {name}" if part.count > 1 else name


#: A sum from which cents say more than anybody knows.
WHOLE_MONEY = 100.0


def money(value: float, currency: str) -> str:
    """An amount of money, whole from a hundred up; no currency is taken for granted."""
    digits = 0 if value >= WHOLE_MONEY else 2
    grouped = f"{value:,.{digits}f}".replace(",", "\N{NARROW NO-BREAK SPACE}")
    return f"{grouped} {currency}".rstrip()


def cost_words(priced: Priced) -> str:
    """What a job costs, with its range where the hours give it one."""
    whole = money(priced.total, priced.currency)
    if priced.total_high <= priced.total_low:
        return whole
    low, high = (money(end, "") for end in (priced.total_low, priced.total_high))
    return f"{whole} ({low} to {high})"


def hours(value: float) -> str:
    """Hours: to the hour from ten upwards, to the half from two, to the tenth below."""
    if value >= 10.0:
        return f"{value:.0f}"
    return f"{round(2.0 * value) / 2.0:g}" if value >= 2.0 else f"{value:.1f}"
