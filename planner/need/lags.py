"""Keys and fingerings that lie behind the others, as the estimate itself has it.

Conventions: notches. A lag is what the part of a key (or of a cycle of positions) in the estimate lies below
the mean of the same part of the others that were heard, within one measure: what the exercise, the level or
the combination itself explain is no lag of a key. It is gone with the ratings that caused it and with those
it is measured by. Needs numpy once anything was heard.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass

from planner.brass.instruments import instrument, valves_of
from planner.inputs.player import Player
from planner.need.combinations import Combination, cycle_of
from planner.need.levels import Estimates

BEHIND = 1.5
"""Notches from which a lag is told; a whole part is 1.5 notches wide before anything is heard."""

LEAST_RATINGS = 3

Names = Callable[[Combination], Hashable]


@dataclass(frozen=True, slots=True)
class Lag:
    """How many notches a key or a cycle of positions lies behind the others, and how to say it."""

    notches: float
    words: str


@dataclass(frozen=True, slots=True)
class Lags:
    """What lags, by measure and key (its id), and by measure and cycle of positions."""

    keys: Mapping[tuple[str, str], Lag]
    cycles: Mapping[tuple[str, tuple[int, ...]], Lag]

    def worst(self, combination: Combination) -> str:
        """The worst lag of a combination's key or cycle in words, "" where there is none."""
        measure = combination.exercise.measure
        found = [
            self.keys.get((measure, key_id(combination))),
            self.cycles.get((measure, combination.place.positions)),
        ]
        known = [lag for lag in found if lag is not None]
        return max(known, key=lambda lag: lag.notches).words if known else ""


def key_id(combination: Combination) -> str:
    """The key a combination is played in; "" for a cycle of positions."""
    return combination.place.key.id if combination.place.key is not None else ""


def lags_of(combinations: Sequence[Combination], estimates: Estimates, player: Player) -> Lags:
    """What lags among these combinations; nothing where nothing was heard."""
    if not estimates.told or not any(estimates.rated.values()):
        return Lags({}, {})
    in_keys = [one for one in combinations if one.place.key is not None]
    in_cycles = [one for one in combinations if one.place.positions]
    names = {key_id(one): f"written {one.keys[0].pretty}" for one in in_keys}
    cycles = {one.place.positions: fingerings(one.place.positions, player) for one in in_cycles}
    return Lags(
        {
            (measure, str(key)): Lag(notches, _words(names[str(key)], notches, "keys", count))
            for measure, key, notches, count in _behind(in_keys, estimates, "key", key_id)
        },
        {
            (measure, one): Lag(notches, _words(cycles[one], notches, "fingerings", count))
            for measure, one, notches, count in _behind(in_cycles, estimates, "positions", _cycle)
            if isinstance(one, tuple)
        },
    )


def fingerings(cycle: Sequence[int], player: Player) -> str:
    """A cycle of positions in the player's own terms: "valves 1, 12, 23", "positions 5, 6, 7"."""
    brass = instrument(player.instrument)
    if brass.is_slide:
        return f"positions {', '.join(str(position) for position in cycle)}"
    return f"valves {', '.join(valves_of(brass, position, player.side) for position in cycle)}"


def fingerings_of(combination: Combination, player: Player) -> str:
    """What a combination is fingered with: its cycle of positions, or on valves what its notes are played by.

    In a key a double horn changes sides, which positions alone do not tell.
    """
    if combination.place.positions or instrument(player.instrument).is_slide:
        return fingerings(cycle_of(combination), player)
    notes = [note for passage in combination.passages for note in passage.notes if note.fingering]
    used = sorted({(note.position or 0, note.fingering) for note in notes})
    return f"valves {', '.join(fingering for _, fingering in used)}"


def _words(name: str, notches: float, others: str, count: int) -> str:
    return f"{name} about {round(notches)} notches behind your other {others}, on {count} ratings"


def _cycle(combination: Combination) -> tuple[int, ...]:
    return combination.place.positions


def _behind(
    combinations: Sequence[Combination], estimates: Estimates, part: str, name: Names
) -> list[tuple[str, Hashable, float, int]]:
    """Measure, name, notches and ratings of what lags; each key or cycle counts once, however often heard."""
    from planner.need.decompose import every_part

    parts = every_part(estimates)
    heard: dict[tuple[str, Hashable], list[tuple[float, int]]] = {}
    for one in combinations:
        for articulation in one.articulations:
            row = one.id, articulation
            if estimates.rated[row]:
                told = parts[row][part][0], estimates.rated[row]
                heard.setdefault((one.exercise.measure, name(one)), []).append(told)
    return [
        lag for measure in sorted({measure for measure, _ in heard}) for lag in _of_measure(heard, measure)
    ]


def _of_measure(
    heard: Mapping[tuple[str, Hashable], Sequence[tuple[float, int]]], measure: str
) -> list[tuple[str, Hashable, float, int]]:
    mine = {name: rows for (one, name), rows in heard.items() if one == measure}
    means = {name: sum(mean for mean, _ in rows) / len(rows) for name, rows in mine.items()}
    counts = {name: sum(count for _, count in rows) for name, rows in mine.items()}
    found = []
    for name, mean in means.items():
        rest = [other for key, other in means.items() if key != name]
        enough = counts[name] >= LEAST_RATINGS and sum(counts.values()) - counts[name] >= LEAST_RATINGS
        if rest and enough and sum(rest) / len(rest) - mean >= BEHIND:
            found.append((measure, name, sum(rest) / len(rest) - mean, counts[name]))
    return found
