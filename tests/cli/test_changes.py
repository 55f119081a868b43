"""planner week --changes, and what is said when a plan that stood is replaced."""

from __future__ import annotations

from pathlib import Path

import pytest
from cli.plan_player import MONDAY, TUESDAY, AtHome, at_home, edit

from planner.show.changes import changes_text
from planner.show.layout import cells

TOLD = {
    "first_day": "2026-09-08",
    "last_day": "2026-09-13",
    "kept": [{}] * 31,
    "moved": [
        {
            "combination": "clock-stairs/b/3-4-5",
            "was": "2026-09-09",
            "now": "2026-09-11",
            "reason": "pinned on Friday 11",
        }
    ],
    "new": [
        {
            "combination": "seven-with-slurs/high/a-flat-harmonic-minor/staccato",
            "was": None,
            "now": "2026-09-10",
            "reason": "its turn is asked for by Saturday 12, it was Thursday 10",
        }
    ],
    "dropped": [],
}


@pytest.fixture
def jonah(tmp_path: Path) -> AtHome:
    """Jonah with files of his own, and the week of 7 September planned."""
    found = at_home("jonah", tmp_path)
    found.week(MONDAY)
    return found


def test_a_first_plan_has_nothing_to_compare_with(jonah: AtHome) -> None:
    said = jonah.planner("week", "--date", MONDAY, "--changes")
    assert (said.code, said.out) == (66, "")
    assert said.err == "this plan is the first of its days: there is none before it to compare with\n"


def test_a_plan_that_is_replaced_says_why_and_how_much_moved(jonah: AtHome) -> None:
    edit(jonah.player, "thursday = 15\n", "")
    err = jonah.planner("week", "--date", MONDAY).err
    assert err.startswith("planned again (an edited player file): ")
    assert err.endswith(" dropped; planner week --changes names them\n")


def test_a_plan_in_which_nothing_moves_is_replaced_without_a_word(jonah: AtHome) -> None:
    edit(jonah.player, "[minutes]", "# longer from October\n[minutes]")
    assert jonah.planner("week", "--date", MONDAY).err == ""


def test_a_plan_used_again_says_nothing(jonah: AtHome) -> None:
    assert jonah.planner("week", "--date", MONDAY).err == ""


@pytest.mark.parametrize("word", ["other ratings", "other pins"])
def test_ratings_and_pins_are_named_as_the_cause(jonah: AtHome, word: str) -> None:
    day = TUESDAY
    if word == "other ratings":
        jonah.rate(MONDAY, "--rest-clean")
    else:
        day, stands = MONDAY, {item["combination"] for item in jonah.week()["days"][4]["items"]}
        known = [one["combination"] for one in jonah.week()["combinations"]]
        jonah.planner("pin", next(name for name in known if name not in stands), "friday", "--date", MONDAY)
    assert jonah.planner("week", "--date", day).err.startswith(f"planned again ({word}): ")


def test_the_changes_are_named_with_their_reasons(jonah: AtHome) -> None:
    edit(jonah.player, "thursday = 15\n", "")
    jonah.week(MONDAY)
    told = jonah.planner("week", "--date", MONDAY, "--changes", "--json").plan
    assert told["format"] == "planner.changes/1"
    gone = [one for kind in ("moved", "dropped") for one in told[kind] if one["was"] == "2026-09-10"]
    assert gone
    assert {one["reason"] for one in gone} == {"Thursday 10 has 0 minutes, it had 15"}


def test_the_changes_of_the_screen_are_those_of_the_json(jonah: AtHome) -> None:
    edit(jonah.player, "thursday = 15\n", "")
    jonah.week(MONDAY)
    told = jonah.planner("week", "--date", MONDAY, "--changes", "--json").plan
    out = jonah.planner("week", "--date", MONDAY, "--changes").out
    assert out == changes_text(told, width=80)
    changed = [one["combination"] for kind in ("moved", "new", "dropped") for one in told[kind]]
    assert [name for name in changed if name not in out] == []


@pytest.mark.parametrize("width", [60, 80, 120])
def test_no_line_is_wider_than_its_screen(width: int) -> None:
    assert max(cells(line) for line in changes_text(TOLD, width=width).splitlines()) <= width


def test_the_changes_can_be_read_aloud() -> None:
    heading, moved, new = changes_text(TOLD, plain=True).splitlines()
    assert heading.endswith(", against the plan before: 31 kept, 1 moved, 1 new, 0 dropped.")
    assert moved == (
        "Moved: clock-stairs/b/3-4-5, Wednesday 9 September to Friday 11 September: pinned on Friday 11"
    )
    assert new == (
        "New: seven-with-slurs/high/a-flat-harmonic-minor/staccato, Thursday 10 September: "
        "its turn is asked for by Saturday 12, it was Thursday 10"
    )
