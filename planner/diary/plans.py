"""Stored plans: one file a plan, written whole or not at all, each with a checksum over its content.

    <folder>/plans/<player>/2026-09-07_2026-09-13_0003.json     third plan stored for this player
    <folder>/plans/<player>/today_2026-09-09.json               a routine cut to the minutes of one day
    <folder>/plans/<player>/printed_2026-09-09.json             a day as it was printed (`printed.py`)
    <folder>/plans/<player>/term_0002.json                      second term stored for this player
    <folder>/plans/<player>/term_0002.after                     what had been written when it was stored

The plan stored last among those that hold a day is the one that stands. A file that was damaged or
half edited is passed over as if it were not there: a plan can always be made again. Standard library only.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import date
from pathlib import Path
from typing import Any, NamedTuple

from planner.diary.files import can_write, safe_name, write_whole
from planner.diary.printed import load_printed
from planner.diary.sealed import content_of, sealed_text
from planner.errors import DiaryTrouble

KEPT = 5
"""Older plans for the same days that are kept beside the newest."""

AFTER = ".after"

_NAME = re.compile(r"(\d{4}-\d\d-\d\d)_(\d{4}-\d\d-\d\d)_(\d{4,})\.json")
_TERM = re.compile(r"term_(\d{4,})\.json")


class _Stored(NamedTuple):
    serial: int
    first_day: str
    last_day: str
    path: Path


def save_plan(folder: Path, player_id: str, plan_json: Mapping[str, Any]) -> None:
    """Stores a plan; from now on it stands for `first_day` to `last_day`. Raises `CannotWrite`."""
    stored = _stored(folder, player_id)
    first_day, last_day = (str(date.fromisoformat(plan_json[name])) for name in ("first_day", "last_day"))
    serial = max((plan.serial for plan in stored), default=0) + 1
    write_whole(
        _place(folder, player_id) / f"{first_day}_{last_day}_{serial:04d}.json", sealed_text(plan_json)
    )
    older = [plan for plan in stored if (plan.first_day, plan.last_day) == (first_day, last_day)]
    for plan in older[KEPT:]:
        _remove(plan.path)


def can_save(folder: Path, player_id: str) -> None:
    """Makes sure that a plan can be stored before it is made; `CannotWrite` otherwise."""
    can_write(_place(folder, player_id))


def drop_plans(folder: Path, player_id: str, name: str, sha256: str) -> None:
    """Takes away the plans that have this file among their inputs: what they were made from is taken back."""
    for stored in _stored(folder, player_id):
        made_from = (content_of(stored.path) or {}).get("inputs", ())
        if {"name": name, "sha256": sha256} in made_from:
            _remove(stored.path)


def drop_plan(folder: Path, player_id: str, day: date) -> None:
    """Takes away the plan that stands for a day: the one before it stands again, where there is one."""
    name = _name_of_plan(folder, player_id, day)
    if name:
        _remove(_place(folder, player_id) / name)


def load_plan(folder: Path, player_id: str, day: date) -> dict[str, Any] | None:
    """The plan that stands for a day, None where there is none."""
    return next((plan for _, plan in _plans_for(folder, player_id, day)), None)


def plan_before(folder: Path, player_id: str, day: date) -> dict[str, Any] | None:
    """The plan that stood for a day before the one that stands now, None where there was none."""
    found = [plan for _, plan in _plans_for(folder, player_id, day)]
    return found[1] if len(found) > 1 else None


def save_today(folder: Path, player_id: str, day: date, routine_json: Mapping[str, Any]) -> None:
    """Stores the routine of one day as it was cut; it stands as long as the plan it was cut from does."""
    cut = {"plan": _name_of_plan(folder, player_id, day), "routine": dict(routine_json)}
    write_whole(_today_file(folder, player_id, day), sealed_text(cut))


def drop_today(folder: Path, player_id: str, day: date) -> None:
    """Forgets that the routine of a day was cut."""
    _remove(_today_file(folder, player_id, day))


def load_today(folder: Path, player_id: str, day: date) -> dict[str, Any] | None:
    """The cut routine of a day, None where there is none or another plan stands by now."""
    cut = content_of(_today_file(folder, player_id, day))
    if cut is None or cut.get("plan") != _name_of_plan(folder, player_id, day):
        return None
    routine = cut.get("routine")
    return routine if isinstance(routine, dict) else None


def day_items(folder: Path, player_id: str, day: date) -> tuple[dict[str, Any], ...] | None:
    """The items of a day as they stand on the stand, on paper, cut or whole; None where no plan holds it."""
    routine = load_printed(folder, player_id, day) or standing_day(folder, player_id, day)
    return None if routine is None else items_of(routine, day)


def standing_day(folder: Path, player_id: str, day: date) -> dict[str, Any] | None:
    """A day as `planner today` shows it, cut or whole, whatever was printed; None where no plan holds it."""
    routine = load_today(folder, player_id, day)
    if routine is not None:
        return routine
    plan = load_plan(folder, player_id, day)
    return None if plan is None else {"date": day.isoformat(), "items": list(items_of(plan, day))}


def items_of(plan_json: Mapping[str, Any], day: date) -> tuple[dict[str, Any], ...]:
    """The items of one day of a plan, or of a routine that is only that day (it then has `items` itself)."""
    for found in plan_json.get("days", [plan_json]):
        if found.get("date", day.isoformat()) == day.isoformat():
            return tuple(found.get("items", ()))
    return ()


def planned_last(folder: Path, player_id: str, combination: str, day: date) -> dict[str, Any] | None:
    """The last item with this combination in the plans that stand up to the day, None where there is none."""
    best, item = "", None
    told: set[str] = set()  # days of which a plan stored later has spoken
    for stored in _stored(folder, player_id):
        if stored.first_day > day.isoformat() or stored.last_day <= best:
            continue
        for found in (content_of(stored.path) or {}).get("days", ()):
            when = str(found.get("date", ""))
            if best < when <= day.isoformat() and when not in told:
                turn = _turn(found, combination)
                best, item = (best, item) if turn is None else (when, turn)
            told.add(when)
    return item


def _turn(day: Mapping[str, Any], combination: str) -> dict[str, Any] | None:
    return next((item for item in day.get("items", ()) if item.get("combination") == combination), None)


def _plans_for(folder: Path, player_id: str, day: date) -> Iterator[tuple[str, dict[str, Any]]]:
    """Name and content of the readable plans that hold the day, the one stored last first."""
    for stored in _stored(folder, player_id):
        if stored.first_day <= day.isoformat() <= stored.last_day:
            plan = content_of(stored.path)
            if plan is not None:
                yield stored.path.name, plan


def _name_of_plan(folder: Path, player_id: str, day: date) -> str:
    return next((name for name, _ in _plans_for(folder, player_id, day)), "")


def _stored(folder: Path, player_id: str) -> list[_Stored]:
    """The plans of a player by their names, the one stored last first."""
    place = _place(folder, player_id)
    found = []
    for path in _listed(place):
        match = _NAME.fullmatch(path.name)
        if match:
            found.append(_Stored(int(match[3]), match[1], match[2], path))
    return sorted(found, reverse=True)


def _listed(place: Path) -> list[Path]:
    try:
        return list(place.iterdir())
    except (FileNotFoundError, NotADirectoryError):
        return []
    except OSError as trouble:
        raise DiaryTrouble(f"the stored plans in {place} cannot be read: {trouble.strerror}") from trouble


def _place(folder: Path, player_id: str) -> Path:
    return folder / "plans" / safe_name(player_id)


def _today_file(folder: Path, player_id: str, day: date) -> Path:
    return _place(folder, player_id) / f"today_{day.isoformat()}.json"


def _remove(path: Path) -> None:
    try:
        path.unlink()
    except OSError:
        return  # an old plan that stays does no harm


def save_term(
    folder: Path, player_id: str, term_json: Mapping[str, Any], after: tuple[int, ...] = ()
) -> None:
    """Stores a term; it stands until another is stored for the player. Raises `CannotWrite`.

    `after` says what had been written by then (the diary's last batch, the last step of the pins, the number
    of tellings, of refits), () where nobody asked.
    """
    stored = _terms(folder, player_id)
    serial = stored[0][0] + 1 if stored else 1
    path = _place(folder, player_id) / f"term_{serial:04d}.json"
    if after:
        write_whole(path.with_suffix(AFTER), " ".join(map(str, after)) + "\n")
    write_whole(path, sealed_text(term_json))
    for _, old in stored[KEPT:]:
        _remove_term(old)


def term_after(folder: Path, player_id: str) -> tuple[int, ...]:
    """What had been written when the term that stands was stored; () where there is none or nobody knows."""
    for _, path in _terms(folder, player_id)[:1]:
        try:
            return tuple(map(int, path.with_suffix(AFTER).read_text(encoding="ascii").split()))
        except (OSError, ValueError):
            return ()
    return ()


def _remove_term(path: Path) -> None:
    _remove(path)
    _remove(path.with_suffix(AFTER))


def load_term(folder: Path, player_id: str) -> dict[str, Any] | None:
    """The term stored last that can be read, None where there is none."""
    return next((term for _, path in _terms(folder, player_id) if (term := content_of(path))), None)


def term_name(folder: Path, player_id: str) -> str:
    """The name of the term stored last, "" where there is none: tells whether another stands by now."""
    return next((path.name for _, path in _terms(folder, player_id)), "")


def drop_term(folder: Path, player_id: str) -> bool:
    """Takes back the term stored last: the one before it stands again. False where there is none."""
    stored = _terms(folder, player_id)
    if stored:
        _remove_term(stored[0][1])
    return bool(stored)


def _terms(folder: Path, player_id: str) -> list[tuple[int, Path]]:
    """The stored terms of a player with their numbers, the one stored last first."""
    found = [(_TERM.fullmatch(path.name), path) for path in _listed(_place(folder, player_id))]
    return sorted(((int(match[1]), path) for match, path in found if match), reverse=True)
