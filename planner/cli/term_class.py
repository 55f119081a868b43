"""A term for a class profile: every pupil's, or one pupil's. Nothing is stored: a class keeps no diary."""

from __future__ import annotations

import json as text_json
import sys
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

from planner.cli.desk import read_day, read_monday
from planner.cli.planning import Progress
from planner.cli.run import put, say, screen, when_stopped
from planner.cli.scales import quiet_threads
from planner.cli.term_views import Wanted, print_term
from planner.errors import UsageError
from planner.inputs.class_file import SchoolClass, read_class
from planner.inputs.dates import monday_of
from planner.inputs.player import Player
from planner.inputs.whom import find_class
from planner.paths import data_folder, find_curriculum
from planner.show.layout import wrap


def term_of_class(file: str, pupil: str | None, day: str | None, starts: str | None, wanted: Wanted) -> None:
    """Plan and print the terms of a class, from its first week on, as for pupils who have met nothing yet."""
    clock = date.today()  # noqa: DTZ011 - a practice day is the wall calendar's
    meant, path = read_day(day, clock), find_class(file, Path.cwd(), data_folder(None))
    found = read_class(path, monday_of(meant))
    begins = read_monday(starts, clock)
    chosen = _chosen(found, pupil)
    terms: list[dict[str, Any]] = []
    with when_stopped(lambda: f"{len(terms)} of {len(chosen)} terms were made, nothing is printed or stored"):
        terms.extend(_planned(one, path, meant, begins) for one in chosen)
    if pupil is not None:
        print_term(terms[0], meant, wanted)
    elif wanted.json:
        body = {"format": "planner.terms/1", "class": found.id, "name": found.name, "terms": terms}
        put(text_json.dumps(body, ensure_ascii=False, indent=1))
    elif wanted.csv or wanted.ics:
        raise UsageError("a table or calendar is one pupil's", f"name one with --pupil: {_names(found)}")
    else:
        _show(found, terms, plain=wanted.plain)


def _chosen(found: SchoolClass, pupil: str | None) -> tuple[Player, ...]:
    if pupil is None:
        return found.pupils
    chosen = tuple(one for one in found.pupils if one.id == pupil)
    if not chosen:
        raise UsageError(f"there is no pupil {pupil[:40]!r} in this class", f"known: {_names(found)}")
    return chosen


def _names(found: SchoolClass) -> str:
    return ", ".join(one.id for one in found.pupils)


def _planned(player: Player, path: Path, meant: date, begins: date | None) -> dict[str, Any]:
    quiet_threads()
    from planner.diary.rows import digest_of
    from planner.horizon.stored import input_digests
    from planner.horizon.term import plan_term
    from planner.horizon.term_request import TermRequest
    from planner.inputs.goals import read_curriculum_for

    curriculum = find_curriculum(player.curriculum, path)
    player = replace(player, starts=begins or player.starts)
    request = TermRequest(
        curriculum=read_curriculum_for(curriculum, player),
        player=player,
        ratings=(),
        first_day=player.starts,
        anchor=monday_of(meant),
        inputs=input_digests({"class": path, "curriculum": curriculum}),
        diary_digest=digest_of(()),
        ratings_from="none",
    )
    return plan_term(request, lambda sentence: _say(f"{player.id}: {sentence}"), Progress().say)


def _say(sentence: str) -> None:
    """A sentence in lines no longer than the screen."""
    say("\n".join(wrap(sentence, screen(sys.stderr).width)))


def _show(found: SchoolClass, terms: list[dict[str, Any]], *, plain: bool) -> None:
    from planner.show.term_class import class_text

    look = screen()
    title = found.name or found.id
    put(class_text(title, terms, width=look.width, colour=look.colour, plain=plain, boxes=look.boxes))
