"""A clash in a teacher's sentences, with its numbers; days as they are called, minutes of the clock."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from datetime import date
from typing import Any

from planner.horizon.clashes import THEN, Explained, Way, key_of
from planner.horizon.sentences import counted, listed
from planner.inputs.dates import WEEKDAYS
from planner.plan.daynotes import notes_of
from planner.plan.solve.named import Named, named_week

SHOWN = 5
ASKED = {
    "turn": ("combination wants its turn", "combinations want their turn"),
    "pair": ("exercise wants a key or position", "exercises want a key or position"),
    "shelf": ("combination of a small shelf comes", "combinations of a small shelf come"),
    "later": ("turn should not come later than", "turns should not come later than"),
    "rhythm": ("combination in work comes back", "combinations in work come back"),
}


def told(found: Explained) -> dict[str, Any]:
    """The clash as JSON values: headline, sentences, ways out, rules by name."""
    named = named_week(found.problem)
    return {
        "step": found.clash.step,
        "headline": headline(found),
        "because": list(because(found)),
        "smallest": found.clash.smallest,
        "proven": found.clash.proven,
        "rules": [_rule(found, rule, key_of(named, rule)) for rule in found.clash.rules],
        "ways": [
            {"kind": way.kind, "sentence": way_out(found, way), "whole": way.whole, **_change(way)}
            for way in found.ways
        ],
    }


def _rule(found: Explained, rule: Named, key: tuple[object, ...]) -> dict[str, Any]:
    names = [part for part in key[1:] if isinstance(part, str)]
    days = _days_of(found, rule)
    return {"rule": rule.kind, "name": names[0] if names else "", "days": [d.isoformat() for d in days]}


def _change(way: Way) -> dict[str, Any]:
    changes: dict[str, Any] = {
        "minutes": [{"date": day.isoformat(), "minutes": free} for day, free in way.minutes],
        "weeks": way.weeks,
        "count": way.count,
        "exercises": list(way.exercises),
        "combinations": list(way.combinations),
        "pins": [
            {"combination": name, "date": day.isoformat(), "to": to.isoformat() if to else None}
            for name, day, to in way.pins
        ],
    }
    return {name: value for name, value in changes.items() if value}


def headline(found: Explained) -> str:
    """The clash in one sentence: "Tuesday needs 62 minutes; you gave it 45"."""
    if found.needs:
        alone = "" if found.needs_whole else "For these alone "
        given = {facts.date: facts.free_minutes for facts in found.week.days}
        needs = [f"{_day(day)} needs {free} minutes" for day, free in found.needs]
        gave = [str(given[day]) for day, _ in found.needs]
        it = "it" if len(gave) == 1 else "them"
        return f"{alone}{listed(needs)}; you gave {it} {listed(gave)}."
    if [limit.kind for limit in found.clash.limits] == ["blocks"]:
        day = found.clash.limits[0].subject
        has = found.problem.days[day].blocks
        return f"{_day_of(found, day)} needs {has + 1} blocks or more; it has {has}."
    rules = [limit for limit in found.clash.limits if limit.kind != "closed"] or found.clash.limits
    kinds = dict.fromkeys(rule.kind for rule in rules)
    return f"What is wanted clashes with {listed([KINDS[kind] for kind in kinds])}."


KINDS = {
    "minutes": "the minutes",
    "load": "what the lip carries in a day",
    "two days": "what the lip carries over two days",
    "blocks": "the number of blocks a day",
    "block length": "the longest block",
    "running": "the rest between two turns",
    "range": "range work never on two days running",
    "order": "the order of the curriculum",
    "closed": "days that are closed to it",
}


def because(found: Explained) -> Iterator[str]:
    """Every rule of the set in a sentence, wishes first; like ones together."""
    yield from _pins(found)
    yield from _asked(found)
    yield from _others(found)
    yield from _limits(found)


def _pins(found: Explained) -> Iterator[str]:
    for rule in found.clash.wishes:
        if rule.kind == "pin":
            yield f"{found.problem.candidates[rule.subject].id} is pinned to {_day_of(found, rule.day)}."


def _asked(found: Explained) -> Iterator[str]:
    groups: dict[tuple[str, tuple[int, ...]], list[int]] = {}
    for rule in found.clash.wishes:
        if rule.kind in ASKED:
            window = found.problem.windows[rule.subject]
            groups.setdefault((rule.kind, (window.days[0], window.days[-1])), []).append(rule.subject)
    for (kind, (first, last)), windows in sorted(
        groups.items(), key=lambda group: (group[0][1], group[0][0])
    ):
        one, many = ASKED[kind]
        names = [found.problem.windows[number].name for number in windows]
        when = _when(found, kind, first, last)
        seconds = _seconds(found, windows)
        yield (
            f"{len(names)} {one if len(names) == 1 else many} {when}, {math.ceil(seconds / 60)} min"
            f" at the least: {_some(names)}."
        )


def _when(found: Explained, kind: str, first: int, last: int) -> str:
    if kind == "later":
        return _day_of(found, last)
    if kind == "rhythm":
        return f"within {_day_of(found, first)} to {_day_of(found, last)}"
    if first == last:
        return f"on {_day_of(found, last)}"
    return "this week" if last == len(found.week.days) - 1 else f"by {_day_of(found, last)}"


def _seconds(found: Explained, windows: Sequence[int]) -> int:
    """What these turns take at the least, each at its shortest, with one set-up for each exercise."""
    problem = found.problem
    shortest = [
        min(problem.windows[n].candidates, key=lambda c: problem.candidates[c].seconds) for n in windows
    ]
    taken = set(shortest)
    exercises = {problem.candidates[c].exercise for c in taken}
    return sum(problem.candidates[c].seconds for c in taken) + sum(
        problem.exercises[e].setup_seconds for e in exercises
    )


def _others(found: Explained) -> Iterator[str]:
    problem = found.problem
    for rule in found.clash.wishes:
        if rule.kind == "family":
            count = problem.days[rule.subject].families
            yield f"{_day_of(found, rule.subject)} works at {count} families beside own music."
        elif rule.kind == "touch":
            touch = problem.touches[rule.subject]
            yield f"{touch.name} is touched at least {_times(touch.least)} this week."
    sized = sorted({problem.exercises[r.subject].id for r in found.clash.wishes if r.kind == "block size"})
    if sized:
        yield f"A block has at least two combinations: {_some(sized)}."


def _limits(found: Explained) -> Iterator[str]:
    for rule in found.clash.limits:
        if rule.kind not in ("closed", "block length"):
            yield _limit(found, rule)
    longest = sorted(
        {found.problem.exercises[r.subject].id for r in found.clash.limits if r.kind == "block length"}
    )
    if longest:
        yield f"No block is longer than {found.problem.block_seconds // 60} minutes: {_some(longest)}."
    yield from _closed(found)


def _limit(found: Explained, rule: Named) -> str:
    problem, week = found.problem, found.week
    if rule.kind == "minutes":
        facts = week.days[rule.subject]
        beside = "warm-up, warm-down and own music" if facts.music else "warm-up and warm-down"
        left = facts.available_seconds // 60
        return f"{_day(facts.date)} has {facts.free_minutes} minutes, {left} of them beside {beside}."
    if rule.kind == "load":
        facts = week.days[rule.subject]
        room = problem.days[rule.subject].load / 1000
        return (
            f"The lip carries a load of {float(facts.load_limit):.0f} on {_day(facts.date)},"
            f" {room:.0f} of it for exercises."
        )
    if rule.kind == "two days":
        pair = problem.two_days[rule.subject]
        names = [_day_of(found, day) for day in pair.days]
        names = [_day(week.before.date), *names] if len(names) == 1 else names
        return f"{listed(names)} together leave a load of {pair.load / 1000:.0f} for exercises."
    if rule.kind == "blocks":
        most = counted(problem.days[rule.subject].blocks, "block")
        return f"{_day_of(found, rule.subject)} has at most {most}."
    if rule.kind == "running":
        return f"{problem.candidates[rule.subject].id} is kept up and does not come on two days running."
    if rule.kind == "range":
        first, second = rule.subject, rule.subject + 1
        return (
            f"Range work never comes on two days running ({_day_of(found, first)}, {_day_of(found, second)})."
        )
    exercise = problem.exercises[rule.subject]
    before = [problem.exercises[e].id for e in exercise.after]
    return f"{exercise.id} comes only after {listed(before)} on an earlier day."


def _closed(found: Explained) -> Iterator[str]:
    closed: dict[tuple[str, str], list[str]] = {}
    for rule in found.clash.limits:
        if rule.kind == "closed":
            why = (_day_of(found, rule.day), _why_closed(found, rule))
            closed.setdefault(why, []).append(found.problem.candidates[rule.subject].id)
    for (day, reason), names in closed.items():
        yield f"{day} is closed to {_some(names)}: {reason}."


def _why_closed(found: Explained, rule: Named) -> str:
    facts, wish = found.week.days[rule.day], found.week.wishes[rule.subject]
    notes = "; ".join(notes_of(found.week.player, facts))
    if not facts.practice:
        return "no free minutes"
    if facts.warm_up_only or not facts.most_blocks:
        return "only a warm-up"
    if wish.waits_for:
        return f"it waits for {listed(wish.waits_for)}"
    if rule.day == 0 and wish.id in found.week.before.combinations:
        return "it was played on the day before"
    if wish.state == "new" and not facts.allows_new:
        return f"nothing new ({notes})"
    return notes or "range work on the day before"


def way_out(found: Explained, way: Way) -> str:
    """A way out in one sentence, with what it brings."""
    return f"{_do(found, way)}: {THEN[way.whole]}."


def _do(found: Explained, way: Way) -> str:
    if way.kind == "minutes":
        given = {facts.date: facts.free_minutes for facts in found.week.days}
        more = [f"{_day(day)} {free} minutes instead of {given[day]}" for day, free in way.minutes]
        return f"Give {listed(more)}"
    if way.kind == "blocks":
        return f"Allow {way.count} blocks a day instead of {found.week.player.blocks_a_day}"
    if way.kind == "longer blocks":
        return f"Let a block last {way.count} minutes instead of {found.week.player.minutes_a_block}"
    if way.kind == "span":
        weeks = found.week.capacity.granted_span_days // 7
        return f"Keep up every {way.weeks} weeks instead of every {weeks} (kept_up_weeks = {way.weeks})"
    if way.kind == "scope":
        return f"Leave {listed(way.exercises)} out of the curriculum for this week"
    if way.kind == "aside":
        aside = counted(len(way.combinations), "combination")
        return f"Set {aside} aside for this week ({_some(way.combinations)})"
    if way.kind == "pin":
        moved = [
            f"pin {name} to {_day(to)} instead of {_day(day)}" if to else f"unpin {name} on {_day(day)}"
            for name, day, to in way.pins
        ]
        told = listed(moved)
        return told.capitalize() if len(moved) == 1 else f"Take out {len(moved)} pins: {told}"
    assert way.rule is not None
    return f"Give up one wish ({way.rule.kind})"


def _days_of(found: Explained, rule: Named) -> list[date]:
    if rule.day >= 0:
        days: Sequence[int] = (rule.day,)
    elif rule.kind in ("minutes", "load", "blocks", "family"):
        days = (rule.subject,)
    elif rule.kind == "two days":
        days = found.problem.two_days[rule.subject].days
    elif rule.kind == "range":
        days = (rule.subject, rule.subject + 1)
    elif rule.kind in ASKED:
        days = found.problem.windows[rule.subject].days
    else:
        days = ()
    return [found.week.days[day].date for day in days]


def _day(day: date) -> str:
    return WEEKDAYS[day.weekday()]


def _day_of(found: Explained, day: int) -> str:
    return _day(found.week.days[day].date)


def _some(names: Sequence[str]) -> str:
    shown = list(names[:SHOWN])
    return ", ".join(shown) + (f" and {len(names) - SHOWN} more" if len(names) > SHOWN else "")


def _times(number: int) -> str:
    return {1: "once", 2: "twice"}.get(number, f"{number} times")
