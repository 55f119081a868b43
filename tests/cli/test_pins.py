"""planner pin and planner unpin as people run them, on a small sample player."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from cli.plan_player import MONDAY, TUESDAY, AtHome, Said, at_home, edit

BELL = "dinner-bell/a/b-flat-major"
CONCERT = '\n[[date]]\nkind = "concert"\ndate = 2026-09-10\ntitle = "school fair"\n'


@pytest.fixture
def jonah(tmp_path: Path) -> AtHome:
    """Jonah with files of his own and nothing planned."""
    return at_home("jonah", tmp_path)


def pin(player: AtHome, *words: str, day: str = MONDAY) -> Said:
    return player.planner("pin", *words, "--date", day)


def pinned(player: AtHome) -> list[tuple[str, str]]:
    """What the plan of the week holds as pinned."""
    return [
        (day["date"], item["combination"])
        for day in player.week()["days"]
        for item in day["items"]
        if item["pinned"] and item["go"] == 1
    ]


def test_a_pin_says_where_it_stands_and_how_to_undo_it(jonah: AtHome) -> None:
    said = pin(jonah, BELL, "2026-09-10")
    assert (said.code, said.err) == (0, "")
    assert said.out == (
        f"Pinned: {BELL} on Thursday 10 September 2026. "
        "The next plan keeps it there; planner undo takes it back.\n"
    )


@pytest.mark.parametrize("word", ["thursday", "Thu", "THURSDAY"])
def test_a_weekday_is_the_next_one(jonah: AtHome, word: str) -> None:
    pin(jonah, BELL, word)
    assert pinned(jonah) == [("2026-09-10", BELL)]


@pytest.mark.parametrize(("word", "day"), [("today", MONDAY), ("monday", MONDAY), ("tomorrow", TUESDAY)])
def test_today_is_a_day_by_its_name_too(jonah: AtHome, word: str, day: str) -> None:
    pin(jonah, BELL, word)
    assert pinned(jonah) == [(day, BELL)]


def test_a_letter_of_todays_routine_names_its_combination(jonah: AtHome) -> None:
    item = next(one for one in jonah.today(MONDAY)["items"] if one["id"] == "B1")
    pin(jonah, "b1", "friday")
    assert pinned(jonah) == [("2026-09-11", item["combination"])]


def test_a_new_pin_makes_the_plan_again(jonah: AtHome) -> None:
    jonah.week()
    pin(jonah, BELL, "thursday")
    jonah.week()
    jonah.week()
    assert len(jonah.stored()) == 2


def test_a_pin_of_another_week_leaves_the_plan(jonah: AtHome) -> None:
    jonah.week()
    assert pin(jonah, BELL, "2026-09-17").code == 0
    jonah.week()
    assert len(jonah.stored()) == 1


def test_a_pin_on_a_day_gone_by_stays_with_it(jonah: AtHome) -> None:
    # Pinned on Monday and not played: Tuesday's plan is made once, and not again because of the pin gone by.
    pin(jonah, BELL, "monday")
    jonah.week()
    jonah.week(TUESDAY)
    jonah.week(TUESDAY)
    assert len(jonah.stored()) == 2


def test_unpin_makes_the_plan_again(jonah: AtHome) -> None:
    pin(jonah, BELL, "thursday")
    jonah.week()
    said = jonah.planner("unpin", BELL, "--date", MONDAY)
    assert said.out == f"No longer pinned: {BELL} on 2026-09-10. planner undo brings it back.\n"
    assert pinned(jonah) == []


def test_unpin_with_a_day_leaves_the_other_days(jonah: AtHome) -> None:
    pin(jonah, BELL, "tuesday")
    pin(jonah, BELL, "friday")
    jonah.planner("unpin", BELL, "tuesday", "--date", MONDAY)
    assert pinned(jonah) == [("2026-09-11", BELL)]


def test_undo_takes_a_pin_back(jonah: AtHome) -> None:
    pin(jonah, BELL, "thursday")
    assert jonah.planner("undo").out == f"Taken back: the pin of {BELL} on 2026-09-10.\n"
    assert pin(jonah).out == "Nothing is pinned.\n"


def test_undo_takes_ratings_and_pins_back_in_their_order(jonah: AtHome) -> None:
    pin(jonah, BELL, "thursday")
    jonah.rate(MONDAY, f"{BELL}=60")
    pin(jonah, BELL, "friday")
    told = [jonah.planner("undo").out for _ in range(4)]
    assert [line.split(" of ")[0] for line in told] == [
        "Taken back: the pin",
        "Taken back: 1 rating",
        "Taken back: the pin",
        "There is nothing to take back.\n",
    ]


def test_pins_are_listed_from_today_on(jonah: AtHome) -> None:
    pin(jonah, BELL, "monday")
    pin(jonah, BELL, "thursday")
    assert pin(jonah, day=TUESDAY).out == f"Pinned: {BELL} on Thursday 10 September 2026.\n"


def test_pins_are_one_json_array(jonah: AtHome) -> None:
    pin(jonah, BELL, "thursday")
    assert json.loads(pin(jonah, "--json").out) == [{"date": "2026-09-10", "combination": BELL}]


def test_a_pin_with_json_prints_the_array_alone(jonah: AtHome) -> None:
    said = pin(jonah, BELL, "thursday", "--json")
    assert json.loads(said.out) == [{"date": "2026-09-10", "combination": BELL}]
    assert said.err.startswith("Pinned: ")


def test_the_week_names_what_is_pinned(jonah: AtHome) -> None:
    pin(jonah, BELL, "thursday")
    out = jonah.planner("week", "--date", MONDAY).out
    assert f"Pinned: {BELL} on Thursday 10 September." in out.replace("\n   ", " ")


def test_the_routine_names_what_is_pinned(jonah: AtHome) -> None:
    pin(jonah, BELL, "thursday")
    assert ", pinned" in jonah.planner("today", "--date", "2026-09-10").out


def test_a_day_cut_short_keeps_what_is_pinned(jonah: AtHome) -> None:
    pin(jonah, BELL, "thursday")
    kept = jonah.today("2026-09-10", "--minutes", "7")["items"]
    assert BELL in {item["combination"] for item in kept}


# --- what cannot be pinned


def refused(said: Said, code: int) -> str:
    """The one line of a pin that was refused."""
    assert (said.code, said.out, said.err.count("\n")) == (code, "", 1)
    return said.err.rstrip("\n")


def test_an_unknown_combination_gets_the_nearest_one(jonah: AtHome) -> None:
    line = refused(pin(jonah, "diner-bell/a/b-flat-major", "thursday"), 2)
    assert line.startswith(f"there is no combination 'diner-bell/a/b-flat-major' (did you mean {BELL}")


def test_a_day_that_is_none_gets_the_nearest_one(jonah: AtHome) -> None:
    line = refused(pin(jonah, BELL, "thurday"), 2)
    assert line == (
        "'thurday' is no day (did you mean thursday? "
        "write a date like 2026-09-07, a weekday, today or tomorrow)"
    )


def test_the_past_cannot_be_pinned(jonah: AtHome) -> None:
    line = refused(pin(jonah, BELL, "2026-09-01"), 2)
    assert line == "2026-09-01 lies before 2026-09-07: the past stays as it is"


def test_a_pin_without_a_day_asks_for_it(jonah: AtHome) -> None:
    assert refused(pin(jonah, BELL), 2) == "the day is missing (planner pin COMBINATION DAY)"


def test_a_letter_without_a_routine_is_told(jonah: AtHome) -> None:
    line = refused(pin(jonah, "B1", "thursday"), 66)
    assert line == (
        "no routine is stored for 2026-09-07, so B1 names nothing (planner today --date 2026-09-07 plans one)"
    )


def test_a_letter_that_the_routine_does_not_have_is_told(jonah: AtHome) -> None:
    jonah.today(MONDAY)
    assert refused(pin(jonah, "Z9", "thursday"), 2).startswith(
        "no item Z9 stands in the routine of 2026-09-07"
    )


def test_the_warm_up_cannot_be_pinned(jonah: AtHome) -> None:
    jonah.today(MONDAY)
    assert refused(pin(jonah, "A1", "thursday"), 2) == "A1 is no combination (it is warm-up)"


def test_a_day_without_minutes_is_told_with_the_days_that_have_some(jonah: AtHome) -> None:
    line = refused(pin(jonah, BELL, "wednesday"), 3)
    assert line == (
        f"{BELL} cannot stand on Wednesday 9 Sep: the day has no free minutes "
        "(in that week it can be pinned on Monday 7, Tuesday 8, Thursday 10, Friday 11, Saturday 12)"
    )


def test_a_pin_that_does_not_fit_is_not_stored(jonah: AtHome) -> None:
    pin(jonah, BELL, "wednesday")
    assert not (jonah.data / "pins").exists()


def test_a_pin_that_has_come_to_block_is_named_by_every_plan(jonah: AtHome) -> None:
    pin(jonah, BELL, "thursday")
    edit(jonah.player, "thursday = 15\n", "")
    said = jonah.planner("week", "--date", MONDAY)
    line = said.err.splitlines()[0]  # what would help stands below
    assert (said.code, said.out) == (3, "")
    assert line == (
        f"{BELL} cannot stand on Thursday 10 Sep: the day has no free minutes "
        f"(planner unpin {BELL} 2026-09-10)"
    )


def test_the_way_out_that_is_named_works(jonah: AtHome) -> None:
    pin(jonah, BELL, "thursday")
    edit(jonah.player, "thursday = 15\n", "")
    assert jonah.planner("unpin", BELL, "2026-09-10", "--date", MONDAY).code == 0
    assert jonah.planner("week", "--date", MONDAY).code == 0


def test_unpinning_what_is_not_pinned_names_what_is(jonah: AtHome) -> None:
    pin(jonah, BELL, "thursday")
    line = refused(jonah.planner("unpin", BELL, "friday", "--date", MONDAY), 66)
    assert line == f"{BELL} is not pinned on 2026-09-11 (pinned: {BELL} on 2026-09-10)"
