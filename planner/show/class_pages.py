"""The term of a class on paper: one page to pin up, week by week what is new for whom, then a page a pupil.

A pure function from what `planner term --class FILE --json` prints (`planner.terms/1`): an object with
"class" (its id), "name" and "terms", each a `planner.term/1`.
"""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby
from typing import Any

from planner.engrave.sheet import Block, Page, Paper, Sheet, Table
from planner.show.layout import clean
from planner.show.term_pages import NONE, days_of, is_term, new_in, range_of, term_sheet, title_of
from planner.show.warmup import instrument_name
from planner.show.words import pretty

FORMAT = "planner.terms/1"
EVERYBODY = "everybody"


def is_class_terms(found: object) -> bool:
    """Whether something read from JSON calls itself the terms of a class and has some."""
    if not isinstance(found, dict) or found.get("format") != FORMAT:
        return False
    terms = found.get("terms")
    return isinstance(terms, list) and bool(terms) and all(is_term(one) for one in terms)


def class_sheet(found: dict[str, Any], paper: Paper = "a4") -> Sheet:
    """A page for the class, then one for each pupil."""
    terms = found["terms"]
    name = clean(found.get("name") or found["class"])
    titles = list(dict.fromkeys(title_of(term) for term in terms))
    page = Page(
        title=name,
        subtitle=" · ".join(titles),
        aside=range_of(min(terms, key=_first), max(terms, key=_last)),
        blocks=(
            Block(title="New week by week", table=_weeks(terms, name)),
            Block(title="Pupils", table=_pupils(terms, name)),
        ),
        name=f"{name} · {' · '.join(titles)}",
    )
    pages = (page, *(one for term in terms for one in term_sheet(term, paper).pages))
    return Sheet(f"{name}, {', '.join(titles)}", pages, paper)


def _first(term: dict[str, Any]) -> str:
    return str(term["first_day"])


def _last(term: dict[str, Any]) -> str:
    return str(term["last_day"])


def _weeks(terms: list[dict[str, Any]], school: str) -> Table:
    """Rows for each week: whom it is for, what is new; pupils who begin the same stand in one row."""
    weeks = sorted(
        (
            (week["first_day"], week["week"], place)
            for place, term in enumerate(terms)
            for week in term["weeks"]
        )
    )
    rows: list[tuple[str, ...]] = []
    told = False
    for (_, number), same in groupby(weeks, key=lambda one: one[:2]):
        here = [(terms[place], _week(terms[place], number)) for *_, place in same]
        news: dict[str, list[str]] = {}
        for term, week in here:
            news.setdefault(new_in(term, week), []).append(_name(term, school))
        together = len(news) == 1 < len(here) == len(terms)
        whom = [EVERYBODY] if together else [", ".join(names) for names in news.values()]
        notes = [_notes(week for term, week in here if new_in(term, week) == new) for new in news]
        told = told or any(notes)
        rows += _rows_of((f"{number}", days_of(here[0][1])), whom, list(news), notes)
    head = ("week", "days", "for", "new", "notes")
    return (
        Table(head, tuple(rows), wide=3) if told else Table(head[:4], tuple(row[:4] for row in rows), wide=3)
    )


def _week(term: dict[str, Any], number: int) -> dict[str, Any]:
    return next(week for week in term["weeks"] if week["week"] == number)


def _notes(weeks: Iterable[dict[str, Any]]) -> str:
    return " · ".join(dict.fromkeys(pretty(note) for week in weeks for note in week["notes"]))


def _rows_of(
    week: tuple[str, str], whom: list[str], news: list[str], notes: list[str]
) -> list[tuple[str, ...]]:
    """The rows of one week, the first of them with its number and days; notes of all stand there alone."""
    told = notes if len(set(notes)) > 1 else [notes[0], *[""] * (len(notes) - 1)]
    begins = [week, *[("", "")] * (len(news) - 1)]
    rows = zip(begins, whom, news, told, strict=True)
    return [(*begin, names, new or NONE, note) for begin, names, new, note in rows]


def _pupils(terms: list[dict[str, Any]], school: str) -> Table:
    """Who plays what, how much there is for them, and what comes back how often."""
    rows = tuple(
        (
            _name(term, school),
            instrument_name(term["instrument"]),
            str(len(term["combinations"])),
            str(len(term["excluded"]) or NONE),
            f"every {term['span_weeks']} weeks",
        )
        for term in terms
    )
    return Table(("", "instrument", "to learn", "set aside", "comes back"), rows, wide=1)


def _name(term: dict[str, Any], school: str) -> str:
    """A pupil's name; one who is called after the class goes by what is left of it."""
    name = clean(term.get("name") or term["player"])
    return name.removeprefix(f"{school}, ")
