"""Whether a term still ends with everything met: a plan of first meetings, or a proof that there is none.

Every week that is left gets a constructive plan of the combinations not met yet, with every hard rule of its
days (minutes, load, blocks, prerequisites, concerts, limits, the way back after a break): where all of them
find a day, that plan is the proof. Where not, the minutes and the load of the days are added up against what
the unmet ones take at the least: where that is too much, no plan exists. Between the two nothing is proven.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from fractions import Fraction

from planner.diary.rating import Rating
from planner.horizon.sentences import counted
from planner.inputs.curriculum import Curriculum
from planner.inputs.player import Player
from planner.need.capacity import Capacity
from planner.need.clean_tempo import Estimates, estimate
from planner.need.combinations import Combination, Scope, scope, week_sunday
from planner.need.days import DayFacts, week_facts
from planner.need.easing import steps
from planner.need.parts import DEFAULT, Scales
from planner.need.targets import Take, lowered, take_of
from planner.need.turns import articulations_in_turn
from planner.need.weigh import MOST_NEW_IN_TWO_GOES, NEVER_MET_SINCE, Wish, value_of
from planner.plan.build import DayBefore, Week, week_problem
from planner.plan.problem import WeekProblem
from planner.plan.solve.draft import draft

NOTHING_ELSE = Capacity(0, 0, 4, (), 0, 0, fits=True, sentence="", proof="")


@dataclass(frozen=True, slots=True)
class OutlookWeek:
    """One week: its first day, how many wait for their first turn at its beginning and how many get it.

    `seconds` of the `room` its days leave for blocks go into first meetings.
    """

    first_day: date
    waiting: int
    met: int
    seconds: int
    room: int


@dataclass(frozen=True, slots=True)
class Outlook:
    """How a term ends. `met_on`: the day of each first meeting; `left`: ids that find none.

    `proof` is "met" (everything is met, the plan shows it), "impossible" (no plan meets everything) or
    "open"; `sentence` says it with its numbers.
    """

    last_day: date
    unmet: int
    met_on: Mapping[str, date]
    left: tuple[str, ...]
    weeks: tuple[OutlookWeek, ...]
    proof: str
    sentence: str


@dataclass(frozen=True, slots=True)
class Term:
    """What is left of a term: who, what, from which day to which, and what was met before."""

    curriculum: Curriculum
    player: Player
    ratings: tuple[Rating, ...]
    today: date
    last_day: date
    estimates: Estimates
    shelf: Scope

    @property
    def unmet(self) -> tuple[Combination, ...]:
        """What is within reach by the last day and has no rating, in the order of the curriculum."""
        met = {rating.combination for rating in self.ratings}
        return tuple(one for one in self.shelf.playable if one.id not in met)

    @property
    def barred(self) -> tuple[Combination, ...]:
        """What only a limit keeps out, on every day that is left, and that was not met before it."""
        met = {rating.combination for rating in self.ratings}
        return tuple(one for one in self.shelf.limited if one.id not in met)


def term_of(
    curriculum: Curriculum,
    player: Player,
    ratings: Iterable[Rating],
    today: date,
    scales: Scales = DEFAULT,
) -> Term | None:
    """What is left of the player's term from `today` on; None where it is over."""
    last_day = week_sunday(player, curriculum.weeks)
    if last_day < today:
        return None
    known = tuple(rating for rating in ratings if rating.day < today)
    shelf = scope(curriculum, player, today, last_day)
    estimates = estimate(shelf.written, known, today, player, scales)
    return Term(curriculum, player, known, today, last_day, estimates, shelf)


def outlook(term: Term) -> Outlook:
    """How the term ends."""
    meeting = _Meetings(term, term.unmet)
    weeks = tuple(meeting.week(first, last) for first, last in _weeks(term.today, term.last_day))
    left = tuple(one.id for one in (*meeting.waiting, *term.barred))
    proof, sentence = _proof(term, meeting, weeks)
    if term.barred:
        within = f"the others: {sentence}" if term.unmet else "everything else has been met already"
        count = len(term.barred)
        stay = f"{counted(count, 'combination')} {'stays' if count == 1 else 'stay'}"
        proof, sentence = "impossible", f"{stay} outside a limit on every day that is left; {within}"
    unmet = len(term.unmet) + len(term.barred)
    return Outlook(term.last_day, unmet, meeting.met_on, left, weeks, proof, sentence)


