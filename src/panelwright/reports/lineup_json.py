"""A line-up as a machine reads it: SI units, a schema with a version."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from panelwright.panels.lineup_records import SCHEMA, LineUp, Member, Row, Why
from panelwright.panels.verdicts import DutyRecord
from panelwright.reports.lineup_why_words import why_sentence
from panelwright.reports.prediction_json import quantity


def lineup_json(lineup: LineUp) -> dict[str, Any]:
    """The whole line-up as plain lists and tables."""
    return {
        "schema": SCHEMA,
        "terms": asdict(lineup.terms),
        "currency": lineup.currency,
        "panels": [_member(member) for member in lineup.members],
        "rows": [_row(row) for row in lineup.rows],
        "asked": [_asked(one) for one in lineup.asked],
        "duties": [_row(row) for row in lineup.duties],
        "why": [_why(lineup, why) for why in lineup.why],
        "notes": list(lineup.notes),
    }


def _asked(duty: DutyRecord) -> dict[str, Any]:
    """What a duty asks, without what any panel answers."""
    return {
        "name": duty.name,
        "length": duty.length,
        "width": duty.width,
        "strip": duty.strip,
        "edges": [list(way.edges) for way in duty.ways] if not duty.strip else [],
        "loads": [asdict(load) for load in duty.loads],
        "lasts": duty.lasts,
    }


def _member(member: Member) -> dict[str, Any]:
    shares = () if member.section is None else member.section.bending_shares
    return {
        "letter": member.letter,
        "title": member.title,
        "handbook_only": member.handbook_only,
        "piece": member.is_piece,
        "change": None if member.change is None else asdict(member.change),
        "layers": [
            {
                "name": layer.name,
                "kind": layer.kind,
                "thickness": quantity(layer.thickness),
                "areal_mass": quantity(layer.areal_mass),
                "share_of_thickness": layer.share_of_thickness,
                "share_of_mass": layer.share_of_mass,
                "share_of_bending": list(shares[at]) if shares else None,
            }
            for at, layer in enumerate(member.layers)
        ],
        "for_their_density": [asdict(one) for one in member.corrected],
    }


def _row(row: Row) -> dict[str, Any]:
    return {
        "key": row.key,
        "name": row.name,
        "better": row.better,
        "verdict": row.verdict,
        "cells": [
            {
                "value": None if cell.value is None else quantity(cell.value),
                "said": cell.said,
                "measured": cell.is_measured,
            }
            for cell in row.cells
        ],
    }


def _why(lineup: LineUp, why: Why) -> dict[str, Any]:
    return {
        "of": why.key,
        "panel": lineup.members[why.panel].letter,
        "against": lineup.members[why.against].letter,
        "ratio": why.ratio,
        "causes": [asdict(cause) for cause in why.causes],
        "sentence": why_sentence(lineup, why),
    }
