"""rebalance: what was missed or will be short is told, and the weeks from today on are planned again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Annotated, Any, cast

import typer

from planner.cli.desk import Desk, desk, read_day
from planner.cli.plan import DATE, DIARY, JSON, PLAIN, PLAYER
from planner.cli.planning import Progress, ctrl_c, input_files, request_for
from planner.cli.run import STOPPED, put, say, screen
from planner.cli.scales import quiet_threads
from planner.diary.pins import last_step
from planner.diary.plans import can_save, load_plan, save_plan
from planner.diary.told import INPUT, Stretch, Telling, digest_of_told, tell, tellings
from planner.errors import UsageError

LONGEST_DAYS = 92
MOST_MINUTES = 600
SHARES = range(10, 101)
WARM_UP, SEMITONES = 2, 3
"""What holds on the way back where nothing else is said [common practice, no source]."""


@dataclass(frozen=True, slots=True)
class _Said:
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


def rebalance(
    missed: Annotated[
        list[str] | None,
        typer.Option("--missed", help="A day or a stretch, 2026-10-05..2026-10-11; may stand several times."),
    ] = None,
    minutes: Annotated[
        int | None, typer.Option("--minutes", help="Minutes a day of a short stretch, or of a limit.")
    ] = None,
    first: Annotated[str | None, typer.Option("--from", help="Its first day; else today.")] = None,
    last: Annotated[str | None, typer.Option("--to", help="Its last day.")] = None,
    cap: Annotated[
        int | None,
        typer.Option("--cap", help="After an illness: the minutes a day that the clinician allows."),
    ] = None,
    until: Annotated[
        str | None, typer.Option("--until", help="The last day of the cap or the limit.")
    ] = None,
    limit: Annotated[
        str | None, typer.Option("--limit", help='A limit with an end by its name, like "braces".')
    ] = None,
    top_note: Annotated[
        str | None, typer.Option("--top-note", help="Nothing above this written note.")
    ] = None,
    without: Annotated[
        str | None, typer.Option("--without", help="Families left out: range,articulation.")
    ] = None,
    ease: Annotated[
        str | None,
        typer.Option("--ease", help="Per cent of the minutes of the first days back: 75,90,100; or none."),
    ] = None,
    warm_up: Annotated[
        int, typer.Option("--longer-warm-up", help="Minutes by which the warm-up of these days is longer.")
    ] = WARM_UP,
    semitones: Annotated[
        int,
        typer.Option("--top-note-lower", help="Semitones by which the top note of the first day is lower."),
    ] = SEMITONES,
    dry_run: Annotated[bool, typer.Option("--dry-run", help="Show it and store nothing.")] = False,
    player: Annotated[str | None, PLAYER] = None,
    day: Annotated[str | None, DATE] = None,
    json: Annotated[bool, JSON] = False,
    plain: Annotated[bool, PLAIN] = False,
    diary: Annotated[str | None, DIARY] = None,
) -> None:
    r"""After a missed week: a new plan that changes little, eases back in and says what moved.

    \b
    planner rebalance --missed 2026-10-05..2026-10-11
    planner rebalance --missed 2026-10-06 --missed 2026-10-08 --dry-run
    planner rebalance --minutes 15 --from 2026-10-12 --to 2026-10-16
    planner rebalance --missed 2026-10-05..2026-10-11 --cap 20 --until 2026-10-25
    planner rebalance --limit braces --until 2026-11-30 --top-note E5 --without range

    What the diary has of a missed day counts as played. planner undo takes the last one back.
    """
    place = desk(player, day, diary)
    how = (ease, warm_up, semitones)
    said = _Said(tuple(missed or ()), minutes, first, last, cap, until, limit, top_note, without, *how)
    stretches = _stretches(said, place)
    told = tellings(place.data, place.player_id)
    telling = Telling(place.day, _last_entry(place), stretches, last_step(place.data, place.player_id))
    if not dry_run:
        can_save(place.data, place.player_id)  # what cannot be stored is said before anything is planned
    found, interrupted = _planned(place, told, telling)
    stored = not dry_run and not interrupted
    if stored:
        tell(place.data, place.player_id, telling)
        save_plan(place.data, place.player_id, found.plans[0])
    _show(place, telling, found, stored=stored, json=json, plain=plain)
    if interrupted:
        say("stopped by Ctrl-C: this is the best checked plan so far, not proven and not stored")
        raise typer.Exit(STOPPED)


def _last_entry(place: Desk) -> int:
    from planner.diary.store import Diary

    with Diary.open(place.data) as book:
        return book.last_batch(place.player_id)


def _planned(place: Desk, told: tuple[Telling, ...], telling: Telling) -> tuple[Any, bool]:
    """The new weeks, and whether Ctrl-C ended their making."""
    quiet_threads()
    with ctrl_c() as stop:
        from planner.horizon.before import Situation
        from planner.horizon.rebalance import rebalance as again
        from planner.plan.solve.returning import LIMITS

        files = {name: path for name, path in input_files(place).items() if name != INPUT}
        plain = place.plain_player()
        request = request_for(place, files, None, place.day, None)
        after = place.with_told(plain, (*told, telling))
        digest = {"name": INPUT, "sha256": digest_of_told(place.player_id, (*told, telling))}
        request = replace(request, player=after, inputs=(*request.inputs, digest))
        situation = Situation(
            request=request,
            before=place.with_told(plain, told),
            missed=_missed_days(after, telling),
            stored=lambda one: load_plan(place.data, place.player_id, one),
        )
        found = again(situation, LIMITS, Progress().say, stop)
    return found, found.plans[0]["solver"]["stopped_by"] == "Ctrl-C"


def _missed_days(after: Any, telling: Telling) -> tuple[date, ...]:
    """The days that this telling says were missed, without those that the diary knows better."""
    played = {day for one in after.missed for day in one.played}
    spans = [one for one in telling.stretches if one.kind == "missed"]
    days = {one.first + timedelta(n) for one in spans for n in range((one.last - one.first).days + 1)}
    return tuple(sorted(days - played))


def _show(place: Desk, telling: Telling, found: Any, *, stored: bool, json: bool, plain: bool) -> None:
    from planner.horizon.rebalance_json import rebalance_json

    data = rebalance_json(found, place.player_id, telling, place.day, stored=stored)
    if json:
        from planner.plan.weekplan import dumps

        put(dumps(data))
        return
    from planner.show.rebalance import rebalance_text

    look = screen()
    put(rebalance_text(data, width=look.width, colour=look.colour, plain=plain))


def _stretches(said: _Said, place: Desk) -> tuple[Stretch, ...]:
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


def _nothing_passed_over(said: _Said) -> None:
    """`UsageError` for what was typed and belongs to nothing that was."""
    if said.limit is None and (said.top_note or said.without):
        raise UsageError("--top-note and --without belong to a limit", 'give it a name: --limit "braces"')
    if said.limit is None and said.cap is None and said.until:
        raise UsageError("--until is the last day of --cap or --limit", "a short stretch ends with --to")
    if not said.missed and _eased(said):
        raise UsageError("--ease, --longer-warm-up and --top-note-lower belong to --missed")


def _eased(said: _Said) -> bool:
    """Whether the way back was told, so that the length of the break does not decide."""
    return (said.ease, said.warm_up, said.semitones) != (None, WARM_UP, SEMITONES)


def _missed(word: str, said: _Said) -> Stretch:
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


def _short(said: _Said, today: date) -> Stretch:
    if said.last is None:
        raise UsageError("--minutes needs the last day of the short stretch", "--to 2026-10-16")
    minutes = _number("--minutes", said.minutes or 0, MOST_MINUTES)
    first = _day(said.first) if said.first else today
    return _checked(Stretch("short", first, _day(said.last), "short of time", minutes))


def _limit(said: _Said, today: date) -> Stretch:
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


def _capped(said: _Said, found: Sequence[Stretch], today: date) -> Stretch:
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
