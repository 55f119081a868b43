"""The times of items: playing, breaths, rests, the set-up of another exercise, and their sums in a day."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from fractions import Fraction
from math import ceil, floor
from statistics import NormalDist

from checker import marks
from checker.breach import Breach, Breaches, Day, Item, differs, place
from checker.known import Known, every

FRAME = ("warm-up", "warm-down")


def times(known: Known) -> Breaches:
    """Every item takes what its breaths and rests take, and begins when the one before has ended."""
    for day in known.days:
        at = 0
        following: list[Item | None] = [*day["items"][1:], None]
        for item, after in zip(day["items"], following, strict=False):
            if item["at"] != at:
                yield differs("times", place(day, item), "its beginning", item["at"], at)
            at = item["at"] + item["seconds"]
            yield from _item(known, day, item, after)


def _item(known: Known, day: Day, item: Item, after: Item | None) -> Breaches:
    parts = item["play_seconds"] + item["breath_pauses_seconds"] + item["pause_seconds"]
    if parts != item["seconds"]:
        yield differs("times", place(day, item), "its seconds", item["seconds"], parts)
    if item["combination"]:
        yield from _breath(known, day, item)
        yield from _work(known, day, item, after)
    else:
        yield from _frame(day, item)


def _frame(day: Day, item: Item) -> Breaches:
    """Warm-up and warm-down play half of their seconds, own music three fifths; the pauses lie inside."""
    share = Fraction(1, 2) if item["family"] in FRAME else Fraction(3, 5)
    play = floor(item["seconds"] * share)
    if item["play_seconds"] != play:
        yield differs("times", place(day, item), "its playing", item["play_seconds"], play)
    if item["breath_pauses_seconds"]:
        yield Breach("times", place(day, item), "it has no breaths that are counted, and pauses between them")
    if item["family"] in FRAME and item["intensity"] != 1:
        yield Breach("load", place(day, item), "warm-up and warm-down are light work, 1 of 5")
    exact = item["seconds"] * share if item["family"] in FRAME else Fraction(play)
    yield from _load(day, item, exact)


def _load(day: Day, item: Item, play: Fraction) -> Breaches:
    load = float(play / 60 * item["intensity"])
    if abs(load - item["load"]) > 0.00051:
        yield differs("load", place(day, item), "its load", item["load"], round(load, 3))


def breath_of(item: Item) -> Fraction | None:
    """Exact seconds of a breath; None where the item has neither tempo nor seconds to hold."""
    if item["measure"] == "seconds":
        return Fraction(str(item["target"])) if item["target"] > 0 else None
    whole = item["tempo"] and item["beat"] and item["bars"] and item["passes"] and item["rounds"]
    return marks.breath(item) if whole else None


def _breath(known: Known, day: Day, item: Item) -> Breaches:
    breath = breath_of(item)
    if breath is None:
        yield Breach("times", place(day, item), "it has neither tempo and notes nor seconds to hold")
        return
    if abs(float(breath) - item["breath_seconds"]) > 0.00051:
        yield differs("times", place(day, item), "a breath", item["breath_seconds"], round(float(breath), 3))
    if item["target"] and item["measure"] not in ("seconds", "top note"):
        yield differs("times", place(day, item), "its target", item["target"], 0)
    if item["passes"] > item["passes_wanted"]:
        yield Breach("times", place(day, item), "it has more passes in a breath than the exercise asks for")
    elif item["measure"] != "seconds":
        yield from _passes(known, day, item)


def _passes(known: Known, day: Day, item: Item) -> Breaches:
    """As many passes in a breath as the exercise asks for, fewer only where the breath does not reach."""
    if known.player is None or "breath_seconds" not in known.player.table:
        return
    reach = floor(Fraction(str(known.player.table["breath_seconds"])) / marks.one_pass(item))
    passes = max(1, min(item["passes_wanted"], reach))
    if item["passes"] != passes:
        yield differs("times", place(day, item), "passes in a breath", item["passes"], passes)


def _work(known: Known, day: Day, item: Item, after: Item | None) -> Breaches:
    breath = breath_of(item)
    if breath is None:
        return
    count = marks.breaths(item)
    play = breath * count
    if item["play_seconds"] != ceil(play):
        yield differs("times", place(day, item), "its playing", item["play_seconds"], ceil(play))
    yield from _load(day, item, play)
    possible = [(inner, _pauses(item, breath, count, inner)) for inner in _inner(known, item, breath)]
    if item["breath_pauses_seconds"] not in [ceil(pauses) for _, pauses in possible]:
        shortest = ceil(possible[0][1])
        yield differs("times", place(day, item), "its breathing", item["breath_pauses_seconds"], shortest)
        return
    pauses = next(p for _, p in possible if ceil(p) == item["breath_pauses_seconds"])
    rest = _rest(item, breath, play)
    if after is None:
        rest = Fraction(0)
    elif after["exercise"] != item["exercise"]:
        rest = max(rest, Fraction(marks.SET_UP))
    seconds = max(ceil(play + pauses + rest), item["play_seconds"] + item["breath_pauses_seconds"])
    if item["seconds"] != seconds:
        yield differs(
            "rest", place(day, item), "its seconds with the rest after it", item["seconds"], seconds
        )


def _inner(known: Known, item: Item, breath: Fraction) -> Iterator[int]:
    """How many breaths may be taken inside a pass: exactly, or every number where the breath is unknown."""
    said = known.player.table.get("breath_seconds") if known.player else None
    if said is not None:
        yield max(0, ceil(breath / Fraction(str(said))) - 1)
    elif item["passes"] > 1 and item["measure"] != "seconds":
        yield 0
    else:
        yield from range(ceil(breath / 2))  # a comfortable breath is 2 to 60 seconds, says README.md


def _pauses(item: Item, breath: Fraction, count: int, inner: int) -> Fraction:
    between = breath * 3 / 2 if item["intensity"] >= 4 else Fraction(marks.BETWEEN_BREATHS)
    return (count - 1) * between + count * inner * marks.BETWEEN_BREATHS


def _rest(item: Item, breath: Fraction, play: Fraction) -> Fraction:
    if item["intensity"] >= 4:
        return breath * 3 / 2
    return play / 2 if item["intensity"] <= 2 else play


def tempo(known: Known) -> Breaches:
    """Today's tempo is a mark, never above the goal, at most 6 notches below the exercise's first one."""
    for day, item in every(known.plan):
        if item["tempo"] is None:
            if item["combination"] and item["measure"] != "seconds":
                yield Breach("tempo", place(day, item), "it has no tempo")
            continue
        yield from _tempo(known, day, item)


def _tempo(known: Known, day: Day, item: Item) -> Breaches:
    if item["tempo"] not in marks.MARKS:
        yield Breach("tempo", place(day, item), f"{item['tempo']} is no metronome mark")
    if item["tempo"] > item["tempo_goal"]:
        yield Breach("tempo", place(day, item), f"{item['tempo']} is above the goal, {item['tempo_goal']}")
    if marks.notches(item["tempo"], item["tempo_first"]) < -6:
        yield Breach(
            "tempo", place(day, item), f"{item['tempo']} is more than 6 notches below the first tempo"
        )
    clean = item["clean_tempo"]
    if clean is None or not item["tempo_goal"]:
        yield Breach("tempo", place(day, item), "there is no estimate behind its tempo")
        return
    distance = marks.notches(item["tempo"], item["tempo_goal"])
    chance = marks.success(clean["mean"], clean["sd"], distance)
    if item["measure"] == "tempo" and abs(chance - clean["success"]) > 0.0011:
        yield differs("tempo", place(day, item), "its success", clean["success"], round(chance, 3))
    need = min(1.0, max(0.0, clean["sd"] - clean["mean"]) / 16)
    if abs(need - item["need"]) > 0.00062:
        yield differs("need", place(day, item), "its need", item["need"], round(need, 3))
    if item["measure"] == "tempo" and known.player is not None:
        yield from _target(known, day, item)


def _target(known: Known, day: Day, item: Item) -> Breaches:
    """The mark with the success the player asks for; ends of marks may fall either way by rounding."""
    assert known.player is not None
    clean, goal = item["clean_tempo"], item["tempo_goal"]
    spread = (clean["sd"] ** 2 + 4) ** 0.5
    below = NormalDist().inv_cdf(known.player.boldness) * spread
    allowed = set()
    for shift in (-0.002, 0.0, 0.002):
        wished = goal * 2 ** ((clean["mean"] - below + shift) / 16)
        allowed |= set(_marks_for(known, day, item, wished))
    if item["tempo"] not in allowed:
        yield differs(
            "tempo", place(day, item), "the mark", item["tempo"], " or ".join(map(str, sorted(allowed)))
        )


def _marks_for(known: Known, day: Day, item: Item, wished: float) -> Iterator[int]:
    long_ago = True
    if item["last_played"] is not None:
        first = date.fromisoformat(known.plan["first_day"])
        long_ago = (first - date.fromisoformat(item["last_played"])).days >= 7
    mark = marks.mark_below(wished) if long_ago else marks.nearest_mark(wished)
    lowest = min(mark for mark in marks.MARKS if marks.notches(mark, item["tempo_first"]) >= -6)
    yield min(max(mark, lowest), marks.mark_below(item["tempo_goal"]))


def sums(known: Known) -> Breaches:
    """Seconds and load of a day are the sums of its items, and do not go beyond what there is."""
    for day in known.days:
        used = sum(item["seconds"] for item in day["items"])
        if used != day["seconds_used"]:
            yield differs("sums", place(day), "seconds used", day["seconds_used"], used)
        if max(used, day["seconds_used"]) > day["seconds_free"]:
            yield Breach(
                "minutes", place(day), f"{used} seconds are more than the {day['seconds_free']} free"
            )
        load = sum(item["load"] for item in day["items"]) + day["playing_load"]
        if abs(load - day["load"]) > 0.0006 * (len(day["items"]) + 2):
            yield differs("sums", place(day), "load", day["load"], round(load, 3))
