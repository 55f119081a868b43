"""The term on one screen: weeks beside each other, exercises below each other, what is proven under them.

A pure function from a term (`planner.term/1`) to text. A cell holds a letter and how many turns: n new, w in
work, k kept up. Nothing is said by colour or type face alone.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from planner.inputs.dates import WEEKDAYS
from planner.show.layout import Faces, clean, flow, indent, page, wrap
from planner.show.set_aside import set_aside
from planner.show.tables import Row, Table, table_lines
from planner.show.warmup import instrument_name
from planner.show.words import MONTHS, beat_sign, date_in_words, day_of, humanised, mark, pretty, spoken

Term = Mapping[str, Any]
LETTERS = {"new": "n", "in work": "w", "kept up": "k", "": "–"}
LEGEND = (
    "n new this week, w in work, k kept up, with the number of turns; – none. Tempos ahead assume that every"
    " turn lifts a combination by half a notch."
)
SHOWN = 6
NONE = "–"


def term_text(
    term: Term,
    *,
    width: int = 80,
    colour: bool = False,
    plain: bool = False,
    boxes: bool = False,
    week: int = 0,
) -> str:
    """The whole term as text; `week` is the curriculum week in which the player is, 0 for none."""
    if plain:
        return page(spoken(fact) for fact in _aloud(term))
    return page(_screen(term, width, Faces(colour), boxes, week))


def tempo_text(
    term: Term, *, width: int = 80, colour: bool = False, plain: bool = False, boxes: bool = False
) -> str:
    """The tempo steps of every exercise, from its first mark to its goal."""
    if plain:
        return page(spoken(fact) for fact in _tempos_aloud(term))
    return page(_tempos(term, width, Faces(colour), boxes))


def week_detail_text(
    term: Term,
    number: int,
    *,
    width: int = 80,
    colour: bool = False,
    plain: bool = False,
    boxes: bool = False,
) -> str:
    """One week of the term in detail; ValueError where the term has no such week."""
    week = next((one for one in term["weeks"] if one["week"] == number), None)
    if week is None:
        raise ValueError(number)
    if plain:
        return page(spoken(fact) for fact in _week_aloud(term, week))
    return page(_week(term, week, width, Faces(colour), boxes))


def _screen(term: Term, width: int, faces: Faces, boxes: bool, now: int) -> Iterator[str]:
    yield from (faces.bold(line) for line in wrap(heading(term), width))
    yield from flow(facts(term, now), width)
    yield ""
    yield from table_lines(term_table(term), width, faces, boxes=boxes)
    yield ""
    yield from wrap(LEGEND, width)
    for part in (_week_notes(term), certificate_lines(term), option_lines(term)):
        lines = list(part)
        if lines:
            yield ""
        for line in lines:
            yield from indent(wrap(line, width - 3), "", "   ")


def heading(term: Term) -> str:
    """Whose term, of which curriculum, from when to when."""
    name, title = clean(term["name"] or term["player"]), clean(term["curriculum_title"])
    begins = date_in_words(term["first_day"], year=term["first_day"][:4] != term["last_day"][:4])
    return f"{name}, {title}: {begins} to {date_in_words(term['last_day'])}"


def facts(term: Term, now: int) -> list[str]:
    """Instrument, where the player is, what the minutes carry, the span."""
    weeks = term["curriculum_weeks"]
    where = [f"week {now} of {weeks}"] if 1 <= now <= weeks else []
    span = f"what is kept up comes back every {term['span_weeks']} weeks"
    return [instrument_name(term["instrument"]), *where, clean(term["capacity"]["sentence"]), span]


def term_table(term: Term) -> Table:
    """Weeks beside each other: turns of every exercise with their letter, then sums."""
    weeks = term["weeks"]
    head = ("week of the curriculum\nMonday", *(f"{week['week']}\n{_short_date(week)}" for week in weeks))
    exercises = tuple(
        (_title(one), *(_cell(state, turns) for state, turns in zip(one["state"], one["turns"], strict=True)))
        for one in term["exercises"]
    )
    sums = (
        _numbers("new", [len(week["new"]) for week in weeks]),
        _numbers("coming back", [len(week["returning"]) for week in weeks]),
        _numbers("minutes", [round(week["seconds_used"] / 60) for week in weeks]),
        _numbers("free minutes", [round(week["seconds_free"] / 60) for week in weeks]),
        _numbers("load", [round(week["load"]) for week in weeks]),
        _numbers("load limit", [round(week["load_limit"]) for week in weeks]),
    )
    return Table(head, (exercises, sums))


def _title(exercise: Mapping[str, Any]) -> str:
    return clean(exercise["title"]) or humanised(exercise["exercise"])


def _short_date(week: Mapping[str, Any]) -> str:
    return str(day_of(week["first_day"]).day)


def _cell(state: str, turns: int) -> str:
    return f"{LETTERS[state]}{turns}" if turns else NONE


def _numbers(name: str, numbers: Sequence[int]) -> Row:
    return (name, *(str(number) if number else NONE for number in numbers))


def _week_notes(term: Term) -> Iterator[str]:
    for week in term["weeks"]:
        notes = [pretty(note) for note in week["notes"]]
        if week["cuts"]:
            moved = "turn" if week["cuts"] == 1 else "turns"
            notes.append(f"{week['cuts']} {moved} did not fit into its days and moved on")
        if notes:
            yield f"Week {week['week']}, {_week_name(week['iso_week'])}: {'; '.join(notes)}."


def _week_name(iso: str) -> str:
    return f"calendar week {int(iso[-2:])}"


def certificate_lines(term: Term) -> Iterator[str]:
    """What is proven of the term, counted on its days."""
    sure = term["certificate"]
    span = term["span_weeks"]
    yield from set_aside(term["excluded"], (one["combination"] for one in term["combinations"]))
    if sure["fits"]:
        yield (
            f"Proven on every day laid out: all {sure['to_meet']} met by their week,"
            f" all {sure['spans']} spans of {span} weeks held, minutes and load never over."
            f" Every rule was checked in {_number(sure['weeks_checked'])}."
        )
    else:
        yield from _not_kept(term)
    yield f"The span: {_in_words(clean(term['capacity']['proof']))}."
    missed = [(week["pairs_missed"], week["week"]) for week in term["weeks"] if week["pairs_missed"]]
    if missed:
        most, week = max(missed)
        count = sum(number for number, _ in missed)
        yield (
            "Not every exercise is heard in each of its keys and positions every two weeks:"
            f" {count} times one waits longer for a key or a position, most of them in week {week} ({most})."
            " What has to come back within the span comes first."
        )
    if sure["cost"]:
        yield _how_good(sure)


def _in_words(proof: str) -> str:
    """Why the span is what it is, without the share that only the JSON needs."""
    return re.sub(r": even with fractions of turns .* stays open$", "", proof)


def _how_good(sure: Mapping[str, Any]) -> str:
    """How much more another term could keep, as a share of all that is asked for."""
    if sure["cost"] <= sure["bound"]:
        return "Proven: no term of these days keeps more of what is asked for."
    share = 100 * sure["gap"]
    most = f"{_part(share)} more of all that is asked for"
    return f"Another term could keep at most {most}; that much is proven."


def _part(share: float) -> str:
    """A share in per cent as a teacher would say it: whole per cents, the small ones in words."""
    return f"{math.ceil(share)} %" if share > 1 else "a hundredth"


def _not_kept(term: Term) -> Iterator[str]:
    sure = term["certificate"]
    behind = [one for one in term["combinations"] if one["weeks_behind"]]
    over = [one for one in term["combinations"] if one["weeks_over_span"]]
    yield (
        f"Does not fit: {sure['met_by_week']} of {sure['to_meet']} met by their week,"
        f" {sure['met']} by the end; {sure['spans_held']} of {sure['spans']} spans of"
        f" {term['span_weeks']} weeks held. Minutes and load are never over; every rule was checked in"
        f" {_number(sure['weeks_checked'])}."
    )
    never = [one for one in behind if not one["first_met"]]
    if term["capacity"].get("why"):
        yield f"Why: {clean(term['capacity']['why'])}."
    if never:
        yield f"Never met: {_named(never)}."
    if len(behind) > len(never):
        met = [one for one in behind if one["first_met"]]
        yield f"Met later than their week: {_named(met, behind=True)}."
    if over:
        yield f"Waiting longer than the span: {_named(over)}."


def _named(found: Sequence[Mapping[str, Any]], *, behind: bool = False) -> str:
    names = [
        clean(one["combination"])
        + (f" ({one['weeks_behind']} {_weeks(one['weeks_behind'])})" if behind else "")
        for one in found[:SHOWN]
    ]
    more = f" and {len(found) - SHOWN} more" if len(found) > SHOWN else ""
    return ", ".join(names) + more


def _number(weeks: int) -> str:
    return "its one week" if weeks == 1 else f"all {weeks} weeks"


def _weeks(number: int) -> str:
    return "week" if number == 1 else "weeks"


def option_lines(term: Term) -> Iterator[str]:
    """What would make it fit, each tried."""
    if term["options"]:
        yield "What would leave a quarter of the minutes free for what needs it most, tried week by week:"
    for option in term["options"]:
        yield clean(option["sentence"])


def _aloud(term: Term) -> Iterator[str]:
    yield f"Term: {heading(term)}"
    yield from facts(term, 0)
    for week in term["weeks"]:
        begins = date_in_words(week["first_day"], year=False)
        yield f"Week {week['week']}, from {begins}: {', '.join(_week_sums(week))}"
    for one in term["exercises"]:
        told = [
            f"week {week['week']} {state}, {turns}"
            for week, state, turns in zip(term["weeks"], one["state"], one["turns"], strict=True)
            if turns
        ]
        yield f"{_title(one)}: {'; '.join(told)}"
    yield from _week_notes(term)
    yield from certificate_lines(term)
    yield from option_lines(term)


def _tempos(term: Term, width: int, faces: Faces, boxes: bool) -> Iterator[str]:
    yield from (faces.bold(line) for line in wrap(heading(term), width))
    yield ""
    yield from table_lines(_tempo_table(term), width, faces, boxes=boxes)
    yield ""
    yield from wrap(
        "On the way from the first mark to the goal, by even steps along the metronome to the last week;"
        " below it, where the turns of that week are expected to stand. Long tones in seconds.",
        width,
    )


def _tempo_table(term: Term) -> Table:
    weeks = [week["week"] for week in term["weeks"]]
    rows = []
    for one in term["exercises"]:
        steps = {step["week"]: step for step in one["steps"]}
        planned = [str(steps[w]["planned"]) if w in steps else NONE for w in weeks]
        expected = [str(steps[w]["expected"] or NONE) if w in steps else NONE for w in weeks]
        rows.append((f"{_title(one)} {_ends(one)}", *planned))
        rows.append(("   expected", *expected))
    return Table(("week of the curriculum", *map(str, weeks)), (tuple(rows),))


def _ends(one: Mapping[str, Any]) -> str:
    if one["measure"] == "seconds":
        return f"{one['first']} to {one['goal']} s"
    return f"{beat_sign(one['beat'])} = {one['first']} to {one['goal']}"


def _tempos_aloud(term: Term) -> Iterator[str]:
    for one in term["exercises"]:
        steps = "; ".join(
            f"week {step['week']} {step['planned']}"
            + (f", expected {step['expected']}" if step["expected"] else "")
            for step in one["steps"]
        )
        yield f"{_title(one)}, {_ends(one)}: {steps}"


def _week(term: Term, week: Mapping[str, Any], width: int, faces: Faces, boxes: bool) -> Iterator[str]:
    begins, ends = date_in_words(week["first_day"], year=False), date_in_words(week["last_day"])
    weeks = term["curriculum_weeks"]
    title = f"{clean(term['name'] or term['player'])}, week {week['week']} of {weeks}: {begins} to {ends}"
    yield from (faces.bold(line) for line in wrap(title, width))
    yield from flow(_week_facts(term, week), width)
    titles = {one["exercise"]: one for one in term["exercises"]}
    for day in week["days"]:
        yield ""
        yield from _day(day, titles, width, faces, boxes)
    left = [f"Not in this week after all: {_names(week['left'])}."] if week["left"] else []
    for line in left:
        yield from indent(wrap(line, width - 3), "", "   ")


def _week_facts(term: Term, week: Mapping[str, Any]) -> list[str]:
    return [
        instrument_name(term["instrument"]),
        _week_name(week["iso_week"]),
        *_week_sums(week),
        f"{len(week['in_work'])} in work",
        *(pretty(note) for note in week["notes"]),
    ]


def _week_sums(week: Mapping[str, Any]) -> list[str]:
    return [
        f"{len(week['new'])} new",
        f"{len(week['returning'])} coming back",
        f"{round(week['seconds_used'] / 60)} of {round(week['seconds_free'] / 60)} min",
        f"load {week['load']:.0f} of {week['load_limit']:.0f}",
    ]


def _names(names: Sequence[str]) -> str:
    more = f" and {len(names) - SHOWN} more" if len(names) > SHOWN else ""
    return ", ".join(clean(name) for name in names[:SHOWN]) + more


def _day(
    day: Mapping[str, Any], titles: Mapping[str, Any], width: int, faces: Faces, boxes: bool
) -> Iterator[str]:
    date = day_of(day["date"])
    name = f"{WEEKDAYS[date.weekday()]} {date.day} {MONTHS[date.month - 1]}"
    if not day["items"]:
        yield f"{faces.bold(name)}  {_without_items(day)}"
        return
    used, free = round(day["seconds_used"] / 60), round(day["seconds_free"] / 60)
    yield f"{faces.bold(name)}  {used} of {free} min, load {day['load']:.0f} of {day['load_limit']:.0f}"
    rows = tuple(_item_row(item, titles) for item in day["items"])
    yield from table_lines(Table(("", "", "", "", "min"), (rows,)), width, faces, boxes=boxes)


def _without_items(day: Mapping[str, Any]) -> str:
    """A day without exercises: the concert day has its warm-up, as the day's own routine says."""
    minutes = round(day["seconds_used"] / 60)
    title = f" ({clean(day['title'])})" if day["title"] else ""
    return f"warm-up only, {minutes} min{title}" if minutes else f"no practice{title}"


