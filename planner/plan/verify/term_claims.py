"""What a term claims: its calendar, first turns, spans over all its weeks, its certificate.

Readings: what waited already when the term begins is to be met by the Sunday of its first week; a week
without practice moves what is new in it to the first week with practice after it.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator

from planner.plan.term.termplan import TermCombination, TermWeek
from planner.plan.verify.breach import Breach
from planner.plan.verify.repertoire import Combination, curriculum_week
from planner.plan.verify.term_case import WEEK, TermCase
from planner.plan.verify.term_days import monday_of

BEHIND = 1000
BROKEN = 500
MOST_SPAN = 52


def calendar(case: TermCase) -> Iterator[Breach]:
    """The weeks run from Monday to Sunday without a gap, each with its number and its ISO week."""
    term, day = case.term, case.term.first_day
    for week in term.weeks:
        sunday = monday_of(day) + dt.timedelta(days=WEEK - 1)
        year, number, _ = day.isocalendar()
        for name, found, right in (
            ("first_day", week.first_day, day),
            ("last_day", week.last_day, sunday),
            ("week", week.week, curriculum_week(case.player, day)),
            ("iso_week", week.iso_week, f"{year}-W{number:02}"),
            ("practice_days", week.practice_days, sum(case.facts[d.date].practice for d in week.days)),
        ):
            if found != right:
                yield Breach("calendar", day, f"{name} is {found}, should be {right}")
        day = sunday + dt.timedelta(days=1)
    ends = case.player.starts + dt.timedelta(weeks=case.curriculum.weeks) - dt.timedelta(days=1)
    if term.last_day != ends or term.last_day != day - dt.timedelta(days=1):
        yield Breach("calendar", None, f"the term ends on {term.last_day}, should end on {ends}")


def weeks(case: TermCase) -> Iterator[Breach]:
    """What a week calls new and returning is what stands in its days, and it holds all it was promised."""
    met = set(case.last)
    for week in case.term.weeks:
        inside = {item.combination for day in week.days for item in day.items}
        for name, found, right in (
            ("new", set(week.new), inside - met),
            ("returning", set(week.returning), inside & met),
            ("left", set(week.left), set(week.promised) - inside),
            ("seconds_used", week.seconds_used, sum(day.seconds_used for day in week.days)),
            ("seconds_free", week.seconds_free, sum(day.seconds_free for day in week.days)),
        ):
            if found != right:
                yield Breach("weeks", week.first_day, f"{name} is not what the days make")
        yield from _states(week, met)
        met |= inside


def _states(week: TermWeek, met: set[str]) -> Iterator[Breach]:
    """New is what was never met before the week; in work what the week names."""
    for day in week.days:
        for item in day.items:
            right = "new" if item.combination not in met else _known_state(week, item.combination)
            if item.state != right:
                yield Breach("states", day.date, f"{item.combination} is {item.state}, should be {right}")


def _known_state(week: TermWeek, name: str) -> str:
    return "in work" if name in week.in_work else "kept up"


def combinations(case: TermCase) -> Iterator[Breach]:
    """Every combination in reach is told of once: its first turn, its waits, what is behind or over."""
    told = {one.combination: one for one in case.term.combinations}
    within = {one.id: one for one in case.known.values() if _within(case, one)}
    if set(told) != set(within) or len(told) != len(case.term.combinations):
        yield Breach("combinations", None, f"{len(told)} are told of, {len(within)} are in reach")
        return
    for name, one in within.items():
        for what, found, right in _facts(case, one, told[name]):
            if found != right:
                yield Breach("combinations", None, f"{name} {what} is {found}, should be {right}")


def _within(case: TermCase, one: Combination) -> bool:
    """In reach and coming in by the end, limits of single weeks aside."""
    return one.part is not None and not one.reason and one.week <= case.curriculum.weeks


def _facts(case: TermCase, one: Combination, told: TermCombination) -> Iterator[tuple[str, object, object]]:
    turns, before = case.turns.get(one.id, ()), case.last.get(one.id)
    waits = case.waits(one.id)
    span = WEEK * case.term.span_weeks
    yield "week", told.week, one.week
    yield "turns", told.turns, turns
    yield "met_before", told.met_before, before.day if before else None
    yield "first_met", told.first_met, turns[0] if turns and not before else None
    yield "meet_by", told.meet_by, None if before else meet_by(case, one)
    yield "longest_wait_days", told.longest_wait_days, max(waits, default=0)
    over = sum(math.ceil(max(0, wait - span) / WEEK) for wait in waits)
    yield "weeks_over_span", told.weeks_over_span, over
    yield "weeks_behind", told.weeks_behind, 0 if before else _behind(case, one, turns)


def meet_by(case: TermCase, one: Combination) -> dt.date:
    """The Sunday by which a combination is to be met."""
    monday = max(case.player.starts + dt.timedelta(weeks=one.week - 1), monday_of(case.term.first_day))
    sundays = [w.last_day for w in case.term.weeks if w.practice_days and w.last_day >= monday]
    return sundays[0] if sundays else case.term.last_day


def _behind(case: TermCase, one: Combination, turns: tuple[dt.date, ...]) -> int:
    met = monday_of(turns[0]) if turns else case.term.last_day + dt.timedelta(days=1)
    return max(0, (met - monday_of(meet_by(case, one))).days // WEEK)


def certificate(case: TermCase) -> Iterator[Breach]:
    """The certificate counts what the days show, and claims no more."""
    claim, told = case.term.certificate, case.term.combinations
    to_meet = [one for one in told if one.met_before is None]
    spans = [one for one in told if one.met_before or one.first_met]
    in_time = sum(1 for one in to_meet if not one.weeks_behind)
    held = sum(1 for one in spans if not one.weeks_over_span)
    least = sum(BEHIND * one.weeks_behind + BROKEN * one.weeks_over_span for one in told)
    for name, found, right in (
        ("to_meet", claim.to_meet, len(to_meet)),
        ("met_by_week", claim.met_by_week, in_time),
        ("met", claim.met, sum(1 for one in to_meet if one.first_met)),
        ("spans", claim.spans, len(spans)),
        ("spans_held", claim.spans_held, held),
        ("days_over_minutes", claim.days_over_minutes, 0),
        ("days_over_load", claim.days_over_load, 0),
        ("fits", claim.fits, in_time == len(to_meet) and held == len(spans)),
        ("weeks_laid_out", claim.weeks_laid_out, sum(not week.left for week in case.term.weeks)),
        ("weeks_checked", claim.weeks_checked, len(case.term.weeks)),
    ):
        if found != right:
            yield Breach("certificate", None, f"{name} is {found}, should be {right}")
    if claim.cost < least:
        yield Breach(
            "certificate", None, f"cost {claim.cost} is less than the {least} of what is behind or over"
        )
    if not 1 <= case.term.span_weeks <= MOST_SPAN:
        yield Breach("certificate", None, f"a span of {case.term.span_weeks} weeks")


def head(case: TermCase) -> Iterator[Breach]:
    """The head names the player, the instrument, the curriculum."""
    term, player, curriculum = case.term, case.player, case.curriculum
    for name, found, right in (
        ("player", term.player, player.id),
        ("instrument", term.instrument, player.instrument),
        ("curriculum", term.curriculum, curriculum.id),
        ("curriculum_weeks", term.curriculum_weeks, curriculum.weeks),
        ("starts", term.starts, player.starts),
    ):
        if found != right:
            yield Breach("head", None, f"{name} is {found}, should be {right}")
