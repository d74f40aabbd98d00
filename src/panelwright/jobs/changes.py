"""Where a stored prediction differs from another of the same panel, and why."""

from __future__ import annotations

from dataclasses import dataclass

from panelwright.panels.records import Prediction
from panelwright.panels.spread import Ranged
from panelwright.panels.stored import Snapshot

#: A headline that has moved by more than this share is told.
TOLD = 0.001


@dataclass(frozen=True)
class Change:
    """A headline that has moved. ``then`` or ``now`` is None where there was or is none."""

    name: str
    then: Ranged | None
    now: Ranged | None
    cause: str


def headlines(prediction: Prediction) -> dict[str, Ranged]:
    """What a prediction says in the first place, by name."""
    found = {
        "thickness": prediction.thickness,
        "areal mass": prediction.areal_mass,
        "resin in the part": prediction.resin_in_part,
        "resin to mix": prediction.to_mix,
    }
    if prediction.mass is not None:
        found["mass"] = prediction.mass
    section = prediction.section
    if section is not None:
        found["stiffness along"] = section.stiffness_along
        found["stiffness across"] = section.stiffness_across
        found["shear stiffness along"] = section.shear_along
        found["shear stiffness across"] = section.shear_across
    for like in prediction.likeness:
        found[f"as stiff along as {like.name}"] = like.along
        found[f"as stiff across as {like.name}"] = like.across
        found[f"as heavy as {like.name}"] = like.mass
    for limit in prediction.strength:
        found[f"{limit.action}, {limit.level}"] = limit.value
    return found


def _has_moved(then: Ranged | None, now: Ranged | None) -> bool:
    if then is None or now is None:
        return then is not now
    least = TOLD * abs(then.value)
    pairs = ((then.value, now.value), (then.low, now.low), (then.high, now.high))
    return any(abs(one - other) > least for one, other in pairs)


def changes(then: Snapshot, now: Snapshot) -> tuple[Change, ...]:
    """The headlines that differ by more than TOLD at the middle or an end, each with its cause."""
    old, new = headlines(then.prediction), headlines(now.prediction)
    cause = causes(then, now)
    return tuple(
        Change(name, old.get(name), new.get(name), cause)
        for name in dict.fromkeys((*old, *new))
        if _has_moved(old.get(name), new.get(name))
    )


def causes(then: Snapshot, now: Snapshot) -> str:
    """All that differs in what two predictions rest on, in words."""
    one, other = then.prediction, now.prediction
    said = []
    if one.text != other.text:
        said.append("the panel file says something else")
    said += _moved_inputs(then, now) if one.text == other.text else []
    if one.catalogue != other.catalogue:
        said.append(f"the catalogue is another ({one.catalogue[:8]}, now {other.catalogue[:8]})")
    if dict(then.house_values) != dict(now.house_values):
        said.append("the house values are others")
    if one.version != other.version:
        said.append(f"version {one.version}, now {other.version}")
    if (one.draws, one.seed) != (other.draws, other.seed):
        said.append("the draws are others")
    return "; ".join(said) or "the formulas: same version, catalogue and inputs"


MOST_INPUTS = 3  # told by name


def _moved_inputs(then: Snapshot, now: Snapshot) -> list[str]:
    old = {kept.of: kept.given for kept in then.inputs}
    new = {kept.of: kept.given for kept in now.inputs}
    if not old:
        return []
    moved = [of for of in dict.fromkeys((*old, *new)) if old.get(of) != new.get(of)]
    named = [
        f"{of} {old[of].value:.4g}, now {new[of].value:.4g}"
        if of in old and of in new
        else f"{of} {'no longer' if of in old else 'now'} counts"
        for of in moved[:MOST_INPUTS]
    ]
    more = [f"and {len(moved) - MOST_INPUTS} more inputs"] if len(moved) > MOST_INPUTS else []
    return named + more
