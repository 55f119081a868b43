"""The soft rules (8 to 11) counted on a finished plan, each breach with its cost.

Costs are whole numbers: thousandths of need, days and flat charges, as in the week's definitions.
Readings where the specification leaves room:
- "passed without the turn" counts calendar days of the week up to the day before the first turn;
- a missed window of a combination in work costs 1000 + need, without a charge for days past;
- windows in work are stretches of three practice days running that end inside the week and lie after the
  last turn before it; a turn counts on the days of the week only;
- a pair was last met on the last rating of any playable combination that has it, and its window is charged
  like a kept-up one, days past and later days included;
- rule 11 counts a combination once a day, and own keys and positions of an item once each;
- families in scope are those of the playable combinations; own music counts among a day's families only.
"""

from __future__ import annotations

import datetime as dt
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping
from dataclasses import dataclass

from planner.plan.verify.case import Case
from planner.plan.verify.wishes import PAIR_SPAN_DAYS, last_played, missed_from, turn_by

MISSED = 1000
PAST_DAY = 200
LATER_DAY = 200
OTHER_WINDOW = 200
FAMILY = 2000
SINGLE = 300
TOUCH = 500
SHELF = 300
PROMISED = 2000
SMALL_SHELF_DAYS = 3
TOUCHES_A_WEEK = 2
USUAL_PRACTICE_DAYS = 6
MINUTES_A_FAMILY = 8
WINDOW = 3
POSITIONS = 7


@dataclass(frozen=True, slots=True)
class Cost:
    """A soft rule that is broken `times` over in one place, and what that costs in all.

    `rule` is the plan's own name of it; `date` is None where it is about the week.
    """

    rule: str
    date: dt.date | None
    what: str
    cost: int
    times: int = 1


def soft_costs(case: Case) -> tuple[Cost, ...]:
    """Every breach of a soft rule that costs anything, rule by rule."""
    return tuple(cost for rule in SOFT_RULES for cost in rule(case) if cost.cost)


def turns_of_combinations(case: Case) -> Iterator[Cost]:
    """Every combination has a turn by the day on which it wants one, and comes back in its rhythm."""
    for name, entry in case.playable.items():
        by = turn_by(case, name, entry.state)
        if by is None:
            continue
        days = case.turns.get(name, ())
        if entry.state == "in work":
            yield from _rhythm(case, name, by, entry.need, days)
        else:
            yield from _window(case, "turns", name, by, entry.need, days)


def turns_of_pairs(case: Case) -> Iterator[Cost]:
    """Every exercise is met in every key and on every position of it within the pairs' span."""
    for (exercise, what), names in pairs(case).items():
        met = [day for day in (last_played(case, name) for name in names) if day is not None]
        by = _pair_by(case, max(met)) if met else case.last_day
        need = sum(case.playable[name].need for name in names) // len(names)
        days = sorted({day for name in names for day in case.turns.get(name, ())})
        yield from _window(case, "pairs", f"{exercise} {what}", by, need, tuple(days))


def _pair_by(case: Case, met: dt.date) -> dt.date:
    """The last day of a pair's span: missed days lengthen it."""
    return met + dt.timedelta(days=PAIR_SPAN_DAYS + missed_from(case, met + dt.timedelta(days=1)))


