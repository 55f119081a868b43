"""The estimate as an object: what was heard is solved once, asked for any day, and takes one more rating.

Conventions: as in clean_tempo.py. Each measure (tempo, seconds, top note, bend, band) has an estimate of its
own: what is heard of long tones says nothing about tempos. A rating of the last day heard or a later one is
taken in quickly: means within a hundredth, spreads within a twentieth of a notch of solving everything again.
An earlier one, or one beyond what is kept whole, makes everything be solved again. Needs numpy and scipy.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from planner.diary.rating import Rating
from planner.inputs.player import Player
from planner.need import silence
from planner.need.combinations import Combination
from planner.need.covariance import Array, Row
from planner.need.decompose import Told
from planner.need.evidence import MOST_RATINGS, Evidence, evidence_of, fold, gather, in_order
from planner.need.gain import Gains, gains, turns_of
from planner.need.heard import Heard, Shelf, hear, hear_one_more, shelf_of
from planner.need.levels import CleanTempo, Estimates, first_guess
from planner.need.limited import lifted
from planner.need.parts import DEFAULT, Scales

DECIMALS = 6

Name = tuple[str, str]


@dataclass(slots=True)
class _Part:
    """One measure: its rows, what practice is expected to have gained, what was heard (None: nothing yet)."""

    shelf: Shelf
    gains: Gains
    heard: Heard | None


class Estimator:
    """What one player's ratings up to a day say about these combinations; later ratings are left out."""

    def __init__(
        self,
        combinations: Sequence[Combination],
        ratings: Iterable[Rating],
        day: date,
        player: Player,
        scales: Scales = DEFAULT,
    ) -> None:
        known = [rating for rating in ratings if rating.day <= day]
        self._combinations = {combination.id: combination for combination in combinations}
        self._evidence = gather(self._combinations, known, day)
        self._turns = turns_of(self._combinations, known, day)
        self._names = [(c.id, articulation) for c in combinations for articulation in c.articulations]
        self._asked: Estimates | None = None
        self._parts = {
            measure: _Part(shelf, self._gains(shelf), None)
            for measure, shelf in shelves(combinations, player, scales).items()
        }
        self._hear(self._parts)

    def add(self, rating: Rating) -> None:
        """One more rating; one of a combination that is not on the shelf changes nothing."""
        combination = self._combinations.get(rating.combination)
        if combination is None:
            return
        self._asked = None
        last = max((one.day for one in self._evidence), default=rating.day)
        more = evidence_of(combination, rating)
        self._evidence = in_order((*self._evidence, *more))
        self._turns = tuple(sorted((*self._turns, *turns_of(self._combinations, [rating], rating.day))))
        part = self._parts[combination.exercise.measure]
        part.gains = self._gains(part.shelf)
        told = [one for one in more if not one.limited]
        if rating.day < last or part.heard is None or len(self._evidence) > MOST_RATINGS:
            self._hear([combination.exercise.measure] if len(self._evidence) <= MOST_RATINGS else self._parts)
            return
        for one in told:
            part.heard = hear_one_more(part.heard, one, part.gains)

    def on(self, day: date) -> Estimates:
        """The estimates of one day, none of the ratings being later; the last answer is kept."""
        if self._asked is None or self._asked.day != day:
            self._asked = self._estimates(day)
        return self._asked

    def _hear(self, measures: Iterable[str]) -> None:
        """Solve these measures from the beginning."""
        kept = fold([one for one in self._evidence if not one.limited])
        for measure in measures:
            part = self._parts[measure]
            inside = [one for one in kept if (one.combination, one.articulation) in part.shelf.number]
            part.heard = hear(part.shelf, inside, part.gains) if inside else None

    def _gains(self, shelf: Shelf) -> Gains:
        inside = [turn for turn in self._turns if (turn.combination, turn.articulation) in shelf.number]
        return gains(inside, shelf.number, shelf.rows.combination, shelf.guess, shelf.scales.gain)

    def _estimates(self, day: date) -> Estimates:
        if self._evidence and day < self._evidence[-1].day:
            raise ValueError(f"ratings are known up to {self._evidence[-1].day}, later than {day}")
        found: dict[Name, CleanTempo] = {}
        guesses: dict[Name, float] = {}
        practised: dict[Name, float] = {}
        told: list[Told] = []
        lifting = _by_name(one for one in self._evidence if one.limited)
        for part in self._parts.values():
            gained, change, spread = _moved(part, day)
            guesses |= zip(part.shelf.names, part.shelf.guess.tolist(), strict=True)
            practised |= zip(part.shelf.names, gained.tolist(), strict=True)
            means = part.shelf.guess + gained + change
            lifts = _lifts(part.shelf, means, lifting, day)
            means = means + lifts
            told.append(Told(part.shelf, part.heard, lifts))
            pairs = zip(_rounded(means), _rounded(spread), strict=True)
            found |= zip(part.shelf.names, itertools.starmap(CleanTempo, pairs), strict=True)
        counts = {name: len(members) for name, members in _by_name(self._evidence).items()}
        return Estimates(
            day=day,
            estimates={name: found[name] for name in self._names},
            first_guesses=guesses,
            rated={name: counts.get(name, 0) for name in self._names},
            practised=practised,
            told=tuple(told),
        )


