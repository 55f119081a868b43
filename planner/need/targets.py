"""At which tempo, how often in a breath, for how long: the target of one combination in one articulation.

Conventions: tempos are marks of the exercise's beat a minute, levels notches from the goal, seconds exact
fractions, load play minutes x intensity. A target is the tempo that comes out clean with the player's
`boldness` (0.84 as a rule: Wilson et al. 2019, Nature Communications 10:4646, found 84 % best for learning to
tell two things apart; that it carries over to a brass player is an analogy).
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from statistics import NormalDist

from planner.brass.tempo import (
    Beat,
    Timing,
    eighths_per_minute,
    item_timing,
    mark_at_or_above,
    mark_at_or_below,
    nearest_mark,
    notches,
    passes_in_breath,
    tempo_at,
    whole_seconds,
)
from planner.brass.timing import exact
from planner.inputs.curriculum import Articulation, HoldSpan, TempoSpan
from planner.inputs.player import Player
from planner.need.clean_tempo import CleanTempo
from planner.need.combinations import Combination
from planner.need.parts import NOISE

NEED_NOTCHES = 16
"""A shortfall of so many notches, half the tempo of the goal, is all the need there is."""

LOWERED_NOTCHES = 6
"""A target may fall so far below the exercise's first tempo, no further [assumption]."""


@dataclass(frozen=True, slots=True)
class Take:
    """One combination in one articulation as it would be played now, in one go.

    `tempo` is the mark (None for held tones, which have `hold_seconds`); `success` the probability that it
    is clean there. `passes` go into a breath, fewer than the exercise asks for where the breath does
    not reach. `seconds` is the whole item with its own rest, whole; `load` exact. `need` is in thousandths:
    the shortfall of the lower bound, sixteen notches being all of it.
    """

    articulation: Articulation
    tempo: int | None
    hold_seconds: int | None
    beat: Beat | None
    first: int
    goal: int
    mean: float
    sd: float
    success: float
    need: int
    passes: int
    timing: Timing
    seconds: int
    play_seconds: int
    load: Fraction


def take_of(
    combination: Combination, articulation: Articulation, clean: CleanTempo, player: Player, *, cautious: bool
) -> Take:
    """The target and the seconds of a combination; `cautious` at first contact and after a break."""
    exercise = combination.exercise
    if exercise.measure == "seconds" and exercise.hold is not None:
        hold = hold_target(clean, exercise.hold, player.boldness, cautious=cautious)
        return _held(combination, articulation, clean, exercise.hold, hold, player)
    span = exercise.tempos[articulation]
    tempo = tempo_target(clean, span, player.boldness, cautious=cautious)
    if exercise.measure == "band":
        tempo = max(tempo, span.first)  # slower or faster than its band is wrong
    return _timed(combination, articulation, clean, span, tempo, player)


def _timed(
    combination: Combination,
    articulation: Articulation,
    clean: CleanTempo,
    span: TempoSpan,
    tempo: int,
    player: Player,
) -> Take:
    """A take at a tempo: as many passes in a breath as the player has breath for."""
    pace = eighths_per_minute(tempo, span.beat)
    one_pass = combination.passages[0].eighths * 60 / pace
    passes = passes_in_breath(combination.exercise.passes, one_pass, player.breath_seconds)
    timing = _breaths(combination, one_pass, passes, player)
    return _take(
        combination,
        articulation,
        clean,
        timing,
        passes,
        tempo=tempo,
        hold=None,
        beat=span.beat,
        ends=(span.first, span.goal),
    )


def lowered(combination: Combination, take: Take, player: Player, by: int) -> Take:
    """The same take at least `by` notches slower, or held so much shorter: the first day after a break.

    Never below the lowest target of the exercise, nor outside a tempo band.
    """
    exercise, clean = combination.exercise, CleanTempo(take.mean, take.sd)
    if take.tempo is None and exercise.hold is not None and take.hold_seconds is not None:
        hold = max(exercise.hold.first, int(tempo_at(-by, take.hold_seconds)))
        return _held(combination, take.articulation, clean, exercise.hold, hold, player)
    span = exercise.tempos[take.articulation]
    tempo = max(mark_at_or_below(tempo_at(-by, take.tempo or span.first)), lowest_mark(span))
    if exercise.measure == "band":
        tempo = max(tempo, span.first)
    return _timed(combination, take.articulation, clean, span, min(tempo, take.tempo or tempo), player)


