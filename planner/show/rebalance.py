"""A rebalance on one screen: the way back, what stays and what moves by exercise, how the term ends.

A pure function from the JSON of a rebalance to text. With `plain` every turn that does not stay gets a line
of its own with its reason and date.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from datetime import timedelta
from typing import Any

from planner.inputs.dates import WEEKDAYS
from planner.show.layout import Faces, clean, indent, page, wrap
from planner.show.tables import Table, table_lines
from planner.show.words import MONTHS, counted, date_in_words, day_of, pretty, spoken

NONE = "–"
REASONS_SHOWN = 5
WHATS = ("kept", "moved", "kept for later", "left out")
HEADS_MISSED = {"kept": "in plan", "moved": "moved", "kept for later": "later", "left out": "out"}
"""A missed combination may have its next turn in the plan anyway."""
HEADS = {"kept": "stays", "moved": "moved", "kept for later": "later", "left out": "out"}
WORDS = {"moved": "Moved", "kept for later": "Later", "left out": "Out"}
"""The words of the table's heads, as sentences begin with them."""
PROOFS = {"met": "Proven", "impossible": "Proven not to fit", "open": "Not proven"}


def rebalance_text(
    found: dict[str, Any], *, width: int = 80, colour: bool = False, plain: bool = False
) -> str:
    """The rebalance as text of at most `width` columns."""
    if plain:
        return page(spoken(fact) for fact in _aloud(found))
    return page(_screen(found, width, Faces(colour)))


def _screen(found: dict[str, Any], width: int, faces: Faces) -> Iterator[str]:
    yield from (faces.bold(line) for line in wrap(_heading(found), width))
    yield from (line for fact in _facts(found) for line in indent(wrap(fact, width - 3), "", "   "))
    yield ""
    yield from table_lines(_table(found), width, faces)
    for facts in (_reasons(found), _term(found), _end(found)):
        yield ""
        yield from (line for fact in facts for line in indent(wrap(fact, width - 3), "", "   "))


def _heading(found: dict[str, Any]) -> str:
    return f"{clean(found['name'])}, {date_in_words(found['date'])}: planned again"


def _short(text: str | None) -> str:
    """An ISO date as "Mon 12 Oct"."""
    if not text:
        return "no date yet"
    day = day_of(text)
    return f"{WEEKDAYS[day.weekday()][:3]} {day.day} {MONTHS[day.month - 1][:3]}"


def _days(days: Sequence[str]) -> str:
    """Days as stretches: "Mon 5 Oct to Sun 11 Oct"."""
    runs: list[list[str]] = []
    for day in days:
        if runs and (day_of(day) - day_of(runs[-1][-1])).days == 1:
            runs[-1].append(day)
        else:
            runs.append([day])
    return ", ".join(
        _short(run[0]) if len(run) == 1 else f"{_short(run[0])} to {_short(run[-1])}" for run in runs
    )


def _facts(found: dict[str, Any]) -> Iterator[str]:
    if found["missed_days"]:
        combinations = f"{counted(found['missed_combinations'], 'combination')} planned"
        yield f"{_missed(found['missed_days'], found['date'])}, with {combinations}. They are no debt."
    else:
        yield f"Told: {pretty(found['told'])}."
    if found["played_days"]:
        yield f"The diary has {_days(found['played_days'])}: that counts as played."
    yield from _limits(found["limits"])
    yield from _way_back(found["way_back"])


def _missed(days: Sequence[str], today: str) -> str:
    """Days that are over or today were missed; those to come will be."""
    past, ahead = [day for day in days if day <= today], [day for day in days if day > today]
    told = [f"missed: {_days(past)}"] if past else []
    told += [f"will be missed: {_days(ahead)}"] if ahead else []
    words = "; ".join(told)
    return f"{words[:1].upper()}{words[1:]}"


def _limits(limits: Sequence[dict[str, Any]]) -> Iterator[str]:
    for one in limits:
        span = f"{_short(one['first'])} to {_short(one['until'])}"
        says = f": {pretty(one['says'])}" if one["says"] else ""
        yield f"Limit {clean(one['title'])}, {span}{says}."


def _way_back(days: Sequence[dict[str, Any]]) -> Iterator[str]:
    """The eased days as they really are: a limit may leave them shorter, and short days warm up as usual."""
    if not days:
        return
    told = ", ".join(f"{_short(one['day'])} {_minutes(one)}" for one in days)
    yield f"The way back: {told}; {_warm_ups(days)}."
    first = days[0]
    parts = ["tempos at least a notch lower"] if first["slower"] else []
    parts += [f"nothing above {pretty(first['top_note'])}"] if first["top_note"] else []
    alone = f"On {_short(first['day'])} {' and '.join(parts)}. " if parts else ""
    ranges = [one["day"] for one in days if one["no_range"]]
    without = f"No range work {_until(ranges)}. " if ranges else ""
    yield f"{alone}{without}Missed minutes are not made up."


def _minutes(one: dict[str, Any]) -> str:
    if one["limited"]:
        return f"{one['minutes']} of {one['usual']} min (the limit)"
    return f"{one['per_cent']} % ({one['minutes']} of {one['usual']} min)"


def _until(days: Sequence[str]) -> str:
    return f"on {_short(days[0])}" if len(days) == 1 else f"from {_short(days[0])} to {_short(days[-1])}"


