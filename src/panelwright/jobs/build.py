"""Plan a build: what to buy, mix and do, in what order, against the clock."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

import panelwright
from panelwright import units
from panelwright.errors import InputError, Problem, UnknownName
from panelwright.fabrication.buying import Buy, cost, priced, unpriced
from panelwright.fabrication.clock import day_of
from panelwright.fabrication.hours import LEFT_OUT, ply_labour, summed, tasks
from panelwright.fabrication.mixing import Mixing, assumed, mixing_of, not_said, pump_slip, slip
from panelwright.fabrication.part import NOTHING_SAID, Mix, Part, PartDescription
from panelwright.fabrication.plan import BuildPlan, Cut, Heat, PartPlan, Step
from panelwright.fabrication.schedule import Crew, Planner, Session
from panelwright.fabrication.shape import bent, shape_of
from panelwright.fabrication.stages import TIMBER_KINDS, Kind, stages
from panelwright.fabrication.steps import FIRST, steps_of
from panelwright.fabrication.times import DAY, clock, lasting
from panelwright.fabrication.usual import usual
from panelwright.jobs.build_cutting import cut_for, stock_unused
from panelwright.jobs.build_mass import (
    Job,
    Piece,
    at_hand,
    by_hand,
    fillets,
    ledger_of,
    mixes_of,
    pot_loss,
    to_buy,
)
from panelwright.jobs.predict import evaluate_panel, glance_with_ranges
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics import infusion, laminate, moisture, potting
from panelwright.panels.description import Description, nearest
from panelwright.panels.layers import CoreLayer
from panelwright.panels.places import Path
from panelwright.panels.records import Caution
from panelwright.panels.resolve import Resolved, resolve
from panelwright.panels.resolve.cores import read_core
from panelwright.panels.spread import DRAWS, causes_of, ranged
from panelwright.provenance import Evidence, Input

#: Finds the panel that a part names: a name as written to what it describes.
Find = Callable[[str], Description]


def build(
    description: Description | None,
    job: PartDescription | None,
    catalogue: Catalogue,
    find: Find,
    draws: int = DRAWS,
) -> BuildPlan:
    """The plan of a job.

    description : the panel of parts that name none; job : the part file, None for one flat part of
    the panel's own size; find : reads a panel that a part names. Raises :class:`InputError` for
    what cannot be planned, with what nearly would do.
    """
    job = job or NOTHING_SAID
    parts = job.job.part or (Part(),)
    pieces = [
        _piece(index, part, description, job, catalogue, find, draws)
        for index, part in enumerate(parts)
    ]
    return _planned(pieces, job, catalogue)


# --- Parts ----------------------------------------------------------------------------------------


def _panel_of(
    part: Part, description: Description | None, job: PartDescription, path: Path, find: Find
) -> Description:
    if part.panel is not None:
        try:
            return find(part.panel)
        except InputError as wrong:
            problems = [problem.at(file=job.file) for problem in wrong.problems]
            raise InputError(problems) from None
    if description is None:
        what = "the part does not say which panel it is made of"
        raise InputError(job.problem(path, Problem(what, hint='panel = "tender-topside.toml"')))
    return description


def _piece(
    index: int,
    part: Part,
    description: Description | None,
    job: PartDescription,
    catalogue: Catalogue,
    find: Find,
    draws: int,
) -> Piece:
    panel = _panel_of(part, description, job, ("part", index), find)
    shape = shape_of(part, index, panel, job)
    done = evaluate_panel(resolve(bent(panel, shape), catalogue), draws)
    resolved = done.resolved
    depth = usual(catalogue, "stage_depth")
    found = stages(
        resolved.laid,
        resolved.layers,
        done.build,
        done.books,
        resolved.process.id,
        resolved.resin.name,
        pot_loss(resolved),
        depth.high,
    )
    work = tasks(shape, resolved.laid, found, resolved.process, catalogue)
    name = part.name or panel.panel.title
    prediction = glance_with_ranges(done, catalogue)
    return Piece(index, part, name, shape, done, prediction, tuple(found), tuple(work))


# --- The whole ------------------------------------------------------------------------------------


def _planned(pieces: Sequence[Piece], job: PartDescription, catalogue: Catalogue) -> BuildPlan:
    first = pieces[0].resolved
    inputs = [given for piece in pieces for given in piece.resolved.inputs()]
    causes = causes_of(inputs, pieces[0].done.causes.draws)
    shop = first.description.panel.shop
    day = day_of(job.job.shop, None if shop is None else shop.temperature.value)
    told = _told(job, first, catalogue)
    products = {piece.resolved.resin.name for piece in pieces} | told.keys()
    products |= {name for piece in pieces for stage in piece.found for name in stage.mixes}
    mixings = {name: mixing_of(name, told.get(name, Mix()), catalogue) for name in sorted(products)}
    whole = Job(pieces, job, catalogue, causes, first.resin.name, mixings, day)
    fill = _fill_time(job)
    sessions, by_part, days = _sessions(whole, fill)
    cuts = {piece.index: cut_for(piece, job, catalogue) for piece in pieces}
    plans = [_part_plan(whole, piece, cuts[piece.index]) for piece in pieces]
    steps = [replace(FIRST, part=plans[0].name)]
    steps += [
        step
        for piece, plan in zip(pieces, plans, strict=True)
        for step in _steps(whole, piece, plan, by_part[piece.index])
    ]
    mixes = mixes_of(whole, sessions)
    buys = [priced(line, job.job.price) for line in to_buy(whole, mixes, cuts)]
    hours = summed(
        task for piece in pieces for task in summed(piece.tasks, float(piece.part.count))
    )
    total = tuple(math.fsum(getattr(t, end) for t in hours) for end in ("hours", "low", "high"))
    return BuildPlan(
        title=job.job.title or pieces[0].name,
        parts=tuple(plans),
        ledger=ledger_of(whole),
        mixes=mixes,
        sessions=tuple(sessions),
        day=day,
        ratio=_ratios(told),
        ratio_said=tuple(_ratio_said(whole)),
        buys=tuple(buys),
        also=tuple(at_hand(whole)),
        tasks=tuple(hours),
        not_in_hours=LEFT_OUT,
        steps=tuple(steps),
        heat=_heat(whole),
        priced=cost(buys, (total[0], total[1], total[2]), job),
        warnings=tuple(
            dict.fromkeys([*_of_cuts(plans), *_warnings(whole, sessions), *_of_prices(buys, job)])
        ),
        assumed=tuple(dict.fromkeys(_assumed(whole))),
        cautions=_cautions(pieces),
        fill_time=fill,
        gel_margin=None if fill is None else _gel_margin(whole, fill),
        grounds=_grounds(whole),
        days=days,
        version=panelwright.__version__,
        catalogue=catalogue.hash,
    )


#: Density of resin in a feed line, kg/m3: laminating resins are poured at about this.
USUAL_DENSITY = 1100.0
#: Mass in one pot that is worth a word, kg. Common practice.
LEAST_WORRY = 0.5


def _told(job: PartDescription, first: Resolved, catalogue: Catalogue) -> dict[str, Mix]:
    """What the part file says of each resin; without a name it is that of the first panel."""
    found: dict[str, Mix] = {}
    for index, mix in enumerate(job.job.mix):
        name = first.resin.name
        path: Path = ("mix", index, "of") if len(job.job.mix) > 1 else ("mix", "of")
        if mix.of is not None:
            try:
                name = catalogue.find("resins", mix.of).name
            except UnknownName as unknown:
                raise InputError(job.problem(path, unknown.problems[0])) from None
        if name in found:
            what = f"the mix of {name} is told twice"
            raise InputError(job.problem(path, Problem(what, hint='of = "..." in each [[mix]]')))
        found[name] = mix
    return found


def _ratios(told: Mapping[str, Mix]) -> str:
    """The mix ratio, or that of each resin where several are told."""
    said = {name: mix.ratio.text for name, mix in told.items() if mix.ratio is not None}
    if len(said) == 1:
        return next(iter(said.values()))
    return "; ".join(f"{name} {text}" for name, text in said.items())


def _sessions(
    whole: Job, fill: float | None
) -> tuple[list[Session], dict[int, list[tuple[int, Session]]], int]:
    """All goes in order, those of each part with their numbers, and the days they take."""
    planner = Planner(whole.job, whole.day, whole.mixings, fill)
    sessions: list[Session] = []
    by_part: dict[int, list[tuple[int, Session]]] = {}
    for piece in whole.pieces:
        made = planner.part(
            piece.part, piece.name, piece.path, piece.shape, piece.found, _crew(whole, piece)
        )
        by_part[piece.index] = list(enumerate(made, start=len(sessions)))
        sessions += made
    planner.finish()
    return sessions, by_part, planner.days


#: Hands that a part is laid with where the shop has not said. Common practice.
USUAL_HANDS = 2


def _crew(whole: Job, piece: Piece) -> Crew:
    shop = whole.job.job.shop
    labour = ply_labour(piece.resolved.process, whole.catalogue, curved=piece.shape.is_shell)
    rate = 1.0 / (3600.0 * labour.value) if shop.rate is None else shop.rate.value
    each = {
        kind: math.fsum(task.hours for task in piece.tasks if task.name in names) / piece.shape.laid
        for kind, names in _TASKS_OF.items()
    }
    hands = shop.hands or USUAL_HANDS
    lost, own = pot_loss(piece.resolved), piece.resolved.resin.name
    return Crew(hands, rate, shop.hands is not None, lost, own, each)


#: Tasks that are timed by their hours, by the kind of stage that they make up.
_TASKS_OF = {
    Kind.PLANK: ("planking, outside faired",),
    Kind.FAIR: ("fairing the inside",),
    Kind.POUR: ("bagging", "lines and mesh"),
}


def _part_plan(whole: Job, piece: Piece, cut: Cut) -> PartPlan:
    area, done = piece.shape.area, piece.done
    mass = ranged(
        laminate.mass_of_area(done.build.areal_mass, area),
        laminate.mass_of_area(done.told_build.areal_mass, area),
        "kg",
        done.causes,
    )
    drawn = by_hand(math.fsum(fillets(piece, whole.catalogue).values()))
    mass = replace(
        mass,
        value=mass.value + drawn.value,
        low=mass.low + drawn.low,
        high=mass.high + drawn.high,
    )
    return PartPlan(piece.name, piece.part.count, piece.shape, piece.prediction, mass, cut)


def _steps(
    whole: Job, piece: Piece, plan: PartPlan, sessions: Sequence[tuple[int, Session]]
) -> list[Step]:
    peels = piece.resolved.bench.get("peel_ply_faces")
    over = "peel ply" if peels is not None and peels.value > 0.0 else ""
    if piece.resolved.process.number("bag_labour") is not None:
        over = "bag"
    post_cure = whole.mixings[piece.resolved.resin.name].told.post_cure
    return steps_of(plan, piece.part, sessions, over, post_cure)


# --- What is said -----------------------------------------------------------------------------


def _own(whole: Job) -> list[Mixing]:
    """The mixes of the panels' own resins."""
    names = dict.fromkeys(piece.resolved.resin.name for piece in whole.pieces)
    return [whole.mixings[name] for name in names]


