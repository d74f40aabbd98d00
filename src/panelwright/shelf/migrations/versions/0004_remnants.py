"""What is left over of materials after a build."""

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    """Make the table."""
    op.create_table(
        "remnant",
        sa.Column("id", sa.Integer, autoincrement=False, nullable=False),
        sa.Column("material", sa.Text, nullable=False),
        sa.Column("amount", sa.Text, nullable=False),
        sa.Column("piece_id", sa.Integer, nullable=True),
        sa.Column("remark", sa.Text, nullable=False),
        sa.Column("made", sa.Text, nullable=False),
        sa.Column("gone", sa.Text, nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_remnant")),
        sa.ForeignKeyConstraint(["piece_id"], ["piece.id"], name=op.f("fk_remnant_piece_id_piece")),
    )
    op.create_index(op.f("ix_remnant_material"), "remnant", ["material"])
    op.create_index(op.f("ix_remnant_piece_id"), "remnant", ["piece_id"])
