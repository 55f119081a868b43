"""The order of a day's blocks, and of the items inside one."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise, permutations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.plan.order import BlockFacts, interleave, order_blocks

EASY, HEAVY = 2, 4
FAMILIES = ("long tones", "flexibility", "scales", "range", "intervals")
some_blocks = st.lists(
    st.builds(BlockFacts, st.sampled_from(FAMILIES), st.integers(1, 5), st.booleans()), max_size=6
)


def block(family: str, intensity: int = EASY, *, new: bool = False) -> BlockFacts:
    return BlockFacts(family, intensity, new)


def ordered(blocks: Sequence[BlockFacts]) -> list[BlockFacts]:
    """The blocks in the order they are played in."""
    return [blocks[index] for index in order_blocks(blocks)]


def heavy_neighbours(blocks: Sequence[BlockFacts]) -> int:
    """How often a block of intensity 4 or 5 follows another."""
    return sum(one.intensity >= 4 and other.intensity >= 4 for one, other in pairwise(blocks))


@given(some_blocks)
def test_an_order_has_every_block_once(blocks: list[BlockFacts]) -> None:
    assert sorted(order_blocks(blocks)) == list(range(len(blocks)))


@given(some_blocks)
def test_range_is_last_only_where_nothing_else_is_there(blocks: list[BlockFacts]) -> None:
    found = ordered(blocks)
    if any(one.family != "range" for one in blocks):
        assert found[-1].family != "range"


@given(
    st.lists(
        st.sampled_from([block("range", HEAVY), block("intervals", HEAVY), block("scales")]),
        min_size=8,
        max_size=12,
    )
)
def test_range_is_not_last_among_more_blocks_than_can_all_be_tried_either(blocks: list[BlockFacts]) -> None:
    if any(one.family != "range" for one in blocks):
        assert ordered(blocks)[-1].family != "range"


def test_eight_blocks_set_the_two_heavy_ones_apart() -> None:
    blocks = [*(block(f"family {n}") for n in range(6)), block("intervals", HEAVY), block("range", HEAVY)]
    assert heavy_neighbours(ordered(blocks)) == 0


def test_eight_blocks_with_nothing_between_them_keep_their_order() -> None:
    assert order_blocks([block(f"family {n}") for n in range(8)]) == tuple(range(8))


@given(some_blocks)
def test_heavy_blocks_are_neighbours_only_where_that_cannot_be_avoided(blocks: list[BlockFacts]) -> None:
    # The fewest that any order has which does not end with range, found by trying all of them.
    only_range = all(one.family == "range" for one in blocks)
    allowed = [one for one in permutations(blocks) if only_range or one[-1].family != "range"]
    assert heavy_neighbours(ordered(blocks)) == min(map(heavy_neighbours, allowed))


def test_a_day_begins_with_a_gentle_block() -> None:
    assert ordered([block("range", HEAVY), block("scales"), block("intervals")])[0].intensity == EASY


def test_new_work_comes_first_while_the_lip_is_fresh() -> None:
    blocks = [block("scales"), block("flexibility", new=True), block("long tones")]
    assert order_blocks(blocks)[0] == 1


def test_two_blocks_of_one_family_are_set_apart() -> None:
    blocks = [block("scales"), block("scales"), block("intervals")]
    assert [one.family for one in ordered(blocks)] == ["scales", "intervals", "scales"]


def test_blocks_with_nothing_between_them_keep_their_order() -> None:
    assert order_blocks([block("scales"), block("intervals"), block("long tones")]) == (0, 1, 2)


def test_a_day_without_blocks_has_no_order() -> None:
    assert order_blocks([]) == ()


@pytest.mark.parametrize(
    ("known", "apart"),
    # Neighbours of the list (keys that follow each other) are set apart: 1 3 2, 1 3 2 4, 1 4 2 5 3.
    [([1, 2, 3], [1, 3, 2]), ([1, 2, 3, 4], [1, 3, 2, 4]), ([1, 2, 3, 4, 5], [1, 4, 2, 5, 3])],
    ids=["three", "four", "five"],
)
def test_known_items_are_mixed_across_the_list(known: list[int], apart: list[int]) -> None:
    assert [item for item, _ in interleave(known, [])] == apart


def test_two_goes_of_one_item_have_the_others_between() -> None:
    assert interleave(["c", "d"], ["new"]) == (("new", 1), ("c", 1), ("d", 1), ("new", 2))


def test_two_new_items_stand_between_each_others_goes() -> None:
    assert interleave([], ["a", "b"]) == (("a", 1), ("b", 1), ("a", 2), ("b", 2))


def test_a_new_item_alone_in_its_block_is_played_once() -> None:
    assert interleave([], ["new"]) == (("new", 1),)


@given(st.integers(0, 8), st.integers(0, 4))
def test_no_item_follows_itself(known: int, twice: int) -> None:
    found = interleave([f"k{n}" for n in range(known)], [f"n{n}" for n in range(twice)])
    assert all(one[0] != other[0] for one, other in pairwise(found))


@given(st.integers(0, 8), st.integers(0, 4))
def test_every_item_has_its_first_go_before_its_second(known: int, twice: int) -> None:
    found = interleave([f"k{n}" for n in range(known)], [f"n{n}" for n in range(twice)])
    goes: dict[str, list[int]] = {}
    for item, go in found:
        goes.setdefault(item, []).append(go)
    assert all(one in ([1], [1, 2]) for one in goes.values())
