"""One week of a term in detail: its sums, and every item of its days.

Pure functions from a term (`planner.term/1`) to text.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from planner.inputs.dates import WEEKDAYS
from planner.show.layout import Faces, clean, flow, indent, page, wrap
from planner.show.tables import Row, Table, table_lines
from planner.show.term_words import SHOWN, Term, exercise_title, week_name, week_sums
from planner.show.warmup import instrument_name
from planner.show.words import MONTHS, date_in_words, day_of, humanised, mark, pretty, spoken


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
        week_name(week["iso_week"]),
        *week_sums(week),
        f"{len(week['in_work'])} in work",
        *(pretty(note) for note in week["notes"]),
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
    name = exercise_title(titles[exercise]) if exercise in titles else humanised(exercise)
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
