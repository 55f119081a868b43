"""Earlier ratings of the sample players: `python -m planner.simulate.sample_ratings` writes them anew.

The simulated player is not the planner's idea of one. The planner has Gaussian levels, cuts at -4, -2, 0
and 2 notches, a noise of 2 notches and a power law of forgetting. Here practice moves one fast and several
slow states (of the combination, of the exercise, of the key or the tubing) that fade by a fixed share a
night, after the two kinds of state of Lee & Schweighofer, Journal of Neuroscience 29 (2009); a grade comes
of a logistic noise of 2.5 notches and other cuts; pieces and tempos are chosen by habit, easy tubing first.

Conventions: levels are notches from the goal; spreads are standard deviations in notches; days count from
the Monday of the planned week, the Sunday before it is -1. The files hold whole numbers only and every draw
comes from one seeded source of the standard library: the same profiles and curricula give the same bytes.
"""

from __future__ import annotations

import math
import sys
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from pathlib import Path
from random import Random
from typing import Final, NamedTuple, TypeVar

from planner.brass.tempo import mark_at_or_below, notches, tempo_at
from planner.inputs.curriculum import Articulation, Curriculum, Exercise
from planner.inputs.player import Limit, Player
from planner.inputs.read import read_curriculum, read_player
from planner.need.combinations import Combination, curriculum_week, scope
from planner.simulate.sample_players import PLAYERS, SimulatedPlayer

T = TypeVar("T")

SEED: Final = 1893
ANY_MONDAY: Final = date(2026, 9, 7)
"""Relative dates make every Monday the same; this one is only somewhere to count from."""

COLUMNS: Final = "day,combination,articulation,tempo,clean,grade,value"

GRADE_NOISE: Final = 2.5
MARK_NOISE: Final = 1.5
FEELING_NOISE: Final = 2.0
GRADE_CUTS: Final = (-5.0, -2.0, 0.5, 3.0)

EXERCISE_SPREAD: Final = 1.2
OWN_SPREAD: Final = 0.8
ACCIDENTAL_COST: Final = 0.2
REGISTER_COST: Final = 2.0
LIMIT_COST: Final = 3.0
"""What a limit (braces, illness) takes away for as long as it lasts."""

PIECE_EASE: Final = 5.0
"""Notches by which a piece is nearer to its tempo band than a figure to its goal."""

# Share of the way to the ceiling that one item gains, and what a night leaves of it.
FAST_GAIN, FAST_KEPT = 0.12, 0.85
OWN_GAIN, EXERCISE_GAIN, PLACE_GAIN, SLOW_KEPT = 0.05, 0.010, 0.015, 0.998
BEST_SUCCESS: Final = (0.70, 0.95)
"""Outside this plateau of success an item teaches half as much."""

CAUTION: Final = 2.0
"""Notches below what feels possible at which the player sets the metronome."""

HABIT: Final = 4.0
"""Notches of ease that double the chance of being picked up again."""

FRESH: Final = 3.0
"""How many times rather an exercise with something new in it is taken up."""

UNTRIED: Final = 6.0
"""The same for a combination that was never tried: the teacher has set it."""

ITEMS_IN_BLOCK: Final = 3
BEND_FROM: Final = -6.0
"""From this level on a bend is mostly reached."""

SOFT_TOP_BELOW: Final = 3
"""Semitones below the top of the range where a note still speaks softly on an ordinary day."""


class Row(NamedTuple):
    """One line of a file; None stays empty."""

    day: int
    combination: str
    articulation: str
    tempo: int | None = None
    clean: int | None = None
    grade: int | None = None
    value: int | None = None

    def line(self) -> str:
        """The row as a line of CSV."""
        return ",".join("" if cell is None else str(cell) for cell in self)


@dataclass(slots=True)
class Lip:
    """What practice has left: a fast state of each combination and articulation, slow ones of its parts."""

    fast: defaultdict[tuple[str, str], float] = field(default_factory=lambda: defaultdict(float))
    slow: defaultdict[str, float] = field(default_factory=lambda: defaultdict(float))

    def sleep(self) -> None:
        """One night of forgetting."""
        for combination in self.fast:
            self.fast[combination] *= FAST_KEPT
        for part in self.slow:
            self.slow[part] *= SLOW_KEPT


