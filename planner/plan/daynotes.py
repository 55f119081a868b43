"""What is special about a day, in words: concert, rehearsal, limit, own music without room."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta

from planner.inputs.player import Limit, Player
from planner.need.days import (
    DayFacts,
    other_playing,
    special_dates,
    usual_minutes,
    warm_up_added,
)
from planner.need.easing import EASED, limits_on, step_on
from planner.need.exclusions import note_name
from planner.need.reasons import short_date

NEAR = {-2: "in two days: nothing new, no range", -1: "tomorrow: nothing new, no range, a light day"}


def title_of(player: Player, day: date) -> str:
    """The titles of the special dates that this day is."""
    return ", ".join(
        special.title for special in special_dates(player, day, "concert", "audition") if special.title
    )


def notes_of(player: Player, facts: DayFacts) -> tuple[str, ...]:
    """Notes on a day, the nearest concert first."""
    return (
        *_way_back(player, facts),
        *_concerts(player, facts.date),
        *_longer(player, facts),
        *_playing(player, facts),
        *_limits(player, facts),
        *_music(player, facts),
    )


def left_out(player: Player, day: date) -> tuple[str, ...]:
    """The families that limits leave out on this day."""
    return tuple(sorted({family for limit in limits_on(player, day) for family in limit.without}))


def _concerts(player: Player, day: date) -> Iterator[str]:
    for offset, words in NEAR.items():
        for special in special_dates(player, day - timedelta(days=offset), "concert", "audition"):
            yield f"{special.title or special.kind} {words}"
    for special in special_dates(player, day - timedelta(days=1), "concert", "audition"):
        yield f"the day after {special.title or special.kind}: a light day, no range"
    for special in special_dates(player, day, "short", "free"):
        if special.title:
            yield special.title


def _longer(player: Player, facts: DayFacts) -> Iterator[str]:
    """A caution on a day with more minutes than any usual day of this player has."""
    usual = max(player.minutes)
    if special_dates(player, facts.date, "short") and facts.free_minutes > usual:
        most = f"{player.load_per_minute * usual:.0f}"
        yield (
            f"longer than any usual day ({usual} minutes, load at most {most}): go up slowly,"
            " rest as long as you play, stop when the lip tires"
        )


def _playing(player: Player, facts: DayFacts) -> Iterator[str]:
    for playing in other_playing(player, facts.date):
        yield f"{playing.title}, {playing.minutes} minutes"


def _way_back(player: Player, facts: DayFacts) -> Iterator[str]:
    """How a day after a break is eased, as far as the day really has it: a limit may leave it shorter."""
    day = facts.date
    step = step_on(player, day)
    if step is None or not facts.practice:
        return
    share = max(1, usual_minutes(player, day) * step.share // 100)
    limited = facts.free_minutes < share
    parts = [f"{facts.free_minutes} minutes" if limited else f"{step.share} % of the minutes"]
    longer = warm_up_added(player, day) // 60
    parts += [f"a warm-up {longer} minute{'' if longer == 1 else 's'} longer"] if longer else []
    if step.first:
        parts.append("targets a notch lower")
    tops = [limit.top_note for limit in limits_on(player, day) if limit.title == EASED and limit.top_note]
    parts += [f"nothing above {note_name(top)}" for top in tops]
    parts += ["no range"] if step.first or step.share < 100 else []
    yield f"the way back: {', '.join(parts)}"


def _limits(player: Player, facts: DayFacts) -> Iterator[str]:
    for limit in player.limits:
        if not limit.first <= facts.date <= limit.until:
            continue
        yield f"{limit.title} until {short_date(limit.until, facts.date)}{what_it_limits(limit)}"


def what_it_limits(limit: Limit) -> str:
    """What a limit says, behind a colon: ": at most 8 minutes, nothing above E5"."""
    parts = [f"at most {limit.minutes} minutes"] if limit.minutes is not None else []
    parts += [f"nothing above {note_name(limit.top_note)}"] if limit.top_note is not None else []
    parts += [f"without {', '.join(limit.without)}"] if limit.without else []
    return f": {', '.join(parts)}" if parts else ""


def _music(player: Player, facts: DayFacts) -> Iterator[str]:
    placed = {piece.music.id for piece in facts.music}
    for music in player.music:
        current = music.until is None or facts.date <= music.until
        if facts.practice and current and facts.date.weekday() in music.days and music.id not in placed:
            yield f"no room for {music.title} in {facts.free_minutes} minutes"
