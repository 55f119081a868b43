"""What one date allows, from the player's file alone: minutes, warm-up, music, load limit, concert rules.

Readings where the specification leaves room:
- an own warm-up takes its minutes where 30 minutes or more are free, never more than a third of the day;
  on shorter days the usual step stands. No warm-up is longer than the day, nor does a longer one of the
  way back take the warm-down's minutes;
- several special dates or limits on one date: the fewest minutes hold;
- on the day of a concert or audition nothing but the warm-up is planned: no own music, and
  `available_seconds` is 0;
- an audition has the concert's table (nothing new and no range two days and one day before, no range the
  day after, 0.6 of the load the day before and after) and 0.6 of the load on the day itself;
- 0.6 is taken once however many concerts are near, and 0.55 (other playing) on top of it;
- several pieces of own music without a fixed weekday are tried in the order of the file, after the fixed
  ones, each into the room the others left.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from planner.inputs.player import Limit, OtherPlaying, OwnMusic, Player
from planner.plan.verify.returns import Return, return_on

CONCERT_WARM_UP_SECONDS = 12 * 60
CONCERT_SHARE = Fraction(3, 5)
PLAYING_SHARE = Fraction(11, 20)
TWO_DAYS_SHARE = Fraction(9, 10)
# free minutes from which a step holds, warm-up seconds, warm-down seconds
STEPS = ((30, 480, 180), (22, 360, 120), (15, 240, 120), (1, 180, 0))
SHORT_DAY_MINUTES = 15
OWN_WARM_UP_FROM_MINUTES = 30
MUSIC_PLAYED = Fraction(3, 5)


@dataclass(frozen=True, slots=True)
class DayFacts:
    """What one date allows. Seconds whole; loads exact, in play minutes x intensity.

    `limit` holds the load of the other playing; `fixed` is what warm-up, warm-down, music and other
    playing need of it. `top_note` is a written MIDI number, None without a limit on it. Targets lie
    `slower_by` notches lower: 0 but for the first day after a break.
    """

    date: dt.date
    free_minutes: int
    warm_up: int
    warm_down: int
    music: tuple[OwnMusic, ...]
    available: int
    playing: Fraction
    plays_elsewhere: bool
    limit: Fraction
    fixed: Fraction
    near: frozenset[tuple[str, int]]
    top_note: int | None
    without: frozenset[str]
    slower_by: int

    @property
    def practice(self) -> bool:
        """True where any minute is free."""
        return self.free_minutes > 0

    @property
    def warm_up_only(self) -> bool:
        """True on the day of a concert or audition."""
        return any(offset == 0 for _, offset in self.near)

    @property
    def nothing_new(self) -> bool:
        """True on the two days before a concert or audition."""
        return any(offset in (-2, -1) for _, offset in self.near)

    @property
    def no_range(self) -> bool:
        """True where the heavy family may not stand: near a concert, or beside other playing."""
        return bool(self.near) or self.plays_elsewhere

    @property
    def short(self) -> bool:
        """True on a day of a warm-up and one block."""
        return self.free_minutes < SHORT_DAY_MINUTES


@lru_cache(maxsize=4096)
def exact(number: float) -> Fraction:
    """The decimal number that was written in the file, exactly."""
    return Fraction(str(number))


def free_minutes(player: Player, day: dt.date) -> int:
    """Free minutes of a date: the weekday's, a special date's, capped by the limits of that date."""
    changed = [
        0 if special.kind == "free" else special.minutes or 0
        for special in player.dates
        if special.kind in ("free", "short") and special.first <= day <= special.last
    ]
    usual = min(changed, default=player.minutes[day.weekday()])
    caps = [limit.minutes for limit in limits_on(player, day) if limit.minutes is not None]
    back = return_on(player, day)
    if back is not None:
        caps.append(max(1, usual * back.per_cent // 100))
    return min([usual, *caps])


def limits_on(player: Player, day: dt.date) -> tuple[Limit, ...]:
    """The limits that hold on a date."""
    return tuple(limit for limit in player.limits if limit.first <= day <= limit.until)


def not_practicable(player: Player, day: dt.date) -> bool:
    """True on a special date without practice, or inside a limit of no minutes."""
    away = any(special.kind == "free" and special.first <= day <= special.last for special in player.dates)
    return away or any(limit.minutes == 0 for limit in limits_on(player, day))


def playing_on(player: Player, day: dt.date) -> tuple[OtherPlaying, ...]:
    """Rehearsals and lessons of a date; they happen whatever the minutes, but not on a "free" date."""
    if any(special.kind == "free" and special.first <= day <= special.last for special in player.dates):
        return ()
    return tuple(playing for playing in player.playing if day.weekday() in playing.days)


def near_concerts(player: Player, day: dt.date) -> frozenset[tuple[str, int]]:
    """Kind and distance (-2 .. 1 days) of every concert or audition near a date; -1 is the day before it."""
    found = ((special.kind, (day - special.first).days) for special in player.dates)
    return frozenset(
        (kind, away) for kind, away in found if kind in ("concert", "audition") and -2 <= away <= 1
    )


def day_facts(player: Player, day: dt.date) -> DayFacts:
    """What the date allows."""
    free, near, limits = free_minutes(player, day), near_concerts(player, day), limits_on(player, day)
    on_stage = any(away == 0 for _, away in near)
    back = return_on(player, day)
    warm_up, warm_down = _frame(player, free, on_stage)
    if back is not None and not on_stage and free >= SHORT_DAY_MINUTES:
        warm_up = min(warm_up + back.warm_up_seconds, free * 60 - warm_down)
    playing = playing_on(player, day)
    lip = sum((exact(it.on_the_lip) * it.minutes * it.intensity for it in playing), Fraction(0))
    without = frozenset(family for limit in limits for family in limit.without)
    barred = on_stage or free < SHORT_DAY_MINUTES or "own music" in without
    music = () if barred else _music(player, day, free * 60 - warm_up - warm_down)
    played = sum((MUSIC_PLAYED * piece.minutes * piece.intensity for piece in music), Fraction(0))
    room = free * 60 - warm_up - warm_down - 60 * sum(piece.minutes for piece in music)
    notes = [limit.top_note for limit in limits if limit.top_note is not None]
    if back is not None and back.first and not player.known_notes:
        notes.append(max(player.low, player.high - back.semitones))
    return DayFacts(
        date=day,
        free_minutes=free,
        warm_up=warm_up,
        warm_down=warm_down,
        music=music,
        available=0 if on_stage else room,
        playing=lip,
        plays_elsewhere=bool(playing),
        limit=exact(player.load_per_minute) * free * _share(near, bool(playing)) + lip,
        fixed=Fraction(warm_up + warm_down, 120) + played + lip,
        near=near,
        top_note=min(notes, default=None),
        without=without | _without_range(back),
        slower_by=back.notches if back is not None and back.first else 0,
    )


def _without_range(back: Return | None) -> frozenset[str]:
    """Range stays out on the eased days of a return."""
    return frozenset(("range",)) if back is not None and back.without_range else frozenset()


def _frame(player: Player, free: int, on_stage: bool) -> tuple[int, int]:
    """Seconds of the warm-up and of the warm-down."""
    if free == 0:
        return 0, 0
    if on_stage:
        return min(free * 60, CONCERT_WARM_UP_SECONDS), 0
    _, warm_up, warm_down = next(step for step in STEPS if free >= step[0])
    if player.warm_up is not None and free >= OWN_WARM_UP_FROM_MINUTES:
        warm_up = min(player.warm_up.minutes * 60, free * 60 // 3)
    return min(warm_up, free * 60), warm_down


def _music(player: Player, day: dt.date, room: int) -> tuple[OwnMusic, ...]:
    """The own music of a date in the order of the file; `room` seconds are left beside the frame."""
    current = [piece for piece in player.music if piece.until is None or day <= piece.until]
    fixed = {piece.id for piece in current if day.weekday() in piece.days}
    asked = sum(60 * piece.minutes for piece in current if piece.id in fixed)
    eased = return_on(player, day) is not None
    if asked > room and (eased or free_minutes(player, day) < player.minutes[day.weekday()]):
        return _while_there_is_room([one for one in current if not one.days or one.id in fixed], room)
    room -= sum(60 * piece.minutes for piece in current if piece.id in fixed)
    for piece in current:
        if not piece.days and 60 * piece.minutes <= room:
            fixed.add(piece.id)
            room -= 60 * piece.minutes
    return tuple(piece for piece in current if piece.id in fixed)


def _while_there_is_room(pieces: list[OwnMusic], room: int) -> tuple[OwnMusic, ...]:
    """On a date shorter than its weekday, or eased, own music yields: what still fits, in order."""
    kept = []
    for piece in pieces:
        if 60 * piece.minutes <= room:
            kept.append(piece)
            room -= 60 * piece.minutes
    return tuple(kept)


def _share(near: frozenset[tuple[str, int]], playing: bool) -> Fraction:
    """The part of the load that is allowed: less near a concert, less beside other playing."""
    eased = any(away in (-1, 1) or (kind == "audition" and away == 0) for kind, away in near)
    return (CONCERT_SHARE if eased else Fraction(1)) * (PLAYING_SHARE if playing else Fraction(1))


def monday(day: dt.date) -> dt.date:
    """The Monday of the date's week."""
    return day - dt.timedelta(days=day.weekday())
