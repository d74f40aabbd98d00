"""Reconcile a piece: predicted against found, why they differ, and what that teaches."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from panelwright import units
from panelwright.jobs.measure import Worked, lessons_of, rows_of, thickness_error, worked
from panelwright.jobs.measured_duty import DutyChange, duties_as_found
from panelwright.jobs.shelf import Shelf
from panelwright.jobs.stiffness import is_stiff
from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics import fractions, moisture
from panelwright.mechanics.weighing import bulk_density, weighed_uptake
from panelwright.panels.section import section
from panelwright.panels.stack import FIELDS, Stack, stack_of
from panelwright.provenance import SIGMAS_OF_90
from panelwright.samples.budget import TOLD, budget
from panelwright.samples.house import HouseValue
from panelwright.samples.known import Bag
from panelwright.samples.reconcile import (
    BookLine,
    Compared,
    Lesson,
    Reconciled,
    Split,
    reconcile,
)

#: What a part of the difference is to a builder, when there is more of it and when less.
_SAYS = {
    "cloth mass": ("your cloth is heavier than the book", "your cloth is lighter than the book"),
    "resin in the cloth": (
        "your cloth held more resin than the book",
        "your cloth held less resin than the book",
    ),
    "soak": ("your core drank more than the book", "your core drank less than the book"),
    "core density": ("your core is denser than the book", "your core is lighter than the book"),
    "moisture": ("your timber is wetter than was taken", "your timber is drier than was taken"),
    "core thickness": ("your core is thicker than planned", "your core is thinner than planned"),
    "glue and coats": (
        "more glue and coats stayed on than the book says",
        "less glue and coats stayed on than the book says",
    ),
    "densities and voids": (
        "fibre and resin are denser than the book",
        "fibre and resin are lighter than the book",
    ),
}
#: An amount in a sentence is told no finer than this share of it.
FINEST = 0.02


@dataclass(frozen=True)
class Effect:
    """What the causes as found do to a property: its ratio to the predicted one."""

    name: str
    ratio: float


@dataclass(frozen=True)
class Reconciliation:
    """Everything that stands between a prediction and a piece."""

    work: Worked
    reconciled: Reconciled | None
    book: tuple[BookLine, ...]
    effects: tuple[Effect, ...]
    duties: tuple[DutyChange, ...]
    lessons: tuple[Lesson, ...]
    house: tuple[HouseValue, ...]

    def sentence(self, system: str = "si") -> str:
        """What happened, and what it does to the whole panel."""
        return _sentence(self, system)

    @property
    def title(self) -> str:
        """What the panel is called."""
        return self.work.panel.prediction.title.strip() or self.work.panel.number

    @property
    def agrees(self) -> bool:
        """Whether every finding lies within what was predicted."""
        done = self.reconciled
        return done is None or all(one.within for one in done.compared)


def reconcile_piece(shelf: Shelf, number: str) -> Reconciliation:
    """A piece against the prediction of its panel's revision. Raises :class:`InputError`."""
    work = worked(shelf, shelf.piece(number))
    prediction = work.panel.prediction
    predicted = {
        name: (one.value, one.low, one.high)
        for name, one in (
            ("areal mass", prediction.areal_mass),
            ("thickness", prediction.thickness),
        )
    }
    layers, error = work.resolved.layers, thickness_error(work.resolved)
    done = reconcile(work.readings, work.findings, layers, predicted, error)
    told = lessons_of(work, shelf.book())
    keys = {lesson.key for lesson in told}
    return Reconciliation(
        work,
        done,
        tuple(_book(work, shelf.book())),
        () if done is None else tuple(_effects(work, done)),
        () if done is None else duties_as_found(work, done, shelf.catalogue()),
        told,
        tuple(value for value in shelf.house() if value.key in keys),
    )


# In her words -----------------------------------------------------------------------------------


def _sentence(of: Reconciliation, system: str) -> str:
    done = of.reconciled
    if done is None:
        return "Nothing to hold against the prediction yet: weigh and gauge the piece."
    mass = next((one for one in done.compared if one.name == "areal mass"), None)
    if mass is None:
        return _of_thickness(done.compared[0], system)
    told = [split for split in mass.splits if split.told]
    cause = " and ".join(_said(split, done) for split in told[:2])
    if abs(mass.difference) <= TOLD * mass.u and not told:
        return "As predicted: the difference cannot be told from nothing."
    if cause:
        return f"{cause[:1].upper()}{cause[1:]}: {_whole(of, mass, system)}."
    where = "Within" if mass.within else "Outside"
    return (
        f"{where} the range that was predicted, and no one cause can be told from these readings. "
        f"{_whole(of, mass, system)}."
    )


