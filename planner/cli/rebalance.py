"""rebalance: what was missed or will be short is told, and the weeks from today on are planned again."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Annotated, Any

import typer

from planner.cli.desk import Desk, desk
from planner.cli.plan import DATE, DIARY, JSON, PLAIN, PLAYER
from planner.cli.planning import Progress, ctrl_c, input_files, request_for
from planner.cli.run import STOPPED, put, say, screen
from planner.cli.scales import quiet_threads
from planner.cli.telling import SEMITONES, WARM_UP, Said, stretches_of
from planner.diary.pins import last_step
from planner.diary.plans import can_save, load_plan, save_plan
from planner.diary.told import INPUT, Telling, digest_of_told, tell, tellings


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
    said = Said(tuple(missed or ()), minutes, first, last, cap, until, limit, top_note, without, *how)
    stretches = stretches_of(said, place)
    told = tellings(place.data, place.player_id)
    telling = Telling(place.day, _last_entry(place), stretches, last_step(place.data, place.player_id))
    if not dry_run:
        can_save(place.data, place.player_id)  # what cannot be stored is said before anything is planned
    found, interrupted = _planned(place, told, telling)
    stored = not dry_run and not interrupted
    if stored:
        # the telling last: a plan without it is made anew, a telling without its plan would be told twice
        save_plan(place.data, place.player_id, found.plans[0])
        tell(place.data, place.player_id, telling)
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
