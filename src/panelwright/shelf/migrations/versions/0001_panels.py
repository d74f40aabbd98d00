"""Panels with their revisions, tags and cores, and the words they are found by."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    """Make the first tables."""
    op.create_table(
        "panel",
        sa.Column("id", sa.Integer, autoincrement=False),
        sa.Column("title", sa.Text, nullable=False),
        sa.Column("revision", sa.Integer, nullable=False),
        sa.Column("made", sa.Text, nullable=False),
        sa.Column("changed", sa.Text, nullable=False),
        sa.Column("process", sa.Text, nullable=False),
        sa.Column("standing", sa.Text, nullable=False),
        sa.Column("thickness", sa.Double, nullable=False),
        sa.Column("areal_mass", sa.Double, nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_panel")),
    )
    for column in ("changed", "process", "standing", "thickness", "areal_mass"):
        op.create_index(op.f(f"ix_panel_{column}"), "panel", [column])
    op.create_table(
        "card",
        sa.Column("panel_id", sa.Integer, nullable=False),
        sa.Column("data", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("panel_id", name=op.f("pk_card")),
        sa.ForeignKeyConstraint(["panel_id"], ["panel.id"], name=op.f("fk_card_panel_id_panel")),
    )
    for table in ("core", "tag"):
        op.create_table(
            table,
            sa.Column("panel_id", sa.Integer, nullable=False),
            sa.Column("word", sa.Text, nullable=False),
            sa.PrimaryKeyConstraint("panel_id", "word", name=op.f(f"pk_{table}")),
            sa.ForeignKeyConstraint(
                ["panel_id"], ["panel.id"], name=op.f(f"fk_{table}_panel_id_panel")
            ),
        )
        op.create_index(op.f(f"ix_{table}_word"), table, ["word"])
    op.create_table(
        "revision",
        sa.Column("id", sa.Integer, autoincrement=False),
        sa.Column("panel_id", sa.Integer, nullable=False),
        sa.Column("number", sa.Integer, nullable=False),
        sa.Column("made", sa.Text, nullable=False),
        sa.Column("remark", sa.Text, nullable=False),
        sa.Column("version", sa.Text, nullable=False),
        sa.Column("catalogue", sa.Text, nullable=False),
        sa.Column("text", sa.Text, nullable=False),
        sa.Column("snapshot", sa.LargeBinary, nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_revision")),
        sa.ForeignKeyConstraint(
            ["panel_id"], ["panel.id"], name=op.f("fk_revision_panel_id_panel")
        ),
        sa.UniqueConstraint("panel_id", "number", name=op.f("uq_revision_panel_id")),
    )
    op.create_index(op.f("ix_revision_panel_id"), "revision", ["panel_id"])
    if op.get_bind().dialect.name == "sqlite":
        op.execute("CREATE VIRTUAL TABLE words USING fts5(said, tokenize = 'ascii')")
    else:
        op.execute(
            "CREATE TABLE words (rowid INTEGER PRIMARY KEY REFERENCES panel(id), "
            "said TSVECTOR NOT NULL)"
        )
        op.execute("CREATE INDEX ix_words_said ON words USING gin (said)")
