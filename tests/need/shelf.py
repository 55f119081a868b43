"""A small shelf, a player and ratings for the tests of what is wanted, built through the types themselves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from planner.brass.figures import read_figure
from planner.brass.keys import Key
from planner.brass.tempo import parse_meter
from planner.diary.rating import Rating
from planner.inputs.curriculum import Curriculum, Exercise, Pattern, TempoSpan
from planner.inputs.player import Limit, OtherPlaying, OwnMusic, Player, SpecialDate
from planner.need.capacity import capacity
from planner.need.clean_tempo import estimate
from planner.need.combinations import Combination, scope
from planner.need.weigh import Wish, wishes

MONDAY = date(2026, 9, 7)
SUNDAY = MONDAY + timedelta(days=6)
MAJORS = {name: Key(fifths, "major") for name, fifths in (("c", 0), ("f", -1), ("g", 1), ("f-sharp", 6))}


def flexibility(name: str = "fives", **changes: Any) -> Exercise:
    """Partials in 5/8, slurred and tongued in turn, 88 to 160, at 1-2-3, 3-4-5 and 5-6-7, all in week 1."""
    meter = parse_meter("5/8", (2, 3))
    notation = "4e> 5e 6e> 5e 4e"
    exercise = Exercise(
        id=name,
        title=name.capitalize(),
        purpose="",
        family="flexibility",
        measure="tempo",
        weeks=(1,),
        meter=meter,
        patterns=(Pattern("a", read_figure(notation, meter, "partials"), notation),),
        passes=4,
        rounds=1,
        articulations=("slurred", "tongued"),
        articulations_are="alternate",
        tempos={word: TempoSpan("eighth", 88, 160) for word in ("slurred", "tongued")},
        hold=None,
        cycle=3,
        starts=(1, 3, 5),
        keys=(),
        keys_are="concert",
        octave=0,
        after=(),
        instruments=(),
        level="beginner",
    )
    return replace(exercise, **changes)


def scales(name: str = "scales", **changes: Any) -> Exercise:
    """Degrees in 4/4, tongued, 60 to 120, in the written keys C, F, G and F sharp, all in week 1."""
    meter = parse_meter("4/4")
    notation = "1e 2e 3e 4e 5q 1q"
    return flexibility(
        name,
        **{
            "family": "scales",
            "meter": meter,
            "patterns": (Pattern("up", read_figure(notation, meter, "degrees"), notation),),
            "passes": 1,
            "articulations": ("tongued",),
            "tempos": {"tongued": TempoSpan("quarter", 60, 120)},
            "cycle": 0,
            "starts": (),
            "keys": tuple(MAJORS.values()),
            "keys_are": "written",
            **changes,
        },
    )


def curriculum(*exercises: Exercise) -> Curriculum:
    """A curriculum of 12 weeks; without arguments the flexibility and the scales above."""
    return Curriculum("shelf", "A shelf", "", "", 12, exercises or (flexibility(), scales()))


def player(**changes: Any) -> Player:
    """A trumpeter, F sharp 3 to C6, 45 minutes from Monday to Saturday, week 1 in the week of MONDAY."""
    one = Player(
        id="ada",
        name="Ada",
        instrument="trumpet",
        level="advanced",
        curriculum="shelf",
        starts=MONDAY,
        minutes=(45, 45, 45, 45, 45, 45, 0),
        low=54,
        high=84,
        known_notes=(),
        breath_seconds=15.0,
        longest_position=7,
        side="F",
        dates=(),
        limits=(),
        music=(),
        playing=(),
        warm_up=None,
        articulation_order=(),
        spans={},
        boldness=0.84,
        blocks_a_day=6,
        minutes_a_block=12,
        families_a_day=3,
        load_per_minute=1.25,
        history="",
    )
    return replace(one, **changes)


def shelf(*exercises: Exercise, who: Player | None = None) -> tuple[Combination, ...]:
    """The playable combinations of a curriculum on MONDAY."""
    return scope(curriculum(*exercises), who or player(), MONDAY).playable


def rated(combination: str, days_ago: int = 1, **fields: Any) -> Rating:
    """A rating so many days before MONDAY; `grade`, `tempo`, `clean`, `value` as given."""
    given = {"articulation": "tongued", "tempo": None, "clean": None, "grade": None, "value": None} | fields
    return Rating(day=MONDAY - timedelta(days=days_ago), combination=combination, **given)


def special(kind: Any, first: date, last: date | None = None, minutes: int | None = None) -> SpecialDate:
    """A date that is not as usual."""
    return SpecialDate(kind, first, last or first, kind, minutes)


def limit(title: str = "braces", first: date = MONDAY, until: date = SUNDAY, **fields: Any) -> Limit:
    """A limit over the week of MONDAY."""
    return Limit(title, first, until, **({"top_note": None, "minutes": None, "without": ()} | fields))


def piece(minutes: int, *days: int, intensity: int = 3, until: date | None = None) -> OwnMusic:
    """A piece of own music, on fixed weekdays or wherever it fits."""
    return OwnMusic("march", "March", "solo", minutes, days, None, until, intensity)


def band(*days: int) -> OtherPlaying:
    """A rehearsal of 120 minutes, 0.55 of them on the lip, intensity 3: a load of 198."""
    return OtherPlaying("Band", days, 120, 0.55, 3)


def wanted(
    ratings: Sequence[Rating] = (), *exercises: Exercise, who: Player | None = None, weeks_on: int = 0
) -> dict[str, Wish]:
    """The wishes of the week of MONDAY, or of a week so many weeks on, by combination."""
    one, first = who or player(), MONDAY + timedelta(weeks=weeks_on)
    last = first + timedelta(days=6)
    found = scope(curriculum(*exercises), one, first, last)
    estimates = estimate(found.written, ratings, first, one)
    room = capacity(found, estimates, ratings, one, first)
    return {wish.id: wish for wish in wishes(found, estimates, ratings, one, first, last, room)}