def tempo_target(clean: CleanTempo, span: TempoSpan, boldness: float, *, cautious: bool) -> int:
    """The mark at which it is clean with probability `boldness`; rounded down when `cautious`.

    Never above the goal, never more than 6 notches below the exercise's first tempo.
    """
    wanted = tempo_at(level_for(clean, boldness), span.goal)
    mark = mark_at_or_below(wanted) if cautious else nearest_mark(wanted)
    return max(min(mark, _highest_mark(span)), lowest_mark(span))


def hold_target(clean: CleanTempo, hold: HoldSpan, boldness: float, *, cautious: bool) -> int:
    """Whole seconds that are held steady with probability `boldness`, from the first hold to the goal."""
    wanted = tempo_at(level_for(clean, boldness), hold.goal)
    return max(hold.first, min(int(wanted) if cautious else round(wanted), hold.goal))


def level_for(clean: CleanTempo, boldness: float) -> float:
    """The level, in notches from the goal, that comes out clean with this probability."""
    spread = (clean.sd**2 + NOISE**2) ** 0.5
    return float(clean.mean - NormalDist().inv_cdf(boldness) * spread)


def need_of(clean: CleanTempo) -> int:
    """Need in thousandths: how far the lower bound falls short of the goal, half tempo being all of it."""
    return round(1000 * min(1.0, max(0.0, clean.sd - clean.mean) / NEED_NOTCHES))


def _highest_mark(span: TempoSpan) -> int:
    return mark_at_or_below(span.goal)


def lowest_mark(span: TempoSpan) -> int:
    """The mark below which no target falls."""
    lowest = mark_at_or_above(tempo_at(-LOWERED_NOTCHES, span.first))
    return min(lowest or _highest_mark(span), _highest_mark(span))


def _held(
    combination: Combination,
    articulation: Articulation,
    clean: CleanTempo,
    hold: HoldSpan,
    seconds: int,
    player: Player,
) -> Take:
    """A take of held tones: one tone a breath, as long as it is to be held, whatever the notation."""
    timing = _breaths(combination, Fraction(seconds), 1, player)
    return _take(
        combination,
        articulation,
        clean,
        timing,
        1,
        tempo=None,
        hold=seconds,
        beat=None,
        ends=(hold.first, hold.goal),
    )


def _breaths(combination: Combination, one_pass: Fraction, passes: int, player: Player) -> Timing:
    """The seconds of one go, with so many passes of `one_pass` seconds in a breath."""
    return item_timing(
        pass_eighths=one_pass,
        eighths_per_minute=60,
        passes=passes,
        breaths=combination.exercise.rounds * len(combination.passages),
        intensity=combination.intensity,
        breath_capacity_seconds=exact(player.breath_seconds),
    )


def _take(
    combination: Combination,
    articulation: Articulation,
    clean: CleanTempo,
    timing: Timing,
    passes: int,
    *,
    tempo: int | None,
    hold: int | None,
    beat: Beat | None,
    ends: tuple[int, int],
) -> Take:
    play, _, _, seconds = whole_seconds(timing, timing.rest_seconds)
    at = hold if tempo is None else tempo
    return Take(
        articulation=articulation,
        tempo=tempo,
        hold_seconds=hold,
        beat=beat,
        first=ends[0],
        goal=ends[1],
        mean=clean.mean,
        sd=clean.sd,
        success=round(clean.success(notches(at or ends[1], ends[1])), 6),
        need=need_of(clean),
        passes=passes,
        timing=timing,
        seconds=seconds,
        play_seconds=play,
        load=timing.play_seconds / 60 * combination.intensity,
    )
