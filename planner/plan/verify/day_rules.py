"""Hard rules 2 and 5 and the order of a day's routine.

Readings where the specification leaves room:
- a block is everything of one exercise on one day, so an exercise stands in one stretch a day;
- warm-up, warm-down and own music are no blocks; the seconds of a block leave out what the set-up of the
  next exercise adds to its last pause;
- blocks are lettered A, B, C in the order of the day, AA, AB after Z; warm-up, warm-down and own
  music may have a letter in that order or ""; an item of a block is numbered 1, 2, 3 after its letter;
- range may stand last only where there is no other block;
- two heavy blocks may touch only where no order of the day's blocks keeps them apart with range not last
  (days with an `after` between two of their exercises, or of more than seven blocks, are left alone).
"""

from __future__ import annotations

import string
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import groupby, islice, pairwise, permutations, product

from planner.plan.verify.breach import Breach
from planner.plan.verify.case import FRAME, OWN_MUSIC, Block, Case, Day, breach
from planner.plan.verify.lasting import HEAVY_FROM
from planner.plan.verify.time_rules import item_lasting
from planner.plan.weekplan import PlanItem

MOST_NEW_IN_TWO_GOES = 25
RANGE = "range"
MOST_ORDERED = 7


def frame(case: Case) -> Iterator[Breach]:
    """A day opens with a warm-up and closes gently; a short one is a warm-up and one block."""
    for day in case.days:
        found = [item.family for item in day.plan.items if item.kind == "play"]
        inner = [family for family in found if family not in FRAME]
        right = ["warm-up"] * (day.facts.warm_up > 0) + inner + ["warm-down"] * (day.facts.warm_down > 0)
        if found != right:
            yield breach("frame", day, f"the day runs {', '.join(found) or 'empty'}")
        most = _most_blocks(day)
        if len(day.blocks) > most:
            yield breach("frame", day, f"{len(day.blocks)} blocks, at most {most} on this day")


def _most_blocks(day: Day) -> int:
    """How many blocks the kind of day allows at most, whatever the player's own bound."""
    if not day.facts.practice or day.facts.warm_up_only:
        return 0
    return 1 if day.facts.short else len(day.blocks)


def music(case: Case) -> Iterator[Breach]:
    """Own music stands where it is fixed or fits, after the blocks and before the warm-down."""
    for day in case.days:
        found = [item.exercise for item in day.plan.items if item.family == OWN_MUSIC]
        right = [piece.id for piece in day.facts.music]
        if found != right:
            yield breach("music", day, f"own music {found}, should be {right}")
        families = [item.family for item in day.plan.items if item.kind == "play"]
        after = families[families.index(OWN_MUSIC) :] if OWN_MUSIC in families else []
        if set(after) - {OWN_MUSIC, "warm-down"}:
            yield breach("music", day, "a block stands after the own music")


def blocks(case: Case) -> Iterator[Breach]:
    """At most so many blocks a day and so many minutes a block; each exercise in one block."""
    for day in case.days:
        if len(day.blocks) > case.player.blocks_a_day:
            yield breach("blocks", day, f"{len(day.blocks)} blocks, at most {case.player.blocks_a_day}")
        for exercise, count in Counter(block.exercise for block in day.blocks).items():
            if count > 1:
                yield breach("blocks", day, f"{exercise} stands in {count} places")
        for block in day.blocks:
            lasts = sum(_own_seconds(case, item) for item in block.items)
            most = 60 * case.player.minutes_a_block
            if lasts > most:
                yield breach("blocks", day, f"{block.exercise} lasts {lasts} s, at most {most}")


def _own_seconds(case: Case, item: PlanItem) -> int:
    """Seconds of an item without what the next exercise's set-up adds."""
    one = case.known.get(item.combination)
    if one is None or one.part is None:
        return item.seconds
    lasts = item_lasting(case, item, one)
    return min(item.seconds, lasts.whole(lasts.rest)[3])


def letters(case: Case) -> Iterator[Breach]:
    """Blocks are lettered in the order in which they are played, items numbered inside them."""
    for day in case.days:
        ids = [item.id for item in day.plan.items]
        if len(set(ids)) < len(ids) or "" in ids:
            yield breach("letters", day, f"ids {ids} are not all different")
        groups = groupby(day.plan.items, key=lambda item: (item.exercise, item.block))
        named = [(block, tuple(items)) for (_, block), items in groups if block]
        if [block for block, _ in named] != list(islice(_alphabet(), len(named))):
            yield breach("letters", day, f"blocks are lettered {[block for block, _ in named]}")
        for block, items in named:
            found, right = [item.id for item in items], [f"{block}{n + 1}" for n in range(len(items))]
            if items[0].combination and found != right:
                yield breach("letters", day, f"block {block} has items {found}")
        if any(item.combination and not item.block for item in day.plan.items):
            yield breach("letters", day, "an item stands in no block")


def _alphabet() -> Iterator[str]:
    """A to Z, then AA to ZZ: no day has minutes for more."""
    for length in (1, 2):
        yield from map("".join, product(string.ascii_uppercase, repeat=length))


def order(case: Case) -> Iterator[Breach]:
    """Range is not last, and no two heavy blocks stand in a row where they could be apart."""
    for day in case.days:
        if _range_last(day.blocks):
            yield breach("order", day, "the day's last block is range")
        if _heavy_in_a_row(day.blocks) and _could_be_apart(case, day.blocks):
            yield breach("order", day, "two heavy blocks stand in a row")


def _range_last(row: Sequence[Block]) -> bool:
    """Whether range closes the row though another block could."""
    families = [block.items[0].family for block in row]
    return bool(families) and families[-1] == RANGE and set(families) != {RANGE}


def _heavy_in_a_row(row: Sequence[Block]) -> bool:
    return any(min(one.intensity, two.intensity) >= HEAVY_FROM for one, two in pairwise(row))


def _could_be_apart(case: Case, row: Sequence[Block]) -> bool:
    here = {block.exercise for block in row}
    tied = any(here & set(it.after) for it in case.curriculum.exercises if it.id in here)
    if tied or len(row) > MOST_ORDERED:
        return False
    return any(not _heavy_in_a_row(other) and not _range_last(other) for other in permutations(row))


def goes(case: Case) -> Iterator[Breach]:
    """A new combination comes in two short goes with something between; any other in one."""
    new = sum(entry.state == "new" for entry in case.plan.combinations)
    for day in case.days:
        for block in day.blocks:
            for name in sorted(block.combinations):
                entry = case.playable.get(name)
                twice = entry is not None and entry.state == "new" and new <= MOST_NEW_IN_TWO_GOES
                twice = twice and len(block.combinations) > 1
                yield from _goes(day, block, name, 2 if twice else 1)


def _goes(day: Day, block: Block, name: str, wanted: int) -> Iterator[Breach]:
    places = [index for index, item in enumerate(block.items) if item.combination == name]
    found = [(block.items[index].go, block.items[index].goes) for index in places]
    if found != [(go + 1, 1) for go in range(wanted)]:
        yield breach("goes", day, f"{name} has goes {found}, should have {wanted}, numbered, each of 1")
    if any(two - one == 1 for one, two in pairwise(places)):
        yield breach("goes", day, f"{name} stands twice without another item between")
    if len({block.items[index].articulation for index in places}) > 1:
        yield breach("goes", day, f"{name} changes its articulation between its goes")