class Simulation:
    """One simulated player with a curriculum, day after day."""

    def __init__(self, who: SimulatedPlayer, player: Player, curriculum: Curriculum) -> None:
        self.who = who
        self.player = player
        self.curriculum = curriculum
        self.random = Random(f"{SEED}/{player.id}")  # noqa: S311 - a simulation, nothing to keep secret
        self.lip = Lip()
        self.limits: tuple[Limit, ...] = ()
        self.turns: defaultdict[str, int] = defaultdict(int)
        self.talents: dict[str, float] = {}
        self.shelves: dict[tuple[int, tuple[Limit, ...]], tuple[Combination, ...]] = {}

    def rows(self, monday: date) -> Iterator[Row]:
        """Everything the player wrote down in the weeks before `monday`."""
        for ago in range(7 * self.who.weeks, 0, -1):
            day = monday - timedelta(days=ago)
            if self.player.minutes[day.weekday()] and self.random.random() >= self.who.missed:
                yield from self._day(day, -ago)
            self.lip.sleep()

    def _day(self, day: date, number: int) -> Iterator[Row]:
        self.limits = tuple(limit for limit in self.player.limits if limit.first <= day <= limit.until)
        week = curriculum_week(self.player, day)
        for combination in self._choice(self._shelf(day, week), week):
            ways = combination.articulations
            row = self._play(combination, ways[self.turns[combination.id] % len(ways)], number)
            self.turns[combination.id] += 1
            if self.random.random() < self.who.rated:
                yield row

    def _shelf(self, day: date, week: int) -> tuple[Combination, ...]:
        """What is in scope: the same all week as long as no limit begins or ends."""
        if (week, self.limits) not in self.shelves:
            self.shelves[week, self.limits] = scope(self.curriculum, self.player, day).playable
        return self.shelves[week, self.limits]

    def _choice(self, shelf: Sequence[Combination], week: int) -> list[Combination]:
        """The day's items by habit: a few exercises, newer ones rather, and of each what comes easily."""
        exercises: dict[str, list[Combination]] = {}
        for combination in shelf:
            exercises.setdefault(combination.exercise.id, []).append(combination)
        newest = [(group, max(c.intro_week for c in group)) for group in exercises.values()]
        weighted = ((group, FRESH if last >= week - 1 else 1.0) for group, last in newest)
        blocks = self._draw(weighted, math.ceil(self.who.items_a_day / ITEMS_IN_BLOCK))
        return [item for group in blocks for item in self._easy(group)][: self.who.items_a_day]

    def _easy(self, group: list[Combination]) -> list[Combination]:
        return self._draw(((one, self._liking(one)) for one in group), ITEMS_IN_BLOCK)

    def _liking(self, combination: Combination) -> float:
        """How gladly a combination is picked up: by ease, and because it is set where it is untried."""
        ease = 2 ** (self._level(combination, combination.articulations[0]) / HABIT)
        return float(ease) * (1.0 if self.turns[combination.id] else UNTRIED)

    def _draw(self, weighted: Iterable[tuple[T, float]], most: int) -> list[T]:
        """Up to `most` things without putting back, each chosen with its weight."""
        left, drawn = list(weighted), list[T]()
        while left and len(drawn) < most:
            at = self.random.random() * sum(weight for _, weight in left)
            place = 0
            while place < len(left) - 1 and at >= left[place][1]:
                at -= left[place][1]
                place += 1
            drawn.append(left.pop(place)[0])
        return drawn

    def _noise(self, spread: float) -> float:
        """Logistic with mean 0 and this standard deviation."""
        share = min(max(self.random.random(), 1e-9), 1 - 1e-9)
        return spread * math.sqrt(3) / math.pi * math.log(share / (1 - share))

    def _talent(self, name: str, spread: float) -> float:
        if name not in self.talents:
            self.talents[name] = self._noise(spread)
        return self.talents[name]

    def _level(self, combination: Combination, articulation: Articulation) -> float:
        """What the player really can today, in notches from the goal."""
        who = self.who
        ease = self._talent(combination.exercise.id, EXERCISE_SPREAD)
        ease += self._talent(combination.id, OWN_SPREAD)
        ease += PIECE_EASE if combination.exercise.measure == "band" else 0.0
        cost = _weakness(combination, who) + _height(combination, self.player)
        cost += who.articulation_costs.get(articulation, 0.0) + (LIMIT_COST if self.limits else 0.0)
        practised = sum(self.lip.slow[part] for part in _parts(combination))
        return who.level + ease - cost + practised + self.lip.fast[combination.id, articulation]

    def _play(self, combination: Combination, articulation: Articulation, day: int) -> Row:
        """One item: played, heard, learnt from."""
        level = self._level(combination, articulation)
        measure = combination.exercise.measure
        row = Row(day, combination.id, articulation)
        if measure == "seconds":
            row = row._replace(value=self._held(combination.exercise, level))
        elif measure == "top note":
            row = row._replace(value=self._top(combination))
        elif measure == "bend":
            row = row._replace(value=int(level + self._noise(GRADE_NOISE) >= BEND_FROM))
        else:
            row = self._at_tempo(row, combination.exercise, articulation, level)
        self._learn(combination, articulation, level, row.tempo)
        return row

    def _at_tempo(self, row: Row, exercise: Exercise, articulation: Articulation, level: float) -> Row:
        """A clean mark, a grade at the tempo that was set, or for a piece whether it held in its band."""
        span = exercise.tempos[articulation]
        feels = tempo_at(level + self._noise(FEELING_NOISE) - CAUTION, span.goal)
        tempo = min(max(mark_at_or_below(feels), span.first), span.goal)
        margin = level - notches(tempo, span.goal)
        if exercise.measure == "band":
            return row._replace(tempo=tempo, value=int(margin + self._noise(GRADE_NOISE) >= 0))
        if self.random.random() < self.who.marks:
            heard = tempo_at(level + self._noise(MARK_NOISE), span.goal)
            clean = min(mark_at_or_below(heard), span.goal)
            if clean >= span.first:
                return row._replace(tempo=clean, clean=clean)
        margin += self._noise(GRADE_NOISE)
        return row._replace(tempo=tempo, grade=1 + sum(margin >= cut for cut in GRADE_CUTS))

    def _held(self, exercise: Exercise, level: float) -> int:
        """Whole seconds held steady."""
        assert exercise.hold is not None
        return max(1, int(tempo_at(level + self._noise(GRADE_NOISE), exercise.hold.goal)))

    def _top(self, combination: Combination) -> int:
        """The highest written note of the figure that spoke softly, its lowest note where none did."""
        soft = self.player.high - SOFT_TOP_BELOW + self._noise(GRADE_NOISE)
        written = {
            note.pitch.midi for passage in combination.passages for note in passage.notes if note.pitch
        }
        return max((note for note in written if note <= soft), default=min(written))

    def _learn(
        self, combination: Combination, articulation: Articulation, level: float, tempo: int | None
    ) -> None:
        goal = combination.exercise.tempos[articulation].goal
        at = level - CAUTION if tempo is None else notches(tempo, goal)
        success = 1 / (1 + math.exp((at - level) * math.pi / math.sqrt(3) / GRADE_NOISE))
        worth = self.who.learning * (1.0 if BEST_SUCCESS[0] <= success <= BEST_SUCCESS[1] else 0.5)
        way = max(0.0, self.who.ceiling - level) * worth
        self.lip.fast[combination.id, articulation] += FAST_GAIN * way
        for part, gain in zip(_parts(combination), (OWN_GAIN, EXERCISE_GAIN, PLACE_GAIN), strict=True):
            self.lip.slow[part] += gain * way


