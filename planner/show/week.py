"""The week on one screen: what stands on which day, what it gives up and how much of it is proven.

A pure function from a plan to text. Numbers in the upper part are items (a combination on a day is one,
also in two goes); nothing is said by colour or type face alone.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from math import ceil
from typing import Any

from planner.inputs.dates import WEEKDAYS
from planner.show import day as about
from planner.show import items as say
from planner.show.layout import NO_BREAK, Faces, clean, flow, indent, page, wrap
from planner.show.set_aside import by_reason
from planner.show.tables import Row, Table, table_lines
from planner.show.unused import unused
from planner.show.words import date_in_words, day_of, pretty, spoken, without_need

Day = dict[str, Any]

NONE = "–"
SHOWN = 5  # so many combinations left over are named, the rest counted
STATES = ("new", "in work", "kept up")
# what a breach of a soft rule means, by the rule's name in the plan
BREACHES = {
    "turns": (
        "turn missing of all that were asked for, second turns counted",
        "turns missing of all that were asked for, second turns counted",
    ),
    "pairs": (
        "exercise not met in a key or on a position within two weeks",
        "exercises not met in a key or on a position within two weeks",
    ),
    "delay": (
        "day by which a turn comes later than wanted",
        "days by which turns come later than wanted, all together",
    ),
    "rhythm": (
        "gap of more than three practice days in what is in work",
        "gaps of more than three practice days in what is in work",
    ),
    "small shelf": ("combination without a turn all week", "combinations without a turn all week"),
    "families": ("family missing on a day", "families missing on a day"),
    "block size": (
        "block with one combination where there are more",
        "blocks with one combination where there are more",
    ),
    "touches": (
        "position or key met less often than wanted",
        "positions or keys met less often than wanted",
    ),
    "term": ("turn missing that the term promised", "turns missing that the term promised"),
}
OTHER_PROOF = ("{} cannot be better, proven", f"{{}} might be better by at most {{}}{NO_BREAK}%")


def week_text(
    plan: dict[str, Any], *, width: int = 80, colour: bool = False, plain: bool = False, boxes: bool = False
) -> str:
    """The week of `plan` as text.

    `width` in columns; `colour` allows bold and dim; `plain` gives one fact a line, for reading aloud;
    `boxes` allows fine lines (a terminal, not a pipe).
    """
    if plain:
        return page(spoken(fact) for fact in _aloud(plan))
    return page(_screen(plan, width, Faces(colour), boxes))


def _screen(plan: dict[str, Any], width: int, faces: Faces, boxes: bool) -> Iterator[str]:
    yield from (faces.bold(line) for line in wrap(week_heading(plan), width))
    yield from flow(week_facts(plan), width)
    yield ""
    yield from table_lines(week_table(plan), width, faces, boxes=boxes)
    for lines in (_notes(plan), given_up(plan), proven(plan)):
        facts = list(lines)
        if facts:
            yield ""
        for fact in facts:
            yield from indent(wrap(fact, width - 3), "", "   ")


def week_heading(plan: dict[str, Any]) -> str:
    """Whose week, from which day to which."""
    first, last = day_of(plan["first_day"]), date_in_words(plan["last_day"])
    begins = date_in_words(plan["first_day"], year=False)
    if first.month == day_of(plan["last_day"]).month:
        begins = begins.rpartition(" ")[0]
    return f"{clean(plan.get('name') or plan['player'])}, {begins} to {last}"


def week_facts(plan: dict[str, Any]) -> list[str]:
    """Instrument, week of the curriculum, what the minutes carry."""
    facts = [fact for _, fact in about.heading_facts(plan, {"items": [], "load": 0})]
    return [*facts, *([clean(plan["capacity"]["sentence"])] if plan["capacity"].get("sentence") else [])]


def week_table(plan: dict[str, Any]) -> Table:
    """Days beside each other: items of every exercise, then minutes and load, then states."""
    days = plan["days"]
    head = (
        "",
        *(f"{WEEKDAYS[day_of(day['date']).weekday()][:3]}\n{day_of(day['date']).day}" for day in days),
        "week",
    )
    counts = [Counter(say.title(item) for item in turns(day)) for day in days]
    titles = dict.fromkeys(title for count in counts for title in count)
    exercises = tuple(_row(title, [count[title] for count in counts]) for title in titles)
    music = [_minutes(day, "own music") for day in days]
    clock = (
        *((_row("own music, min", music),) if any(music) else ()),
        _row("minutes", [round(day["seconds_used"] / 60) for day in days]),
        _row("free minutes", [round(day["seconds_free"] / 60) for day in days]),
        _row("load", [round(day["load"]) for day in days]),
        _row("load limit", [round(day["load_limit"]) for day in days]),
    )
    states = tuple(_row(state, [_in_state(day, state) for day in days]) for state in STATES)
    return Table(head, tuple(group for group in (exercises, clock, states) if group))


def _row(name: str, numbers: list[int]) -> Row:
    return (name, *(str(number or NONE) for number in (*numbers, sum(numbers))))


def turns(day: Day) -> list[say.Item]:
    """The items of a day that are combinations, each counted once, also where it is played in two goes."""
    return [item for item in day["items"] if item["combination"] and item["go"] == 1]


def _in_state(day: Day, state: str) -> int:
    return sum(1 for item in turns(day) if item["state"] == state)


def _minutes(day: Day, family: str) -> int:
    seconds = sum(int(item["seconds"]) for item in day["items"] if item["family"] == family)
    return round(seconds / 60)


def _notes(plan: dict[str, Any]) -> Iterator[str]:
    for day in plan["days"]:
        date = day_of(day["date"])
        for note in about.day_notes(day):
            yield f"{WEEKDAYS[date.weekday()][:3]} {date.day}: {note}"
    yield from free_minutes_left(plan)
    yield from pinned(plan)


def free_minutes_left(plan: dict[str, Any]) -> Iterator[str]:
    """Days on which a good part of the minutes stays free, those with one reason in one sentence."""
    reasons: dict[str, list[str]] = {}
    for day in plan["days"]:
        told, _, reason = unused(plan, day).partition(": ")
        if told:
            date = day_of(day["date"])
            name = f"{WEEKDAYS[date.weekday()][:3]} {date.day}"
            reasons.setdefault(reason, []).append(f"{name} ({told.removesuffix(' minutes stay free')})")
    for reason, days in reasons.items():
        yield f"Minutes that stay free: {', '.join(days)}: {reason}."


def pinned(plan: dict[str, Any]) -> Iterator[str]:
    """What the player fixed on a day, in one sentence."""
    fixed = [
        f"{clean(pin['combination'])} on {date_in_words(pin['date'], year=False)}" for pin in plan["pins"]
    ]
    if fixed:
        yield f"Pinned: {', '.join(fixed)}."


def given_up(plan: dict[str, Any]) -> Iterator[str]:
    """What the week does not hold: turns left over, soft rules bent, combinations set aside."""
    left = plan["coverage"]["left"]
    yield _first_turns(plan["coverage"])
    for one in left[:SHOWN]:
        when = date_in_words(one["expected"], year=False) if one.get("expected") else ""
        expected = f", at the earliest {when}" if when else ""
        yield f"Not this week: {clean(one['combination'])}, {_waits(one)}{expected}."
    if left[SHOWN:]:
        yield f"Not this week: {len(left) - SHOWN} more, all named by planner week --json."
    broken = {name: rule["broken"] for name, rule in plan["rules"].items() if rule["broken"]}
    bent = [f"{count} {_breach(name, count)}" for name, count in broken.items()]
    if bent:
        yield f"Given up: {'; '.join(bent)}."
    if plan["excluded"]:
        yield f"Set aside: {'; '.join(by_reason(plan['excluded']))}."


def _waits(one: Mapping[str, Any]) -> str:
    return pretty(without_need(one["reason"]))


def _first_turns(coverage: Mapping[str, Any]) -> str:
    """How many combinations that want a turn have one at all; what is given up counts further turns too."""
    met, wanted = coverage["met"], coverage["wanted"]
    if not wanted:
        return "First turns: no combination asks for one this week."
    asks = "combination that asks for one has it" if wanted == 1 else "combinations that ask for one have it"
    return f"First turns: {met} of {wanted} {asks}."


def _breach(name: str, count: int) -> str:
    one, many = BREACHES.get(name, (clean(name), clean(name)))
    return one if count == 1 else many


def proven(plan: dict[str, Any]) -> Iterator[str]:
    """How good the plan is and how much of that is proven, in one sentence; what ended the search."""
    stages = {clean(stage["goal"]): stage for stage in plan["solver"]["stages"]}
    parts = [PARTS.get(name, _other)(plan, stage) for name, stage in stages.items()]
    yield f"How good it is: {'; '.join(parts)}."
    if plan["solver"].get("stopped_by") == "Ctrl-C":
        yield "The search was stopped: this is the best checked plan so far."


def _turns_proof(plan: dict[str, Any], stage: dict[str, Any]) -> str:
    """Whether every turn is taken, and whether another plan would give up less."""
    missing = plan["rules"].get("turns", {}).get("broken", 0)
    told = "every turn taken" if not missing else f"{missing} {_breach('turns', missing).split(' of ')[0]}"
    if stage["status"] != "proven":
        return f"{told}; another plan could save at most {_gain(stage)}{NO_BREAK}% of what is given up"
    return f"{told} and no plan gives up less, proven" if stage["value"] else f"{told}, proven"


def _value_proof(plan: dict[str, Any], stage: dict[str, Any]) -> str:
    """How near the value of the items is to the best, and what of it went into even days."""
    best = "the best" if stage["status"] == "proven" else f"within {_gain(stage)}{NO_BREAK}% of the best"
    spent = max(0, stage["value"] - _value(plan)) if plan["combinations"] else 0
    share = ceil(1000 * spent / max(1, stage["value"])) / 10
    less = f", less {share:g}{NO_BREAK}% spent on even days" if spent else ""
    return f"value {best} given these turns{less}"


def _value(plan: dict[str, Any]) -> int:
    """What the plan's turns are worth: of each combination the first at its value, further ones for less."""
    worth = {one["combination"]: (one["value"], one["value_again"]) for one in plan["combinations"]}
    counts = Counter(item["combination"] for day in plan["days"] for item in turns(day))
    return sum(
        worth[name][0] + (count - 1) * worth[name][1] for name, count in counts.items() if name in worth
    )