def _ratio_said(whole: Job) -> Iterator[str]:
    for mixing in _own(whole):
        ratio = mixing.told.ratio
        if ratio is None:
            yield not_said(mixing.product, whole.catalogue)
            continue
        yield from filter(None, [slip(mixing.told), pump_slip(ratio)])
        if ratio.by == "volume" and mixing.by_mass is None:
            yield (
                "by volume only: to weigh it, write resin_density and hardener_density; the two "
                "are not as heavy as each other"
            )


def _assumed(whole: Job) -> Iterator[str]:
    for piece in whole.pieces:
        yield from _assumed_of_shape(piece)
    shop = whole.job.job.shop
    for mixing in _own(whole):
        yield from assumed(mixing)
    if shop.hands is None:
        yield f"laid by {USUAL_HANDS} people ({Evidence.PRACTICE.value}): write [shop] hands"
    if shop.rate is None:
        labour = ply_labour(
            whole.pieces[0].resolved.process,
            whole.catalogue,
            curved=whole.pieces[0].shape.is_shell,
        )
        rate = units.show(1.0 / (3600.0 * labour.value), "laying_rate")
        yield (f"one person lays {rate} of one ply ({labour.evidence.value}): write [shop] rate")
    if whole.day.is_steady:
        warm = units.show(whole.day.points[0][1], "temperature")
        yield f"the shop stays at {warm} all day: write [shop] day for how it really goes"
    for piece in whole.pieces:
        yield from piece.prediction.assumed


