"""A prediction as a machine reads it: SI units, a schema with a version."""

from __future__ import annotations

import json
from importlib.resources import files
from typing import Any

from panelwright.panels.records import (
    SCHEMA,
    LayerRecord,
    LikenessRecord,
    Mix,
    MovementRecord,
    Prediction,
    SectionRecord,
    ServiceRecord,
    StrengthRecord,
)
from panelwright.panels.spread import Ranged


def schema() -> dict[str, Any]:
    """JSON Schema of what :func:`as_json` gives."""
    text = files("panelwright.reports").joinpath("prediction.schema.json").read_text("utf-8")
    read: dict[str, Any] = json.loads(text)
    return read


def quantity(value: Ranged) -> dict[str, Any]:
    """A number with its range, unit, evidence and drivers."""
    return {
        "value": value.value,
        "low": value.low,
        "high": value.high,
        "unit": value.unit,
        "evidence": value.evidence.value,
        "drivers": [
            {"cause": d.cause, "share": d.share, "evidence": d.evidence.value}
            for d in value.drivers
        ],
    }


def _layer(layer: LayerRecord) -> dict[str, Any]:
    return {
        "name": layer.name,
        "kind": layer.kind,
        "thickness": quantity(layer.thickness),
        "areal_mass": quantity(layer.areal_mass),
        "angle_deg": layer.angles[0] if len(layer.angles) == 1 else None,
        "ply_angles_deg": list(layer.angles),
        "fibre_mass_fraction": layer.fibre_mass_fraction,
        "fibre_volume_fraction": layer.fibre_volume_fraction,
        "evidence": layer.evidence.value,
        "share_of_thickness": layer.share_of_thickness,
        "share_of_mass": layer.share_of_mass,
        "described": layer.described,
    }


def _mix(mix: Mix) -> dict[str, Any]:
    return {
        "product": mix.product,
        "per_area": quantity(mix.per_area),
        "in_all": None if mix.in_all is None else quantity(mix.in_all),
        "pack_kg": mix.pack,
        "packs": mix.packs,
    }


def _section(section: SectionRecord | None) -> dict[str, Any] | None:
    if section is None:
        return None
    return {
        "A": {"unit": "N/m", "matrix": _rows(section.extension)},
        "B": {"unit": "N", "matrix": _rows(section.coupling)},
        "D": {"unit": "N m", "matrix": _rows(section.bending)},
        "transverse_shear_stiffness": {"unit": "N/m", "matrix": _rows(section.shear)},
        "moduli": {name: quantity(value) for name, value in section.moduli.items()},
        "bending_stiffness": {
            "along": quantity(section.stiffness_along),
            "across": quantity(section.stiffness_across),
        },
        "shear_stiffness": {
            "along": quantity(section.shear_along),
            "across": quantity(section.shear_across),
        },
        "neutral_height_m": {"along": section.neutral_along, "across": section.neutral_across},
        "unlikeness": section.unlikeness,
        "bending_shares": [list(share) for share in section.bending_shares],
        "shear_shares": [list(share) for share in section.shear_shares],
        "by_angle": [
            {
                "angle_deg": at.angle,
                "in_plane": quantity(at.in_plane),
                "bending": quantity(at.bending),
            }
            for at in section.by_angle
        ],
        "merit": {name: quantity(value) for name, value in section.merit.items()},
        "against_handbook": [
            {
                "name": one.name,
                "kind": one.kind,
                "modulus": quantity(one.modulus),
                "specific": None if one.specific is None else quantity(one.specific),
            }
            for one in section.handbook
        ],
        "ply_rules": {
            "layer": section.ruled,
            "rules": [{**vars(rule), "unit": "Pa"} for rule in section.rules],
        },
        "movement": [_movement(move) for move in section.movement],
    }


def _movement(move: MovementRecord) -> dict[str, Any]:
    return {
        "step": move.step,
        "growth": {"along": quantity(move.growth_along), "across": quantity(move.growth_across)},
        "rise_over_1_m": {
            "along": quantity(move.rise_along),
            "across": quantity(move.rise_across),
        },
    }


def _rows(matrix: tuple[tuple[float, ...], ...]) -> list[list[float]]:
    return [list(row) for row in matrix]


def _likeness(record: LikenessRecord) -> dict[str, Any]:
    return {
        "name": record.name,
        "along": quantity(record.along),
        "across": quantity(record.across),
        "mass": quantity(record.mass),
    }


def _strength(record: StrengthRecord) -> dict[str, Any]:
    return {
        "action": record.action,
        "sign": record.sign,
        "level": record.level,
        "value": quantity(record.value),
        "layer": record.layer,
        "place": record.place,
        "mode": record.mode,
        "footprint": record.footprint,
    }


def _service(record: ServiceRecord) -> dict[str, Any]:
    evidence = None if record.evidence is None else record.evidence.value
    return {
        "layer": record.layer,
        "material": record.material,
        "what": record.what,
        "temperature_K": record.temperature,
        "wet": record.wet,
        "share": record.value,
        "low": record.low,
        "high": record.high,
        "evidence": evidence,
        "source": record.source,
        "known_to_K": record.known_to,
    }


def as_json(prediction: Prediction) -> dict[str, Any]:
    """The whole prediction as plain values."""
    return {
        "schema": SCHEMA,
        "panel": {
            "title": prediction.title,
            "process": prediction.process,
            "resin": prediction.resin,
            "length_m": prediction.length,
            "width_m": prediction.width,
            "file": prediction.text,
        },
        "thickness": quantity(prediction.thickness),
        "areal_mass": quantity(prediction.areal_mass),
        "mass": None if prediction.mass is None else quantity(prediction.mass),
        "resin_in_part": quantity(prediction.resin_in_part),
        "resin_to_mix": quantity(prediction.to_mix),
        "ledger": [
            {
                "cause": row.cause,
                "in_part": quantity(row.in_part),
                "to_mix": quantity(row.to_mix),
                "to_buy": quantity(row.to_buy),
                "mixes": row.mixes,
            }
            for row in prediction.ledger
        ],
        "mixes": [_mix(mix) for mix in prediction.mixes],
        "rules_of_thumb": [
            {
                "name": rule.name,
                "resin": rule.resin,
                "unit": "kg/m2",
                "counts": rule.counts,
                "leaves_out": rule.leaves_out,
                "source": rule.source,
            }
            for rule in prediction.rules
        ],
        "layers": [_layer(layer) for layer in prediction.layers],
        "section": _section(prediction.section),
        "likeness": [_likeness(record) for record in prediction.likeness],
        "strength": [_strength(record) for record in prediction.strength],
        "criteria": [
            {"action": one.action, "unit": one.unit, "loads": one.loads}
            for one in prediction.criteria
        ],
        "lasting": [
            {
                "material": one.material,
                "what": one.what,
                "left": [{"time_s": time, "share": share} for time, share in one.left],
                "source": one.source,
            }
            for one in prediction.lasting
        ],
        "service": [_service(record) for record in prediction.service],
        "unknown_strength": list(prediction.unknown_strength),
        "unknown_glue": list(prediction.unknown_glue),
        "warnings": list(prediction.warnings),
        "assumed": list(prediction.assumed),
        "cautions": [
            {
                "name": one.name,
                "what_happens": one.what_happens,
                "usual_control": one.usual_control,
                "source": one.source,
            }
            for one in prediction.cautions
        ],
        "ranges": {"draws": prediction.draws, "seed": prediction.seed},
        "version": prediction.version,
        "catalogue": prediction.catalogue,
    }
