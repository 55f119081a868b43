"""Ours realised as the planner itself does it: a week's problem, solved, then played day by day.

Conventions: the synthetic shelf has no music, so that the week is written down here as planner.plan.build
writes it (windows, pairs, touches, values, two days running), with items of equal length, no set-up and no
limit of load; a block may last the whole day. A week is the days from the one planned to its Sunday: the
planner plans again after every day with ratings. `REDUCED` is the work limit of the bulk, Limits() the full
one.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np

from planner.need.capacity import FREE_SHARE, IN_WORK_EVERY, PAIR_SPAN_WEEKS
from planner.need.targets import NEED_NOTCHES
from planner.need.weigh import AGAIN_SINCE, value_of
from planner.plan.build import TOUCHES_A_WEEK
from planner.plan.problem import (
    DAY_PAST,
    TURN,
    Candidate,
    Day,
    Exercise,
    Touch,
    Turns,
    WeekProblem,
    Window,
)
from planner.plan.solve.stages import Limits, Solved, solve_week
from planner.plan.windows import OTHER_WINDOW
from planner.simulate.catalogue import KEYS, LONGEST
from planner.simulate.learners import Array, Codes, Mask
from planner.simulate.policies import AS_BUILT, Ours
from planner.simulate.rules import PRACTICE_DAYS, Morning

ITEM_SECONDS = 300
REDUCED = Limits(nodes=0, whole_up_to=0, smaller_up_to=0, items=0.02, turns=0.02, value=0.05, evenness=0.01)
"""Work limits of the weeks that are solved by the dozen; the wall clock is out of reach."""


@dataclass(frozen=True, slots=True)
class Shelf:
    """One player's shelf on a morning: need in thousandths, practice days since the last turn, those in work.

    `ends` are days (0 today) on which spans end, which may lie before today or after the week.
    """

    need: Codes
    since: Codes
    in_work: Mask
    ends: Codes
    pair_ends: Codes


class OursSolved:
    """Ours as a week's problem for every player, anew every morning; make one for each run.

    `weekly`: on Mondays alone, which costs a sixth. `spread`: spans that end together are asked for earlier,
    so that no day has more of them than three quarters of its items (the planner itself does not do so).
    """

    def __init__(self, limits: Limits = REDUCED, *, weekly: bool = False, spread: bool = False) -> None:
        self.limits, self.weekly, self.spread = limits, weekly, spread
        self.ours = Ours(replace(AS_BUILT, chosen_every=7 if weekly else 1))
        self.plans: list[Turns] = []
        self.planned_on = -7

    def __call__(self, morning: Morning) -> Codes:
        """The day's items by the plan of the week; a short day is filled up with what rested longest."""
        if not self.weekly or morning.day // 7 != self.planned_on // 7:
            shelves = shelves_of(morning, self.ours)
            if self.spread:
                shelves = [replace(shelf, ends=spread_out(shelf.ends, morning)) for shelf in shelves]
            self.plans = [solve(shelf, morning, self.limits).turns for shelf in shelves]
            self.planned_on = morning.day
        score = -morning.last.astype(np.float64)
        for player, turns in enumerate(self.plans):
            score[player, [c for c, day in turns if day == morning.day - self.planned_on]] += 1e6
        score = np.where(morning.may_stand() | (score > 1e5), score, -1e18)
        return np.argsort(-score, axis=1, kind="stable")[:, : morning.items]


def solve(shelf: Shelf, morning: Morning, limits: Limits) -> Solved:
    """The week of one player, solved within these limits."""
    return solve_week(week_problem(shelf, morning), limits, lambda _: None)


def shelves_of(morning: Morning, ours: Ours) -> list[Shelf]:
    """What the week is made from, for each player."""
    wanted = np.clip((morning.sd - morning.mean) / NEED_NOTCHES, 0.0, 1.0)
    working = ours.working(morning, wanted)
    need, since = np.rint(1000 * wanted).astype(np.int64), morning.since()
    ends = morning.calendar.span_end(morning.last, morning.span_days) - morning.day
    pair_ends = morning.calendar.span_end(morning.met_pairs, 7 * PAIR_SPAN_WEEKS) - morning.day
    return [Shelf(*parts) for parts in zip(need, since, working, ends, pair_ends, strict=True)]


def spread_out(ends: Codes, morning: Morning) -> Codes:
    """Ends of spans (0 today), those beyond three quarters of a day's items moved forward."""
    room = math.floor((1 - FREE_SHARE) * morning.items)
    moved = ends.copy()
    day, taken = int(ends.max()), 0
    for combination in np.argsort(-ends, kind="stable"):
        if ends[combination] < day:
            day, taken = int(ends[combination]), 0
        while day > 0 and (taken >= room or not morning.calendar.practised(morning.day + day)):
            day, taken = day - 1, 0
        moved[combination] = day
        taken += 1
    return moved


