"""Tempo targets, needs and success against the stored estimate (mean and spread in notches from the goal).

The estimate itself is taken from the plan; what follows from it is computed again, on floats where the
normal distribution comes in. Stored figures may be rounded to thousandths: each comparison allows for it.
Readings where the specification leaves room:
- the list's need of a combination is that of the articulation which comes first in the week;
- the lowest tempo, the first one lowered by six notches, may be the mark below, nearest or above it;
- "not played for 7 days or more" counts to the first day of the week or to the item's own day;
- success is stored with at least two decimals, needs with at most three.
"""

from __future__ import annotations

import datetime as dt
import math
from collections.abc import Iterator
from functools import lru_cache
from itertools import product
from statistics import NormalDist

from planner.inputs.curriculum import TempoSpan
from planner.plan.verify.breach import Breach
from planner.plan.verify.case import Case, Day, breach
from planner.plan.verify.lasting import MARKS, lowest_tempo
from planner.plan.verify.repertoire import Combination
from planner.plan.weekplan import CleanTempoFigures, PlanItem

RATING_NOISE = 2.0
NEED_SPAN = 16.0
NOTCHES_IN_OCTAVE = 16
HALF_THOUSANDTH = 0.0005
BREAK_DAYS = 7
SUCCESS_ROUNDED = 0.006
TINY = 1e-9


def tempos(case: Case) -> Iterator[Breach]:
    """A tempo is a mark of the metronome, at or below the goal, and not far below the first tempo."""
    for day, item, one in case.played():
        span = _span(one, item)
        if item.tempo is None or span is None:
            if one.exercise.measure == "tempo" and item.tempo is None:
                yield breach("tempos", day, f"{item.id} has no tempo")
            continue
        if item.tempo not in MARKS:
            yield breach("tempos", day, f"{item.id} at {item.tempo}, which is no mark")
        elif item.tempo > span.goal or item.tempo < min(_floors(span)):
            yield breach("tempos", day, f"{item.id} at {item.tempo}, outside {span.first} to {span.goal}")


def targets(case: Case) -> Iterator[Breach]:
    """The tempo is the one at which the player succeeds as often as the profile's boldness asks."""
    for day, item, one in _estimated(case):
        span = _span(one, item)
        assert item.clean_tempo is not None
        if span is None:
            continue
        right = _allowed_marks(case, day, item, span)
        if item.tempo not in right:
            yield breach("targets", day, f"{item.id} at {item.tempo}, should be {sorted(right)}")
        off = item.clean_tempo.success - success(item.clean_tempo, item.tempo or span.goal, span.goal)
        if abs(off) > SUCCESS_ROUNDED:
            yield breach("targets", day, f"{item.id} success {item.clean_tempo.success} does not follow")


def success(clean: CleanTempoFigures, tempo: int, goal: int) -> float:
    """Probability that the item is clean at a tempo: normal, with the noise of one rating added."""
    distance = NOTCHES_IN_OCTAVE * math.log2(tempo / goal)
    return NormalDist().cdf((clean.mean - distance) / math.hypot(clean.sd, RATING_NOISE))


def _allowed_marks(case: Case, day: Day, item: PlanItem, span: TempoSpan) -> set[int]:
    """The marks the target may stand on, with the rounding of mean and spread left open."""
    assert item.clean_tempo is not None
    z = NormalDist().inv_cdf(case.player.boldness)
    right = set()
    for mean, sd, floor, down in product(
        (item.clean_tempo.mean - HALF_THOUSANDTH, item.clean_tempo.mean + HALF_THOUSANDTH),
        (item.clean_tempo.sd - HALF_THOUSANDTH, item.clean_tempo.sd + HALF_THOUSANDTH),
        _floors(span),
        _rounded_down(case, day, item),
    ):
        wanted = mean - z * math.hypot(sd, RATING_NOISE)
        mark = _mark(span.goal * 2 ** (wanted / NOTCHES_IN_OCTAVE), down=down)
        usual = min(span.goal, max(floor, mark))
        right.add(_slower(usual, floor, day.facts.slower_by))
    return right


