"""Hard rule 1 and the arithmetic of every day: seconds, clock, sums, loads.

Readings where the specification leaves room:
- an item of kind "rest" counts with its seconds and does not part two items of one exercise;
- a load in the plan is the exact one rounded to at least one decimal.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from planner.plan.verify.breach import Breach
from planner.plan.verify.case import FRAME, OWN_MUSIC, Case, Day, breach
from planner.plan.verify.days import TWO_DAYS_SHARE, exact
from planner.plan.verify.lasting import SET_UP, Lasting, lasting
from planner.plan.verify.repertoire import Combination
from planner.plan.weekplan import PlanItem

ROUNDED = Fraction(1, 1000)
"""Loads are told with three decimals."""


def minutes(case: Case) -> Iterator[Breach]:
    """A day holds no more than its free minutes, pauses and own music included."""
    for day in case.days:
        used, free = sum(item.seconds for item in day.plan.items), day.facts.free_minutes * 60
        if used > free:
            yield breach("minutes", day, f"{used} s of items in {free} s")


def day_sums(case: Case) -> Iterator[Breach]:
    """The figures of a day are the sums of its items and what its date allows."""
    for day in case.days:
        used = sum(item.seconds for item in day.plan.items)
        for name, found, right in (
            ("seconds_free", day.plan.seconds_free, day.facts.free_minutes * 60),
            ("seconds_used", day.plan.seconds_used, used),
            ("available_seconds", day.plan.available_seconds, day.facts.available),
        ):
            if found != right:
                yield breach("day sums", day, f"{name} is {found}, should be {right}")


def clock(case: Case) -> Iterator[Breach]:
    """Every item begins where the one before it ends, pause included."""
    for day in case.days:
        at = 0
        for item in day.plan.items:
            if item.at != at:
                yield breach("clock", day, f"{item.id} at {item.at}, should be {at}")
            at += item.seconds


def seconds(case: Case) -> Iterator[Breach]:
    """Every item lasts as long as its notes, breaths and rests."""
    for day in case.days:
        for index, item in enumerate(day.plan.items):
            found = (item.play_seconds, item.breath_pauses_seconds, item.pause_seconds, item.seconds)
            right = whole_seconds(case, day, index)
            if found != right:
                yield breach("seconds", day, f"{item.id} has {found}, should have {right}")


def whole_seconds(case: Case, day: Day, index: int) -> tuple[int, int, int, int]:
    """Playing, breath pauses, pause and all of an item, recomputed; an unknown item stands as it is."""
    item = day.plan.items[index]
    if item.kind == "rest":
        return 0, 0, item.seconds, item.seconds
    if item.family in FRAME:
        whole = day.facts.warm_up if item.family == "warm-up" else day.facts.warm_down
        return whole // 2, 0, whole - whole // 2, whole
    if item.family == OWN_MUSIC and not item.combination:
        whole = next((60 * piece.minutes for piece in day.facts.music if piece.id == item.exercise), 0)
        return whole * 3 // 5, 0, whole - whole * 3 // 5, whole
    one = case.known.get(item.combination)
    if one is None or one.part is None:
        return item.play_seconds, item.breath_pauses_seconds, item.pause_seconds, item.seconds
    lasts = item_lasting(case, item, one)
    return lasts.whole(_pause(day, index, lasts.rest))


def item_lasting(case: Case, item: PlanItem, one: Combination) -> Lasting:
    """Exact seconds and load of an item of a known combination."""
    return lasting(one, item.tempo, item.target, item.articulation, case.player.breath_seconds)


def _pause(day: Day, index: int, rest: Fraction) -> Fraction:
    """The rest of an item, or the set-up of another exercise after it; none after the day's last item."""
    item = day.plan.items[index]
    after = [other for other in day.plan.items[index + 1 :] if other.kind == "play"]
    if not after:
        return Fraction(0)
    return max(rest, Fraction(SET_UP)) if after[0].exercise != item.exercise else rest


def item_load(case: Case, day: Day, item: PlanItem) -> Fraction:
    """The exact load of an item; an unknown item weighs what it says."""
    if item.kind == "rest":
        return Fraction(0)
    if item.family in FRAME and not item.combination:
        return Fraction(day.facts.warm_up if item.family == "warm-up" else day.facts.warm_down, 120)
    if item.family == OWN_MUSIC and not item.combination:
        pieces = [piece for piece in day.facts.music if piece.id == item.exercise]
        return sum((Fraction(piece.minutes * 3, 5) * piece.intensity for piece in pieces), Fraction(0))
    one = case.known.get(item.combination)
    return exact(item.load) if one is None or one.part is None else item_lasting(case, item, one).load


def day_load(case: Case, day: Day) -> Fraction:
    """The exact load of a day, other playing included."""
    return sum((item_load(case, day, item) for item in day.plan.items), day.facts.playing)


def loads(case: Case) -> Iterator[Breach]:
    """Every load in the plan is play minutes times intensity, other playing included."""
    for day in case.days:
        pairs = [(item.id, item.load, item_load(case, day, item)) for item in day.plan.items]
        pairs.append(("playing_load", day.plan.playing_load, day.facts.playing))
        pairs.append(("load", day.plan.load, day_load(case, day)))
        pairs.append(("load_limit", day.plan.load_limit, day.facts.limit))
        for name, found, right in pairs:
            if abs(exact(found) - right) > ROUNDED:
                yield breach("loads", day, f"{name} weighs {found}, should be {float(right):.3f}")


def load_limit(case: Case) -> Iterator[Breach]:
    """The load of a day stays under its limit; what is fixed on it may always be played."""
    for day in case.days:
        load, limit = day_load(case, day), max(day.facts.limit, day.facts.fixed)
        if load > limit:
            yield breach("load", day, f"load {float(load):.3f} over the limit of {float(limit):.3f}")


def two_days(case: Case) -> Iterator[Breach]:
    """Two days running stay under nine tenths of their two limits, across the border of the week too.

    Readings: a day's two figures are about it and the day before it; the day before the week counts with the
    load the plan gives it ("before" is checked by itself) and cannot be taken back, like fixed music.
    """
    before, load_before = case.before, exact(case.notes.before.load)
    limit_before, fixed_before = before.limit, load_before
    for day in case.days:
        load, limit = day_load(case, day), TWO_DAYS_SHARE * (limit_before + day.facts.limit)
        limit = max(limit, fixed_before + day.facts.fixed)
        if load_before + load > limit + ROUNDED * (day is case.days[0]):
            yield breach("two days' load", day, f"{float(load_before + load):.3f} over {float(limit):.3f}")
        for name, found, right in (
            ("load_two_days", day.plan.load_two_days, load_before + load),
            ("load_two_days_limit", day.plan.load_two_days_limit, limit),
        ):
            if abs(exact(found) - right) > 2 * ROUNDED:
                yield breach("loads", day, f"{name} is {found}, should be {float(right):.3f}")
        load_before, limit_before, fixed_before = load, day.facts.limit, day.facts.fixed
