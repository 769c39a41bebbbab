"""Who rents, what happened with the insurer and when, and whether a loss was our fault."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    # Columns that may be empty are added in place: nothing is copied, no check is lost.
    with op.batch_alter_table("agreement") as agreement:
        agreement.add_column(sa.Column("renter", sa.Text(), nullable=True))
    with op.batch_alter_table("policy") as policy:
        for name in ("notified", "proof_requested", "proof_given", "decided", "first_paid"):
            policy.add_column(sa.Column(name, sa.Date(), nullable=True))
    with op.batch_alter_table("occurrence") as occurrence:
        occurrence.add_column(sa.Column("our_fault", sa.Boolean(), nullable=True))
