"""Days, examples and empty sheets, as a newcomer types them."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from cli.plan_player import MONDAY, AtHome, at_home, run_here

from planner.cli.desk import read_day
from planner.errors import UsageError


@pytest.fixture(scope="module")
def jonah(tmp_path_factory: pytest.TempPathFactory) -> AtHome:
    """Jonah with a routine for Monday."""
    found = at_home("jonah", tmp_path_factory.mktemp("jonah"))
    found.today(MONDAY)
    return found


# the last of February in a leap year
@pytest.mark.parametrize(
    ("word", "day"),
    [("today", "2028-02-29"), ("tomorrow", "2028-03-01"), ("Yesterday", "2028-02-28"), (None, "2028-02-29")],
)
def test_days_near_today_may_be_said(word: str | None, day: str) -> None:
    assert read_day(word, date(2028, 2, 29)).isoformat() == day


@pytest.mark.parametrize("day", ["1999-12-31", "2100-01-01"])
def test_years_that_no_player_file_may_have_are_no_days_either(day: str) -> None:
    with pytest.raises(UsageError, match="lies outside the years 2000 to 2099"):
        read_day(day, date(2028, 2, 29))


def test_the_week_may_begin_tomorrow(jonah: AtHome) -> None:
    said = jonah.planner("week", "--start", "today", "--date", "tomorrow")
    assert (said.code, "lies before" in said.err) == (2, True)


def test_a_stretch_may_have_been_missed_yesterday(jonah: AtHome) -> None:
    said = jonah.planner("rebalance", "--missed", "yesterday..2000-01-01", "--dry-run")
    assert (said.code, "before it begins" in said.err) == (2, True)


def test_the_example_without_a_terminal_is_of_the_day(jonah: AtHome) -> None:
    ids = {item["id"] for item in jonah.today(MONDAY)["items"] if item["combination"]}
    said = jonah.planner("rate", "--date", MONDAY)
    named = said.err.partition("planner rate ")[2].partition("=")[0]
    assert (said.code, named in ids) == (2, True)


def test_the_example_for_a_day_without_a_routine_can_be_rated(jonah: AtHome) -> None:
    said = jonah.planner("rate", "--date", "2026-08-03", "B2=108")
    example = said.err.partition("like ")[2].split()[0]
    assert said.code == 2
    assert jonah.planner("rate", "--date", "2026-08-03", example).code == 0


def test_an_empty_sheet_is_no_sheet(jonah: AtHome, tmp_path: Path) -> None:
    (tmp_path / "empty.txt").touch()
    said = jonah.planner("rate", "--from", str(tmp_path / "empty.txt"))
    assert (said.code, said.out) == (65, "")
    assert "empty.txt:1:1: nothing stands in it (one rating a line: " in said.err


def test_a_sheet_of_dates_and_remarks_is_no_sheet(jonah: AtHome, tmp_path: Path) -> None:
    (tmp_path / "dates.txt").write_text("# lesson = 1\n2026-09-07\n", encoding="utf-8")
    said = jonah.planner("rate", "--from", str(tmp_path / "dates.txt"))
    assert (said.code, said.out) == (65, "")
    assert "dates.txt:1:1: nothing stands in it" in said.err


def test_gaps_say_which_keys_they_are() -> None:
    first = run_here("gaps", "first-year-five-notes").out.splitlines()[0]
    assert first.endswith("never touches (keys as written)")
