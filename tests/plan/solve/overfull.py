"""Weeks that hold everything, and one cause planted in them: the clash is known without any solver.

Synthetic: a test of the explanation, not of music. What was in the week before asks for nothing on a single
day, so whatever clashes has to do with what was planted.
"""

from __future__ import annotations

import dataclasses
import random
from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

from plan.solve.weeks import week

from planner.plan.problem import Candidate, Exercise, PairOfDays, WeekProblem, Window
from planner.plan.solve.conflict import Clash
from planner.plan.solve.named import LIMITS, Named
from planner.plan.solve.repair import Repair

LOAD = 1250
DAYS = 6


@dataclass(frozen=True, slots=True)
class Planted:
    """A week with a known cause: the limits that clash, the wishes that may, and what must be told of them.

    `enough(chosen)`: whether these wishes and the limits cannot hold together, worked out from the planted
    numbers alone. `repairs`: kinds of repair that the cause allows; one of them at least must be found.
    """

    cause: str
    problem: WeekProblem
    limits: frozenset[Named]
    wishes: frozenset[Named]
    enough: Callable[[frozenset[Named]], bool]
    repairs: frozenset[str]


@cache
def calm(seed: int) -> WeekProblem:
    """A week with room to spare: nothing in it is asked for before Thursday, no family, no touch."""
    problem = week(30 + seed % 4 * 10, 0.35, seed, days=DAYS)
    windows = tuple(
        replace(w, days=tuple(range(DAYS))) for w in problem.windows if w.kind == "turn" and len(w.days) > 3
    )
    days = tuple(replace(day, families=0) for day in problem.days)
    return replace(problem, windows=windows, touches=(), days=days)


