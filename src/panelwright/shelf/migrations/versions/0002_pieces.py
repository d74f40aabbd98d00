"""Pieces with their records, photos, the shop's own materials and prices."""

from typing import Any

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"

_TYPES = {"text": sa.Text, "number": sa.Double, "count": sa.Integer}


def _table(name: str, key: tuple[str, ...], references: dict[str, str], /, **columns: str) -> None:
    """A table; ``"number?"`` in ``columns`` may be empty."""
    counts: list[sa.Column[Any]] = [
        sa.Column(column, sa.Integer, nullable=of.endswith("?"))
        for column, of in references.items()
    ]
    made: list[sa.Column[Any]] = [
        sa.Column(column, _TYPES[kind.rstrip("?")], nullable=kind.endswith("?"))
        for column, kind in columns.items()
    ]
    bare = {column: of.rstrip("?") for column, of in references.items()}
    op.create_table(
        name,
        *([sa.Column("id", sa.Integer, autoincrement=False)] if key == ("id",) else []),
        *counts,
        *made,
        sa.PrimaryKeyConstraint(*key, name=op.f(f"pk_{name}")),
        *(
            sa.ForeignKeyConstraint([column], [f"{of}.id"], name=op.f(f"fk_{name}_{column}_{of}"))
            for column, of in bare.items()
        ),
    )
    for column in references:
        if column not in key:
            op.create_index(op.f(f"ix_{name}_{column}"), name, [column])


def upgrade() -> None:
    """Make the tables."""
    words = dict.fromkeys(("cut_at", "place", "remains", "remark", "made"), "text")
    _table(
        "piece",
        ("id",),
        {"panel_id": "panel", "cut_from": "piece?"},
        revision="count",
        title="text",
        **words,
    )
    _table(
        "record",
        ("id",),
        {"piece_id": "piece"},
        date="text",
        gross="number?",
        tare="number",
        length="number?",
        width="number?",
        remark="text",
        made="text",
        areal_mass="number?",
        thickness="number?",
    )
    _table(
        "gauged",
        ("record_id", "number"),
        {"record_id": "record"},
        number="count",
        point="text",
        thickness="number",
    )
    _table(
        "photo",
        ("id",),
        {"panel_id": "panel", "piece_id": "piece?"},
        sha256="text",
        name="text",
        caption="text",
        width="count",
        height="count",
        added="text",
    )
    op.create_index(op.f("ix_photo_sha256"), "photo", ["sha256"])
    _table("own_materials", ("id",), {}, text="text", made="text", remark="text")
    _table(
        "price",
        ("id",),
        {},
        material="text",
        amount="text",
        currency="text",
        per="text",
        date="text",
        remark="text",
        made="text",
    )
    op.create_index(op.f("ix_price_material"), "price", ["material"])
