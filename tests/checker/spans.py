"""What follows from the player's file beside minutes and load: spans, titles, the next days, who it is."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from checker.breach import Breach, Breaches, differs, place
from checker.known import Known, every
from checker.player import Player

FAR = 400  # days ahead in which a practice day is looked for
WEEKS = range(4, 17)


def spans(known: Known) -> Breaches:
    """The last day of every span: Sunday if new, third practice day in work, the granted span if kept up."""
    player = known.player
    if player is None:
        return
    granted = known.plan["capacity"]["granted_span_days"]
    said = player.table.get("spans", {}).get("kept_up_weeks")
    if granted not in ([7 * said] if said else [7 * weeks for weeks in WEEKS]):
        yield Breach("spans", "capacity.granted_span_days", f"{granted} days are no span of 4 to 16 weeks")
    first = date.fromisoformat(known.plan["first_day"])
    for one in known.plan["combinations"]:
        stands = date.fromisoformat(one["turn_by"]) if one["turn_by"] else None
        if one["state"] == "new":
            if stands is None or stands.weekday() != 6:
                yield Breach(
                    "spans", one["combination"], "a new one is wanted by a Sunday, the end of its week"
                )
            continue
        asked = _end(player, one, granted, first)
        if stands != asked:
            yield differs("spans", one["combination"], "the end of its span", one["turn_by"], asked)


def _end(player: Player, one: Mapping[str, Any], granted: int, first: date) -> date | None:
    played = date.fromisoformat(one["last_played"])
    if one["state"] == "in work":
        return practice_day(player, played, 3)
    between = (played + timedelta(days=number) for number in range(1, (first - played).days))
    return played + timedelta(days=granted + sum(still(player, day) for day in between))


def still(player: Player, day: date) -> bool:
    """Whether spans stand still on a day: a free date, or a limit that leaves no minutes."""
    free = next(player.special(day, "free"), None) is not None
    return free or any(limit.get("minutes") == 0 for limit in player.limits(day))


def practice_day(player: Player, after: date, number: int) -> date | None:
    """The first, second, third practice day after a day; None where none is in sight."""
    for ahead in range(1, FAR):
        day = after + timedelta(days=ahead)
        number -= player.minutes(day) > 0
        if number == 0:
            return day
    return None


def told(known: Known) -> Breaches:
    """What the plan tells of its player is what the file says; what is left comes on the next day."""
    player, plan = known.player, known.plan
    if player is None:
        return
    for mine, theirs in (("player", "id"), ("name", "name"), ("instrument", "instrument")):
        if plan[mine] != player.table[theirs]:
            yield differs("file", f"plan.{mine}", mine, plan[mine], player.table[theirs])
    expected = practice_day(player, date.fromisoformat(plan["last_day"]), 1)
    for one in plan["coverage"]["left"]:
        if one["expected"] != (expected.isoformat() if expected else None):
            yield differs("coverage", one["combination"], "the day it is expected", one["expected"], expected)
    for day in known.days:
        near = player.special(date.fromisoformat(day["date"]), "concert", "audition")
        title = ", ".join(one["title"] for one in near if one.get("title"))
        if day["title"] != title:
            yield differs("file", place(day), "its title", day["title"], title)


def curriculum(known: Known) -> Breaches:
    """An item is as the curriculum writes its exercise: notes, meter, tempos, rounds, family."""
    if known.exercises is None:
        return
    for day, item in every(known.plan):
        found = known.exercises.get(item["exercise"])
        if item["combination"] and found is not None:
            for name, value in _written(found, item["pattern"], item["articulation"]).items():
                if item[name] != value:
                    yield differs("curriculum", place(day, item), name, item[name], value)


def _written(exercise: Mapping[str, Any], pattern: str, articulation: str) -> dict[str, Any]:
    tempo = exercise["tempo"].get(articulation, exercise["tempo"])
    notes: Mapping[str, Any] = next((one for one in exercise["pattern"] if one["name"] == pattern), {})
    usual = {"measure": "tempo", "rounds": 1}
    wanted = {
        "notation": notes.get("partials", notes.get("degrees", "")),
        "tempo_first": tempo.get("first", 0),
        "tempo_goal": tempo.get("goal", 0),
        "passes_wanted": exercise.get("passes", 1),
        **{
            name: exercise.get(name, usual.get(name))
            for name in ("family", "title", "meter", "measure", "rounds")
        },
    }
    return wanted | ({"grouping": exercise["grouping"]} if "grouping" in exercise else {})
