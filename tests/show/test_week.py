"""The week on one screen. Counts: by hand from `sample_plan.py`."""

from __future__ import annotations

from typing import Any

import pytest
from show.sample_plan import DAYS, FIVES, LONG_TUBES, PLAN, day, item

from planner.show.layout import cells
from planner.show.week import given_up, proven, turns, week_heading, week_table, week_text


def row(name: str) -> list[str]:
    return next(list(cells_) for cells_ in week_table(PLAN).rows if cells_[0] == name)[1:]


def stage(goal: str, value: int, bound: int, status: str) -> dict[str, Any]:
    return PLAN | {
        "solver": {
            "stages": [{"goal": goal, "value": value, "bound": bound, "status": status}],
            "stopped_by": status,
        }
    }


def test_a_combination_in_two_goes_counts_as_one_item() -> None:
    assert len(turns(DAYS[0])) == 6  # B1 B2 C1 C2 C4 D1; C3 is the second go of C1


def test_items_of_an_exercise_stand_under_their_days() -> None:
    assert row("Rolling fives") == ["2", "2", "–", "2", "2", "–", "–", "8"]


def test_minutes_of_own_music_stand_under_their_days() -> None:
    assert row("own music, min") == ["12", "–", "–", "–", "12", "–", "–", "24"]


def test_new_combinations_are_counted_by_day() -> None:
    assert row("new") == ["1", "–", "–", "–", "–", "–", "–", "1"]


def test_a_week_without_own_music_has_no_line_for_it() -> None:
    plan = PLAN | {"days": [day("2026-09-07", 900, [item("B1", **FIVES | LONG_TUBES)])]}
    assert "own music" not in week_text(plan)


def test_a_week_across_two_months_names_both() -> None:
    plan = PLAN | {"first_day": "2026-09-28", "last_day": "2026-10-04"}
    assert week_heading(plan) == "Nele Brandt, Monday 28 September to Sunday 4 October 2026"


def test_a_turn_left_over_says_why_and_when_it_comes() -> None:
    reason, when = "the concert week holds no more", "at the earliest Monday 21 September"
    assert f"Not this week: five-steps/up/b-flat-minor, {reason}, {when}." in list(given_up(PLAN))


def test_more_than_five_left_over_are_counted() -> None:
    left = PLAN["coverage"]["left"] * 8
    plan = PLAN | {"coverage": PLAN["coverage"] | {"left": left}}
    assert "Not this week: 3 more, all named by planner week --json." in list(given_up(plan))


def test_a_rule_that_is_bent_says_what_is_given_up() -> None:
    assert "Given up: 1 turn missing of all that were asked for, second turns counted." in list(
        given_up(PLAN)
    )


def test_a_rule_without_words_of_its_own_goes_by_its_name() -> None:
    plan = PLAN | {"rules": {"siesta": {"hard": False, "broken": 2, "parameters": {}}}}
    assert "Given up: 2 siesta." in list(given_up(plan))


def test_what_is_set_aside_is_counted_by_its_reason() -> None:
    plan = PLAN | {"excluded": PLAN["excluded"] * 3}
    assert "Set aside: 3 (B♭5 is above the range)." in list(given_up(plan))


def goodness(*stages: dict[str, Any], **changes: Any) -> str:
    """The sentence on how good a plan is, with these stages."""
    plan = PLAN | {"solver": {"stages": list(stages), "stopped_by": "work"}} | changes
    return next(iter(proven(plan))).replace("\u00a0", " ").removeprefix("How good it is: ").removesuffix(".")


def reached(goal: str, value: int, bound: int) -> dict[str, Any]:
    status = "proven" if value == bound else "not proven"
    return {"goal": goal, "value": value, "bound": bound, "status": status}


def without_turns_missing() -> dict[str, Any]:
    return {"turns": {"hard": False, "broken": 0, "parameters": {}}}


def test_a_plan_that_gives_up_nothing_says_every_turn_taken() -> None:
    assert goodness(reached("turns", 0, 0), rules=without_turns_missing()) == "every turn taken, proven"


def test_a_plan_that_gives_up_the_least_there_is_says_so() -> None:
    assert goodness(reached("turns", 1690, 1690)) == "1 turn missing and no plan gives up less, proven"


def test_other_wishes_may_be_given_up_where_every_turn_is_taken() -> None:
    said = goodness(reached("turns", 300, 300), rules=without_turns_missing())
    assert said == "every turn taken and no plan gives up less, proven"


