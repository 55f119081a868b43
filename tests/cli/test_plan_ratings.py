"""What ratings change: three weeks running, planned and rated as people do it."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from statistics import mean
from typing import Any

import pytest
from cli.plan_player import MONDAY, NEXT_MONDAY, TUESDAY, AtHome, at_home
from horizon.sample_weeks import Item, Plan, items, planned, sample_request, turns

from planner.diary.rating import Rating
from planner.plan.weekplan import dumps

THIRD_MONDAY = "2026-09-21"
SATURDAY, FRIDAY = date(2026, 9, 12), date(2026, 9, 11)
BELL = "dinner-bell/a/b-flat-major"
STEPS = "five-steps/turn/b-flat-major"
FELL_APART, COMFORTABLE = 1, 5


def rate_week(player: AtHome, plan: Plan, grade: Callable[[Item], int]) -> None:
    """Rate every item of a week that is measured by tempo, the others as they are marked."""
    for day in plan["days"]:
        rated = [item for item in day["items"] if item["combination"] and item["measure"] == "tempo"]
        words = [f"{item['id']}={grade(item)}" for item in rated if item["go"] == 1]
        if words:
            player.rate(day["date"], *words, "--rest-clean")


@pytest.fixture(scope="module")
def three_weeks(tmp_path_factory: pytest.TempPathFactory) -> list[Plan]:
    """Tobias: flexibility falls apart in week one and is comfortable in week two, the rest the other way."""
    player = at_home("tobias", tmp_path_factory.mktemp("tobias"))
    first = player.week(MONDAY)
    rate_week(player, first, lambda item: FELL_APART if item["family"] == "flexibility" else COMFORTABLE)
    second = player.week(NEXT_MONDAY)
    rate_week(player, second, lambda item: COMFORTABLE if item["family"] == "flexibility" else FELL_APART)
    return [first, second, player.week(THIRD_MONDAY)]


@pytest.fixture
def jonah(tmp_path: Path) -> AtHome:
    """Jonah with files of his own, who has played and rated Monday."""
    found = at_home("jonah", tmp_path)
    found.today(MONDAY)
    found.rate(MONDAY, "--rest-clean")
    return found


def rated(plan: Plan, *, flexibility: bool) -> set[str]:
    """The combinations of a week that are rated by tempo, inside flexibility or outside."""
    return {
        item["combination"]
        for _, item in items(plan)
        if item["measure"] == "tempo" and (item["family"] == "flexibility") == flexibility
    }


def turns_each(plan: Plan, names: Iterable[str]) -> float:
    """Mean turns of these combinations in a week."""
    found = [name for _, name in turns(plan)]
    return mean(found.count(name) for name in names)


def wishes(plan: Plan) -> dict[str, Any]:
    """What a week wants of each combination."""
    return {one["combination"]: one for one in plan["combinations"]}


def marks(plan: Plan) -> dict[tuple[str, str], int]:
    """The marks of a week by combination and articulation."""
    found = [item for _, item in items(plan) if item["tempo"] is not None]
    return {(item["combination"], item["articulation"]): item["tempo"] for item in found}


def reasons(plan: Plan, name: str) -> list[str]:
    """The reasons of a combination."""
    return next(list(item["reasons"]) for _, item in items(plan) if item["combination"] == name)


# --- three weeks


def test_every_week_holds_other_items_than_the_one_before(three_weeks: list[Plan]) -> None:
    first, second, third = ({name for _, name in turns(plan)} for plan in three_weeks)
    assert first != second
    assert second != third


def test_what_fell_apart_comes_back_more_often_than_what_was_comfortable(three_weeks: list[Plan]) -> None:
    first, second, _ = three_weeks
    weak, strong = rated(first, flexibility=True), rated(first, flexibility=False)
    assert turns_each(second, weak) > 2 * turns_each(second, strong)


def test_what_became_comfortable_comes_back_less_often(three_weeks: list[Plan]) -> None:
    _, second, third = three_weeks
    healed = rated(second, flexibility=True)
    assert turns_each(third, healed) < turns_each(second, healed)


def test_falling_apart_lowers_no_need(three_weeks: list[Plan]) -> None:
    first, second, _ = three_weeks
    before, after = wishes(first), wishes(second)
    assert [n for n in rated(first, flexibility=True) if after[n]["need"] < before[n]["need"]] == []


def test_a_week_of_nothing_but_comfortable_lowers_the_need_by_and_large(tmp_path: Path) -> None:
    # Nothing but: where half of the week falls apart, the player's form is rightly taken to have dropped, and
    # a 5 at a tempo that was to be clean five times in six anyway does not outweigh that.
    player = at_home("tobias", tmp_path)
    first = player.week(MONDAY)
    rate_week(player, first, lambda _: COMFORTABLE)
    before, after = wishes(first), wishes(player.week(NEXT_MONDAY))
    names = rated(first, flexibility=False) | rated(first, flexibility=True)
    assert mean(after[n]["need"] for n in names) < mean(before[n]["need"] for n in names)


def test_being_comfortable_helps_more_than_falling_apart(three_weeks: list[Plan]) -> None:
    first, second, _ = three_weeks
    before, after = wishes(first), wishes(second)

    def rise(names: Iterable[str]) -> float:
        return mean(after[n]["need"] - before[n]["need"] for n in names)

    assert rise(rated(first, flexibility=False)) < rise(rated(first, flexibility=True)) - 50


def test_what_fell_apart_is_asked_for_at_a_slower_mark(three_weeks: list[Plan]) -> None:
    first, second = marks(three_weeks[0]), marks(three_weeks[1])
    weak = rated(three_weeks[0], flexibility=True)
    both = [key for key in first if key in second and key[0] in weak]
    assert both
    assert all(second[key] < first[key] for key in both if first[key] > _lowest(three_weeks[0], key))


def _lowest(plan: Plan, key: tuple[str, str]) -> float:
    """About the slowest mark that an exercise may be asked for at: 6 notches below its first tempo."""
    item = next(i for _, i in items(plan) if (i["combination"], i["articulation"]) == key)
    return float(item["tempo_first"] * 2 ** (-5 / 16))


def test_what_was_rated_is_new_no_more(three_weeks: list[Plan]) -> None:
    first, second, _ = three_weeks
    assert {wishes(second)[name]["state"] for _, name in turns(first)} == {"in work", "kept up"}


def test_a_combination_was_last_played_when_it_was_last_rated(three_weeks: list[Plan]) -> None:
    first, second, _ = three_weeks
    last = {name: day for day, name in sorted(turns(first))}
    assert {name: wishes(second)[name]["last_played"] for name in last} == last


def test_articulations_alternate_from_one_return_to_the_next(three_weeks: list[Plan]) -> None:
    first, second, _ = three_weeks
    last = {item["combination"]: item["articulation"] for _, item in items(first) if item["combination"]}
    entries = [one for name, one in wishes(second).items() if name in last and len(one["articulations"]) == 2]
    assert entries
    assert all(one["articulations"][0] != last[one["combination"]] for one in entries)


def test_the_first_reason_names_the_rating_that_fell_apart(three_weeks: list[Plan]) -> None:
    first, second, _ = three_weeks
    name = next(n for _, n in sorted(turns(second)) if n in rated(first, flexibility=True))
    day = date.fromisoformat(wishes(second)[name]["last_played"])
    mark = next(m for (combination, _), m in marks(first).items() if combination == name)
    assert reasons(second, name)[0].startswith(f"fell apart at {mark} on {day.day} Sep")


# --- one rating as the cause


def test_without_a_rating_the_old_answer_comes_back() -> None:
    request = sample_request("tobias", SATURDAY)
    old = planned(request)
    there = {name for _, name in turns(old)}
    away = next(
        one
        for name, one in wishes(old).items()
        if name.startswith("ridge-path/") and one["state"] == "kept up" and name not in there
    )
    bad = Rating(FRIDAY, away["combination"], away["articulations"][0], 80, None, FELL_APART, None)
    assert turns(planned(replace(request, ratings=(*request.ratings, bad)))) != turns(old)
    assert dumps(planned(request)) == dumps(old)


def test_undoing_a_rating_brings_the_old_wishes_back(jonah: AtHome) -> None:
    # Which of several days that are equally good an item takes may follow the plan in between.
    before = jonah.week(NEXT_MONDAY)["combinations"]
    jonah.rate("2026-09-12", f"{STEPS}={FELL_APART}@60")
    changed = jonah.week(NEXT_MONDAY)["combinations"]
    jonah.undo()
    assert changed != before
    assert jonah.week(NEXT_MONDAY)["combinations"] == before


def test_a_reason_that_names_a_rating_is_there_while_the_rating_is(jonah: AtHome) -> None:
    jonah.rate("2026-09-12", f"{BELL}={FELL_APART}@60")
    assert "fell apart at 60 on 12 Sep, the goal is 96" in reasons(jonah.week(NEXT_MONDAY), BELL)


def test_a_reason_that_names_a_rating_goes_with_it(jonah: AtHome) -> None:
    before = reasons(jonah.week(NEXT_MONDAY), BELL)
    jonah.rate("2026-09-12", f"{BELL}={FELL_APART}@60")
    jonah.week(NEXT_MONDAY)
    jonah.undo()
    assert reasons(jonah.week(NEXT_MONDAY), BELL) == before


def test_a_skipped_item_is_no_turn(jonah: AtHome) -> None:
    item = next(item for item in jonah.today(TUESDAY)["items"] if item["combination"] == BELL)
    jonah.rate(TUESDAY, f"{item['id']}=skip", "--rest-clean")
    assert wishes(jonah.week("2026-09-10"))[BELL]["last_played"] == MONDAY


def test_a_played_item_without_a_grade_is_a_turn(jonah: AtHome) -> None:
    item = next(item for item in jonah.today(TUESDAY)["items"] if item["combination"] == BELL)
    jonah.rate(TUESDAY, f"{item['id']}=played")
    assert wishes(jonah.week("2026-09-10"))[BELL]["last_played"] == TUESDAY


def test_a_week_of_nothing_but_clean_marks_lowers_no_target(jonah: AtHome) -> None:
    asked: dict[str, list[int]] = {}
    for offset in range(1, 6):
        day = (date.fromisoformat(MONDAY) + timedelta(days=offset)).isoformat()
        found = [item for item in jonah.today(day)["items"] if item["tempo"] is not None]
        for item in found:
            asked.setdefault(item["combination"], []).append(item["tempo"])
        if found:
            jonah.rate(day, "--rest-clean")
    assert [name for name, tempos in asked.items() if tempos[-1] < tempos[0]] == []
