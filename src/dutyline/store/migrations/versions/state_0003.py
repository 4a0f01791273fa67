"""How the head of a document was moved, by whom and when."""

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    """Make the table; moves before it were not kept."""
    op.create_table(
        "dutyline_moves",
        sa.Column("id", sa.Integer(), primary_key=True),
        sa.Column(
            "document", sa.String(16), sa.ForeignKey("dutyline_documents.id"), nullable=False
        ),
        sa.Column("left", sa.Integer(), nullable=False),
        sa.Column("to", sa.Integer(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
    )
    op.create_index("dutyline_by_move", "dutyline_moves", ["document"])
