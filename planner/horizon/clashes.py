"""Why a week cannot have everything, and what would help: each way out is planned again before it is named.

A way out is a change that the player can make: minutes of a day, blocks a day, a longer span, an exercise
left out, a pin elsewhere. The week is made anew from the changed files and has to hold what clashed.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from planner.errors import DoesNotFit
from planner.horizon.week import Request, week_of
from planner.inputs.player import Player, SpecialDate
from planner.need.days import SHORT_DAY_MINUTES
from planner.plan.build import Week, week_problem
from planner.plan.problem import WeekProblem
from planner.plan.solve.conflict import Clash, clash_of, further_clashes, rules_of
from planner.plan.solve.effort import Effort
from planner.plan.solve.feasible import Question
from planner.plan.solve.named import LIMITS, Named, NamedWeek, named_week
from planner.plan.solve.repair import Repair, repairs_of
from planner.plan.stop import Stop

MORE_MINUTES = (0, 5, 15)
"""Minutes beyond the fewest that are tried: with more minutes the week may also ask for more."""

LONGER_SPANS = (1, 3, 6)
MOST_EXERCISES_LEFT_OUT = 3
MOST_FURTHER = 2
"""Clashes beside the first that are looked for."""

FIRST_WORK, FURTHER_WORK = 20.0, 10.0
"""Limits of the search, see `Effort`: for the first clash and its smallest set, and for the others."""

USUAL_LOAD = 1250
THEN = {True: "then all of it can be had", False: "then these can be had; others may still clash"}
"""What a way out brings, by whether everything holds with it."""


@dataclass(frozen=True, slots=True)
class Way:
    """A way out that was tried. `whole`: everything of the step holds then, not only what clashed.

    `minutes`: day and its new minutes. `weeks`: the new span. `exercises` left out, `combinations` set aside.
    `pins`: (combination, day, new day or None). `count`: blocks a day, or minutes a block. kind: "minutes",
    "blocks", "longer blocks", "span", "scope", "aside", "pin", "rule".
    """

    kind: str
    whole: bool
    minutes: tuple[tuple[date, int], ...] = ()
    weeks: int = 0
    exercises: tuple[str, ...] = ()
    combinations: tuple[str, ...] = ()
    pins: tuple[tuple[str, date, date | None], ...] = ()
    rule: Named | None = None
    count: int = 0


class Search:
    """How far a clash is looked into: limits in counted work, Ctrl-C, and a word on what is going on."""

    def __init__(self, stop: Stop | None = None, said: Callable[[str], None] = lambda _: None) -> None:
        self.stop, self.said = stop, said
        self.first, self.others = Effort(FIRST_WORK, stop), Effort(FURTHER_WORK, stop)

    @property
    def ended(self) -> str:
        """What cut the search short: "Ctrl-C", "work", or "" where it went to its end."""
        if self.stop is not None and self.stop.asked:
            return "Ctrl-C"
        return "work" if self.first.was_cut or self.others.was_cut else ""


@dataclass(frozen=True, slots=True)
class Explained:
    """A clash of a week, the fewest more minutes that would do (by day), the ways out that were tried."""

    week: Week
    problem: WeekProblem
    clash: Clash
    needs: tuple[tuple[date, int], ...]
    needs_whole: bool
    ways: tuple[Way, ...]


def explain(
    request: Request, steps: Sequence[str] = ("pins", "turns", "timely"), search: Search | None = None
) -> Explained | None:
    """The first clash of the week with ways out; None where everything can be had, or nothing is proven.

    Raises DoesNotFit where fixed music has no room.
    """
    search = search or Search()
    search.said("reading the week")
    week, _ = week_of(request)
    problem = week_problem(week)
    search.said("looking for what clashes")
    clash = clash_of(problem, steps, effort=search.first)
    if clash is None:
        return None
    search.said("trying what would help")
    repairs = repairs_of(problem, clash, _loads(week), search.stop)
    needs: tuple[tuple[date, int], ...] = ()
    for repair in repairs:
        if repair.kind == "minutes" and repair.least:
            needs = _minutes(week, repair, 0)
            ways = _ways(request, week, clash, repairs, search.stop)
            return Explained(week, problem, clash, needs, repair.whole, ways)
    return Explained(week, problem, clash, needs, False, _ways(request, week, clash, repairs, search.stop))


def further(found: Explained, most: int = MOST_FURTHER, search: Search | None = None) -> Iterator[Explained]:
    """Other clashes of the same step that share no wish with the first, without ways out."""
    search = search or Search()
    search.said("looking for other clashes")
    for clash in further_clashes(found.problem, found.clash, most, search.others):
        yield Explained(found.week, found.problem, clash, (), False, ())


def _loads(week: Week) -> list[int]:
    """Load in thousandths that a minute more carries, by day."""
    return [
        int(1000 * (facts.load_limit - facts.playing_load) / facts.free_minutes)
        if facts.free_minutes
        else USUAL_LOAD
        for facts in week.days
    ]


def _ways(
    request: Request, week: Week, clash: Clash, repairs: Sequence[Repair], stop: Stop | None
) -> tuple[Way, ...]:
    trial = _Trial(request, week, clash)
    found: list[Way] = []
    for tries in (trial.settings(), *(trial.ways(repair) for repair in repairs)):
        if stop is not None and stop.asked:
            break
        found += tries
    return tuple(found)


def key_of(named: NamedWeek, rule: Named) -> tuple[object, ...]:
    """What a rule is about, in words that mean the same in another making of the same week."""
    problem = named.problem
    if rule.kind == "pin":
        return (rule.kind, problem.candidates[rule.subject].id, rule.day)
    if rule.kind == "touch":
        return (rule.kind, problem.touches[rule.subject].name)
    if rule.kind in ("family", *LIMITS):
        return (rule.kind, rule.subject, rule.day)
    if rule.kind == "block size":
        return (rule.kind, problem.exercises[rule.subject].id, rule.day)
    return (rule.kind, problem.windows[rule.subject].name)


class _Trial:
    """One clash whose ways out are tried: the week is made again from what was changed."""

    def __init__(self, request: Request, week: Week, clash: Clash) -> None:
        self.request, self.week, self.clash = request, week, clash
        named = named_week(week_problem(week))
        self.wishes = {key_of(named, rule) for rule in clash.wishes}
        self.problem = named.problem

    def ways(self, repair: Repair) -> Iterator[Way]:
        """The repair of the numbers as changes of the files, where these hold what clashed."""
        found = {
            "minutes": self._more_minutes,
            "span": self._longer_span,
            "scope": self._left_out,
            "pin": self._other_pins,
            "rule": self._rule,
        }[repair.kind](repair)
        if found is not None:
            yield found

    def settings(self) -> Iterator[Way]:
        """More blocks a day, longer blocks, a short day made an ordinary one, where these were the limits."""
        player, limits = self.request.player, self.clash.limits
        full = [self.week.days[rule.subject] for rule in limits if rule.kind == "blocks"]
        short = tuple((d.date, SHORT_DAY_MINUTES) for d in full if d.practice and d.most_blocks == 1)
        if short:
            found = self.holds(replace(self.request, player=_with_minutes(player, short)))
            yield from [] if found is None else [Way("minutes", found, minutes=short)]
        if len(full) > len(short):
            more = [player.blocks_a_day + n for n in (1, 2, 4)]
            yield from self._first("blocks", {n: replace(player, blocks_a_day=n) for n in more})
        if any(rule.kind == "block length" for rule in limits):
            longer = [player.minutes_a_block + n for n in (3, 6, 12)]
            yield from self._first("longer blocks", {n: replace(player, minutes_a_block=n) for n in longer})

    def _first(self, kind: str, players: Mapping[int, Player]) -> Iterator[Way]:
        for count, player in players.items():
            found = self.holds(replace(self.request, player=player))
            if found is not None:
                yield Way(kind, found, count=count)
                return

    def holds(self, request: Request, pins: frozenset[tuple[str, date]] | None = None) -> bool | None:
        """Planned again: True: all of the step holds. False: only what clashed. None: not even that."""
        try:
            week, _ = week_of(request)
        except DoesNotFit:
            return None
        problem = week_problem(replace(week, pins=self.week.pins if pins is None else pins))
        named = named_week(problem)
        question, rules = Question(named), rules_of(named, self.clash.step)
        if question.ask(rules).turns is not None:
            return True
        few = [r for r in rules if r.kind in LIMITS or r.kind == "pin" or key_of(named, r) in self.wishes]
        return False if question.ask(few).turns is not None else None

    def _more_minutes(self, repair: Repair) -> Way | None:
        for more in MORE_MINUTES:
            minutes = _minutes(self.week, repair, more)
            found = self.holds(replace(self.request, player=_with_minutes(self.request.player, minutes)))
            if found is not None:
                return Way("minutes", found, minutes=minutes)
        return None

    def _longer_span(self, repair: Repair) -> Way | None:
        """Only what is kept up has a span of weeks."""
        granted = self.week.capacity.granted_span_days // 7
        kept = {wish.id for wish in self.week.wishes if wish.state == "kept up"}
        if not kept & {self.problem.windows[number].name for number in repair.what}:
            return None
        for more in LONGER_SPANS:
            player = replace(self.request.player, spans={"kept_up_weeks": granted + more})
            found = self.holds(replace(self.request, player=player))
            if found is not None:
                return Way("span", found, weeks=granted + more)
        return None

    def _left_out(self, repair: Repair) -> Way | None:
        """Whole exercises left out of the week, those with most of what is set aside first."""
        names = [self.problem.candidates[c].id for c in repair.what]
        of = [self.problem.exercises[self.problem.candidates[c].exercise].id for c in repair.what]
        order = sorted(set(of), key=lambda name: (-of.count(name), name))
        for count in range(1, min(len(order), MOST_EXERCISES_LEFT_OUT) + 1):
            gone = tuple(order[:count])
            left = tuple(e for e in self.request.curriculum.exercises if e.id not in gone)
            curriculum = replace(self.request.curriculum, exercises=left)
            found = self.holds(replace(self.request, curriculum=curriculum)) if left else None
            if found is not None:
                return Way("scope", found, exercises=gone)
        return Way("aside", repair.whole, combinations=tuple(names))

    def _other_pins(self, repair: Repair) -> Way | None:
        moved = [self.problem.pins[number] for number in repair.what]
        first = self.week.first_day
        new = first + timedelta(days=repair.day) if repair.day >= 0 else None
        changes = tuple((self.problem.candidates[c].id, first + timedelta(days=d), new) for c, d in moved)
        pins = self.week.pins - {(name, day) for name, day, _ in changes}
        if new is not None:
            pins |= {(name, new) for name, _, _ in changes}
        found = self.holds(self.request, pins)
        return None if found is None else Way("pin", found, pins=changes)

    def _rule(self, repair: Repair) -> Way | None:
        return Way("rule", repair.whole, rule=self.clash.rules[repair.what[0]])


def _minutes(week: Week, repair: Repair, more: int) -> tuple[tuple[date, int], ...]:
    """The new minutes of each day of the repair."""
    return tuple(
        (week.days[day].date, week.days[day].free_minutes + extra + more) for day, extra in repair.minutes
    )


def _with_minutes(player: Player, minutes: Sequence[tuple[date, int]]) -> Player:
    """The player with these minutes on these days, whatever the weekday says."""
    days = {day for day, _ in minutes}
    kept = [one for one in player.dates if not (one.kind == "short" and one.first == one.last in days)]
    return replace(
        player, dates=(*kept, *(SpecialDate("short", day, day, "", free) for day, free in minutes))
    )
