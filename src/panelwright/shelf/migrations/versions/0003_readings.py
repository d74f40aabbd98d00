"""Readings of a record, and what was learnt of house values."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Make the tables."""
    op.create_table(
        "reading",
        sa.Column("record_id", sa.Integer, nullable=False),
        sa.Column("number", sa.Integer, autoincrement=False, nullable=False),
        sa.Column("what", sa.Text, nullable=False),
        sa.Column("point", sa.Text, nullable=False),
        sa.Column("value", sa.Double, nullable=False),
        sa.Column("division", sa.Double, nullable=False),
        sa.Column("reason", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("record_id", "number", name=op.f("pk_reading")),
        sa.ForeignKeyConstraint(
            ["record_id"], ["record.id"], name=op.f("fk_reading_record_id_record")
        ),
    )
    op.create_table(
        "house",
        sa.Column("id", sa.Integer, autoincrement=False, nullable=False),
        sa.Column("key", sa.Text, nullable=False),
        sa.Column("said", sa.Text, nullable=False),
        sa.Column("piece_id", sa.Integer, nullable=True),
        sa.Column("value", sa.Double, nullable=True),
        sa.Column("u", sa.Double, nullable=True),
        sa.Column("remark", sa.Text, nullable=False),
        sa.Column("made", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_house")),
        sa.ForeignKeyConstraint(["piece_id"], ["piece.id"], name=op.f("fk_house_piece_id_piece")),
    )
    op.create_index(op.f("ix_house_key"), "house", ["key"])
    op.create_index(op.f("ix_house_piece_id"), "house", ["piece_id"])