def _slower(usual: int, floor: int, by: int) -> int:
    """The highest mark at least so many notches lower, not below the lowest; as usual where that is none."""
    if not by:
        return usual
    return min(usual, max(floor, _mark(usual * 2 ** (-by / NOTCHES_IN_OCTAVE), down=True)))


def _rounded_down(case: Case, day: Day, item: PlanItem) -> set[bool]:
    """Whether the target is rounded down: at first contact and after a break of a week."""
    last: dt.date | None = case.last[item.combination].day if item.combination in case.last else None
    if last is None:
        return {True}
    return {(start - last).days >= BREAK_DAYS for start in (case.first_day, day.date)}


def _mark(bpm: float, *, down: bool) -> int:
    """The nearest mark in ratio, or the one at or below."""
    if down:
        return max((mark for mark in MARKS if mark <= bpm * (1 + TINY)), default=MARKS[0])
    return min(MARKS, key=lambda mark: abs(math.log2(mark / bpm)))


@lru_cache(maxsize=256)
def _floors(span: TempoSpan) -> frozenset[int]:
    """The lowest mark for a target: below, nearest or above the lowered first tempo."""
    low = lowest_tempo(span)
    above = min((mark for mark in MARKS if mark >= low), default=MARKS[-1])
    return frozenset((_mark(low, down=True), _mark(low, down=False), above))


def needs(case: Case) -> Iterator[Breach]:
    """The need is the shortfall of the lower confidence bound, in thousandths."""
    for listed in case.plan.combinations:
        if not 0 <= listed.need <= 1000:
            yield breach("needs", None, f"{listed.combination} needs {listed.need}")
    for day, item, one in case.played():
        thousandths = round(item.need * 1000)
        if abs(item.need * 1000 - thousandths) > 1e-6 or not 0 <= thousandths <= 1000:
            yield breach("needs", day, f"{item.id} needs {item.need}")
        entry = case.playable.get(one.id)
        first = entry is not None and item.articulation in entry.articulations[:1]
        if entry is not None and first and entry.need != thousandths:
            yield breach("needs", day, f"{item.id} needs {thousandths}, the list says {entry.need}")
    for day, item, _ in _estimated(case):
        assert item.clean_tempo is not None
        right = 1000 * min(1.0, max(0.0, item.clean_tempo.sd - item.clean_tempo.mean) / NEED_SPAN)
        if abs(round(item.need * 1000) - right) > 0.5 + 1000 * 2 * HALF_THOUSANDTH / NEED_SPAN + TINY:
            yield breach("needs", day, f"{item.id} needs {item.need}, should be {right / 1000:.3f}")


def estimates(case: Case) -> Iterator[Breach]:
    """Every item with a tempo to reach has an estimate; no tone is held longer than the goal."""
    for day, item, one in case.played():
        clean = item.clean_tempo
        if clean is None and one.exercise.measure == "tempo":
            yield breach("estimates", day, f"{item.id} has no estimate")
        if clean is not None and not (clean.sd > 0 and 0 <= clean.success <= 1):
            yield breach("estimates", day, f"{item.id} has the estimate {clean}")
        hold = one.exercise.hold
        if hold is not None and not 0 < item.target <= hold.goal:
            yield breach("estimates", day, f"{item.id} held {item.target} s, goal {hold.goal}")


def _estimated(case: Case) -> Iterator[tuple[Day, PlanItem, Combination]]:
    """Items of measure "tempo" that have an estimate."""
    for day, item, one in case.played():
        if one.exercise.measure == "tempo" and item.clean_tempo is not None and item.clean_tempo.sd > 0:
            yield day, item, one


def _span(one: Combination, item: PlanItem) -> TempoSpan | None:
    return next((span for word, span in one.exercise.tempos.items() if word == item.articulation), None)
