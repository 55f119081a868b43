"""A curriculum file as a whole: its head, its exercises, and the rules between exercises."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import islice

from planner.inputs.curriculum import Curriculum, Exercise
from planner.inputs.curriculum_dates import term_dates
from planner.inputs.exercise_file import Around, read_exercise
from planner.inputs.findings import Found, did_you_mean, tables_of
from planner.inputs.schema import CurriculumHead, ExerciseTable
from planner.inputs.tables import sound_part
from planner.inputs.text import MOST_FAULTS, shown

MOST_EXERCISES = 1_000
_WORDS = ("curriculum", "exercise", "date")


def curriculum_of(table: Mapping[str, object], found: Found) -> Curriculum | None:
    """The curriculum in a file's table; None where it is faulty, with all that is wrong in `found`."""
    head = _head(table, found)
    records, exercises = _exercises(table.get("exercise"), head, found)
    dates = term_dates(table.get("date"), head.weeks, found.under("date"))
    _check_ids(records, found)
    _check_after_is_known(records, found)
    _check_after_has_no_circle(records, found)
    _check_after_comes_first(records, found)
    if found.findings:
        return None
    return Curriculum(
        id=head.id or "",
        title=head.title or "",
        author=head.author or "",
        licence=head.licence or "",
        weeks=head.weeks or 0,
        exercises=tuple(exercises),
        dates=dates,
    )


def _head(table: Mapping[str, object], found: Found) -> CurriculumHead:
    """What is sound under [curriculum]; a misspelt heading is told once, as the misspelling."""
    hints = []
    for word in islice((word for word in table if word not in _WORDS), MOST_FAULTS):
        message = f"{shown(word)} is not a word of a curriculum; allowed: {', '.join(_WORDS)}"
        hints.append(did_you_mean(word, _WORDS))
        found.add((word,), message, hints[-1], word=True)
    if "curriculum" in table:
        return sound_part(CurriculumHead, table["curriculum"], found.under("curriculum"))
    if not any("curriculum" in hint for hint in hints):
        found.add((), "'curriculum' is missing", "a curriculum begins with a heading [curriculum]")
    return CurriculumHead()


def _exercises(
    value: object, head: CurriculumHead, found: Found
) -> tuple[list[ExerciseTable], list[Exercise]]:
    """The sound words of every exercise, and the exercises without a fault."""
    if value is None or value == []:
        found.add((), "a curriculum has at least one [[exercise]]")
    tables = tables_of("exercise", value, found.under("exercise"), MOST_EXERCISES)
    around = Around(head.naming or "english", head.weeks)
    both = [read_exercise(one, around, found.under("exercise", place)) for place, one in enumerate(tables)]
    return [record for record, _ in both], [exercise for _, exercise in both if exercise is not None]


def _check_ids(records: Sequence[ExerciseTable], found: Found) -> None:
    """Every exercise has an id of its own."""
    seen: set[str] = set()
    for place, record in enumerate(records):
        if record.id in seen:
            found.add(("exercise", place, "id"), f"an exercise {shown(record.id)} stands above already")
        seen |= {record.id} if record.id else set()


def _check_after_is_known(records: Sequence[ExerciseTable], found: Found) -> None:
    """An exercise comes after others of the same file, not after itself.

    Where an id is faulty it may be the one that is meant, so nothing is called unknown.
    """
    ids = [record.id for record in records if record.id]
    known = set(ids)
    sure = len(ids) == len(records)
    for place, record in enumerate(records):
        for number, word in enumerate(record.after or ()):
            loc = ("exercise", place, "after", number)
            if word not in known and sure:
                found.add(loc, f"there is no exercise {shown(word)} in this file", did_you_mean(word, ids))
            elif word == record.id:
                found.add(loc, f"{shown(word)} cannot come after itself")


def _check_after_has_no_circle(records: Sequence[ExerciseTable], found: Found) -> None:
    """Following `after` never leads back to where it began."""
    place_of = {record.id: place for place, record in reversed(list(enumerate(records))) if record.id}
    after = {
        word: {one for one in records[place].after or () if one in place_of} - {word}
        for word, place in place_of.items()
    }
    while stuck := _never_free(after):
        circle = _circle(stuck)
        first = min(circle, key=place_of.__getitem__)
        turn = circle.index(first)
        way = (circle[turn:] + circle[:turn])[:6] + (["…"] if len(circle) > 6 else []) + [first]
        found.add(
            ("exercise", place_of[first], "after"), f"the order goes in a circle: {' after '.join(way)}"
        )
        after = {word: before for word, before in stuck.items() if word not in circle}


def _never_free(after: Mapping[str, set[str]]) -> dict[str, set[str]]:
    """The exercises whose turn never comes, each with those it waits for that never come either."""
    waiting = {word: {one for one in before if one in after} for word, before in after.items()}
    while free := {word for word, before in waiting.items() if not before}:
        waiting = {word: before - free for word, before in waiting.items() if word not in free}
    return waiting


def _circle(stuck: Mapping[str, set[str]]) -> list[str]:
    """One circle, each exercise after the next; every one in `stuck` waits for another in it."""
    way = [min(stuck)]
    while (step := min(stuck[way[-1]])) not in way:
        way.append(step)
    return way[way.index(step) :]


def _check_after_comes_first(records: Sequence[ExerciseTable], found: Found) -> None:
    """What has to be met before is not introduced in a later week."""
    first = {record.id: min(record.weeks) for record in records if record.id and record.weeks}
    for place, record in enumerate(records):
        for number, word in enumerate(record.after or ()):
            mine = first.get(record.id or "")
            theirs = first.get(word)
            if mine is not None and theirs is not None and theirs > mine:
                found.add(
                    ("exercise", place, "after", number),
                    f"{shown(word)} first comes in week {theirs}, after week {mine} of this exercise",
                )