def _item_row(item: Mapping[str, Any], titles: Mapping[str, Any]) -> Row:
    exercise, pattern, place = [*item["combination"].split("/"), "", ""][:3]
    name = _title(titles[exercise]) if exercise in titles else humanised(exercise)
    where = place if place[:1].isdigit() else _key(place)
    tempo = (
        mark(item["beat"], item["tempo"])
        if item["tempo"]
        else (f"{item['target']:g} s" if item["target"] else "")
    )
    twice = ", twice" if item["goes"] > 1 else ""
    free = "" if item["promised"] else "*"
    return (
        f"{name} {clean(pattern)}{free}",
        f"{clean(where)} {clean(item['articulation'])}",
        tempo,
        item["state"] + twice,
        f"{item['seconds'] / 60:.1f}",
    )


def _key(place: str) -> str:
    tonic, _, mode = place.partition("-")
    if mode.startswith(("flat", "sharp")):
        sign, _, mode = mode.partition("-")
        tonic += {"flat": "♭", "sharp": "♯"}[sign]
    return f"{tonic[:1].upper()}{tonic[1:]} {mode.replace('-', ' ')}"


def _week_aloud(term: Term, week: Mapping[str, Any]) -> Iterator[str]:
    yield f"Week {week['week']} of {term['curriculum_weeks']}"
    yield from _week_facts(term, week)
    titles = {one["exercise"]: one for one in term["exercises"]}
    for day in week["days"]:
        name = date_in_words(day["date"], year=False)
        if not day["items"]:
            yield f"{name}: {_without_items(day)}"
        for item in day["items"]:
            yield f"{name}: {', '.join(part for part in _item_row(item, titles)[:4] if part)}"
