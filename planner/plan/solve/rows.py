"""A linear model over whole numbers, written once and read by every back end.

A row is `low <= sum(coefficient x variable) <= high`; None leaves a side open.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field

Terms = list[tuple[int, int]]
Cutoff = tuple[Mapping[int, int], int | None, int | None]
"""A row added for one solve alone: terms, low, high."""


@dataclass(frozen=True, slots=True)
class Row:
    """One row: (variable, coefficient) pairs and its bounds; `rule` names the function that wrote it."""

    terms: tuple[tuple[int, int], ...]
    low: int | None
    high: int | None
    rule: str


@dataclass(slots=True)
class Rows:
    """Variables with bounds, rows, and two objectives: `cost` (stage a) and `value` (stage b).

    `asked` names the slacks of the windows of the same candidates.
    """

    low: list[int] = field(default_factory=list)
    high: list[int] = field(default_factory=list)
    rows: list[Row] = field(default_factory=list)
    cost: dict[int, int] = field(default_factory=dict)
    value: dict[int, int] = field(default_factory=dict)
    x: dict[tuple[int, int], int] = field(default_factory=dict)
    block: dict[tuple[int, int], int] = field(default_factory=dict)
    slack: dict[int, tuple[str, str]] = field(default_factory=dict)
    at_least_one: dict[int, tuple[int, ...]] = field(default_factory=dict)
    asked: dict[tuple[int, ...], list[int]] = field(default_factory=dict)
    exercise_of: tuple[int, ...] = ()
    rule: str = ""

    def variable(self, low: int = 0, high: int = 1) -> int:
        """A new whole-number variable."""
        self.low.append(low)
        self.high.append(high)
        return len(self.low) - 1

    def soft(self, what: str, cost: int, high: int = 1) -> int:
        """A slack of the rule being written: how far it is broken, at `cost` a unit."""
        variable = self.variable(0, high)
        self.cost[variable] = cost
        self.slack[variable] = (self.rule, what)
        return variable

    def any_of(self, variables: Iterable[int]) -> int:
        """A variable that may be 1 only where one of `variables` is."""
        members = tuple(variables)
        seen = self.variable()
        self.add([(seen, 1), *((v, -1) for v in members)], high=0)
        self.at_least_one[seen] = members
        return seen

    def add(self, terms: Iterable[tuple[int, int]], low: int | None = None, high: int | None = None) -> None:
        """A row of the rule being written; the sum of its coefficients stays below 2**31."""
        kept = tuple(terms)
        largest = sum(abs(factor) * max(abs(self.low[v]), abs(self.high[v])) for v, factor in kept)
        assert largest < 2**31, "a row's coefficients must stay below 2**31"
        self.rows.append(Row(kept, low, high, self.rule))

    def turns(self, values: Sequence[int]) -> frozenset[tuple[int, int]]:
        """The (candidate, day) turns of these values of all variables."""
        return frozenset(turn for turn, variable in self.x.items() if values[variable])

    def complete(self, turns: Iterable[tuple[int, int]]) -> tuple[int, ...]:
        """Every variable for these (candidate, day) turns: blocks open as needed, slacks as low as may be."""
        values = list(self.low)
        for turn in turns:
            values[self.x[turn]] = 1
            values[self.block[self.exercise_of[turn[0]], turn[1]]] = 1
        for variable, members in self.at_least_one.items():
            values[variable] = int(any(values[v] for v in members))
        for row in self.rows:
            for variable, factor in row.terms:
                if variable in self.slack and factor == 1 and row.low is not None:
                    rest = sum(f * values[v] for v, f in row.terms if v != variable)
                    values[variable] = max(0, row.low - rest)
        return tuple(values)
