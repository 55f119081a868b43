"""A new player file from six answers: it reads back as it was answered, and a wrong answer is told."""

from __future__ import annotations

import re
from datetime import date, timedelta
from pathlib import Path
from typing import get_args

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.brass.instruments import INSTRUMENTS
from planner.errors import UsageError
from planner.inputs.curriculum import Level
from planner.inputs.player import Player
from planner.inputs.read import player_from
from planner.inputs.text import unwanted
from planner.inputs.write import (
    Answers,
    breath_answer,
    curriculum_answer,
    id_for,
    instrument_answer,
    level_answer,
    minutes_answer,
    name_answer,
    player_toml,
)

MONDAY = date(2026, 9, 7)
BO = Answers("bo", "Bo", "tuba-bb", "beginner", "term", MONDAY, (20, 0, 0, 0, 0, 15, 0), 6.5)

# Any name a person may type: every character that can be seen, quotes, backslashes and # among them.
NAMES = (
    st.text(st.characters(exclude_categories=("C", "Zl", "Zp")), min_size=1, max_size=120)
    .map(str.strip)
    .filter(lambda name: name and not unwanted(name))
)
IDS = st.from_regex(r"[a-z0-9]{1,8}(-[a-z0-9]{1,8}){0,3}", fullmatch=True)
DAY = st.integers(0, 600)
ANSWERS = st.builds(
    Answers,
    id=IDS.filter(lambda word: id_for(word) == word),
    name=NAMES,
    instrument=st.sampled_from(sorted(INSTRUMENTS)),
    level=st.sampled_from(get_args(Level)),
    curriculum=IDS.filter(lambda word: id_for(word) == word),
    starts=st.integers(0, 3000).map(lambda weeks: date(2000, 1, 3) + timedelta(weeks=weeks)),
    minutes=st.tuples(DAY, DAY, DAY, DAY, DAY, DAY, DAY).filter(any),
    breath_seconds=st.floats(2, 60),
)


def read_back(text: str) -> Player:
    return player_from(text, "bo.toml", Path(), MONDAY)


@settings(max_examples=150, deadline=None, derandomize=True, database=None)
@given(ANSWERS)
def test_what_is_written_is_what_was_answered(answers: Answers) -> None:
    read = read_back(player_toml(answers))
    assert answers == Answers(
        read.id,
        read.name,
        read.instrument,
        read.level,
        read.curriculum,
        read.starts,
        read.minutes,
        read.breath_seconds,
    )


def test_a_whole_number_of_seconds_is_written_without_a_point() -> None:
    assert "breath_seconds = 6.5 " in player_toml(BO)
    assert "breath_seconds = 7 " in player_toml(
        Answers(*("bo", "Bo", "tuba-bb", "beginner", "term"), MONDAY, BO.minutes, 7.0)
    )


def test_the_lines_offered_for_more_are_sound_once_their_mark_is_taken_away() -> None:
    # a comment of words stays one: only lines that are word = value or a heading are opened
    opened = re.sub(r"^# (?=\[\[|\w+ = )", "", player_toml(BO), flags=re.MULTILINE)
    read = read_back(opened.replace('["G3", "G5"]', '["Bb1", "Bb2"]'))
    # MIDI: B flat 1 = 34, B flat 2 = 46
    assert (read.low, read.high) == (34, 46)
    assert (len(read.dates), len(read.playing), len(read.music)) == (1, 1, 1)


@pytest.mark.parametrize(
    ("said", "minutes"),
    [
        ("mon-fri 30, sat 45", (30, 30, 30, 30, 30, 45, 0)),
        ("Monday 40", (40, 0, 0, 0, 0, 0, 0)),
        ("daily 20", (20,) * 7),
        ("daily 20; sunday 0", (20, 20, 20, 20, 20, 20, 0)),
        ("fri-mon 15", (15, 0, 0, 0, 15, 15, 15)),
        ("tu: 10 min, thurs = 25", (0, 10, 0, 25, 0, 0, 0)),
        ("tuesdays 30", (0, 30, 0, 0, 0, 0, 0)),
    ],
)
def test_minutes_are_understood_as_people_say_them(said: str, minutes: tuple[int, ...]) -> None:
    assert minutes_answer(said) == minutes


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("", "no weekday has any minutes"),
        ("mon 0", "no weekday has any minutes"),
        ("thirty", "'thirty' is not days and minutes"),
        ("mon", "'mon' is not days and minutes"),
        ("moonday 30", "'moonday' is not a weekday"),
        ("m 30", "'m' is not a weekday"),
        ("ts 30", "'ts' is not a weekday"),
        ("mon 601", "601 minutes are more than 600"),
        ("mon -30", "'mon -30' is not days and minutes"),
    ],
    ids=[
        "nothing",
        "nought",
        "a word",
        "no number",
        "misspelt",
        "one letter",
        "one and an s",
        "too many",
        "below nought",
    ],
)
def test_minutes_that_are_none_are_told(said: str, told: str) -> None:
    with pytest.raises(UsageError, match=told):
        minutes_answer(said)


def test_a_misspelt_weekday_is_guessed() -> None:
    with pytest.raises(UsageError, match="moonday") as caught:
        minutes_answer("moonday 30")
    assert caught.value.hint == "did you mean 'monday'?"


def test_an_instrument_may_be_written_with_capitals_and_blanks() -> None:
    assert instrument_answer(" Bass Trombone ").id == "bass-trombone"


def test_an_unknown_instrument_is_guessed() -> None:
    with pytest.raises(UsageError, match="'trumpett' is not an instrument") as caught:
        instrument_answer("trumpett")
    assert caught.value.hint == "did you mean 'trumpet'?"


@pytest.mark.parametrize(("said", "seconds"), [("12", 12.0), ("7.5", 7.5), ("8 s", 8.0)])
def test_a_breath_is_a_number_of_seconds(said: str, seconds: float) -> None:
    assert breath_answer(said) == seconds


@pytest.mark.parametrize("said", ["nan", "inf", "1", "61", "-3"])
def test_a_breath_that_nobody_has_is_refused(said: str) -> None:
    with pytest.raises(UsageError, match="breath_seconds should be a number from 2 to 60"):
        breath_answer(said)


def test_a_breath_in_words_is_refused() -> None:
    with pytest.raises(UsageError, match="'long' is no number of seconds"):
        breath_answer("long")


def test_a_level_is_one_of_three_words() -> None:
    assert level_answer("Advanced") == "advanced"
    with pytest.raises(
        UsageError, match="'expert' is not a level; allowed: beginner, intermediate, advanced"
    ):
        level_answer("expert")


def test_a_name_may_not_be_empty() -> None:
    with pytest.raises(UsageError, match="name is empty"):
        name_answer("  ")


def test_a_name_with_an_unseen_character_is_refused() -> None:
    with pytest.raises(UsageError, match=r"U\+202E"):
        name_answer("An\u202ena")


def test_a_curriculum_outside_the_folder_is_refused() -> None:
    with pytest.raises(UsageError, match="is no file in the folder of the player file"):
        curriculum_answer("../term.toml")


@pytest.mark.parametrize(
    ("name", "made"),
    [
        ("Anna", "anna"),
        ("Zoë van Dijk", "zoe-van-dijk"),
        ("  O'Neill, B.  ", "o-neill-b"),
        ("Жанна", "player"),
        ("Con", "con-player"),
        ("../../etc", "etc"),
    ],
)
def test_an_id_is_made_of_a_name(name: str, made: str) -> None:
    assert id_for(name) == made
