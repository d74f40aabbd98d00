"""Line panels up on equal terms, and say why they differ."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from string import ascii_uppercase

import numpy as np

from panelwright.errors import InputError, Problem
from panelwright.fabrication.cost import UnitPrice
from panelwright.jobs.lineup_duties import (
    OWN,
    answers,
    asked_in_words,
    duty_rows,
    of_records,
    own_duties,
    refuse_many,
)
from panelwright.jobs.lineup_entrants import Entrant, Stood, entrant, known_solid, stood
from panelwright.jobs.lineup_handbook import corrected
from panelwright.jobs.lineup_keep import keeping, refuse_without_duty
from panelwright.jobs.lineup_rows import FEWEST, rows
from panelwright.jobs.lineup_terms import on_terms, refuse_unknown
from panelwright.jobs.lineup_why import whys
from panelwright.jobs.predict import layer_records
from panelwright.jobs.pricing import by_all_names
from panelwright.materials.catalogue import Catalogue
from panelwright.panels.description import Description
from panelwright.panels.lineup_records import EQUAL, KEEP, LineUp, Member, Shares, Terms
from panelwright.panels.shop_words import sized

__all__ = [
    "OWN",
    "Entrant",
    "asked_in_words",
    "entrant",
    "known_solid",
    "line_up",
    "own_duties",
]

MOST_PANELS = 8
AS_THEY_ARE = Terms()
#: Draws of the causes: half of a prediction's, so that eight panels take less than a second.
LINE_UP_DRAWS = 512


def _refuse_number(entrants: Sequence[Entrant]) -> None:
    if not FEWEST <= len(entrants) <= MOST_PANELS:
        what = (
            "a line-up of one compares nothing"
            if len(entrants) == 1
            else f"{len(entrants)} panels are too many to read side by side"
        )
        hint = 'name another panel, or a known solid such as "9 mm birch plywood" or "3 mm steel"'
        allowed = f"{FEWEST} to {MOST_PANELS} panels"
        few = len(entrants) < FEWEST
        raise InputError(Problem(what, allowed=allowed, hint=hint if few else "leave some out"))


def _refuse_terms(entrants: Sequence[Entrant], terms: Terms) -> None:
    if terms.equal and terms.equal not in (*EQUAL, KEEP):
        raise InputError(Problem("panels cannot be made equal in this", terms.equal, _or(EQUAL)))
    bare = [one.title for one in entrants if not one.has_thickness]
    is_scaled = terms.equal == KEEP or (terms.equal and entrants[0].has_thickness)
    if bare and not is_scaled:
        what = f"how thick the {bare[0].partition(' (')[0]} is has to be said"
        hint = "its thickness before its name, or --equal with a panel of known size first"
        raise InputError(Problem(what, hint=hint))


def _or(words: Sequence[str]) -> str:
    return f"{', '.join(words[:-1])} or {words[-1]}"


def line_up(
    entrants: Sequence[Entrant],
    catalogue: Catalogue,
    terms: Terms = AS_THEY_ARE,
    prices: Mapping[str, UnitPrice] | None = None,
    duties: Sequence[Description] = (),
    draws: int = LINE_UP_DRAWS,
) -> LineUp:
    """Several panels on equal terms; the first is the one that the others are made equal to.

    duties : files whose duties every panel is asked.

    Raises :class:`InputError`, a sentence each: too few or too many panels, a solid without
    thickness, a property that is not known, a price that is missing, terms that a panel cannot
    meet at any thickness.
    """
    _refuse_number(entrants)
    _refuse_terms(entrants, terms)
    refuse_many(duties)
    known_prices = by_all_names(prices or {}, catalogue)
    if terms.equal == KEEP:
        refuse_without_duty(duties)
        kept = [keeping(one, terms, duties, catalogue, draws) for one in entrants]
        lined, told = [one.stood for one in kept], of_records([one.records for one in kept])
    else:
        lined = list(_standing(entrants, terms, known_prices, draws))
        told = answers(lined, duties, catalogue)
    found, currency = rows(lined, terms, catalogue, known_prices)
    members = tuple(_member(ascii_uppercase[i], of) for i, of in enumerate(lined))
    return LineUp(
        terms,
        members,
        found,
        whys(lined, terms),
        _notes(terms),
        currency,
        tuple(duty_rows(told, terms.equal == KEEP)),
        told.asked,
    )


def _standing(
    entrants: Sequence[Entrant],
    terms: Terms,
    prices: Mapping[str, UnitPrice],
    draws: int,
) -> Iterator[Stood]:
    """The panels as they are, or each but the first scaled to be like it."""
    for place, one in enumerate(entrants):
        resolved, change = one.resolved, None
        if terms.equal:
            refuse_unknown(one, terms)
            if place:
                resolved, change = on_terms(one, entrants[0], terms, prices)
        yield stood(one, resolved, change, draws)


def _member(letter: str, of: Stood) -> Member:
    shares = None
    if of.stiff is not None:
        laid = np.array([layer.laid for layer in of.layers])
        own = of.stiff.made.bending_shares
        sums = [np.sum(own[laid == number], axis=0) for number in range(int(laid.max()) + 1)]
        shares = Shares(tuple((float(along), float(across)) for along, across in sums))
    title = of.entrant.title
    if of.entrant.handbook_only and of.change is not None:
        title = sized(title)[1]  # it is no longer as thick as its name says
    return Member(
        letter,
        title,
        of.entrant.handbook_only,
        of.change,
        layer_records(of.done),
        shares,
        corrected(of),
        tuple(dict.fromkeys(one.source for layer in of.layers for one in layer.inputs.values())),
        of.entrant.findings is not None,
    )


def _notes(terms: Terms) -> tuple[str, ...]:
    found = ["moments and shear forces are per width; insulation without the air at the faces"]
    if terms.equal == KEEP:
        found.append(
            "kept at the unfavourable end of the range; a tolerance of thickness grows with the "
            "thickness"
        )
    elif terms.equal:
        found.append(
            "made equal at the middle values; a tolerance of thickness grows with the thickness"
        )
    if terms.whole:
        found.append(
            "rounded up to whole plies, spread over those that are there, or to the next sheet"
        )
    return tuple(found)
