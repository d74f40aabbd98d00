"""Who read what of a piece, whether to build it so again, and what to improve."""

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    """Make the columns; what was kept before says nothing in them."""
    for name in ("who", "again", "improve"):
        op.add_column("record", sa.Column(name, sa.Text, nullable=False, server_default=""))
