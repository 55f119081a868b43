"""An exercise of a curriculum in all its places as plain text, for instruments without a player.

Pure functions. Every pattern is written out as a figure of its own (`figure_sheet.py`), at the first tempo of
the exercise's first articulation and in the range of the exercise's level.
"""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

from planner.brass.instruments import Instrument, Side
from planner.inputs.curriculum import Exercise, Pattern
from planner.show.exercise_pages import exercise_facts, level_of
from planner.show.figure_sheet import FigureRequest, figure_text
from planner.show.layout import clean
from planner.show.words import beat_sign


def exercise_text(
    exercise: Exercise, instruments: Sequence[Instrument], side: Side = "F", width: int = 80
) -> str:
    """The whole exercise, ending in a line feed; no line is wider than `width` from 60 columns on."""
    lines = [clean(exercise.title), *textwrap.wrap(" · ".join(exercise_facts(exercise)), width)]
    lines += textwrap.wrap(" · ".join(_tempos(exercise)), width)
    text = "\n".join(lines) + "\n"
    for pattern in exercise.patterns:
        heading = f"\nPattern {clean(pattern.name)}\n" if len(exercise.patterns) > 1 else "\n"
        text += heading + figure_text(request_of(exercise, pattern, instruments, side), width)
    return text


def request_of(
    exercise: Exercise, pattern: Pattern, instruments: Sequence[Instrument], side: Side = "F"
) -> FigureRequest:
    """A pattern of an exercise as a figure in all its places."""
    span = exercise.tempos[exercise.articulations[0]]
    return FigureRequest(
        source=pattern.source,
        figure=pattern.figure,
        instruments=tuple(instruments),
        starts=exercise.starts,
        cycle=exercise.cycle,
        keys=exercise.keys,
        concert=exercise.keys_are == "concert",
        tempo=span.first,
        beat=span.beat,
        passes=exercise.passes,
        octave=exercise.octave,
        level=level_of(exercise),
        side=side,
    )


def _tempos(exercise: Exercise) -> Iterator[str]:
    """From the first tempo to the goal, once where it is the same for every articulation."""
    if exercise.hold is not None:
        return
    spans = [exercise.tempos[word] for word in exercise.articulations]
    words = [f"{beat_sign(one.beat)} = {one.first} to {one.goal}" for one in spans]
    if len(set(words)) == 1:
        yield words[0]
        return
    for articulation, said in zip(exercise.articulations, words, strict=True):
        yield f"{articulation} {said}"
