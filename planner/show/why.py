"""One combination explained: what the estimate thinks, why the week holds it, what moving it would cost.

A pure function from the JSON of `planner why` to text; nothing is said by colour or type face alone.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from planner.show.layout import Faces, clean, flow, indent, kept_together, pad, page, wrap
from planner.show.week import BREACHES
from planner.show.words import date_in_words, mark, pretty, spoken

INDENT = "   "
TURN = 1000  # thousandths of a turn in which the rules count
WEEKDAY_LETTERS = 3


def why_text(told: dict[str, Any], *, width: int = 80, colour: bool = False, plain: bool = False) -> str:
    """The explanation as text; `plain` gives one fact a line, for reading aloud."""
    if plain:
        return page(spoken(fact) for fact in _aloud(told))
    return page(_screen(told, width, Faces(colour)))


def _screen(told: dict[str, Any], width: int, faces: Faces) -> Iterator[str]:
    yield from (faces.bold(line) for line in wrap(_heading(told), width))
    yield from flow([kept_together(fact) for fact in _facts(told)], width)
    for title, lines in (("Clean tempo", _estimate(told, width)), (_week_title(told), _week(told, width))):
        found = list(lines)
        if found:
            yield ""
            yield from (faces.bold(line) for line in wrap(title, width))
            yield from found


def _heading(told: dict[str, Any]) -> str:
    keys = f" ({', '.join(clean(key) for key in told['keys'])})" if len(told["keys"]) > 1 else ""
    return f"{clean(told['title'])}{keys}"


def _facts(told: dict[str, Any]) -> list[str]:
    week = told["week"]
    facts = [clean(told["combination"])]
    if week["on_shelf"]:
        played = week["last_played"]
        facts += [week["state"], f"need {week['need']:.2f}"]
        facts.append(f"last played {pretty(played)}" if played else "not played yet")
        if week["turn_by"]:
            facts.append(f"turn by {pretty(week['turn_by'])}")
    return facts


# --- the estimate


def _estimate(told: dict[str, Any], width: int) -> Iterator[str]:
    found = told["estimate"]
    if found is None:
        return
    for line in _estimated(found):
        yield from indent(wrap(line, width - len(INDENT)), INDENT, INDENT)
    yield ""
    for number, words in _pieces(found):
        yield from indent(wrap(words, width - 10), INDENT + pad(number, 5, right=True) + "  ", " " * 10)


def _estimated(found: dict[str, Any]) -> Iterator[str]:
    """What the estimate is, in its own terms, and how far the cautious one falls short."""
    way = clean(found["articulation"])
    if found["clean"] is None:
        times = round(100 * found["success_at_goal"])
        yield f"{way}: at the goal it would come out about {times} times of 100."
    else:
        middle, low, high, goal = (
            _said(found, value) for value in (found["clean"], *found["between"], found["goal"])
        )
        yield (
            f"{way}: clean up to about {middle} now, two times of three between {low} and {high}; "
            f"the goal is {goal}."
        )
    short = found["shortfall"]
    if short <= 0:
        yield "Even the cautious estimate lies above the goal: nothing is missing."
        return
    need = f"a need of {found['need']:.2f}"
    yield f"The cautious estimate is {short:.1f} notches short of the goal, {need}. It is made of:"


def _said(found: dict[str, Any], value: float) -> str:
    return mark(found["beat"], round(value)) if found["beat"] else kept_together(f"{value:g} s")


def _pieces(found: dict[str, Any]) -> Iterator[tuple[str, str]]:
    """Every piece that has a sentence with its notches, all others together, and the sum."""
    said = [piece for piece in found["pieces"] if piece["sentence"]]
    yield from ((_signed(piece["notches"]), pretty(piece["sentence"])) for piece in said)
    rest = found["shortfall"] - sum(piece["notches"] for piece in said)
    if len(said) < len(found["pieces"]):
        yield _signed(rest), "all else, too little to tell"
    yield f"{found['shortfall']:.1f}", "notches together"


def _signed(notches: float) -> str:
    return f"{notches:+.1f}" if round(abs(notches), 1) else "0.0"


# --- the week


def _week_title(told: dict[str, Any]) -> str:
    first, last = (date_in_words(told[name], year=False) for name in ("first_day", "last_day"))
    return f"The week from {first} to {last}"


def _week(told: dict[str, Any], width: int) -> Iterator[str]:
    room = width - len(INDENT)
    yield from indent(wrap(_place(told["week"]), room), INDENT, INDENT)
    for number, reason in enumerate(told["week"]["reasons"], 1):
        yield from indent(wrap(pretty(reason), room - 3), f"{INDENT}{number}. ", f"{INDENT}   ")
    trials = [*told["week"]["trials"], *filter(None, [told["week"]["left_out"]])]
    if not trials:
        return
    yield ""
    yield from indent(wrap(_trials_heading(told["week"]), room), INDENT, INDENT)
    days = [_day(trial) for trial in trials]
    size = max(len(day) for day in days) + 2
    for day, trial in zip(days, trials, strict=True):
        words = wrap(_cost(trial, told["week"]), room - size)
        yield from indent(words, INDENT + pad(day, size), INDENT + " " * size)


def _place(week: dict[str, Any]) -> str:
    if not week["on_shelf"]:
        return "Not on the shelf this week."
    if not week["days"]:
        return "Not in this plan:"
    pinned = f", pinned on {_days(week['pinned'])}" if week["pinned"] else ""
    return f"In the plan on {_days(week['days'])}{pinned}:"


def _days(days: Iterable[str]) -> str:
    """Days of one week in words: "Monday 7, Thursday 10"."""
    return ", ".join(kept_together(date_in_words(day, year=False).rpartition(" ")[0]) for day in days)


def _trials_heading(week: dict[str, Any]) -> str:
    if not week["days"]:
        return "Pinned to a day, with the week planned again, it would cost:"
    return "On another day instead, with the week planned again, it would cost:"


def _day(trial: dict[str, Any]) -> str:
    if trial["day"] is None:
        return "left out"
    weekday, number, _ = date_in_words(trial["day"], year=False).split(" ")
    return f"{weekday[:WEEKDAY_LETTERS]} {number}"


def _cost(trial: dict[str, Any], week: dict[str, Any]) -> str:
    """What a trial gives up, in the words of the week's own screen."""
    if not trial["possible"]:
        return f"not possible: {pretty(trial['reason'])}"
    worth = _worth(trial["value"], week["week_value"])
    if trial["turns"] <= 0:
        return "nothing that is asked for" + (f"; {worth}" if worth else "")
    about = "" if trial["proven"] else "at most "
    gives = [_counted(rule, number) for rule, number in trial["gives_up"].items() if number > 0]
    back = [_counted(rule, -number) for rule, number in trial["gives_up"].items() if number < 0]
    said = f"{about}{trial['turns'] / TURN:.1f} of a turn"
    said += f": {', '.join(gives)}" if gives else ": a turn that is needed more for one needed less"
    said += f", and {', '.join(back)} fewer" if back else ""
    said += f" ({clean(trial['names'][0])})" if gives and trial["names"] else ""
    return said + (f"; {worth}" if worth else "")


