"""A term from beginning to end: what the minutes carry, the span, the weeks, their days, what is proven.

Curriculum + Player -> TermShelf -> TermProblem -> Tally -> weeks laid out and checked -> TermPlan -> verified
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Any

from planner.errors import Refused, UsageError
from planner.horizon.sentences import listed
from planner.horizon.term_account import account
from planner.horizon.term_layout import Laying
from planner.horizon.term_options import options
from planner.horizon.term_problem import FREE_SHARE, Costed, costed, floor_problem, last_met, term_problem
from planner.horizon.term_request import Granted, Proven, TermRequest
from planner.horizon.term_shelf import TermShelf, term_shelf
from planner.horizon.week import Request
from planner.inputs.calendar import in_term
from planner.inputs.player import Player
from planner.need.capacity import LONGEST_WEEKS, SHORTEST_WEEKS
from planner.need.turns import turns_before
from planner.plan.solve.term import SolvedTerm, keeps_everything, least_cost_bound, solve_term
from planner.plan.term.problem import TermProblem, nothing_done
from planner.plan.verify.term import verify_term

BREACHES_SHOWN = 3
AN_EIGHTH = Fraction(1, 8)
"""What is left free where a quarter is too much and everything fits with it."""

TINY_SHARE = 1e-6

Tell = Callable[[str], None]


def plan_term(
    request: TermRequest, tell: Tell, progress: Tell, *, try_options: bool = True
) -> dict[str, Any]:
    """The checked term as JSON values; `tell` hears what the minutes carry before anything is solved.

    Raises UsageError where no week of the curriculum lies ahead, DoesNotFit where fixed music and the days
    clash, Refused where the check of the finished term finds a broken rule (a fault of the program).
    """
    request = replace(request, player=in_term(request.player, request.curriculum))
    costs = ready(request)
    room = carried(costs)
    tell(room["sentence"])
    progress("finding the span")
    granted = grant(costs, request.player.spans.get("kept_up_weeks"))
    progress("solving the weeks")
    solved = solve_term(granted.problem, granted.kept)
    laying = laid_out(costs, request, granted, solved, progress)
    progress("trying what would help")
    tried = () if not try_options else options(costs, granted.fits)
    proven = Proven(room | {"proof": granted.proof}, _floor(costs, granted))
    term = account(laying, request, granted, solved, proven, tried).to_json()
    term["capacity"]["why"] = "" if term["certificate"]["fits"] else why_not(granted.problem, room)
    progress("checking")
    check_term(request, term)
    return term


def why_not(problem: TermProblem, room: Mapping[str, Any]) -> str:
    """Why turns come after their week or not at all, also where the sums of the whole term would do."""
    from planner.plan.solve.term_reasons import in_the_way, without_pairs

    found = in_the_way(without_pairs(problem))
    if not found:
        return (
            "by the sums of its weeks all would have its turn; but an exercise stands in whole blocks on"
            " single days, and not every block finds its day"
        )
    short = room["turns_asked"] > room["turns_carried"]
    sums = "" if short else "over the whole term the sums would do, but not week by week; "
    return f"{sums}what stands in the way: {listed(found)}"


def _floor(costs: Costed, granted: Granted) -> int:
    """The least that any plan of these weeks gives up."""
    if granted.fits:
        return 0
    last = last_met(turns_before(costs.shelf.ratings, costs.shelf.first_day))
    return math.floor(least_cost_bound(floor_problem(costs, last, granted.weeks)))


def ready(request: TermRequest) -> Costed:
    """The shelf of the term with what an item of everything takes."""
    weeks_end = request.curriculum.weeks
    shelf_weeks = (request.first_day - request.player.starts).days // 7
    if shelf_weeks >= weeks_end:
        raise UsageError(
            f"the {weeks_end} weeks of {request.curriculum.title} end before {request.first_day.isoformat()}",
            "begin it again from a Monday: --starts 2026-09-07",
        )
    return costed(
        term_shelf(request.curriculum, request.player, request.ratings, request.first_day, request.scales)
    )


def laid_out(
    costs: Costed, request: TermRequest, granted: Granted, solved: SolvedTerm, progress: Tell
) -> Laying:
    """Every week laid out in days with the real week, each checked."""
    player = replace(request.player, spans={"kept_up_weeks": granted.weeks})
    shelf = replace(costs.shelf, player=player)
    laying = Laying(
        replace(costs, shelf=shelf), week_request(request, player), granted.weeks, granted.free, progress
    )
    laying.run(solved.tally)
    return laying


def week_request(request: TermRequest, player: Player) -> Request:
    """The request of one week of a term; its days are filled in week by week."""
    return Request(
        curriculum=request.curriculum,
        player=player,
        ratings=request.ratings,
        first_day=request.first_day,
        last_day=request.first_day,
        anchor=request.anchor,
        inputs=request.inputs,
        diary_digest=request.diary_digest,
        ratings_from=request.ratings_from,
        last_plan=None,
        seed=request.seed,
    )


def grant(costs: Costed, own: int | None) -> Granted:
    """The smallest span, in whole weeks from four up, in which everything fits with a quarter left free.

    Where not even the longest does: the smallest that gives up no more than the longest, and of the free
    share as much as still lets everything have its turn, nothing where that is not enough either.
    """
    spans = (own,) if own is not None else tuple(range(SHORTEST_WEEKS, LONGEST_WEEKS + 1))
    longest = least_cost_bound(_problem(costs, spans[-1], FREE_SHARE))
    open_before = ""
    for weeks in spans if longest < 1 else ():
        problem = _problem(costs, weeks, FREE_SHARE)
        bound = least_cost_bound(problem)
        kept = keeps_everything(problem) if bound < 1 else None
        if kept is not None:
            return Granted(weeks, True, FREE_SHARE, problem, _proof(weeks, open_before, own), kept)
        open_before = _why_not_in(bound / nothing_done(problem) if bound >= 1 else None)
    return _without_a_free_quarter(costs, spans, longest)


def _why_not_in(share: float | None) -> str:
    """Why a span was passed over: the share that no plan could keep, None where only no plan was found."""
    if share is None:
        return "no plan was found"
    return f"no plan does: even with fractions of turns {share:.1%} of what is asked for stays open"


def _without_a_free_quarter(costs: Costed, spans: tuple[int, ...], longest: float) -> Granted:
    """The term that leaves less than a quarter free: an eighth where everything fits then, else nothing."""
    share = longest / max(1, nothing_done(_problem(costs, spans[-1], FREE_SHARE)))
    free, least = Fraction(0), least_cost_bound(_problem(costs, spans[-1], Fraction(0)))
    if least < 1 and least_cost_bound(_problem(costs, spans[-1], AN_EIGHTH)) < 1:
        free, least = AN_EIGHTH, 0.0
    weeks = _smallest_span(costs, spans, free, least)
    return Granted(weeks, False, free, _problem(costs, weeks, free), _no_quarter(weeks, free, share))


def _no_quarter(weeks: int, free: Fraction, share: float) -> str:
    """Why the term leaves less than a quarter free."""
    left = "an eighth" if free else "nothing"
    if share < TINY_SHARE:
        return f"every {weeks} weeks with {left} left free; with a quarter left free no term was found"
    return (
        f"every {weeks} weeks with {left} left free; with a quarter left free no span fits: even with"
        f" fractions of turns {share:.1%} of what is asked for stays open"
    )


def _smallest_span(costs: Costed, spans: tuple[int, ...], free: Fraction, least: float) -> int:
    """The smallest span with which no more is given up than with the longest, found by halving."""
    low, high = 0, len(spans) - 1
    while low < high:
        middle = (low + high) // 2
        if least_cost_bound(_problem(costs, spans[middle], free)) <= least * (1 + 1e-6) + 0.5:
            high = middle
        else:
            low = middle + 1
    return spans[high]


def _problem(costs: Costed, weeks: int, free: Fraction) -> TermProblem:
    shelf: TermShelf = costs.shelf
    last = last_met(turns_before(shelf.ratings, shelf.first_day))
    return term_problem(costs, last, 0, span_weeks=weeks, free=free)


def _proof(weeks: int, open_before: str, own: int | None) -> str:
    if own is not None:
        return (
            f"every {weeks} weeks as the player file asks: everything has its turn with a quarter left free"
        )
    if not open_before:
        return f"every {weeks} weeks, the shortest span: everything has its turn with a quarter left free"
    return (
        f"every {weeks} weeks everything has its turn with a quarter left free; every {weeks - 1} weeks"
        f" {open_before}"
    )


def carried(costs: Costed) -> dict[str, Any]:
    """What the minutes carry against what the term asks for, by plain sums: the first thing that is said."""
    from planner.horizon.term_capacity import term_capacity

    return term_capacity(costs)


def check_term(request: TermRequest, term: Mapping[str, Any]) -> None:
    """Raise Refused where the second road finds any rule of the term broken."""
    found = verify_term(request.curriculum, request.player, request.ratings, term)
    if found:
        named = "; ".join(str(breach) for breach in found[:BREACHES_SHOWN])
        more = f"; and {len(found) - BREACHES_SHOWN} more" if len(found) > BREACHES_SHOWN else ""
        raise Refused(
            f"the term was made but its check failed, so it is not shown: {named}{more}",
            "this is a fault of the program: please report it with your files",
        )
