"""What has moved since a day, by exercise, key, position and articulation, and which ratings surprised.

`planner.progress/1` as JSON values. Notches are steps of the tempo scale (a sixteenth of an octave); for held
tones the same of seconds. A group is the mean over its combinations that were ever rated; positions are those
of the cycles, keys the written keys of what is played in one. Each measure stands by itself.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from datetime import date
from typing import Any

from planner.brass.instruments import instrument, valves_of
from planner.brass.tempo import nearest_mark
from planner.diary.rating import Rating
from planner.horizon.higher_goals import higher_goals
from planner.inputs.curriculum import Articulation, Curriculum
from planner.inputs.player import Player
from planner.need.combinations import Combination, scope
from planner.need.evidence import heard_articulation
from planner.need.parts import DEFAULT, Scales
from planner.need.reasons import said

FORMAT = "planner.progress/1"
MEASURES = ("tempo", "seconds")
"""What moves on the scale of notches; for bends, bands and top notes a notch means nothing to a player."""

SURE = 2.0
"""Spreads of a change from which it is called moved, and of a rating from which it surprised."""

Row = tuple[Combination, Articulation]
Group = tuple[str, str, str, list[Row]]


def progress(
    curriculum: Curriculum,
    player: Player,
    ratings: Sequence[Rating],
    since: date,
    today: date,
    scales: Scales = DEFAULT,
) -> dict[str, Any]:
    """Everything that has moved from `since` to `today`; ratings of later days are left out."""
    known = tuple(rating for rating in ratings if rating.day <= today)
    shelf = scope(curriculum, player, today).written
    rated = {rating.combination for rating in known}
    heard = [one for one in shelf if one.id in rated]
    return {
        "format": FORMAT,
        "player": player.id,
        "name": player.name,
        "since": since.isoformat(),
        "date": today.isoformat(),
        "ratings": len(known),
        "ratings_since": sum(rating.day >= since for rating in known),
        "days_since": len({rating.day for rating in known if rating.day >= since}),
        "groups": list(_groups(heard, known, player, since, today, scales)),
        "surprises": _surprises(heard, known, player, since, today, scales),
        "goals": higher_goals(curriculum, player, known, today, scales),
    }


def _groups(
    heard: Sequence[Combination],
    ratings: Sequence[Rating],
    player: Player,
    since: date,
    today: date,
    scales: Scales,
) -> Iterator[dict[str, Any]]:
    from planner.need.clean_tempo import estimate
    from planner.need.moved import moved, practice_behind

    estimates = estimate(heard, ratings, today, player, scales)
    by_id = {one.id: one for one in heard}
    counts = [Counter(_rows_of(by_id, ratings, first)) for first in (date.min, since)]
    rows = [(one, a) for one in heard for a in one.articulations if estimates.rated[one.id, a]]
    practice = practice_behind(estimates, by_id, ratings)
    for measure, kind, name, members in _grouped(rows, player):
        names = [(one.id, a) for one, a in members]
        found = moved(practice, names, since, today)
        yield {
            "measure": measure,
            "kind": kind,
            "name": name,
            "combinations": len({combination for combination, _ in names}),
            "ratings": sum(counts[0][each] for each in names),
            "ratings_since": sum(counts[1][each] for each in names),
            "then": _level(found.then),
            "now": _level(found.now),
            "change": _level(found.change),
            "moved": abs(found.change.mean) >= SURE * found.change.sd,
        }


def _rows_of(
    by_id: Mapping[str, Combination], ratings: Sequence[Rating], first: date
) -> Iterator[tuple[str, str]]:
    """Combination and articulation of every rating from a day on."""
    for rating in ratings:
        if rating.combination in by_id and rating.day >= first:
            yield rating.combination, heard_articulation(by_id[rating.combination], rating)


def _level(level: Any) -> dict[str, float]:
    return {"mean": round(level.mean, 3), "sd": round(level.sd, 3)}


def _grouped(rows: Sequence[Row], player: Player) -> Iterator[Group]:
    """All rows of one measure together, then by exercise, key, position and articulation."""
    for measure in MEASURES:
        inside = [row for row in rows if row[0].exercise.measure == measure]
        if inside:
            yield measure, "all", "everything", inside
        for kind, names in _KINDS.items():
            groups: dict[str, list[Row]] = {}
            for row in inside:
                for name in names(row, player):
                    groups.setdefault(name, []).append(row)
            yield from ((measure, kind, name, members) for name, members in groups.items())


def _exercise(row: Row, _player: Player) -> list[str]:
    return [row[0].exercise.title]


def _key(row: Row, _player: Player) -> list[str]:
    return [row[0].keys[0].pretty] if row[0].place.key is not None else []


def _position(row: Row, player: Player) -> list[str]:
    horn = instrument(player.instrument)
    cycle = sorted(set(row[0].place.positions))
    if horn.is_slide:
        return [f"position {position}" for position in cycle]
    valves = (valves_of(horn, position, player.side) for position in cycle)
    return ["open" if name == "0" else f"valves {name}" for name in valves]


def _articulation(row: Row, _player: Player) -> list[str]:
    return [row[1]]


_KINDS = {"exercise": _exercise, "key": _key, "position": _position, "articulation": _articulation}


# --- ratings that surprised


def _surprises(
    heard: Sequence[Combination],
    ratings: Sequence[Rating],
    player: Player,
    since: date,
    today: date,
    scales: Scales,
) -> list[dict[str, Any]]:
    from planner.need.surprise import surprises

    by_id = {one.id: one for one in heard}
    found = surprises(heard, ratings, player, since, today, scales)
    strong = [one for one in found if abs(one.residual) >= SURE]
    strong.sort(key=lambda one: (-abs(one.residual), one.rating.day, one.rating.combination))
    return [
        {
            "date": one.rating.day.isoformat(),
            "combination": one.rating.combination,
            "title": _title(by_id[one.rating.combination]),
            "articulation": one.articulation,
            "said": said(by_id[one.rating.combination], one.rating),
            "expected": {"mean": one.expected.mean, "sd": one.expected.sd},
            "expected_clean": _mark(by_id[one.rating.combination], one.articulation, one.expected.mean),
            "ratings_before": one.before,
            "residual": round(one.residual, 2),
        }
        for one in strong
    ]


def _title(one: Combination) -> str:
    where = one.keys[0].pretty if one.place.key is not None else one.place.id
    return f"{one.exercise.title} {one.pattern.name}, {where}"


def _mark(one: Combination, articulation: str, mean: float) -> int | None:
    """What was expected in the exercise's own terms: a mark or seconds; None for other measures."""
    if one.exercise.hold is not None:
        return round(one.exercise.hold.goal * 2 ** (mean / 16))
    if one.exercise.measure != "tempo":
        return None
    goal: int = next(span.goal for word, span in one.exercise.tempos.items() if word == articulation)
    return nearest_mark(goal * 2.0 ** (mean / 16))
