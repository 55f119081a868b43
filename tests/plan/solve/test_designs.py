"""The solver's model against designs that are known from outside. A test of the model, not of music.

Every cell of a product is an exercise of its own with one combination, on one day without limits; every pair
of values is a pair that wants a turn. The fewest items that meet every pair are then a covering array of
strength two; the fewest orders in which everything follows everything equally often are a Williams design.
"""

from __future__ import annotations

import itertools
from collections import Counter
from collections.abc import Sequence

import pytest

from planner.plan.problem import Candidate, Day, Exercise, Touch, Turns, WeekProblem, Window
from planner.plan.solve.cpsat import solve_rows
from planner.plan.solve.rules import write_rules
from planner.plan.stop import Stop

ENOUGH = 10**6


def free_day(count: int, windows: Sequence[Window], touches: Sequence[Touch]) -> WeekProblem:
    """One day on which `count` exercises of one combination may all stand."""
    one = Candidate("", 0, 1, 0, (0,), 0, 0, 0, True, (), ())
    return WeekProblem(
        days=(Day(ENOUGH, ENOUGH, count, 0),),
        two_days=(),
        exercises=tuple(Exercise(f"e{n}", "etude", False, 0, (n,), ()) for n in range(count)),
        candidates=tuple(Candidate(f"c{n}", n, *_facts(one)) for n in range(count)),
        windows=tuple(windows),
        touches=tuple(touches),
        consecutive=(),
        block_seconds=ENOUGH,
        pins=(),
        last=(),
    )


def _facts(one: Candidate) -> tuple:
    return (one.seconds, one.load, one.days, one.value, one.value_again, one.need, one.may_follow, (), ())


def product_of(*levels: int) -> WeekProblem:
    """Every cell of a product of so many values each; every pair of values of two factors wants a turn."""
    cells = list(itertools.product(*(range(level) for level in levels)))
    pairs: dict[tuple[int, int, int, int], list[int]] = {}
    for number, cell in enumerate(cells):
        for one, other in itertools.combinations(range(len(levels)), 2):
            pairs.setdefault((one, cell[one], other, cell[other]), []).append(number)
    windows = [Window("pair", str(pair), tuple(members), (0,), 1000) for pair, members in pairs.items()]
    return free_day(len(cells), windows, ())


def fewest_items(problem: WeekProblem, start: Turns | None = None) -> tuple[int, int]:
    """The fewest items with which no soft rule is broken, and the proven bound."""
    rows = write_rules(problem)
    answer = solve_rows(
        rows, dict.fromkeys(rows.x.values(), 1), maximise=False,
        hint=rows.complete(start) if start else None, work=20.0, seconds=120.0, seed=0, stop=Stop(),
        at_most=dict.fromkeys(rows.slack, 0),
    )  # fmt: skip
    assert answer is not None
    return answer.objective, answer.bound


@pytest.mark.parametrize(
    ("levels", "published"),
    [
        # Mixed levels: at least the product of the two largest; for 12 x 7 x E with E <= 7 attained by
        # exercise = (key + position) mod E, for E = 8 by 12 x 8 (Moura, Stardom, Stevens, Williams: Covering
        # arrays with mixed alphabet sizes, J. Combin. Designs 11, 2003; citation from memory).
        ((12, 7, 5), 84),
        ((12, 7, 6), 84),
        ((12, 7, 7), 84),
        ((12, 7, 8), 96),
        # q^2 for q a prime power, from orthogonal arrays OA(q^2, q + 1, q, 2) (Bush 1952; Hedayat, Sloane,
        # Stufken: Orthogonal Arrays, 1999; citations from memory).
        ((2, 2, 2), 4),
        ((3, 3, 3, 3), 9),
        ((4, 4, 4, 4, 4), 16),
        ((5, 5, 5), 25),
        ((7, 7, 7), 49),
    ],
)
def test_the_fewest_items_that_meet_every_pair_are_the_published_number(
    levels: tuple[int, ...], published: int
) -> None:
    assert fewest_items(product_of(*levels)) == (published, published)


def test_four_factors_of_two_values_need_five_items() -> None:
    # CAN(2, 4, 2) = 5 (Katona 1973; Kleitman, Spencer 1973): the product of two levels, 4, is not enough.
    assert fewest_items(product_of(2, 2, 2, 2)) == (5, 5)


def williams(n: int) -> list[tuple[int, ...]]:
    """Rows 0, 1, n-1, 2, n-2, … plus a constant; for odd n the reversed rows as well (Williams 1949)."""
    first = [0, *((step + 1) // 2 if step % 2 else n - step // 2 for step in range(1, n))]
    rows = [tuple((value + shift) % n for value in first) for shift in range(n)]
    return rows if n % 2 == 0 else rows + [row[::-1] for row in rows]


def orders_of(n: int, times: int) -> tuple[WeekProblem, dict[tuple[int, ...], int]]:
    """Every order of n things as an item; each ordered pair of neighbours is touched so many times."""
    number = {order: index for index, order in enumerate(itertools.permutations(range(n)))}
    members: dict[tuple[int, int], list[int]] = {}
    for order, index in number.items():
        for pair in itertools.pairwise(order):
            members.setdefault(pair, []).append(index)
    touches = [Touch(str(pair), tuple(of), times) for pair, of in sorted(members.items())]
    return free_day(len(number), (), touches), number


@pytest.mark.parametrize(("n", "times"), [(4, 1), (5, 2), (6, 1), (7, 2), (12, 1)])
def test_a_williams_design_has_every_ordered_pair_equally_often(n: int, times: int) -> None:
    # Williams: Experimental designs balanced for the estimation of residual effects of treatments, Australian
    # Journal of Scientific Research A 2, 1949: even n in n rows once, odd n in 2 n rows twice.
    rows = williams(n)
    assert len(rows) == times * n
    assert set(Counter(pair for row in rows for pair in itertools.pairwise(row)).values()) == {times}


@pytest.mark.parametrize(("n", "times", "rows"), [(4, 1, 4), (5, 2, 10), (6, 1, 6)])
def test_the_fewest_balanced_orders_are_those_of_williams(n: int, times: int, rows: int) -> None:
    problem, number = orders_of(n, times)
    start = frozenset((number[row], 0) for row in williams(n))
    assert fewest_items(problem, start) == (rows, rows)


def test_fourteen_orders_of_seven_are_enough_and_thirteen_are_not() -> None:
    # Seven positions: every ordered pair twice in 14 rows (Williams 1949); the rows are the starting plan.
    problem, number = orders_of(7, 2)
    start = frozenset((number[row], 0) for row in williams(7))
    assert fewest_items(problem, start) == (14, 14)
