"""${message}"""

from __future__ import annotations

from alembic import op

revision = "${up_revision}"
down_revision = ${repr(down_revision)}


def upgrade() -> None:
    """The tables from the version before to this one."""
