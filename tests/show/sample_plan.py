"""A sample plan as the views meet it: an ordinary day, a short day, a concert day and an empty day.

Invented for these tests. Notes and fingerings were worked by hand from the partials of a B flat trumpet
(written C4 = open partial 2); seconds by the rules of `planner/brass/tempo.py`, as comments show.
"""

from __future__ import annotations

from typing import Any

EMPTY: dict[str, Any] = {
    "id": "", "block": "", "kind": "play", "family": "", "measure": "none", "exercise": "", "title": "",
    "pattern": "", "place": "", "combination": "", "articulation": "", "at": 0, "seconds": 0,
    "play_seconds": 0, "breath_pauses_seconds": 0, "pause_seconds": 0, "breath_seconds": 0.0, "go": 1,
    "goes": 1, "rounds": 1, "passes": 1, "passes_wanted": 1, "bars": 0, "eighths_per_bar": 0.0,
    "meter": "", "grouping": [], "notation": "", "keys": [], "positions": [], "fingerings": [],
    "first_note": "", "beat": "", "tempo": None, "tempo_first": 0, "tempo_goal": 0, "target": 0.0,
    "lowest": 0, "highest": 0, "intensity": 1, "load": 0.0, "need": 0.0, "clean_tempo": None, "state": "",
    "wanted": True, "turn_by": None, "last_played": None, "pinned": False, "reasons": [],
}  # fmt: skip


def item(item_id: str, **fields: Any) -> dict[str, Any]:
    """One item with every field; the block is the letter of the id."""
    unknown = set(fields) - set(EMPTY)
    assert not unknown, f"no such field of an item: {unknown}"
    return EMPTY | {"id": item_id, "block": item_id[:1]} | fields


def fixed(item_id: str, family: str, seconds: int, **fields: Any) -> dict[str, Any]:
    """Warm-up or warm-down: half of it is playing."""
    return item(
        item_id, family=family, exercise=family, title=family.capitalize(), seconds=seconds,
        play_seconds=seconds // 2, pause_seconds=seconds - seconds // 2, load=seconds / 120, **fields,
    )  # fmt: skip


# 5/8, one bar: 4 passes x 5 eighths at 96 = 12.5 s in a breath, three positions play 37.5 s; 6 s between
# the breaths, 37 s of rest; at 88: 13.6 s, 40.9 s, 6 s, 41 s
FIVES: dict[str, Any] = {
    "family": "flexibility", "measure": "tempo", "exercise": "rolling-fives", "title": "Rolling fives",
    "pattern": "a", "articulation": "slurred", "rounds": 1, "passes": 4, "passes_wanted": 4, "bars": 1,
    "eighths_per_bar": 5.0, "meter": "5/8", "grouping": [2, 3], "notation": "4e> 5e 6e> 5e 4e",
    "beat": "eighth", "tempo": 96, "tempo_first": 88, "tempo_goal": 160, "intensity": 3, "load": 1.9,
    "seconds": 81, "play_seconds": 38, "breath_pauses_seconds": 6, "pause_seconds": 37,
    "breath_seconds": 12.5,
}  # fmt: skip
LONG_TUBES: dict[str, Any] = {
    "place": "5-6-7", "combination": "rolling-fives/a/5-6-7", "positions": [5, 6, 7],
    "fingerings": ["23", "13", "123"], "keys": ["A-flat major", "G major", "F-sharp major"],
    "first_note": "A♭4", "lowest": 66, "highest": 75,
}  # fmt: skip
MIDDLE_TUBES: dict[str, Any] = {
    "place": "3-4-5", "combination": "rolling-fives/a/3-4-5", "positions": [3, 4, 5],
    "fingerings": ["1", "12", "23"], "keys": ["B-flat major", "A major", "A-flat major"],
    "first_note": "B♭4", "lowest": 68, "highest": 77,
}  # fmt: skip
# another exercise comes next: its set-up makes the rest 45 s, 37.5 + 6 + 45 = 89 s in all
SET_UP = {"seconds": 89, "pause_seconds": 45}

