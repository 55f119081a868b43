"""The sample players' weeks, each planned once in a session, and small players for calendars of all kinds."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator, Mapping
from datetime import date, timedelta
from functools import cache
from pathlib import Path
from typing import Any

from planner.diary.history import read_history
from planner.diary.rows import digest_of
from planner.horizon.stored import input_digests
from planner.horizon.week import Request, plan_week
from planner.inputs.read import read_curriculum, read_player
from planner.paths import find_curriculum
from planner.plan.solve.stages import Limits

Plan = Mapping[str, Any]
Item = Mapping[str, Any]

ROOT = Path(__file__).resolve().parents[2]
MONDAY, SUNDAY = date(2026, 9, 7), date(2026, 9, 13)
NAMES = sorted(path.stem for path in (ROOT / "sample_profiles").glob("*.toml"))
SMALLEST = ("jonah", "pia")  # planned in a few tenths of a second


def player_file(name: str) -> Path:
    """The file of a sample player."""
    return ROOT / "sample_profiles" / f"{name}.toml"


def request_from(path: Path, first: date, last: date, anchor: date) -> Request:
    """What `planner week` would ask for with an empty diary."""
    player = read_player(path, anchor)
    files = {"player": path, "curriculum": find_curriculum(player.curriculum, path)}
    files |= {"ratings": Path(player.history)} if player.history else {}
    known = read_history(Path(player.history), anchor) if player.history else ()
    ratings = tuple(rating for rating in known if rating.day < first)
    return Request(
        curriculum=read_curriculum(files["curriculum"]),
        player=player,
        ratings=ratings,
        first_day=first,
        last_day=last,
        anchor=anchor,
        inputs=input_digests(files),
        diary_digest=digest_of(ratings),
        ratings_from="file" if ratings else "none",
        last_plan=None,
    )


@cache
def sample_request(name: str, first: date = MONDAY) -> Request:
    """A sample player's request for the days from `first` to the Sunday of the week of MONDAY."""
    return request_from(player_file(name), first, SUNDAY, MONDAY)


@cache
def sample_week(name: str, first: date = MONDAY) -> Plan:
    """The checked plan of a sample player from `first` to that Sunday."""
    return planned(sample_request(name, first))


def planned(request: Request) -> dict[str, Any]:
    """The checked plan of a request, made quietly within the usual limits."""
    return plan_week(request, Limits(), lambda stage: None)


def items(plan: Plan) -> Iterator[tuple[str, Item]]:
    """Every item of a plan with its date."""
    for day in plan["days"]:
        for item in day["items"]:
            yield day["date"], item


def turns(plan: Plan) -> set[tuple[str, str]]:
    """Which combination on which day."""
    return {(day, item["combination"]) for day, item in items(plan) if item["combination"]}


def blocks(day: Plan) -> list[list[Item]]:
    """The blocks of a day with their items, in playing order."""
    found: list[list[Item]] = []
    for item in day["items"]:
        if found and found[-1][0]["block"] == item["block"]:
            found[-1].append(item)
        else:
            found.append([item])
    return found


def day_of(plan: Plan, day: date) -> Plan:
    """One day of a plan."""
    found: Plan = next(one for one in plan["days"] if one["date"] == day.isoformat())
    return found


def program(folder: Path, *words: str, **environment: str) -> subprocess.CompletedProcess[str]:
    """Run the program in a folder of its own, its diary there too, its output through pipes."""
    child = start(folder, *words, **environment)
    out, err = child.communicate()
    return subprocess.CompletedProcess(child.args, child.returncode, out, err)


def start(folder: Path, *words: str, **environment: str) -> subprocess.Popen[str]:
    """The same, while it runs."""
    return subprocess.Popen(
        [sys.executable, "-m", "planner", *words],
        cwd=folder,
        env=os.environ | {"PYTHONPATH": str(ROOT), "PLANNER_DATA": str(folder)} | environment,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        encoding="utf-8",
    )


SMALL_CURRICULUM = """
[curriculum]
id = "small"
title = "Small"
weeks = 60

[[exercise]]
id = "fives"
title = "Fives"
family = "flexibility"
measure = "tempo"
weeks = [1]
meter = "5/8"
tempo = { beat = "eighth", first = 88, goal = 160 }
passes = 4
articulations = ["slurred", "tongued"]
[[exercise.pattern]]
name = "a"
partials = "4e> 5e 6e> 5e 4e"

[[exercise]]
id = "stairs"
title = "Stairs"
family = "scales"
measure = "tempo"
weeks = [1]
meter = "4/4"
tempo = { beat = "quarter", first = 60, goal = 120 }
articulations = ["tongued"]
keys = ["C", "F", "Bb", "G"]
[[exercise.pattern]]
name = "up"
degrees = "1e 2 3 4 5 6 7 8"

[[exercise]]
id = "bells"
title = "Bells"
family = "arpeggios"
measure = "tempo"
weeks = [1]
meter = "4/4"
tempo = { beat = "quarter", first = 60, goal = 120 }
articulations = ["tongued"]
keys = ["C", "Eb"]
[[exercise.pattern]]
name = "up"
degrees = "1q 3 5 8"

[[exercise]]
id = "gulls"
title = "Gulls"
family = "range"
measure = "tempo"
weeks = [1]
meter = "4/4"
tempo = { beat = "quarter", first = 60, goal = 80 }
articulations = ["slurred"]
cycle = 1
starts = [1, 2]
[[exercise.pattern]]
name = "a"
partials = "6q 7 8h"
"""

SMALL_PLAYER = """
id = "mara"
name = "Mara"
instrument = "trumpet"
level = "advanced"
curriculum = "small.toml"
starts = {starts}
minutes = {{ {minutes} }}
{more}
"""
DAILY = "monday=45, tuesday=45, wednesday=45, thursday=45, friday=45, saturday=45, sunday=45"


def small_player(
    folder: Path, *, starts: str = "2026-09-07", minutes: str = DAILY, more: str = "", curriculum: str = ""
) -> Path:
    """Mara, a player of four small exercises, written into a folder; the path of her file."""
    (folder / "small.toml").write_text(curriculum or SMALL_CURRICULUM, encoding="utf-8")
    path = folder / "mara.toml"
    path.write_text(SMALL_PLAYER.format(starts=starts, minutes=minutes, more=more), encoding="utf-8")
    return path


def small_week(path: Path, first: date, last: date | None = None) -> dict[str, Any]:
    """Mara's checked plan from `first` to `last`, else to the Sunday of that week."""
    sunday = first + timedelta(days=6 - first.weekday())
    return planned(request_from(path, first, last or sunday, first - timedelta(days=first.weekday())))
