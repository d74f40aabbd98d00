"""Which rule of damage predicts the strength of plates best: chosen on some, judged on others.

The rules are those that were tried when the default was chosen, and two steps between them. Plates
are divided by their record, because plates of one record stand or fall together: in the order of
the alphabet every second record is *held out*. The division was fixed before any error was looked
at by part. A rule is chosen by its mean |ln measured/predicted|, every record counted alike.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cache
from statistics import mean

import numpy as np

from panelwright.materials.catalogue import Catalogue
from panelwright.mechanics import ply_strength
from panelwright.mechanics.arrays import Array
from panelwright.panels import strength
from panelwright.panels.description import read
from panelwright.panels.evaluate import Build, evaluate
from panelwright.panels.resolve import resolve
from panelwright.panels.section import Section, section
from panelwright.panels.stack import Stack, stack_of

from .cases import experiments
from .plate_strength import WANTED, Wanted, panel_file


@dataclass(frozen=True)
class Rule:
    """A rule of damage. None of ``across`` and ``in_shear``: nothing is left of that stiffness.

    across, in_shear : strain, over the strain at which the fibre breaks, at which the secant of a
    ply that goes on at its stress is taken; parts : whether the yarn that holds a tape together
    breaks with it, and mat before straight fibre; undamaged : only the fibre is judged, by its
    strain in the undamaged panel.
    """

    name: str
    across: float | None = None
    in_shear: float | None = None
    parts: bool = False
    undamaged: bool = False


RULES = (
    Rule("nothing left in cracked cloth"),
    Rule("fibre by its strain in the undamaged panel", undamaged=True),
    Rule("cracked cloth goes on, shear at 1.3 times the strain of the fibre", 1.0, 1.3),
    Rule("the same at 1.6 times", 1.0, 1.6),
    Rule("the same at twice", 1.0, 2.0),
    Rule("at 1.6 times, with yarn and mat", 1.0, 1.6, parts=True),
    Rule("at twice, with yarn and mat (the default)", 1.0, 2.0, parts=True),
)
DEFAULT = RULES[-1]


@dataclass(frozen=True)
class Plate:
    """One measured strength, Pa, and the strength by each rule, in their order."""

    wanted: Wanted
    measured: float
    predicted: tuple[float, ...]

    def off(self, rule: Rule) -> float:
        """Natural logarithm of measured over predicted."""
        return float(np.log(self.measured / self.predicted[RULES.index(rule)]))


def _bears(own: strength.Limits, made: Section) -> strength.Bears:
    k, strain = made.constants, ply_strength.strain_of_strength
    return (
        strain(own.X1t, k.E1),
        strain(own.X1c, k.E1),
        strain(own.X2t, k.E2),
        strain(own.X2c, k.E2),
        strain(own.S12, k.G12),
    )


def _held_on(own: strength.Limits, rule: Rule) -> strength.Limits:
    """Strengths with which a damaged section comes out as the rule says."""
    across = 0.0 if rule.across is None else 1.0 / rule.across
    shear = 0.0 if rule.in_shear is None else strength.SHEAR_AT_BREAK / rule.in_shear
    return replace(own, X2t=across * own.X2t, S12=shear * own.S12)


def states(rule: Rule, stack: Stack, build: Build, made: Section) -> strength.States:
    """The states of damage of a panel by a rule."""
    usual = strength.states(stack, build, made)
    if rule.undamaged:
        nothing = np.zeros(np.shape(build.layer_thickness))
        along = (*usual.bears[0][:2], nothing, nothing, nothing)
        return replace(usual, sections=(made,), bears=(along,))
    if rule == DEFAULT:
        return usual
    if not rule.parts:
        stack = replace(stack, is_yarn=0.0 * stack.is_yarn, is_random=0.0 * stack.is_random)
    own = _held_on(usual.own, rule)
    kinds = [(False, False), (True, False)]
    if np.any(stack.is_random):
        kinds.append((True, True))
    sections = [strength.damaged(stack, build, made, own, *kind) for kind in kinds]
    left = [_counting(usual.own, stack, mat_broken) for _, mat_broken in kinds]
    bears = (_bears(*pair) for pair in zip(left, sections, strict=True))
    return replace(usual, sections=(made, *sections), bears=(usual.bears[0], *bears))


def _counting(own: strength.Limits, stack: Stack, mat_broken: bool) -> strength.Limits:
    """Limits of the layers that still count: a broken yarn or mat sets none."""
    kept: Array = (1.0 - stack.is_yarn) * (1.0 - float(mat_broken) * stack.is_random)
    names = ("X1t", "X1c", "X2t", "X2c", "S12")
    return replace(own, **{name: getattr(own, name) * kept for name in names})


def _predicted(wanted: Wanted) -> tuple[float, ...]:
    stack = stack_of(resolve(read(panel_file(wanted)), Catalogue.shipped()).layers)
    build = evaluate(stack)
    made = section(stack, build)
    found = []
    for rule in RULES:
        pair = strength.in_plane(states(rule, stack, build, made), stack, build, 0)
        end = pair[0 if wanted.sign > 0 else 1].ultimate
        found.append(float(end.load / build.thickness))
    return tuple(found)


@cache
def plates() -> tuple[Plate, ...]:
    """Every plate of the comparison by every rule."""
    by_id = {experiment["id"]: experiment for experiment in experiments()}
    found = []
    for wanted in WANTED:
        (value,) = (
            m["value"]
            for m in by_id[wanted.experiment]["measurements"]
            if m["quantity"] == wanted.quantity
        )
        found.append(Plate(wanted, 1e6 * value, _predicted(wanted)))
    return tuple(found)


# --- Divisions ------------------------------------------------------------------------------------


def records() -> tuple[str, ...]:
    """The records with a compared strength, in the order of the alphabet."""
    return tuple(sorted({one.experiment for one in WANTED}))


def held_out() -> frozenset[str]:
    """Every second record."""
    return frozenset(records()[1::2])


def source_of(experiment: str) -> str:
    """The database or paper of a record."""
    (short,) = (e["source"]["short"] for e in experiments() if e["id"] == experiment)
    return str(short).partition(" doi")[0].rstrip(",")


def those(of: Iterable[str]) -> list[Plate]:
    """The plates of some records."""
    wanted = set(of)
    return [plate for plate in plates() if plate.wanted.experiment in wanted]


# --- How far off a rule is ------------------------------------------------------------------------


def miss(rule: Rule, among: Sequence[Plate]) -> float:
    """Mean |ln measured/predicted|, every record counted alike: what a rule is chosen by."""
    by_record: dict[str, list[float]] = {}
    for plate in among:
        by_record.setdefault(plate.wanted.experiment, []).append(abs(plate.off(rule)))
    return mean(mean(found) for found in by_record.values())


def miss_by_plate(rule: Rule, among: Sequence[Plate]) -> float:
    """Mean |ln measured/predicted|, every plate counted alike."""
    return mean(abs(plate.off(rule)) for plate in among)


def bias(rule: Rule, among: Sequence[Plate]) -> float:
    """Geometric mean of measured over predicted."""
    return float(np.exp(mean(plate.off(rule) for plate in among)))


def worst_kind(rule: Rule, among: Sequence[Plate]) -> tuple[str, float]:
    """The kind of strength that a rule misses most, and by how much."""
    by_kind: dict[str, list[float]] = {}
    for plate in among:
        by_kind.setdefault(plate.wanted.kind, []).append(abs(plate.off(rule)))
    worst = max(by_kind, key=lambda kind: mean(by_kind[kind]))
    return worst, mean(by_kind[worst])


def chosen(among: Sequence[Plate]) -> Rule:
    """The rule that misses least; the earlier of two alike."""
    return min(RULES, key=lambda rule: round(miss(rule, among), 12))


@dataclass(frozen=True)
class Fold:
    """The plates left out of one choice, and what was chosen without them."""

    left_out: str
    rule: Rule
    plates: tuple[Plate, ...]


def folds(by_source: bool) -> tuple[Fold, ...]:
    """One part left out at a time: a record, or a whole database or paper."""

    def part(name: str) -> str:
        return source_of(name) if by_source else name

    found = []
    for left in sorted({part(name) for name in records()}):
        rest = those(name for name in records() if part(name) != left)
        out = those(name for name in records() if part(name) == left)
        found.append(Fold(left, chosen(rest), tuple(out)))
    return tuple(found)


def error_left_out(found: Iterable[Fold]) -> float:
    """Root mean square of measured/predicted less 1, each plate by the rule chosen without it."""
    ratios = [np.exp(plate.off(fold.rule)) for fold in found for plate in fold.plates]
    return float(np.sqrt(np.mean((np.array(ratios) - 1.0) ** 2)))


def error_in_sample(rule: Rule) -> float:
    """Root mean square of measured/predicted less 1 of all plates by one rule."""
    ratios = np.array([np.exp(plate.off(rule)) for plate in plates()])
    return float(np.sqrt(np.mean((ratios - 1.0) ** 2)))