def _parts(combination: Combination) -> tuple[str, str, str]:
    """Names of the slow states that a combination leans on: itself, its exercise, its place."""
    return combination.id, f"exercise {combination.exercise.id}", f"place {combination.place.id}"


def _weakness(combination: Combination, who: SimulatedPlayer) -> float:
    """What weak keys and weak tubing cost, and every accidental a little."""
    if combination.place.key is None:
        weak = sum(position in who.weak_positions for position in combination.place.positions)
        return who.position_cost * weak / len(combination.place.positions)
    key = combination.keys[0]
    accidentals = ACCIDENTAL_COST * abs(key.signature)
    return accidentals + (who.key_cost if key.fifths % 12 in who.weak_keys else 0.0)


def _height(combination: Combination, player: Player) -> float:
    """What the upper half of the range costs."""
    middle = (player.low + player.high) / 2
    return REGISTER_COST * max(0.0, combination.highest - middle) / max(1.0, player.high - middle)


def ratings_text(profile: Path, curricula: Path, monday: date = ANY_MONDAY) -> str:
    """The file of earlier ratings of one sample profile, as text.

    `curricula` is the folder in which the profile's curriculum lies. Raises what the readers raise.
    """
    player = read_player(profile, monday)
    curriculum = read_curriculum(curricula / f"{player.curriculum}.toml")
    rows = Simulation(PLAYERS[player.id], player, curriculum).rows(monday)
    return "\n".join([COLUMNS, *(row.line() for row in rows)]) + "\n"


def main() -> None:
    """Writes all files anew, beside the profiles of the folder in which this program lies."""
    root = Path(__file__).resolve().parents[2]
    for name in PLAYERS:
        text = ratings_text(root / "sample_profiles" / f"{name}.toml", root / "curricula")
        path = root / "sample_profiles" / f"{name}-ratings.csv"
        path.write_text(text, encoding="utf-8", newline="\n")
        sys.stdout.write(f"{path.name}: {len(text.splitlines()) - 1} ratings, seed {SEED}/{name}\n")


if __name__ == "__main__":
    main()