# (1690 - 1600) / 1690 = 5.33 %, rounded up to 5.4: nothing better than the bound may be hidden by rounding
def test_an_unproven_stage_says_how_much_is_open() -> None:
    said = "1 turn missing; another plan could save at most 5.4 % of what is given up"
    assert goodness(reached("turns", 1690, 1600)) == said


def test_value_is_the_best_given_these_turns_where_that_is_proven() -> None:
    assert goodness(reached("value", 52310, 52310)) == "value the best given these turns"


# (52400 - 52310) / 52310 = 0.172 %
def test_value_not_proven_says_how_near_the_best_it_is() -> None:
    assert goodness(reached("value", 52310, 52400)) == "value within 0.2 % of the best given these turns"


def test_what_is_spent_on_even_days_is_told_as_it_is() -> None:
    # Two turns of one combination are worth 900 + 97 = 997 of the 1000 of the stage: 0.3 %.
    worth = {"combination": LONG_TUBES["combination"], "value": 900, "value_again": 97}
    days = [day(f"2026-09-0{n}", 900, [item("B1", **FIVES | LONG_TUBES)]) for n in (7, 8)]
    said = goodness(reached("value", 1000, 1000), combinations=[worth], days=days)
    assert said == "value the best given these turns, less 0.3 % spent on even days"


@pytest.mark.parametrize(
    ("bound", "said"),
    [
        (310, "no such plan has more even days, proven"),
        (290, "that the days cannot be more even is not proven"),
    ],
)
def test_evenness_says_whether_it_is_proven(bound: int, said: str) -> None:
    assert goodness(reached("evenness", 310, bound)) == said


def test_all_stages_are_one_sentence() -> None:
    stages = (reached("turns", 0, 0), reached("value", 9, 9), reached("evenness", 3, 3))
    assert goodness(*stages, rules=without_turns_missing()) == (
        "every turn taken, proven; value the best given these turns; no such plan has more even days, proven"
    )


def test_a_stage_with_a_new_name_is_told_by_it() -> None:
    assert goodness(reached("variety", 10, 10)) == "variety cannot be better, proven"


def test_a_search_stopped_by_hand_says_so() -> None:
    plan = stage("turns", 10, 5, "Ctrl-C")
    assert list(proven(plan))[-1] == "The search was stopped: this is the best checked plan so far."


def test_a_pipe_gets_no_drawn_line() -> None:
    assert "─" not in week_text(PLAN)


def test_a_terminal_gets_a_fine_line_under_the_days() -> None:
    assert "────" in week_text(PLAN, boxes=True)


def test_square_brackets_are_no_mark_up_on_a_terminal() -> None:
    one = item("B1", **FIVES | LONG_TUBES | {"title": "[red]x[/bad]"})
    assert "[red]x[/bad]" in week_text(PLAN | {"days": [day("2026-09-07", 900, [one])]}, boxes=True)


@pytest.mark.parametrize("boxes", [False, True], ids=["pipe", "terminal"])
@pytest.mark.parametrize("width", [50, 60, 72, 80, 100, 120])
def test_no_width_makes_a_line_too_long(width: int, boxes: bool) -> None:
    assert max(cells(line) for line in week_text(PLAN, width=width, boxes=boxes).splitlines()) <= width


def test_a_day_read_aloud_names_itself_in_every_line() -> None:
    assert "Monday 7 September: Rolling fives, 2 items" in week_text(PLAN, plain=True).splitlines()


def test_combinations_set_aside_for_different_notes_are_counted_together() -> None:
    reasons = [f"needs {note}, which is not among the known notes" for note in ("F♯4", "A4", "B♭4")]
    plan = PLAN | {"excluded": [{"combination": str(n), "reason": text} for n, text in enumerate(reasons)]}
    assert "Set aside: 3 (needs a note which is not among the known notes)." in list(given_up(plan))


# --- the two lines on turns count two things, and say which


def first_turns(**coverage: Any) -> str:
    return next(iter(given_up(PLAN | {"coverage": {"left": [], **coverage}})))


def test_first_turns_are_counted_by_combination() -> None:
    said = "First turns: 22 of 22 combinations that ask for one have it."
    assert first_turns(wanted=22, met=22) == said


def test_one_combination_that_asks_for_a_turn_stands_in_the_singular() -> None:
    assert first_turns(wanted=1, met=0) == "First turns: 0 of 1 combination that asks for one has it."


def test_a_week_in_which_nothing_asks_for_a_turn_says_so() -> None:
    assert first_turns(wanted=0, met=0) == "First turns: no combination asks for one this week."
