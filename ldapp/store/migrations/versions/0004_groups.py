"""Parties that stand for a group which bears its part together."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    with op.batch_alter_table("party") as party:
        party.add_column(sa.Column("members", sa.Text(), server_default="[]", nullable=False))
        party.add_column(sa.Column("together", sa.Text(), nullable=True))
