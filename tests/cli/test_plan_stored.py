"""When a stored plan is used again and when it is made anew, on a small sample player."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from cli.plan_player import MONDAY, NEXT_MONDAY, TUESDAY, WEDNESDAY, AtHome, at_home, edit
from horizon.sample_weeks import turns

import planner.horizon.stored as stored_plans
from planner.diary.plans import load_plan


@pytest.fixture
def jonah(tmp_path: Path) -> AtHome:
    """Jonah with files of his own, and the week of 7 September planned."""
    found = at_home("jonah", tmp_path)
    found.week(MONDAY)
    return found


def times_planned(player: AtHome) -> int:
    return len(player.stored())


# --- used again


def test_a_plan_is_stored_under_its_days(jonah: AtHome) -> None:
    assert jonah.stored() == ["2026-09-07_2026-09-13_0001.json"]


def test_a_second_look_plans_nothing(jonah: AtHome) -> None:
    jonah.week(MONDAY)
    jonah.today(MONDAY)
    assert times_planned(jonah) == 1


def test_a_second_look_shows_the_same_bytes(jonah: AtHome) -> None:
    words = ("week", "--date", MONDAY, "--json")
    assert jonah.planner(*words).out == jonah.planner(*words).out


def test_a_day_further_on_is_not_planned_again_when_looked_at_again(jonah: AtHome) -> None:
    jonah.today(WEDNESDAY)
    jonah.today(WEDNESDAY)
    assert times_planned(jonah) == 2


def test_rating_todays_items_does_not_plan_today_again(jonah: AtHome) -> None:
    before = jonah.today(MONDAY)
    jonah.rate(MONDAY, "--rest-clean")
    assert jonah.today(MONDAY) == before
    assert times_planned(jonah) == 1


def test_the_file_of_earlier_ratings_moving_into_the_diary_changes_nothing(jonah: AtHome) -> None:
    # With the first rating the 54 earlier ones move in; the plan was made from the same ratings.
    jonah.rate(MONDAY, "C1=4")
    jonah.week(MONDAY)
    assert times_planned(jonah) == 1


def test_a_file_written_again_with_the_same_text_changes_nothing(jonah: AtHome) -> None:
    jonah.player.write_bytes(jonah.player.read_bytes())
    jonah.week(MONDAY)
    assert times_planned(jonah) == 1


# --- made anew


def test_a_day_without_any_rating_is_noticed_and_the_rest_made_anew(jonah: AtHome) -> None:
    said = jonah.planner("today", "--date", TUESDAY)
    assert said.out.startswith("Not played as planned: Monday 7.")
    assert times_planned(jonah) == 2


def test_a_missed_day_can_be_rated_by_the_command_that_is_named(jonah: AtHome) -> None:
    lines = jonah.planner("today", "--date", TUESDAY).out.splitlines()
    line = next(line for line in lines if line.startswith("Played after all"))
    assert line == f"Played after all: planner rate --player {jonah.player} --date {MONDAY}"


def test_unplayed_days_of_a_week_without_any_rating_are_told_once(jonah: AtHome) -> None:
    # a weekly paper sheet: Monday, Tuesday and Thursday have minutes, nothing is rated before Sunday
    first = jonah.planner("today", "--date", TUESDAY)
    later = [jonah.planner("today", "--date", day) for day in (WEDNESDAY, "2026-09-10", "2026-09-11")]
    assert "Not played" in first.out
    assert [("Not played" in said.out, said.err) for said in later] == [(False, "")] * 3


def test_a_paper_sheet_does_not_change_while_nothing_of_it_is_rated(jonah: AtHome) -> None:
    jonah.planner("today", "--date", TUESDAY)
    sheet = jonah.week(TUESDAY)
    assert jonah.week("2026-09-11") == sheet


def test_one_rated_day_of_the_week_makes_the_others_missed(jonah: AtHome) -> None:
    jonah.planner("today", "--date", TUESDAY)
    jonah.planner("today", "--date", "2026-09-10")
    jonah.rate("2026-09-10", "--rest-clean")
    said = jonah.planner("today", "--date", "2026-09-11")
    assert said.out.startswith("Not played as planned: Tuesday 8.")


def test_a_sheet_rated_at_the_end_of_the_week_was_not_missed(jonah: AtHome) -> None:
    jonah.planner("today", "--date", TUESDAY)
    for day in (MONDAY, TUESDAY, "2026-09-10", "2026-09-11", "2026-09-12"):
        jonah.rate(day, "--rest-clean")
    assert "Not played" not in jonah.planner("today", "--date", "2026-09-13").out


def test_a_day_that_was_played_is_not_called_missed(jonah: AtHome) -> None:
    jonah.rate(MONDAY, "--rest-clean")
    assert "Not played" not in jonah.planner("today", "--date", TUESDAY).out


def test_a_missed_day_is_said_on_the_screen_alone(jonah: AtHome) -> None:
    assert jonah.planner("today", "--date", TUESDAY, "--json").plan["first_day"] == TUESDAY


def test_an_edited_player_file_makes_a_new_plan(jonah: AtHome) -> None:
    edit(jonah.player, "monday = 15", "monday = 20")
    assert jonah.today(MONDAY)["seconds_free"] == 1200
    assert times_planned(jonah) == 2


def test_an_edited_curriculum_makes_a_new_plan(jonah: AtHome) -> None:
    edit(jonah.curriculum, 'title = "Dinner bell"', 'title = "Supper bell"')
    titles = {item["title"] for day in jonah.week(MONDAY)["days"] for item in day["items"]}
    assert "Supper bell" in titles
    assert "Dinner bell" not in titles


def test_an_edited_file_of_earlier_ratings_makes_a_new_plan(jonah: AtHome) -> None:
    lines = jonah.ratings.read_text(encoding="utf-8").splitlines(keepends=True)
    jonah.ratings.write_text("".join(lines[:-1]), encoding="utf-8")
    jonah.week(MONDAY)
    assert times_planned(jonah) == 2


def test_even_a_remark_in_a_file_makes_a_new_plan(jonah: AtHome) -> None:
    # The digest is over the bytes: a plan never claims to come from a file that it has not seen.
    edit(jonah.player, "[minutes]", "# longer from October\n[minutes]")
    jonah.week(MONDAY)
    assert times_planned(jonah) == 2


def test_another_version_of_the_program_makes_a_new_plan(
    jonah: AtHome, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(stored_plans, "__version__", "9.9.9")
    jonah.week(MONDAY)
    assert times_planned(jonah) == 2


def test_a_rating_of_an_earlier_day_makes_a_new_plan(jonah: AtHome) -> None:
    jonah.rate(MONDAY, "--rest-clean")
    assert jonah.week(TUESDAY)["first_day"] == TUESDAY
    assert times_planned(jonah) == 2


def test_a_rating_of_last_week_makes_a_new_plan_of_this_one(jonah: AtHome) -> None:
    jonah.rate("2026-09-05", "dinner-bell/a/b-flat-major=1@60")
    jonah.week(MONDAY)
    assert times_planned(jonah) == 2


def test_undo_of_an_earlier_days_rating_makes_a_new_plan(jonah: AtHome) -> None:
    jonah.rate("2026-09-05", "dinner-bell/a/b-flat-major=1@60")
    jonah.week(MONDAY)
    jonah.undo()
    jonah.week(MONDAY)
    assert times_planned(jonah) == 3


def test_undo_of_todays_rating_leaves_the_plan(jonah: AtHome) -> None:
    jonah.rate(MONDAY, "--rest-clean")
    jonah.undo()
    jonah.week(MONDAY)
    assert times_planned(jonah) == 1


def test_the_week_after_is_a_plan_of_its_own(jonah: AtHome) -> None:
    jonah.week(NEXT_MONDAY)
    assert jonah.stored() == ["2026-09-07_2026-09-13_0001.json", "2026-09-14_2026-09-20_0002.json"]


def test_start_plans_the_week_of_its_day(jonah: AtHome) -> None:
    said = jonah.planner("week", "--date", MONDAY, "--start", NEXT_MONDAY, "--json")
    assert (said.plan["first_day"], said.plan["last_day"]) == (NEXT_MONDAY, "2026-09-20")


def test_start_leaves_the_plan_of_this_week(jonah: AtHome) -> None:
    before = jonah.week(MONDAY)
    jonah.planner("week", "--start", NEXT_MONDAY)
    assert jonah.week(MONDAY) == before


def test_a_damaged_stored_plan_is_made_again(jonah: AtHome) -> None:
    before = jonah.week(MONDAY)
    path = jonah.data / "plans" / "jonah" / jonah.stored()[0]
    path.write_bytes(path.read_bytes()[:-100])
    assert jonah.week(MONDAY) == before


def test_a_missing_folder_of_plans_is_made_again(jonah: AtHome) -> None:
    before = jonah.week(MONDAY)
    for path in (jonah.data / "plans" / "jonah").iterdir():
        path.unlink()
    (jonah.data / "plans" / "jonah").rmdir()
    assert jonah.week(MONDAY) == before


def test_what_is_printed_is_what_is_stored(jonah: AtHome) -> None:
    assert jonah.week(MONDAY) == load_plan(jonah.data, "jonah", date.fromisoformat(MONDAY))


def test_a_new_plan_begins_on_the_day_it_is_asked_for(jonah: AtHome) -> None:
    jonah.rate(MONDAY, "--rest-clean")
    assert [day["date"] for day in jonah.week(WEDNESDAY)["days"]] == [
        "2026-09-09", "2026-09-10", "2026-09-11", "2026-09-12", "2026-09-13",
    ]  # fmt: skip


def test_a_plan_changes_as_little_as_it_can_after_a_clean_day(jonah: AtHome) -> None:
    # What the first plan held on the days that are planned again mostly stays on them.
    before = {turn for turn in turns(jonah.week(MONDAY)) if turn[0] >= TUESDAY}
    jonah.rate(MONDAY, "--rest-clean")
    after = turns(jonah.week(TUESDAY))
    assert len(before & after) >= len(before) / 2


# --- the first day of all


def test_on_the_very_first_day_an_edit_plans_once_and_no_more(jonah: AtHome) -> None:
    # No file of earlier ratings, so that after the first rating the diary holds nothing but today.
    edit(jonah.player, 'ratings = "jonah-ratings.csv"\n', "")
    jonah.week(MONDAY)
    jonah.rate(MONDAY, "--rest-clean")
    edit(jonah.player, "monday = 15", "monday = 20")
    planned = [jonah.week(MONDAY) and times_planned(jonah) for _ in range(3)]
    assert planned == [3, 3, 3]


def test_a_look_at_an_earlier_day_leaves_the_plan_of_today_alone(tmp_path: Path) -> None:
    jonah = at_home("jonah", tmp_path)
    before = jonah.today("2026-09-10")
    jonah.today("2026-09-08")
    assert jonah.today("2026-09-10") == before


@pytest.mark.parametrize("day", ["9999-12-31", "0001-01-01", "1999-12-31", "2100-01-01"])
def test_a_day_of_another_century_is_refused(tmp_path: Path, day: str) -> None:
    said = at_home("jonah", tmp_path).planner("today", "--date", day)
    assert (said.code, said.err) == (2, f"{day} lies outside the years 2000 to 2099 (look at its year)\n")
