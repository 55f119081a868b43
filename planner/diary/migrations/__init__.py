"""Brings the tables of a diary to the version this program writes, one numbered step after another.

A step is a module here with `upgrade(operations)`; it is written once and never changed afterwards, so
that a diary of any released version opens for ever. A new diary takes the same road from version 0.
Imported only when the version row of a file is behind: alembic is slow to load.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping

from alembic.migration import MigrationContext
from alembic.operations import Operations
from sqlalchemy import Connection, text

from planner.diary.migrations import step_1

Step = Callable[[Operations], None]

STEPS: Mapping[int, Step] = {1: step_1.upgrade}
"""The step that leads to each version from the one before it."""


def bring_up(connection: Connection, version: int, steps: Mapping[int, Step] = STEPS) -> int:
    """Takes every step after `version` in the transaction of the connection; the version reached."""
    operations = Operations(MigrationContext.configure(connection))
    newest = max(steps)
    for number in range(version + 1, newest + 1):
        steps[number](operations)
    connection.execute(text("DELETE FROM schema_version"))
    connection.execute(text("INSERT INTO schema_version (version) VALUES (:version)"), {"version": newest})
    return newest
