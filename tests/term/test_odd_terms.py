"""Terms after a missed stretch, and beside fixed playing that is heavier than a day's limit."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import cycle

from term.generated import MONDAY, term_of

from planner.diary.rating import Rating
from planner.horizon.term import plan_term
from planner.horizon.term_request import TermRequest
from planner.inputs.player import Missed, OtherPlaying, OwnMusic, SpecialDate
from planner.need.combinations import drafts
from planner.plan.verify.term import verify_term

MISSED = Missed(MONDAY - timedelta(days=10), MONDAY - timedelta(days=1), (), None)


def begun(request: TermRequest) -> TermRequest:
    """The same term four weeks on: what it begins with was met before ten days that were missed."""
    free = SpecialDate("free", MISSED.first, MISSED.last, "missed", None)
    player = request.player
    player = replace(
        player, starts=MONDAY - timedelta(weeks=4), missed=(MISSED,), dates=(*player.dates, free)
    )
    days = cycle((MONDAY - timedelta(days=18), MONDAY - timedelta(days=12)))
    shelf = [one for exercise in request.curriculum.exercises for one in drafts(exercise)]
    ratings = tuple(
        Rating(day, one.id, one.articulations[0], None, None, 4, None)
        for one, day in zip(shelf[::2], days, strict=False)
        if one.intro_week <= 3
    )
    return replace(request, player=player, ratings=ratings)


def test_spans_of_keys_and_positions_stand_still_on_missed_days_in_a_term_too() -> None:
    # plan_term refuses a week that its second road counts otherwise
    request = begun(term_of(5, size=80))
    term = plan_term(request, lambda _: None, lambda _: None, try_options=False)
    assert verify_term(request.curriculum, request.player, request.ratings, term) == ()


def test_fixed_playing_heavier_than_the_limit_is_no_overload_by_the_plan() -> None:
    # half an hour at the highest intensity beside a band rehearsal, on the day before a concert
    plain = term_of(3, size=30)
    player = replace(
        plain.player,
        minutes=(40, 40, 40, 40, 40, 0, 0),
        playing=(OtherPlaying("band", (1,), 150, 1.0, 5),),
        music=(OwnMusic("solo", "Solo", "", 10, (1,), None, None, 5),),
        dates=(SpecialDate("concert", *(date(2026, 9, 23),) * 2, "Concert", None),),
    )
    term = plan_term(replace(plain, player=player), lambda _: None, lambda _: None, try_options=False)
    over = [day for week in term["weeks"] for day in week["days"] if day["load"] > day["load_limit"]]
    assert (bool(over), term["certificate"]["days_over_load"]) == (True, 0)
