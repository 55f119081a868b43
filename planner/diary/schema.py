"""The tables of the diary for SQLAlchemy Core. Imported by `store.py` only, and only when it opens a file.

Days are ISO texts and numbers plain: a damaged value must come out as it stands and fail its checksum,
not fail while it is read. How a file of an older version gets here: `migrations/`.
"""

from __future__ import annotations

from sqlalchemy import CheckConstraint, Column, Float, ForeignKey, Index, Integer, MetaData, String, Table

from planner.diary.rows import ANCHOR_TABLE, BATCH_TABLE, RATING_TABLE

META = MetaData()

SCHEMA_VERSION = Table("schema_version", META, Column("version", Integer, nullable=False))

BATCH = Table(
    BATCH_TABLE,
    META,
    Column("id", Integer, primary_key=True),
    Column("player", String, nullable=False),
    Column("source", String, nullable=False),
    Column("stored_on", String, nullable=False),
    Column("size", Integer, nullable=False),
    Column("crc", Integer, nullable=False),
    Index("batch_by_player", "player"),
)

RATING = Table(
    RATING_TABLE,
    META,
    Column("number", Integer, primary_key=True),
    Column("batch", Integer, ForeignKey(f"{BATCH_TABLE}.id"), nullable=False),
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
    Index("rating_by_player", "player"),
    Index("rating_by_batch", "batch"),
)

ANCHOR = Table(
    ANCHOR_TABLE,
    META,
    Column("player", String, primary_key=True),
    Column("monday", String, nullable=False),
    Column("crc", Integer, nullable=False),
)
