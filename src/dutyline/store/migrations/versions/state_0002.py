"""The mark of the last change, by which a change that is sent twice is known."""

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    """Add the column; what was kept before has no mark."""
    op.add_column(
        "dutyline_documents", sa.Column("mark", sa.Text(), nullable=False, server_default="")
    )