def _assumed_of_shape(piece: Piece) -> Iterator[str]:
    if any(one.radius is not None and not one.turn_given for one in piece.shape.stations):
        yield (
            f"{piece.name}: sections are taken to bend throughout at their smallest radius, up to "
            f"180°: write turn for the angle they really turn"
        )
    cores = any(one.kind == "core" for one in piece.resolved.laid)
    if piece.shape.curvature > 0.0 and cores:
        yield f"{piece.name}: its core is taken as cut to bend, the cuts filled with resin"


def _warnings(whole: Job, sessions: Sequence[Session]) -> Iterator[str]:
    for piece in whole.pieces:
        yield from piece.prediction.warnings
    for session in sessions:
        yield from _of_session(whole, session)
    heat = _heat(whole)
    if heat is not None and heat.too_hot:
        at, limit = (
            units.show(kelvin or 0.0, "temperature") for kelvin in (heat.held_at, heat.core_limit)
        )
        yield f"the post-cure at {at} is hotter than {heat.core} stands: {limit}"
    yield from stock_unused(whole.pieces, whole.job)


def _of_cuts(plans: Sequence[PartPlan]) -> Iterator[str]:
    """What worries of strips and of cut lists."""
    for plan in plans:
        name = f"{plan.name}: " if len(plans) > 1 else ""
        found = [text for record in plan.cut.strips for text in record.warnings]
        found += [text for cloth in plan.cut.cloth for text in cloth.warnings]
        yield from (f"{name}{text}" for text in found)


