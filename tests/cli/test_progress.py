"""planner progress as people run it, on a small sample player."""

from __future__ import annotations

from pathlib import Path

import pytest
from cli.plan_player import MONDAY, AtHome, at_home


@pytest.fixture
def jonah(tmp_path: Path) -> AtHome:
    """Jonah with files of his own."""
    return at_home("jonah", tmp_path)


def test_without_a_day_it_is_four_weeks(jonah: AtHome) -> None:
    told = jonah.planner("progress", "--date", MONDAY, "--json").plan
    assert (told["format"], told["since"], told["date"]) == ("planner.progress/1", "2026-08-10", MONDAY)


def test_since_a_day_it_begins_there(jonah: AtHome) -> None:
    said = jonah.planner("progress", "--date", MONDAY, "--since", "2026-08-03")
    assert said.code == 0
    assert said.out.startswith("Jonah, from Monday 3 August 2026 to Monday 7 September 2026\n")


def test_todays_ratings_count(jonah: AtHome) -> None:
    before = jonah.planner("progress", "--date", MONDAY, "--json").plan["ratings"]
    jonah.rate(MONDAY, "dinner-bell/a/b-flat-major=60")
    assert jonah.planner("progress", "--date", MONDAY, "--json").plan["ratings"] == before + 1


@pytest.mark.parametrize("since", [MONDAY, "2026-09-08"])
def test_a_day_that_is_not_earlier_is_refused(jonah: AtHome, since: str) -> None:
    said = jonah.planner("progress", "--date", MONDAY, "--since", since)
    assert (said.code, said.out) == (2, "")
    assert said.err == f"--since {since} does not lie before {MONDAY} (name an earlier day)\n"


def test_a_since_that_is_no_date_is_refused(jonah: AtHome) -> None:
    said = jonah.planner("progress", "--date", MONDAY, "--since", "spring")
    assert (said.code, said.err) == (
        2,
        "'spring' is no date (write it like 2026-09-07, or yesterday, today or tomorrow)\n",
    )


def test_progress_stores_nothing(jonah: AtHome) -> None:
    jonah.planner("progress", "--date", MONDAY)
    assert not jonah.data.exists()
