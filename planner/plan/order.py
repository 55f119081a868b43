"""The order of a day: blocks so that the lip can follow, items so that nothing comes twice in a row."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise, permutations
from typing import TypeVar

HEAVY_INTENSITY = 4
MOST_BLOCKS_TRIED = 7  # in all 5,040 orders

RANGE_LAST = 1000
HEAVY_NEIGHBOURS = 300
HEAVY_FIRST = 100
SAME_FAMILY_NEIGHBOURS = 20
NEW_WORK_LATER = 3

Order = tuple[int, ...]
T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class BlockFacts:
    """What the order of a day looks at: family, the hardest item (1 to 5), whether new work stands in it."""

    family: str
    intensity: int
    new_work: bool


def order_blocks(blocks: Sequence[BlockFacts]) -> tuple[int, ...]:
    """The best order of a day's blocks, as indices; ties keep the given order.

    Range not last, no two heavy blocks in a row, gentle first, families apart, new work while fresh. Of more
    than seven blocks an order that no single block moved elsewhere betters; range is not last in it either.
    """

    def strain(order: Order) -> tuple[int, Order]:
        return _strain([blocks[i] for i in order]), order

    given = tuple(range(len(blocks)))
    return min(
        permutations(given) if len(blocks) <= MOST_BLOCKS_TRIED else _descent(given, strain), key=strain
    )


def _descent(order: Order, strain: Callable[[Order], tuple[int, Order]]) -> Iterator[Order]:
    """Orders from the given one on, each the best that moving one block of the one before makes."""
    yield order
    better = min(_moves(order), key=strain)
    if strain(better) < strain(order):
        yield from _descent(better, strain)


def _moves(order: Order) -> Iterator[Order]:
    """Every order that moving one block makes."""
    for place, block in enumerate(order):
        rest = (*order[:place], *order[place + 1 :])
        yield from ((*rest[:to], block, *rest[to:]) for to in range(len(order)))


def _strain(blocks: Sequence[BlockFacts]) -> int:
    if not blocks:
        return 0
    strain = RANGE_LAST * (blocks[-1].family == "range") + HEAVY_FIRST * _heavy(blocks[0])
    for one, other in pairwise(blocks):
        strain += HEAVY_NEIGHBOURS * (_heavy(one) and _heavy(other))
        strain += SAME_FAMILY_NEIGHBOURS * (one.family == other.family)
    return strain + NEW_WORK_LATER * sum(place for place, block in enumerate(blocks) if block.new_work)


def _heavy(block: BlockFacts) -> bool:
    return block.intensity >= HEAVY_INTENSITY


def interleave(known: Sequence[T], two_goes: Sequence[T]) -> tuple[tuple[T, int], ...]:
    """Items of a block as (item, go): neighbours in the list set apart, something between two goes.

    With a single item in all there is nothing to put between: one go.
    """
    half = (len(known) + 1) // 2
    apart = [item for pair in zip(known[:half], [*known[half:], None], strict=False) for item in pair]
    middle = [(item, 1) for item in apart if item is not None]
    if len(two_goes) + len(middle) < 2:
        return tuple((item, 1) for item in [*two_goes]) + tuple(middle)
    return (*((item, 1) for item in two_goes), *middle, *((item, 2) for item in two_goes))
