"""Generated weeks for the solver's tests and benchmarks, and an enumeration that knows the right answer.

Synthetic: a test of the model, not of music.
"""

from __future__ import annotations

import dataclasses
import itertools
import random

from planner.plan.problem import (
    Candidate,
    Day,
    Exercise,
    PairOfDays,
    Touch,
    Turns,
    WeekProblem,
    Window,
    blocks_of,
    seconds_used,
)

FAMILIES = ("flexibility", "scales", "arpeggios", "articulation", "range", "intervals", "etude", "long tones")
INTENSITY = {"range": 4, "long tones": 2}
REST = {2: 0.5, 3: 1.0, 4: 1.5}


def week(count: int, wanted: float, seed: int, days: int = 6, minutes: int = 45) -> WeekProblem:
    """A week of `count` combinations, `wanted` of what the minutes carry called for."""
    dice = random.Random(f"{count} {wanted} {seed}")
    exercises, candidates = _shelf(dice, count, days)
    room = minutes * 60 - 660
    items = int(days * room / (sum(c.seconds for c in candidates) / count + 12))
    in_work = sorted(range(count), key=lambda c: -candidates[c].need)[: max(1, items // 8)]
    for c in in_work:
        candidates[c] = dataclasses.replace(candidates[c], may_follow=True)
    windows = [w for c in in_work for w in _in_work(candidates[c], c, dice.randint(0, 2), days)]
    rest = [c for c in range(count) if c not in set(in_work)]
    dice.shuffle(rest)
    for c in rest[: max(0, int(items * wanted) - 2 * len(in_work))]:
        windows += _kept_up(candidates[c], c, dice.randint(-4, days - 1), days)
    windows += _pairs(dice, exercises, candidates, days)
    return WeekProblem(
        days=tuple(Day(room, int(1250 * minutes) - 5500, 6, 3) for _ in range(days)),
        two_days=tuple(PairOfDays((d, d + 1), int(2250 * minutes) - 11000) for d in range(days - 1)),
        exercises=tuple(exercises),
        candidates=tuple(candidates),
        windows=tuple(windows),
        touches=tuple(_touches(candidates)),
        consecutive=tuple((d, d + 1) for d in range(days - 1)),
        block_seconds=720,
        pins=(),
        last=(),
    )


def _shelf(dice: random.Random, count: int, days: int) -> tuple[list[Exercise], list[Candidate]]:
    exercises: list[Exercise] = []
    candidates: list[Candidate] = []
    while len(candidates) < count:
        family = FAMILIES[len(exercises) % len(FAMILIES)]
        size = min(dice.choice((3, 5, 7, 12)), count - len(candidates))
        members = tuple(range(len(candidates), len(candidates) + size))
        candidates += [_candidate(dice, c, len(exercises), family, days) for c in members]
        setup = dice.choice((0, 10, 20, 30))
        exercises.append(Exercise(f"e{len(exercises)}", family, family == "range", setup, members, ()))
    return exercises, candidates


def _candidate(dice: random.Random, index: int, exercise: int, family: str, days: int) -> Candidate:
    seconds, intensity = dice.randint(50, 150), INTENSITY.get(family, 3)
    need, since = int(1000 * dice.betavariate(1.3, 3)), dice.randint(2, 40)
    value = round(1000 * since * (0.1 + need / 1000) ** 4)
    return Candidate(
        id=f"c{index}",
        exercise=exercise,
        seconds=seconds,
        load=int(1000 * seconds / (1 + REST[intensity]) / 60 * intensity),
        days=tuple(range(days)),
        value=value,
        value_again=min(value, round(2000 * (0.1 + need / 1000) ** 4)),
        need=need,
        may_follow=False,
        positions=tuple(sorted(dice.sample(range(1, 8), 3))),
        keys=tuple(sorted(dice.sample(range(12), 3))),
    )


def _in_work(wish: Candidate, index: int, first: int, days: int) -> list[Window]:
    windows = []
    for end in range(days):
        inside = tuple(range(max(0, end - 2), end + 1))
        on_grid = end >= first and (end - first) % 3 == 0
        if on_grid or end >= 2:
            windows.append(Window("turn", wish.id, (index,), inside, 1000 + wish.need if on_grid else 200))
    return windows


def _kept_up(wish: Candidate, index: int, turn_by: int, days: int) -> list[Window]:
    past = max(0, -turn_by)
    last = days - 1 if turn_by < 0 else turn_by
    main = Window("turn", wish.id, (index,), tuple(range(last + 1)), 1000 + wish.need + 200 * past)
    later = [
        Window("later", wish.id, (index,), tuple(range(max(1, day))), 200)
        for day in range(max(turn_by, 0) + 1, days)
    ]
    return [main, *later]


def _pairs(
    dice: random.Random, exercises: list[Exercise], candidates: list[Candidate], days: int
) -> list[Window]:
    windows = []
    for exercise, which in itertools.product(exercises, ("positions", "keys")):
        for touched in sorted({t for c in exercise.candidates for t in getattr(candidates[c], which)}):
            if dice.random() < 0.3:
                members = tuple(c for c in exercise.candidates if touched in getattr(candidates[c], which))
                need = sum(candidates[c].need for c in members) // len(members)
                last = dice.randint(0, days - 1)
                name = f"{exercise.id} {which} {touched}"
                windows.append(Window("pair", name, members, tuple(range(last + 1)), 1000 + need))
    return windows


def _touches(candidates: list[Candidate]) -> list[Touch]:
    found = []
    for which, values in (("positions", range(1, 8)), ("keys", range(12))):
        for touched in values:
            members = tuple(c for c, wish in enumerate(candidates) if touched in getattr(wish, which))
            if members:
                found.append(Touch(f"{which} {touched}", members, 2))
    return found


def tiny_week(seed: int) -> WeekProblem:
    """Four or five combinations in two exercises over two days: few enough to try every plan."""
    dice = random.Random(seed)
    count = dice.choice((3, 4, 5))
    problem = week(count, dice.choice((0.7, 1.3)), seed, days=2, minutes=dice.choice((14, 16, 18)))
    after = (0,) if dice.random() < 0.5 and len(problem.exercises) > 1 else ()
    exercises = (*problem.exercises[:-1], dataclasses.replace(problem.exercises[-1], after=after))
    pins = ((0, dice.randint(0, 1)),) if dice.random() < 0.3 else ()
    return dataclasses.replace(problem, exercises=exercises, pins=pins)


def every_plan(problem: WeekProblem) -> list[Turns]:
    """All plans that keep the hard rules, by trying every subset."""
    cells = [(c, d) for c, wish in enumerate(problem.candidates) for d in wish.days]
    subsets = itertools.chain.from_iterable(
        itertools.combinations(cells, size) for size in range(len(cells) + 1)
    )
    return [frozenset(s) for s in subsets if not hard_breaches(problem, frozenset(s))]


def hard_breaches(problem: WeekProblem, turns: Turns) -> list[str]:
    """Every hard rule that a plan breaks, recomputed from the problem without any row."""
    return [
        *_day_breaches(problem, turns),
        *_two_day_breaches(problem, turns),
        *(f"pin {pin}" for pin in problem.pins if pin not in turns),
        *_order_breaches(problem, turns),
    ]


def _day_breaches(problem: WeekProblem, turns: Turns) -> list[str]:
    found = []
    blocks = blocks_of(problem, turns)
    for day, room in enumerate(problem.days):
        load = sum(problem.candidates[c].load for c, d in turns if d == day)
        if seconds_used(problem, turns, day) > room.seconds:
            found.append(f"minutes {day}")
        if load > room.load:
            found.append(f"load {day}")
        if sum(1 for _, d in blocks if d == day) > room.blocks:
            found.append(f"blocks {day}")
    return found + [
        f"block too long {exercise} {day}"
        for (exercise, day), members in blocks.items()
        if sum(problem.candidates[c].seconds for c in members) + problem.exercises[exercise].setup_seconds
        > problem.block_seconds
    ]


def _two_day_breaches(problem: WeekProblem, turns: Turns) -> list[str]:
    found = [
        f"load {pair.days}"
        for pair in problem.two_days
        if sum(problem.candidates[c].load for c, d in turns if d in pair.days) > pair.load
    ]
    for first, second in problem.consecutive:
        both = {c for c, d in turns if d == first} & {c for c, d in turns if d == second}
        found += [f"twice running {c}" for c in both if not problem.candidates[c].may_follow]
        heavy = [
            {d for c, d in turns if problem.exercises[problem.candidates[c].exercise].heavy and d == one}
            for one in (first, second)
        ]
        if all(heavy):
            found.append(f"heavy {first}")
    return found


def _order_breaches(problem: WeekProblem, turns: Turns) -> list[str]:
    return [
        f"after {c}"
        for c, day in turns
        for needed in problem.exercises[problem.candidates[c].exercise].after
        if not any(problem.candidates[other].exercise == needed and d < day for other, d in turns)
    ]
