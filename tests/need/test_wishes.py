from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from typing import Any

import pytest
from need.shelf import MONDAY, SUNDAY, flexibility, limit, player, rated, scales, special, wanted

from planner.diary.rating import Rating
from planner.inputs.curriculum import Exercise
from planner.need.clean_tempo import CleanTempo
from planner.need.targets import take_of
from planner.need.weigh import Pair, pairs_of, value_of

FIVES, SCALE = "fives/a/1-2-3", "scales/up/c-major"
FRIDAY = MONDAY - timedelta(days=3)


def heard(combination: str, days_ago: int, **fields: Any) -> Rating:
    return rated(combination, days_ago, **({"grade": 3, "tempo": 100} | fields))


def comfortable(combination: str, *days_ago: int) -> list[Rating]:
    """So many fives well above the goal that no doubt is left."""
    return [rated(combination, ago, grade=5, tempo=208) for ago in days_ago for _ in range(4)]


def test_a_combination_without_ratings_is_new() -> None:
    assert wanted()[FIVES].state == "new"


def test_a_new_combination_has_its_turn_by_its_sunday() -> None:
    assert wanted()[FIVES].turn_by == SUNDAY


def test_a_new_combination_of_last_week_is_past_its_sunday() -> None:
    assert wanted(weeks_on=1)[FIVES].turn_by == SUNDAY


def test_a_combination_met_this_week_is_in_work() -> None:
    assert wanted([heard(FIVES, 3)])[FIVES].state == "in work"


@pytest.mark.parametrize(("days", "cautious"), [(6, False), (7, True)])
def test_a_target_is_rounded_down_after_a_week_without_a_turn(days: int, cautious: bool) -> None:
    # contract: rounded down where it was not played for 7 days or more
    one = wanted([heard(SCALE, days)])[SCALE]
    take, clean = one.takes[0], CleanTempo(one.takes[0].mean, one.takes[0].sd)
    ways = [take_of(one.combination, "tongued", clean, player(), cautious=way).tempo for way in (False, True)]
    assert ways[0] != ways[1]
    assert take.tempo == ways[cautious]


def test_work_comes_back_on_the_third_practice_day() -> None:
    # last played on Friday 4 September: Saturday, Monday, Tuesday 8 September
    assert wanted([heard(FIVES, 3)])[FIVES].turn_by == date(2026, 9, 8)


def test_an_old_combination_that_is_safe_is_kept_up() -> None:
    ratings = [r for ago in (60, 61, 62) for r in comfortable(SCALE, ago - 56)]
    found = wanted(ratings, who=player(starts=MONDAY - timedelta(weeks=9)))
    assert found[SCALE].state == "kept up"


def test_a_combination_kept_up_comes_back_after_the_granted_span() -> None:
    one = player(starts=MONDAY - timedelta(weeks=9), spans={"kept_up_weeks": 5})
    assert wanted(comfortable(SCALE, 4), who=one)[SCALE].turn_by == MONDAY + timedelta(days=35 - 4)


def test_a_holiday_moves_the_turn_of_what_is_kept_up() -> None:
    away = special("free", MONDAY - timedelta(days=3), MONDAY - timedelta(days=2))
    one = player(starts=MONDAY - timedelta(weeks=9), spans={"kept_up_weeks": 5}, dates=(away,))
    assert wanted(comfortable(SCALE, 4), who=one)[SCALE].turn_by == MONDAY + timedelta(days=35 - 4 + 2)


def test_the_neediest_are_chosen_for_work() -> None:
    # eight minutes a day and long items leave room for one in work
    one = player(minutes=(8,) * 7, starts=MONDAY - timedelta(weeks=9))
    ratings = [heard(FIVES, 5, grade=1), heard(SCALE, 4, grade=4, tempo=112)]
    found = wanted(ratings, flexibility(rounds=3), scales(rounds=20), who=one)
    states = {name: wish.state for name, wish in found.items() if wish.state != "new"}
    assert states == {FIVES: "in work", SCALE: "kept up"}


def test_a_combination_played_and_not_rated_is_no_longer_new() -> None:
    assert wanted([rated(FIVES, 2)])[FIVES].state == "in work"


def test_a_limited_rating_counts_as_a_turn() -> None:
    found = wanted([heard(FIVES, 2, limited=True)])[FIVES]
    assert found.last_played == MONDAY - timedelta(days=2)


def test_ratings_of_the_week_itself_are_not_its_past() -> None:
    assert wanted([heard(FIVES, 0)])[FIVES].state == "new"


def test_since_counts_practice_days_with_the_first_day() -> None:
    # Friday to Monday: Saturday and Monday, Sunday has no minutes
    assert wanted([heard(FIVES, 3)])[FIVES].since == 2


def test_what_was_never_met_counts_24_practice_days() -> None:
    assert wanted()[FIVES].since == 24


def test_since_ends_at_sixty_practice_days() -> None:
    assert wanted([heard(FIVES, 300)])[FIVES].since == 60


@pytest.mark.parametrize(
    ("since", "need", "worth"), [(24, 700, 9830), (1, 0, 0), (2, 900, 2000), (60, 1000, 87846)]
)
def test_value_is_practice_days_times_need_to_the_fourth(since: int, need: int, worth: int) -> None:
    # 1000 x since x (0.1 + need)^4: 24000 x 0.8^4 = 9830.4; 2000 x 1^4; 60000 x 1.1^4 = 87846
    assert value_of(since, need) == worth


