"""A first plan by hand: the most saved for each second, one turn at a time, every hard rule kept.

It needs no solver, takes milliseconds, and is what is shown when nothing better is found in time.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from heapq import heapify, heappop, heappush

from planner.plan.problem import (
    MISSING_FAMILY,
    MISSING_TOUCH,
    SINGLE_COMBINATION_BLOCK,
    Turns,
    WeekProblem,
)

LEAST_SHARE = 0.3  # a smaller fraction says little about where the item belongs
Entry = tuple[float, int, int, int]


class Draft:
    """A plan that grows; `fits` keeps every hard rule, `saved` says what a turn is worth now."""

    def __init__(self, problem: WeekProblem) -> None:
        self.problem = problem
        self.turns: set[tuple[int, int]] = set()
        self.seconds = [0] * len(problem.days)
        self.load = [0] * len(problem.days)
        self.blocks: dict[tuple[int, int], int] = {}
        self.block_seconds: dict[tuple[int, int], int] = {}
        self.blocks_on = [0] * len(problem.days)
        self.shown: list[set[str]] = [set() for _ in problem.days]
        self.played: set[int] = set()
        self._window_gains()
        self._touch_gains()

    def _window_gains(self) -> None:
        """What the open windows of every turn cost together, and the windows of every candidate."""
        self.windows_of: dict[int, list[int]] = {}
        self.gain: dict[tuple[int, int], int] = {}
        self.taken: set[int] = set()
        gain = self.gain
        for index, window in enumerate(self.problem.windows):
            days, cost = window.days, window.cost
            for candidate in window.candidates:
                self.windows_of.setdefault(candidate, []).append(index)
                for day in days:
                    gain[candidate, day] = gain.get((candidate, day), 0) + cost

    def _touch_gains(self) -> None:
        """What the touches that are still wanted are worth to every candidate."""
        self.touch_count = [0] * len(self.problem.touches)
        self.touches_of: dict[int, list[int]] = {}
        self.touch_gain = [0] * len(self.problem.candidates)
        for index, touch in enumerate(self.problem.touches):
            for candidate in touch.candidates:
                self.touches_of.setdefault(candidate, []).append(index)
                self.touch_gain[candidate] += MISSING_TOUCH if touch.least > 0 else 0

    def fits(self, candidate: int, day: int) -> bool:
        """Whether this turn keeps every hard rule."""
        wish = self.problem.candidates[candidate]
        return (
            (candidate, day) not in self.turns
            and self._room(candidate, day)
            and self._load_fits(day, wish.load_on(self.problem.days[day]))
            and self._neighbours_fit(candidate, day)
            and self._in_order(candidate, day)
        )

    def _room(self, candidate: int, day: int) -> bool:
        wish, room = self.problem.candidates[candidate], self.problem.days[day]
        exercise = self.problem.exercises[wish.exercise]
        key = (wish.exercise, day)
        opening = key not in self.blocks
        if opening and self.blocks_on[day] >= room.blocks:
            return False
        setup = exercise.setup_seconds if opening else 0
        seconds = wish.seconds_on(room)
        in_block = self.block_seconds.get(key, exercise.setup_seconds) + seconds
        return self.seconds[day] + seconds + setup <= room.seconds and in_block <= self.problem.block_seconds

    def _load_fits(self, day: int, load: int) -> bool:
        if self.load[day] + load > self.problem.days[day].load:
            return False
        return all(
            sum(self.load[d] for d in pair.days) + load <= pair.load
            for pair in self.problem.two_days
            if day in pair.days
        )

    def _neighbours_fit(self, candidate: int, day: int) -> bool:
        wish = self.problem.candidates[candidate]
        heavy = self.problem.exercises[wish.exercise].heavy
        for first, second in self.problem.consecutive:
            if day not in (first, second):
                continue
            other = second if day == first else first
            if not wish.may_follow and (candidate, other) in self.turns:
                return False
            if heavy and any(self.problem.exercises[e].heavy for e, d in self.blocks if d == other):
                return False
        return True

    def _in_order(self, candidate: int, day: int) -> bool:
        needed = self.problem.exercises[self.problem.candidates[candidate].exercise].after
        return all(any(e == one and d < day for e, d in self.blocks) for one in needed)

    def saved(self, candidate: int, day: int) -> int:
        """What the soft rules cost less with this turn; the value of the item decides between equals."""
        wish = self.problem.candidates[candidate]
        exercise = self.problem.exercises[wish.exercise]
        gain = self.gain.get((candidate, day), 0) + self.touch_gain[candidate]
        members = self.blocks.get((wish.exercise, day), 0)
        if members == 0:
            gain += self._family_gain(exercise.family, day)
        if members < 2 and len(exercise.candidates) > 1:
            gain += SINGLE_COMBINATION_BLOCK if members else -SINGLE_COMBINATION_BLOCK
        return gain

    def _family_gain(self, family: str, day: int) -> int:
        shown = self.shown[day]
        return MISSING_FAMILY if family not in shown and len(shown) < self.problem.days[day].families else 0

    def take(self, candidate: int, day: int) -> None:
        """Put the turn in."""
        wish = self.problem.candidates[candidate]
        exercise = self.problem.exercises[wish.exercise]
        key = (wish.exercise, day)
        if key not in self.blocks:
            self.seconds[day] += exercise.setup_seconds
            self.block_seconds[key] = exercise.setup_seconds
            self.blocks_on[day] += 1
            self.shown[day].add(exercise.family)
        self.blocks[key] = self.blocks.get(key, 0) + 1
        room = self.problem.days[day]
        self.block_seconds[key] += wish.seconds_on(room)
        self.seconds[day] += wish.seconds_on(room)
        self.load[day] += wish.load_on(room)
        self.turns.add((candidate, day))
        self.played.add(candidate)
        for index in self.windows_of.get(candidate, ()):
            if index not in self.taken and day in self.problem.windows[index].days:
                self._close(index)
        for index in self.touches_of.get(candidate, ()):
            self.touch_count[index] += 1
            if self.touch_count[index] == self.problem.touches[index].least:
                for other in self.problem.touches[index].candidates:
                    self.touch_gain[other] -= MISSING_TOUCH

    def _close(self, index: int) -> None:
        """A window has its turn: no other turn gains by it any more."""
        window = self.problem.windows[index]
        self.taken.add(index)
        for candidate in window.candidates:
            for day in window.days:
                self.gain[candidate, day] -= window.cost


def draft(problem: WeekProblem) -> Turns:
    """The constructive plan: pins first, then by what is saved for each second, then by value."""
    return filled(led_up_to(problem).plan)


def filled(plan: Draft) -> Turns:
    """The turns of a draft with the best turns added one after another until none fits."""
    _fill(plan)
    return frozenset(plan.turns)


@dataclass(frozen=True, slots=True)
class Pinned:
    """The pins of a week with what leads to them before them.

    `waiting` names what could not be led up to: (exercise, the exercise it comes after, day).
    """

    plan: Draft
    waiting: tuple[tuple[int, int, int], ...]


def led_up_to(problem: WeekProblem) -> Pinned:
    """A draft that holds the pins, and of every exercise they come after one turn on an earlier day."""
    plan = Draft(problem)
    for candidate, day in problem.pins:
        plan.take(candidate, day)
    pinned = sorted({(day, problem.candidates[candidate].exercise) for candidate, day in problem.pins})
    waiting = [missing for day, exercise in pinned for missing in _lead_to(plan, exercise, day)]
    return Pinned(plan, tuple(waiting))


def _lead_to(plan: Draft, exercise: int, day: int) -> list[tuple[int, int, int]]:
    """Put what an exercise comes after on days before `day`; what has no room there."""
    return [
        (exercise, needed, day)
        for needed in plan.problem.exercises[exercise].after
        if not any(e == needed and d < day for e, d in plan.blocks) and not _opened(plan, needed, day)
    ]


def _opened(plan: Draft, exercise: int, day: int) -> bool:
    """Whether a turn of the exercise could be put on a day before `day`, with what leads to it in turn."""
    for earlier in range(day):
        if _lead_to(plan, exercise, earlier):
            continue
        for candidate in plan.problem.exercises[exercise].candidates:
            if earlier in plan.problem.candidates[candidate].days and plan.fits(candidate, earlier):
                plan.take(candidate, earlier)
                return True
    return False


def filled_up(problem: WeekProblem, turns: Turns) -> Turns:
    """A plan that has these turns, which keep every hard rule, and what else fits beside them."""
    plan = Draft(problem)
    for candidate, day in sorted(turns, key=lambda turn: (turn[1], turn[0])):
        plan.take(candidate, day)
    return filled(plan)


def repaired(problem: WeekProblem) -> Turns:
    """The plan before as far as it still fits, what the soft rules want most first, then filled by hand."""
    plan = Draft(problem)
    for candidate, day in problem.pins:
        plan.take(candidate, day)
    days = [set(wish.days) for wish in problem.candidates]
    wanted = sorted((-plan.saved(c, d), -problem.candidates[c].value, c, d) for c, d in problem.last)
    for _, _, candidate, day in wanted:
        if day in days[candidate] and plan.fits(candidate, day):
            plan.take(candidate, day)
    _fill(plan)
    return frozenset(plan.turns)


def rounded(
    problem: WeekProblem, blocks: frozenset[tuple[int, int]], shares: Mapping[tuple[int, int], float]
) -> Turns:
    """A plan inside the blocks that a relaxation opens: largest shares first, then filled by hand."""
    plan = led_up_to(problem).plan
    for share, (candidate, day) in sorted((-share, turn) for turn, share in shares.items()):
        opened = (problem.candidates[candidate].exercise, day) in blocks
        if opened and share < -LEAST_SHARE and plan.fits(candidate, day):
            plan.take(candidate, day)
    _fill(plan, blocks)
    return frozenset(plan.turns)


def _fill(plan: Draft, blocks: frozenset[tuple[int, int]] | None = None) -> None:
    """Take the best turn that fits until none does; only inside `blocks` where they are given."""
    candidates = plan.problem.candidates
    heap = [
        _entry(plan, c, d)
        for c, wish in enumerate(candidates)
        for d in wish.days
        if (c, d) not in plan.turns and (blocks is None or (wish.exercise, d) in blocks)
    ]
    heapify(heap)
    waiting: list[Entry] = []
    while heap:
        entry = heappop(heap)
        candidate, day = entry[2:]
        fresh = _entry(plan, candidate, day)
        if fresh[0] > entry[0]:
            heappush(heap, fresh)
        elif plan.fits(candidate, day):
            for again in [*waiting, *_take(plan, candidate, day)]:
                heappush(heap, again)
            waiting.clear()
        elif plan.problem.exercises[candidates[candidate].exercise].after:
            waiting.append(entry)


def _take(plan: Draft, candidate: int, day: int) -> list[Entry]:
    """Take a turn; where it opened a block, the other candidates of the exercise have become cheaper."""
    exercise = plan.problem.candidates[candidate].exercise
    opening = (exercise, day) not in plan.blocks
    plan.take(candidate, day)
    if not opening:
        return []
    return [
        _entry(plan, other, day)
        for other in plan.problem.exercises[exercise].candidates
        if day in plan.problem.candidates[other].days and (other, day) not in plan.turns
    ]


def _entry(plan: Draft, candidate: int, day: int) -> Entry:
    wish = plan.problem.candidates[candidate]
    opening = (wish.exercise, day) not in plan.blocks
    setup = plan.problem.exercises[wish.exercise].setup_seconds if opening else 0
    seconds = wish.seconds_on(plan.problem.days[day]) + setup
    value = wish.value_again if candidate in plan.played else wish.value
    worth = plan.saved(candidate, day) + value / 1000
    return (-worth / max(1, seconds), -wish.need, candidate, day)
