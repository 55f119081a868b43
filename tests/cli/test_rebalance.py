"""planner rebalance as it is typed: what is stored, what is shown, what is taken back, what is refused."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest
from cli.plan_player import MONDAY, NEXT_MONDAY, TUESDAY, WEDNESDAY, AtHome, Said, at_home

from planner.diary.plans import load_plan
from planner.diary.told import tellings
from planner.errors import CannotWrite
from planner.show.layout import cells

THURSDAY = "2026-09-10"
LAST_WEEK = "2026-09-07..2026-09-13"
BELL = "dinner-bell/a/b-flat-major"
CSV = ("--to", "-", "--format", "csv")


@pytest.fixture
def jonah(tmp_path: Path) -> AtHome:
    """Jonah with files of his own, the plan of his week made, Monday played and rated."""
    found = at_home("jonah", tmp_path)
    found.week(MONDAY)
    found.rate(MONDAY, "--rest-clean")
    return found


def rebalanced(player: AtHome, *words: str, day: str = NEXT_MONDAY) -> Said:
    said = player.planner("rebalance", *words, "--date", day)
    assert said.code == 0, said.err
    return said


def files(folder: Path) -> dict[str, bytes]:
    """Every file below a folder but the diary's own write-ahead log."""
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and "sqlite" not in path.name
    }


def test_a_dry_run_stores_nothing(jonah: AtHome) -> None:
    before = files(jonah.data)
    rebalanced(jonah, "--missed", LAST_WEEK, "--dry-run")
    assert files(jonah.data) == before


def test_a_dry_run_shows_what_the_real_one_would(jonah: AtHome) -> None:
    dry = rebalanced(jonah, "--missed", LAST_WEEK, "--dry-run").out.splitlines()
    real = rebalanced(jonah, "--missed", LAST_WEEK).out.splitlines()
    assert dry[:-1] == real[:-1]


