"""Why two panels of a line-up differ, as a sentence: how much more, and the two largest causes."""

from __future__ import annotations

import math
from collections.abc import Sequence

from panelwright import units
from panelwright.panels.lineup import CAUSES, FOUND, OTHER_FOUND, WHOLE
from panelwright.panels.lineup_records import Cause, LineUp, Why
from panelwright.reports.layout import first_system, printed
from panelwright.reports.lineup_words import title_of

#: Factors nearer to 1 than this are told as nothing.
NOTHING = 0.005
#: Product of rounded factors over the rounded whole, less 1, that is still read as the same.
ROUNDED = 0.025
SPLIT = (
    "The causes multiply to the whole, exactly. Each is the mean, over all orders in which they "
    "could be changed one by one, of the logarithm of what it changes (Shapley's value)."
)
_MORE = {
    "stiffness_along": "as stiff along",
    "stiffness_across": "as stiff across",
    "areal_mass": "as heavy",
}


def _length(value: float, system: str, figures: int = 2) -> str:
    """A length in few figures: what is told is a difference."""
    told = units.show(float(f"{value:.{figures}g}"), "thickness", first_system(system))
    return told.partition(" (")[0]


def _found_words(cause: Cause, letter: str) -> str:
    """A piece that was found to be heavier or lighter than predicted."""
    lighter = (cause.factor < 1.0) == (cause.name == FOUND)
    off = abs(cause.factor - 1.0 if cause.name == FOUND else 1.0 / cause.factor - 1.0)
    word = "lighter" if lighter else "heavier"
    return f"{letter} as weighed, {100 * off:.0f} % {word} than predicted"


def cause_words(cause: Cause, system: str) -> str:
    """One cause as it is said after its factor."""
    own, other = cause.own, cause.other
    if cause.name == WHOLE[0]:
        alike = f"{own:.2g}" == f"{other:.2g}"
        here, there = (_length(one, system, 3 if alike else 2) for one in (own, other))
        return f"being {here} thick in place of {there}"
    what = "a core" if cause.name in CAUSES[2:] else "faces"
    if cause.name in {CAUSES[0], CAUSES[2]}:
        word = "thicker" if own >= other else "thinner"
        all_ = "" if what == "a core" else " in all"
        return f"{what} {_length(abs(own - other), system)} {word}{all_}"
    of, instead = printed(cause.of), printed(cause.in_place_of)
    if cause.name == WHOLE[1]:
        same = "the same laid in another way"
        return same if of == instead else f"{of} in place of {instead}"
    if of == instead or not (of and instead):
        return f"{what} of the same, laid in another way"
    return f"{what} of {of} in place of {instead}"


def _factor(value: float, digits: int) -> str:
    return f"{float(f'{value:.{digits}g}'):g}" if abs(value - 1.0) >= 0.1 else f"{value:.{digits}f}"


def _factors(ratio: float, parts: Sequence[float]) -> tuple[str, list[str]]:
    """A ratio and its factors, in two digits if what is printed then still multiplies to it."""
    for digits in (2, 3):
        whole, told = _factor(ratio, digits), [_factor(one, digits) for one in parts]
        if abs(math.prod(map(float, told)) / float(whole) - 1.0) < ROUNDED:
            break
    return whole, told


def why_sentence(lineup: LineUp, why: Why, system: str = "si") -> str:
    """One panel against another: how much more, and the two largest causes."""
    one, other = (lineup.members[at] for at in (why.panel, why.against))
    names = [f"{m.letter} ({title_of(m)})" for m in (one, other)]
    if why.ratio - 1.0 < NOTHING:
        return f"{names[0]} and {names[1]} are {_MORE[why.key]} as each other."
    told = [cause for cause in why.causes[:2] if abs(cause.factor - 1.0) >= NOTHING]
    rest = why.ratio / math.prod(cause.factor for cause in told)
    letters = {FOUND: one.letter, OTHER_FOUND: other.letter}
    words = [
        _found_words(cause, letters[cause.name])
        if cause.name in letters
        else cause_words(cause, system)
        for cause in told
    ]
    factors = [cause.factor for cause in told]
    if abs(rest - 1.0) >= NOTHING:
        words, factors = [*words, "the rest"], [*factors, rest]
    ratio, said = _factors(why.ratio, factors)
    parts = [f"{factor} from {of}" for factor, of in zip(said, words, strict=True)]
    return f"{names[0]} is {ratio} times {_MORE[why.key]} as {names[1]}: {', '.join(parts)}."
