"""Whether a term still ends with everything met: small shelves worked out by hand."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from need.shelf import MONDAY, curriculum, flexibility, limit, player, rated, scales, special

from planner.horizon.outlook import Outlook, outlook, term_of
from planner.horizon.outlook_ways import ways_out
from planner.inputs.player import Player

SEVEN = tuple(f"{name}" for name in ("fives/a/1-2-3", "fives/a/3-4-5", "fives/a/5-6-7"))
# Three combinations of "fives" and four scales: seven, all of week 1. The curriculum has twelve weeks from
# Monday 7 September 2026: its last day is Sunday 29 November.
LAST_DAY = date(2026, 11, 29)


def term(today: date = MONDAY, who: Player | None = None, **changes: Any) -> Any:
    found = term_of(curriculum(flexibility(), scales(**changes)), who or player(), [], today)
    assert found is not None
    return found


def seen(**words: Any) -> Outlook:
    return outlook(term(**words))


def test_the_term_ends_with_the_last_week_of_the_curriculum() -> None:
    assert seen().last_day == LAST_DAY


def test_everything_is_met_where_there_is_time() -> None:
    assert (seen().proof, len(seen().met_on), seen().left) == ("met", 7, ())


def test_the_proof_says_by_which_day() -> None:
    found = seen()
    assert max(found.met_on.values()).isoformat() in found.sentence


def test_first_meetings_stand_on_practice_days() -> None:
    # no minutes on Sundays
    assert {day.weekday() for day in seen().met_on.values()} <= set(range(6))
    assert seen().met_on


def test_what_comes_later_is_not_met_before_its_week() -> None:
    # the scales come in week 3, from Monday 21 September
    found = seen(weeks=(3,))
    assert min(day for name, day in found.met_on.items() if name.startswith("scales")) >= date(2026, 9, 21)


def test_what_was_met_already_is_not_waited_for() -> None:
    ratings = [rated(name, grade=3, tempo=100) for name in SEVEN]
    found = term_of(curriculum(flexibility()), player(), ratings, MONDAY)
    assert found is not None
    assert outlook(found).sentence == "everything of the term until 2026-11-29 has been met already"


def test_a_prerequisite_is_met_on_an_earlier_day() -> None:
    found = outlook(
        term_of(curriculum(flexibility(), scales(after=("fives",))), player(), [], MONDAY)  # type: ignore[arg-type]
    )
    fives, stairs = (
        {day for name, day in found.met_on.items() if name.startswith(kind)} for kind in ("fives", "scales")
    )
    assert min(fives) < min(stairs)


def test_without_a_practice_day_nothing_can_be_met() -> None:
    away = special("free", MONDAY, LAST_DAY)
    found = seen(who=player(dates=(away,)))
    assert (found.proof, len(found.left)) == ("impossible", 7)


def test_what_does_not_fit_is_said_with_both_sums() -> None:
    found = seen(who=player(dates=(special("free", MONDAY, LAST_DAY),)))
    # no minute is left: 7 combinations take some
    assert found.sentence.startswith("7 combinations take at least ")
    assert "hold 0: no plan meets them all" in found.sentence


def test_a_limit_to_the_end_of_the_term_keeps_out_what_it_keeps_out() -> None:
    braces = limit("braces", MONDAY, LAST_DAY, without=("scales",))
    found = seen(who=player(limits=(braces,)))
    assert (found.proof, len(found.left)) == ("impossible", 4)


def test_a_term_that_is_over_has_no_outlook() -> None:
    assert term_of(curriculum(), player(), [], LAST_DAY + timedelta(days=1)) is None


@pytest.fixture(scope="module")
def ways() -> dict[str, tuple[str, bool]]:
    """One practice day of five minutes is left in the last week: too little for seven."""
    who = player(minutes=(5, 0, 0, 0, 0, 0, 0))
    found = term(today=LAST_DAY - timedelta(days=6), who=who)
    assert outlook(found).proof != "met"
    return {way.kind: (way.price, way.fits) for way in ways_out(found)}


def test_more_minutes_are_tried_and_priced(ways: dict[str, tuple[str, bool]]) -> None:
    price, fits = ways["minutes"]
    assert fits
    assert "minutes more on every practice day" in price


def test_a_later_end_is_tried_and_priced(ways: dict[str, tuple[str, bool]]) -> None:
    price, fits = ways["end date"]
    assert (price[:9], fits) == ("the term ", True) or (price[:9], fits) == ("8 weeks m", False)


def test_leaving_out_exercises_is_tried_and_priced(ways: dict[str, tuple[str, bool]]) -> None:
    price, fits = ways["scope"]
    assert fits
    assert price.startswith("leave out ")


def test_a_smaller_change_than_the_one_named_is_not_enough() -> None:
    # the first of 5, 10, 15, 20, 30 … minutes more that fits: the step before it does not
    from dataclasses import replace

    from planner.horizon.outlook_ways import MINUTES_MORE

    who = player(minutes=(5, 0, 0, 0, 0, 0, 0))
    found = term(today=LAST_DAY - timedelta(days=6), who=who)
    named = int(next(way.price for way in ways_out(found) if way.kind == "minutes").split()[0])
    fits = [
        outlook(replace(found, player=replace(who, minutes=(5 + more, 0, 0, 0, 0, 0, 0)))).proof == "met"
        for more in MINUTES_MORE
    ]
    assert MINUTES_MORE[fits.index(True)] == named
