"""Dates of a curriculum in a player's calendar, and class profiles."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from cli.plan_player import run_here
from term.small_terms import STARTS, request

from planner.errors import BadData
from planner.inputs.calendar import in_term
from planner.inputs.class_file import read_class
from planner.inputs.read import curriculum_from
from planner.paths import shipped_curricula

CLASS = """id = "first-years"
name = "First years"
curriculum = "first-year-five-notes"
starts = 2026-09-07
level = "beginner"
minutes = { monday = 15, tuesday = 15, thursday = 15, friday = 15 }

[[pupil]]
id = "cornets"
instrument = "cornet"
known_notes = ["C4", "D4", "E4", "F4", "G4"]

[[pupil]]
id = "trombones"
instrument = "trombone"
known_notes = ["Bb2", "C3", "D3", "Eb3", "F3"]
longest_position = 5
"""
MONDAY = date(2026, 9, 7)


def with_dates(text: str) -> str:
    return (shipped_curricula() / "first-year-five-notes.toml").read_text(encoding="utf-8") + text


def dates_of(text: str) -> list[tuple[str, str]]:
    """Kind and day of the dates that a curriculum puts into a calendar that starts on 30 November 2026."""
    curriculum = curriculum_from(with_dates(text), "five.toml")
    player = in_term(request(STARTS, "").player, curriculum)
    return [(one.kind, one.first.isoformat()) for one in player.dates]


def test_a_holiday_takes_the_seven_days_of_its_week() -> None:
    found = dates_of('\n[[date]]\nkind = "holiday"\nweek = 2\n')
    assert found == [("free", f"2026-12-{day:02}") for day in range(7, 14)]


def test_a_half_week_takes_what_comes_after_wednesday() -> None:
    found = dates_of('\n[[date]]\nkind = "half week"\nweek = 1\n')
    assert found == [("free", f"2026-12-{day:02}") for day in range(3, 7)]


def test_an_assessment_has_the_rules_of_an_audition() -> None:
    assert dates_of('\n[[date]]\nkind = "assessment"\nweek = 1\ndays = ["friday"]\n') == [
        ("audition", "2026-12-04")
    ]


def test_dates_are_put_in_once() -> None:
    curriculum = curriculum_from(with_dates('\n[[date]]\nkind = "holiday"\nweek = 2\n'), "five.toml")
    once = in_term(request(STARTS, "").player, curriculum)
    assert in_term(once, curriculum) == once


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ('kind = "concert"\nweek = 2', "the day of the concert is missing"),
        ('kind = "concert"\nweek = 2\ndays = ["monday", "friday"]', "a date of kind concert is one day"),
        ('kind = "holiday"\nweek = 9', "week 9 lies outside the curriculum's 8 weeks"),
        ('kind = "feast"\nweek = 2', "is not a kind of date"),
        ('kind = "holiday"', "'week' is missing"),
    ],
)
def test_a_faulty_date_is_told_with_its_line(text: str, message: str) -> None:
    with pytest.raises(BadData, match=rf"five\.toml:\d+:\d+: .*{message}"):
        curriculum_from(with_dates(f"\n[[date]]\n{text}\n"), "five.toml")


def class_file(folder: Path, text: str = CLASS) -> Path:
    path = folder / "first-years.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_pupils_have_what_the_class_has_and_what_is_their_own(tmp_path: Path) -> None:
    cornets, trombones = read_class(class_file(tmp_path), MONDAY).pupils
    assert (cornets.id, cornets.instrument, trombones.instrument) == ("cornets", "cornet", "trombone")
    assert cornets.minutes == trombones.minutes == (15, 15, 0, 15, 15, 0, 0)
    assert trombones.longest_position == 5


def test_a_pupils_fault_is_told_at_its_line(tmp_path: Path) -> None:
    path = class_file(tmp_path, CLASS.replace('"cornet"', '"kornet"'))
    with pytest.raises(BadData, match=r"first-years\.toml:10:14: .*not an instrument"):
        read_class(path, MONDAY)


def test_a_fault_of_the_class_is_told_once(tmp_path: Path) -> None:
    path = class_file(tmp_path, CLASS.replace('"beginner"', '"starter"'))
    with pytest.raises(BadData, match="not a level") as told:
        read_class(path, MONDAY)
    assert len(told.value.faults) == 1


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ('id = "first-years"', "id = 5", r"first-years\.toml:1:6: id should be a text in quotes, not 5"),
        (
            'name = "First years"',
            'name = "First\\u001b years"',
            r"first-years\.toml:2:14: U\+001B \(ESC\) may not",
        ),
    ],
    ids=["a number", "a sign that turns the screen around"],
)
def test_id_and_name_of_the_class_are_looked_at_where_pupils_have_their_own(
    tmp_path: Path, old: str, new: str, told: str
) -> None:
    own = CLASS.replace('id = "cornets"', 'id = "cornets"\nname = "C"')
    own = own.replace('id = "trombones"', 'id = "trombones"\nname = "T"')
    with pytest.raises(BadData, match=told):
        read_class(class_file(tmp_path, own.replace(old, new, 1)), MONDAY)


def test_two_pupils_of_one_name_are_refused(tmp_path: Path) -> None:
    path = class_file(tmp_path, CLASS.replace('"trombones"', '"cornets"'))
    with pytest.raises(BadData, match="a pupil 'cornets' stands above already"):
        read_class(path, MONDAY)


def test_a_class_without_pupils_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadData, match=r"at least one \[\[pupil\]\]"):
        read_class(class_file(tmp_path, CLASS.split("[[pupil]]", maxsplit=1)[0]), MONDAY)


def test_the_terms_of_a_class_stand_side_by_side(tmp_path: Path) -> None:
    said = run_here("term", "--class", str(class_file(tmp_path)))
    assert said.code == 0
    assert "met by their week   12 of 12" in said.out


def test_a_class_begins_on_a_monday_alone(tmp_path: Path) -> None:
    said = run_here("term", "--class", str(class_file(tmp_path)), "--starts", "2026-09-09")
    told = "2026-09-09 is no Monday (the Monday of that week is 2026-09-07)\n"
    assert (said.code, said.out, said.err) == (2, "", told)


def test_one_pupils_term_is_a_term_like_any_other(tmp_path: Path) -> None:
    said = run_here("term", "--class", str(class_file(tmp_path)), "--pupil", "cornets", "--json")
    assert (said.plan["format"], said.plan["player"]) == ("planner.term/1", "cornets")
