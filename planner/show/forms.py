"""What is written down by hand on a sheet, so that `planner rate` can be given it later.

A form carries what the command asks for: a blank for a clean mark or a grade, for seconds, for a note, words
to circle where there are only two. Pure functions.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from planner.engrave.sheet import Form
from planner.inputs.curriculum import Exercise, Measure, Pattern
from planner.need.combinations import Place, combination_id
from planner.show import day as about
from planner.show.items import Item

AFTER = {"seconds": "s", "bend": "yes · no", "band": "in · out"}
TO_CIRCLE = ("bend", "band")
ON_PAPER = {
    "tempo": "the highest clean mark, or a grade: " + about.GRADES,
    "seconds": "seconds held steady",
    "top note": "the highest note that spoke softly",
    "bend": "yes or no: the bend was reached and centred",
    "band": "in or out of its tempo band",
    "none": "played",
}


def item_form(item: Item) -> Form | None:
    """The form of an item of a routine, beside its name; None for what has no ratings."""
    own = item["family"] == "own music" and item["kind"] == "play"
    if not item["combination"] and not own:
        return None
    return _form("band" if own else item["measure"])


def place_forms(exercise: Exercise, pattern: Pattern, place: Place) -> tuple[Form, ...]:
    """A form for each articulation of a place, its whole word in front: "spindle/a/1-2-3/slurred ="."""
    only_one = len(exercise.articulations) == 1
    return tuple(
        _form(
            exercise.measure,
            combination_id(exercise.id, pattern.name, place.id, None if only_one else word) + " =",
        )
        for word in exercise.articulations
    )


def day_form_notes(plan: dict[str, Any], day: dict[str, Any]) -> list[str]:
    """What belongs on the lines of a day's items, and the command that takes it."""
    measures = [item["measure"] for item in day["items"] if item["combination"]]
    own = ["band" for item in day["items"] if item["family"] == "own music" and not item["combination"]]
    examples = about.rating_examples(day["items"])
    if not examples:
        return []
    command = f"planner rate --player {plan['player']} --date {day['date']} {' '.join(examples)}"
    return [form_note(measures + own), f"Afterwards: {command}"]


def form_note(measures: Sequence[str]) -> str:
    """What is written on the lines, for the measures that a page has."""
    said = "; ".join(words for name, words in ON_PAPER.items() if name in measures)
    return f"On the line: {said}. Nothing: not played."


def _form(measure: Measure | str, lead: str = "") -> Form:
    return Form(lead, AFTER.get(measure, ""), blank=measure not in TO_CIRCLE)