def _of_prices(buys: Sequence[Buy], job: PartDescription) -> Iterator[str]:
    """Prices that belong to nothing that is bought: perhaps misspelt."""
    for price in unpriced(buys, job.job.price):
        close = nearest(price.of, [line.what for line in buys], 1)
        hint = f'; is it "{close[0]}"?' if close else ""
        yield f'[[price]] of = "{price.of}" is for nothing that this job buys{hint}'


def _of_session(whole: Job, session: Session) -> Iterator[str]:
    name = session.stage.name if len(whole.pieces) == 1 else f"{session.part}, {session.stage.name}"
    if session.rises:
        better = (
            f"begin at {clock(session.better)}, when it no longer rises"
            if session.better is not None
            else "heat the shop first, switch off, then lay"
        )
        yield (
            f"{name}: it gets {session.rises:.1f} °C warmer while the {session.stage.over} is wet "
            f"and open{_air_out(whole, session)}: {better}"
        )
    if session.late:
        over = session.end - DAY * (session.start // DAY) - whole.day.stop
        yield (
            f"{name}: one go lasts {lasting(session.end - session.start)}, past the end "
            f"of the day by {lasting(max(over, 60.0))}: more hands, or bays on two days"
        )
    if session.bays > 1:
        yield (
            f"{name}: a pot gels before one ply is laid over all of it, so it is laid in "
            f"{session.bays} bays; {session.hands * session.bays} people could lay it in one, or a "
            f"slower hardener"
        )
    yield from _large_pots(session)


def _large_pots(session: Session) -> Iterator[str]:
    for batch in session.batches:
        if session.stage.kind is Kind.POUR and batch.mass > 2.0 * LEAST_WORRY:
            mass = units.show(batch.mass, "resin_mass")
            yield (
                f"{mass} of {batch.product} are wanted for one filling: mix them pot by pot as the "
                f"feed takes them, never all in one pot; write pot_cap off the data sheet"
            )


def _air_out(whole: Job, session: Session) -> str:
    """How much air a timber core drives out as it warms, in words; empty where it is not known."""
    piece = next(piece for piece in whole.pieces if piece.name == session.part)
    if session.stage.over != "timber":
        return ""
    layers = enumerate(piece.resolved.layers)
    rows = [j for j, la in layers if la.kind in TIMBER_KINDS and not la.film]
    air = 0.0
    for row in rows:
        layer = piece.resolved.layers[row]
        wet = layer.inputs["moisture"].value if "moisture" in layer.inputs else 0.0
        dry = float(piece.done.build.density[row]) / (1.0 + wet)
        air += float(moisture.air_in_timber(piece.done.build.layer_thickness[row], dry))
    start = whole.day.air(session.start % DAY)
    out = float(moisture.expelled_air(air, start, start + session.rises))
    return f" and drives up to {1e6 * out:.0f} mL/m² of air out of it"


def _grounds(whole: Job) -> tuple[Input, ...]:
    """Values that the clock and the pots of the panels' own resins rest on."""
    found = [
        given
        for mixing in _own(whole)
        for given in (mixing.pot_life, mixing.faster, mixing.cap, mixing.usable)
    ]
    return tuple(dict.fromkeys(found))


def _heat(whole: Job) -> Heat | None:
    """How hot a pot and the laminate could get, and the post-cure."""
    heat, own, fibre = (
        usual(whole.catalogue, id)
        for id in ("heat_of_reaction", "heat_capacity_resin", "heat_capacity_fibre")
    )
    lays = [st for p in whole.pieces for st in p.found if st.kind in {Kind.LAY, Kind.POUR}]
    if not lays or not whole.main.startswith("epoxy"):
        return None
    fraction = min(stage.fibre_fraction for stage in lays)
    pot, laid = (
        float(potting.exotherm_rise(heat.value, share, own.value, fibre.value))
        for share in (0.0, fraction)
    )
    told = next((one.told.post_cure for one in _own(whole) if one.told.post_cure), None)
    limit, core = _core_limit(whole)
    if told is None:
        return Heat(pot, laid, None, None, limit, core)
    start = whole.day.points[0][1]
    took = float(potting.post_cure_time(start, told.at.value, told.ramp.value, told.hold.value))
    return Heat(pot, laid, took, told.at.value, limit, core)


def _core_limit(whole: Job) -> tuple[float | None, str]:
    """The temperature that the weakest core stands, and which it is."""
    found = []
    for piece in whole.pieces:
        for one in piece.resolved.laid:
            if isinstance(one.layer, CoreLayer):
                core = read_core(one.layer.core, whole.catalogue)
                limit = core.row.number("temperature_limit")
                found += [] if limit is None else [(limit, core.name)]
    return min(found) if found else (None, "")


def _fill_time(job: PartDescription) -> float | None:
    told = job.job.infusion
    if told is None:
        return None
    driven = told.vacuum.value
    if told.height is not None:
        driven -= float(infusion.head(USUAL_DENSITY, told.height.value))
    if driven <= 0.0:
        what = "the vacuum cannot lift the resin so high"
        assert told.height is not None
        most = told.vacuum.value / float(infusion.head(USUAL_DENSITY, 1.0))
        problem = Problem(what, told.height.text, f"less than {units.show(most, 'length')}")
        raise InputError(job.problem(("infusion", "height"), problem))
    return float(
        infusion.line_feed_time(
            told.porosity.value,
            told.viscosity.value,
            told.flow.value,
            told.permeability.value,
            driven,
        )
    )


def _gel_margin(whole: Job, fill: float) -> float:
    """How many times the resin could fill before it gels."""
    return whole.mixings[whole.main].life(whole.day.air(whole.day.start)).value / fill


def _cautions(pieces: Sequence[Piece]) -> tuple[Caution, ...]:
    return tuple(dict.fromkeys(c for piece in pieces for c in piece.prediction.cautions))