def _warm_ups(days: Sequence[dict[str, Any]]) -> str:
    longer = sorted({one["warm_up"] for one in days})
    if longer == [0]:
        return "the warm-up as on any day of this length"
    if len(longer) == 1:
        return f"each with a warm-up {counted(longer[0], 'minute')} longer"
    told = (f"{counted(one['warm_up'], 'minute')} on {_short(one['day'])}" for one in days if one["warm_up"])
    return f"the warm-up is longer by {', '.join(told)}"


def _table(found: dict[str, Any]) -> Table:
    """By exercise: what was missed and what stood from today on, and what became of both."""
    turns = found["turns"]
    missed = {one["what"] for one in turns if one["missed"]}
    columns = [(True, what) for what in WHATS if what in missed or (missed and what != "kept")]
    columns += [(False, what) for what in WHATS]
    head = ("", *(_head(missed=missed, what=what) for missed, what in columns))
    titles = dict.fromkeys(one["title"] for one in turns)
    rows = tuple(_row(title, [one for one in turns if one["title"] == title], columns) for title in titles)
    return Table(
        head, (rows, (_row("together", turns, columns),)) if rows else ((_row("", turns, columns),),)
    )


def _head(*, missed: bool, what: str) -> str:
    """Two lines: of which turns, and what became of them."""
    return f"missed\n{HEADS_MISSED[what]}" if missed else f"ahead\n{HEADS[what]}"


def _row(title: str, turns: Sequence[dict[str, Any]], columns: Sequence[tuple[bool, str]]) -> tuple[str, ...]:
    count = Counter((one["missed"], one["what"]) for one in turns)
    return (clean(title), *(str(count[column] or NONE) for column in columns))


def _reasons(found: dict[str, Any]) -> Iterator[str]:
    """Why, for every reason how often and until when; then the week's turns before and now."""
    for what in WHATS[1:]:
        turns = [one for one in found["turns"] if one["what"] == what]
        counts = Counter(_reason(one) for one in turns)
        parts = []
        for reason, number in counts.most_common(REASONS_SHOWN):
            dates = sorted(one["to"] for one in turns if _reason(one) == reason and one["to"])
            parts.append(f"{number} ({reason}{_from_to(dates)})")
        rest = len(counts) - len(parts)
        more = f"; {counted(rest, 'more reason')}" if rest > 0 else ""
        if parts:
            yield f"{WORDS[what]}: {'; '.join(parts)}{more}."
    if found["not_planned_before"] > found["changes"]["new"]:
        new = counted(found["not_planned_before"], "turn")
        yield f"New in the weeks planned: {new} that no plan had before."
    yield from _week(found["date"], found["changes"])


def _week(today: str, week: dict[str, Any]) -> Iterator[str]:
    """How the turns of this week add up, in both plans, and how few changes there could be."""
    last = day_of(today) + timedelta(days=6 - day_of(today).weekday())
    until = f" to {_short(last.isoformat())}" if last != day_of(today) else ""
    now = [f"{week['stays']} on the same day", f"{week['moved']} on another day"]
    back = f" ({week['missed']} of them missed)" if week["missed"] else ""
    now += [f"{week['new']} new{back}"] if week["new"] else []
    gone = f"; {week['gone']} of those before {'is' if week['gone'] == 1 else 'are'} not in it any more"
    yield (
        f"{_short(today)}{until}: {counted(week['turns_before'], 'turn')} before, {week['turns_now']} now: "
        f"{', '.join(now)}{gone if week['gone'] else ''}."
    )
    least, changed = week["at_least"], week["first_week"]
    if changed and least is not None:
        could = "no plan with these turns changes fewer" if least == changed else f"at least {least} had to"
        yield f"Of the turns before {changed} {'does' if changed == 1 else 'do'} not stay; {could}."


def _reason(one: dict[str, Any]) -> str:
    """A reason without the figures of one combination."""
    return pretty(one["reason"].partition(" (need")[0])


def _from_to(dates: Sequence[str]) -> str:
    if not dates:
        return ""
    if dates[0] == dates[-1]:
        return f", {_short(dates[0])}"
    return f", {_short(dates[0])} to {_short(dates[-1])}"


def _term(found: dict[str, Any]) -> Iterator[str]:
    term = found["term"]
    if term is None:
        yield "The term is over: nothing new waits."
        return
    yield f"The term until {date_in_words(term['last_day'])}."
    yield f"{PROOFS[term['proof']]}: {pretty(term['sentence'])}."
    if found["ways_out"]:
        yield "What could give, each of these was tried:"
        for way in found["ways_out"]:
            met = ", and everything is met" if way["fits"] else ""
            yield f"- {way['kind']}: {pretty(way['price'])}{met}."


def _end(found: dict[str, Any]) -> Iterator[str]:
    if found["stored"]:
        yield "Stored: planner today shows the day, planner undo takes all of it back."
    else:
        yield "Nothing was stored."


def _aloud(found: dict[str, Any]) -> Iterator[str]:
    yield _heading(found)
    yield from _facts(found)
    for one in found["turns"]:
        if one["what"] != "kept" or one["missed"]:
            where = "missed" if one["missed"] else "planned"
            to = f", {_short(one['to'])}" if one["to"] else ""
            became = f"{one['what']}{to}, {pretty(one['reason'])}"
            yield f"{clean(one['combination'])}, {where} {_short(one['day'])}: {became}"
    yield from _reasons(found)
    yield from _term(found)
    yield from _end(found)
