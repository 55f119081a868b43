"""Exercise x pattern x place: what is planned, rated and covered, and what is left out and why.

Conventions: a combination's id is "exercise/pattern/place", with "/articulation" behind it where the exercise
keeps its articulations apart. The place is a cycle of positions ("5-6-7") or a key as the curriculum
names it ("a-flat-major"); `keys` are written keys. Notes are written MIDI numbers. Curriculum weeks
count from 1, week 1 begins on the player's `starts`. Every exclusion has a reason a teacher would give.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta

from planner.brass.figures import Passage, intensity, write_degrees, write_partials
from planner.brass.instruments import Instrument, instrument
from planner.brass.keys import Key, transpose_key
from planner.inputs.curriculum import Articulation, Curriculum, Exercise, Pattern
from planner.inputs.player import Player
from planner.need.easing import limits_on
from planner.need.exclusions import before_writing, inside_a_limit, of_the_notes, written_notes


@dataclass(frozen=True, slots=True)
class Place:
    """Where a pattern is played: a cycle of positions, or a key (as the curriculum names it), never both."""

    id: str
    positions: tuple[int, ...]
    key: Key | None


@dataclass(frozen=True, slots=True)
class Draft:
    """A combination as the curriculum names it, before it is written out for an instrument."""

    id: str
    exercise: Exercise
    pattern: Pattern
    place: Place
    articulations: tuple[Articulation, ...]
    intro_week: int


@dataclass(frozen=True, slots=True)
class Combination:
    """A combination written out for one instrument.

    `passages`: one for every position of the cycle in playing order, one for a key. `keys`: the written
    key of each passage. `positions`: all that its notes touch. `lowest`, `highest`: written MIDI.
    """

    id: str
    exercise: Exercise
    pattern: Pattern
    place: Place
    articulations: tuple[Articulation, ...]
    passages: tuple[Passage, ...]
    keys: tuple[Key, ...]
    positions: tuple[int, ...]
    lowest: int
    highest: int
    intensity: int
    intro_week: int


@dataclass(frozen=True, slots=True)
class Scope:
    """The shelf of one player from `day` on, in the order of the curriculum.

    `playable`: introduced, within reach, outside every limit on at least one of the days. `excluded` pairs
    ids with reasons. `later` are not introduced yet. Written out all the same, because their ratings tell
    something about the player: `limited` (only a limit holds them back) and `aside` (out of reach).
    """

    day: date
    week: int
    playable: tuple[Combination, ...]
    excluded: tuple[tuple[str, str], ...]
    later: tuple[Combination, ...]
    limited: tuple[Combination, ...]
    aside: tuple[Combination, ...]

    @property
    def within_reach(self) -> tuple[Combination, ...]:
        """Playable now, later, or once a limit ends."""
        return self.playable + self.later + self.limited

    @property
    def written(self) -> tuple[Combination, ...]:
        """Every combination that is written out, within reach or not."""
        return self.within_reach + self.aside


def combination_id(exercise: str, pattern: str, place: str, articulation: str | None = None) -> str:
    """The id of a combination; with an articulation where the exercise keeps them apart.

    >>> combination_id("rolling-fives", "a", "5-6-7", "slurred")
    'rolling-fives/a/5-6-7/slurred'
    """
    return "/".join((exercise, pattern, place) + (() if articulation is None else (articulation,)))


def split_id(text: str) -> tuple[str, str, str, str]:
    """Exercise, pattern, place and articulation ("" where there is none) of an id; ValueError otherwise.

    >>> split_id("rolling-fives/a/5-6-7")
    ('rolling-fives', 'a', '5-6-7', '')
    """
    parts = text.split("/")
    if len(parts) not in (3, 4) or not all(parts):
        raise ValueError(f'"{text}" is not exercise/pattern/place')
    return parts[0], parts[1], parts[2], parts[3] if len(parts) == 4 else ""


def curriculum_week(player: Player, day: date) -> int:
    """The curriculum week of a day, from 1; 0 and below before the curriculum starts."""
    monday = day - timedelta(days=day.weekday())
    return (monday - player.starts).days // 7 + 1


def week_sunday(player: Player, week: int) -> date:
    """The last day of a curriculum week."""
    return player.starts + timedelta(days=7 * week - 1)


def places(exercise: Exercise, pattern: Pattern) -> tuple[Place, ...]:
    """The places of one pattern in the order of the curriculum."""
    if pattern.figure.kind == "degrees":
        return tuple(Place(key.id, (), key) for key in exercise.keys)
    cycles = (tuple(range(start, start + exercise.cycle)) for start in exercise.starts)
    return tuple(Place("-".join(str(position) for position in cycle), cycle, None) for cycle in cycles)


def drafts(exercise: Exercise) -> tuple[Draft, ...]:
    """Every combination of an exercise in the order of the file, spread evenly over its weeks."""
    slots = list(_slots(exercise))
    weeks = exercise.weeks
    return tuple(
        Draft(name, exercise, pattern, place, articulations, weeks[i * len(weeks) // len(slots)])
        for i, (name, pattern, place, articulations) in enumerate(slots)
    )


def _slots(exercise: Exercise) -> Iterator[tuple[str, Pattern, Place, tuple[Articulation, ...]]]:
    """Id, pattern, place and articulations of every combination of an exercise."""
    apart = exercise.articulations_are == "each"
    for pattern in exercise.patterns:
        for place in places(exercise, pattern):
            for word in exercise.articulations if apart else (None,):
                name = combination_id(exercise.id, pattern.name, place.id, word)
                yield name, pattern, place, exercise.articulations if word is None else (word,)


def written_key(exercise: Exercise, key: Key, brass: Instrument) -> Key:
    """The written key of one of an exercise's keys on an instrument."""
    return transpose_key(key, brass.transposition) if exercise.keys_are == "concert" else key


