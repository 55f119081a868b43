"""The days of a term: minutes, load, two days running across every border, what may stand on which date."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from planner.plan.term.termplan import TermDay, TermWeek
from planner.plan.verify.breach import Breach
from planner.plan.verify.day_rules import RANGE
from planner.plan.verify.days import TWO_DAYS_SHARE, DayFacts, exact
from planner.plan.verify.lasting import lasting
from planner.plan.verify.repertoire import curriculum_week
from planner.plan.verify.term_case import TermCase

ROUNDED = Fraction(1, 1000)
SMALL_SHELF_DAYS = 3


def minutes(case: TermCase) -> Iterator[Breach]:
    """No day holds more than its free minutes, warm-up, own music, pauses and warm-down included."""
    for _, day, facts in case.days:
        music = sum(60 * piece.minutes for piece in facts.music)
        used = sum(item.seconds for item in day.items) + facts.warm_up + facts.warm_down + music
        if day.seconds_free != 60 * facts.free_minutes:
            yield Breach(
                "minutes", day.date, f"{day.seconds_free} s free, should be {60 * facts.free_minutes}"
            )
        if day.seconds_used != used:
            yield Breach("minutes", day.date, f"{day.seconds_used} s used, the items make {used}")
        if used > 60 * facts.free_minutes:
            yield Breach("minutes", day.date, f"{used} s in {60 * facts.free_minutes}")
        if day.items and not facts.practice:
            yield Breach("minutes", day.date, "items on a day without practice")


def items(case: TermCase) -> Iterator[Breach]:
    """Every item lasts and weighs what its tempo, passes and rounds make of it."""
    for _, day, item in case.items:
        one = case.known.get(item.combination)
        if one is None or one.part is None:
            yield Breach("scope", day.date, f"{item.combination} is not in the curriculum or not writable")
            continue
        if item.goes not in (1, 2) or item.articulation not in one.articulations:
            yield Breach("items", day.date, f"{item.combination}: {item.goes} goes, {item.articulation}")
            continue
        lasts = lasting(one, item.tempo, item.target, item.articulation, case.player.breath_seconds)
        play, pauses, _, _ = lasts.whole(lasts.rest)
        if item.play_seconds != item.goes * play or item.seconds < item.goes * (play + pauses):
            yield Breach(
                "items", day.date, f"{item.combination} lasts {item.seconds}, plays {item.play_seconds}"
            )
        if abs(exact(item.load) - item.goes * lasts.load) > 2 * ROUNDED:
            yield Breach("items", day.date, f"{item.combination} weighs {item.load}")


def load(case: TermCase) -> Iterator[Breach]:
    """The lip is not overloaded on any day; rehearsals count."""
    for _, day, facts in case.days:
        own = _load(day, facts)
        if abs(exact(day.load) - own) > ROUNDED * (1 + len(day.items)):
            yield Breach("load", day.date, f"load {day.load}, the items make {float(own):.3f}")
        if abs(exact(day.load_limit) - facts.limit) > ROUNDED:
            yield Breach("load", day.date, f"limit {day.load_limit}, should be {float(facts.limit):.3f}")
        if own > max(facts.limit, facts.fixed) + ROUNDED * (1 + len(day.items)):
            yield Breach(
                "load", day.date, f"load {float(own):.3f} over the limit of {float(facts.limit):.3f}"
            )


def _load(day: TermDay, facts: DayFacts) -> Fraction:
    return sum((exact(item.load) for item in day.items), Fraction(0)) + facts.fixed


def two_days(case: TermCase) -> Iterator[Breach]:
    """Nor over two days running, from Sunday to Monday as inside a week."""
    for (_, one, facts), (_, other, after) in _running(case):
        both = _load(one, facts) + _load(other, after)
        most = max(TWO_DAYS_SHARE * (facts.limit + after.limit), _load(one, facts) + after.fixed)
        if both > most + ROUNDED * (2 + len(one.items) + len(other.items)):
            yield Breach("two days' load", other.date, f"{float(both):.3f} over {float(most):.3f}")


Told = tuple[TermWeek, TermDay, DayFacts]


def _running(case: TermCase) -> Iterator[tuple[Told, Told]]:
    """Every two days running, across the borders of weeks too."""
    return pairwise(case.days)


def once_a_day(case: TermCase) -> Iterator[Breach]:
    """A combination is one item a day."""
    for _, day, _ in case.days:
        for name, times in Counter(item.combination for item in day.items).items():
            if times > 1:
                yield Breach("once a day", day.date, f"{name} stands {times} times")


def days_running(case: TermCase) -> Iterator[Breach]:
    """What is kept up comes on no two days running, also from Sunday to Monday; on a small shelf it may."""
    for (_, one, _), (week, other, _) in _running(case):
        if _small(case, week.week, week.items_carried, week.practice_days):
            continue
        before = {item.combination for item in one.items}
        for item in other.items:
            if item.state == "kept up" and item.combination in before:
                yield Breach("days running", other.date, f"{item.combination} was played the day before")


def _small(case: TermCase, week: int, items_carried: int, practice_days: int) -> bool:
    shelf = sum(
        1 for one in case.known.values() if one.part is not None and not one.reason and one.week <= week
    )
    return shelf < SMALL_SHELF_DAYS * (items_carried // max(1, practice_days))


def heavy_days(case: TermCase) -> Iterator[Breach]:
    """Range stands on no two days running, in no two weeks either, and not beside other playing."""
    for (_, one, _), (_, other, _) in _running(case):
        if _heavy(case, one) and _heavy(case, other):
            yield Breach("heavy days", other.date, "range on two days running")
    for _, day, facts in case.days:
        if _heavy(case, day) and facts.no_range:
            yield Breach("heavy days", day.date, "range beside other playing or near a concert")


def _heavy(case: TermCase, day: TermDay) -> bool:
    found = (case.known.get(item.combination) for item in day.items)
    return any(one is not None and one.exercise.family == RANGE for one in found)


def concerts(case: TermCase) -> Iterator[Breach]:
    """Before a concert nothing new; on its day the warm-up only."""
    for _, day, facts in case.days:
        if facts.warm_up_only and day.items:
            yield Breach("concerts", day.date, "items on a day of the warm-up only")
        for item in day.items:
            if facts.nothing_new and item.state == "new":
                yield Breach("concerts", day.date, f"{item.combination} is new")


def scope(case: TermCase) -> Iterator[Breach]:
    """What is played has come in by its week, and lies inside the player's reach and every limit."""
    for _, day, item in case.items:
        one = case.known.get(item.combination)
        if one is None or one.part is None:
            continue
        if one.reason or one.week > curriculum_week(case.player, day.date):
            yield Breach(
                "scope", day.date, f"{item.combination} is not in scope ({one.reason or 'too early'})"
            )
        elif not one.allowed(case.facts[day.date]):
            yield Breach("limits", day.date, f"{item.combination} lies outside a limit")


