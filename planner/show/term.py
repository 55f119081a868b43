"""The term on one screen: weeks beside each other, exercises below each other, what is proven under them.

A pure function from a term (`planner.term/1`) to text. A cell holds a letter and how many turns: n new, w in
work, k kept up. Nothing is said by colour or type face alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from planner.show.layout import Faces, clean, flow, indent, page, wrap
from planner.show.tables import Row, Table, table_lines
from planner.show.term_proof import certificate_lines, option_lines
from planner.show.term_words import NONE, Term, exercise_title, heading, week_name, week_sums
from planner.show.warmup import instrument_name
from planner.show.words import date_in_words, day_of, pretty, spoken

LETTERS = {"new": "n", "in work": "w", "kept up": "k", "": "–"}
LEGEND = (
    "n new this week, w in work, k kept up, with the number of turns; – none. Tempos ahead assume that every"
    " turn lifts a combination by half a notch, up to its goal, and stay on"
    " the safe side of what nobody has rated."
)


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
        (
            exercise_title(one),
            *(_cell(state, turns) for state, turns in zip(one["state"], one["turns"], strict=True)),
        )
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
            yield f"Week {week['week']}, {week_name(week['iso_week'])}: {'; '.join(notes)}."


def _aloud(term: Term) -> Iterator[str]:
    yield f"Term: {heading(term)}"
    yield from facts(term, 0)
    for week in term["weeks"]:
        begins = date_in_words(week["first_day"], year=False)
        yield f"Week {week['week']}, from {begins}: {', '.join(week_sums(week))}"
    for one in term["exercises"]:
        told = [
            f"week {week['week']} {state}, {turns}"
            for week, state, turns in zip(term["weeks"], one["state"], one["turns"], strict=True)
            if turns
        ]
        yield f"{exercise_title(one)}: {'; '.join(told)}"
    yield from _week_notes(term)
    yield from certificate_lines(term)
    yield from option_lines(term)