def week_problem(shelf: Shelf, morning: Morning) -> WeekProblem:
    """One week of one player as whole numbers."""
    catalogue = morning.catalogue
    length = 7 - morning.day % 7
    days = [day for day in range(length) if morning.calendar.practised(morning.day + day)]
    exercises = [np.flatnonzero(catalogue.exercise == e) for e in np.unique(catalogue.exercise)]
    room = morning.items * ITEM_SECONDS
    return WeekProblem(
        days=tuple(Day(room if d in days else 0, 10**6, len(exercises), 0) for d in range(length)),
        two_days=(),
        exercises=tuple(
            Exercise(f"e{e}", "scales", False, 0, tuple(map(int, inside)), ())
            for e, inside in enumerate(exercises)
        ),
        candidates=tuple(_candidate(shelf, morning, c, days) for c in range(catalogue.size)),
        windows=(*_turn_windows(shelf, days, length), *_pair_windows(shelf, catalogue.pairs, length)),
        touches=tuple(_touches(np.concatenate([catalogue.keys, catalogue.positions], axis=1), len(days))),
        consecutive=tuple((day, day + 1) for day in range(length - 1)),
        block_seconds=room,
        pins=(),
        last=(),
    )


def _candidate(shelf: Shelf, morning: Morning, combination: int, days: list[int]) -> Candidate:
    need = int(shelf.need[combination])
    value = value_of(int(shelf.since[combination]), need)
    keys, positions = morning.catalogue.keys[combination], morning.catalogue.positions[combination]
    follow = bool(shelf.in_work[combination])
    first = 0 if follow or shelf.since[combination] >= 2 else 1
    return Candidate(
        id=f"c{combination}",
        exercise=int(morning.catalogue.exercise[combination]),
        seconds=ITEM_SECONDS,
        load=0,
        days=tuple(day for day in days if day >= first),
        value=value,
        value_again=min(value, value_of(AGAIN_SINCE, need)),
        need=need,
        may_follow=follow,
        positions=tuple(int(p) + 1 for p in np.flatnonzero(positions)),
        keys=tuple(int(k) for k in np.flatnonzero(keys)),
    )


def _turn_windows(shelf: Shelf, days: list[int], length: int) -> Iterator[Window]:
    for combination, in_work in enumerate(shelf.in_work):
        cost = TURN + int(shelf.need[combination])
        name, members = f"c{combination}", (combination,)
        if in_work:
            yield from _rhythm(name, members, int(shelf.since[combination]), days, cost)
        else:
            yield from _window("turn", name, members, int(shelf.ends[combination]), cost, length)


def _rhythm(name: str, members: tuple[int, ...], since: int, days: list[int], cost: int) -> Iterator[Window]:
    """Any three practice days running; those a multiple of three after the last turn cost most."""
    for number in range(len(days)):
        if since + number < IN_WORK_EVERY:
            continue
        inside = tuple(days[max(0, number - IN_WORK_EVERY + 1) : number + 1])
        on_grid = (since + number) % IN_WORK_EVERY == 0
        yield Window(
            "turn" if on_grid else "rhythm", name, members, inside, cost if on_grid else OTHER_WINDOW
        )


def _window(
    kind: str, name: str, members: tuple[int, ...], end: int, cost: int, length: int
) -> Iterator[Window]:
    if end >= length:
        return
    last = length - 1 if end < 0 else end
    yield Window(kind, name, members, tuple(range(last + 1)), cost + DAY_PAST * max(0, -end))
    for later in range(max(end, 0) + 1, length):
        yield Window("later", name, members, tuple(range(later + 1)), DAY_PAST)


def _pair_windows(shelf: Shelf, pairs: Array, length: int) -> Iterator[Window]:
    for pair, end in enumerate(shelf.pair_ends):
        members = np.flatnonzero(pairs[:, pair])
        cost = TURN + int(shelf.need[members].mean())
        yield from _window("pair", f"pair {pair}", tuple(map(int, members)), int(end), cost, length)


def _touches(touched: Array, days: int) -> Iterator[Touch]:
    least = max(1, TOUCHES_A_WEEK * days // PRACTICE_DAYS)
    for column in range(KEYS + LONGEST):
        members = tuple(map(int, np.flatnonzero(touched[:, column])))
        if members:
            yield Touch(f"touch {column}", members, least)
