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
CLASS_FORMAT = "planner.terms/1"
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


def terms_of(found: object) -> list[dict[str, Any]]:
    """The terms of something read from JSON: the one that it is, those of a class, or none."""
    if isinstance(found, dict) and found.get("format") == CLASS_FORMAT:
        terms = found.get("terms")
        return terms if isinstance(terms, list) and all(is_term(one) for one in terms) else []
    return [found] if is_term(found) and isinstance(found, dict) else []


def class_sheet(terms: list[dict[str, Any]], paper: Paper = "a4") -> Sheet:
    """A page for every pupil of a class, each under the pupil's own name."""
    names = (f"{clean(term.get('name') or '')}, {clean(term['player'])}".removeprefix(", ") for term in terms)
    sheets = [term_sheet(term | {"name": name}, paper) for term, name in zip(terms, names, strict=True)]
    return Sheet(sheets[0].title, tuple(page for one in sheets for page in one.pages), paper)


def term_sheet(term: dict[str, Any], paper: Paper = "a4") -> Sheet:
    """The term: its weeks, then its exercises with their tempos from week to week."""
    name = clean(term.get("name") or term["player"])
    shown = _shown(_played(term))
    title = clean(term.get("curriculum_title") or humanised(term["curriculum"]))
    page = Page(
        title=title,
        subtitle=name,
        aside=f"{_day(term['first_day'])} to {_day(term['last_day'])} {day_of(term['last_day']).year}",
        blocks=(
            Block(title="Week by week", table=_weeks(term)),
            Block(title="Tempos", facts=_which_weeks(term, shown), table=_tempos(term, shown)),
        ),
        name=f"{title} · {name}",
    )
    return Sheet(f"{title}, {name}", (page,), paper)


def _day(text: str) -> str:
    day = day_of(text)
    return f"{day.day} {MONTHS[day.month - 1][:3]}"


def _weeks(term: dict[str, Any]) -> Table:
    """A row for each week: its days, what is new, what comes back, its minutes."""
    titles = {one["exercise"]: clean(one["title"]) for one in term["exercises"]}
    told = any(week["notes"] for week in term["weeks"])
    rows = tuple(
        (
            f"{week['week']}",
            f"{_day(week['first_day'])} to {_day(week['last_day'])}",
            _new(week["new"], titles),
            str(len(week["returning"]) or NONE),
            str(round(week["seconds_used"] / 60) or NONE),
            *((" · ".join(pretty(note) for note in week["notes"]),) if told else ()),
        )
        for week in term["weeks"]
    )
    head = ("week", "days", "new", "coming back", "minutes", *(("notes",) if told else ()))
    return Table(head, rows, wide=head.index("new"))


def _new(combinations: list[str], titles: dict[str, str]) -> str:
    """The exercises of the new combinations, each with how many: "Rolling fives (3), Spindle"."""
    counts: dict[str, int] = {}
    for combination in combinations:
        exercise = combination.partition("/")[0]
        counts[exercise] = counts.get(exercise, 0) + 1
    words = (
        titles.get(exercise, humanised(exercise)) + (f" ({count})" if count > 1 else "")
        for exercise, count in counts.items()
    )
    return ", ".join(words) or NONE


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