def _counted(rule: str, number: int) -> str:
    one, many = SHORT.get(rule, BREACHES.get(rule, (rule, rule)))
    return f"{number} {one if number == 1 else many}"


SHORT = {
    "turns": ("turn missing", "turns missing"),
    "pairs": ("key or position not met", "keys or positions not met"),
    "delay": ("day of waiting more", "days of waiting more"),
    "rhythm": ("gap in what is in work", "gaps in what is in work"),
}


def _worth(change: int, whole: int) -> str:
    """Less value in per cent; "" where it is less than a tenth of one, or more."""
    share = -100 * change / max(1, whole)
    return f"{share:.1f} % less value" if share >= 0.1 else ""


def _aloud(told: dict[str, Any]) -> Iterator[str]:
    yield _heading(told)
    yield from _facts(told)
    if told["estimate"] is not None:
        yield from _estimated(told["estimate"])
        yield from (f"{number} notches: {words}" for number, words in _pieces(told["estimate"]))
    yield _place(told["week"])
    yield from map(pretty, told["week"]["reasons"])
    for trial in [*told["week"]["trials"], *filter(None, [told["week"]["left_out"]])]:
        day = date_in_words(trial["day"], year=False) if trial["day"] else "Left out"
        yield f"{day}: {_cost(trial, told['week'])}"
