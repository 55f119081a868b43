"""What each day of the calendar gives and allows: minutes, warm-up, own music, load, concert rules.

Conventions: `free` minutes are minutes of the clock, pauses included; seconds are whole; loads are
exact fractions of play minutes x intensity. A practice day is a day with free minutes. Other playing
(rehearsals) happens whatever the minutes, but not on a date marked free. Numbers that are assumptions
or common practice of the trade are named constants here; the player's file overrides those it names.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from fractions import Fraction

from planner.brass.timing import exact
from planner.errors import DoesNotFit
from planner.inputs.player import OtherPlaying, OwnMusic, Player, SpecialDate
from planner.need.by_day import remembered
from planner.need.easing import limits_on, step_on

WARM_UP_STEPS = ((30, 480), (22, 360), (15, 240), (1, 180))
"""(free minutes from, seconds): a shorter day opens with a shorter warm-up [common practice]."""

WARM_DOWN_STEPS = ((30, 180), (15, 120))
SHORT_DAY_MINUTES = 15
CONCERT_WARM_UP_MINUTES = 12
EASED = Fraction(3, 5)
"""Share of the usual load on the day before and the day after a concert [common practice]."""

BESIDE_OTHER_PLAYING = Fraction(11, 20)
"""Share of the usual load of own practice on a day with a rehearsal [assumption]."""

MUSIC_PLAYED = Fraction(3, 5)
"""Share of the minutes of own music that is really played [assumption]."""

FURTHEST = 400
"""Days looked ahead before a calendar without practice days is given up."""


@dataclass(frozen=True, slots=True)
class PlacedMusic:
    """Own music on one day: whole seconds of the clock, of playing, and its load."""

    music: OwnMusic
    seconds: int
    play_seconds: int
    load: Fraction


@dataclass(frozen=True, slots=True)
class DayFacts:
    """One day before anything is planned.

    `available_seconds` is the room for blocks, pauses included; `load_limit` covers everything played
    that day, `fixed_load` (warm-up, own music, warm-down) and `playing_load` (rehearsals) included.
    `most_blocks` is 0 where only a warm-up or nothing is planned. `slow`: the first day after a break, on
    which targets lie a notch lower.
    """

    date: date
    free_minutes: int
    practice: bool
    warm_up_seconds: int
    warm_down_seconds: int
    music: tuple[PlacedMusic, ...]
    available_seconds: int
    load_limit: Fraction
    fixed_load: Fraction
    playing_load: Fraction
    allows_new: bool
    allows_range: bool
    warm_up_only: bool
    most_blocks: int
    slow: bool = False

    @property
    def load_room(self) -> Fraction:
        """Load that blocks may take; 0 where what is fixed fills the limit or goes beyond it."""
        return max(Fraction(0), self.load_limit - self.fixed_load - self.playing_load)


def days_between(first: date, last: date) -> Iterator[date]:
    """Every day from `first` to `last`, both included."""
    for offset in range((last - first).days + 1):
        yield first + timedelta(days=offset)


def compass_on(player: Player, day: date) -> tuple[int, int]:
    """The lowest and the highest written note the player may play on a day, limits included."""
    top = min((one.top_note for one in limits_on(player, day) if one.top_note is not None), default=127)
    known = [note for note in player.known_notes if note <= top]
    if player.known_notes:
        return min(player.known_notes), max(known, default=top)
    return player.low, min(player.high, top)


def special_dates(player: Player, day: date, *kinds: str) -> tuple[SpecialDate, ...]:
    """The special dates of these kinds that cover this day."""
    return tuple(s for s in player.dates if s.kind in kinds and s.first <= day <= s.last)


@remembered
def free_minutes(player: Player, day: date) -> int:
    """Minutes of the clock for practice on this day: the weekday's, a short date's, capped by limits.

    On the days of a return they are a share of what is usual, and no more than the limits leave.
    """
    usual = usual_minutes(player, day)
    caps = [limit.minutes for limit in limits_on(player, day) if limit.minutes is not None]
    free = min([usual, *caps])
    step = step_on(player, day)
    return free if step is None or not usual else min(free, max(1, usual * step.share // 100))


def usual_minutes(player: Player, day: date) -> int:
    """Minutes of this day before limits and the way back: the weekday's, a short date's, none if free."""
    if special_dates(player, day, "free"):
        return 0
    short = [s.minutes for s in special_dates(player, day, "short") if s.minutes is not None]
    return min(short) if short else player.minutes[day.weekday()]


def practicable(player: Player, day: date) -> bool:
    """Whether spans run on this day: not on free dates, not where a limit leaves no minutes."""
    stopped = any(limit.minutes == 0 for limit in limits_on(player, day))
    return not stopped and not special_dates(player, day, "free")


def practice_days(player: Player, first: date, last: date, most: int | None = None) -> int:
    """How many days from `first` to `last`, both included, have free minutes; counted back to `most`."""
    found = 0
    for offset in range((last - first).days + 1):
        if found == most:
            break
        found += free_minutes(player, last - timedelta(days=offset)) > 0
    return found


def practice_day_after(player: Player, day: date, count: int) -> date | None:
    """The `count`-th practice day after `day`; None where there are not so many in sight."""
    found = 0
    for offset in range(1, FURTHEST):
        found += free_minutes(player, day + timedelta(days=offset)) > 0
        if found == count:
            return day + timedelta(days=offset)
    return None


def span_end(player: Player, last: date, span_days: int, first_day: date) -> date:
    """The last day of a span that began on `last`; days lost before `first_day` lengthen it.

    Lost are dates marked free and days whose limit leaves no minutes: spans run over holidays and illness.
    """
    between = days_between(last + timedelta(days=1), first_day - timedelta(days=1))
    return last + timedelta(days=span_days + sum(not practicable(player, day) for day in between))


def day_facts(player: Player, day: date) -> DayFacts:
    """Everything rule 1, 2 and 4 need to know about one day; DoesNotFit where fixed music has no room."""
    free = free_minutes(player, day)
    only = free > 0 and bool(special_dates(player, day, "concert", "audition"))
    up, down = (min(free, CONCERT_WARM_UP_MINUTES) * 60, 0) if only else _frame(player, free, day)
    music = () if only else _music(player, day, free * 60 - up - down)
    room = 0 if only else free * 60 - up - down - sum(piece.seconds for piece in music)
    elsewhere = bool(other_playing(player, day))
    playing = playing_load(player, day)
    fixed = Fraction(up + down, 120) + sum((piece.load for piece in music), Fraction(0))
    eased = bool(_concerts(player, day, -1, 1) or special_dates(player, day, "audition"))
    return DayFacts(
        date=day,
        free_minutes=free,
        practice=free > 0,
        warm_up_seconds=up,
        warm_down_seconds=down,
        music=music,
        available_seconds=max(0, room),
        load_limit=_own_limit(player, free, eased=eased, beside=elsewhere) + playing,
        fixed_load=fixed,
        playing_load=playing,
        allows_new=not only and not _concerts(player, day, -2, -1),
        allows_range=not only and not elsewhere and not _concerts(player, day, -2, -1, 1),
        warm_up_only=only,
        most_blocks=0 if only or free == 0 else 1 if free < SHORT_DAY_MINUTES else player.blocks_a_day,
        slow=_is_first_back(player, day),
    )


def week_facts(player: Player, first_day: date, last_day: date) -> tuple[DayFacts, ...]:
    """The facts of every day from `first_day` to `last_day`, both included."""
    return tuple(day_facts(player, day) for day in days_between(first_day, last_day))


def other_playing(player: Player, day: date) -> tuple[OtherPlaying, ...]:
    """Rehearsals and lessons of this day; none on a date marked free."""
    if special_dates(player, day, "free"):
        return ()
    return tuple(playing for playing in player.playing if day.weekday() in playing.days)


def playing_load(player: Player, day: date) -> Fraction:
    """Load of the rehearsals and lessons of this day."""
    today = other_playing(player, day)
    return sum((p.minutes * exact(p.on_the_lip) * p.intensity for p in today), Fraction(0))


def _is_first_back(player: Player, day: date) -> bool:
    step = step_on(player, day)
    return step is not None and step.first


def warm_up_added(player: Player, day: date) -> int:
    """Seconds by which the warm-up of an eased day is longer than usual; 0 on short and on concert days."""
    free = free_minutes(player, day)
    if special_dates(player, day, "concert", "audition"):
        return 0
    return _frame(player, free, day)[0] - min(_usual_warm_up(player, free), free * 60)


def _frame(player: Player, free: int, day: date) -> tuple[int, int]:
    """Seconds of warm-up and warm-down of an ordinary day with `free` minutes; longer after a break."""
    up = _usual_warm_up(player, free)
    down = next((seconds for least, seconds in WARM_DOWN_STEPS if free >= least), 0)
    step = step_on(player, day)
    if step is not None and free >= SHORT_DAY_MINUTES:
        up += 60 * step.easing.warm_up_minutes
    return min(up, free * 60 - down), down


def _usual_warm_up(player: Player, free: int) -> int:
    if player.warm_up is not None and free >= WARM_UP_STEPS[0][0]:
        return min(player.warm_up.minutes * 60, free * 60 // 3)
    return next((seconds for least, seconds in WARM_UP_STEPS if free >= least), 0)


def _music(player: Player, day: date, room: int) -> tuple[PlacedMusic, ...]:
    """Own music of this day: pieces with a fixed weekday, then those that go wherever they fit."""
    without = {family for limit in limits_on(player, day) for family in limit.without}
    if free_minutes(player, day) < SHORT_DAY_MINUTES or "own music" in without:
        return ()
    current = [piece for piece in player.music if piece.until is None or day <= piece.until]
    fixed = [piece for piece in current if day.weekday() in piece.days]
    left = room - sum(piece.minutes * 60 for piece in fixed)
    if left < 0 and _less_than_usual(player, day):
        today = [piece for piece in current if not piece.days or piece in fixed]
        return _that_fits(today, room)  # own music yields, nothing clashes
    if left < 0:
        names = ", ".join(piece.title for piece in fixed)
        lacking = math.ceil(-left / 60)
        raise DoesNotFit(
            f"{day.isoformat()}: {names} and the warm-up need {lacking} minutes more than there are",
            "shorten the music of that day or give it another weekday",
        )
    anywhere = _that_fits([piece for piece in current if not piece.days], left)
    chosen = {piece.id for piece in fixed} | {piece.music.id for piece in anywhere}
    return tuple(_placed(piece) for piece in current if piece.id in chosen)


def _less_than_usual(player: Player, day: date) -> bool:
    """Whether a day is shorter than its weekday, or its warm-up longer: on the way back after a break."""
    return free_minutes(player, day) < player.minutes[day.weekday()] or step_on(player, day) is not None


def _that_fits(pieces: Sequence[OwnMusic], room: int) -> tuple[PlacedMusic, ...]:
    """The pieces that fit into `room` seconds, one after the other in the order of the file."""
    placed = []
    for piece in pieces:
        if piece.minutes * 60 <= room:
            placed.append(_placed(piece))
            room -= piece.minutes * 60
    return tuple(placed)


def _placed(piece: OwnMusic) -> PlacedMusic:
    seconds = piece.minutes * 60
    play = int(seconds * MUSIC_PLAYED)
    return PlacedMusic(piece, seconds, play, Fraction(play, 60) * piece.intensity)


def _own_limit(player: Player, free: int, *, eased: bool, beside: bool) -> Fraction:
    """Load limit of the own practice of a day, other playing not included."""
    limit = exact(player.load_per_minute) * free
    return limit * (EASED if eased else 1) * (BESIDE_OTHER_PLAYING if beside else 1)


def _concerts(player: Player, day: date, *offsets: int) -> bool:
    """Whether a concert or audition stands so many days away: -1 means that it is tomorrow."""
    days = [day - timedelta(days=offset) for offset in offsets]
    return any(special_dates(player, when, "concert", "audition") for when in days)