def test_a_rebalance_whose_plan_cannot_be_stored_tells_nothing(
    jonah: AtHome, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise CannotWrite("the plan cannot be written: no space left on device")

    monkeypatch.setattr("planner.cli.rebalance.save_plan", full)
    said = jonah.planner("rebalance", "--missed", LAST_WEEK, "--date", NEXT_MONDAY)
    assert (said.code, tellings(jonah.data, "jonah")) == (73, ())


def test_what_was_told_stands_in_a_readable_file(jonah: AtHome) -> None:
    rebalanced(jonah, "--missed", LAST_WEEK)
    told = json.loads((jonah.data / "missed" / "jonah.json").read_text(encoding="utf-8"))
    assert told["told"][0]["stretches"] == [{"kind": "missed", "from": "2026-09-07", "to": "2026-09-13"}]


def test_today_shows_the_plan_that_was_stored(jonah: AtHome) -> None:
    plan = json.loads(rebalanced(jonah, "--missed", LAST_WEEK, "--json").out)["plans"][0]
    assert jonah.today(NEXT_MONDAY) == plan["days"][0]


def test_the_stored_plan_names_the_file_among_its_inputs(jonah: AtHome) -> None:
    plan = json.loads(rebalanced(jonah, "--missed", LAST_WEEK, "--json").out)["plans"][0]
    assert [one["name"] for one in plan["inputs"]][-1] == "missed"


def test_the_player_file_is_not_touched(jonah: AtHome) -> None:
    before = jonah.player.read_bytes()
    rebalanced(jonah, "--missed", LAST_WEEK)
    assert jonah.player.read_bytes() == before


def test_what_the_diary_has_of_a_missed_day_counts_as_played(jonah: AtHome) -> None:
    found = json.loads(rebalanced(jonah, "--missed", LAST_WEEK, "--dry-run", "--json").out)
    assert (found["played_days"], MONDAY in found["missed_days"]) == ([MONDAY], False)


def test_undo_takes_the_rebalance_back_first(jonah: AtHome) -> None:
    rebalanced(jonah, "--missed", "2026-09-08..2026-09-13")
    assert jonah.planner("undo").out == "Taken back: missed 2026-09-08 to 2026-09-13.\n"


def test_undo_brings_back_the_plan_that_stood_before(jonah: AtHome) -> None:
    before = jonah.week(TUESDAY)
    rebalanced(jonah, "--missed", TUESDAY, day=WEDNESDAY)
    jonah.undo()
    assert jonah.week(TUESDAY) == before


def test_undo_takes_back_a_later_rating_before_the_rebalance(jonah: AtHome) -> None:
    rebalanced(jonah, "--missed", TUESDAY, day=WEDNESDAY)
    jonah.today(THURSDAY)
    jonah.rate(THURSDAY, "--rest-clean")
    assert THURSDAY in jonah.planner("undo").out
    assert (jonah.data / "missed" / "jonah.json").exists()


def test_undo_without_anything_left_says_so(jonah: AtHome) -> None:
    jonah.undo()
    assert jonah.planner("undo").out == "There is nothing to take back.\n"


def test_a_second_rebalance_adds_to_the_first(jonah: AtHome) -> None:
    rebalanced(jonah, "--missed", TUESDAY, day=WEDNESDAY)
    rebalanced(jonah, "--minutes", "10", "--to", "2026-09-13", day=WEDNESDAY)
    plan = load_plan(jonah.data, "jonah", date.fromisoformat(WEDNESDAY))
    assert plan is not None
    assert {day["seconds_free"] for day in plan["days"] if day["items"]} == {600}


def test_every_turn_is_named_when_it_is_read_aloud(jonah: AtHome) -> None:
    data = json.loads(rebalanced(jonah, "--missed", LAST_WEEK, "--dry-run", "--json").out)
    named = rebalanced(jonah, "--missed", LAST_WEEK, "--dry-run", "--plain").out
    told = [one for one in data["turns"] if one["missed"] or one["what"] != "kept"]
    assert told
    assert all(one["combination"] in named for one in told)


@pytest.mark.parametrize("width", [60, 80, 120])
def test_no_line_is_wider_than_the_screen(jonah: AtHome, width: int, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", str(width))
    lines = rebalanced(jonah, "--missed", LAST_WEEK, "--dry-run").out.splitlines()
    assert max(map(cells, lines)) <= width


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ((), "nothing was said to be missed"),
        (("--missed", "someday"), "'someday' is no date"),
        (("--missed", "2026-09-13..2026-09-07"), "ends on 2026-09-07, before it begins"),
        (("--missed", "2026-01-01..2026-09-07"), "longer than 92 days"),
        (("--minutes", "15"), "needs the last day of the short stretch"),
        (("--minutes", "-5", "--to", "2026-09-20"), "--minutes -5 is out of range"),
        (("--top-note", "E5"), "need --minutes or --limit"),
        (("--limit", "braces", "--top-note", "E5"), "a limit needs an end"),
        (("--limit", "braces", "--until", "2026-09-30"), "a limit says at least one thing"),
        (("--limit", "braces", "--until", "2026-09-30", "--top-note", "H9"), "--top-note 'H9'"),
        (("--limit", "braces", "--until", "2026-09-30", "--without", "juggling"), "'juggling' is no family"),
        (("--minutes", "15", "--to", "2026-09-20", "--top-note", "E5"), "belong to a limit"),
        (("--missed", TUESDAY, "--until", "2026-09-20"), "--until is the last day of --cap or --limit"),
        (("--minutes", "15", "--to", "2026-09-20", "--ease", "none"), "belong to --missed"),
        (("--missed", "2026-09-07.."), "--missed 2026-09-07.. has no last day"),
        (("--missed", TUESDAY, "--cap", "20"), "--cap needs its last day"),
        (("--missed", TUESDAY, "--ease", "75,900"), "--ease '75,900' is not understood"),
    ],
)
def test_a_word_that_is_not_understood_is_one_line(jonah: AtHome, words: tuple[str, ...], said: str) -> None:
    found = jonah.planner("rebalance", *words, "--date", NEXT_MONDAY)
    assert (found.code, found.out, found.err.count("\n"), said in found.err) == (2, "", 1, True), found.err


def test_a_plan_that_was_not_followed_is_said_in_one_line(jonah: AtHome) -> None:
    jonah.week(TUESDAY)
    jonah.today(TUESDAY)
    jonah.rate(TUESDAY, "B1=4")
    said = jonah.planner("today", "--date", WEDNESDAY)
    assert said.out.startswith("Not played as planned: Tuesday 8 (1 of ")


