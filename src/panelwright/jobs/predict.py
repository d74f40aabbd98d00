"""Predict a panel: thickness, mass and resin by cause, each with its range and drivers."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

import panelwright
from panelwright.fabrication.ledger import Bench, Ledger, ledger
from panelwright.jobs.house import house_words
from panelwright.jobs.merits import beside
from panelwright.jobs.service import lasting_records, service_records
from panelwright.jobs.stiffness import (
    Stiffened,
    glance_at_section,
    is_stiff,
    likeness_records,
    may_be_off,
    section_record,
    unknown_stiffness,
)
from panelwright.jobs.strength import (
    criteria_records,
    strength_records,
    unknown_glue,
    unknown_strength,
)
from panelwright.materials.catalogue import Catalogue
from panelwright.materials.records import Row
from panelwright.mechanics import laminate, resin
from panelwright.mechanics.arrays import Array, array
from panelwright.panels.checks import TIMBER, refuse_impossible, worries
from panelwright.panels.description import Description
from panelwright.panels.drawn import drawn_layer
from panelwright.panels.evaluate import Build, evaluate
from panelwright.panels.records import (
    Caution,
    LayerRecord,
    LedgerRow,
    Mix,
    Prediction,
    RuleOfThumb,
    StrengthRecord,
)
from panelwright.panels.resolve import Resolved, resolve
from panelwright.panels.section import section
from panelwright.panels.spread import (
    DRAWS,
    SEED,
    Causes,
    Ranged,
    causes_of,
    draw,
    drawn_stack,
    ranged,
    with_axis,
    with_model_error,
)
from panelwright.panels.stack import Stack, stack_of
from panelwright.provenance import weakest

_BENCH_FIELDS = tuple(Bench.__dataclass_fields__)


@dataclass(frozen=True)
class Evaluated:
    """Build and ledger of one panel, at the middle values and under draws of its causes."""

    resolved: Resolved
    stack: Stack
    build: Build
    books: Ledger
    drawn_stack: Stack
    drawn_build: Build
    drawn_books: Ledger
    causes: Causes

    @property
    def told_build(self) -> Build:
        """The draws with what the formulas may be off by: thickness and mass as they are told.

        Solids are as gauged and weighed, and so is cloth that was gauged.
        """
        drawn, errors = self.drawn_build, self.resolved.model_errors
        reckoned = np.where(self.drawn_stack.gauged_thickness > 0.0, 0.0, drawn.layer_thickness)
        made = laminate.panel_thickness(reckoned - self.drawn_stack.solid_thickness)
        wet = laminate.areal_mass(drawn.layer_mass - drawn.solid)
        return replace(
            drawn,
            thickness=with_model_error(drawn.thickness, errors["thickness"], made),
            areal_mass=with_model_error(drawn.areal_mass, errors["areal_mass"], wet),
        )


def bench_of(resolved: Resolved) -> Bench:
    """What the process takes, at the middle values: arrays of shape ``()``."""
    return Bench(
        **{
            name: array(resolved.bench[name].value if name in resolved.bench else 0.0)
            for name in _BENCH_FIELDS
        }
    )


def drawn_bench(resolved: Resolved, draws: int) -> Bench:
    """What the process takes, under draws: arrays of shape ``(draws,)``."""
    return Bench(
        **{
            name: draw(resolved.bench[name], draws) if name in resolved.bench else np.zeros(draws)
            for name in _BENCH_FIELDS
        }
    )


def evaluate_panel(resolved: Resolved, draws: int = DRAWS) -> Evaluated:
    """Evaluate a resolved panel once at its middle values and once for all draws.

    Raises :class:`InputError` for layers that cannot be.
    """
    stack = stack_of(resolved.layers)
    build = evaluate(stack)
    refuse_impossible(resolved, build)
    product = resolved.resin.name
    books = ledger(build, resolved.layers, bench_of(resolved), product)
    many = drawn_stack(resolved.layers, draws)
    drawn = evaluate(many)
    drawn_books = ledger(drawn, resolved.layers, drawn_bench(resolved, draws), product)
    causes = causes_of(resolved.inputs(), draws)
    return Evaluated(resolved, stack, build, books, many, drawn, drawn_books, causes)


def stiffen(done: Evaluated) -> Stiffened | None:
    """The section of an evaluated panel; None where the stiffness of a layer is not known."""
    if not is_stiff(done.resolved.layers):
        return None
    return Stiffened(
        done.stack,
        done.build,
        section(done.stack, done.build),
        done.drawn_stack,
        done.drawn_build,
        may_be_off(section(done.drawn_stack, done.drawn_build), done.resolved.model_errors),
        done.told_build,
        done.causes,
        done.resolved.model_errors,
    )


def _without_stiffness(resolved: Resolved) -> tuple[str, ...]:
    names = unknown_stiffness(resolved.layers)
    if not names:
        return ()
    text = f"the stiffness of {' and of '.join(names)} is not known: give its constants or test it"
    return (text,)


def layer_records(done: Evaluated) -> tuple[LayerRecord, ...]:
    """The layers as laid, from the outside in."""
    thickness_shares = laminate.shares(done.build.layer_thickness)
    mass_shares = laminate.shares(done.build.layer_mass)
    return tuple(
        _layer_record(done, laid, thickness_shares, mass_shares)
        for laid in range(len(done.resolved.laid))
    )


def _layer_record(
    done: Evaluated, laid: int, thickness_shares: Array, mass_shares: Array
) -> LayerRecord:
    rows = [index for index, la in enumerate(done.resolved.layers) if la.laid == laid]
    belongs = np.zeros(len(done.resolved.layers))
    belongs[rows] = 1.0
    layers = [done.resolved.layers[index] for index in rows]
    body = next((layer for layer in layers if layer.film != "seal film"), layers[0])
    index = done.resolved.layers.index(body)
    is_cloth = body.kind == "cloth"

    def over(middle: Array, values: Array, unit: str) -> Ranged:
        return ranged(
            resin.mass_of_cause(middle, belongs),
            resin.mass_of_cause(values, belongs),
            unit,
            done.causes,
        )

    build, many = done.build, done.drawn_build
    return LayerRecord(
        name=body.name,
        kind=body.kind,
        form=body.form,
        thickness=over(build.layer_thickness, many.layer_thickness, "m"),
        areal_mass=over(build.layer_mass, many.layer_mass, "kg/m2"),
        angles=tuple(layer.angle for layer in layers if layer.film != "seal film"),
        fibre_mass_fraction=float(build.fibre_mass_fraction[index]) if is_cloth else None,
        fibre_volume_fraction=float(build.fibre_volume_fraction[index]) if is_cloth else None,
        evidence=weakest([i.evidence for la in layers for i in la.inputs.values()]),
        share_of_thickness=float(np.sum(thickness_shares[rows])),
        share_of_mass=float(np.sum(mass_shares[rows])),
        described=done.resolved.laid[laid].place,
        drawn=drawn_layer(done.resolved.laid[laid].layer, layers, build.layer_thickness[rows]),
    )


def _ledger_rows(done: Evaluated) -> tuple[LedgerRow, ...]:
    rows = []
    for cause, entry in done.books.entries.items():
        drawn = done.drawn_books.entries[cause]
        columns = {
            column: ranged(getattr(entry, column), getattr(drawn, column), "kg/m2", done.causes)
            for column in ("in_part", "to_mix", "to_buy")
        }
        rows.append(LedgerRow(cause, mixes=entry.mixes, **columns))
    return tuple(rows)


def _mixes(done: Evaluated, area: float | None) -> tuple[Mix, ...]:
    found = []
    pack_given = done.resolved.description.panel.resin_pack
    for product, mass in done.books.products.items():
        drawn = done.drawn_books.products[product]
        per_area = ranged(mass, drawn, "kg/m2", done.causes)
        is_main = product == done.resolved.resin.name
        pack = pack_given.value if pack_given is not None and is_main else None
        in_all, packs = None, None
        if area is not None:
            in_all = ranged(
                laminate.mass_of_area(mass, area),
                laminate.mass_of_area(drawn, area),
                "kg",
                done.causes,
            )
            packs = None if pack is None else int(resin.packs(in_all.value, pack))
        found.append(Mix(product, per_area, in_all, pack, packs))
    return tuple(sorted(found, key=lambda mix: -mix.per_area.value))


def _rule_applies(rule: Row, resolved: Resolved) -> bool:
    """Whether a rule of thumb speaks of a panel like this one."""
    forms = {layer.form for layer in resolved.layers if layer.kind == "cloth"}
    names = " ".join(layer.name for layer in resolved.layers if layer.kind == "cloth")
    on_wood = any(layer.kind in TIMBER for layer in resolved.layers)
    says = {
        "all": True,
        "cloth on bare wood": on_wood,
        "mat": forms == {"mat"},
        "woven roving": "woven roving" in names,
        "biaxial": "biaxial" in names,
        "infusion": resolved.process.id == "infusion",
    }
    return says.get(rule.text("applies_to"), False)


def _rules(done: Evaluated, catalogue: Catalogue) -> tuple[RuleOfThumb, ...]:
    cloth = done.books.cloth_mass
    if float(cloth) <= 0.0:
        return ()
    return tuple(
        RuleOfThumb(
            rule.name,
            float(
                resin.rule_of_thumb(
                    cloth, rule.number("per_cloth") or 0.0, rule.number("per_area") or 0.0
                )
            ),
            rule.text("counts"),
            rule.text("leaves_out"),
            rule.source,
        )
        for rule in catalogue.table("rules_of_thumb")
        if _rule_applies(rule, done.resolved)
    )


def _materials_in_words(resolved: Resolved) -> str:
    """Names of all that is handled, parted so that a word of one is not found across two."""
    layers = resolved.layers
    names = [layer.name for layer in layers] + [layer.kind for layer in layers]
    # a layer may have a name of its own: its causes still name what it is made of
    names += sorted({given.cause for layer in layers for given in layer.inputs.values()})
    names += [p for la in layers for p in (la.resin, la.film_product, la.edge_product)]
    names += ["timber"] if TIMBER & {layer.kind for layer in layers} else []
    return " | ".join([*names, resolved.process.name, resolved.resin.name]).lower()


def _cautions(resolved: Resolved, catalogue: Catalogue) -> tuple[Caution, ...]:
    handled = _materials_in_words(resolved)

    def meant(row: Row) -> bool:
        words = [word.strip().lower() for word in row.text("when").split(";")]
        return any(word == "all" or re.search(rf"\b{re.escape(word)}\b", handled) for word in words)

    return tuple(
        Caution(row.name, row.text("what_happens"), row.text("usual_control"), row.source)
        for row in catalogue.table("cautions")
        if meant(row)
    )


def predict(description: Description, catalogue: Catalogue, draws: int = DRAWS) -> Prediction:
    """The prediction of a described panel.

    Raises :class:`InputError` with all problems where a name is not known or a layer cannot be.
    """
    return prediction_of(evaluate_panel(resolve(description, catalogue), draws), catalogue)


def go_on() -> None:
    """Asked between the parts of a long piece of work; one that raises ends it."""


def predict_resolved(resolved: Resolved, catalogue: Catalogue, draws: int = DRAWS) -> Prediction:
    """The prediction of a panel that is resolved with this catalogue; as :func:`predict`."""
    return prediction_of(evaluate_panel(resolved, draws), catalogue)


def prediction_of(
    done: Evaluated, catalogue: Catalogue, between: Callable[[], None] = go_on
) -> Prediction:
    """The prediction of a panel that is resolved and evaluated with this catalogue.

    between : called between its parts; what it raises ends the work.
    """
    stiff = stiffen(done)
    glance = _glance(done, catalogue, stiff)
    parts: dict[str, Any] = {}
    if stiff is not None:
        between()
        parts["section"] = section_record(stiff, done.resolved, glance.section)
        between()
        parts["strength"] = tuple(_stopping(strength_records(stiff, done.resolved.layers), between))
        parts["criteria"] = criteria_records(stiff)
    between()
    return replace(
        glance,
        **parts,
        ledger=_ledger_rows(done),
        rules=_rules(done, catalogue),
        lasting=lasting_records(done.resolved, catalogue),
        service=service_records(done.resolved, catalogue),
        unknown_strength=tuple(unknown_strength(done.resolved.layers)),
        unknown_glue=tuple(unknown_glue(done.resolved.layers)),
        beside=beside(done, stiff, catalogue),
        cautions=_cautions(done.resolved, catalogue),
    )


def _stopping(
    records: Iterable[StrengthRecord], between: Callable[[], None]
) -> Iterator[StrengthRecord]:
    for one in records:
        between()
        yield one


def glance_of(resolved: Resolved, catalogue: Catalogue) -> Prediction:
    """What a glance shows, at the middle values alone: no ranges, no strength, no ledger.

    Middle values are those of :func:`prediction_of`. Raises :class:`InputError`.
    """
    stack = stack_of(resolved.layers)
    build = evaluate(stack)
    refuse_impossible(resolved, build)
    books = ledger(build, resolved.layers, bench_of(resolved), resolved.resin.name)
    nothing = Causes({}, draws=1)
    once = with_axis(stack), with_axis(build), with_axis(books)
    done = Evaluated(resolved, stack, build, books, *once, nothing)
    if not is_stiff(resolved.layers):
        return _glance(done, catalogue, None)
    made = section(stack, build)
    stiff = Stiffened(
        stack,
        build,
        made,
        done.drawn_stack,
        done.drawn_build,
        with_axis(made),
        done.drawn_build,
        nothing,
        resolved.model_errors,
    )
    return _glance(done, catalogue, stiff, most_solids=1)


def glance_with_ranges(done: Evaluated, catalogue: Catalogue) -> Prediction:
    """What a glance shows, with its ranges, how the panel moves, and the cautions."""
    stiff = stiffen(done)
    found = _glance(done, catalogue, stiff)
    if stiff is not None:
        found = replace(found, section=section_record(stiff, done.resolved, found.section))
    return replace(found, cautions=_cautions(done.resolved, catalogue))


def _glance(
    done: Evaluated,
    catalogue: Catalogue,
    stiff: Stiffened | None,
    most_solids: int | None = None,
) -> Prediction:
    description = done.resolved.description
    panel, build, drawn = description.panel, done.build, done.told_build
    size = panel.size
    area = None if size is None else size.length.value * size.width.value

    def whole(middle: Array, values: Array, unit: str) -> Ranged:
        return ranged(middle, values, unit, done.causes)

    mass = None
    if area is not None:
        mass = whole(
            laminate.mass_of_area(build.areal_mass, area),
            laminate.mass_of_area(drawn.areal_mass, area),
            "kg",
        )
    return Prediction(
        title=panel.title,
        text=description.text,
        process=done.resolved.process.name,
        resin=done.resolved.resin.name,
        length=None if size is None else size.length.value,
        width=None if size is None else size.width.value,
        thickness=whole(build.thickness, drawn.thickness, "m"),
        areal_mass=whole(build.areal_mass, drawn.areal_mass, "kg/m2"),
        mass=mass,
        resin_in_part=whole(done.books.resin_in_part, done.drawn_books.resin_in_part, "kg/m2"),
        to_mix=whole(done.books.to_mix, done.drawn_books.to_mix, "kg/m2"),
        layers=layer_records(done),
        mixes=_mixes(done, area),
        section=None if stiff is None else glance_at_section(stiff, done.resolved),
        likeness=() if stiff is None else likeness_records(stiff, catalogue, most_solids),
        warnings=(*worries(done.resolved, build), *_without_stiffness(done.resolved)),
        assumed=(*done.resolved.assumed, *house_words(done.resolved)),
        draws=done.causes.draws,
        seed=SEED,
        version=panelwright.__version__,
        catalogue=catalogue.hash,
        ledger=(),
        rules=(),
        strength=(),
        criteria=(),
        lasting=(),
        unknown_strength=(),
        cautions=(),
    )
