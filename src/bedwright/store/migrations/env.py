"""Run by Alembic: migrates over the connection that ``store.opening`` hands it, all at once."""

from __future__ import annotations

from alembic import context

from bedwright.store.schema import METADATA

connection = context.config.attributes["connection"]
context.configure(connection=connection, target_metadata=METADATA, transactional_ddl=True)
context.run_migrations()
