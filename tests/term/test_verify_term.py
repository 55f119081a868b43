"""The second road of a term: a sound one passes, every way of breaking one is found."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from typing import Any

import pytest
from term.small_terms import request, small_term

from planner.plan.verify.term import verify_term

Term = dict[str, Any]


def rules_broken(term: Term) -> set[str]:
    asked = request()
    return {breach.rule for breach in verify_term(asked.curriculum, asked.player, asked.ratings, term)}


def days(term: Term) -> list[dict[str, Any]]:
    return [day for week in term["weeks"] for day in week["days"]]


def practised(term: Term) -> list[dict[str, Any]]:
    return [day for day in days(term) if day["items"]]


def item(term: Term) -> dict[str, Any]:
    found: dict[str, Any] = practised(term)[0]["items"][0]
    return found


def test_a_term_as_it_was_made_breaks_no_rule() -> None:
    assert rules_broken(small_term()) == set()


def too_long(term: Term) -> None:
    item(term)["seconds"] += 3600


def played_on_christmas(term: Term) -> None:
    day = next(one for one in days(term) if one["date"] == "2026-12-24")
    day["items"].append(practised(term)[0]["items"][0])


def twice_a_day(term: Term) -> None:
    items = practised(term)[0]["items"]
    items.append(items[0])


def heavier(term: Term) -> None:
    item(term)["load"] += 50


def too_early(term: Term) -> None:
    last = next(one for one in term["combinations"] if one["week"] == 7)["combination"]
    item(term)["combination"] = last


def before_what_leads_to_it(term: Term) -> None:
    item(term)["combination"] = "garden-gate/a/b-flat-major"


def new_before_the_concert(term: Term) -> None:
    day = next(one for one in days(term) if one["date"] == "2027-01-14")  # two days before 16 January
    day["items"][0]["state"] = "new"


def on_the_day_of_the_concert(term: Term) -> None:
    day = next(one for one in days(term) if one["date"] == "2027-01-16")
    day["items"].append(item(term))


def same_articulation_again(term: Term) -> None:
    for day in days(term):
        for one in day["items"]:
            if one["combination"].startswith("dinner-bell"):
                one["articulation"] = "tongued"


def wrong_week_of_the_calendar(term: Term) -> None:
    next(week for week in term["weeks"] if week["iso_week"] == "2026-W53")["iso_week"] = "2027-W01"


def a_turn_forgotten(term: Term) -> None:
    term["combinations"][0]["turns"].pop()


def a_combination_forgotten(term: Term) -> None:
    term["combinations"].pop()


def a_certificate_too_good(term: Term) -> None:
    term["certificate"]["met_by_week"] += 1


def a_longer_span_claimed(term: Term) -> None:
    term["combinations"][0]["longest_wait_days"] -= 1


def met_earlier_than_it_was(term: Term) -> None:
    term["combinations"][-1]["first_met"] = term["first_day"]


def a_week_that_hides_what_is_new(term: Term) -> None:
    term["weeks"][0]["new"].pop()


def a_day_missing(term: Term) -> None:
    term["weeks"][2]["days"].pop()


def another_player(term: Term) -> None:
    term["player"] = "somebody"


def a_field_missing(term: Term) -> None:
    del term["certificate"]["gap"]


BREAKAGES: tuple[tuple[Callable[[Term], None], str], ...] = (
    (too_long, "minutes"),
    (played_on_christmas, "minutes"),
    (twice_a_day, "once a day"),
    (heavier, "items"),
    (too_early, "scope"),
    (before_what_leads_to_it, "after"),
    (new_before_the_concert, "concerts"),
    (on_the_day_of_the_concert, "concerts"),
    (same_articulation_again, "alternation"),
    (wrong_week_of_the_calendar, "calendar"),
    (a_turn_forgotten, "combinations"),
    (a_combination_forgotten, "combinations"),
    (a_certificate_too_good, "certificate"),
    (a_longer_span_claimed, "combinations"),
    (met_earlier_than_it_was, "combinations"),
    (a_week_that_hides_what_is_new, "weeks"),
    (a_day_missing, "shape"),
    (another_player, "head"),
    (a_field_missing, "shape"),
)


@pytest.mark.parametrize(("breakage", "rule"), BREAKAGES, ids=lambda one: getattr(one, "__name__", ""))
def test_a_broken_term_is_found(breakage: Callable[[Term], None], rule: str) -> None:
    term = small_term()
    breakage(term)
    assert rule in rules_broken(term)


def test_load_over_two_days_counts_from_sunday_to_monday() -> None:
    term = small_term()
    flat = days(term)
    sunday = next(
        n for n, one in enumerate(flat) if date.fromisoformat(one["date"]).weekday() == 6 and one["items"]
    )
    monday = flat[sunday + 1]
    for day in (flat[sunday], monday):  # each alone within its limit, both together over nine tenths
        more = day["load_limit"] - day["load"]
        day["items"][0]["load"] = round(day["items"][0]["load"] + more, 3)
        day["load"] = day["load_limit"]
    assert "two days' load" in rules_broken(term)


def test_the_week_53_of_2026_has_its_name() -> None:
    # ISO 8601: 2026 begins on a Thursday, so it has a week 53, 28 December 2026 to 3 January 2027.
    week = next(one for one in small_term()["weeks"] if one["first_day"] == "2026-12-28")
    assert week["iso_week"] == "2026-W53"


def test_a_change_of_the_clock_takes_no_minute_from_a_day() -> None:
    # Summer time ends on 25 October 2026 in Europe: that Sunday has 25 hours and the same 20 minutes.
    term = small_term(date(2026, 10, 19), "")
    sunday = next(one for one in days(term) if one["date"] == "2026-10-25")
    assert sunday["seconds_free"] == 20 * 60


def test_a_holiday_has_no_practice() -> None:
    week = next(one for one in small_term()["weeks"] if one["week"] == 4)
    assert (week["practice_days"], week["seconds_used"]) == (0, 0)


def test_what_comes_in_in_a_holiday_is_met_in_the_week_after_it() -> None:
    # The text of the curriculum: candle-tones and two others come in up to week 4; a holiday moves them on.
    moved = [one for one in small_term()["combinations"] if one["week"] == 4]
    assert {one["meet_by"] for one in moved} == {"2027-01-03"}
    assert all("2026-12-28" <= one["first_met"] <= "2027-01-03" for one in moved)


def test_days_of_a_holiday_lengthen_no_wait() -> None:
    # A turn on 19 December and the next on 28 December: nine days, seven of them holiday (21 to 27).
    turns = {one["combination"]: one for one in small_term()["combinations"]}
    for one in turns.values():
        assert one["longest_wait_days"] <= 7 * small_term()["span_weeks"]
