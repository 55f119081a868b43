from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta
from fractions import Fraction
from typing import Any

import pytest
from need.shelf import MONDAY, SUNDAY, curriculum, flexibility, player, rated, scales

from planner.diary.rating import Rating
from planner.inputs.curriculum import Exercise
from planner.need.capacity import Capacity, capacity, in_work_places, next_take
from planner.need.clean_tempo import estimate
from planner.need.combinations import Combination, scope

BEFORE = MONDAY - timedelta(weeks=9)
PATTERN = scales().patterns[0]
MANY = [scales("s", rounds=6, patterns=[replace(PATTERN, name=f"p{n}") for n in range(20)])]
NAMES = [f"s/p{n}/{key}-major" for n in range(20) for key in ("c", "f", "g", "f-sharp")]


def carried(ratings: Sequence[Rating] = (), *exercises: Exercise, **changes: Any) -> Capacity:
    one = player(**changes)
    found = scope(curriculum(*exercises), one, MONDAY, SUNDAY)
    estimates = estimate(found.written, ratings, MONDAY, one)
    return capacity(found, estimates, ratings, one, MONDAY)


def mean_of_items(**changes: Any) -> tuple[Fraction, Fraction]:
    """Mean seconds and load of one item of the small shelf, every combination once."""
    one = player(**changes)
    found = scope(curriculum(), one, MONDAY, SUNDAY)
    estimates = estimate(found.written, (), MONDAY, one)
    takes = [next_take(c, estimates, {}, one, MONDAY) for c in found.playable]
    load = sum((take.load for take in takes), Fraction(0))
    return Fraction(sum(take.seconds for take in takes), len(takes)), load / len(takes)


def comfortable(names: Sequence[str]) -> list[Rating]:
    return [rated(name, ago, grade=5, tempo=208) for name in names for ago in (3, 4, 5)]


def test_a_quarter_of_the_items_is_for_work() -> None:
    # 108 items on 6 days: 27 items, each combination twice a week: 13 (the example of the description)
    assert in_work_places(108, 6) == 13


def test_one_combination_is_always_in_work() -> None:
    assert in_work_places(3, 6) == 1


def test_items_are_as_many_as_the_seconds_hold() -> None:
    # six days of 2700 - 480 - 180 - 4 x 45 = 1860 s; a generous load limit
    seconds, _ = mean_of_items(load_per_minute=9.0)
    assert carried(load_per_minute=9.0).items_per_week == int(6 * 1860 / seconds)


def test_items_are_as_many_as_the_lip_carries() -> None:
    # six days of 0.9 x (0.3 x 45) - 5.5 = 6.65
    _, load = mean_of_items(load_per_minute=0.3)
    assert carried(load_per_minute=0.3).items_per_week == int(6 * Fraction("6.65") / load)


def test_a_week_without_minutes_carries_nothing() -> None:
    found = carried(minutes=(0,) * 7)
    assert (found.items_per_week, found.sentence) == (0, "7 on the shelf. No practice day this week.")


def test_the_shortest_span_is_four_weeks() -> None:
    assert carried(comfortable(NAMES[:4])).granted_weeks == 4


def test_the_players_own_span_is_kept() -> None:
    assert carried(spans={"kept_up_weeks": 7}).granted_span_days == 49


def test_the_span_is_the_smallest_that_leaves_a_quarter_free() -> None:
    found, carrying = _tight()
    assert _asked(found, found.granted_weeks) <= carrying < _asked(found, found.granted_weeks - 1)


def test_a_tight_shelf_is_granted_more_than_four_weeks() -> None:
    assert _tight()[0].granted_weeks > 4


def _tight() -> tuple[Capacity, Fraction]:
    """Eighty comfortable scales of one exercise, few minutes; and three quarters of the items."""
    found = carried(comfortable(NAMES), *MANY, starts=BEFORE, minutes=(8,) * 6 + (0,))
    return found, Fraction(3 * found.items_per_week, 4)


def _asked(found: Capacity, weeks: int) -> Fraction:
    """Turns a week: in work every third of six days; kept up by span or by pairs, exercise by exercise."""
    one = player(starts=BEFORE)
    kept: dict[str, list[Combination]] = {}
    for combination in scope(curriculum(*MANY), one, MONDAY).playable:
        if combination.id not in found.in_work:
            kept.setdefault(combination.exercise.id, []).append(combination)
    turns = Fraction(len(found.in_work) * 6, 3)
    for group in kept.values():
        pairs = [{*(k.name for k in c.keys), *map(str, c.positions)} for c in group]
        every = Fraction(len(set().union(*pairs)), 2) / Fraction(sum(map(len, pairs)), len(pairs))
        turns += max(Fraction(len(group), weeks), every)
    return turns


def test_more_than_the_minutes_carry_is_said() -> None:
    found = carried(comfortable(NAMES), *MANY, starts=BEFORE, minutes=(6,) * 6 + (0,))
    assert (found.fits, "are more than the" in found.sentence) == (False, True)


def test_too_many_new_ones_are_spread_over_weeks() -> None:
    found = carried((), *MANY, minutes=(18,) * 6 + (0,))
    assert re.search(r"\d+ new ones wait, which takes \d+ weeks", found.sentence)


def test_the_sentence_counts_the_shelf_and_the_items() -> None:
    found = carried()
    assert found.sentence.startswith(
        f"7 on the shelf. Your minutes carry {found.items_per_week} items a week"
    )


def test_the_sentence_says_what_the_shortest_span_would_take() -> None:
    assert re.search(r"; for every 4 weeks: \d+ minutes a day, or \d+ kept up\.$", _tight()[0].sentence)


def test_the_minutes_named_for_the_shortest_span_are_enough() -> None:
    found = _tight()[0]
    minutes = int(re.search(r"4 weeks: (\d+) minutes", found.sentence)[1])  # type: ignore[index]
    more = carried(comfortable(NAMES), *MANY, starts=BEFORE, minutes=(minutes + 3,) * 6 + (0,))
    assert more.granted_weeks <= 5


def test_the_proof_shows_the_arithmetic() -> None:
    found = carried(load_per_minute=9.0)
    assert found.proof.startswith("6 practice days leave 11160 s for items")


@pytest.mark.parametrize("minutes", [9, 20, 45])
def test_what_is_in_work_was_met_before(minutes: int) -> None:
    found = carried(comfortable(NAMES[:9]), *MANY, minutes=(minutes,) * 7)
    assert set(found.in_work) <= set(NAMES[:9])


def test_in_work_goes_by_need_and_then_by_name() -> None:
    ratings = [rated("fives/a/5-6-7", 3, grade=1, tempo=80), rated("fives/a/1-2-3", 3, grade=5, tempo=160)]
    found = carried(ratings, flexibility())
    assert found.in_work == ("fives/a/5-6-7", "fives/a/1-2-3")
