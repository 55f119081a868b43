"""The columns and rows of a large term as HiGHS takes them: flat lists, filled once, solved as they are."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import highspy
import numpy as np
from highspy._core import _Highs

Turn = dict[tuple[int, int], int]


@dataclass(slots=True)
class Sheet:
    """Columns and rows as HiGHS takes them.

    `first`, `back` and `behind` say by (group, week) which column holds the first turns, the returns and what
    still waits to be met; `block` by (exercise, week) which holds the blocks.
    """

    low: list[float] = field(default_factory=list)
    high: list[float] = field(default_factory=list)
    cost: list[float] = field(default_factory=list)
    starts: list[int] = field(default_factory=lambda: [0])
    index: list[int] = field(default_factory=list)
    value: list[float] = field(default_factory=list)
    row_low: list[float] = field(default_factory=list)
    row_high: list[float] = field(default_factory=list)
    first: Turn = field(default_factory=dict)
    back: Turn = field(default_factory=dict)
    behind: Turn = field(default_factory=dict)
    block: Turn = field(default_factory=dict)

    def column(self, high: float, cost: float = 0.0) -> int:
        """A variable from 0 to `high`; its number."""
        self.low.append(0.0)
        self.high.append(high)
        self.cost.append(cost)
        return len(self.high) - 1

    def row(
        self,
        columns: Sequence[int],
        values: Sequence[float],
        *,
        low: float = -math.inf,
        high: float = math.inf,
    ) -> None:
        """One row: the sum of these columns with these factors between `low` and `high`."""
        self.index += columns
        self.value += values
        self.starts.append(len(self.index))
        self.row_low.append(low)
        self.row_high.append(high)

    def at_most(self, columns: Sequence[int], high: float) -> None:
        """The plain sum of these columns is no more."""
        self.row(columns, [1.0] * len(columns), high=high)

    def at_least(self, columns: Sequence[int], low: float) -> None:
        """The plain sum of these columns is no less."""
        self.row(columns, [1.0] * len(columns), low=low)


def solver_of(sheet: Sheet) -> _Highs:
    """HiGHS with the whole sheet, on one thread, without a word and without a limit of time."""
    solver = _Highs()  # the public class prints a banner before it can be told not to
    solver.setOptionValue("output_flag", False)
    solver.setOptionValue("threads", 1)
    solver.passModel(_program(sheet))
    return solver


def _program(sheet: Sheet) -> highspy.HighsLp:
    program = highspy.HighsLp()
    program.num_col_, program.num_row_ = len(sheet.high), len(sheet.row_low)
    program.col_cost_ = np.array(sheet.cost, dtype=float)
    program.col_lower_ = np.array(sheet.low, dtype=float)
    program.col_upper_ = np.array(sheet.high, dtype=float)
    program.row_lower_ = np.array(sheet.row_low, dtype=float)
    program.row_upper_ = np.array(sheet.row_high, dtype=float)
    matrix = program.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kRowwise
    matrix.start_ = np.array(sheet.starts)
    matrix.index_ = np.array(sheet.index)
    matrix.value_ = np.array(sheet.value, dtype=float)
    return program
