"""planner why as people run it, on a small sample player."""

from __future__ import annotations

from pathlib import Path

import pytest
from cli.plan_player import MONDAY, TUESDAY, AtHome, Said, at_home

from planner.show.layout import cells
from planner.show.why import why_text

BELL = "dinner-bell/a/b-flat-major"


@pytest.fixture
def jonah(tmp_path: Path) -> AtHome:
    """Jonah with files of his own, and the week of 7 September planned."""
    found = at_home("jonah", tmp_path)
    found.week(MONDAY)
    return found


def why(player: AtHome, *words: str, day: str = MONDAY) -> Said:
    return player.planner("why", *words, "--date", day)


def test_why_says_what_the_estimate_thinks_and_where_it_stands(jonah: AtHome) -> None:
    out = why(jonah, BELL).out
    assert "\nClean tempo\n" in out
    assert "\nThe week from Monday 7 September to Sunday 13 September\n" in out


def test_a_letter_of_the_routine_names_its_combination(jonah: AtHome) -> None:
    item = next(one for one in jonah.today(MONDAY)["items"] if one["id"] == "B1")
    assert why(jonah, "B1", "--json").plan["combination"] == item["combination"]


def test_a_misspelt_combination_gets_the_nearest_one(jonah: AtHome) -> None:
    said = why(jonah, "dinner-bel/a/b-flat-major")
    assert (said.code, said.out) == (2, "")
    assert said.err.startswith(f"there is no combination 'dinner-bel/a/b-flat-major' (did you mean {BELL}")


def test_asking_why_changes_no_plan(jonah: AtHome) -> None:
    before = jonah.week()
    why(jonah, BELL)
    assert jonah.week() == before
    assert len(jonah.stored()) == 1


def test_the_same_question_gets_the_same_bytes(jonah: AtHome) -> None:
    assert why(jonah, BELL, "--json").out == why(jonah, BELL, "--json").out


def test_a_plan_with_other_minutes_on_its_first_day_is_explained_as_it_stands(jonah: AtHome) -> None:
    jonah.today(MONDAY, "--minutes", "40")
    told = why(jonah, BELL, "--json").plan
    assert told["first_day"] == MONDAY
    assert told["week"]["on_shelf"]


def test_later_in_the_week_only_the_days_to_come_are_tried(jonah: AtHome) -> None:
    told = why(jonah, BELL, "--json", day=TUESDAY).plan
    days = [trial["day"] for trial in told["week"]["trials"]]
    assert days
    assert min(days) >= TUESDAY


@pytest.mark.parametrize("width", [60, 80, 120])
def test_no_line_is_wider_than_its_screen(jonah: AtHome, width: int) -> None:
    told = why(jonah, BELL, "--json").plan
    assert max(cells(line) for line in why_text(told, width=width).splitlines()) <= width


def test_read_aloud_it_holds_no_music_sign(jonah: AtHome) -> None:
    assert not set(why(jonah, BELL, "--plain").out) & set("♭♯♪♩→·–½")


def test_every_sentence_with_a_number_stands_on_the_screen(jonah: AtHome) -> None:
    told = why(jonah, BELL, "--json").plan
    screen = " ".join(why_text(told, width=120).split())
    said = [piece["sentence"] for piece in told["estimate"]["pieces"] if piece["sentence"]]
    assert said
    assert [sentence for sentence in said if sentence not in screen] == []
