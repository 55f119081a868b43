"""Ratings from a file, held against the calendar and the player's curriculum before they are taken in.

A rating may be possible by itself and still be nonsense: of a day to come, of a combination that nobody
knows, with a tempo for a tone that is held in seconds.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Set
from dataclasses import dataclass, field
from datetime import date, timedelta
from difflib import get_close_matches

from planner.cli.desk import Desk
from planner.diary.exchange import Judge
from planner.diary.rating import Rating
from planner.diary.text import shown
from planner.diary.values import LONGEST_HOLD_SECONDS, OWN_MUSIC
from planner.errors import BadData, NoInput

Found = Iterator[tuple[str, str, str]]

REACHED = ("tempo", "clean", "grade", "value")
FIELDS: Mapping[str, tuple[str, ...]] = {
    "tempo": ("tempo", "clean", "grade"),
    "seconds": ("grade", "value"),
    "top note": ("value",),
    "bend": ("value",),
    "band": ("tempo", "value"),
    OWN_MUSIC: REACHED,
}
"""Which columns a measure fills."""

ASKS: Mapping[str, str] = {
    "tempo": "tempo, clean mark or grade",
    "seconds": "seconds held under value, or a grade",
    "top note": "the highest note, a MIDI number, under value",
    "bend": "1 or 0 under value",
    "band": "1 or 0 under value, with the tempo",
    OWN_MUSIC: "a clean mark, a grade, or 1 or 0 under value",
}
HIGHEST: Mapping[str, float] = {"seconds": LONGEST_HOLD_SECONDS, "top note": 127, "bend": 1, "band": 1}
OWN = "own-music/"
PLAYED = "0 under at says that it was played and not rated"


@dataclass(frozen=True, slots=True)
class _Known:
    """What is measured of a combination, and how it may be played."""

    measure: str
    articulations: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Judge:
    """What is wrong with ratings of a player, each unknown combination named once.

    `there`: what the diary holds already, which nobody judges again; `last`: the last day that may be rated.
    """

    known: Mapping[str, _Known]
    curriculum: str
    there: Set[Rating]
    last: date
    keep_unknown: bool
    named: set[str] = field(default_factory=set)

    def __call__(self, rating: Rating, cells: Mapping[str, str]) -> Found:
        if rating in self.there:
            return
        if rating.day > self.last:
            yield "day", f"the day {rating.day} is still to come", "a rating tells what was played"
        found = self._of(rating.combination)
        if found is None:
            if not self.keep_unknown and rating.combination not in self.named:
                self.named.add(rating.combination)
                yield "combination", self._unknown(rating.combination), self._near(rating.combination)
            return
        yield from _measured(rating, found, cells)
        if rating.articulation and rating.articulation not in (found.articulations or (rating.articulation,)):
            words = f"{rating.combination} is not played {rating.articulation}"
            if not self.keep_unknown:
                yield "articulation", words, f"{' or '.join(found.articulations)}, or --keep-unknown"

    def _of(self, combination: str) -> _Known | None:
        if combination.startswith(OWN):
            return _Known(OWN_MUSIC, ())
        return self.known.get(combination)

    def _unknown(self, combination: str) -> str:
        return f"{self.curriculum} has no combination {shown(combination)!r}"

    def _near(self, combination: str) -> str:
        near = get_close_matches(combination, self.known, 1)
        meant = f"did you mean {near[0]}? " if near else ""
        return f"{meant}--keep-unknown takes in what belongs to another curriculum"


def judge_of(place: Desk, there: Iterable[Rating], *, keep_unknown: bool) -> Judge:
    """What is wrong with a rating of this player; nothing is unknown where the curriculum cannot be read."""
    from planner.inputs.goals import read_curriculum_for
    from planner.need.combinations import drafts
    from planner.paths import find_curriculum

    last = place.clock + timedelta(days=1)
    try:
        file = find_curriculum(place.curriculum, place.player_file)
        read = read_curriculum_for(file, place.player())
    except (BadData, NoInput):
        if not keep_unknown:
            raise
        return _Judge({}, "", frozenset(there), last, keep_unknown)
    known = {
        draft.id: _Known(exercise.measure, tuple(draft.articulations))
        for exercise in read.exercises
        for draft in drafts(exercise)
    }
    return _Judge(known, read.title, frozenset(there), last, keep_unknown)


def _measured(rating: Rating, found: _Known, cells: Mapping[str, str]) -> Found:
    """Columns that this measure does not fill, values that it cannot have, and a row that says nothing."""
    fills = FIELDS.get(found.measure, ())
    asks = ASKS.get(found.measure, "it has no measure: leave them empty")
    filled = [name for name in REACHED if getattr(rating, name) is not None]
    for name in filled:
        if name not in fills:
            yield name, f"{rating.combination} has no {name}", asks
    most = HIGHEST.get(found.measure)
    if rating.value is not None and "value" in fills and most is not None and rating.value > most:
        yield "value", f"the value {rating.value:g} is more than {rating.combination} can have", asks
    said = any(cells.get(name, "").strip() for name in ("limited", "at"))
    if fills and not filled and not said:
        yield "combination", f"nothing is filled in for {rating.combination}", f"{asks}; {PLAYED}"
