"""Combinations as the builder sees them, and items about which there is little to say."""

from __future__ import annotations

import dataclasses
from typing import Any

from plan.verify.shelf import Inputs

from planner.brass.figures import Passage, write_degrees, write_partials
from planner.brass.instruments import instrument
from planner.inputs.curriculum import Exercise, Pattern
from planner.plan.weekplan import PlanItem


@dataclasses.dataclass(frozen=True)
class One:
    """A combination as the builder sees it."""

    id: str
    exercise: Exercise
    pattern: Pattern
    place: str
    passages: tuple[Passage, ...]
    week: int

    @property
    def highest(self) -> int:
        return max(passage.highest for passage in self.passages)

    @property
    def lowest(self) -> int:
        return min(passage.lowest for passage in self.passages)


def combinations(inputs: Inputs) -> dict[str, One]:
    """Every combination of the shelf; articulations alternate, keys are written."""
    tool, player = instrument(inputs.player.instrument), inputs.player
    found = {}
    for exercise in inputs.curriculum.exercises:
        places: list[tuple[str, Any]] = [
            ("-".join(map(str, range(start, start + exercise.cycle))), range(start, start + exercise.cycle))
            for start in exercise.starts
        ] or [(key.id, key) for key in exercise.keys]
        cells = [(pattern, place) for pattern in exercise.patterns for place in places]
        for index, (pattern, (name, place)) in enumerate(cells):
            if exercise.keys:
                passages = [write_degrees(pattern.figure, tool, place, player.low, player.high)]
            else:
                passages = [write_partials(pattern.figure, tool, position) for position in place]
            week = exercise.weeks[index * len(exercise.weeks) // len(cells)]
            whole = f"{exercise.id}/{pattern.name}/{name}"
            found[whole] = One(whole, exercise, pattern, name, tuple(passages), week)
    return found


def described(one: One) -> dict[str, Any]:
    """The fields of an item that the curriculum and the notes decide."""
    exercise, first = one.exercise, one.passages[0]
    fields = blank(PlanItem) | {
        "kind": "play",
        "family": exercise.family,
        "measure": exercise.measure,
        "exercise": exercise.id,
        "title": exercise.title,
        "pattern": one.pattern.name,
        "place": one.place,
        "combination": one.id,
        "goes": 1,
        "rounds": exercise.rounds,
        "passes_wanted": exercise.passes,
        "bars": first.bars,
        "eighths_per_bar": float(exercise.meter.eighths_per_bar),
        "meter": exercise.meter.text,
        "grouping": exercise.meter.grouping,
        "notation": one.pattern.source,
        "keys": tuple(passage.key.name for passage in one.passages),
        "positions": tuple(sorted({place for passage in one.passages for place in passage.positions})),
        "fingerings": tuple(passage.fingering_first for passage in one.passages),
        "first_note": next(note.pitch.name for note in first.notes if note.pitch),
        "lowest": one.lowest,
        "highest": one.highest,
        "reasons": ("a reason",),
    }
    wished = ("state", "wanted", "turn_by", "last_played")
    return {name: value for name, value in fields.items() if name not in wished}


def plain_item(family: str, seconds: int) -> PlanItem:
    """Warm-up or warm-down: half of it played, intensity 1, nothing else applies."""
    return PlanItem(
        **blank(PlanItem)
        | {
            "id": family,
            "kind": "play",
            "family": family,
            "measure": "none",
            "exercise": family,
            "title": family,
            "seconds": seconds,
            "play_seconds": seconds // 2,
            "pause_seconds": seconds - seconds // 2,
            "go": 1,
            "goes": 1,
            "intensity": 1,
            "load": seconds / 120,
            "reasons": ("a reason",),
        }
    )


def blank(kind: type) -> dict[str, Any]:
    """A value that says nothing for every field of a frozen type."""
    found: dict[str, Any] = {}
    for field in dataclasses.fields(kind):
        words = str(field.type)
        empty = {"str": "", "bool": False, "int": 0, "float": 0.0}.get(
            words, () if "tuple" in words else None
        )
        found[field.name] = {} if words.startswith("Mapping") else empty
    return found
