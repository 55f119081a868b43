"""`planner today --minutes`: fewer minutes cut the routine, more plan the week again."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from cli.plan_player import MONDAY, TUESDAY, AtHome, at_home, edit, run_here
from horizon.sample_weeks import request_from

from planner.inputs.player import SpecialDate
from planner.plan.verify import verify

FREE = '\n[[date]]\nkind = "{kind}"\ndate = 2026-09-07\ntitle = "{title}"\n{more}'
BACK = "they come back with the next plan, or now with planner today --usual"
AGAIN = "--player {0.player} --date 2026-09-07\n"


@pytest.fixture
def jonah(tmp_path: Path) -> AtHome:
    """Jonah with files of his own, a quarter of an hour on Monday, his week planned."""
    found = at_home("jonah", tmp_path)
    found.week(MONDAY)
    return found


def ids(day: dict[str, list[dict[str, str]]]) -> list[str]:
    return [item["id"] for item in day["items"]]


# --- fewer


def test_fewer_minutes_cut_the_routine(jonah: AtHome) -> None:
    assert sum(item["seconds"] for item in jonah.today(MONDAY, "--minutes", "8")["items"]) <= 480


def test_a_routine_that_cannot_be_stored_is_cut_all_the_same(jonah: AtHome, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").write_text("no folder")
    words = ("--player", str(jonah.player), "--diary", str(tmp_path / "elsewhere"), "--date", MONDAY)
    said = run_here("today", *words, "--minutes", "8", "--json")
    assert (said.code, said.plan["days"][0]["seconds_free"]) == (73, 480)


def test_what_is_left_out_is_said_on_standard_error(jonah: AtHome) -> None:
    whole = ids(jonah.today(MONDAY))
    said = jonah.planner("today", "--date", MONDAY, "--minutes", "8", "--json")
    out = [name for name in whole if name not in ids(said.plan["days"][0])]
    assert said.err == f"left out for today: {', '.join(out)}; {BACK} {AGAIN.format(jonah)}"


def test_a_cut_routine_plans_nothing_again(jonah: AtHome) -> None:
    jonah.today(MONDAY, "--minutes", "8")
    assert len(jonah.stored()) == 1


def test_a_cut_routine_leaves_the_week_as_it_was(jonah: AtHome) -> None:
    before = jonah.week(MONDAY)
    jonah.today(MONDAY, "--minutes", "8")
    assert jonah.week(MONDAY) == before


def test_after_a_cut_the_rest_is_what_was_cut_to(jonah: AtHome) -> None:
    cut = jonah.today(MONDAY, "--minutes", "8")
    jonah.rate(MONDAY, "--rest-clean")
    rated = {
        one["combination"] for one in jonah.week(TUESDAY)["combinations"] if one["last_played"] == MONDAY
    }
    assert rated == {item["combination"] for item in cut["items"]} - {""}


def test_an_item_that_was_cut_cannot_be_rated_by_its_id(jonah: AtHome) -> None:
    whole, cut = jonah.today(MONDAY), jonah.today(MONDAY, "--minutes", "8")
    gone = next(item["id"] for item in whole["items"] if item["combination"] and item["id"] not in ids(cut))
    said = jonah.planner("rate", "--date", MONDAY, f"{gone}=4")
    assert (said.code, said.out) == (2, "")
    assert gone in said.err


def test_the_whole_routine_shown_again_is_what_is_rated(jonah: AtHome) -> None:
    jonah.today(MONDAY, "--minutes", "8")
    whole = jonah.today(MONDAY)
    jonah.rate(MONDAY, "--rest-clean")
    rated = {
        one["combination"] for one in jonah.week(TUESDAY)["combinations"] if one["last_played"] == MONDAY
    }
    assert rated == {item["combination"] for item in whole["items"]} - {""}


def test_a_longer_cut_takes_the_place_of_a_shorter_one(jonah: AtHome) -> None:
    jonah.today(MONDAY, "--minutes", "8")
    longer = jonah.today(MONDAY, "--minutes", "15")
    last = next(item["id"] for item in reversed(longer["items"]) if item["combination"])
    jonah.rate(MONDAY, f"{last}=4")


def test_the_minutes_there_are_anyway_change_nothing(jonah: AtHome) -> None:
    assert jonah.today(MONDAY, "--minutes", "15") == jonah.today(MONDAY)


# --- more


def test_more_minutes_plan_the_day_again(jonah: AtHome) -> None:
    day = jonah.today(MONDAY, "--minutes", "30")
    assert day["seconds_free"] == 1800
    assert len(jonah.stored()) == 2


def test_more_minutes_give_a_warm_up_of_eight(jonah: AtHome) -> None:
    assert jonah.today(MONDAY, "--minutes", "30")["items"][0]["seconds"] == 480


def test_many_more_minutes_come_with_a_caution(jonah: AtHome) -> None:
    # Jonah's days have 15 minutes; 15 x 1.25, the default load of a minute, is 18.75
    said = " ".join(jonah.planner("today", "--date", MONDAY, "--minutes", "60").out.split())
    assert "longer than any usual day (15 minutes, load at most 19)" in said


def test_few_minutes_after_many_are_cut_from_the_usual_day(jonah: AtHome) -> None:
    usual = jonah.today(MONDAY)["load_limit"]
    jonah.planner("today", "--date", MONDAY, "--minutes", "60")
    cut = jonah.today(MONDAY, "--minutes", "5")
    assert (cut["notes"], cut["load_limit"]) == (["cut to 5 minutes"], usual)


def test_a_day_of_the_warm_up_alone_names_no_letters(jonah: AtHome) -> None:
    said = jonah.planner("today", "--date", MONDAY, "--minutes", "1")
    assert said.err.startswith("left out for today: all but the warm-up; ")
    assert "cut to 1 minute\n" in said.out


def test_the_other_days_keep_their_minutes(jonah: AtHome) -> None:
    jonah.today(MONDAY, "--minutes", "30")
    assert [day["seconds_free"] // 60 for day in jonah.week(MONDAY)["days"]] == [30, 15, 0, 15, 15, 15, 0]


def test_a_day_with_more_minutes_breaks_no_rule(jonah: AtHome) -> None:
    jonah.today(MONDAY, "--minutes", "30")
    monday = date.fromisoformat(MONDAY)
    request = request_from(jonah.player, monday, monday + timedelta(days=6), monday)
    longer = SpecialDate("short", monday, monday, "30 minutes today", 30)
    player = replace(request.player, dates=(*request.player.dates, longer))
    assert verify(request.curriculum, player, request.ratings, jonah.week(MONDAY)) == ()


def test_more_minutes_asked_for_twice_plan_once(jonah: AtHome) -> None:
    first = jonah.today(MONDAY, "--minutes", "30")
    assert jonah.today(MONDAY, "--minutes", "30") == first
    assert len(jonah.stored()) == 2


def test_minutes_on_a_day_without_any_give_a_routine(jonah: AtHome) -> None:
    # Jonah has no minutes on Wednesdays.
    assert jonah.today("2026-09-09", "--minutes", "20")["items"]


def test_minutes_on_a_short_day_are_those_that_were_typed(jonah: AtHome) -> None:
    more = FREE.format(kind="short", title="dentist", more="minutes = 10\n")
    jonah.player.write_text(jonah.player.read_text() + more)
    assert jonah.today(MONDAY, "--minutes", "20")["seconds_free"] == 1200


def test_a_free_date_stays_free_and_says_so(jonah: AtHome) -> None:
    jonah.player.write_text(jonah.player.read_text() + FREE.format(kind="free", title="sea", more=""))
    said = jonah.planner("today", "--date", MONDAY, "--minutes", "20")
    assert said.err.endswith("a date or a limit in the player file leaves 0 of the 20 minutes\n")


def test_a_limit_holds_whatever_is_typed(jonah: AtHome) -> None:
    limit = '\n[[limit]]\ntitle = "sore lip"\nfrom = 2026-09-07\nuntil = 2026-09-20\nminutes = 10\n'
    jonah.player.write_text(jonah.player.read_text() + limit)
    assert jonah.today(MONDAY, "--minutes", "30")["seconds_free"] == 600


def test_an_edit_after_more_minutes_goes_back_to_the_file(jonah: AtHome) -> None:
    jonah.today(MONDAY, "--minutes", "30")
    edit(jonah.player, "monday = 15", "monday = 16")
    assert jonah.today(MONDAY)["seconds_free"] == 960


# --- and back


def test_the_usual_minutes_bring_the_plan_before_back(jonah: AtHome) -> None:
    before = jonah.week(MONDAY)
    jonah.today(MONDAY, "--minutes", "30")
    jonah.today(MONDAY, "--minutes", "40")
    jonah.today(MONDAY, "--usual")
    assert jonah.week(MONDAY) == before


def test_the_usual_minutes_bring_what_was_cut_back(jonah: AtHome) -> None:
    whole = jonah.today(MONDAY)
    gone = ids(whole)[-1]
    assert gone not in ids(jonah.today(MONDAY, "--minutes", "4"))
    assert jonah.today(MONDAY, "--usual") == whole


def test_the_usual_minutes_on_a_usual_day_change_nothing(jonah: AtHome) -> None:
    assert jonah.today(MONDAY, "--usual") == jonah.today(MONDAY)
    assert len(jonah.stored()) == 1


def test_a_day_with_typed_minutes_says_how_they_are_taken_back(jonah: AtHome) -> None:
    jonah.today(MONDAY, "--minutes", "30")
    said = jonah.planner("today", "--date", MONDAY)
    back = "30 minutes on this day only; to take them back: planner today --usual"
    assert said.err == f"{back} {AGAIN.format(jonah)}"


def test_a_usual_day_says_nothing_of_minutes(jonah: AtHome) -> None:
    assert jonah.planner("today", "--date", MONDAY).err == ""


def test_minutes_and_the_usual_ones_together_are_refused(jonah: AtHome) -> None:
    said = jonah.planner("today", "--date", MONDAY, "--usual", "--minutes", "20")
    assert (said.code, said.err) == (2, "--usual and --minutes say two things (leave one of them out)\n")