def planted(seed: int) -> Planted:
    """One cause in one calm week; causes take turns, numbers come from the seed."""
    dice = random.Random(f"cause {seed}")
    return CAUSES[seed % len(CAUSES)](dice, calm(seed // len(CAUSES) % 20))


class _Bed:
    """A week being planted: new exercises, candidates, windows and pins behind those that are there."""

    def __init__(self, dice: random.Random, problem: WeekProblem) -> None:
        self.dice, self.problem = dice, problem
        self.exercises, self.candidates = list(problem.exercises), list(problem.candidates)
        self.windows, self.pins = list(problem.windows), list(problem.pins)
        self.wishes: set[Named] = set()

    def exercise(
        self, members: int, *, heavy: bool = False, after: tuple[int, ...] = (), **facts: int
    ) -> list[int]:
        """A new exercise; the indices of its candidates. `facts` replace fields of every candidate."""
        first, index = len(self.candidates), len(self.exercises)
        own = tuple(range(first, first + members))
        setup = self.dice.choice((0, 10, 20, 30))
        self.exercises.append(
            Exercise(f"planted {index}", "range" if heavy else "etude", heavy, setup, own, after)
        )
        plain = Candidate(f"p{first}", index, 60, 500, tuple(range(DAYS)), 500, 100, 300, False, (1,), (0,))
        self.candidates += [dataclasses.replace(plain, id=f"p{c}", **facts) for c in own]
        return list(own)

    def on(self, candidate: int, *days: int) -> Named:
        """A turn of this candidate asked for on these days."""
        self.windows.append(Window("turn", f"p{candidate}", (candidate,), days, 1300))
        wish = Named("turn", len(self.windows) - 1)
        self.wishes.add(wish)
        return wish

    def pin(self, candidate: int, day: int) -> Named:
        """This candidate pinned to this day."""
        self.pins.append((candidate, day))
        wish = Named("pin", candidate, day)
        self.wishes.add(wish)
        return wish

    def of(self, wish: Named) -> Candidate:
        """The candidate that a wish is about."""
        index = wish.subject if wish.kind == "pin" else self.windows[wish.subject].candidates[0]
        return self.candidates[index]

    def done(
        self, cause: str, limits: set[Named], enough: Callable[[frozenset[Named]], bool], *repairs: str
    ) -> Planted:
        problem = replace(
            self.problem,
            exercises=tuple(self.exercises),
            candidates=tuple(self.candidates),
            windows=tuple(self.windows),
            pins=tuple(sorted(self.pins)),
        )
        return Planted(cause, problem, frozenset(limits), frozenset(self.wishes), enough, frozenset(repairs))

    def seconds(self, chosen: frozenset[Named]) -> int:
        """What these wishes take on one day, a set-up for each exercise."""
        of = [self.of(wish) for wish in chosen]
        return sum(c.seconds for c in of) + sum(
            self.exercises[e].setup_seconds for e in {c.exercise for c in of}
        )

    def load(self, chosen: frozenset[Named]) -> int:
        """The load of these wishes."""
        return sum(self.of(wish).load for wish in chosen)


def too_many_minutes(dice: random.Random, problem: WeekProblem) -> Planted:
    """Four or five exercises whose turns all end on one day, together longer than the day."""
    bed, day = _Bed(dice, problem), dice.randrange(DAYS)
    room = problem.days[day].seconds
    while bed.seconds(frozenset(bed.wishes)) <= room:
        for candidate in bed.exercise(4, seconds=dice.randint(90, 140), load=200):
            bed.on(candidate, day)
    return bed.done(
        "minutes", {Named("minutes", day)}, lambda w: bed.seconds(w) > room, "minutes", "span", "scope"
    )


def too_heavy_a_day(dice: random.Random, problem: WeekProblem) -> Planted:
    """A day whose turns have the time but not the lip."""
    bed, day = _Bed(dice, problem), dice.randrange(DAYS)
    room = problem.days[day].load
    while bed.load(frozenset(bed.wishes)) <= room:
        for candidate in bed.exercise(2, seconds=60, load=dice.randint(6000, 9000)):
            bed.on(candidate, day)
    bed.problem = replace(bed.problem, two_days=())
    return bed.done("load", {Named("load", day)}, lambda w: bed.load(w) > room, "minutes", "span", "scope")


def too_heavy_two_days(dice: random.Random, problem: WeekProblem) -> Planted:
    """Two days running, each within its own limit, together beyond nine tenths of both."""
    bed, first = _Bed(dice, problem), dice.randrange(DAYS - 1)
    limit = 20000
    pairs = tuple(PairOfDays(p.days, limit if p.days[0] == first else p.load) for p in problem.two_days)
    bed.problem = replace(problem, two_days=pairs)
    for day in (first, first + 1):
        for candidate in bed.exercise(2, seconds=60, load=dice.randint(5200, 6400)):
            bed.on(candidate, day)
    return bed.done(
        "two days", {Named("two days", first)}, lambda w: bed.load(w) > limit, "minutes", "span", "scope"
    )


def twice_running(dice: random.Random, problem: WeekProblem) -> Planted:
    """One combination that is kept up pinned to two days running."""
    bed, first = _Bed(dice, problem), dice.randrange(DAYS - 1)
    one = bed.exercise(3)[dice.randrange(3)]
    both = frozenset({bed.pin(one, first), bed.pin(one, first + 1)})
    return bed.done("running", {Named("running", one)}, lambda w: w == both, "pin")


def range_twice_running(dice: random.Random, problem: WeekProblem) -> Planted:
    """Range work asked for on two days running, of two exercises."""
    bed, first = _Bed(dice, problem), dice.randrange(DAYS - 1)
    wishes = []
    for day in (first, first + 1):
        one = bed.exercise(2, heavy=True)[0]
        wishes.append(bed.pin(one, day) if dice.random() < 0.5 else bed.on(one, day))
    both = frozenset(wishes)
    return bed.done("range", {Named("range", first)}, lambda w: w == both, "pin", "span", "scope")


def before_what_leads_to_it(dice: random.Random, problem: WeekProblem) -> Planted:
    """An exercise asked for on the first day, though another has to be met before it."""
    bed = _Bed(dice, problem)
    bed.exercise(2)
    one = bed.exercise(2, after=(len(bed.exercises) - 1,))[0]
    wish = frozenset({bed.pin(one, 0) if dice.random() < 0.5 else bed.on(one, 0)})
    order = {Named("order", len(bed.exercises) - 1)}
    return bed.done("order", order, lambda w: w == wish, "pin", "span", "scope")


def too_many_blocks(dice: random.Random, problem: WeekProblem) -> Planted:
    """More exercises on one day than it has blocks."""
    bed, day = _Bed(dice, problem), dice.randrange(DAYS)
    most = problem.days[day].blocks
    for _ in range(most + dice.randint(1, 3)):
        bed.on(bed.exercise(2, seconds=50)[0], day)
    return bed.done("blocks", {Named("blocks", day)}, lambda w: len(w) > most, "span", "scope")


def too_long_a_block(dice: random.Random, problem: WeekProblem) -> Planted:
    """Turns of one exercise on one day, longer than a block may be."""
    bed, day = _Bed(dice, problem), dice.randrange(DAYS)
    for candidate in bed.exercise(dice.randint(8, 10), seconds=dice.randint(95, 120), load=300):
        bed.on(candidate, day)
    block = Named("block length", len(bed.exercises) - 1, day)
    return bed.done(
        "block length", {block}, lambda w: bed.seconds(w) > problem.block_seconds, "span", "scope"
    )


def pinned_where_it_may_not_stand(dice: random.Random, problem: WeekProblem) -> Planted:
    """A pin on a day that is closed to this combination."""
    bed, day = _Bed(dice, problem), dice.randrange(DAYS)
    open_days = tuple(d for d in range(DAYS) if d != day)
    one = bed.exercise(2, days=open_days)[0]  # type: ignore[arg-type]
    wish = frozenset({bed.pin(one, day)})
    return bed.done("closed", {Named("closed", one, day)}, lambda w: w == wish, "pin")


def pins_longer_than_the_day(dice: random.Random, problem: WeekProblem) -> Planted:
    """Pins that take more than the minutes of their day."""
    bed, day = _Bed(dice, problem), dice.randrange(DAYS)
    room = problem.days[day].seconds
    while bed.seconds(frozenset(bed.wishes)) <= room:
        for candidate in bed.exercise(4, seconds=dice.randint(100, 160), load=200):
            bed.pin(candidate, day)
    return bed.done(
        "pinned minutes", {Named("minutes", day)}, lambda w: bed.seconds(w) > room, "pin", "minutes"
    )


CAUSES = (
    too_many_minutes, too_heavy_a_day, too_heavy_two_days, twice_running, range_twice_running,
    before_what_leads_to_it, too_many_blocks, too_long_a_block, pinned_where_it_may_not_stand,
    pins_longer_than_the_day,
)  # fmt: skip


def is_right(found: tuple[Named, ...], known: Planted) -> bool:
    """The limits are the known ones; the wishes are planted, are enough, and none could be spared."""
    limits = {rule for rule in found if rule.kind in LIMITS}
    wishes = frozenset(rule for rule in found if rule.kind not in LIMITS)
    return (
        limits == known.limits
        and wishes <= known.wishes
        and known.enough(wishes)
        and not any(known.enough(wishes - {one}) for one in wishes)
    )


def mended(problem: WeekProblem, clash: Clash, repair: Repair) -> WeekProblem:
    """The week with the repair made, written without any of the code that found it."""
    more = dict(repair.minutes)
    days = tuple(
        replace(day, seconds=day.seconds + 60 * more.get(n, 0), load=day.load + LOAD * more.get(n, 0))
        for n, day in enumerate(problem.days)
    )
    pairs = tuple(
        replace(p, load=p.load + 9 * LOAD // 10 * sum(more.get(d, 0) for d in p.days))
        for p in problem.two_days
    )
    pins, windows = list(problem.pins), list(problem.windows)
    if repair.kind == "pin":
        moved = [(problem.pins[n][0], repair.day) for n in repair.what if repair.day >= 0]
        pins = [pin for n, pin in enumerate(pins) if n not in repair.what] + moved
    if repair.kind == "span":
        windows = [
            replace(w, days=tuple(range(DAYS))) if n in repair.what else w for n, w in enumerate(windows)
        ]
    if repair.kind == "scope":
        windows = [w for w in windows if not set(w.candidates) <= set(repair.what)]
    return replace(problem, days=days, two_days=pairs, pins=tuple(sorted(pins)), windows=tuple(windows))
