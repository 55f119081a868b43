"""Rules that clash even where turns may be fractions: a proof in moments, and few rules already."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

import highspy

from planner.plan.solve.effort import Effort
from planner.plan.solve.highs import INFINITE, BoundedRow, linear_program, solver_of
from planner.plan.solve.named import Line, Named, NamedWeek, part_of

NOTHING = 1e-7
WORK_A_VARIABLE, WORK_AN_ITERATION = 4e-5, 4e-5
"""What it takes to build a program and to solve it, in units of `Effort` [measured]."""


def fractional_core(
    week: NamedWeek, rules: Iterable[Named], effort: Effort | None = None
) -> tuple[Named, ...] | None:
    """Rules that clash even with fractions of turns, None where fractions can keep them all.

    Every named line may be broken at a price of its own size; the lines with a price in the cheapest way are
    a proof by themselves (the lemma of Farkas).
    """
    part = part_of(week, rules)
    lines: list[tuple[Named | None, Line]] = [*((None, line) for line in part.structure), *part.lines]
    solver = solver_of(_elastic(part.variables, lines))
    solver.run()
    if effort is not None:
        effort.spend(
            WORK_A_VARIABLE * len(part.variables)
            + WORK_AN_ITERATION * max(0, solver.getInfo().simplex_iteration_count)
        )
    if solver.getInfo().objective_function_value < NOTHING:
        return None
    prices = solver.getSolution().row_dual
    found = {rule for (rule, _), price in zip(lines, prices, strict=True) if rule and abs(price) > NOTHING}
    return tuple(sorted(found))


def _elastic(variables: Sequence[int], lines: Sequence[tuple[Named | None, Line]]) -> highspy.HighsLp:
    """Every line by the size of its largest factor; a named one has a variable of its own that breaks it."""
    place, count = {v: n for n, v in enumerate(variables)}, len(variables)
    named = [number for number, (rule, _) in enumerate(lines) if rule]
    breaking = {number: count + n for n, number in enumerate(named)}
    rows: list[BoundedRow] = []
    for number, (_, line) in enumerate(lines):
        size = max([1, *(abs(factor) for _, factor in line.terms)])
        terms = [(place[v], factor / size) for v, factor in line.terms]
        if number in breaking:
            terms.append((breaking[number], 1.0 if line.low is not None else -1.0))
        low = -INFINITE if line.low is None else line.low / size
        rows.append((terms, low, INFINITE if line.high is None else line.high / size))
    return linear_program(
        cost=[0.0] * count + [1.0] * len(named),
        low=[0.0] * (count + len(named)),
        high=[1.0] * count + [INFINITE] * len(named),
        rows=rows,
    )


def shrunk(week: NamedWeek, core: Sequence[Named], effort: Effort | None = None) -> tuple[Named, ...]:
    """The same clash with fewer rules: parts are left out, halves first, while fractions still prove it.

    Where `effort` is over it stays as small as it was by then.
    """
    effort = effort or Effort()
    kept = tuple(core)
    size = len(kept) // 2
    while size:
        at = 0
        while at < len(kept) and not effort.over:
            fewer = fractional_core(week, (*kept[:at], *kept[at + size :]), effort)
            if fewer is None:
                at += size
            else:
                kept, at = tuple(rule for rule in kept if rule in set(fewer)), 0 if size > 1 else at
        size = 0 if effort.over else min(size // 2, len(kept))
    return kept
