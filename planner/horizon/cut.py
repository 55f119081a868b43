"""A routine cut to the minutes there are: the warm-up and what is needed most stay. Standard library only.

Ids stay as they were, so that a rating names the same item whether the routine was cut or not. A cut day
obeys rules 1 and 2 with the new minutes; what falls out is named, and comes back with the next plan.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any

SET_UP_SECONDS = 45
# free minutes from which a step holds, seconds of warm-up, seconds of warm-down: the steps of rule 2
FRAME = ((30, 480, 180), (22, 360, 120), (15, 240, 120), (1, 180, 0))
LONG_DAY_MINUTES = 30
OWN_WARM_UP_SHARE = 3  # from 30 minutes on a warm-up of the player's own may take a third of them
SHORT_DAY_MINUTES = 15
SHORT_DAY_BLOCKS = 1

Item = dict[str, Any]


def cut_day(day: dict[str, Any], minutes: int) -> tuple[dict[str, Any], tuple[str, ...]]:
    """The day of a plan in at most `minutes`, and the ids of the items that fell out.

    A day that takes no longer stays as it is. What is pinned is kept first, then by whether a turn is wanted,
    then by need.
    """
    if day["seconds_used"] <= 60 * minutes:
        return day, ()
    up, down = _frame(day, minutes)
    kept: list[Item] = []
    for group in _by_need(day["items"]):
        trial = _in_order(day, [*kept, *group], up, down)
        if _allowed(trial, minutes):
            kept += group
    items = _in_order(day, kept, up, down)
    out = tuple(item["id"] for item in day["items"] if item["id"] not in {one["id"] for one in items})
    return _with(day, items, minutes), out


def _frame(day: dict[str, Any], minutes: int) -> tuple[int, int]:
    """Seconds of warm-up and warm-down: never longer than the day had them."""
    up, down = next(((u, d) for least, u, d in FRAME if minutes >= least), (0, 0))
    had = {item["family"]: item["seconds"] for item in day["items"]}
    if set(had) == {"warm-up"}:  # the day of a concert
        up = 60 * minutes
    elif minutes >= LONG_DAY_MINUTES:
        up = 60 * minutes // OWN_WARM_UP_SHARE
    return min(up, 60 * minutes, had.get("warm-up", 0)), min(down, had.get("warm-down", 0))


def _by_need(items: Sequence[Item]) -> list[list[Item]]:
    """What may be left out, first what is needed most: combinations with all their goes, own music last."""
    groups: dict[str, list[Item]] = {}
    for item in items:
        if item["family"] not in ("warm-up", "warm-down"):
            groups.setdefault(item["combination"] or item["id"], []).append(item)
    return sorted(groups.values(), key=_rank)


def _rank(group: Sequence[Item]) -> tuple[bool, bool, bool, float, str]:
    first = group[0]
    return not first["combination"], not first["pinned"], not first["wanted"], -first["need"], first["id"]


def _allowed(items: Sequence[Item], minutes: int) -> bool:
    blocks = {item["block"] for item in items if item["combination"]}
    few = minutes >= SHORT_DAY_MINUTES or len(blocks) <= SHORT_DAY_BLOCKS
    return few and sum(item["seconds"] for item in items) <= 60 * minutes


def _in_order(day: dict[str, Any], kept: Iterable[Item], up: int, down: int) -> list[Item]:
    """The frame and the kept items in the order of the day, with their pauses and starting seconds anew."""
    ids = {item["id"] for item in kept}
    frame = {"warm-up": up, "warm-down": down}
    chosen = _apart([item for item in day["items"] if item["id"] in ids or frame.get(item["family"])])
    items: list[Item] = []
    at = 0
    for index, item in enumerate(chosen):
        following = chosen[index + 1] if index + 1 < len(chosen) else None
        placed = _placed(item, following, frame.get(item["family"]), at)
        items.append(placed)
        at += placed["seconds"]
    return items


def _apart(items: Sequence[Item]) -> list[Item]:
    """Without the second go of a combination where nothing is left between the two."""
    found: list[Item] = []
    for item in items:
        if not (found and item["combination"] and item["combination"] == found[-1]["combination"]):
            found.append(item)
    return found


def _placed(item: Item, following: Item | None, framed: int | None, at: int) -> Item:
    if framed is not None:
        parts = {"seconds": framed, "play_seconds": framed // 2, "pause_seconds": framed - framed // 2}
        return item | parts | {"at": at, "load": round(framed / 120, 3)}
    pause = item["pause_seconds"]
    if item["combination"]:
        pause = _pause(item, following)
    seconds = item["play_seconds"] + item["breath_pauses_seconds"] + pause
    return item | {"at": at, "pause_seconds": pause, "seconds": seconds}


def _pause(item: Item, following: Item | None) -> int:
    """Another exercise that now follows wants its set-up; a rest already taken is never shortened."""
    if following is None:
        return 0
    if following["exercise"] == item["exercise"]:
        return int(item["pause_seconds"])
    return max(SET_UP_SECONDS, int(item["pause_seconds"]))


def _with(day: dict[str, Any], items: list[Item], minutes: int) -> dict[str, Any]:
    before, now = (sum(item["load"] for item in part) for part in (day["items"], items))
    return day | {
        "items": items,
        "seconds_free": 60 * minutes,
        "seconds_used": sum(item["seconds"] for item in items),
        "load": round(day["load"] - before + now, 3),
        "load_two_days": round(day["load_two_days"] - before + now, 3),
        "notes": [*day["notes"], f"cut to {minutes} minute{'' if minutes == 1 else 's'}"],
    }
