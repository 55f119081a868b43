"""Inputs under which the plan of `shelf.SMALL` and `shelf.WEEK` is no longer sound."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Callable
from typing import Any

from plan.verify.shelf import Inputs, rated

from planner.inputs.player import Limit, Missed, OtherPlaying, OwnMusic, SpecialDate

WEDNESDAY = dt.date(2026, 9, 9)
THURSDAY = dt.date(2026, 9, 10)


@dataclasses.dataclass(frozen=True)
class OtherInputs:
    """Inputs under which the plan is no longer sound, and the rule that notices."""

    words: str
    rule: str
    change: Callable[[Inputs], Inputs]


def other_player(**fields: object) -> Callable[[Inputs], Inputs]:
    """The same inputs with some fields of the player changed."""
    return lambda inputs: dataclasses.replace(inputs, player=dataclasses.replace(inputs.player, **fields))  # type: ignore[arg-type]


def other_ratings(*ratings: Any) -> Callable[[Inputs], Inputs]:
    """The same inputs with ratings added."""
    return lambda inputs: dataclasses.replace(inputs, ratings=inputs.ratings + ratings)


def on(kind: str, first: dt.date) -> SpecialDate:
    """A special date of one day."""
    return SpecialDate(kind, first, first, "", None)  # type: ignore[arg-type]


def limit(**fields: Any) -> Limit:
    """A limit on Wednesday and Thursday."""
    blank = {
        "title": "",
        "first": WEDNESDAY,
        "until": THURSDAY,
        "top_note": None,
        "minutes": None,
        "without": (),
    }
    return Limit(**(blank | fields))


INPUTS = (
    OtherInputs(
        "a missed day that is no free date",
        "told",
        other_player(missed=(Missed(dt.date(2026, 8, 20), dt.date(2026, 8, 20), (), None),)),
    ),
    OtherInputs("Monday is short", "minutes", other_player(minutes=(18, 0, 30, 0, 20, 0, 0))),
    OtherInputs("the lip carries less", "load", other_player(load_per_minute=0.4)),
    OtherInputs(
        "a rehearsal on Tuesday",
        "two days' load",
        other_player(load_per_minute=0.5, playing=(OtherPlaying("Band", (1,), 30, 0.5, 1),)),
    ),
    OtherInputs(
        "a rehearsal beside range",
        "heavy days",
        other_player(playing=(OtherPlaying("Band", (2,), 9, 0.5, 1),)),
    ),
    OtherInputs("two blocks a day", "blocks", other_player(blocks_a_day=2)),
    OtherInputs("blocks of three minutes", "blocks", other_player(minutes_a_block=3)),
    OtherInputs("a concert on Wednesday", "concerts", other_player(dates=(on("concert", WEDNESDAY),))),
    OtherInputs("a concert on Thursday", "concerts", other_player(dates=(on("concert", THURSDAY),))),
    OtherInputs(
        "an audition on Friday", "concerts", other_player(dates=(on("audition", dt.date(2026, 9, 11)),))
    ),
    OtherInputs("Wednesday is free", "frame", other_player(dates=(on("free", WEDNESDAY),))),
    OtherInputs("braces on Wednesday", "limits", other_player(limits=(limit(top_note=70),))),
    OtherInputs("no range on Wednesday", "limits", other_player(limits=(limit(without=("range",)),))),
    OtherInputs(
        "own music that fits", "music", other_player(music=(OwnMusic("waltz", "", "", 5, (), None, None, 2),))
    ),
    OtherInputs("a smaller range", "scope", other_player(high=74)),
    OtherInputs("five known notes", "scope", other_player(known_notes=(60, 62, 64, 65, 67))),
    OtherInputs("a later start", "scope", other_player(starts=dt.date(2026, 9, 7))),
    OtherInputs("a shorter breath", "facts", other_player(breath_seconds=9.0)),
    OtherInputs("bolder targets", "targets", other_player(boldness=0.5)),
    OtherInputs(
        "another order of articulations", "wanted turns", other_player(articulation_order=("tongued",))
    ),
    OtherInputs("no span of the player's own", "capacity", other_player(spans={})),
    OtherInputs(
        "a rating more",
        "wanted turns",
        other_ratings(rated(dt.date(2026, 9, 6), "quiet-thirds/a/c-major", "slurred")),
    ),
    OtherInputs(
        "a first rating", "states", other_ratings(rated(dt.date(2026, 9, 6), "long-bells/a/3-4-5", "slurred"))
    ),
    OtherInputs("another curriculum's week", "head", other_player(starts=dt.date(2026, 8, 3))),
)
