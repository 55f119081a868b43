"""Today's routine on the page and read aloud; whole screens are in `golden/`."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from show.sample_plan import DAYS, FIVES, LONG_TUBES, PLAN, day, fixed, item

from planner.show.layout import cells
from planner.show.routine import routine_text

HOSTILE = "\x1b]0;gone\x07\x1b[2J\u202eevil [/bad] :trumpet:"
SLOW = ("rich", "pandas", "numpy", "scipy", "ortools", "sqlalchemy", "pydantic", "typer")


def of(items: list[dict[str, Any]], *, plan: dict[str, Any] = PLAN, **options: Any) -> str:
    return routine_text(plan, day("2026-09-07", 2700, items), **options)


def test_every_item_of_the_day_stands_in_the_routine() -> None:
    ids = {one["id"] for one in DAYS[0]["items"] if one["combination"]}
    assert ids <= set(re.findall(r"\b[A-F]\d\b", routine_text(PLAN, DAYS[0])))


def test_blocks_stand_in_the_order_in_which_they_are_played() -> None:
    assert re.findall(r"^([A-F])  ", routine_text(PLAN, DAYS[0]), re.MULTILINE) == list("ABCDEF")


def test_the_playing_time_of_every_item_stands_at_the_right_edge() -> None:
    lines = [line for line in routine_text(PLAN, DAYS[0]).splitlines() if " play 0:" in line]
    assert {cells(line) for line in lines} == {80}


# 81 s and 89 s are 170 s: 2 minutes 50
def test_a_block_says_its_minutes_with_the_rests() -> None:
    assert "Rolling fives a" + " " * 46 + "3 min with rests" in routine_text(PLAN, DAYS[0])


@pytest.mark.parametrize("width", range(20, 130))
def test_no_width_makes_a_line_too_long(width: int) -> None:
    assert max(cells(line) for line in routine_text(PLAN, DAYS[0], width=width).splitlines()) <= width


def test_a_long_title_leaves_the_minutes_at_their_edge() -> None:
    long = (
        FIVES | LONG_TUBES | {"title": "A title that a teacher wrote with a good many words of explanation"}
    )
    head = next(line for line in of([item("B1", **long)]).splitlines() if line.startswith("B  A title"))
    assert (head[-16:], cells(head)) == ("1 min with rests", 80)


def test_a_name_in_wide_letters_leaves_the_date_at_its_edge() -> None:
    assert cells(of([], plan=PLAN | {"name": "小川 Zoë"}).splitlines()[0]) == 80


def test_without_colour_there_is_no_escape() -> None:
    assert "\x1b" not in routine_text(PLAN, DAYS[0])


def test_bold_and_dim_change_no_letter() -> None:
    plain = re.sub(r"\x1b\[\d*m", "", routine_text(PLAN, DAYS[0], colour=True))
    assert plain == routine_text(PLAN, DAYS[0])


@pytest.mark.parametrize("plain", [False, True], ids=["page", "aloud"])
def test_text_of_a_user_brings_no_control_sign_to_the_screen(plain: bool) -> None:
    hostile = (
        FIVES | LONG_TUBES | {"title": HOSTILE, "pattern": HOSTILE, "reasons": [HOSTILE], "state": HOSTILE}
    )
    shown = of([item("B1", **hostile)], plan=PLAN | {"name": HOSTILE}, plain=plain)
    assert not set(shown) & set("\x1b\x07\u202e")


def test_square_brackets_of_a_title_stay_as_they_are() -> None:
    assert "[/bad] :trumpet:" in of([item("B1", **FIVES | LONG_TUBES | {"title": "[/bad] :trumpet:"})])


def test_a_second_go_of_the_day_says_again() -> None:
    lines = iter(routine_text(PLAN, DAYS[0]).splitlines())
    assert any(line.startswith("   C3") for line in lines)
    assert next(lines) == "       new, again"


def test_a_rest_between_blocks_stands_by_itself() -> None:
    assert "\n   rest 2:00\n" in routine_text(PLAN, DAYS[1])


def test_own_music_stands_with_its_tempo_band() -> None:
    assert "own music · ♩ = 92 to 104, not faster" in routine_text(PLAN, DAYS[0])


def test_a_day_without_items_says_that_there_is_no_practice() -> None:
    assert routine_text(PLAN, DAYS[6]).endswith("\nNo practice on this day.\n")


def test_a_day_of_a_concert_carries_its_title() -> None:
    assert "\nConcert: Harbour Suite\n" in routine_text(PLAN, DAYS[5])


def test_a_warm_up_of_the_players_own_has_no_lines() -> None:
    own = fixed("A1", "warm-up", 480) | {"title": "Mr Ellis's twelve"}
    assert "mouthpiece" not in of([own])


def test_a_warm_up_keeps_to_the_range_of_the_player() -> None:
    assert "C5" not in of([fixed("A1", "warm-up", 480, highest=67)])


def test_the_caution_stands_in_every_routine_that_is_played() -> None:
    assert "Stop on pain, numbness or tingling" in routine_text(PLAN, DAYS[5])


def test_ratings_are_asked_for_in_the_ways_the_day_has() -> None:
    assert "planner rate B1=96 B2=4 C1=skip D1=8s E1=in" in routine_text(PLAN, DAYS[0])


def test_a_day_with_nothing_to_rate_asks_for_no_rating() -> None:
    assert "Afterwards" not in routine_text(PLAN, DAYS[5])


def test_the_rating_command_is_never_broken_over_two_lines() -> None:
    command = "planner rate --player nele.toml --date 2026-09-07"
    assert command in routine_text(PLAN, DAYS[0], width=60, rate_with=command)


def test_the_last_line_says_how_to_see_the_notes() -> None:
    lines = routine_text(PLAN, DAYS[0], notes_with="planner sheet --player nele").splitlines()
    assert lines[-1] == "All of it in notes, to print: planner sheet --player nele"


def test_a_long_command_for_the_notes_stands_below_its_words() -> None:
    command = "planner sheet --player nele.toml --date 2026-09-07"
    assert routine_text(PLAN, DAYS[0], width=60, notes_with=command).splitlines()[-2:] == [
        "All of it in notes, to print:", f"   {command}"]  # fmt: skip


def test_a_command_for_the_notes_that_fits_nowhere_is_left_out() -> None:
    assert "in notes" not in routine_text(PLAN, DAYS[0], width=60, notes_with="planner sheet " + 50 * "x")


def test_a_day_without_figures_has_no_notes_to_see() -> None:
    assert "in notes" not in routine_text(PLAN, DAYS[5])


@pytest.mark.parametrize(
    "fact", ["B1: from written A flat 4", "B1: play 38 seconds", "B1: then rest 37 seconds"]
)
def test_a_fact_read_aloud_has_a_line_of_its_own(fact: str) -> None:
    assert fact in routine_text(PLAN, DAYS[0], plain=True).splitlines()


def test_valves_are_read_aloud_one_by_one() -> None:
    assert "B1: fingering 2-3, then 1-3, then 1-2-3" in routine_text(PLAN, DAYS[0], plain=True).splitlines()


def test_a_slide_is_read_aloud_by_positions() -> None:
    slide = FIVES | LONG_TUBES | {"fingerings": ["5", "6", "7"]}
    spoken = of([item("B1", **slide)], plan=PLAN | {"instrument": "trombone"}, plain=True)
    assert "B1: position 5, then 6, then 7" in spoken.splitlines()


def test_the_rating_command_is_read_aloud_as_it_is_typed() -> None:
    assert "Or item by item: planner rate B1=96" in routine_text(PLAN, DAYS[0], plain=True)


def test_the_routine_needs_the_standard_library_alone() -> None:
    program = (
        "import sys; from show.sample_plan import DAYS, PLAN; from planner.show.routine import routine_text; "
        f"routine_text(PLAN, DAYS[0]); print([name for name in {SLOW} if name in sys.modules])"
    )
    root = Path(__file__).parents[2]
    done = subprocess.run(
        [sys.executable, "-c", program],
        env={"PYTHONPATH": f"{root}:{root / 'tests'}"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout == "[]\n"


# The plan begins on Monday 7 September 2026; week -1 is two weeks before week 1, which begins on the 21st.
@pytest.mark.parametrize(
    ("week", "begins"), [(0, "14 September"), (-1, "21 September")], ids=["the week before", "earlier"]
)
def test_a_curriculum_that_has_not_begun_says_when_it_begins(week: int, begins: str) -> None:
    told = of([], plan=PLAN | {"curriculum_week": week})
    assert f"Trumpet, spring, begins on Monday {begins} 2026" in told
    assert "of 12" not in told


def test_after_its_weeks_a_curriculum_is_not_counted_on() -> None:
    assert "Trumpet, spring, after its 12 weeks" in of([], plan=PLAN | {"curriculum_week": 14})


def test_other_playing_says_its_part_of_the_load() -> None:
    assert "load 205 of 208, 198 of it other playing" in routine_text(PLAN, DAYS[1])


def test_the_reasons_of_a_block_stand_all_beside_or_all_below() -> None:
    lines = routine_text(PLAN, DAYS[0]).splitlines()
    block = lines[lines.index(next(line for line in lines if line.startswith("C  "))) :][:11]
    assert not [line for line in block if re.match(r"   C\d", line) and ("new" in line or "kept up" in line)]
