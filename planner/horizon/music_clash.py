"""Fixed own music that has no room on its day: the fewest pieces that are too much, and ways out tried."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any, cast

from planner.errors import DoesNotFit
from planner.horizon.clashes import THEN
from planner.horizon.sentences import listed
from planner.horizon.week import Request, week_of
from planner.inputs.dates import WEEKDAYS
from planner.inputs.player import Player
from planner.need.days import day_facts
from planner.plan.build import week_problem
from planner.plan.solve.conflict import rules_of
from planner.plan.solve.feasible import Question
from planner.plan.solve.named import named_week

LONGEST_DAY_MINUTES = 600
"""What a player file may give to a day at the most."""


@dataclass(frozen=True, slots=True)
class MusicClash:
    """Fixed own music without room on a day: the fewest pieces that are too much, and ways out tried.

    `minutes` are those given, `needed` what the day would take, 0 where no day is long enough. `ways`:
    (piece, what to do, value): "minutes" (piece ""), "minutes on" (the weekdays instead of a piece),
    "weekday", "shorter", "anywhere".
    """

    day: date
    pieces: tuple[tuple[str, int], ...]
    minutes: int
    needed: int
    frame: int
    ways: tuple[tuple[str, str, int], ...]


def music_clash(request: Request) -> MusicClash | None:
    """The first day of the week, or the day before it, whose fixed music has no room; None where all has."""
    days = (request.last_day - request.first_day).days
    for offset in (*range(days + 1), -1):
        day = request.first_day + timedelta(days=offset)
        try:
            day_facts(request.player, day)
        except DoesNotFit:
            return _music_clash(request, day)
    return None


def _music_clash(request: Request, day: date) -> MusicClash:
    player = request.player
    given = player.minutes[day.weekday()]
    bare = day_facts(replace(player, music=()), day)
    frame = given - bare.available_seconds // 60
    fixed = [m for m in player.music if day.weekday() in m.days and (m.until is None or day <= m.until)]
    few: list[tuple[str, int]] = []
    for piece in sorted(fixed, key=lambda one: (-one.minutes, one.id)):
        if sum(minutes for _, minutes in few) * 60 <= bare.available_seconds:
            few.append((piece.id, piece.minutes))
    longer = range(given, LONGEST_DAY_MINUTES + 1)
    needed = next((free for free in longer if _music_fits(_weekday(player, day.weekday(), free), day)), 0)
    ways = tuple(_music_ways(request, day, few, needed))
    return MusicClash(day, tuple(few), given, needed, frame, ways)


def _more_minutes(request: Request, day: date, needed: int) -> Iterator[tuple[str, str, int]]:
    """The minutes needed on this weekday, else on all weekdays on which the same music is fixed."""
    player = request.player
    if _week_fits(request, _weekday(player, day.weekday(), needed)):
        yield "", "minutes", needed
    else:
        alike = [n for n in range(7) if 0 < player.minutes[n] < needed and _same_music(request, day, n)]
        longer = player
        for weekday in alike:
            longer = _weekday(longer, weekday, needed)
        if len(alike) > 1 and _week_fits(request, longer):
            yield listed(WEEKDAYS[n] for n in alike), "minutes on", needed


def _music_ways(
    request: Request, day: date, few: Sequence[tuple[str, int]], needed: int
) -> Iterator[tuple[str, str, int]]:
    player = request.player
    if needed:
        yield from _more_minutes(request, day, needed)
    for name, minutes in few:
        for weekday in range(7):
            if player.minutes[weekday] and _week_fits(request, _music(player, name, days=(weekday,))):
                yield name, "weekday", weekday
                break
        shorter = range(minutes - 1, 0, -1)
        fits = next((m for m in shorter if _music_fits(_music(player, name, minutes=m), day)), 0)
        if fits and _week_fits(request, _music(player, name, minutes=fits)):
            yield name, "shorter", fits
        if _week_fits(request, _music(player, name, days=())):
            yield name, "anywhere", 0


def _same_music(request: Request, day: date, weekday: int) -> bool:
    """Whether what is fixed on this day is fixed on that weekday as well."""
    fixed = [piece.days for piece in request.player.music if day.weekday() in piece.days]
    return any(weekday in days for days in fixed)


def _weekday(player: Player, weekday: int, minutes: int) -> Player:
    changed = tuple(minutes if n == weekday else free for n, free in enumerate(player.minutes))
    return replace(player, minutes=cast("tuple[int, int, int, int, int, int, int]", changed))


def _music(player: Player, name: str, **changes: Any) -> Player:
    return replace(player, music=tuple(replace(m, **changes) if m.id == name else m for m in player.music))


def _music_fits(player: Player, day: date) -> bool:
    try:
        day_facts(player, day)
    except DoesNotFit:
        return False
    return True


def _week_fits(request: Request, player: Player) -> bool:
    """Planned again: the music has its room and there is a plan that keeps every hard rule."""
    try:
        week, _ = week_of(replace(request, player=player))
    except DoesNotFit:
        return False
    named = named_week(week_problem(week))
    return Question(named).ask(rules_of(named, "pins")).turns is not None


def music_told(found: MusicClash, titles: Mapping[str, str]) -> dict[str, Any]:
    """Fixed music without room, as JSON values in the shape of `told`."""
    weekday = WEEKDAYS[found.day.weekday()]
    needed = str(found.needed) if found.needed else f"more than {LONGEST_DAY_MINUTES}"
    pieces = [f"{titles[name]} {minutes} min" for name, minutes in found.pieces]
    return {
        "step": "music",
        "headline": f"{weekday} needs {needed} minutes; you gave it {found.minutes}.",
        "because": [
            f"Fixed on {weekday}: {listed(pieces)}.",
            f"Warm-up and warm-down take {found.frame} minutes of a day of {found.minutes}.",
        ],
        "smallest": True,
        "proven": True,
        "rules": [
            {"rule": "own music", "name": name, "days": [found.day.isoformat()]} for name, _ in found.pieces
        ]
        + [{"rule": kind, "name": "", "days": [found.day.isoformat()]} for kind in ("frame", "minutes")],
        "ways": [
            {"kind": kind, "sentence": _music_way(titles, weekday, way), "whole": True}
            for way in found.ways
            for kind in [way[1]]
        ],
    }


def _music_way(titles: Mapping[str, str], weekday: str, way: tuple[str, str, int]) -> str:
    name, kind, value = way
    words = {
        "minutes": f"Give {weekday} {value} minutes",
        "minutes on": f"Give {name} {value} minutes each",
        "weekday": f"Put {titles.get(name, '')} on {WEEKDAYS[value % 7]} instead",
        "shorter": f"Play {titles.get(name, '')} for {value} minutes",
        "anywhere": f"Give {titles.get(name, '')} no fixed weekday: it is played wherever it fits",
    }[kind]
    return f"{words}: {THEN[True]}."
