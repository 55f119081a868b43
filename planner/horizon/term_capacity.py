"""What the minutes of a term carry against what it asks for, by plain sums, before anything is solved."""

from __future__ import annotations

import math
from fractions import Fraction
from typing import Any

from planner.horizon.term_problem import FREE_SHARE, Costed, come_in, last_met
from planner.need.capacity import IN_WORK_EVERY, LONGEST_WEEKS, SHORTEST_WEEKS, in_work_places
from planner.need.turns import turns_before

Asked = tuple[int, int, int]


def term_capacity(costs: Costed) -> dict[str, Any]:
    """Turns that the minutes carry week by week, turns that are asked for, and both in one sentence."""
    weeks = costs.shelf.weeks
    carried = [costs.items_in(week) for week in range(len(weeks))]
    share = 1 - FREE_SHARE
    room = math.floor(share * sum(carried))
    spans = range(SHORTEST_WEEKS, LONGEST_WEEKS + 1)
    own = costs.shelf.player.spans.get("kept_up_weeks")
    span = own or next((s for s in spans if sum(_asked(costs, carried, s)) <= room), LONGEST_WEEKS)
    asked = _asked(costs, carried, span)
    return {
        "turns_carried": sum(carried),
        "turns_to_promise": room,
        "turns_asked": sum(asked),
        "by_week": carried,
        "sentence": _sentence(costs, sum(carried), room, span, asked),
    }


def _asked(costs: Costed, carried: list[int], span: int) -> Asked:
    """First turns, returns, turns in work."""
    shelf = costs.shelf
    last = come_in(costs, last_met(turns_before(shelf.ratings, shelf.first_day)))
    weeks = len(shelf.weeks)
    new = [max(0, costs.own[c.id]) for c in shelf.combinations if c.id not in last]
    met = [c for c in shelf.combinations if c.id in last]
    back = sum(max(0, (weeks - 1 - week)) // span for week in new) + len(met) * (weeks // span)
    in_work = Fraction(0)
    for week, items in enumerate(carried):
        practice = len(shelf.weeks[week].practice)
        known = len(met) + sum(1 for own in new if own < week)
        if practice and items:
            in_work += min(in_work_places(items, practice), known) * Fraction(practice, IN_WORK_EVERY)
    return len(new), back, math.floor(in_work)


def _sentence(costs: Costed, carried: int, room: int, span: int, asked: Asked) -> str:
    weeks, count = len(costs.shelf.weeks), len(costs.shelf.combinations)
    new, back, in_work = asked
    said = (
        f"{count} combinations in {weeks} {'week' if weeks == 1 else 'weeks'}: {new} first turns, {back}"
        f" returns every {span} weeks and {in_work} turns in work make {sum(asked)}."
        f" Your minutes carry about {carried}, {room} of them with a quarter left free"
    )
    short, over = sum(asked) - room, sum(asked) - carried
    if over > 0:
        return f"{said}: {over} too many even with nothing left free."
    return f"{said}: {short} too many for that." if short > 0 else f"{said}: it fits by the sums."
