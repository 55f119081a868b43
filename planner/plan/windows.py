"""The windows of a week: which turns are asked for on which days, and what it costs to go without.

Conventions: days and combinations are named by their index; a window on a day past asks on every day of the
week.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, timedelta

from planner.need.capacity import IN_WORK_EVERY
from planner.need.days import practice_days
from planner.need.weigh import Wish
from planner.plan.problem import DAY_PAST, PROMISED, SMALL_SHELF, TURN, Window
from planner.plan.week import Week

OTHER_WINDOW = 200
"""What three practice days running without a turn of what is in work cost, between its turns."""


def turn_windows(week: Week) -> Iterable[Window]:
    """Every combination has its turn within its span, and comes back in its rhythm where it is in work."""
    for index, wish in enumerate(week.wishes):
        if wish.state == "in work":
            yield from _rhythm(week, index, wish)
        else:
            yield from _window(week, "turn", wish.id, (index,), wish.turn_by, wish.need)


def pair_windows(week: Week, number: Mapping[str, int]) -> Iterable[Window]:
    """Every pair of exercise and key or position is met by its day; `number` finds a combination's index."""
    for pair in week.pairs:
        members = tuple(number[name] for name in pair.combinations)
        name = f"{pair.exercise} {pair.kind} {pair.name}"
        yield from _window(week, "pair", name, members, pair.turn_by, pair.need)


def shelf_windows(week: Week) -> Iterable[Window]:
    """On a small shelf every combination comes at least once a week."""
    if week.has_small_shelf:
        for index, wish in enumerate(week.wishes):
            yield Window("shelf", wish.id, (index,), tuple(range(len(week.days))), SMALL_SHELF)


def term_windows(week: Week, number: Mapping[str, int]) -> Iterable[Window]:
    """What the term promised for this week has its turn in it, what is kept up before its span ends."""
    for name in week.promised:
        if name in number:
            days = tuple(range(_promised_until(week, week.wishes[number[name]]) + 1))
            yield Window("term", name, (number[name],), days, PROMISED)


def _promised_until(week: Week, wish: Wish) -> int:
    """The index of the last day on which a promised turn may stand."""
    last = len(week.days) - 1
    if wish.state != "kept up" or wish.turn_by is None or wish.turn_by < week.first_day:
        return last
    return min(last, week.index_of(wish.turn_by))


def _window(
    week: Week, kind: str, name: str, members: tuple[int, ...], turn_by: date | None, need: int
) -> Iterable[Window]:
    """One window up to `turn_by` (the whole week where that is past), and each later day without the turn."""
    count = len(week.days)
    end = count if turn_by is None else week.index_of(turn_by)
    if end >= count:
        return
    last = count - 1 if end < 0 else end
    cost = TURN + need + DAY_PAST * max(0, -end)
    yield Window(kind, name, members, tuple(range(last + 1)), cost)
    for later in range(max(end, 0) + 1, count):
        yield Window("later", name, members, tuple(range(later + 1)), DAY_PAST)


def _rhythm(week: Week, index: int, wish: Wish) -> Iterable[Window]:
    """Any three practice days running; those that end at turn_by and every third day after cost most."""
    assert wish.last_played is not None
    practice = [i for i, facts in enumerate(week.days) if facts.practice]
    if not practice:
        return
    place = _practice_days_since(week, wish.last_played, week.days[practice[0]].date)
    for number in range(len(practice)):
        since = place + number
        if since < IN_WORK_EVERY:
            continue
        inside = tuple(practice[max(0, number - IN_WORK_EVERY + 1) : number + 1])
        on_grid = since % IN_WORK_EVERY == 0
        kind, cost = ("turn", TURN + wish.need) if on_grid else ("rhythm", OTHER_WINDOW)
        yield Window(kind, wish.id, (index,), inside, cost)


def _practice_days_since(week: Week, last: date, first: date) -> int:
    """How many practice days after `last` the practice day `first` is, itself counted."""
    return practice_days(week.player, last + timedelta(days=1), first)
