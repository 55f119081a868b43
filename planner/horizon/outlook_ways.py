"""What could give where a term does not end with everything met: each change tried, with its price."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

from planner.horizon.outlook import Term, outlook
from planner.horizon.sentences import counted
from planner.need.combinations import scope

MINUTES_MORE = (5, 10, 15, 20, 30, 45, 60)
WEEKS_MORE = (1, 2, 3, 4, 6, 8)


@dataclass(frozen=True, slots=True)
class WayOut:
    """One change that was tried: what it is, its price in words, and whether everything is met with it."""

    kind: str
    price: str
    fits: bool


def ways_out(term: Term) -> tuple[WayOut, ...]:
    """What could give, each tried: minutes, the end of the term, the scope; the least of each that fits."""
    return (_minutes(term), _later(term), _less(term))


def _fits(term: Term) -> bool:
    return outlook(term).proof == "met"


def _least(steps: Sequence[int], fits: Callable[[int], bool]) -> int | None:
    """The first of rising steps that fits, by halving; None where the last does not."""
    if not fits(steps[-1]):
        return None
    low, high = 0, len(steps) - 1
    while low < high:
        middle = (low + high) // 2
        low, high = (low, middle) if fits(steps[middle]) else (middle + 1, high)
    return steps[high]


def _minutes(term: Term) -> WayOut:
    def more(by: int) -> Term:
        minutes = tuple(number + by if number else 0 for number in term.player.minutes)
        return replace(term, player=replace(term.player, minutes=minutes))  # type: ignore[arg-type]

    found = _least(MINUTES_MORE, lambda by: _fits(more(by)))
    if found is None:
        return WayOut(
            "minutes", f"{MINUTES_MORE[-1]} minutes more on every practice day are not enough", fits=False
        )
    return WayOut(
        "minutes", f"{found} minutes more on every practice day until {term.last_day.isoformat()}", fits=True
    )


def _later(term: Term) -> WayOut:
    def later(weeks: int) -> Term:
        last = term.last_day + timedelta(weeks=weeks)
        return replace(term, last_day=last, shelf=scope(term.curriculum, term.player, term.today, last))

    found = _least(WEEKS_MORE, lambda weeks: _fits(later(weeks)))
    if found is None:
        return WayOut("end date", f"{WEEKS_MORE[-1]} weeks more are not enough", fits=False)
    end = term.last_day + timedelta(weeks=found)
    return WayOut(
        "end date", f"the term ends {counted(found, 'week')} later, on {end.isoformat()}", fits=True
    )


def _less(term: Term) -> WayOut:
    """What a limit keeps out, and whole exercises, those that find no room first, until the rest fits."""
    barred = f"the {len(term.barred)} outside the limit" if term.barred else ""
    term = replace(term, shelf=replace(term.shelf, limited=()))
    if barred and _fits(term):
        return WayOut("scope", f"leave out {barred}", fits=True)
    left = set(outlook(term).left)
    in_order = sorted(term.unmet, key=lambda one: (one.id not in left, -one.intro_week))
    names = list(dict.fromkeys(one.exercise.id for one in in_order))
    counts = range(1, len(names) + 1)

    def without(count: int) -> Term:
        gone = set(names[:count])
        kept = tuple(
            one for one in term.shelf.playable if one.exercise.id not in gone or one not in term.unmet
        )
        return replace(term, shelf=replace(term.shelf, playable=kept))

    found = _least(counts, lambda count: _fits(without(count))) if names else None
    if found is None:
        return WayOut("scope", "leaving out exercises alone is not enough", fits=False)
    gone = names[:found]
    count = sum(1 for one in term.unmet if one.exercise.id in gone)
    parts = [*([barred] if barred else []), *gone]
    return WayOut("scope", f"leave out {', '.join(parts)}: {counted(count, 'combination')}", fits=True)