def after(case: TermCase) -> Iterator[Breach]:
    """An exercise comes only after the exercises that lead to it have been met."""
    reach = {one.exercise.id for one in case.known.values() if one.part is not None and not one.reason}
    met = {case.known[name].exercise.id for name in case.last if name in case.known}
    for _, day, _ in case.days:
        for item in sorted(day.items, key=lambda each: each.at):
            one = case.known.get(item.combination)
            if one is None:
                continue
            lacking = (set(one.exercise.after) & reach) - met
            if lacking and one.exercise.id not in met:
                yield Breach("after", day.date, f"{one.exercise.id} before {', '.join(sorted(lacking))}")
            met.add(one.exercise.id)


def alternation(case: TermCase) -> Iterator[Breach]:
    """Articulations change with each return, over all the weeks."""
    heard = {name: rating.articulation for name, rating in case.last.items()}
    for _, day, item in sorted(case.items, key=lambda one: one[1].date):
        one = case.known.get(item.combination)
        if one is not None and len(one.articulations) > 1 and heard.get(one.id) == item.articulation:
            yield Breach("alternation", day.date, f"{one.id} is {item.articulation} twice running")
        heard[item.combination] = item.articulation


def monday_of(day: dt.date) -> dt.date:
    """The Monday of a date's week."""
    return day - dt.timedelta(days=day.weekday())