def _said(split: Split, done: Reconciled) -> str:
    words = _SAYS[split.part][0 if split.value > 0.0 else 1]
    before = _amount(split.part, done, 0)
    if before <= 0.0:
        return words
    share = 100.0 * abs(_amount(split.part, done, 1) / before - 1.0)
    percent = _percent(share, share * split.u / abs(split.value))
    if not percent:
        return words
    for more in ("heavier", "lighter", "more", "less", "denser", "wetter", "drier"):
        if f" {more} " in f" {words} ":
            return words.replace(more, f"{percent} {more}", 1)
    return words


def _percent(share: float, u: float) -> str:
    """A share in the digits that its uncertainty leaves; empty where that is none."""
    if SIGMAS_OF_90 * u < 10.0:
        return f"{share:.0f} %" if share >= 0.5 else ""
    return f"about {round(share, -1):.0f} %" if share >= 5.0 else ""


def _amount(part: str, done: Reconciled, row: int) -> float:
    """How much of a part there is, before (0) and as found (1)."""
    stack, build = done.stack, done.build
    amounts: dict[str, Any] = {
        "cloth mass": build.fibre + build.thread + build.water,
        "resin in the cloth": build.cloth_resin,
        "soak": build.soak,
        "core density": build.density * (stack.solid_thickness > 0.0),
    }
    return float(np.sum(amounts[part][row])) if part in amounts else 0.0


def _whole(of: Reconciliation, mass: Compared, system: str) -> str:
    more = "heavier" if mass.difference > 0.0 else "lighter"
    area = of.work.panel.prediction.area
    off = abs(mass.difference)
    half = max(TOLD * mass.u, FINEST * off)
    if area is None:
        amount = units.show(off, "cloth_mass", system, off - 10.0 * half, off + 10.0 * half)
        return f"{of.title} comes out {amount} {more}"
    whole = [area * value for value in (off, off - 10.0 * half, off + 10.0 * half)]
    amount = units.show(whole[0], "resin_mass", system, *whole[1:])
    return f"{of.title} will be {amount} {more} than predicted"


def _of_thickness(one: Compared, system: str) -> str:
    if abs(one.difference) <= TOLD * one.u:
        return "As thick as predicted: the difference cannot be told from nothing."
    more = "thicker" if one.difference > 0.0 else "thinner"
    off, half = abs(one.difference), 10.0 * max(TOLD * one.u, FINEST * abs(one.difference))
    amount = units.show(off, "thickness", system, off - half, off + half).partition(" (")[0]
    return f"{amount} {more} than predicted."


# The book ---------------------------------------------------------------------------------------


def _book(work: Worked, book: Catalogue) -> list[BookLine]:
    """Each finding beside what the book prints, brought to this piece by a named relation."""
    lines = [*_fraction_line(work, book), *_thickness_line(work)]
    return [*lines, *_density_line(work), *_core_line(work)]


def _printed_fraction(work: Worked, book: Catalogue) -> Any:
    """What the book prints of this process, also where the panel file plans another fraction."""
    given = _cloth_input(work, "fibre_mass_fraction")
    if given is None or given.row:
        return given
    row = rows_of(work.resolved, book).get(given.cause, "")
    if not row:
        return given
    table, _, id = row.partition("/")
    return book.table(table).row(id).input("fibre_mass_fraction")


def _cloth_input(work: Worked, name: str) -> Any:
    for layer in work.resolved.layers:
        if layer.kind == "cloth" and name in layer.inputs:
            return layer.inputs[name]
    return None


def _line(
    name: str, dimension: str, found: Any, printed: float, source: str, here: float, relation: str
) -> BookLine:
    return BookLine(
        name,
        dimension,
        found.value,
        found.u,
        printed,
        source,
        here,
        relation,
        found.value / here,
        found.u / here,
    )


def _fraction_line(work: Worked, book: Catalogue) -> list[BookLine]:
    given = _printed_fraction(work, book)
    names = (
        "fibre mass fraction by burn-off",
        "fibre mass fraction by thickness",
        "fibre mass fraction by mass",
    )
    found = next((f for n in names if (f := work.findings.get(n)) is not None), None)
    if given is None or found is None:
        return []
    relation = "as printed: a fraction by mass needs no bringing"
    line = _line(found.name, "fraction", found, given.value, given.source, given.value, relation)
    held, usual = (
        float(fractions.resin_in_cloth(1.0, share)) for share in (found.value, given.value)
    )
    return [replace(line, specific=("kg of resin for each kg of cloth", held, usual))]


