"""What was told beside the player file: missed stretches, short ones, limits with an end. One file a player.

    <folder>/missed/<player>.json             {"format": "planner.missed/1", "player": ..., "told": [...]}
    <folder>/missed/<player>.taken-back.json  the same: what `planner undo` has taken back stays here

Each telling is what one command said: the day it was told, the number of the last diary entry before it
(so that `undo` knows which came last), its stretches. The file is written whole or not at all; a plan names
its digest among its inputs, and what is taken back takes the plans made from it along. Standard library only.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal, cast

from planner.diary.files import safe_name, write_whole
from planner.diary.plans import drop_plans
from planner.errors import BadData, CannotWrite, DiaryTrouble, Fault

if TYPE_CHECKING:
    from planner.inputs.curriculum import Family
    from planner.inputs.player import Player

FORMAT = "planner.missed/1"
FOLDER = "missed"
INPUT = "missed"
"""The name of the file among the inputs of a plan."""

Kind = Literal["missed", "short", "limit"]
KINDS = ("missed", "short", "limit")


@dataclass(frozen=True, slots=True)
class Stretch:
    """One stretch of days, both ends included.

    kind "missed": nothing was played but what the diary has. "short": `minutes` a day instead of the usual.
    "limit": at most `minutes`, nothing above `top_note` (written MIDI), none of the families in `without`.
    `ease` are the shares (per cent) of the practice days after a missed stretch, () for none at all, None
    where the length of the break decides; `warm_up`, `notches` and `semitones` belong to them.
    """

    kind: Kind
    first: date
    last: date
    title: str = ""
    minutes: int | None = None
    top_note: int | None = None
    without: tuple[str, ...] = ()
    ease: tuple[int, ...] | None = None
    warm_up: int = 2
    notches: int = 1
    semitones: int = 3


@dataclass(frozen=True, slots=True)
class Telling:
    """What one command told: on which day, after which entry of the diary and which step of the pins."""

    on: date
    after: int
    stretches: tuple[Stretch, ...]
    pins: int = 0


def told_file(folder: Path, player_id: str) -> Path:
    """Where it is kept."""
    return folder / FOLDER / f"{safe_name(player_id)}.json"


def tellings(folder: Path, player_id: str) -> tuple[Telling, ...]:
    """Everything told of a player, in the order in which it was told; () where there is nothing."""
    return _read(told_file(folder, player_id))


def tell(folder: Path, player_id: str, telling: Telling) -> None:
    """Adds a telling. Raises `CannotWrite` and leaves everything as it was."""
    _write(folder, player_id, (*tellings(folder, player_id), telling))


def take_back(folder: Path, player_id: str) -> Telling:
    """Takes the last telling back, and with it the plans made from it; it stays in the file beside.

    ValueError where nothing was told. Raises `CannotWrite`.
    """
    *others, last = tellings(folder, player_id)
    aside = _aside(folder, player_id)
    # first what a full disk can refuse, so that it takes no plan away
    write_whole(aside, _text(player_id, (*_read(aside), last)))
    drop_plans(folder, player_id, INPUT, digest_of_told(player_id, (*others, last)))
    _write(folder, player_id, others)
    return last


def digest_of_told(player_id: str, told: Iterable[Telling]) -> str:
    """SHA-256 of the file that holds these tellings."""
    return hashlib.sha256(_text(player_id, told).encode("utf-8")).hexdigest()


def described(telling: Telling) -> str:
    """What a telling said, in words: "missed 2026-10-05 to 2026-10-11"."""
    return "; ".join(_words(one) for one in telling.stretches)


def with_told(player: Player, told: Iterable[Telling], rated: Iterable[date]) -> Player:
    """The player with everything that was told; days on which the diary has ratings were not missed."""
    from planner.inputs.player import Easing, Limit, Missed, SpecialDate

    stretches = [one for telling in told for one in telling.stretches]
    if not stretches:
        return player
    days = sorted(set(rated))
    missed, dates, limits = [], list(player.dates), list(player.limits)
    for one in stretches:
        if one.kind == "missed":
            played = tuple(day for day in days if one.first <= day <= one.last)
            easing = None if one.ease is None else Easing(one.ease, one.warm_up, one.notches, one.semitones)
            missed.append(Missed(one.first, one.last, played, easing))
            dates += [
                SpecialDate("free", *ends, one.title or "missed", None) for ends in _between(one, played)
            ]
        elif one.kind == "short":
            dates.append(SpecialDate("short", one.first, one.last, one.title, one.minutes))
        else:
            without = cast("tuple[Family, ...]", one.without)
            limits.append(Limit(one.title, one.first, one.last, one.top_note, one.minutes, without))
    return replace(player, missed=tuple(missed), dates=tuple(dates), limits=tuple(limits))


def _between(one: Stretch, played: Iterable[date]) -> list[tuple[date, date]]:
    """The stretch without the days played, as stretches."""
    found, first = [], one.first.toordinal()
    for day in [*played, date.fromordinal(one.last.toordinal() + 1)]:
        if day.toordinal() > first:
            found.append((date.fromordinal(first), date.fromordinal(day.toordinal() - 1)))
        first = day.toordinal() + 1
    return found


def _words(one: Stretch) -> str:
    days = f"{one.first} to {one.last}" if one.last > one.first else f"{one.first}"
    if one.kind == "missed":
        return f"missed {days}"
    minutes = "" if one.minutes is None else f", {one.minutes} minutes a day"
    return f"{one.title or 'short of time'} {days}{minutes}"


def _aside(folder: Path, player_id: str) -> Path:
    path = told_file(folder, player_id)
    return path.with_name(f"{path.stem}.taken-back.json")


def _write(folder: Path, player_id: str, told: Iterable[Telling]) -> None:
    path, kept = told_file(folder, player_id), tuple(told)
    if kept:
        write_whole(path, _text(player_id, kept))
        return
    try:
        path.unlink(missing_ok=True)
    except OSError as trouble:
        raise CannotWrite(f"{path} cannot be removed: {trouble.strerror}") from trouble


def _text(player_id: str, told: Iterable[Telling]) -> str:
    body = {"format": FORMAT, "player": player_id, "told": [_plain(telling) for telling in told]}
    return json.dumps(body, ensure_ascii=False, indent=1) + "\n"


def _plain(telling: Telling) -> dict[str, Any]:
    return {
        "on": telling.on.isoformat(),
        "after": telling.after,
        "pins": telling.pins,
        "stretches": [_plain_stretch(one) for one in telling.stretches],
    }


def _plain_stretch(one: Stretch) -> dict[str, Any]:
    """A stretch with what it says and no more."""
    found: dict[str, Any] = {"kind": one.kind, "from": one.first.isoformat(), "to": one.last.isoformat()}
    found |= {"title": one.title} if one.title else {}
    found |= {"minutes": one.minutes} if one.minutes is not None else {}
    found |= {"top_note": one.top_note} if one.top_note is not None else {}
    found |= {"without": list(one.without)} if one.without else {}
    if one.ease is not None:
        eased = {"warm_up": one.warm_up, "notches": one.notches, "semitones": one.semitones}
        found["ease"] = {"shares": list(one.ease), **eased}
    return found


def _read(path: Path) -> tuple[Telling, ...]:
    """The tellings of a file; `BadData` where a hand has made it something else."""
    try:
        text = path.read_text(encoding="utf-8")
    except (FileNotFoundError, NotADirectoryError):
        return ()
    except (OSError, UnicodeDecodeError) as trouble:
        raise DiaryTrouble(f"{path} cannot be read") from trouble
    try:
        return _tellings(json.loads(text))
    except json.JSONDecodeError as trouble:
        raise BadData(
            (Fault(str(path), trouble.lineno, trouble.colno, f"no JSON: {trouble.msg}"),)
        ) from trouble
    except (KeyError, TypeError, ValueError) as trouble:
        what = f"{trouble} is missing" if isinstance(trouble, KeyError) else str(trouble)
        raise BadData(
            (Fault(str(path), 0, 0, what, "move it away: what was told counts no more then"),)
        ) from trouble


def _tellings(body: Mapping[str, Any]) -> tuple[Telling, ...]:
    if body["format"] != FORMAT:
        raise ValueError(f"its format is {body['format']!r}, this program reads {FORMAT!r}")
    return tuple(_telling(one) for one in body["told"])


def _telling(one: Mapping[str, Any]) -> Telling:
    stretches = tuple(_stretch(each) for each in one["stretches"])
    return Telling(date.fromisoformat(one["on"]), int(one["after"]), stretches, int(one.get("pins", 0)))


def _stretch(one: Mapping[str, Any]) -> Stretch:
    if one["kind"] not in KINDS:
        raise ValueError(f"there is no kind {one['kind']!r}; there are {', '.join(KINDS)}")
    for name in ("minutes", "top_note"):
        if not isinstance(one.get(name), int | None):
            raise TypeError(f"{name} {one[name]!r} is no whole number")
    ease = one.get("ease")
    first, last = date.fromisoformat(one["from"]), date.fromisoformat(one["to"])
    if last < first:
        raise ValueError(f"a stretch ends on {last}, before it begins on {first}")
    found = Stretch(
        kind=one["kind"],
        first=first,
        last=last,
        title=str(one.get("title", "")),
        minutes=one.get("minutes"),
        top_note=one.get("top_note"),
        without=tuple(one.get("without", ())),
    )
    if ease is None:
        return found
    return replace(
        found,
        ease=tuple(int(share) for share in ease["shares"]),
        warm_up=int(ease["warm_up"]),
        notches=int(ease["notches"]),
        semitones=int(ease["semitones"]),
    )
