"""Alembic's entry: the connection is handed over by ``ldapp.store.migrating``."""

from __future__ import annotations

from alembic import context

context.configure(
    connection=context.config.attributes["connection"],
    target_metadata=context.config.attributes.get("metadata"),
    render_as_batch=True,
    # The caller's transaction holds all steps together with its checks.
    transactional_ddl=False,
)
context.run_migrations()