def _thickness_line(work: Worked) -> list[BookLine]:
    """Thickness that the cloth should have at the fibre fraction that was found by mass."""
    found, share = work.findings.get("thickness"), work.findings.get("fibre mass fraction by mass")
    solid = any("solid_thickness" in layer.inputs for layer in work.resolved.layers)
    fibre, cured = _cloth_input(work, "fibre_density"), _cloth_input(work, "resin_density")
    cloth = [layer for layer in work.resolved.layers if layer.kind == "cloth"]
    if found is None or share is None or solid or fibre is None or cured is None or not cloth:
        return []
    mass = sum(layer.inputs["fibre_mass"].value for layer in cloth)
    held = fractions.resin_in_cloth(mass, share.value)
    here = float(fractions.ply_thickness(mass, held, fibre.value, cured.value))
    relation = "t = w/ρf + r/ρm at this fibre fraction (mass balance; kaw-2006, section 3.2)"
    predicted = work.panel.prediction.thickness.value
    line = _line("thickness", "thickness", found, predicted, "predicted", here, relation)
    each = 1e3 * found.value / mass, 1e3 * here / mass
    return [replace(line, specific=("mm for each kg/m² of cloth", *each))]


def _density_line(work: Worked) -> list[BookLine]:
    found = work.findings.get("density by immersion")
    share = work.findings.get("fibre mass fraction by burn-off")
    fibre, cured = _cloth_input(work, "fibre_density"), _cloth_input(work, "resin_density")
    if found is None or share is None or fibre is None or cured is None:
        return []
    here = float(fractions.void_free_density(share.value, fibre.value, cured.value))
    relation = "1/ρ = m/ρf + (1 − m)/ρm at this fibre fraction (astm-d2734)"
    return [
        _line("density by immersion", "density", found, fibre.value, fibre.source, here, relation)
    ]


def _core_line(work: Worked) -> list[BookLine]:
    """Density of the core as weighed, beside the book's at the same moisture."""
    bag = Bag(work.readings, work.findings.worked)
    sides = [f"core {n}" if bag.has(f"core {n}") else n for n in ("length", "width")]
    core = next((la for la in work.resolved.layers if "solid_thickness" in la.inputs), None)
    if core is None or not bag.has("core mass", "core thickness", *sides):
        return []
    weighed = budget(
        lambda x: bulk_density(
            weighed_uptake(0.0, x["core mass"], x[sides[0]] * x[sides[1]]), x["core thickness"]
        ),
        [bag.known(name) for name in ("core mass", "core thickness", *sides)],
    )
    gravity, printed = core.inputs.get("tabulated_gravity"), core.inputs.get("solid_density")
    if printed is not None:
        relation = "as printed: weighed as it is"
        args = printed.value, printed.source, printed.value, relation
    elif gravity is not None:
        now = bag.known("core moisture").value if bag.has("core moisture") else None
        now = core.inputs["moisture"].value if now is None else now
        tabulated = core.inputs["tabulated_moisture"].value
        basic = moisture.basic_specific_gravity(gravity.value, tabulated)
        here = float(moisture.timber_density(moisture.specific_gravity(basic, now), now))
        relation = f"ρ = 1000 G (1 + M) at {100 * now:.0f} % moisture (fpl-gtr-76, fpl-gtr-190)"
        at_book = float(moisture.timber_density(gravity.value, tabulated))
        args = at_book, gravity.source, here, relation
    else:
        return []
    return [_line("density of the core", "density", weighed, *args)]


# What it does -----------------------------------------------------------------------------------


def _effects(work: Worked, done: Reconciled) -> list[Effect]:
    """Stiffness at the causes as found over the predicted one."""
    if not is_stiff(work.resolved.layers):
        return []
    middle = stack_of(work.resolved.layers)
    moved = {name: getattr(done.stack, name) for name in FIELDS}
    whole = Stack(
        **{
            name: np.where(np.any(moved[name] != 0.0, axis=0), moved[name], getattr(middle, name))
            for name in FIELDS
        }
    )
    made = section(whole, done.build)
    return [
        Effect(f"stiffness {way}", float(values[1] / values[0]))
        for way, values in (("along", made.strip[..., 0]), ("across", made.strip[..., 1]))
    ]
