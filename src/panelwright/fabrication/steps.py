"""The steps of a build in order, with hold points and what is written by hand.

Each step that is a habit of the trade carries its ground: read in a source, or common practice.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import groupby

from panelwright import units
from panelwright.fabrication.part import Part, PostCure
from panelwright.fabrication.plan import Box, PartPlan, Step
from panelwright.fabrication.schedule import Session
from panelwright.fabrication.stages import Kind
from panelwright.fabrication.strip_records import StripsRecord, bend, small
from panelwright.fabrication.times import DAY, clock, lasting
from panelwright.panels.records import Caution
from panelwright.provenance import Evidence

#: Boxes that are readings of the part: what is read, the unit of a number alone.
_READ = {
    "mixed g": ("resin mixed", "g"),
    "left g": ("resin left", "g"),
    "°C": ("temperature", "degC"),
    "moisture %": ("core moisture", "%"),
    "humidity %": ("humidity", "%"),
    "person h": ("hours", "h"),
    "kg": ("mass", "kg"),
    "length mm": ("length", "mm"),
    "width mm": ("width", "mm"),
    "area m²": ("area", "m2"),
}
READ, USUAL, RECALLED = Evidence.PUBLISHED.value, Evidence.PRACTICE.value, Evidence.MEMORY.value
MIXED = ("mixed g", "left g", "°C", "begun", "done")
LAID = (*MIXED, "person h")


def steps_of(
    plan: PartPlan,
    part: Part,
    sessions: Sequence[tuple[int, Session]],
    over: str,
    post_cure: PostCure | None = None,
) -> list[Step]:
    """The steps of one part.

    sessions : of this part, each with its number in the plan; over : what the plies go under,
    "bag", "peel ply" or nothing.
    """
    found = [*_before(plan)]
    for number, session in sessions:
        of_kind = _BY_KIND[session.stage.kind](plan, session, over)
        found += [replace(step, session=number, hands=session.hands) for step in of_kind]
    found += _after(plan, part, post_cure)
    return [_warned(replace(step, part=plan.name), plan.prediction.cautions) for step in found]


#: First words of a step that call for a caution, and a word in the names of those cautions.
_DANGERS = {
    ("Wet out", "Fill with", "Fillet", "Plank,", "Seal", "Bond", "Glue"): (
        "skin",
        "vapour",
        "eyes",
    ),
    ("Fair", "Wash", "Make the cut-outs"): ("dust",),
    ("Cut the cloth",): ("short circuits", "wrapped tools"),
    ("Post-cure",): ("heated cure",),
}


def _warned(step: Step, cautions: Sequence[Caution]) -> Step:
    """The step with the names of the cautions that its work calls for."""
    words = [words for begin, words in _DANGERS.items() if step.text.startswith(begin)]
    wanted = {word for each in words for word in each}
    named = (c.name for c in cautions if any(word in c.name for word in wanted))
    return replace(step, dangers=tuple(dict.fromkeys(named)))


def _say(text: str, ground: str = "", *boxes: str | Box, hold: bool = False) -> Step:
    made = (one if isinstance(one, Box) else _box(one) for one in boxes)
    return Step(text, "", hold=hold, boxes=tuple(made), ground=ground)


def _box(name: str, expected: float | None = None) -> Box:
    reads, unit = _READ.get(name, ("", ""))
    return Box(name, reads, unit, expected=expected)


def _names(plan: PartPlan, session: Session) -> str:
    """The layers of a go in the order they are laid: away from timber, else from outside in."""
    stage = session.stage
    outwards = stage.face == "outside" and stage.over == "timber"
    order = stage.layers[::-1] if outwards else stage.layers
    return _listed(plan, order)


def _listed(plan: PartPlan, order: Iterable[int]) -> str:
    """Layers in an order, neighbours alike together."""
    layers = plan.prediction.layers
    found = []
    for name, run in groupby(order, lambda number: layers[number].name):
        numbers = [number + 1 for number in run]
        ends = f"{numbers[0]}" if len(numbers) == 1 else f"{numbers[0]} to {numbers[-1]}"
        times = f", {len(numbers)} ×" if len(numbers) > 1 else ""
        found.append(f"{ends}{times} {name}")
    return ", then ".join(found)


def _numbered(name: str, numbers: Sequence[int]) -> str:
    """A layer with its number in the stack, or several alike with theirs."""
    if len(numbers) == 1:
        return f"{numbers[0] + 1} {name}"
    return f"{numbers[0] + 1} to {numbers[-1] + 1}, {len(numbers)} × {name}"


#: Once for the whole job, before all else.
FIRST = Step(
    "Read the safety data sheets; gloves, eye protection and fresh air before a can is opened",
    "",
    hold=True,
)


def _before(plan: PartPlan) -> Iterator[Step]:
    cloths = dict.fromkeys(one.name for one in plan.prediction.layers if one.kind == "cloth")
    if cloths:
        yield _say(
            "Cut the cloth by the list; number each piece, draw an arrow along, roll it up dry"
        )
        boxes = (Box(f"g of {name}", "cloth", "g", of=name) for name in cloths)
        yield _say("Weigh a square of half a metre of each cloth", USUAL, *boxes)


def _pots(session: Session) -> str:
    pots = [pot for batch in session.batches for pot in batch.pots]
    if not pots:
        return ""
    each = units.show(pots[0].mass, "resin_mass")
    shortest = min(pot.use_by - pot.start for pot in pots)
    keeps = lasting(60.0 * (shortest // 60.0))
    if len(pots) == 1:
        return f"one pot of {each}, used within {keeps}"
    return f"{len(pots)} pots of {each}, each used within {keeps}"


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
        asked = bend(bends.asked)
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
    yield _say(f"Wet out with {_pots(session)}; begin at {clock(session.start % DAY)}", "", *LAID)
    yield _say("Roll from the middle outwards; look for white, press out pools", USUAL)
    if stage.face == "outside" and stage.over == "core":
        yield _say("Prime the core, press it into the wet skin; no gaps, bleed holes open", READ)
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
    dry = (n for n, layer in enumerate(plan.prediction.layers) if layer.kind != "coat")
    yield _say(f"Lay dry: {_listed(plan, dry)}; feed and vacuum lines, mesh, bag")
    yield from _bag()
    pots = [pot for batch in session.batches for pot in batch.pots]
    mass = units.show(sum(pot.mass for pot in pots), "resin_mass")
    how = _pots(session) if len(pots) > 1 else f"{mass}, mixed as the feed takes it"
    begin = clock(session.start % DAY)
    fill = f"Fill with {how}; begin at {begin}; clamp the feed before it draws air"
    yield _say(fill, USUAL, *LAID)
    yield _say("Hold the vacuum until it has gelled", USUAL, "gelled at", hold=True)


def _after(plan: PartPlan, part: Part, post_cure: PostCure | None) -> Iterator[Step]:
    yield _say("Leave it 48 h at not less than 18 °C before it is loaded", READ, "from", "to")
    if post_cure is not None:
        yield _say(
            f"Post-cure, held up along its edges: up by {post_cure.ramp.text}, "
            f"{post_cure.hold.text} at {post_cure.at.text}, down by the same",
            READ,
            "°C",
            "from",
            "to",
        )
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
        _box("kg", mass.value),
        *_sides(plan, part),
    )
    yield _say("Cut a coupon from the same mix, day and bag; label and weigh it", READ, "g", "mm")


def _sides(plan: PartPlan, part: Part) -> Iterator[Box]:
    """What it is measured by: two sides, or the area of what is no rectangle."""
    if plan.shape.is_shell or part.cutout:
        yield _box("area m²", plan.shape.area)
    else:
        yield _box("length mm", plan.shape.length)
        yield _box("width mm", plan.shape.girth)


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
