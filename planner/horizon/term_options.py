"""What would make a term fit: more minutes, a later end, a smaller scope, each tried and the smallest told.

Fits means here, week by week: everything met in its week, every span of at most sixteen weeks (or the
player's own) held, a quarter left free. The days of a changed term are laid out when the change is made.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import timedelta

from planner.horizon.sentences import listed
from planner.horizon.term_problem import FREE_SHARE, Costed, last_met, term_problem
from planner.horizon.term_shelf import TermDays, TermShelf
from planner.inputs.player import Player
from planner.need.capacity import LONGEST_WEEKS
from planner.need.combinations import Combination
from planner.need.days import week_facts
from planner.need.turns import turns_before
from planner.plan.solve.term import fits
from planner.plan.solve.term_smaller import fewest_left_out
from planner.plan.term.problem import TermProblem
from planner.plan.term.termplan import Option

MOST_MINUTES = 120
MINUTES_OF_A_DAY = 600
MOST_NAMED = 4


def options(costs: Costed, everything_fits: bool) -> tuple[Option, ...]:
    """The smallest change of each kind; () where the term fits as it is."""
    if everything_fits:
        return ()
    span_weeks = costs.shelf.player.spans.get("kept_up_weeks", LONGEST_WEEKS)
    return (_minutes(costs, span_weeks), _weeks(costs, span_weeks), _scope(costs, span_weeks))


def changed_problem(costs: Costed, span_weeks: int) -> TermProblem:
    """The whole term with a quarter left free."""
    last = last_met(turns_before(costs.shelf.ratings, costs.shelf.first_day))
    return term_problem(costs, last, 0, span_weeks=span_weeks, free=FREE_SHARE)


def _smallest(most: int, works: Callable[[int], bool]) -> int:
    """The smallest number from 1 to `most` with which it works, 0 where not even the largest does."""
    if most < 1 or not works(most):
        return 0
    low, high = 1, most
    while low < high:
        middle = (low + high) // 2
        if works(middle):
            high = middle
        else:
            low = middle + 1
    return low


def _minutes(costs: Costed, span_weeks: int) -> Option:
    found = _smallest(MOST_MINUTES, lambda more: fits(changed_problem(with_minutes(costs, more), span_weeks)))
    if not found:
        way = _in_the_way(changed_problem(with_minutes(costs, MOST_MINUTES), span_weeks))
        words = f"More minutes alone do not help: tried up to {MOST_MINUTES} more on every practice day{way}."
        return Option("minutes", False, words, MOST_MINUTES)
    unit = "minute" if found == 1 else "minutes"
    return Option("minutes", True, f"It fits with {found} {unit} more on every practice day.", found)


def with_minutes(costs: Costed, more: int) -> Costed:
    """The same term with more minutes on every weekday that has any."""
    player = costs.shelf.player
    longer = tuple(min(MINUTES_OF_A_DAY, m + more) if m else 0 for m in player.minutes)
    monday, tuesday, wednesday, thursday, friday, saturday, sunday = longer
    changed = replace(player, minutes=(monday, tuesday, wednesday, thursday, friday, saturday, sunday))
    weeks = tuple(_again(days, changed) for days in costs.shelf.weeks)
    return costs.on(replace(costs.shelf, player=changed, weeks=weeks))


def _again(days: TermDays, player: Player) -> TermDays:
    return replace(days, facts=week_facts(player, days.first, days.last))


def _weeks(costs: Costed, span_weeks: int) -> Option:
    most = len(costs.shelf.weeks)
    found = _smallest(most, lambda more: fits(changed_problem(with_weeks(costs, more), span_weeks)))
    if not found:
        way = _in_the_way(changed_problem(with_weeks(costs, most), span_weeks))
        words = (
            f"A later end alone does not help: tried up to {most} weeks more, everything spread over"
            f" them{way}."
        )
        return Option("weeks", False, words, most)
    unit, end = "week" if found == 1 else "weeks", costs.shelf.last_day + timedelta(weeks=found)
    words = f"It fits with {found} {unit} more, to {end.isoformat()}, everything spread evenly over them."
    return Option("weeks", True, words, found)


def with_weeks(costs: Costed, more: int) -> Costed:
    """The same term that ends later: what is still to come in is spread over the weeks there are then."""
    shelf = costs.shelf
    ends = shelf.curriculum.weeks + more
    weeks = [*shelf.weeks]
    for number in range(shelf.weeks[-1].number + 1, ends + 1):
        first = weeks[-1].last + timedelta(days=1)
        last = first + timedelta(days=6)
        weeks.append(TermDays(number, first, last, week_facts(shelf.player, first, last)))
    moved = {c.id: _moved(shelf, c, more) for c in shelf.combinations}
    lines = tuple(
        replace(line, combinations=tuple(moved[c.id] for c in line.combinations)) for line in costs.lines
    )
    found = replace(
        shelf.found,
        playable=tuple(moved[c.id] for c in shelf.found.playable),
        limited=tuple(moved[c.id] for c in shelf.found.limited),
    )
    curriculum = replace(shelf.curriculum, weeks=ends)
    later = replace(shelf, curriculum=curriculum, weeks=tuple(weeks), found=found)
    return replace(costs, lines=lines).on(later)


def _moved(shelf: TermShelf, one: Combination, more: int) -> Combination:
    begins, count = shelf.weeks[0].number, len(shelf.weeks)
    place = one.intro_week - begins
    if place <= 0:
        return one
    return replace(one, intro_week=begins + place * (count + more) // count)


def _in_the_way(problem: TermProblem) -> str:
    """What still stands in the way of a changed term, as the end of a sentence."""
    from planner.plan.solve.term_reasons import in_the_way

    found = in_the_way(problem)
    return f"; what stands in the way then: {listed(found)}" if found else ""


def _scope(costs: Costed, span_weeks: int) -> Option:
    found = fewest_left_out(changed_problem(costs, span_weeks))
    if found is None:
        return Option("scope", False, "A smaller scope alone does not help.", 0)
    number, bound, where = found
    if number == len(costs.shelf.combinations):
        words = "A smaller scope alone does not help: not even a single combination has room."
        return Option("scope", False, words, number)
    titles = {e.id: e.title or e.id for e in costs.shelf.curriculum.exercises}
    named = [f"{count} of {titles[name]}" for name, count in where[:MOST_NAMED]]
    more = f" and {len(where) - MOST_NAMED} other exercises" if len(where) > MOST_NAMED else ""
    least = "" if number <= bound else f" (no fewer than {bound} would do)"
    unit = "combination" if number == 1 else "combinations"
    words = f"It fits without {number} {unit}{least}: {', '.join(named)}{more}."
    return Option("scope", True, words, number)
