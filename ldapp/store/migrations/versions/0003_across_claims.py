"""What the register filters by, what reports over all claims need, and records claims share."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("claim_summary") as summary:
        summary.add_column(sa.Column("policy", sa.Text(), server_default="", nullable=False))
        summary.add_column(sa.Column("people", sa.Text(), server_default="[]", nullable=False))
        summary.add_column(
            sa.Column("papers_missing", sa.BigInteger(), server_default="0", nullable=False)
        )
    op.create_table(
        "claim_figures",
        sa.Column("claim", sa.BigInteger(), nullable=False),
        sa.Column("figures", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["claim"], ["claim.key"], name=op.f("fk_claim_figures_claim_claim"), ondelete="CASCADE"
        ),
        sa.PrimaryKeyConstraint("claim", name=op.f("pk_claim_figures")),
    )
    op.create_table(
        "shared_record",
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("version", sa.BigInteger(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("data", sa.Text(), nullable=False),
        sa.Column("changed", sa.DateTime(timezone=True), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("kind", "id", name=op.f("pk_shared_record")),
    )
    # Rows that were reckoned before have none of this: they are made anew at the next start.
    op.execute("UPDATE claim_summary SET reckoning_version = ''")
