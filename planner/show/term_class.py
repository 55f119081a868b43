"""A term for a whole class: what every pupil gets of it, side by side."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from planner.show.layout import Faces, clean, indent, page, wrap
from planner.show.tables import Row, Table, table_lines
from planner.show.term_proof import certificate_lines, option_lines
from planner.show.warmup import instrument_name
from planner.show.words import counted, date_in_words, spoken

Term = Mapping[str, Any]


def class_text(
    title: str,
    terms: Sequence[Term],
    *,
    width: int = 80,
    colour: bool = False,
    plain: bool = False,
    boxes: bool = False,
) -> str:
    """The terms of a class, one column a pupil."""
    if plain:
        return page(spoken(line) for line in _aloud(title, terms))
    return page(_screen(title, terms, width, Faces(colour), boxes))


def _screen(title: str, terms: Sequence[Term], width: int, faces: Faces, boxes: bool) -> Iterator[str]:
    first = terms[0]
    begins, ends = date_in_words(first["first_day"], year=False), date_in_words(first["last_day"])
    head = f"{clean(title)}, {clean(first['curriculum_title'])}: {begins} to {ends}"
    yield from (faces.bold(line) for line in wrap(head, width))
    yield ""
    yield from table_lines(_table(terms), width, faces, boxes=boxes)
    for term in terms:
        yield ""
        yield faces.bold(f"{clean(term['player'])}, {instrument_name(term['instrument'])}")
        for line in (*certificate_lines(term), *option_lines(term)):
            yield from indent(wrap(line, width - 3), "", "   ")


def _table(terms: Sequence[Term]) -> Table:
    def row(name: str, cells: Sequence[object]) -> Row:
        return (name, *(str(cell) for cell in cells))

    sure = [term["certificate"] for term in terms]
    rows = (
        row("combinations", [len(term["combinations"]) for term in terms]),
        row("set aside", [len(term["excluded"]) for term in terms]),
        row("met by their week", [f"{one['met_by_week']} of {one['to_meet']}" for one in sure]),
        row("back every, weeks", [term["span_weeks"] for term in terms]),
        row("minutes a week", [_mean(term, "seconds_used", 60) for term in terms]),
        row("most new in a week", [max(len(week["new"]) for week in term["weeks"]) for term in terms]),
        row("fits", ["yes" if one["fits"] else "no" for one in sure]),
    )
    return Table(("", *(clean(term["player"]) for term in terms)), (rows,))


def _mean(term: Term, name: str, unit: int) -> int:
    weeks = [int(week[name]) for week in term["weeks"] if week["practice_days"]]
    return round(sum(weeks) / unit / max(1, len(weeks)))


def _aloud(title: str, terms: Sequence[Term]) -> Iterator[str]:
    yield f"Class: {clean(title)}"
    for term in terms:
        name, number = clean(term["player"]), counted(len(term["combinations"]), "combination")
        yield f"{name}: {instrument_name(term['instrument'])}, {number}"
        for line in (*certificate_lines(term), *option_lines(term)):
            yield f"{name}: {line}"
