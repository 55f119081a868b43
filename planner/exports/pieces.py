"""From a plan and the shelf to pieces: each item as it is to be played, passages, tempo, passes.

Conventions: items are those of `planner.plan/1`; own music, warm-up, warm-down and rests make no piece.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from planner.brass.instruments import instrument
from planner.exports.score import Piece, articulated
from planner.need.combinations import Combination


def piece_of(combination: Combination, player_instrument: str, articulation: str, tempo: int) -> Piece:
    """One combination in one articulation at a tempo in its own beat a minute."""
    exercise = combination.exercise
    span = exercise.tempos.get(articulation) or next(iter(exercise.tempos.values()))  # type: ignore[call-overload]
    pattern = f" {combination.pattern.name}" if len(exercise.patterns) > 1 else ""
    return Piece(
        title=f"{exercise.title}{pattern}",
        instrument=instrument(player_instrument),
        meter=exercise.meter,
        passages=tuple(articulated(passage, articulation) for passage in combination.passages),
        tempo=tempo,
        beat=span.beat,
        passes=exercise.passes,
        staccato=articulation == "staccato",
    )


def pieces_of_day(
    items: Iterable[Mapping[str, Any]], shelf: Mapping[str, Combination], player_instrument: str
) -> list[Piece]:
    """The pieces of a day's items in their order; the second go of an item is the same piece and left out."""
    found = []
    for item in items:
        combination = shelf.get(item["combination"])
        if combination is None or item["go"] > 1:
            continue
        tempo = item["tempo"] or next(iter(combination.exercise.tempos.values())).first
        found.append(piece_of(combination, player_instrument, item["articulation"], tempo))
    return found
