"""Version 1: batches, ratings and anchors, each row with its checksum."""

from __future__ import annotations

from alembic.operations import Operations
from sqlalchemy import CheckConstraint, Column, Float, ForeignKey, Integer, String


def upgrade(operations: Operations) -> None:
    """From an empty file to version 1."""
    operations.create_table("schema_version", Column("version", Integer, nullable=False))
    _batches(operations)
    _ratings(operations)
    operations.create_table(
        "anchor",
        Column("player", String, primary_key=True),
        Column("monday", String, nullable=False),
        Column("crc", Integer, nullable=False),
    )


def _batches(operations: Operations) -> None:
    operations.create_table(
        "batch",
        Column("id", Integer, primary_key=True),
        Column("player", String, nullable=False),
        Column("source", String, nullable=False),
        Column("stored_on", String, nullable=False),
        Column("size", Integer, nullable=False),
        Column("crc", Integer, nullable=False),
    )
    operations.create_index("batch_by_player", "batch", ["player"])


def _ratings(operations: Operations) -> None:
    operations.create_table(
        "rating",
        Column("number", Integer, primary_key=True),
        Column("batch", Integer, ForeignKey("batch.id"), nullable=False),
        Column("player", String, nullable=False),
        Column("day", String, nullable=False),
        Column("combination", String, nullable=False),
        Column("articulation", String, nullable=False),
        Column("tempo", Integer),
        Column("clean", Integer),
        Column("grade", Integer),
        Column("value", Float),
        Column("limited", Integer, nullable=False),
        Column("at", Integer, nullable=False),
        Column("undone", Integer, nullable=False),
        Column("crc", Integer, nullable=False),
        CheckConstraint("grade IS NULL OR grade BETWEEN 1 AND 5", name="grade_is_1_to_5"),
        CheckConstraint("limited IN (0, 1) AND undone IN (0, 1)", name="marks_are_0_or_1"),
    )
    operations.create_index("rating_by_player", "rating", ["player"])
    operations.create_index("rating_by_batch", "rating", ["batch"])
