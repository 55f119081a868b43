"""What is written down by hand on a sheet, so that `planner rate` can be given it later.

An answer carries what the command takes: metronome marks, grades, seconds to circle, a blank for a note, a
box for what was left out, and the name to be typed. A form of an exercise's sheet has a blank behind that
name. Pure functions.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from planner.engrave.sheet import Answer, Choice, Form, Marks
from planner.inputs.curriculum import Exercise, Measure, Pattern
from planner.need.combinations import Place, combination_id
from planner.show import day as about
from planner.show.items import Item
from planner.show.layout import clean
from planner.show.written_out import marks_to_circle

AFTER = {"seconds": "s", "bend": "yes · no", "band": "in · out"}
TO_CIRCLE = {"bend": ("yes", "no"), "band": ("in", "out")}
LEADS = {"bend": "bend", "band": "tempo band"}
LEFT_OUT = "left out"
GRADE_NUMBERS = ("1", "2", "3", "4", "5")
MARKS_BESIDE = (3, 4)  # marks to circle below and above today's
SECONDS_BELOW, SECONDS_SHOWN = 3, 7
ON_PAPER = {
    "tempo": "the highest clean mark, or a grade: " + about.GRADES,
    "seconds": "seconds held steady",
    "top note": "the highest note that spoke softly",
    "bend": "yes or no: the bend was reached and centred",
    "band": "in or out of its tempo band",
    "none": "played",
}


def item_answer(item: Item) -> Answer | None:
    """What is filled in for an item of a routine, under its figure; None for what has no ratings."""
    own = item["family"] == "own music" and item["kind"] == "play"
    if not item["combination"] and not own:
        return None
    name = clean(item["exercise"] if own and not item["combination"] else item["combination"])
    return Answer(_choices("band" if own else item["measure"], item), LEFT_OUT, name)


def _choices(measure: str, item: Item) -> tuple[Choice, ...]:
    """The values of one measure; a tempo is answered by a mark or by a grade."""
    if measure == "tempo":
        marks = marks_to_circle(item["beat"], item["tempo"], beside=MARKS_BESIDE)
        first = () if marks is None else (_marks(marks),)
        return (*first, Choice(GRADE_NUMBERS, lead="grade"))
    if measure == "seconds":
        return (_seconds(round(item["target"] or 0)),)
    if measure == "top note":
        return (Choice((), lead="top note", blank=True),)
    return (Choice(TO_CIRCLE.get(measure, ("played",)), lead=LEADS.get(measure, "")),)


def _marks(marks: Marks) -> Choice:
    return Choice(tuple(map(str, marks.values)), lead=f"{marks.sign} =", strong=str(marks.today))


def _seconds(target: int) -> Choice:
    """Seconds around what is asked for, and a line for any other."""
    first = max(1, target - SECONDS_BELOW)
    values = tuple(map(str, range(first, first + SECONDS_SHOWN)))
    return Choice(values, lead="seconds", strong=str(target), blank=True)


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
    return [
        f"To circle: {_said(measures + own)}. Nothing circled, or a cross in the box: not played.",
        f"Afterwards: {command} (or the name in small letters in place of B1)",
    ]


def form_note(measures: Sequence[str]) -> str:
    """What is written on the lines, for the measures that a page has."""
    return f"On the line: {_said(measures)}. Nothing: not played."


def _said(measures: Sequence[str]) -> str:
    return "; ".join(words for name, words in ON_PAPER.items() if name in measures)


def _form(measure: Measure | str, lead: str = "") -> Form:
    return Form(lead, AFTER.get(measure, ""), blank=measure not in TO_CIRCLE)