def test_a_further_turn_is_worth_two_practice_days() -> None:
    found = wanted([heard(FIVES, 20)])[FIVES]
    assert found.value_again == value_of(2, found.need)


def test_articulations_go_on_after_the_one_rated_last() -> None:
    assert wanted([heard(FIVES, 3, articulation="slurred")])[FIVES].articulations == ("tongued", "slurred")


def test_what_is_new_begins_with_the_first_articulation() -> None:
    found = wanted(who=player(articulation_order=("tongued", "slurred")))[FIVES]
    assert found.articulations == ("tongued", "slurred")


def test_articulations_that_the_player_does_not_name_come_after() -> None:
    found = wanted(who=player(articulation_order=("staccato", "tongued")))[FIVES]
    assert found.articulations == ("tongued", "slurred")


def test_turns_of_the_week_alternate_round_and_round() -> None:
    found = wanted()[FIVES]
    assert [found.take(turn).articulation for turn in range(3)] == ["slurred", "tongued", "slurred"]


def test_need_is_that_of_the_articulation_played_first() -> None:
    found = wanted([heard(FIVES, 3, articulation="slurred", grade=3)])[FIVES]
    assert found.need == found.takes[0].need != found.takes[1].need


def test_a_new_combination_comes_in_two_goes() -> None:
    assert wanted()[FIVES].goes == 2


def test_many_new_combinations_come_in_one_go_each() -> None:
    # more than 25 new ones
    assert wanted((), *(scales(f"s{n}") for n in range(7)))["s0/up/c-major"].goes == 1


def test_a_combination_that_was_met_comes_in_one_go() -> None:
    assert wanted([heard(FIVES, 3)])[FIVES].goes == 1


def test_an_exercise_waits_for_what_has_to_come_before() -> None:
    found = wanted((), flexibility(), scales(after=("fives",)))
    assert found[SCALE].waits_for == ("fives",)


def test_an_exercise_waits_no_longer_once_that_was_met() -> None:
    found = wanted([heard(FIVES, 3)], flexibility(), scales(after=("fives",)))
    assert found[SCALE].waits_for == ()


def test_an_exercise_that_was_met_waits_for_nothing() -> None:
    found = wanted([heard(SCALE, 3)], flexibility(), scales(after=("fives",)))
    assert found["scales/up/g-major"].waits_for == ()


def test_what_is_out_of_reach_holds_nothing_back() -> None:
    found = wanted((), flexibility(instruments=("tuba-c",)), scales(after=("fives",)))
    assert found[SCALE].waits_for == ()


def test_what_a_limit_holds_back_still_has_to_come_first() -> None:
    one = player(limits=(limit(without=("flexibility",)),))
    assert wanted((), flexibility(), scales(after=("fives",)), who=one)[SCALE].waits_for == ("fives",)


def test_a_week_without_practice_wants_no_turn_in_work() -> None:
    one = player(minutes=(0,) * 7)
    found = wanted([heard(FIVES, 3)], who=one)[FIVES]
    assert (found.turn_by, found.wanted) == (None, False)


def pairs(ratings: Sequence[Rating] = (), *exercises: Exercise) -> dict[tuple[str, str, str], Pair]:
    found = pairs_of(tuple(wanted(ratings, *exercises).values()), SUNDAY, lambda _: 0)
    return {(pair.exercise, pair.kind, pair.name): pair for pair in found}


def test_every_position_of_an_exercise_is_a_pair() -> None:
    found = pairs((), flexibility())
    assert [name for _, kind, name in found if kind == "position"] == ["1", "2", "3", "4", "5", "6", "7"]


def test_the_key_of_every_position_is_a_pair() -> None:
    # brass.md table 1.2: the open tubes of a B flat trumpet read C, B, B flat, A, A flat, G, F sharp
    names = [name for _, kind, name in pairs((), flexibility()) if kind == "key"]
    right = ["C major", "B major", "B-flat major", "A major", "A-flat major", "G major", "F-sharp major"]
    assert names == right


def test_a_pair_never_met_has_its_turn_this_week() -> None:
    pair = pairs()["scales", "key", "C major"]
    assert (pair.met, pair.turn_by) == (None, SUNDAY)


def test_a_pair_comes_back_after_two_weeks() -> None:
    pair = pairs([heard(FIVES, 3)], flexibility())["fives", "position", "3"]
    assert (pair.met, pair.turn_by) == (FRIDAY, FRIDAY + timedelta(days=14))


def test_a_pair_is_met_by_any_combination_that_has_it() -> None:
    assert pairs([heard(FIVES, 3)], flexibility())["fives", "position", "3"].combinations == (
        "fives/a/1-2-3",
        "fives/a/3-4-5",
    )


def test_the_need_of_a_pair_is_the_mean_of_its_combinations() -> None:
    found = wanted((), flexibility())
    needs = [found[name].need for name in ("fives/a/1-2-3", "fives/a/3-4-5")]
    pair = {p.name: p for p in pairs_of(tuple(found.values()), SUNDAY, lambda _: 0) if p.kind == "position"}[
        "3"
    ]
    assert pair.need == sum(needs) // 2
