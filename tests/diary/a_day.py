"""A day's routine as the words of the tests name it: two goes, every measure, own music."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from diary.some_ratings import MONDAY

from planner.diary.shorthand import Sheet, targets_of
from planner.diary.values import Target

EMPTY: dict[str, Any] = {
    "kind": "play", "family": "scales", "measure": "tempo", "exercise": "up", "combination": "",
    "articulation": "", "at": 0, "tempo": None, "tempo_goal": 0, "target": 0.0, "lowest": 60, "highest": 72,
    "go": 1,
}  # fmt: skip


def item(name: str, **fields: Any) -> dict[str, Any]:
    """One item of a routine; its block is the letter of its name."""
    return EMPTY | {"id": name, "block": name[0]} | fields


ITEMS = [
    item("A1", family="warm-up", measure="none", exercise="warm-up"),
    item("B1", combination="up/a/c-major", articulation="slurred", tempo=96, tempo_goal=160, at=500),
    item("B2", combination="up/a/d-major", articulation="tongued", tempo=108, tempo_goal=160, at=600),
    item("B3", combination="up/a/c-major", articulation="slurred", tempo=96, tempo_goal=160, at=700, go=2),
    item("C1", combination="still/p/c-major", articulation="slurred", measure="seconds", target=8.0, at=800),
    item("D1", combination="peak/a/1-2-3", articulation="slurred", measure="top note", target=79.0,
         lowest=67, highest=79, family="range", at=900),
    item("E1", combination="bend/a/2-3-4", articulation="slurred", measure="bend", at=1000),
    item("F1", combination="solo/a/g-major", articulation="tongued", measure="band", tempo_goal=104, at=1100),
    item("G1", family="own music", measure="band", exercise="harbour-suite", tempo_goal=104, at=1200),
    item("H1", family="warm-down", measure="none", exercise="warm-down"),
]  # fmt: skip

FIVES = Target("", "", "flexibility", "tempo", "fives/a/5-6-7", "slurred", 88, 0.0, 60, 72, 0)
SHELF = {
    "fives/a/5-6-7": FIVES,
    "fives/a/5-6-7/tongued": replace(FIVES, articulation="tongued", tempo=None),
}


def shelf(name: str) -> Target | None:
    """Two combinations that are not in the routine."""
    return replace(SHELF[name], name=name) if name in SHELF else None


def sheet(**fields: Any) -> Sheet:
    """What can be named on Monday."""
    return replace(Sheet(MONDAY, targets_of(ITEMS), shelf), **fields)
