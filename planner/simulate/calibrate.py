"""How far the estimate can be trusted: `python -m planner.simulate.calibrate [FOLDER]`.

Simulated players, whose truth calibrate_player.py draws, practise twelve weeks by the tempos that the
estimate shows them; what comes out is compared with what was predicted. Prints one table for each number of
ratings and each true trend; with a folder, reliability.svg goes into it.

Conventions: notches from the goal; a trial is one item played at the tempo shown. "Clamped" is an item
whose tempo is held at the goal, or at the slowest tempo allowed. Only what is measured by tempo takes part.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import product
from pathlib import Path
from random import Random

from planner.brass.tempo import mark_at_or_below, nearest_mark, notches, tempo_at
from planner.diary.files import write_whole
from planner.diary.rating import Rating
from planner.inputs.player import Player
from planner.inputs.read import read_curriculum, read_player
from planner.need.combinations import scope
from planner.need.estimator import Estimator
from planner.need.levels import CleanTempo, Estimates
from planner.need.parts import NOISE
from planner.need.targets import level_for, need_of, tempo_target
from planner.need.turns import BREAK_DAYS
from planner.paths import find_curriculum, shipped_players
from planner.simulate.calibrate_player import MARKS, Row, clean_mark, grade_of, truth_of

MONDAY = date(2026, 9, 7)
WEEKS, SUNDAY = 12, 6
PLAYERS = ("nerys", "tobias", "ingrid")
TRENDS = (0.0, 0.7, 1.4)
DIARIES = {36: 36, 150: 24, 1200: 6}
"""How many simulated players for each number of ratings."""

ITEMS_A_DAY = 17
NEVER = 1000
ENOUGH = 200
"""Trials from which on a tenth is told apart from chance."""

PANEL = 270
SHADES = ("#1b6ca8", "#d17a22", "#3c8d5a")
HALF_WIDTH = 1.6448536269514722
"""Half of a 90 % interval in standard deviations."""


@dataclass(frozen=True, slots=True)
class Trial:
    """One item played: what was predicted, whether it came out clean, how its tempo came about.

    `cautious`: rounded down, at first contact or after a week. `inside`: the truth lies in the 90 % interval.
    """

    predicted: float
    clean: bool
    clamped: bool
    cautious: bool
    inside: bool


@dataclass(frozen=True, slots=True)
class Tenth:
    """The trials whose predicted success lies in one tenth."""

    trials: int
    predicted: float
    observed: float


@dataclass(frozen=True, slots=True)
class Summary:
    """All trials of one setting: tenths by their number (0 is 0 to 10 %), share of intervals that hold.

    `free`: share clean of the items without a clamp; `nearest`: of those of them that were not rounded down.
    """

    trials: int
    tenths: dict[int, Tenth]
    free: float
    nearest: float
    inside: float

    @property
    def worst(self) -> float:
        """The furthest that a tenth with enough trials lies from what was predicted."""
        told = [one for one in self.tenths.values() if one.trials >= ENOUGH]
        return max((abs(one.observed - one.predicted) for one in told), default=0.0)


def rows_of(name: str) -> tuple[Player, list[Row]]:
    """A sample player with every row of the shelf that is measured by tempo."""
    path = next(iter(shipped_players().glob(f"{name}.toml")))
    player = read_player(path, MONDAY)
    shelf = scope(read_curriculum(find_curriculum(player.curriculum, path)), player, MONDAY).playable
    return player, [(c, a) for c in shelf if c.exercise.measure == "tempo" for a in c.articulations]


def simulate(player: Player, rows: list[Row], trend: float, ratings: int, seed: int) -> list[Trial]:
    """Twelve weeks of one simulated player with about so many ratings."""
    rng = Random(f"{seed}/{player.id}/{trend}/{ratings}")  # noqa: S311 - a simulation, nothing to keep secret
    truth = truth_of(rows, player, trend, rng)
    rated = ratings / (WEEKS * SUNDAY * ITEMS_A_DAY)
    shelf = list({combination.id: combination for combination, _ in rows}.values())
    known: list[Rating] = []
    last: dict[str, int] = {}
    trials: list[Trial] = []
    for day in (week * 7 + weekday for week in range(WEEKS) for weekday in range(SUNDAY)):
        today = MONDAY + timedelta(days=day)
        estimates = Estimator(shelf, known, today, player).on(today)
        for row in _chosen(rows, estimates, last, day, rng):
            clean, level = estimates.at(row[0].id, row[1]), truth.level(row, day)
            cautious = day - last.get(row[0].id, -BREAK_DAYS) >= BREAK_DAYS
            mark, clamped = _shown(row, clean, player, cautious=cautious)
            at = notches(mark, row[0].exercise.tempos[row[1]].goal)
            came_out = level - at + rng.gauss(0, NOISE) > 0
            inside = abs(level - clean.mean) <= HALF_WIDTH * clean.sd
            trials.append(Trial(clean.success(at), came_out, clamped, cautious, inside))
            if rng.random() < rated:
                known.append(_rating(row, level, mark, today, rng))
            last[row[0].id] = day
    return trials


def summary_of(trials: Sequence[Trial]) -> Summary:
    """What was predicted against what came out."""
    by_tenth: dict[int, list[Trial]] = {}
    for one in trials:
        by_tenth.setdefault(min(9, int(one.predicted * 10)), []).append(one)
    free = [one for one in trials if not one.clamped]
    nearest = [one for one in free if not one.cautious]
    return Summary(
        trials=len(trials),
        tenths={
            place: Tenth(
                len(inside),
                sum(one.predicted for one in inside) / len(inside),
                sum(one.clean for one in inside) / len(inside),
            )
            for place, inside in sorted(by_tenth.items())
        },
        free=sum(one.clean for one in free) / max(1, len(free)),
        nearest=sum(one.clean for one in nearest) / max(1, len(nearest)),
        inside=sum(one.inside for one in trials) / max(1, len(trials)),
    )


def _chosen(
    rows: list[Row], estimates: Estimates, last: dict[str, int], day: int, rng: Random
) -> Sequence[Row]:
    """The items of a day: half by need, half by how long they have not been played."""
    shuffled = rng.sample(rows, len(rows))
    rested = [row for row in shuffled if day - last.get(row[0].id, -NEVER) > 2]
    needy = sorted(rested, key=lambda row: -need_of(estimates.at(row[0].id, row[1])))
    long_ago = sorted(rested, key=lambda row: last.get(row[0].id, -NEVER))
    found: dict[str, Row] = {}
    for row in needy[: ITEMS_A_DAY // 2] + long_ago:
        found.setdefault(row[0].id, row)
    return list(found.values())[:ITEMS_A_DAY]


def _shown(row: Row, clean: CleanTempo, player: Player, *, cautious: bool) -> tuple[int, bool]:
    """The mark that is shown, and whether it is another than success alone would ask for."""
    span = row[0].exercise.tempos[row[1]]
    wanted = tempo_at(level_for(clean, player.boldness), span.goal)
    mark = tempo_target(clean, span, player.boldness, cautious=cautious)
    return mark, mark != (mark_at_or_below(wanted) if cautious else nearest_mark(wanted))


def _rating(row: Row, level: float, mark: int, day: date, rng: Random) -> Rating:
    goal = row[0].exercise.tempos[row[1]].goal
    best = clean_mark(level, goal, rng) if rng.random() < MARKS else None
    grade = grade_of(level, notches(mark, goal), rng) if best is None else None
    return Rating(day, row[0].id, row[1], tempo=mark, clean=best, grade=grade, value=None)


def table(found: dict[tuple[int, float], Summary]) -> str:
    """One block for each setting: what every tenth was predicted and what came out."""
    lines = []
    for (ratings, trend), one in found.items():
        lines.append(
            f"{ratings:>5} ratings, trend {trend:g} notches a week: {one.trials} trials, "
            f"without a clamp {one.free:.1%} clean ({one.nearest:.1%} where not rounded down), "
            f"90 % interval holds {one.inside:.1%}, "
            f"furthest tenth {100 * one.worst:.1f} points off"
        )
        lines += [
            f"      {10 * place:>3} to {10 * place + 10:>3} %  {tenth.trials:>6} trials  "
            f"predicted {tenth.predicted:.3f}  observed {tenth.observed:.3f}"
            for place, tenth in one.tenths.items()
        ]
    return "\n".join(lines)


def run(
    ratings: Iterable[int], trends: Iterable[float], diaries: dict[int, int]
) -> Iterator[tuple[tuple[int, float], Summary]]:
    """The calibration, setting by setting: simulated players in turn from each of the sample shelves."""
    shelves = [rows_of(name) for name in PLAYERS]
    for number, trend in product(ratings, trends):
        trials: list[Trial] = []
        for seed in range(diaries[number]):
            player, rows = shelves[seed % len(shelves)]
            trials += simulate(player, rows, trend, number, seed)
        yield (number, trend), summary_of(trials)


def picture(found: dict[tuple[int, float], Summary]) -> str:
    """A reliability plot as SVG: predicted across, observed up, one panel for each number of ratings.

    The area of a dot goes with its trials; tenths of fewer than 200 trials are drawn hollow.
    """
    numbers = sorted({number for number, _ in found})
    trends = sorted({trend for _, trend in found})
    parts = [_panel(place, number) for place, number in enumerate(numbers)]
    for (number, trend), one in found.items():
        left, shade = PANEL * numbers.index(number), SHADES[trends.index(trend) % len(SHADES)]
        for tenth in one.tenths.values():
            x, y = left + 50 + 200 * tenth.predicted, 240 - 200 * tenth.observed
            fill = shade if tenth.trials >= ENOUGH else "none"
            size = 2 + tenth.trials**0.5 / 25
            parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{size:.1f}" fill="{fill}" stroke="{shade}"/>')
    for place, trend in enumerate(trends):
        y, shade = 62 + 16 * place, SHADES[place % len(SHADES)]
        parts.append(f'<circle cx="62" cy="{y - 4}" r="4" fill="{shade}"/>')
        parts.append(f'<text x="72" y="{y}">{trend:g} notches a week</text>')
    width = PANEL * len(numbers)
    head = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} 290" font-family="sans-serif" '
    return head + 'font-size="11">\n' + "\n".join(parts) + "\n</svg>\n"


def _panel(place: int, number: int) -> str:
    """Frame, diagonal and names of one panel."""
    left = PANEL * place + 50
    return "\n".join(
        (
            f'<rect x="{left}" y="40" width="200" height="200" fill="none" stroke="#888"/>',
            f'<line x1="{left}" y1="240" x2="{left + 200}" y2="40" stroke="#888" stroke-dasharray="4 3"/>',
            f'<text x="{left + 100}" y="30" text-anchor="middle">{number:,} ratings in twelve weeks</text>',
            f'<text x="{left}" y="256" text-anchor="middle">0 %</text>',
            f'<text x="{left + 200}" y="256" text-anchor="middle">100 %</text>',
            f'<text x="{left + 100}" y="274" text-anchor="middle">predicted to be clean</text>',
            f'<text transform="translate({left - 8} 140) rotate(-90)" text-anchor="middle">came clean</text>',
        )
    )


def main(words: Sequence[str]) -> None:
    """Run everything, print each setting when it is done; the picture goes into the folder that is named."""
    found = {}
    for setting, one in run(DIARIES, TRENDS, DIARIES):
        found[setting] = one
        sys.stdout.write(table({setting: one}) + "\n")
        sys.stdout.flush()
    if words:
        write_whole(Path(words[0]) / "reliability.svg", picture(found))


if __name__ == "__main__":
    main(sys.argv[1:])
