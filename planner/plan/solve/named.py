"""The week's rules once more, each under a name of its own, so that they can be taken away one by one.

`rules.py` chains windows and prices slacks, which solves well and explains nothing. Here every limit of
every day and every wish is a row by itself. A limit takes room away (minutes, load, blocks, order); a wish
asks for turns (a pin, a turn by its span, a family). Structure (a turn stands in a block) has no name.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field

from planner.plan.problem import WeekProblem

LIMITS = (
    "minutes", "load", "two days", "blocks", "block length", "running", "range", "order", "closed",
)  # fmt: skip
PINS = ("pin",)
TURNS = ("turn", "pair", "shelf", "family", "block size", "touch")
TIMELY = ("later", "rhythm")
"""Wishes about the day of a turn that is granted all the same: they count least and come last."""

WISHES = (*PINS, *TURNS, *TIMELY)
Terms = tuple[tuple[int, int], ...]


@dataclass(frozen=True, slots=True, order=True)
class Named:
    """One rule of one thing. `subject`: the index of a day, pair of days, candidate, exercise, window, touch.

    `day` is -1 where the rule has none of its own. Kinds are those of LIMITS and WISHES.
    """

    kind: str
    subject: int
    day: int = -1


@dataclass(frozen=True, slots=True)
class Line:
    """`low <= sum(factor x variable) <= high`; None leaves a side open."""

    terms: Terms
    low: int | None = None
    high: int | None = None


@dataclass(slots=True)
class NamedWeek:
    """All variables (0 or 1) and lines of a week, by rule.

    `x` (candidate, day), `turns` the same the other way round, `block` (exercise, day), `shown`
    (family, day), `day_of` the day of every variable.
    """

    problem: WeekProblem
    x: dict[tuple[int, int], int] = field(default_factory=dict)
    block: dict[tuple[int, int], int] = field(default_factory=dict)
    shown: dict[tuple[str, int], int] = field(default_factory=dict)
    lines: dict[Named, list[Line]] = field(default_factory=dict)
    turns: dict[int, tuple[int, int]] = field(default_factory=dict)
    day_of: dict[int, int] = field(default_factory=dict)
    count: int = 0

    def variable(self) -> int:
        """A new variable."""
        self.count += 1
        return self.count - 1

    def add(
        self, rule: Named, terms: Iterable[tuple[int, int]], low: int | None = None, high: int | None = None
    ) -> None:
        """One line of a rule; a line without terms that holds anyway is left out."""
        line = Line(tuple(terms), low, high)
        if line.terms or (low or 0) > 0:
            self.lines.setdefault(rule, []).append(line)

    def members(self, exercise: int, day: int) -> list[int]:
        """The turns of an exercise on a day."""
        own = self.problem.exercises[exercise].candidates
        return [self.x[c, day] for c in own if (c, day) in self.x]

    def blocks_of(self, family: str, day: int) -> list[int]:
        """The blocks of a family on a day."""
        exercises = self.problem.exercises
        return [b for (e, d), b in self.block.items() if d == day and exercises[e].family == family]


def named_week(problem: WeekProblem) -> NamedWeek:
    """Every rule of the week under its name."""
    week = NamedWeek(problem)
    for candidate, day in sorted(_cells(problem)):
        week.x[candidate, day] = week.variable()
    for exercise, day in sorted({(problem.candidates[c].exercise, d) for c, d in week.x}):
        week.block[exercise, day] = week.variable()
    week.turns = {v: turn for turn, v in week.x.items()}
    for write in WRITERS:
        write(problem, week)
    for places in (week.x, week.block, week.shown):
        week.day_of |= {v: key[1] for key, v in places.items()}
    return week


def _cells(problem: WeekProblem) -> Iterator[tuple[int, int]]:
    """Every possible turn, and those a pin or a lone wish asks for though they may not stand there."""
    for candidate, wish in enumerate(problem.candidates):
        yield from ((candidate, day) for day in wish.days)
    yield from problem.pins
    for window in problem.windows:
        if len(window.candidates) == 1:
            yield from ((window.candidates[0], day) for day in window.days)


def _days(problem: WeekProblem, week: NamedWeek) -> None:
    for day, room in enumerate(problem.days):
        turns = [(c, v) for (c, d), v in week.x.items() if d == day]
        blocks = [(e, v) for (e, d), v in week.block.items() if d == day]
        items = [(v, problem.candidates[c].seconds_on(room)) for c, v in turns]
        loads = [(v, problem.candidates[c].load_on(room)) for c, v in turns]
        set_ups = [(v, problem.exercises[e].setup_seconds) for e, v in blocks]
        week.add(Named("minutes", day), items + set_ups, high=room.seconds)
        week.add(Named("load", day), loads, high=room.load)
        week.add(Named("blocks", day), [(v, 1) for _, v in blocks], high=room.blocks)
        for exercise, block in blocks:
            longest = problem.block_seconds - problem.exercises[exercise].setup_seconds
            own = [(week.x[c, day], problem.candidates[c].seconds_on(room))
                   for c in problem.exercises[exercise].candidates if (c, day) in week.x]  # fmt: skip
            week.add(Named("block length", exercise, day), [*own, (block, -longest)], high=0)


def _days_together(problem: WeekProblem, week: NamedWeek) -> None:
    for number, pair in enumerate(problem.two_days):
        inside = [(c, problem.days[d], v) for (c, d), v in week.x.items() if d in pair.days]
        terms = [(v, problem.candidates[c].load_on(room)) for c, room, v in inside]
        week.add(Named("two days", number), terms, high=pair.load)
    heavy = [e for e, exercise in enumerate(problem.exercises) if exercise.heavy]
    for first, second in problem.consecutive:
        for candidate, wish in enumerate(problem.candidates):
            both = [week.x[candidate, d] for d in (first, second) if (candidate, d) in week.x]
            if not wish.may_follow and len(both) == 2:
                week.add(Named("running", candidate), [(v, 1) for v in both], high=1)
        for one in heavy:
            for other in heavy:
                if (one, first) in week.block and (other, second) in week.block:
                    pair_of = [(week.block[one, first], 1), (week.block[other, second], 1)]
                    week.add(Named("range", first), pair_of, high=1)


def _order(problem: WeekProblem, week: NamedWeek) -> None:
    for (exercise, day), block in week.block.items():
        for needed in problem.exercises[exercise].after:
            earlier = [(v, -1) for (e, d), v in week.block.items() if e == needed and d < day]
            week.add(Named("order", exercise), [(block, 1), *earlier], high=0)


def _closed(problem: WeekProblem, week: NamedWeek) -> None:
    for (candidate, day), v in week.x.items():
        if day not in problem.candidates[candidate].days:
            week.add(Named("closed", candidate, day), [(v, 1)], high=0)


def _pins(problem: WeekProblem, week: NamedWeek) -> None:
    for candidate, day in problem.pins:
        week.add(Named("pin", candidate, day), [(week.x[candidate, day], 1)], low=1)


def _windows(problem: WeekProblem, week: NamedWeek) -> None:
    for number, window in enumerate(problem.windows):
        inside = sorted({week.x[c, d] for c in window.candidates for d in window.days if (c, d) in week.x})
        week.add(Named(window.kind, number), [(v, 1) for v in inside], low=1)


def _families(problem: WeekProblem, week: NamedWeek) -> None:
    for day, room in enumerate(problem.days):
        if room.families <= 0:
            continue
        for family in sorted({exercise.family for exercise in problem.exercises}):
            if any(d == day and problem.exercises[e].family == family for e, d in week.block):
                week.shown[family, day] = week.variable()
        shown = [(v, 1) for (_, d), v in week.shown.items() if d == day]
        week.add(Named("family", day), shown, low=room.families)


def _block_sizes(problem: WeekProblem, week: NamedWeek) -> None:
    for (exercise, day), block in week.block.items():
        if len(problem.exercises[exercise].candidates) > 1:
            own = [(v, 1) for v in week.members(exercise, day)]
            week.add(Named("block size", exercise, day), [*own, (block, -2)], low=0)


def _touches(problem: WeekProblem, week: NamedWeek) -> None:
    for number, touch in enumerate(problem.touches):
        inside = set(touch.candidates)
        terms = [(v, 1) for (c, _), v in week.x.items() if c in inside]
        week.add(Named("touch", number), terms, low=touch.least)


WRITERS: tuple[Callable[[WeekProblem, NamedWeek], None], ...] = (
    _days, _days_together, _order, _closed, _pins, _windows, _families, _block_sizes, _touches,
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Part:
    """The part of a week that some rules speak of: its variables, its structure, the lines of the rules."""

    variables: tuple[int, ...]
    structure: tuple[Line, ...]
    lines: tuple[tuple[Named, Line], ...]


def part_of(week: NamedWeek, rules: Iterable[Named]) -> Part:
    """Only turns that some wish can use; the others stay 0.

    Every limit is kept by leaving turns out, except the order of the curriculum and the size of blocks, whose
    helpers are taken in.
    """
    chosen = [rule for rule in sorted(set(rules)) if rule in week.lines]
    kinds = {rule.kind for rule in chosen}
    cells = _asked(week, chosen) if "family" not in kinds else set(week.x)
    cells |= _helpers(week, cells, kinds)
    candidates = week.problem.candidates
    blocks = sorted({(candidates[c].exercise, d) for c, d in cells})
    shown = [key for key in sorted(week.shown) if Named("family", key[1]) in chosen]
    used = (
        {week.x[cell] for cell in cells}
        | {week.block[b] for b in blocks}
        | {week.shown[key] for key in shown}
    )
    lines = [(rule, _within(line, used)) for rule in chosen for line in week.lines[rule]]
    return Part(
        tuple(sorted(used)),
        tuple(_structure(week, sorted(cells), blocks, shown)),
        tuple((rule, line) for rule, line in lines if line.terms or (line.low or 0) > 0),
    )


def _asked(week: NamedWeek, rules: Iterable[Named]) -> set[tuple[int, int]]:
    asked = {v for r in rules if r.kind in WISHES for line in week.lines[r] for v, _ in line.terms}
    return {week.turns[v] for v in asked if v in week.turns}


def _within(line: Line, used: set[int]) -> Line:
    return Line(tuple(term for term in line.terms if term[0] in used), line.low, line.high)


def _helpers(week: NamedWeek, cells: set[tuple[int, int]], kinds: set[str]) -> set[tuple[int, int]]:
    candidates, exercises = week.problem.candidates, week.problem.exercises
    of = {candidates[c].exercise for c, _ in cells}
    wanted = set(of) if "block size" in kinds else set()
    if "order" in kinds:
        open_ = list(of)
        while open_:
            needed = set(exercises[open_.pop()].after) - wanted
            wanted |= needed
            open_ += needed
    return {cell for cell in week.x if candidates[cell[0]].exercise in wanted}


def _structure(
    week: NamedWeek,
    cells: Iterable[tuple[int, int]],
    blocks: Iterable[tuple[int, int]],
    shown: Iterable[tuple[str, int]],
) -> Iterator[Line]:
    """What is no rule: a turn opens its block, a block holds a turn, a family shows where a block is."""
    held: dict[int, list[int]] = {}
    for candidate, day in cells:
        block = week.block[week.problem.candidates[candidate].exercise, day]
        held.setdefault(block, []).append(week.x[candidate, day])
        yield Line(((week.x[candidate, day], 1), (block, -1)), high=0)
    for key in blocks:
        yield Line((*((v, 1) for v in held[week.block[key]]), (week.block[key], -1)), low=0)
    for family, day in shown:
        opened = week.blocks_of(family, day)
        yield Line(((week.shown[family, day], 1), *((block, -1) for block in opened)), high=0)
