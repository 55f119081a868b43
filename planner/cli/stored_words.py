"""What `planner rate` says it stored: every rating with exercise and place, whatever letter it was given by.

A plan may have changed since a sheet was printed, and a letter alone would not show it.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from itertools import groupby
from typing import Any

from planner.diary.shorthand import Entry
from planner.diary.values import OWN_MUSIC, Target, described
from planner.show import items as shown
from planner.show.layout import NO_BREAK, clean, indent, wrap

INDENT = "  "
BELOW = " " * 6

Items = Mapping[str, dict[str, Any]]


def by_letter(items: Sequence[dict[str, Any]]) -> Items:
    """The items of a routine by their letters; of two goes the first."""
    return {item["id"]: item for item in reversed(items)}


def stored_line(entry: Entry, items: Items, width: int, lead: str = "") -> list[str]:
    """One word as it was stored, on a line or more: "B1 Spindle a, 23 → 13, slurred: clean at 80"."""
    asked = {target.tempo for target in entry.targets}
    said = _with_tempo(entry.targets[0], asked.pop() if len(asked) == 1 else None)
    words = f"{lead}{_named(entry, items)}: {described(said, entry.value)}"
    return _lines(words, width, INDENT)


def rest_lines(rest: Sequence[Target], items: Items, width: int, *, told: bool) -> Iterator[str]:
    """Those not named, which count as clean: by letter where they were listed before (`told`), else whole."""
    if not rest:
        return
    names = "" if not told else f" {', '.join(target.name for target in rest)}"
    yield from _lines(f"{len(rest)} clean as marked:{names}", width, INDENT)
    for _, found in groupby([] if told else rest, key=lambda target: target.block):
        members = list(found)
        places = [f"{one.name} {_place(items[one.name])}".rstrip() for one in members]
        title = shown.block_title([items[one.name] for one in members])
        yield from _lines(f"{title}: {', '.join(places)}", width, "    ")


def _lines(words: str, width: int, first: str) -> list[str]:
    """Words in lines of at most `width` columns, as they are printed."""
    return [line.replace(NO_BREAK, " ") for line in indent(wrap(words, width - len(BELOW)), first, BELOW)]


def _place(item: dict[str, Any]) -> str:
    """Key or positions; nothing for own music."""
    return shown.where(item) if item["combination"] else ""


def _with_tempo(target: Target, tempo: int | None) -> Target:
    return replace(target, tempo=tempo)


def _named(entry: Entry, items: Items) -> str:
    """What a word named: an item, a block with all its places, or a combination off the shelf."""
    first = entry.targets[0]
    members = [items[target.name] for target in entry.targets if target.name in items]
    if not entry.is_block or not members:
        return _item(first, items)
    places = dict.fromkeys(shown.where(item) for item in members if item["combination"])
    return ", ".join([f"{first.block} {shown.block_title(members)}", *places])


def _item(target: Target, items: Items) -> str:
    item = items.get(target.name)
    if item is None or not target.block:
        return target.name
    if item["family"] == OWN_MUSIC or not item["combination"]:
        return f"{target.name} {shown.title(item)}"
    title = shown.block_title([item])
    return ", ".join([f"{target.name} {title}", shown.where(item), clean(item["articulation"])])
