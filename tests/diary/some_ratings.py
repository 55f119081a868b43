"""Ratings for the tests of the diary: one builder, and a strategy for anything that may be stored."""

from __future__ import annotations

from datetime import date

from hypothesis import strategies as st

from planner.diary.rating import Rating
from planner.diary.text import stripped

MONDAY = date(2026, 9, 7)  # a Monday by any calendar
FIVES = "rolling-fives/a/5-6-7"
ARTICULATIONS = ("slurred", "legato", "tongued", "staccato", "K", "double", "triple", "")


def rating(day: int = 7, combination: str = FIVES, articulation: str = "slurred", **fields: object) -> Rating:
    """A rating in September 2026, grade 4 at 96 unless it says otherwise."""
    reached = {"tempo": 96, "clean": None, "grade": 4, "value": None} | fields
    return Rating(date(2026, 9, day), combination, articulation, **reached)  # type: ignore[arg-type]


# Every text that can be seen, the ones a spreadsheet would run among them.
_texts = st.one_of(
    st.text(min_size=1, max_size=30),
    st.builds(lambda first, rest: first + rest, st.sampled_from("=+-@'\t\r\"＝"), st.text(max_size=10)),
)

ratings = st.builds(
    Rating,
    day=st.dates(min_value=date(2000, 1, 1), max_value=date(2099, 12, 31)),
    combination=_texts.map(stripped).filter(bool),
    articulation=st.sampled_from(ARTICULATIONS),
    tempo=st.none() | st.integers(20, 500),
    clean=st.none() | st.integers(20, 500),
    grade=st.none() | st.integers(1, 5),
    value=st.none() | st.floats(0, 10_000),
    limited=st.booleans(),
    at=st.integers(0, 86_400),
)
