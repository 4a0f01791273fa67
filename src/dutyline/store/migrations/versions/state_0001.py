"""Contents, documents and their revisions."""

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None

_HEAD = "dutyline_head_exists"
_AT, _OF = ["id", "head"], ["document", "number"]


def upgrade() -> None:
    """Make the tables."""
    lite = op.get_bind().dialect.name == "sqlite"
    head = sa.ForeignKeyConstraint(
        _AT,
        [f"dutyline_revisions.{name}" for name in _OF],
        name=_HEAD,
        deferrable=True,
        initially="DEFERRED",
    )
    op.create_table(
        "dutyline_contents",
        sa.Column("sha256", sa.String(64), primary_key=True),
        sa.Column("text", sa.LargeBinary(), nullable=False),
    )
    op.create_table(
        "dutyline_documents",
        sa.Column("id", sa.String(16), primary_key=True),
        sa.Column("origin", sa.Text(), nullable=False),
        sa.Column("title", sa.Text(), nullable=False),
        sa.Column("head", sa.Integer(), nullable=False),
        sa.Column("last", sa.Integer(), nullable=False),
        sa.Column("trail", sa.Text(), nullable=False),
        sa.Column("changed", sa.DateTime(timezone=True), nullable=False),
        *([head] if lite else []),
    )
    op.create_index("dutyline_by_origin", "dutyline_documents", ["origin"])
    op.create_index("dutyline_by_change", "dutyline_documents", ["changed"])
    op.create_table(
        "dutyline_revisions",
        sa.Column(
            "document", sa.String(16), sa.ForeignKey("dutyline_documents.id"), primary_key=True
        ),
        sa.Column("number", sa.Integer(), primary_key=True, autoincrement=False),
        sa.Column("parent", sa.Integer()),
        sa.Column(
            "sha256", sa.String(64), sa.ForeignKey("dutyline_contents.sha256"), nullable=False
        ),
        sa.Column("shown", sa.Text(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("what", sa.Text(), nullable=False),
        sa.Column("made", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["document", "parent"],
            ["dutyline_revisions.document", "dutyline_revisions.number"],
            name="dutyline_parent_exists",
        ),
    )
    op.create_index("dutyline_by_text", "dutyline_revisions", ["sha256"])
    if not lite:
        op.create_foreign_key(
            _HEAD, "dutyline_documents", "dutyline_revisions", _AT, _OF,
            deferrable=True, initially="DEFERRED",
        )  # fmt: skip
