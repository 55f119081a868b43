"""The week's list of combinations and the capacity, from the ratings.

Readings where the specification leaves room:
- in work are combinations met before; candidates that are certain are those introduced in this or one of
  the two weeks before, or whose first item of the week shows a mean below the goal. Which others have a mean
  below the goal cannot be told from the plan: for them only the order by need and the number are checked;
- items a week must lie between what the slowest and the fastest tempos of the playable combinations allow,
  because their mean cannot be told from the plan; a new one may count for one go or two; the week is the
  whole calendar week, Monday to Sunday, whatever part of it is planned;
- the granted span counts new ones once, a quarter of the items at most, those in work every third practice
  day, kept-up ones once a span or as often as their exercise's pairs ask: the distinct keys and positions of
  its kept-up combinations, every two weeks, divided by how many of them one combination has on average.
  16 weeks where none is enough.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from fractions import Fraction

from planner.plan.verify.breach import Breach
from planner.plan.verify.case import Case, breach
from planner.plan.verify.days import TWO_DAYS_SHARE
from planner.plan.verify.lasting import SET_UP, extremes
from planner.plan.verify.repertoire import Combination, curriculum_week
from planner.plan.verify.wishes import (
    AGAIN_SINCE,
    NEXT_PRACTICE_DAY,
    articulations,
    last_played,
    since,
    turn_by,
    value,
)
from planner.plan.weekplan import CombinationState

STATES = ("new", "in work", "kept up")
SET_UPS_A_DAY = 4
IN_WORK_WEEKS = 3
SPAN_WEEKS = range(4, 17)
SPAN_SHARE = Fraction(3, 4)
PAIR_WEEKS = 2
HALF = Fraction(1, 2)
TINY = Fraction(1, 10**6)


def states(case: Case) -> Iterator[Breach]:
    """New is what was never met; of what was met, the neediest recent or unsteady ones are in work."""
    for entry in case.playable.values():
        new = entry.combination not in case.last
        if entry.state not in STATES or (entry.state == "new") != new:
            yield breach("states", None, f"{entry.combination} is {entry.state!r}, met before: {not new}")
    yield from _in_work(case)


def _in_work(case: Case) -> Iterator[Breach]:
    met = sorted((one for one in case.playable.values() if one.combination in case.last), key=_neediest)
    chosen = [entry for entry in met if entry.state == "in work"]
    certain = [entry for entry in met if _is_candidate(case, entry)]
    most = max(1, case.notes.capacity.items_per_week // 4 * NEXT_PRACTICE_DAY // max(1, len(case.usual)))
    if len(chosen) > most:
        yield breach("states", None, f"{len(chosen)} in work, at most {most}")
    left = [entry for entry in certain if entry.state != "in work"]
    if left and len(chosen) < most:
        yield breach("states", None, f"{left[0].combination} should be in work: {len(chosen)} of {most} are")
    elif left and chosen and _neediest(left[0]) < _neediest(chosen[-1]):
        yield breach("states", None, f"{left[0].combination} before {chosen[-1].combination} in work")
    for entry in chosen:
        if not _is_recent(case, entry) and _shown_mean(case, entry) >= TINY:
            yield breach("states", None, f"{entry.combination} is in work with a mean at the goal")


def _neediest(entry: CombinationState) -> tuple[int, str]:
    return -entry.need, entry.combination


def _is_recent(case: Case, entry: CombinationState) -> bool:
    week = curriculum_week(case.player, case.first_day)
    return week - IN_WORK_WEEKS < case.known[entry.combination].week <= week


def _is_candidate(case: Case, entry: CombinationState) -> bool:
    return _is_recent(case, entry) or _shown_mean(case, entry) < -TINY


def _shown_mean(case: Case, entry: CombinationState) -> float:
    """The mean shown by an item with the week's first articulation; 0 where no item shows it."""
    for index in case.turns.get(entry.combination, ())[:1]:
        for item in case.days[index].plan.items:
            if item.combination == entry.combination and item.clean_tempo is not None:
                return item.clean_tempo.mean
    return 0.0


def wanted_turns(case: Case) -> Iterator[Breach]:
    """Last turn, next turn, articulations and value follow from the ratings."""
    for name, entry in case.playable.items():
        by = turn_by(case, name, entry.state)
        rights = (
            ("last_played", entry.last_played, last_played(case, name)),
            ("turn_by", entry.turn_by, by),
            ("articulations", entry.articulations, articulations(case, case.known[name])),
            ("since", entry.since, since(case, name)),
            ("wanted", entry.wanted, by is not None and by <= case.last_day),
        )
        for what, found, right in rights:
            if found != right:
                yield breach("wanted turns", None, f"{name} {what} is {found}, should be {right}")
        yield from _values(case, name, entry)


