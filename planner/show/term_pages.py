"""A term on one page to tape to the stand: week by week what is new, and the tempo of every exercise.

A pure function from a term as `planner term --json` prints it (`planner.term/1`).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from planner.engrave.sheet import Block, Page, Paper, Sheet, Table
from planner.show.layout import clean
from planner.show.words import MONTHS, beat_sign, day_of, humanised, pretty

FORMAT = "planner.term/1"
MOST_WEEKS = 12  # columns of tempos that a page holds
NONE = "\u2013"


def is_term(found: object) -> bool:
    """Whether something read from JSON calls itself a term and has weeks and exercises."""
    return (
        isinstance(found, dict)
        and found.get("format") == FORMAT
        and isinstance(found.get("weeks"), list)
        and isinstance(found.get("exercises"), list)
    )


def term_sheet(term: dict[str, Any], paper: Paper = "a4") -> Sheet:
    """The term: its weeks, then its exercises with their tempos from week to week."""
    page = _page(term)
    return Sheet(f"{page.title}, {page.subtitle}", (page,), paper)


def _page(term: dict[str, Any]) -> Page:
    name = clean(term.get("name") or term["player"])
    shown = _shown(_played(term))
    title = title_of(term)
    return Page(
        title=title,
        subtitle=name,
        aside=range_of(term, term),
        blocks=(
            Block(title="Week by week", table=_weeks(term)),
            Block(title="Tempos", facts=_which_weeks(term, shown), table=_tempos(term, shown)),
        ),
        name=f"{title} · {name}",
    )


def range_of(first: dict[str, Any], last: dict[str, Any]) -> str:
    """From the first day of a term to the last of another: "7 Sep to 15 Nov 2026"."""
    return f"{_day(first['first_day'])} to {_day(last['last_day'])} {day_of(last['last_day']).year}"


def days_of(week: dict[str, Any]) -> str:
    """The days of a week of a term: "7 Sep to 13 Sep"."""
    return f"{_day(week['first_day'])} to {_day(week['last_day'])}"


def title_of(term: dict[str, Any]) -> str:
    """What the curriculum of a term is called."""
    return clean(term.get("curriculum_title") or humanised(term["curriculum"]))


def _day(text: str) -> str:
    day = day_of(text)
    return f"{day.day} {MONTHS[day.month - 1][:3]}"


def _weeks(term: dict[str, Any]) -> Table:
    """A row for each week: its days, what is new, what comes back, its minutes."""
    told = any(week["notes"] for week in term["weeks"])
    rows = tuple(
        (
            f"{week['week']}",
            days_of(week),
            new_in(term, week) or NONE,
            str(len(week["returning"]) or NONE),
            str(round(week["seconds_used"] / 60) or NONE),
            *((" · ".join(pretty(note) for note in week["notes"]),) if told else ()),
        )
        for week in term["weeks"]
    )
    head = ("week", "days", "new", "coming back", "minutes", *(("notes",) if told else ()))
    return Table(head, rows, wide=head.index("new"))


def new_in(term: dict[str, Any], week: dict[str, Any]) -> str:
    """The exercises new in a week, each with its number of combinations: "Rolling fives (3), Spindle"."""
    titles = {one["exercise"]: clean(one["title"]) for one in term["exercises"]}
    counts: dict[str, int] = {}
    for combination in week["new"]:
        exercise = combination.partition("/")[0]
        counts[exercise] = counts.get(exercise, 0) + 1
    words = (
        titles.get(exercise, humanised(exercise)) + (f" ({count})" if count > 1 else "")
        for exercise, count in counts.items()
    )
    return ", ".join(words)


def _tempos(term: dict[str, Any], shown: list[int]) -> Table:
    """A row for each exercise with a tempo: its planned marks from week to week, its goal."""
    rows = tuple(tuple(_tempo_row(one, shown)) for one in term["exercises"] if one["steps"])
    return Table(("exercise", "beat", *map(str, shown), "goal"), rows, even_from=2)


def _played(term: dict[str, Any]) -> list[int]:
    """The weeks with practice."""
    return [week["week"] for week in term["weeks"] if week.get("practice_days", 1)]


def _shown(weeks: list[int]) -> list[int]:
    """All weeks where a page holds them, else evenly spread, the first and the last among them."""
    if len(weeks) <= MOST_WEEKS:
        return weeks
    last = MOST_WEEKS - 1
    return sorted({weeks[round(step * (len(weeks) - 1) / last)] for step in range(MOST_WEEKS)})


def _which_weeks(term: dict[str, Any], shown: list[int]) -> tuple[str, ...]:
    """What the columns are, and why numbers are missing among them."""
    played = _played(term)
    free = [str(week["week"]) for week in term["weeks"] if week["week"] not in played]
    weeks = f"week{'s' if len(free) > 1 else ''} {', '.join(free)}"
    return (
        "by week of the curriculum",
        *((f"no practice in {weeks}",) if free else ()),
        *((f"{len(shown)} of {len(played)} weeks shown",) if len(shown) < len(played) else ()),
    )


def _tempo_row(exercise: dict[str, Any], shown: list[int]) -> Iterator[str]:
    planned = {step["week"]: step["planned"] for step in exercise["steps"]}
    yield clean(exercise["title"])
    yield "seconds" if exercise["measure"] == "seconds" else beat_sign(exercise["beat"])
    for week in shown:
        yield str(planned.get(week, NONE))
    yield str(exercise["goal"] or NONE)
