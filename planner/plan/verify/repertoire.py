"""Every combination of a curriculum as one player would read it, and whether it is within reach.

Conventions: notes are written MIDI numbers; keys are written; positions are tube lengthenings, 1 = open.
Readings where the specification leaves room:
- a place on degrees is named by the key as it stands in the file, concert or written;
- combination i of n counts every pattern, place and (where they are kept apart) articulation of the file,
  within reach or not, in that order;
- the longest position binds slides only, by how far the arm goes (T1 is the first position, T4 the fifth);
- a passage that the tube or the chart does not have is out of reach.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from planner.brass.figures import Figure, Passage, intensity, write_degrees, write_partials
from planner.brass.instruments import Instrument, Side, instrument, slide_place
from planner.brass.keys import Key, Pitch, transpose_key
from planner.errors import PlannerError
from planner.inputs.curriculum import LEVELS, Curriculum, Exercise, Pattern
from planner.inputs.player import Player
from planner.plan.verify.days import DayFacts, monday

Place = tuple[int, ...] | Key


@dataclass(frozen=True, slots=True)
class Part:
    """The notes of one combination, summed up: what an item of it says about them.

    `slide`: how far the arm goes, 0 on valves.
    """

    keys: tuple[str, ...]
    tonics: frozenset[int]
    positions: tuple[int, ...]
    slide: int
    fingerings: tuple[str, ...]
    first_note: str
    notes: frozenset[int]
    lowest: int
    highest: int
    bars: int
    eighths: Fraction
    intensity: int


@dataclass(frozen=True, slots=True)
class Combination:
    """One combination.

    `part` is None where it cannot be written for this instrument; `reason` is "" where the player has
    everything it asks for (limits aside); `week` is the curriculum week in which it is first met.
    """

    id: str
    exercise: Exercise
    pattern: Pattern
    place: str
    places: int
    articulations: tuple[str, ...]
    part: Part | None
    reason: str
    week: int

    def allowed(self, facts: DayFacts) -> bool:
        """Whether the limits of a date leave it in."""
        assert self.part is not None
        low_enough = facts.top_note is None or self.part.highest <= facts.top_note
        return low_enough and self.exercise.family not in facts.without


def repertoire(curriculum: Curriculum, player: Player) -> Mapping[str, Combination]:
    """Every combination of the curriculum by its id, in the order of the file."""
    found = (one for exercise in curriculum.exercises for one in _combinations(exercise, player))
    return {one.id: one for one in found}


def curriculum_week(player: Player, day: dt.date) -> int:
    """The week of the curriculum, 1 from the Monday on which the player starts; below 1 before it."""
    return (monday(day) - player.starts).days // 7 + 1


def _combinations(exercise: Exercise, player: Player) -> Iterator[Combination]:
    tool = instrument(player.instrument)
    apart = exercise.articulations_are == "each"
    ways = [(word,) for word in exercise.articulations] if apart else [tuple(exercise.articulations)]
    cells = [
        (pattern, place, way) for pattern in exercise.patterns for place in _places(exercise) for way in ways
    ]
    for index, (pattern, place, way) in enumerate(cells):
        part = _part_for(player, exercise, pattern, place)
        name = place.id if isinstance(place, Key) else "-".join(map(str, place))
        yield Combination(
            id="/".join((exercise.id, pattern.name, name, *(way if apart else ()))),
            exercise=exercise,
            pattern=pattern,
            place=name,
            places=1 if isinstance(place, Key) else len(place),
            articulations=way,
            part=part,
            reason=_reason(exercise, part, player, tool),
            week=exercise.weeks[index * len(exercise.weeks) // len(cells)],
        )


def _places(exercise: Exercise) -> tuple[Place, ...]:
    if exercise.patterns[0].figure.kind == "degrees":
        return exercise.keys
    return tuple(tuple(range(start, start + exercise.cycle)) for start in exercise.starts)


def _as_written(exercise: Exercise, place: Place, tool: Instrument) -> Place:
    if isinstance(place, Key) and exercise.keys_are == "concert":
        return transpose_key(place, tool.transposition)
    return place


def _part_for(player: Player, exercise: Exercise, pattern: Pattern, place: Place) -> Part | None:
    tool = instrument(player.instrument)
    here = _as_written(exercise, place, tool)
    return _part(pattern.figure, tool.id, here, exercise.octave, player.side, player.low, player.high)


@lru_cache(maxsize=8192)
def _part(
    figure: Figure, tool_id: str, place: Place, octave: int, side: str, low: int, high: int
) -> Part | None:
    """The part as it is written; None where the instrument does not have its notes."""
    tool = instrument(tool_id)
    passages: tuple[Passage, ...]
    try:
        if isinstance(place, Key):
            passages = (write_degrees(figure, tool, place, low, high, octave),)
        else:
            way: Side = "F" if side == "F" else "B flat"
            passages = tuple(write_partials(figure, tool, position, way) for position in place)
    except (ValueError, PlannerError):
        return None
    return None if any(passage.missing for passage in passages) else _summed(passages, tool, low, high)


def _summed(passages: tuple[Passage, ...], tool: Instrument, low: int, high: int) -> Part:
    pitches = [note.pitch for passage in passages for note in passage.notes if note.pitch is not None]
    return Part(
        keys=tuple(passage.key.name for passage in passages),
        tonics=frozenset(passage.key.fifths * 7 % 12 for passage in passages),
        positions=tuple(sorted({position for passage in passages for position in passage.positions})),
        slide=max(map(slide_place, _ways(passages))) if tool.is_slide else 0,
        fingerings=tuple(passage.fingering_first for passage in passages),
        first_note=pitches[0].name,
        notes=frozenset(map(_midi, pitches)),
        lowest=min(passage.lowest for passage in passages),
        highest=max(passage.highest for passage in passages),
        bars=passages[0].bars,
        eighths=passages[0].eighths,
        intensity=intensity(passages, low, high),
    )


def _ways(passages: tuple[Passage, ...]) -> set[str]:
    """The fingerings of all notes, "" for rests."""
    return {note.fingering for passage in passages for note in passage.notes}


@lru_cache(maxsize=1024)
def _midi(pitch: Pitch) -> int:
    return pitch.midi


def _reason(exercise: Exercise, part: Part | None, player: Player, tool: Instrument) -> str:
    """Why the player cannot play it, limits aside; "" where nothing stands against it."""
    if LEVELS.index(exercise.level) > LEVELS.index(player.level):
        return "level"
    if exercise.instruments and tool.id not in exercise.instruments:
        return "instrument"
    if part is None:
        return "not on the instrument"
    if player.known_notes and not part.notes <= set(player.known_notes):
        return "known notes"
    if not player.known_notes and not (player.low <= part.lowest and part.highest <= player.high):
        return "range"
    if part.slide > player.longest_position:
        return "longest position"
    return ""
