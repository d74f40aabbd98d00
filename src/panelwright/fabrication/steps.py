"""The steps of a build in order, with hold points and what is written by hand.

Each step that is a habit of the trade carries its ground: read in a source, or common practice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from panelwright import units
from panelwright.fabrication.clock import DAY
from panelwright.fabrication.part import Part
from panelwright.fabrication.plan import PartPlan, Step
from panelwright.fabrication.schedule import Session
from panelwright.fabrication.stages import Kind
from panelwright.fabrication.strip_records import StripsRecord, small
from panelwright.fabrication.times import clock, lasting
from panelwright.provenance import Evidence

READ, USUAL, RECALLED = Evidence.PUBLISHED.value, Evidence.PRACTICE.value, Evidence.MEMORY.value
MIXED = ("mixed g", "left g", "°C", "begun", "done")


def steps_of(
    plan: PartPlan, part: Part, sessions: Sequence[tuple[int, Session]], over: str
) -> list[Step]:
    """The steps of one part.

    sessions : of this part, each with its number in the plan; over : what the plies go under,
    "bag", "peel ply" or nothing.
    """
    found = [*_before(plan)]
    for number, session in sessions:
        of_kind = _BY_KIND[session.stage.kind](plan, session, over)
        found += [replace(step, session=number, hands=session.hands) for step in of_kind]
    found += _after(plan, part)
    return [replace(step, part=plan.name) for step in found]


def _say(text: str, ground: str = "", *boxes: str, hold: bool = False) -> Step:
    return Step(text, "", hold=hold, boxes=boxes, ground=ground)


def _names(plan: PartPlan, session: Session) -> str:
    """The layers of a go as they are laid, with their angles."""
    layers = plan.prediction.layers
    order = session.stage.layers[::-1] if session.stage.face == "outside" else session.stage.layers
    return ", then ".join(f"{number + 1} {layers[number].name}" for number in order)


#: Once for the whole job, before all else.
FIRST = Step(
    "Read the safety data sheets; gloves, eye protection and fresh air before a can is opened",
    "",
    hold=True,
)


def _before(plan: PartPlan) -> Iterator[Step]:
    has_cloth = any(layer.kind == "cloth" for layer in plan.prediction.layers)
    if has_cloth:
        yield _say(
            "Cut the cloth by the list; number each piece, draw an arrow along, roll it up dry"
        )
        yield _say("Weigh half a metre square of each cloth", USUAL, "g/m²")


def _pots(session: Session) -> str:
    pots = [pot for batch in session.batches for pot in batch.pots]
    if not pots:
        return ""
    each = units.show(pots[0].mass, "resin_mass")
    shortest = min(pot.use_by - pot.start for pot in pots)
    count = f"{len(pots)} pots of {each}" if len(pots) > 1 else f"one pot of {each}"
    return f"{count}, each used within {lasting(60.0 * (shortest // 60.0))}"


def _plank(plan: PartPlan, session: Session, over: str) -> Iterator[Step]:
    yield _say("Timber at 8 to 12 % moisture when it is glued", USUAL, "moisture %", hold=True)
    for record in plan.cut.strips:
        yield from _strips(record)
    glue = [batch for batch in session.batches if batch.mass > 0.0]
    mass = f"; {units.show(glue[0].mass, 'resin_mass')} of {glue[0].product}" if glue else ""
    yield _say(f"Plank, edges glued, squeezed-out glue wiped{mass}", "", "mixed g", "left g")
    strips = [plan.prediction.layers[number] for number in session.stage.layers]
    thick = units.show(strips[0].thickness.value, "thickness") if strips else "thickness"
    least = units.show(strips[0].thickness.low, "thickness") if strips else ""
    yield _say(
        f"Fair the outside to {thick}; gauge at nine places, none under {least}", "", "least"
    )
    for record in plan.cut.strips:
        yield from _faired(record)


def _strips(record: StripsRecord) -> Iterator[Step]:
    """How many strips, and what the bend does to them."""
    count = f"{record.count} strips at the widest, {units.show(record.longest, 'length')} long"
    have = units.show(record.to_have.value, "length")
    yield _say(f"Have {count}, {have} with spare; each covers {small(record.cover)}", "", "strips")
    bends = record.bending
    if bends is not None and bends.asked is not None and bends.asked < bends.dry.high:
        asked = units.show(bends.asked, "length")
        wet = "Soak or steam a few strips, bend" if bends.asked < bends.dry.value else "Bend"
        few = "them" if bends.asked < bends.dry.value else "a few strips"
        yield _say(f"{wet} {few} to {asked} first: some break", RECALLED, "broken")


def _faired(record: StripsRecord) -> Iterator[Step]:
    """What the plane leaves at the tightest bend."""
    thin = [one for one in record.stations if one.left is not None and one.planed is not None]
    if thin:
        worst = min(thin, key=lambda one: one.left.value if one.left else 0.0)
        assert worst.left is not None
        assert worst.planed is not None
        yield _say(
            f"At {units.show(worst.at, 'length')} the plane takes {small(worst.planed.value)} at "
            f"the joints: {small(worst.left.value)} left",
            "",
            "gauged",
        )


def _fair(plan: PartPlan, session: Session, over: str) -> Iterator[Step]:
    bare = plan.cut.one_face
    if bare is not None:
        ends = sorted(abs(end) for end in (bare.rise.low, bare.rise.high))
        bows = units.show(abs(bare.rise.value), "thickness", "si", *ends)
        chord = units.show(bare.chord, "length")
        yield _say(
            f"One face is bare: 1 % of moisture bows it by {bows} over {chord}; {bare.advice[0]}",
            READ,
            "humidity %",
        )
    yield _say("Brace the shape before it comes off the mould; turn it over", READ, hold=True)
    yield _say("Glass the second face within days", READ, "on")
    yield _say("Fair the inside", "", "least")


def _lay(plan: PartPlan, session: Session, over: str) -> Iterator[Step]:
    stage = session.stage
    yield from _ready(session)
    if stage.over:
        yield _air(session)
    laps = ", laps stepped 50 mm from ply to ply" if stage.plies > 1 else ""
    bays = f" in {session.bays} bays, each wet in wet" if session.bays > 1 else ""
    yield _say(f"Lay {_names(plan, session)}{bays}{laps}", READ if laps else "")
    yield _say(f"Wet out with {_pots(session)}; begin at {clock(session.start % DAY)}", "", *MIXED)
    yield _say("Roll from the middle outwards; look for white, press out pools", USUAL)
    if over == "bag":
        yield from _bag()
    elif over:
        yield _say("Peel ply over all, rolled down", USUAL)
    yield from _window(session)


def _ready(session: Session) -> Iterator[Step]:
    if session.on_tack:
        yield _say(
            "The coat below still takes a thumb print and does not come off", READ, hold=True
        )
    elif session.stage.over == "timber":
        yield _say("Vacuum, wipe dry; no solvent on bare timber", USUAL)
    elif session.stage.over == "core":
        yield _say("Vacuum the core; no dust, no grease", USUAL)


def _air(session: Session) -> Step:
    text = "The air is steady or falling: air in an open core swells as it warms and blows bubbles"
    if session.rises and session.better is not None:
        text += f"; by the day given, begin at {clock(session.better)}"
    return _say(text, READ, "°C", hold=True)


def _bag() -> Iterator[Step]:
    yield _say("Peel ply and felt on; bag, pull down slowly, hunt leaks", USUAL)
    yield _say(
        "Pump off for 5 minutes: no more than 34 mbar lost (1 inHg)",
        READ,
        "vacuum",
        "after 5 min",
        hold=True,
    )


def _window(session: Session) -> Iterator[Step]:
    if session.window is not None:
        opens, closes = (_when(t, session) for t in (session.window.opens, session.window.closes))
        yield _say(f"Next coat without sanding from {opens} to {closes}", "", "at")


def _when(time: float, session: Session) -> str:
    return clock(time - DAY * (session.start // DAY))


def _coat(plan: PartPlan, session: Session, over: str) -> Iterator[Step]:
    if session.on_tack:
        yield _say("The coat below still takes a thumb print", READ, hold=True)
    elif session.stage.over:
        yield from _ready(session)
        yield _air(session)
    elif "gel" in session.stage.name.lower():
        yield _say("Mould waxed, polished and dry; its draught and its dust shut out", USUAL)
    else:
        yield _say("Wash with water, let it dry, then sand: never sand before it is washed", READ)
    yield _say(
        f"{session.stage.name}: {_pots(session)}; begin at {clock(session.start % DAY)}", "", *MIXED
    )
    yield from _window(session)


def _glue(plan: PartPlan, session: Session, over: str) -> Iterator[Step]:
    yield _say("Dry fit; clamps and weights at hand", USUAL, hold=True)
    yield _say(
        f"{session.stage.name}: {_pots(session)}; a bed without gaps, rather too much than too "
        f"little; begin at {clock(session.start % DAY)}",
        READ,
        *MIXED,
    )


def _pour(plan: PartPlan, session: Session, over: str) -> Iterator[Step]:
    yield _say(f"Lay dry: {_names(plan, session)}; feed and vacuum lines, mesh, bag")
    yield from _bag()
    yield _say(
        f"Fill with {_pots(session) or 'the mix'}; begin at {clock(session.start % DAY)}; clamp "
        "the feed before it draws air",
        USUAL,
        *MIXED,
    )
    yield _say("Hold the vacuum until it has gelled", USUAL, "gelled at", hold=True)


def _after(plan: PartPlan, part: Part) -> Iterator[Step]:
    yield _say("Leave it 48 h at not less than 18 °C before it is loaded", READ, "from", "to")
    if part.cutout:
        yield _say(
            "Make the cut-outs; close every edge of the core with filler or timber at once: water "
            "gets in there",
            READ,
        )
    for fillet in part.fillet:
        yield _say(
            f"Fillet of {fillet.radius.text} over {fillet.length.text}, {fillet.resin}",
            "",
            *MIXED[:2],
        )
    mass = plan.mass
    span = units.show_range(mass.low, mass.high, "mass")
    yield _say(
        f"Weigh it: {units.show(mass.value, 'mass', 'si', mass.low, mass.high)} expected, {span}",
        "",
        "kg",
    )
    yield _say("Cut a coupon from the same mix, day and bag; label and weigh it", READ, "g", "mm")


_Steps = Callable[[PartPlan, Session, str], Iterator[Step]]
_BY_KIND: Mapping[Kind, _Steps] = {
    Kind.PLANK: _plank,
    Kind.FAIR: _fair,
    Kind.LAY: _lay,
    Kind.SEAL: _coat,
    Kind.COAT: _coat,
    Kind.GLUE: _glue,
    Kind.POUR: _pour,
}
