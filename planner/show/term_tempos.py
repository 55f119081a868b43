"""The tempo steps of a term: every exercise from its first mark to its goal, week by week.

Pure functions from a term (`planner.term/1`) to text.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from planner.show.layout import Faces, page, wrap
from planner.show.tables import Table, table_lines
from planner.show.term_words import NONE, Term, exercise_title, heading
from planner.show.words import beat_sign, spoken


def tempo_text(
    term: Term, *, width: int = 80, colour: bool = False, plain: bool = False, boxes: bool = False
) -> str:
    """The tempo steps of every exercise, from its first mark to its goal."""
    if plain:
        return page(spoken(fact) for fact in _tempos_aloud(term))
    return page(_tempos(term, width, Faces(colour), boxes))


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
        rows.append((f"{exercise_title(one)} {_ends(one)}", *planned))
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
        yield f"{exercise_title(one)}, {_ends(one)}: {steps}"
