"""Scores for the tests: one figure in one place, and every place of every sample curriculum."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from planner.brass.figures import Passage, read_figure, write_degrees, write_partials
from planner.brass.instruments import INSTRUMENTS, Instrument, instrument, positions
from planner.brass.keys import parse_key, transpose_key
from planner.brass.tempo import Meter, parse_meter
from planner.engrave.score import Score, Style, write_score
from planner.inputs.curriculum import Exercise, Pattern
from planner.inputs.read import read_curriculum
from planner.need.combinations import Place, places

CURRICULA = sorted((Path(__file__).resolve().parents[2] / "curricula").glob("*.toml"))


def partials(
    text: str,
    meter: str,
    on: str = "trumpet",
    position: int = 1,
    style: Style = Style(),  # noqa: B008 - frozen
    grouping: tuple[int, ...] | None = None,
) -> Score:
    """A partial figure at one position."""
    bar, played = parse_meter(meter, grouping), instrument(on)
    passage = write_partials(read_figure(text, bar, "partials"), played, position)
    return write_score(passage, played, bar, style)


def degrees(
    text: str,
    meter: str,
    on: str = "trumpet",
    key: str = "C",
    style: Style = Style(),  # noqa: B008 - frozen
    grouping: tuple[int, ...] | None = None,
) -> Score:
    """A degree figure in one written key, in the advanced range."""
    bar, played = parse_meter(meter, grouping), instrument(on)
    low, high = played.range_at("advanced")
    passage = write_degrees(read_figure(text, bar, "degrees"), played, parse_key(key), low, high)
    return write_score(passage, played, bar, style)


@dataclass(frozen=True, slots=True)
class Case:
    """A pattern in one place on one instrument, with its passages."""

    name: str
    instrument: Instrument
    exercise: Exercise
    pattern: Pattern
    place: Place
    passages: tuple[Passage, ...]

    @property
    def meter(self) -> Meter:
        return self.pattern.figure.meter


@cache
def exercises() -> tuple[tuple[str, Exercise], ...]:
    return tuple((path.stem, one) for path in CURRICULA for one in read_curriculum(path).exercises)


def every_case() -> Iterator[Case]:
    """Every pattern of every sample curriculum in every place, on every instrument that has all its notes."""
    for curriculum, exercise in exercises():
        for pattern in exercise.patterns:
            for place in places(exercise, pattern):
                for played in INSTRUMENTS.values():
                    passages = _passages(exercise, pattern, place, played)
                    if passages and not any(passage.missing for passage in passages):
                        name = f"{curriculum}:{exercise.id}/{pattern.name}/{place.id} on {played.id}"
                        yield Case(name, played, exercise, pattern, place, passages)


def _passages(exercise: Exercise, pattern: Pattern, place: Place, played: Instrument) -> tuple[Passage, ...]:
    if place.key is None:
        if not set(place.positions) <= set(positions(played)):
            return ()
        return tuple(write_partials(pattern.figure, played, one) for one in place.positions)
    written = transpose_key(place.key, played.transposition) if exercise.keys_are == "concert" else place.key
    low, high = played.range_at("advanced")
    return (write_degrees(pattern.figure, played, written, low, high, exercise.octave),)