# 4/4, two bars of eighths up five notes and down: 16 eighths, one pass at quarter = 100 (eighth = 200) 4.8 s,
# 3 passes 14.4 s in a breath, 7 s of rest (intensity 2: half); at 92: 15.7 s, then 45 s
STEPS: dict[str, Any] = {
    "family": "scales", "measure": "tempo", "exercise": "five-steps", "title": "Five steps and back",
    "pattern": "up", "articulation": "tongued", "passes": 3, "passes_wanted": 3, "bars": 2,
    "eighths_per_bar": 8.0, "meter": "4/4", "grouping": [1, 1, 1, 1], "beat": "quarter", "tempo": 100,
    "tempo_first": 72, "tempo_goal": 144, "intensity": 2, "load": 0.5, "seconds": 22, "play_seconds": 15,
    "pause_seconds": 7, "breath_seconds": 14.4,
}  # fmt: skip


def step(item_id: str, key: str, first_note: str, fingering: str, **fields: Any) -> dict[str, Any]:
    """Five steps in one key."""
    place = key.lower().replace(" major", "-major").replace(" melodic minor", "-melodic-minor")
    return item(
        item_id,
        **STEPS
        | {"place": place, "combination": f"five-steps/up/{place}", "keys": [key], "fingerings": [fingering]}
        | {"first_note": first_note, "positions": [1, 2, 3, 4]}
        | fields,
    )


# seven tones of 8 s play 56 s, six breaths between 18 s, then 45 s until the next exercise: 119 s
LONG_TONE: dict[str, Any] = {
    "family": "long tones", "measure": "seconds", "exercise": "still-water", "title": "Still water",
    "pattern": "p", "articulation": "slurred", "bars": 1, "eighths_per_bar": 8.0, "meter": "4/4",
    "grouping": [1, 1, 1, 1], "target": 8.0, "intensity": 2, "seconds": 119, "play_seconds": 56,
    "breath_pauses_seconds": 18, "pause_seconds": 45, "breath_seconds": 8.0, "load": 1.9,
}  # fmt: skip

MUSIC: dict[str, Any] = {
    "family": "own music", "measure": "band", "exercise": "harbour-suite",
    "title": "Harbour Suite, 1st trumpet",
    "seconds": 720, "play_seconds": 432, "pause_seconds": 288, "beat": "quarter", "tempo_first": 92,
    "tempo_goal": 104, "intensity": 3, "load": 21.6, "reasons": ["concert on Saturday"],
}  # fmt: skip

MONDAY: list[dict[str, Any]] = [
    fixed("A1", "warm-up", 480),
    item("B1", **FIVES | LONG_TUBES, state="in work", reasons=["clean at 88, the goal is 160"]),
    item("B2", **FIVES | MIDDLE_TUBES | SET_UP, state="kept up", reasons=["last played 16 days ago"]),
    step("C1", "A-flat major", "A♭3", "23", state="new", reasons=["this week's new key"]),
    step("C2", "D major", "D4", "13", state="kept up", reasons=["last played 25 days ago"]),
    step("C3", "A-flat major", "A♭3", "23", go=2, state="new", reasons=["this week's new key"]),
    step(
        "C4", "F-sharp melodic minor", "F♯3", "123", tempo=92, seconds=61, pause_seconds=45, play_seconds=16,
        state="in work",
        reasons=["uneven at 92 on Friday, and every key of this exercise wants a turn by Sunday"],
    ),
    item(
        "D1", **LONG_TONE, place="1-2-3-4-5-6-7", combination="still-water/p/1-2-3-4-5-6-7",
        positions=[1, 2, 3, 4, 5, 6, 7], fingerings=["0", "2", "1", "12", "23", "13", "123"],
        keys=["C major", "B major", "B-flat major", "A major", "A-flat major", "G major", "F-sharp major"],
        first_note="G4", lowest=61, highest=67, state="kept up", reasons=["last played 9 days ago"],
    ),
    item("E1", **MUSIC),
    fixed("F1", "warm-down", 180),
]  # fmt: skip

