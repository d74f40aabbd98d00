"""Each panel of a line-up scaled until it just keeps its duties, at the unfavourable end."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from panelwright import units
from panelwright.errors import InputError, Problem
from panelwright.jobs.check import refuse_unjudged
from panelwright.jobs.lineup_duties import answer
from panelwright.jobs.lineup_entrants import Entrant, Stood, stood
from panelwright.jobs.lineup_terms import OTHER_PART, changed, part_to_scale, whole
from panelwright.jobs.predict import evaluate_panel, stiffen
from panelwright.jobs.stiffness import is_stiff, unknown_stiffness
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import Description
from panelwright.panels.keeping import just_enough
from panelwright.panels.lineup import ALL, CORE, FACES, part_of
from panelwright.panels.lineup_records import Terms
from panelwright.panels.verdicts import AT_MOST, DutyRecord, LimitRecord

#: Limits that a thicker part uses up more of.
GROWING = frozenset({"thickness", "mass"})
#: What keeps the duty where the part is as thin as any that is tried.
_ALONE = {
    CORE: "its faces alone keep it",
    FACES: "its core alone keeps it",
    ALL: "the thinnest that is tried keeps it",
}


@dataclass(frozen=True)
class Keeping:
    """A panel that just keeps its duties, as it stands and as it answers them."""

    stood: Stood
    records: tuple[DutyRecord, ...]


def refuse_without_duty(duties: Sequence[Description]) -> None:
    """InputError where there is nothing to keep."""
    if not duties:
        hint = '--duty with a file that has one, or "kneel on it, 600 mm x 310 mm, span/100"'
        raise InputError(Problem("no duty is named that each panel is to keep", hint=hint))
    for one in duties:
        refuse_unjudged(one)


@dataclass
class _Trials:
    """Whole panels of other sizes under the duties, each worked once."""

    entrant: Entrant
    terms: Terms
    duties: Sequence[Description]
    catalogue: Catalogue
    draws: int

    def __post_init__(self) -> None:
        self.part_name = part_to_scale(self.entrant, self.terms)
        self.part = part_of(self.entrant.resolved.layers, self.part_name)
        self.tried: dict[float, tuple[DutyRecord, ...]] = {}
        self.beyond = ""  # why there is no panel of a size, in words

    def at(self, size: float) -> tuple[DutyRecord, ...]:
        """The duties with the part so many times as thick. Raises :class:`InputError`."""
        if size not in self.tried:
            resolved, _ = changed(self.entrant, self.part_name, size, "")
            done = evaluate_panel(resolved, self.draws)
            stiff = stiffen(done)
            assert stiff is not None
            told = answer(self.entrant.title, done, stiff, self.duties, self.catalogue)
            self.tried[size] = told
        return self.tried[size]

    def limits(self, size: float, growing: bool) -> list[LimitRecord]:
        """The limits that grow with the size, or those that fall."""
        found = [limit for record in self.at(size) for limit in record.limits]
        return [limit for limit in found if (limit.name in GROWING) == growing]

    def excess(self, log_size: float) -> float:
        """Of the limits that fall as the size grows; infinite where there is no such panel."""
        try:
            limits = self.limits(math.exp(log_size), growing=False)
        except InputError as wrong:
            if log_size == 0.0:
                raise
            self.beyond = wrong.problems[0].what.removeprefix(f"{self.entrant.title}: ")
            return math.inf
        return max(_excess(self.entrant, limit) for limit in limits)

    def excess_of_growing(self, log_share: float) -> float:
        """Of the limits that grow with the size, over the logarithm of what is left of it."""
        limits = self.limits(math.exp(-log_share), growing=True)
        return max(_excess(self.entrant, limit) for limit in limits)


def _excess(one: Entrant, limit: LimitRecord) -> float:
    if limit.value is None:
        what = f"{one.title} cannot be judged by the {limit.name}: {limit.governs}"
        raise InputError(Problem(what, hint="a duty without that limit, or leave it out"))
    return math.log(limit.share_at_worst)


def keeping(
    one: Entrant,
    terms: Terms,
    duties: Sequence[Description],
    catalogue: Catalogue,
    draws: int,
) -> Keeping:
    """A panel whose part is as thick as just keeps its duties.

    Of the limits that fall as the part grows, deflection, reserves and strain, the one that governs
    is kept at the unfavourable end of its range and no more; those of mass and thickness must hold
    there. Where there are none of the former, it is as thick as the latter allow. Raises
    :class:`InputError`, a sentence, where there is no such size.
    """
    layers = one.resolved.layers
    if not is_stiff(layers):
        names = " and of ".join(unknown_stiffness(layers))
        what = f"the stiffness of {names} in {one.title} is not known, so that no duty is kept"
        raise InputError(Problem(what, hint="give its constants, or leave it out"))
    trials = _Trials(one, terms, duties, catalogue, draws)
    falls = bool(trials.limits(1.0, growing=False))
    found = just_enough(trials.excess if falls else trials.excess_of_growing)
    if found.size is None:
        raise InputError(_out_of_reach(trials, found.last, falls))
    size = found.size if falls else 1.0 / found.size
    said = _ALONE[trials.part_name] if falls and found.is_least else ""
    if terms.whole:
        size, said = whole(one.resolved, trials.part, size)
    over = [limit for limit in trials.limits(size, growing=True) if limit.share_at_worst > 1.0]
    if over:
        raise InputError(_contradicted(trials, size, over[0]))
    resolved, change = changed(one, trials.part_name, size, said)
    return Keeping(stood(one, resolved, change, draws), trials.at(size))


def _thickness(trials: _Trials, size: float) -> str:
    """The part at a size, in words: "its core 23 mm"."""
    _, change = changed(trials.entrant, trials.part_name, size, "")
    part = "in all" if change.part == ALL else f"its {change.part}"
    thick = units.show(change.after, "thickness").partition(" (")[0]
    return f"{thick} {part}" if change.part == ALL else f"{part} {thick}"


def _told(limit: LimitRecord, value: float) -> str:
    return units.show(value, limit.dimension).partition(" (")[0]


def _out_of_reach(trials: _Trials, size: float, falls: bool) -> Problem:
    """Which limit is never kept, how near it comes, and what it is that gives way."""
    limits = trials.limits(size, growing=not falls)
    worst = max(limits, key=lambda limit: limit.share_at_worst)
    assert worst.value is not None
    part = trials.part_name
    by = "at any thickness" if part == ALL else f"by its {part} alone, however thick"
    end = worst.value.high if worst.sense == AT_MOST else worst.value.low
    near = f"the {worst.name} comes to {_told(worst, end)} at the unfavourable end"
    what = f"{trials.entrant.title} cannot keep the duty {by}: with {_thickness(trials, size)} "
    what += f"{near}, {worst.sense} {worst.limit_text} is asked ({worst.governs})"
    if trials.beyond:
        what += f"; thicker than that, {trials.beyond}"
    hint = "a duty that asks less" if part == ALL else OTHER_PART[part]
    return Problem(what, allowed="1/100 to 100 times its thickness", hint=hint)


def _contradicted(trials: _Trials, size: float, over: LimitRecord) -> Problem:
    """A limit of mass or thickness that is passed where the others are just kept."""
    fallen = trials.limits(size, growing=False)
    kept = max(fallen, key=lambda limit: limit.share_at_worst, default=None)
    where = "in whole plies and sheets" if kept is None else f"where it just keeps the {kept.name}"
    assert over.value is not None
    what = f"{trials.entrant.title} cannot keep the duty: {where}, with "
    what += f"{_thickness(trials, size)}, its {over.name} is up to "
    what += f"{_told(over, over.value.high)}, {over.sense} {over.limit_text} is asked"
    hint = "a lighter core, other faces, or --scale with another part"
    return Problem(what, hint=hint)