def _evenness_proof(_plan: dict[str, Any], stage: dict[str, Any]) -> str:
    sure = stage["status"] == "proven"
    return (
        "no such plan has more even days, proven"
        if sure
        else "that the days cannot be more even is not proven"
    )


def _other(_plan: dict[str, Any], stage: dict[str, Any]) -> str:
    name = clean(stage["goal"])
    sure, open_ = OTHER_PROOF
    return sure.format(name) if stage["status"] == "proven" else open_.format(name, _gain(stage))


PARTS: Mapping[str, Callable[[dict[str, Any], dict[str, Any]], str]] = {
    "turns": _turns_proof,
    "value": _value_proof,
    "evenness": _evenness_proof,
}


def _gain(stage: dict[str, Any]) -> str:
    """Per cent of the stage's value by which its bound is better, with one decimal, rounded up."""
    share = abs(stage["value"] - stage["bound"]) / max(abs(stage["value"]), 1)
    return f"{ceil(1000 * share) / 10:g}"


def _aloud(plan: dict[str, Any]) -> Iterator[str]:
    yield f"Week: {week_heading(plan)}"
    yield from week_facts(plan)
    for day in plan["days"]:
        name = date_in_words(day["date"], year=False)
        yield from (f"{name}: {fact}" for fact in _day_aloud(plan, day))
    yield from pinned(plan)
    yield from given_up(plan)
    yield from proven(plan)


def _day_aloud(plan: dict[str, Any], day: Day) -> Iterator[str]:
    yield from about.day_notes(day)
    if not day["items"]:
        yield about.NO_PRACTICE.rstrip(".").lower()
        return
    yield f"{round(day['seconds_used'] / 60)} of {round(day['seconds_free'] / 60)} min"
    yield from filter(None, [unused(plan, day)])
    yield f"load {day['load']:.0f} of {day['load_limit']:.0f}"
    for title, number in Counter(say.title(item) for item in turns(day)).items():
        yield f"{title}, {number} {'item' if number == 1 else 'items'}"
    yield from (f"{number} {state}" for state in STATES if (number := _in_state(day, state)))
