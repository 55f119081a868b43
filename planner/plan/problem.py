"""The week as whole numbers: what the solver sees, and nothing else.

Conventions: days, exercises and candidates are named by their index; seconds are whole, load is in
thousandths of (play minutes x intensity), need in thousandths. A window asks for one turn of any of its
candidates on any of its days and says what it costs to go without. No solver is imported here.
"""

from __future__ import annotations

from dataclasses import dataclass

SINGLE_COMBINATION_BLOCK = 300
MISSING_FAMILY = 2000
MISSING_TOUCH = 500
TURN = 1000
DAY_PAST = 200
SMALL_SHELF = 300
PROMISED = 2000
"""What it costs that a turn which the term promised for this week is missing."""

KINDS = {
    "turn": "turns",
    "pair": "pairs",
    "later": "delay",
    "rhythm": "rhythm",
    "shelf": "small shelf",
    "term": "term",
}
"""Windows by kind, and the name under which a breach is counted."""


@dataclass(frozen=True, slots=True)
class Day:
    """Room of one day. `seconds` and `load` are what blocks may use; `blocks` how many may stand in it.

    `slow`: the first day after a break, on which every item is played a notch slower.
    """

    seconds: int
    load: int
    blocks: int
    families: int
    slow: bool = False


@dataclass(frozen=True, slots=True)
class PairOfDays:
    """Rule 4 over two days running: blocks of both (or of the one in the plan) may use `load` together."""

    days: tuple[int, ...]
    load: int


@dataclass(frozen=True, slots=True)
class Candidate:
    """One combination: cost of one item, days on which it may stand, what it is worth.

    `seconds` and `load` are for the whole item, both goes. `value` is for the first turn of the week,
    `value_again` for each further one. `may_follow` lets it stand on two days running.
    `slow_seconds` and `slow_load` hold on a slow day. `positions` are tube lengthenings, `keys` pitch classes
    of written tonics.
    """

    id: str
    exercise: int
    seconds: int
    load: int
    days: tuple[int, ...]
    value: int
    value_again: int
    need: int
    may_follow: bool
    positions: tuple[int, ...]
    keys: tuple[int, ...]
    slow_seconds: int = 0
    slow_load: int = 0

    def seconds_on(self, day: Day) -> int:
        """Seconds of the whole item on a day."""
        return self.slow_seconds if day.slow else self.seconds

    def load_on(self, day: Day) -> int:
        """Load of the whole item on a day, in thousandths."""
        return self.slow_load if day.slow else self.load


@dataclass(frozen=True, slots=True)
class Exercise:
    """One exercise: its family, set-up beyond the rest that runs anyway, and its candidates.

    `after`: exercises that must have been played on an earlier day of the week (those met before it are
    not named).
    """

    id: str
    family: str
    heavy: bool
    setup_seconds: int
    candidates: tuple[int, ...]
    after: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Window:
    """Rule 8: without a turn of `candidates` on `days` the plan costs `cost`.

    `kind` is a key of KINDS: "turn", "pair", "later" (a day of the week that passes without the turn),
    "rhythm" (three practice days running without a turn of what is in work), "shelf" (a week without a
    turn on a small shelf) or "term" (a week without a turn that the term promised for it).
    """

    kind: str
    name: str
    candidates: tuple[int, ...]
    days: tuple[int, ...]
    cost: int


@dataclass(frozen=True, slots=True)
class Touch:
    """Rule 11: `candidates` touch a position or key group; at least `least` items of the week do."""

    name: str
    candidates: tuple[int, ...]
    least: int


@dataclass(frozen=True, slots=True)
class WeekProblem:
    """The whole week. `block_seconds` is the most a block may take; `last` the items of the plan before.

    `consecutive` are days running, `pins` (candidate, day) that must stand, `missed` the candidates whose
    turns were missed. What the day before the first day forbids is taken off the candidates' days.
    """

    days: tuple[Day, ...]
    two_days: tuple[PairOfDays, ...]
    exercises: tuple[Exercise, ...]
    candidates: tuple[Candidate, ...]
    windows: tuple[Window, ...]
    touches: tuple[Touch, ...]
    consecutive: tuple[tuple[int, int], ...]
    block_seconds: int
    pins: tuple[tuple[int, int], ...]
    last: tuple[tuple[int, int], ...]
    seed: int = 0
    missed: tuple[int, ...] = ()


Turns = frozenset[tuple[int, int]]


def soft_cost(problem: WeekProblem, turns: Turns) -> int:
    """Stage (a) of a set of (candidate, day): what the soft rules cost, recomputed without any model."""
    return sum(cost for _, _, cost in breaches(problem, turns))


def breaches(problem: WeekProblem, turns: Turns) -> list[tuple[str, str, int]]:
    """Every soft rule that is broken, as (rule, what, cost)."""
    found = [(KINDS[w.kind], w.name, w.cost) for w in problem.windows if not _taken(w, turns)]
    blocks = blocks_of(problem, turns)
    for day, room in enumerate(problem.days):
        families = {problem.exercises[e].family for e, d in blocks if d == day}
        missing = room.families - len(families)
        found += [("families", str(day), MISSING_FAMILY)] * max(0, missing)
    for (exercise, day), members in blocks.items():
        if len(members) == 1 and len(problem.exercises[exercise].candidates) > 1:
            found.append(("block size", f"{problem.exercises[exercise].id} {day}", SINGLE_COMBINATION_BLOCK))
    for touch in problem.touches:
        inside = set(touch.candidates)
        short = touch.least - sum(1 for c, _ in turns if c in inside)
        found += [("touches", touch.name, MISSING_TOUCH)] * max(0, short)
    return found


def _taken(window: Window, turns: Turns) -> bool:
    return any((c, d) in turns for c in window.candidates for d in window.days)


def blocks_of(problem: WeekProblem, turns: Turns) -> dict[tuple[int, int], list[int]]:
    """The blocks (exercise, day) of a plan and their candidates in order."""
    blocks: dict[tuple[int, int], list[int]] = {}
    for candidate, day in sorted(turns):
        blocks.setdefault((problem.candidates[candidate].exercise, day), []).append(candidate)
    return blocks


def value(problem: WeekProblem, turns: Turns) -> int:
    """Stage (b): first turns at `value`, further ones at `value_again`."""
    counts: dict[int, int] = {}
    for candidate, _ in turns:
        counts[candidate] = counts.get(candidate, 0) + 1
    return sum(
        problem.candidates[c].value + (n - 1) * problem.candidates[c].value_again for c, n in counts.items()
    )


def most_value(problem: WeekProblem) -> int:
    """More than this no plan is worth: every candidate on every day on which it may stand."""
    return sum(c.value + (len(c.days) - 1) * c.value_again for c in problem.candidates if c.days)


def changes(problem: WeekProblem, turns: Turns) -> int:
    """How many turns of the plan before do not stand on their day any more."""
    return sum(1 for turn in problem.last if turn not in turns)


def seconds_used(problem: WeekProblem, turns: Turns, day: int) -> int:
    """Seconds that the blocks of a day may take at most, set-ups included."""
    items = sum(problem.candidates[c].seconds_on(problem.days[day]) for c, d in turns if d == day)
    return items + sum(problem.exercises[e].setup_seconds for e, d in blocks_of(problem, turns) if d == day)
