"""What the options of `planner rebalance` tell: missed and short stretches, limits with an end, a cap."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import cast

from planner.cli.desk import Desk, read_day
from planner.diary.told import Stretch
from planner.errors import UsageError

LONGEST_DAYS = 92
MOST_MINUTES = 600
SHARES = range(10, 101)
WARM_UP, SEMITONES = 2, 3
"""What holds on the way back where nothing else is said [common practice, no source]."""


@dataclass(frozen=True, slots=True)
class Said:
    """The options as they were typed."""

    missed: tuple[str, ...]
    minutes: int | None
    first: str | None
    last: str | None
    cap: int | None
    until: str | None
    limit: str | None
    top_note: str | None
    without: str | None
    ease: str | None
    warm_up: int
    semitones: int


def stretches_of(said: Said, place: Desk) -> tuple[Stretch, ...]:
    """What the options say, as stretches; `UsageError` where they say nothing or too much."""
    found = [_missed(word, said) for word in said.missed]
    if said.limit is not None:
        found.append(_limit(said, place.day))
    elif said.minutes is not None:
        found.append(_short(said, place.day))
    elif said.first or said.last or said.top_note or said.without:
        raise UsageError("--from, --to, --top-note and --without need --minutes or --limit")
    _nothing_passed_over(said)
    if said.cap is not None:
        found.append(_capped(said, found, place.day))
    if not found:
        raise UsageError(
            "nothing was said to be missed", f"planner rebalance --missed {place.day}, or a stretch with .."
        )
    return tuple(found)


def _nothing_passed_over(said: Said) -> None:
    """`UsageError` for what was typed and belongs to nothing that was."""
    if said.limit is None and (said.top_note or said.without):
        raise UsageError("--top-note and --without belong to a limit", 'give it a name: --limit "braces"')
    if said.limit is None and said.cap is None and said.until:
        raise UsageError("--until is the last day of --cap or --limit", "a short stretch ends with --to")
    if not said.missed and _eased(said):
        raise UsageError("--ease, --longer-warm-up and --top-note-lower belong to --missed")


def _eased(said: Said) -> bool:
    """Whether the way back was told, so that the length of the break does not decide."""
    return (said.ease, said.warm_up, said.semitones) != (None, WARM_UP, SEMITONES)


def _missed(word: str, said: Said) -> Stretch:
    first, dots, last = word.partition("..")
    if dots and not last:
        raise UsageError(f"--missed {word[:40]} has no last day", "write it like 2026-10-05..2026-10-11")
    start = _day(first)
    found = Stretch("missed", start, _day(last) if last else start)
    if not _eased(said):
        return _checked(found)  # the length of the break decides
    eased = replace(
        found,
        ease=_shares(said.ease or "75,90,100"),
        warm_up=_number("--longer-warm-up", said.warm_up, 30),
        semitones=_number("--top-note-lower", said.semitones, 24),
    )
    return _checked(eased)


def _shares(text: str) -> tuple[int, ...]:
    if text.strip().lower() == "none":
        return ()
    parts = [part.strip().rstrip("%") for part in text.split(",")]
    if len(parts) > 14 or not all(
        part.isascii() and part.isdigit() and int(part) in SHARES for part in parts
    ):
        raise UsageError(
            f"--ease {text[:40]!r} is not understood", "per cent with commas, like 75,90,100; or none"
        )
    return tuple(int(part) for part in parts)


def _short(said: Said, today: date) -> Stretch:
    if said.last is None:
        raise UsageError("--minutes needs the last day of the short stretch", "--to 2026-10-16")
    minutes = _number("--minutes", said.minutes or 0, MOST_MINUTES)
    first = _day(said.first) if said.first else today
    return _checked(Stretch("short", first, _day(said.last), "short of time", minutes))


def _limit(said: Said, today: date) -> Stretch:
    end = said.until or said.last
    if end is None:
        raise UsageError("a limit needs an end", "--until 2026-11-30")
    minutes = None if said.minutes is None else _number("--minutes", said.minutes, MOST_MINUTES)
    top, families = _note(said.top_note), _families(said.without)
    if minutes is None and top is None and not families:
        raise UsageError("a limit says at least one thing", "--minutes, --top-note or --without")
    first = _day(said.first) if said.first else today
    title = " ".join((said.limit or "").split())[:60] or "limit"
    return _checked(Stretch("limit", first, _day(end), title, minutes, top, families))


def _capped(said: Said, found: Sequence[Stretch], today: date) -> Stretch:
    """The clinician's cap holds from the day after the last missed one; from today on without one."""
    if said.until is None:
        raise UsageError("--cap needs its last day", "--until 2026-10-25")
    ends = [one.last + timedelta(days=1) for one in found if one.kind == "missed"]
    minutes = _number("--cap", cast("int", said.cap), MOST_MINUTES)
    return _checked(Stretch("limit", max(ends, default=today), _day(said.until), "clinician's cap", minutes))


def _note(text: str | None) -> int | None:
    if text is None:
        return None
    from planner.brass.keys import parse_pitch
    from planner.brass.names import BadName

    try:
        return parse_pitch(text).midi
    except BadName as error:
        raise UsageError(f"--top-note {text[:40]!r}: {error}", error.hint) from error


def _families(text: str | None) -> tuple[str, ...]:
    from typing import get_args

    from planner.inputs.curriculum import Family

    words = tuple(word.strip().lower() for word in (text or "").split(",") if word.strip())
    known = get_args(Family)
    for word in words:
        if word not in known:
            raise UsageError(f"--without {word[:40]!r} is no family", ", ".join(known))
    return words


def _number(name: str, value: int, most: int) -> int:
    if not 0 <= value <= most:
        raise UsageError(f"{name} {value} is out of range", f"0 to {most}")
    return value


def _day(text: str) -> date:
    return read_day(text.strip(), date.today())  # noqa: DTZ011 - the wall calendar's


def _checked(one: Stretch) -> Stretch:
    if one.last < one.first:
        raise UsageError(f"the stretch ends on {one.last}, before it begins on {one.first}")
    if one.kind != "limit" and (one.last - one.first).days >= LONGEST_DAYS:
        raise UsageError(
            f"{one.first} to {one.last} is longer than {LONGEST_DAYS} days", "a new term begins anew"
        )
    return one