def families(case: Case) -> Iterator[Cost]:
    """A day has several families, as many as its minutes carry."""
    in_scope = len({case.known[name].exercise.family for name in case.playable})
    for day in case.days:
        if day.facts.short or day.facts.warm_up_only:
            continue
        wanted = min(case.player.families_a_day, in_scope, day.facts.free_minutes // MINUTES_A_FAMILY)
        missing = max(0, wanted - len(day.families()))
        words = f"{missing} of {wanted} families missing"
        yield Cost("families", day.date, words, FAMILY * missing, missing)


def single_blocks(case: Case) -> Iterator[Cost]:
    """A block has at least two combinations where the exercise has them."""
    choice = Counter(case.known[name].exercise.id for name in case.playable)
    for day in case.days:
        for block in day.blocks:
            alone = len(block.combinations) == 1 and choice[block.exercise] > 1
            yield Cost("block size", day.date, block.exercise, SINGLE * alone)


def touches(case: Case) -> Iterator[Cost]:
    """Every position and every key is met several times a week."""
    least = max(1, TOUCHES_A_WEEK * len(case.practice) // USUAL_PRACTICE_DAYS)
    wanted = {touch for name in case.playable for touch in _touched(case, name)}
    counts: Counter[str] = Counter()
    for name, days in case.turns.items():
        if name in case.playable:
            counts.update({touch: len(days) for touch in _touched(case, name)})
    for touch in sorted(wanted):
        missing = max(0, least - counts[touch])
        words = f"{touch}: {counts[touch]} of {least}"
        yield Cost("touches", None, words, TOUCH * missing, missing)


def small_shelf(case: Case) -> Iterator[Cost]:
    """On a small shelf every combination comes at least once a week."""
    if is_small(case):
        for name in case.playable:
            yield Cost("small shelf", None, name, SHELF * (name not in case.turns))


def term_turns(case: Case) -> Iterator[Cost]:
    """What the term promised for the week has its turn in it."""
    for name in promised(case):
        entry, last = case.playable.get(name), len(case.days) - 1
        by = entry.turn_by if entry is not None and entry.state == "kept up" else None
        if by is not None and case.first_day <= by <= case.last_day:
            last = (by - case.first_day).days
        met = any(day <= last for day in case.turns.get(name, ()))
        yield Cost("term", by, name, PROMISED * (not met))


def promised(case: Case) -> tuple[str, ...]:
    """The turns that a plan says the term promised; none where it follows no term."""
    parameters = case.plan.rules.get("term", {}).get("parameters", {})
    return tuple(parameters.get("turns", ()))


def is_small(case: Case) -> bool:
    """Whether the shelf holds fewer than three days' items."""
    items_a_day = case.notes.capacity.items_per_week // max(1, len(case.usual))
    return len(case.playable) < SMALL_SHELF_DAYS * items_a_day


SOFT_RULES: tuple[Callable[[Case], Iterable[Cost]], ...] = (
    turns_of_combinations,
    turns_of_pairs,
    families,
    single_blocks,
    touches,
    small_shelf,
    term_turns,
)


def pairs(case: Case) -> Mapping[tuple[str, str], tuple[str, ...]]:
    """Exercise and key, exercise and position, with the playable combinations that have the two."""
    found: dict[tuple[str, str], list[str]] = defaultdict(list)
    for name in case.playable:
        one = case.known[name]
        assert one.part is not None
        for what in (*sorted(set(one.part.keys)), *(f"position {place}" for place in one.part.positions)):
            found[one.exercise.id, what].append(name)
    return {pair: tuple(names) for pair, names in found.items()}


def _touched(case: Case, name: str) -> frozenset[str]:
    part = case.known[name].part
    assert part is not None
    places = (f"position {place}" for place in part.positions if place <= POSITIONS)
    return frozenset((*places, *(f"key group {tonic}" for tonic in part.tonics)))


def _window(
    case: Case, rule: str, what: str, by: dt.date, need: int, days: tuple[int, ...]
) -> Iterator[Cost]:
    """A window from the first day to `by`, or the whole week where that is past; `days` have a turn."""
    end = (by - case.first_day).days
    count = len(case.days)
    if end >= count:
        return
    past = max(0, -end)
    first = days[0] if days else count
    missed = first > (count - 1 if past else end)
    later = max(0, first - max(end, 0) - 1)
    yield Cost(rule, by, what, (MISSED + need + PAST_DAY * past) * missed)
    yield Cost("delay", by, what, LATER_DAY * later, later)


def _rhythm(case: Case, name: str, by: dt.date, need: int, days: tuple[int, ...]) -> Iterator[Cost]:
    """Windows of three practice days running; those that end at `by` and every third day after cost most."""
    last = last_played(case, name)
    assert last is not None
    third = case.calendar.between(last, by)
    for index in case.practice:
        place = case.calendar.between(last, case.days[index].date)
        if place < third or _turn_within(case, index, days):
            continue
        on_grid = (place - third) % WINDOW == 0
        yield Cost("turns" if on_grid else "rhythm", by, name, MISSED + need if on_grid else OTHER_WINDOW)


def _turn_within(case: Case, index: int, days: tuple[int, ...]) -> bool:
    """Whether there is a turn on one of the last three practice days of the week up to `index`."""
    window = [place for place in case.practice if place <= index][-WINDOW:]
    return any(window[0] <= day <= index for day in days)
