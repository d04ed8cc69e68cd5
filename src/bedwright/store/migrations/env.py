"""Run by Alembic: migrates over the connection that ``store.opening`` hands it, all at once."""

from __future__ import annotations

from alembic import context

from bedwright.store.schema import METADATA

config = getattr(context, "config", None)
if config is not None:  # as Alembic runs it, not where it is only read
    connection = config.attributes["connection"]
    context.configure(connection=connection, target_metadata=METADATA, transactional_ddl=True)
    context.run_migrations()
