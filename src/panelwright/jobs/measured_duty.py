"""What a piece's findings do to the duties of its panel: judged anew with the causes as found."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache

from panelwright.jobs.check import answered, check_text
from panelwright.jobs.measure import Worked
from panelwright.jobs.predict import evaluate_panel, stiffen
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.resolve import Resolved
from panelwright.panels.verdicts import DutyRecord
from panelwright.provenance import Evidence, Input
from panelwright.samples.reconcile import Moved, Reconciled

#: Draws of a duty as found: half of a check's, whose ranges it stands beside to a few percent.
DRAWS = 256
MEASURED = "as found on"


@dataclass(frozen=True)
class DutyChange:
    """A duty as the panel was predicted to bear it, and as it does with what was measured."""

    before: DutyRecord
    after: DutyRecord


def as_found(resolved: Resolved, moved: tuple[Moved, ...], piece: str) -> Resolved:
    """A panel whose causes are those that were found: middles moved, ranges drawn in.

    What the findings say of two causes together is not carried over: the ranges of results are a
    little wider than they need be.
    """
    by_cause = {one.cause.name: one for one in moved}

    def now(given: Input) -> Input:
        found = by_cause.get(given.cause)
        if found is None or given.high <= given.low:
            return given
        sd = 0.5 * (given.sd_below + given.sd_above)
        off = (found.value - found.cause.value) / found.cause.sd * sd
        narrow = min(found.u / found.cause.sd, 1.0)
        value = max(given.value + off, 0.0) if given.low >= 0.0 else given.value + off
        low, high = (value + narrow * (end - given.value) for end in (given.low, given.high))
        return replace(
            given,
            value=value,
            low=max(low, 0.0) if given.low >= 0.0 else low,
            high=high,
            source=f"{MEASURED} {piece}; {given.source}",
            evidence=Evidence.MEASURED if narrow < 1.0 / 3.0 else given.evidence,
        )

    layers = [
        replace(layer, inputs={name: now(given) for name, given in layer.inputs.items()})
        for layer in resolved.layers
    ]
    return replace(resolved, layers=layers)


def duties_as_found(work: Worked, done: Reconciled, catalogue: Catalogue) -> tuple[DutyChange, ...]:
    """Every duty of a panel, before and with what was measured; nothing for one without.

    The verdict is that of a check; what was asked lately is not worked anew. Raises
    :class:`InputError` where a duty cannot be.
    """
    if not work.resolved.description.panel.duty:
        return ()
    before = work.panel.snapshot.duties or check_text(work.panel.text, catalogue)
    number = work.piece.number
    resolved = as_found(work.resolved, done.moved, number)
    after = answered_as_found(_Asked(work.panel.text, number, done.moved, catalogue, resolved))
    return tuple(DutyChange(one, other) for one, other in zip(before, after, strict=bool(after)))


@dataclass(frozen=True)
class _Asked:
    """What duties are asked of: the same file with the same causes found comes to the same."""

    text: str
    piece: str
    moved: tuple[Moved, ...]
    catalogue: Catalogue
    resolved: Resolved = field(compare=False)


@lru_cache(maxsize=32)
def answered_as_found(asked: _Asked) -> tuple[DutyRecord, ...]:
    """Every duty as it is borne by a panel as found; nothing where its stiffness is not known."""
    found = evaluate_panel(asked.resolved, DRAWS)
    stiff = stiffen(found)
    if stiff is None:
        return ()
    return answered(asked.resolved.description, asked.catalogue, found, stiff)