def scope(curriculum: Curriculum, player: Player, day: date, last_day: date | None = None) -> Scope:
    """What this player can play of the curriculum, what is not introduced yet, and what is left out and why.

    A limit leaves a combination out where it holds on every day from `day` to `last_day` (`day` alone where
    that is None); `barred` tells the single days.
    """
    until = last_day or day
    found: dict[str, list[Combination]] = {"playable": [], "later": [], "limited": [], "aside": []}
    excluded: list[tuple[str, str]] = []
    for draft in (draft for exercise in curriculum.exercises for draft in drafts(exercise)):
        combination, reason = written_out(draft, player)
        limit = _barred_throughout(combination, player, day, until) if combination and not reason else ""
        if reason or limit:
            excluded.append((draft.id, reason or limit))
        if combination is not None:
            in_time = "playable" if draft.intro_week <= curriculum_week(player, until) else "later"
            found["aside" if reason else "limited" if limit else in_time].append(combination)
    sorts = {name: tuple(combinations) for name, combinations in found.items()}
    return Scope(day=day, week=curriculum_week(player, day), excluded=tuple(excluded), **sorts)


def barred(combination: Combination, player: Player, day: date) -> str:
    """The limit that keeps a combination out on one day, in words; "" where none does."""
    if not limits_on(player, day):
        return ""
    return inside_a_limit(combination.exercise.family, written_notes(combination.passages), player, day)


def written_out(draft: Draft, player: Player) -> tuple[Combination | None, str]:
    """A draft written out for the player, and why it is out of reach ("" where it is not); limits aside."""
    brass = instrument(player.instrument)
    reason = before_writing(draft.exercise, draft.place.positions, player, brass)
    if reason:
        return None, reason
    passages = _passages(draft, player, brass)
    missing = [midi for passage in passages for midi in passage.missing]
    if missing:
        return None, f"needs {written_notes(passages)[missing[0]]}, which is not on this instrument"
    return _combination(draft, passages, player), of_the_notes(passages, player, brass)


def _passages(draft: Draft, player: Player, brass: Instrument) -> tuple[Passage, ...]:
    """The passages of a draft in playing order."""
    figure, key = draft.pattern.figure, draft.place.key
    if key is None:
        cycle = draft.place.positions
        return tuple(write_partials(figure, brass, position, player.side) for position in cycle)
    written = written_key(draft.exercise, key, brass)
    return (write_degrees(figure, brass, written, player.low, player.high, draft.exercise.octave),)


def _barred_throughout(combination: Combination, player: Player, day: date, last_day: date) -> str:
    """The limit that keeps a combination out on the first day, where every day to the last is barred."""
    if not player.limits and not player.missed:
        return ""
    days = (day + timedelta(days=offset) for offset in range((last_day - day).days + 1))
    reasons = [barred(combination, player, one) for one in days]
    return reasons[0] if all(reasons) else ""


def cycle_of(combination: Combination) -> tuple[int, ...]:
    """The positions a combination is compared by: its cycle, or the positions its notes touch."""
    return combination.place.positions or combination.positions


def _combination(draft: Draft, passages: tuple[Passage, ...], player: Player) -> Combination:
    return Combination(
        id=draft.id,
        exercise=draft.exercise,
        pattern=draft.pattern,
        place=draft.place,
        articulations=draft.articulations,
        passages=passages,
        keys=tuple(passage.key for passage in passages),
        positions=tuple(sorted({position for passage in passages for position in passage.positions})),
        lowest=min(passage.lowest for passage in passages),
        highest=max(passage.highest for passage in passages),
        intensity=intensity(passages, player.low, player.high),
        intro_week=draft.intro_week,
    )
