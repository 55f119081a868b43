"""Rows: checksums, what holds of several, digests."""

from __future__ import annotations

import math
import zlib

import pytest
from diary.some_ratings import FIVES, rating
from hypothesis import given
from hypothesis import strategies as st

from planner.diary.rating import Rating
from planner.diary.rows import (
    Batch,
    Row,
    checked,
    checksum,
    damage,
    digest_of,
    holding,
    is_sound,
    row_of,
    sealed,
    undone,
)


def rows(*found: Rating) -> list[Row]:
    return [row_of(number, 1, "anna", one) for number, one in enumerate(found, 1)]


def test_the_checksum_is_crc32_over_the_content_as_json() -> None:
    # the JSON text worked by hand
    assert checksum([1, "a", None, 2.5]) == zlib.crc32(b'[1,"a",null,2.5]')


@given(
    place=st.integers(0, len(Row._fields) - 2), other=st.integers(501, 900) | st.text(min_size=1, max_size=3)
)
def test_a_change_of_any_value_fails_the_checksum(place: int, other: int | str) -> None:
    row = row_of(17, 1, "anna", rating())
    changed = list(row)
    changed[place] = other
    assert is_sound(row)
    assert not is_sound(changed)


def test_a_number_turned_into_the_same_text_fails_the_checksum() -> None:
    row = row_of(17, 1, "anna", rating(tempo=96))
    assert not is_sound(row._replace(tempo="96"))


def test_the_later_rating_of_the_same_place_and_day_holds() -> None:
    assert holding(rows(rating(grade=2), rating(grade=5)), "anna") == (rating(grade=5),)


def test_another_articulation_of_the_same_day_holds_beside() -> None:
    both = (rating(articulation="slurred"), rating(articulation="tongued"))
    assert holding(rows(*both), "anna") == both


def test_a_rating_taken_back_lets_the_earlier_one_hold() -> None:
    first, second = rows(rating(grade=2), rating(grade=5))
    assert holding([first, undone(second)], "anna") == (rating(grade=2),)


def test_a_damaged_row_lets_the_sound_ones_hold() -> None:
    first, second = rows(rating(day=7), rating(day=8))
    assert holding([first, second._replace(grade=1)], "anna") == (rating(day=7),)


def test_rows_of_another_player_do_not_hold() -> None:
    assert holding(rows(rating()), "ben") == ()


def test_ratings_stand_in_the_order_of_day_and_turn() -> None:
    morning, evening, next_day = rating(at=10), rating(combination="x/a/1", at=90), rating(day=8, at=0)
    assert holding(rows(next_day, evening, morning), "anna") == (morning, evening, next_day)


def test_a_damaged_row_is_named_by_day_place_and_number() -> None:
    (row,) = rows(rating())
    heading = Batch(*sealed((1, "anna", "rate", "", 1)))
    (line,) = damage([row._replace(grade=1)], [heading])
    assert line == f"row 1 of the diary (2026-09-07, {FIVES}) is damaged and left out"


def test_rows_that_are_gone_are_counted() -> None:
    heading = Batch(*sealed((1, "anna", "rate", "", 3)))
    assert damage(rows(rating()), [heading]) == ("2 of the 3 ratings of entry 1 of the diary are gone",)


def test_a_damaged_heading_is_named() -> None:
    heading = Batch(*sealed((1, "anna", "rate", "", 1)))._replace(source="rats")
    (line,) = damage(rows(rating()), [heading])
    assert line.startswith("the heading of entry 1 of the diary is damaged")


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        (rating(grade=6), "the grade 6 is not 1 to 5"),
        (rating(tempo=7), "the tempo 7 is not 20 to 500"),
        (rating(clean=10**30), "is not 20 to 500"),
        (rating(value=math.nan), "the value nan is not 0 to 10000"),
        (rating(value=-1.0), "the value -1.0 is not 0 to 10000"),
        (rating(combination=" \x1b "), "the combination is missing"),
        (rating(combination="x" * 201), "longer than 200 characters"),
        (rating(articulation="sung"), "the articulation 'sung' is not one of slurred"),
        (rating(at=-1), "the order -1 within the day"),
    ],
    ids=["grade", "tempo", "clean", "nan", "negative", "no place", "long", "articulation", "order"],
)
def test_an_impossible_rating_is_refused(wrong: Rating, said: str) -> None:
    with pytest.raises(ValueError, match=said):
        checked(wrong)


def test_the_digest_of_no_ratings_is_sha256_of_nothing() -> None:
    # FIPS 180-4 test value of the empty message
    assert digest_of(()) == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"


def test_the_digest_changes_with_any_field() -> None:
    fields = [{}, {"grade": 3}, {"tempo": 100}, {"clean": 96}, {"value": 1.0}, {"limited": True}, {"at": 1}]
    assert len({digest_of([rating(**one)]) for one in fields}) == len(fields)