TUESDAY: list[dict[str, Any]] = [
    fixed("A1", "warm-up", 240),
    item("B1", **FIVES | LONG_TUBES | {"articulation": "tongued", "tempo": 92}, state="in work",
         reasons=["new tongued"]),
    item("B2", **FIVES | MIDDLE_TUBES | {"passes": 2}, state="in work", reasons=["slurred again"]),
    item("", kind="rest", seconds=120, pause_seconds=120),
    fixed("C1", "warm-down", 120),
]  # fmt: skip


def _at(items: list[dict[str, Any]]) -> list[dict[str, Any]]:
    at, placed = 0, []
    for one in items:
        placed.append(one | {"at": at})
        at += one["seconds"]
    return placed


def day(
    date: str, free: int, items: list[dict[str, Any]], playing: float = 0.0, **fields: Any
) -> dict[str, Any]:
    """One day; seconds used and load follow from its items."""
    return {
        "date": date, "title": "", "seconds_free": free, "available_seconds": max(0, free - 660),
        "seconds_used": sum(one["seconds"] for one in items),
        "load": round(playing + sum(one["load"] for one in items), 1),
        "load_limit": round(playing + free / 60 * 1.25 * (0.55 if playing else 1), 1),
        "load_two_days": 0.0, "load_two_days_limit": 0.0, "playing_load": playing, "notes": [],
        "items": _at(items),
    } | fields  # fmt: skip


DAYS = [
    day("2026-09-07", 2700, MONDAY),
    # a rehearsal of 120 minutes, 0.55 of them on the lip, intensity 3: load 198
    day("2026-09-08", 900, TUESDAY, 198.0, notes=["Town band rehearsal, 120 minutes: no range today"]),
    day("2026-09-09", 0, [], notes=["free: school trip"]),
    day("2026-09-10", 2700, MONDAY[:3] + MONDAY[-1:]),
    day("2026-09-11", 2700, MONDAY[:3] + MONDAY[-2:], load_limit=33.8,
        notes=["concert tomorrow: nothing new"]),  # 0.6 of the limit
    day("2026-09-12", 2700, [fixed("A1", "warm-up", 720)], title="Concert: Harbour Suite",
        notes=["warm-up only on the day of a concert"]),
    day("2026-09-13", 0, []),
]  # fmt: skip

PLAN: dict[str, Any] = {
    "format": "planner.plan/1", "player": "nele", "name": "Nele Brandt", "instrument": "trumpet",
    "curriculum": "trumpet-spring", "curriculum_title": "Trumpet, spring", "curriculum_week": 3,
    "curriculum_weeks": 12, "anchor": "2026-09-07", "first_day": "2026-09-07", "last_day": "2026-09-13",
    "seed": 0, "made_with": {"planner": "0.1.0", "ortools": "9.15"}, "inputs": [], "diary_digest": "",
    "capacity": {
        "items_per_week": 108, "granted_span_days": 35,
        "sentence": "300 on the shelf. Your minutes carry 20 new a week and about 160 kept up, every 5 "
        "weeks; for every 4 weeks: 58 minutes a day, or 130 combinations.",
    },
    "rules": {
        "minutes": {"hard": True, "broken": 0, "parameters": {}},
        "turns": {"hard": False, "broken": 1, "parameters": {}},
        "families": {"hard": False, "broken": 0, "parameters": {}},
    },
    "solver": {
        "stages": [
            {"goal": "turns", "value": 1690, "bound": 1690, "status": "proven"},
            {"goal": "value", "value": 52310, "bound": 52400, "status": "within its bound"},
            {"goal": "evenness", "value": 310, "bound": 290, "status": "stopped"},
        ],
        "work": 0.0, "stopped_by": "work limit",
    },
    "coverage": {
        "wanted": 84, "met": 83,
        "left": [
            {"combination": "five-steps/up/b-flat-minor", "reason": "the concert week holds no more",
             "expected": "2026-09-21"},
        ],
    },
    "combinations": [], "pairs": [], "pins": [], "before": {},
    "excluded": [{"combination": "rolling-fives/b/1-2-3", "reason": "B♭5 is above the range"}],
    "days": DAYS,
}  # fmt: skip