def shelves(combinations: Sequence[Combination], player: Player, scales: Scales) -> dict[str, Shelf]:
    """The rows of each measure with their first guesses."""
    rows: dict[str, list[Row]] = {}
    for combination in combinations:
        rows.setdefault(combination.exercise.measure, []).extend(
            (combination, a) for a in combination.articulations
        )
    return {
        measure: shelf_of(inside, [first_guess(c, a, player) for c, a in inside], scales)
        for measure, inside in rows.items()
        if inside
    }


def _moved(part: _Part, day: date) -> tuple[Array, Array, Array]:
    """For every row: what practice is expected to have gained, what the ratings changed, and the spread."""
    gained = part.gains.until(part.shelf.rows.combination, part.shelf.guess, day.toordinal())
    if part.heard is None:
        return gained, np.zeros(len(gained)), np.sqrt(part.shelf.own)
    return gained, *silence.estimates(part.heard, day.toordinal())


def _lifts(shelf: Shelf, means: Array, lifting: Mapping[Name, Sequence[Evidence]], day: date) -> Array:
    """Notches by which ratings inside a limit lift each row."""
    found = np.zeros(len(means))
    for name in lifting.keys() & shelf.number.keys():
        row = shelf.number[name]
        found[row] = lifted(float(means[row]), lifting[name], day) - means[row]
    return found


def _rounded(values: Array) -> list[float]:
    found: list[float] = np.round(values, DECIMALS).tolist()
    return found


def _by_name(evidence: Iterable[Evidence]) -> dict[Name, list[Evidence]]:
    """Evidence by combination and articulation."""
    found: dict[Name, list[Evidence]] = {}
    for one in evidence:
        found.setdefault((one.combination, one.articulation), []).append(one)
    return found


def remembered(
    combinations: Sequence[Combination],
    ratings: Iterable[Rating],
    day: date,
    player: Player,
    scales: Scales,
) -> Estimator:
    """The estimator for a question; the last one again where nothing that matters has changed."""
    known = tuple(rating for rating in ratings if rating.day <= day)
    asked = (
        tuple(_of_a_combination(combination) for combination in combinations),
        known,
        (player.instrument, player.low, player.high, player.side),
        scales,
    )
    if not _memory or _memory[0][0] != asked:
        _memory[:] = []  # the old one goes first, so that two never stand in memory together
        _memory[:] = [(asked, Estimator(combinations, known, day, player, scales))]
    return _memory[0][1]


_memory: list[tuple[object, Estimator]] = []
"""The last question with its estimator."""


def _of_a_combination(combination: Combination) -> tuple[object, ...]:
    """Everything an estimate takes from a combination, in values that can be compared quickly."""
    exercise = combination.exercise
    return (
        combination.id,
        combination.articulations,
        combination.positions,
        combination.keys,
        combination.passages,
        exercise.id,
        exercise.measure,
        exercise.tempos,
        exercise.hold,
        exercise.passes,
        exercise.rounds,
    )