def _values(case: Case, name: str, entry: CombinationState) -> Iterator[Breach]:
    """Values are whole: the exact one rounded, either way at a half."""
    practised = since(case, name)
    for what, found, days in (
        ("value", entry.value, practised),
        ("value_again", entry.value_again, min(AGAIN_SINCE, practised)),  # never worth more than the first
    ):
        right = value(days, entry.need)
        if abs(found - right) > HALF + TINY:
            yield breach("values", None, f"{name} {what} is {found}, should be {float(right):.1f}")


def items_a_week(case: Case) -> Iterator[Breach]:
    """The week carries as many items as its seconds and its load have room for."""
    found = case.notes.capacity.items_per_week
    if not case.playable:
        return
    least_seconds, most_seconds, least_load, most_load = _means(case)
    low, high = _fewest_items(case, most_seconds, most_load), _most_items(case, least_seconds, least_load)
    if not low <= found <= high:
        yield breach("capacity", None, f"{found} items a week, should be from {low} to {high}")


def _set_ups(case: Case) -> int:
    return SET_UP * min(case.player.blocks_a_day, SET_UPS_A_DAY)


def _means(case: Case) -> tuple[Fraction, Fraction, Fraction, Fraction]:
    """Means over the playable combinations: least and most seconds, least and most load of an item."""
    breath, count = case.player.breath_seconds, len(case.playable)
    all_of = [(extremes(case.known[name], breath), entry.state) for name, entry in case.playable.items()]
    twice = [(one, 2 if state == "new" else 1) for one, state in all_of]
    return (
        sum((one.least_seconds for one, _ in all_of), Fraction(0)) / count,
        sum((one.most_seconds * goes for one, goes in twice), Fraction(0)) / count + 1,
        sum((one.least_load for one, _ in all_of), Fraction(0)) / count,
        sum((one.most_load * goes for one, goes in twice), Fraction(0)) / count,
    )


def _most_items(case: Case, seconds: Fraction, load: Fraction) -> int:
    """With the fastest tempos, and all of the load for items."""
    days = case.usual
    room = sum(max(0, day.available - _set_ups(case)) for day in days)
    return min(int(room // seconds), int(sum((day.limit for day in days), Fraction(0)) // load))


def _fewest_items(case: Case, seconds: Fraction, load: Fraction) -> int:
    """With the slowest tempos, and nine tenths of the load less what is fixed."""
    days = case.usual
    room = sum(day.available - _set_ups(case) for day in days)
    lip = sum((TWO_DAYS_SHARE * day.limit - day.fixed for day in days), Fraction(0))
    return max(0, min(int(room // seconds), int(lip // load)))


def granted_span(case: Case) -> Iterator[Breach]:
    """What is kept up comes back within a span the minutes carry, from 4 to 16 weeks, or the player's own."""
    found = case.notes.capacity.granted_span_days
    own = _term_span(case) or case.player.spans.get("kept_up_weeks")
    right = 7 * (own or _span_weeks(case))
    if found != right:
        yield breach("capacity", None, f"span of {found} days, should be {right}")


def _term_span(case: Case) -> int | None:
    """The span of the term that a plan says it follows: `verify_term` asks what that one rests on."""
    span = case.plan.rules.get("term", {}).get("parameters", {}).get("span_weeks")
    return span if type(span) is int and span > 0 else None


def _span_weeks(case: Case) -> int:
    counts = [entry.state for entry in case.playable.values()]
    items = case.notes.capacity.items_per_week
    new = min(counts.count("new"), items // 4)
    turns = new + Fraction(counts.count("in work") * len(case.usual), NEXT_PRACTICE_DAY)
    room = SPAN_SHARE * items - turns
    groups: dict[str, list[Combination]] = defaultdict(list)
    for name, entry in case.playable.items():
        if entry.state == "kept up":
            groups[case.known[name].exercise.id].append(case.known[name])
    needed = [(len(group), _pair_items(group)) for group in groups.values()]
    for weeks in SPAN_WEEKS:
        if sum((max(Fraction(count, weeks), pairs) for count, pairs in needed), Fraction(0)) <= room:
            return weeks
    return SPAN_WEEKS[-1]


def _pair_items(group: list[Combination]) -> Fraction:
    """Items a week that meet every key and position of these combinations every two weeks."""
    have = [{*one.part.keys, *map(str, one.part.positions)} for one in group if one.part is not None]
    distinct = len(set().union(*have))
    return Fraction(distinct * len(have), PAIR_WEEKS * sum(map(len, have)))
