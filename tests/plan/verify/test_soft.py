"""The cost of soft rules, counted by hand on weeks of one or a few combinations."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from plan.verify.builder import Script, build
from plan.verify.shelf import CURRICULUM, FIVES, PLAYER, SMALL, THIRDS, WEEK, Inputs, exercise, rated

from planner.diary.rating import Rating
from planner.plan.verify import reckon
from planner.plan.verify.wishes import value

ONE = "rolling-fives/a/5-6-7"


def single(*ratings: Rating, **fields: Any) -> Inputs:
    """One combination: rolling fives on 5-6-7, first met in this week (the fifth); need 0.5."""
    only = replace(FIVES, starts=(5,), weeks=(5,))
    return Inputs(replace(CURRICULUM, exercises=(only,)), replace(PLAYER, **fields), ratings)


def costs(inputs: Inputs, script: Script) -> dict[str, int]:
    found, _ = reckon(inputs.curriculum, inputs.player, inputs.ratings, build(inputs, script))
    total: Counter[str] = Counter()
    for cost in found:
        total[cost.rule] += cost.cost
    return dict(total)


def test_an_empty_week_of_one_new_combination() -> None:
    # turn by Sunday: 1000 + 500; three keys and three positions never met: 6 x 1500; one family on three
    # days: 3 x 2000; k = floor(2 x 3 / 6) = 1 for six touches: 6 x 500; the shelf is small: 300
    assert costs(single(), {}) == {
        "turns": 1500, "pairs": 9000, "families": 6000, "touches": 3000, "small shelf": 300,
    }  # fmt: skip


def test_one_turn_settles_turn_pairs_and_touches() -> None:
    # families are missing on the two other days; the exercise has no second combination
    assert costs(single(), {2: ((ONE,),)}) == {"families": 4000}


def test_a_new_combination_past_its_week_costs_by_the_day() -> None:
    # the curriculum began two weeks earlier, so week 5 ended on Sunday 30 August, 8 days before this Monday:
    # 1000 + 500 + 200 x 8, and six later days of 200
    inputs = single(starts=dt.date(2026, 7, 27))
    assert (costs(inputs, {})["turns"], costs(inputs, {})["delay"]) == (3100, 1200)


def test_a_turn_past_its_date_costs_each_day_it_waits() -> None:
    # the same with its turn on Friday: Tuesday, Wednesday, Thursday passed without it
    inputs = single(starts=dt.date(2026, 7, 27))
    assert costs(inputs, {4: ((ONE,),)})["delay"] == 600


def test_a_turn_on_the_first_day_costs_nothing() -> None:
    inputs = single(starts=dt.date(2026, 7, 27))
    assert not {"turns", "delay"} & costs(inputs, {0: ((ONE,),)}).keys()


@pytest.mark.parametrize(
    ("script", "cost"),
    [
        # last played Wed 2 Sept; Fri 4, Mon 7, Wed 9 are three practice days: windows end on Wed (1000 + 500)
        # and Fri (200); a turn counts for the window of its day and the two practice days after it
        ({}, 1700),
        ({0: ((ONE,),)}, 0),
        ({2: ((ONE,),)}, 0),
        ({4: ((ONE,),)}, 1500),
    ],
    ids=["no turn", "Monday", "Wednesday", "Friday"],
)
def test_windows_in_work_are_three_practice_days(script: Script, cost: int) -> None:
    inputs = single(rated(dt.date(2026, 9, 2), ONE, "slurred"))
    found = costs(inputs, script)
    assert found.get("turns", 0) + found.get("rhythm", 0) == cost


def test_a_long_gap_in_work_runs_on_in_threes() -> None:
    # last played Mon 31 Aug: Wed 2, Fri 4, Mon 7 = turn_by: 1500; Wed and Fri 200 each
    inputs = single(rated(dt.date(2026, 8, 31), ONE, "slurred"))
    assert (costs(inputs, {})["turns"], costs(inputs, {})["rhythm"]) == (1500, 400)


def test_a_pair_met_in_time_asks_for_nothing() -> None:
    # met 2 Sept, fourteen days later lies after the week
    inputs = single(rated(dt.date(2026, 9, 2), ONE, "slurred"))
    assert "pairs" not in costs(inputs, {})


def test_a_pair_costs_from_its_fourteenth_day() -> None:
    # met Tue 25 Aug, by Tue 8 Sept: six pairs of 1000 + 500 and five later days of 200
    inputs = single(rated(dt.date(2026, 8, 25), ONE, "slurred"))
    assert (costs(inputs, {})["pairs"], costs(inputs, {})["delay"]) == (9000, 6000)


def test_a_kept_up_turn_costs_from_its_span() -> None:
    # thirds in C: need 0.125, last 3 August + 35 days = Monday; no turn: 1000 + 125
    only = replace(THIRDS, keys=THIRDS.keys[:1])
    last = rated(dt.date(2026, 8, 3), "quiet-thirds/a/c-major", "tongued")
    inputs = Inputs(replace(CURRICULUM, exercises=(only,)), PLAYER, (last,))
    assert costs(inputs, {})["turns"] == 1125


def test_families_are_bounded_by_minutes() -> None:
    # 30 minutes carry three families, 20 minutes two; there are four in scope, three asked: 3 + 3 + 2
    assert costs(SMALL, {})["families"] == 16000


def test_a_day_under_fifteen_minutes_asks_for_no_family() -> None:
    assert "families" not in costs(single(minutes=(14, 0, 14, 0, 14, 0, 0)), {})


def test_a_block_of_one_costs_where_there_are_more() -> None:
    # thirds alone on Monday, steps alone on Wednesday, fives alone on Friday
    assert costs(SMALL, WEEK)["block size"] == 900


def test_touches_grow_with_practice_days() -> None:
    # six practice days ask for two touches: one turn leaves six touches one short
    inputs = single(minutes=(30, 30, 30, 30, 30, 30, 0))
    assert costs(inputs, {0: ((ONE,),)})["touches"] == 3000


def test_pairs_cost_the_mean_need_of_their_combinations() -> None:
    # position 3 is in 1-2-3 (need 400) and 3-4-5 (need 603): 1000 + 1003 // 2; position 1 in the first alone
    inputs = replace(SMALL, curriculum=replace(CURRICULUM, exercises=(FIVES,)), ratings=())
    plan = build(inputs, {})
    for entry, need in zip(plan["combinations"], (400, 603, 500), strict=True):
        entry["need"] = need
    found = {cost.what: cost.cost for cost in reckon(inputs.curriculum, inputs.player, (), plan)[0]}
    assert (found["rolling-fives position 3"], found["rolling-fives position 1"]) == (1501, 1400)


def test_value_grows_with_the_fourth_power_of_need() -> None:
    # 1000 x 24 x 0.6^4 = 24000 x 0.1296
    assert value(24, 500) == Fraction(31104, 10)


def test_a_second_turn_counts_two_practice_days() -> None:
    # first turn: since 2 (Fri 4 and Mon 7 Sept) 2000 x 0.6^4 = 259.2 -> 259; two more turns at 259
    inputs = single(rated(dt.date(2026, 9, 2), ONE, "slurred"))
    plan = build(inputs, {0: ((ONE,),), 2: ((ONE,),), 4: ((ONE,),)})
    assert reckon(inputs.curriculum, inputs.player, inputs.ratings, plan)[1] == 777


def test_reckoning_a_misshapen_plan_is_refused() -> None:
    with pytest.raises(ValueError, match="shape"):
        reckon(SMALL.curriculum, SMALL.player, SMALL.ratings, {})


def test_an_exercise_shares_no_pair_with_another() -> None:
    twin = exercise("slow-fives", "4e> 5e 6e> 5e 4e", weeks=(5,), starts=(5,))
    inputs = Inputs(replace(CURRICULUM, exercises=(*single().curriculum.exercises, twin)), PLAYER, ())
    # the twin's six pairs stay unmet when only the first exercise is played; need 1000 + 325
    assert costs(inputs, {0: ((ONE,),)})["pairs"] == 6 * 1325