class _Meetings:
    """First meetings, week by week: what waits, what was met when."""

    def __init__(self, term: Term, unmet: Sequence[Combination]) -> None:
        self.term, self.waiting = term, list(unmet)
        self.met_on: dict[str, date] = {}
        names = [one.id for one in term.shelf.playable]
        met = {rating.combination for rating in term.ratings}
        self.exercises_met = {name.split("/")[0] for name in names if name in met}
        self.within = {one.exercise.id for one in term.shelf.playable}
        self.takes = {one.id: self._takes(one) for one in unmet}

    def week(self, first: date, last: date) -> OutlookWeek:
        """Place as many first meetings as the days from `first` to `last` hold."""
        ready = [
            one
            for one in self.waiting
            if week_sunday(self.term.player, one.intro_week) - timedelta(6) <= last
        ]
        days = week_facts(self.term.player, first, last)
        if not ready:
            return OutlookWeek(first, 0, 0, 0, sum(day.available_seconds for day in days))
        week = self._week(days, ready)
        problem = _first_meetings_alone(week_problem(week))
        turns = draft(problem)
        for candidate, index in sorted(turns, key=lambda turn: (turn[1], turn[0])):
            self.met_on.setdefault(ready[candidate].id, days[index].date)
        self.waiting = [one for one in self.waiting if one.id not in self.met_on]
        self.exercises_met |= {name.split("/")[0] for name in self.met_on}
        first_turns = dict(sorted(turns, reverse=True))
        used = sum(problem.candidates[c].seconds_on(problem.days[day]) for c, day in first_turns.items())
        room = sum(day.available_seconds for day in days)
        return OutlookWeek(first, len(ready), len({c for c, _ in turns}), used, room)

    def _takes(self, one: Combination) -> tuple[Take, ...]:
        estimates, player = self.term.estimates, self.term.player
        order = articulations_in_turn(one, None, player)
        return tuple(take_of(one, word, estimates.at(one.id, word), player, cautious=True) for word in order)

    def _slow(self, one: Combination, takes: Sequence[Take]) -> tuple[Take, ...]:
        back = next(step for step in steps(self.term.player).values() if step.first)
        return tuple(lowered(one, take, self.term.player, back.easing.notches) for take in takes)

    def _week(self, days: tuple[DayFacts, ...], ready: Sequence[Combination]) -> Week:
        return Week(
            player=self.term.player,
            wishes=tuple(self._wish(one, days, len(ready)) for one in ready),
            pairs=(),
            capacity=NOTHING_ELSE,
            days=days,
            before=DayBefore(
                days[0].date - timedelta(days=1), Fraction(0), heavy=False, combinations=frozenset()
            ),
            last_turns=frozenset(),
            pins=frozenset(),
            seed=0,
        )

    def _wish(self, one: Combination, days: Sequence[DayFacts], new: int) -> Wish:
        takes = self.takes[one.id]
        needed = one.exercise.after if one.exercise.id not in self.exercises_met else ()
        return Wish(
            combination=one,
            state="new",
            need=takes[0].need,
            # The last to come in is met first only where there is room: what waits longest asks for most.
            turn_by=week_sunday(self.term.player, one.intro_week),
            wanted=True,
            last_played=None,
            since=NEVER_MET_SINCE,
            value=value_of(NEVER_MET_SINCE, takes[0].need),
            value_again=0,
            takes=takes,
            slow_takes=self._slow(one, takes) if any(day.slow for day in days) else (),
            goes=2 if new <= MOST_NEW_IN_TWO_GOES else 1,
            waits_for=tuple(name for name in needed if name in self.within - self.exercises_met),
            reasons=(),
        )


def _first_meetings_alone(problem: WeekProblem) -> WeekProblem:
    """The week without what would ask for a second turn: families and touches are no part of the proof."""
    return replace(problem, touches=(), days=tuple(replace(day, families=0) for day in problem.days))


def _weeks(today: date, last_day: date) -> Iterable[tuple[date, date]]:
    first = today
    while first <= last_day:
        sunday = first + timedelta(days=6 - first.weekday())
        yield first, min(sunday, last_day)
        first = sunday + timedelta(days=1)


def _proof(term: Term, meeting: _Meetings, weeks: Sequence[OutlookWeek]) -> tuple[str, str]:
    """What is proven, and the sentence that says it with its numbers."""
    unmet, left = len(term.unmet), len(meeting.waiting)
    end = term.last_day.isoformat()
    if not unmet:
        return "met", f"everything of the term until {end} has been met already"
    if not left:
        last = max(meeting.met_on.values())
        fullest = max(weeks, key=lambda week: Fraction(week.seconds, max(1, week.room)))
        share = round(100 * fullest.seconds / max(1, fullest.room))
        return "met", (
            f"all {unmet} combinations not met yet find a day by {last.isoformat()}, every rule of the days "
            f"kept; their first turns take at most {share} % of a week's minutes "
            f"(week of {fullest.first_day.isoformat()})"
        )
    lacking = _lacking(term, meeting)
    if lacking:
        return "impossible", lacking
    return "open", (
        f"{left} of {unmet} combinations find no day by {end} in the plan that was tried; "
        "that none could is not proven"
    )


def _lacking(term: Term, meeting: _Meetings) -> str:
    """The first stretch to the term's end whose days hold less than its combinations take; "" for none."""
    unmet = term.unmet
    for first, _ in _weeks(term.today, term.last_day):
        still = [one for one in unmet if week_sunday(term.player, one.intro_week) - timedelta(6) >= first]
        inside = unmet if first == term.today else still
        days = [day for day in week_facts(term.player, first, term.last_day) if day.allows_new]
        needed = sum(min(take.seconds for take in meeting.takes[one.id]) for one in inside)
        room = sum(day.available_seconds for day in days)
        if needed > room:
            return _too_much(len(inside), "minutes", needed / 60, room / 60, first)
        load = sum((min(take.load for take in meeting.takes[one.id]) for one in inside), Fraction(0))
        carried = sum((day.load_room for day in days), Fraction(0))
        if load > carried:
            return _too_much(len(inside), "of load", float(load), float(carried), first)
    return ""


def _too_much(count: int, unit: str, needed: float, room: float, first: date) -> str:
    return (
        f"{count} combinations take at least {needed:.0f} {unit}, "
        f"the days from {first.isoformat()} on hold {room:.0f}: no plan meets them all"
    )
