"""The term as whole numbers: what the solver sees, and nothing else.

Conventions: weeks are indices from 0 (the first week planned); seconds are whole, load is in thousandths of
(play minutes x intensity). A group is every combination of one exercise whose item takes the same lip work:
all of them wait in one line, the longest waiting first, so that whole numbers a week say everything. No
solver is imported here.
"""

from __future__ import annotations

from dataclasses import dataclass

BEHIND = 1000
"""What it costs that a combination is not yet met, for each week after its own."""

BROKEN = 500
"""What it costs that a combination waits beyond its span, for each week."""

PAIR = 100
"""What a missing turn of an exercise costs that its keys and positions ask for within two weeks."""

PAIR_WEEKS = 2


@dataclass(frozen=True, slots=True)
class TermWeekRoom:
    """Room of one week.

    `seconds` and `load` are what promised items may use, what is in work and the free share already taken
    off; `new_seconds` is the room on days that allow something new, `heavy_seconds` on days that allow range;
    `blocks` may stand in it, `heavy_blocks` of them of range, none longer than `block_seconds`.
    `practice_days` is 0 in a holiday.
    """

    practice_days: int
    seconds: int
    load: int
    new_seconds: int
    heavy_seconds: int
    block_seconds: int
    blocks: int
    heavy_blocks: int


@dataclass(frozen=True, slots=True)
class Group:
    """One line of combinations of one exercise.

    `seconds` and `load` of one item, `goes` of a first turn by week. `arrivals[w]`: how many are first met in
    week w. `waiting[w]`: how many of those met before the term have to come back by the end of week w,
    counted up. `met`: how many were met before. `allowed[w]`: whether any of it may be played in that week.
    """

    exercise: int
    seconds: int
    load: int
    goes: tuple[int, ...]
    arrivals: tuple[int, ...]
    waiting: tuple[int, ...]
    met: int
    allowed: tuple[bool, ...]

    @property
    def size(self) -> int:
        """How many combinations stand in the line at the end."""
        return self.met + sum(self.arrivals)


@dataclass(frozen=True, slots=True)
class TermExercise:
    """One exercise: its groups, whether it is heavy, which exercises lead to it.

    `pair_turns[w]`: turns that its keys and positions ask for in weeks w and w + 1 together.
    """

    id: str
    heavy: bool
    groups: tuple[int, ...]
    after: tuple[int, ...]
    pair_turns: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class TermProblem:
    """The whole term. `span_end[w]`: the last week in which what was played in week w may come back."""

    rooms: tuple[TermWeekRoom, ...]
    exercises: tuple[TermExercise, ...]
    groups: tuple[Group, ...]
    span_end: tuple[int, ...]


@dataclass(frozen=True, slots=True)
class Tally:
    """How many first turns and returns every group has in every week."""

    first: tuple[tuple[int, ...], ...]
    back: tuple[tuple[int, ...], ...]


def cost_of(problem: TermProblem, tally: Tally) -> int:
    """What a tally costs, recomputed without any model."""
    total = sum(_group_cost(problem, g, tally) for g in range(len(problem.groups)))
    return total + sum(_pair_cost(problem, exercise, tally) for exercise in problem.exercises)


def _group_cost(problem: TermProblem, g: int, tally: Tally) -> int:
    group, first, back = problem.groups[g], tally.first[g], tally.back[g]
    weeks = len(problem.rooms)
    cost = 0
    for w in range(weeks):
        cost += BEHIND * (sum(group.arrivals[: w + 1]) - sum(first[: w + 1]))
        cost += BROKEN * max(0, group.waiting[w] - sum(back[: w + 1]))
        end = problem.span_end[w]
        if end < weeks:
            met = group.met + sum(first[: w + 1])
            cost += BROKEN * max(0, met - sum(back[w + 1 : end + 1]))
    return cost


def _pair_cost(problem: TermProblem, exercise: TermExercise, tally: Tally) -> int:
    turns = [
        sum(tally.first[g][w] + tally.back[g][w] for g in exercise.groups) for w in range(len(problem.rooms))
    ]
    return sum(
        PAIR * max(0, wanted - sum(turns[w : w + PAIR_WEEKS])) for w, wanted in enumerate(exercise.pair_turns)
    )


def nothing_done(problem: TermProblem) -> int:
    """The cost of a term without a single turn: what there is to save."""
    none = tuple(tuple(0 for _ in problem.rooms) for _ in problem.groups)
    return cost_of(problem, Tally(none, none))