def test_a_day_of_which_the_diary_has_nothing_is_noticed(jonah: AtHome) -> None:
    jonah.week(TUESDAY)
    said = jonah.planner("today", "--date", WEDNESDAY)
    assert said.out.startswith("Not played as planned: Tuesday 8.")


@pytest.mark.parametrize(
    "words",
    [("today", "--json"), ("week", "--json"), ("coverage",), ("why", BELL), ("export", "today", *CSV)],
)
def test_a_day_that_is_noticed_is_told_by_whatever_looks_first(jonah: AtHome, words: tuple[str, ...]) -> None:
    jonah.week(TUESDAY)
    said = jonah.planner(*words, "--date", WEDNESDAY)
    assert said.err.startswith("Not played as planned: Tuesday 8.")
    assert "Not played" not in said.out


@pytest.mark.parametrize("minutes", ["8", "30"])  # cut, and planned again
def test_a_day_that_is_noticed_is_told_with_typed_minutes_too(jonah: AtHome, minutes: str) -> None:
    jonah.week(TUESDAY)
    said = jonah.planner("today", "--date", WEDNESDAY, "--minutes", minutes)
    assert said.out.startswith("Not played as planned: Tuesday 8.")


def test_a_plan_that_was_followed_is_not_remarked_on(jonah: AtHome) -> None:
    assert "items played" not in jonah.planner("today", "--date", TUESDAY).err


def test_without_a_diary_nobody_is_told_of_days_not_played(tmp_path: Path) -> None:
    found = at_home("jonah", tmp_path)
    found.week(MONDAY)
    assert found.planner("today", "--date", WEDNESDAY).err == ""


def test_what_was_not_played_comes_back_in_the_adapted_week(jonah: AtHome) -> None:
    tuesday = {one["combination"] for one in jonah.today(TUESDAY)["items"] if one["combination"]}
    ahead = jonah.week(WEDNESDAY)["days"]
    assert tuesday <= {one["combination"] for day in ahead for one in day["items"]}


def test_undo_takes_back_a_later_pin_before_the_rebalance(jonah: AtHome) -> None:
    rebalanced(jonah, "--missed", TUESDAY, day=WEDNESDAY)
    combination = next(one["combination"] for one in jonah.today(THURSDAY)["items"] if one["combination"])
    assert jonah.planner("pin", combination, THURSDAY, "--date", WEDNESDAY).code == 0
    assert "the pin of" in jonah.planner("undo").out


def test_a_pin_stays_over_a_rebalance(jonah: AtHome) -> None:
    combination = next(one["combination"] for one in jonah.today(THURSDAY)["items"] if one["combination"])
    assert jonah.planner("pin", combination, "2026-09-11", "--date", WEDNESDAY).code == 0
    plan = json.loads(rebalanced(jonah, "--missed", TUESDAY, "--json", day=WEDNESDAY).out)["plans"][0]
    friday = next(day for day in plan["days"] if day["date"] == "2026-09-11")
    assert combination in {one["combination"] for one in friday["items"] if one["pinned"]}


def test_days_to_come_are_said_to_be_missed_then(jonah: AtHome) -> None:
    said = rebalanced(jonah, "--missed", "2026-09-08..2026-09-10", "--dry-run", day=WEDNESDAY).out
    told = " ".join(said.split())
    assert "Missed: Tue 8 Sep to Wed 9 Sep; will be missed: Thu 10 Sep, with" in told


def test_a_cap_told_alone_is_shown_with_the_way_back_of_an_earlier_telling(jonah: AtHome) -> None:
    rebalanced(jonah, "--missed", LAST_WEEK)
    said = " ".join(rebalanced(jonah, "--cap", "9", "--until", "2026-09-20").out.split())
    assert "Limit clinician's cap, Mon 14 Sep to Sun 20 Sep: at most 9 minutes." in said
    # fifteen minutes a day: 75 % are 11, the cap leaves 9. By hand
    assert "The way back: Mon 14 Sep 9 of 15 min (the limit)" in said
