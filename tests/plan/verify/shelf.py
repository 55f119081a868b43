"""Small inputs for the checker's tests: one curriculum, one player, a few ratings."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, replace

from planner.brass.figures import read_figure
from planner.brass.keys import parse_key
from planner.brass.tempo import Beat, parse_meter
from planner.diary.rating import Rating
from planner.inputs.curriculum import Articulation, Curriculum, Exercise, HoldSpan, Pattern, TempoSpan
from planner.inputs.player import Player

MONDAY = dt.date(2026, 9, 7)
SUNDAY = dt.date(2026, 9, 13)


@dataclass(frozen=True)
class Inputs:
    """What a plan is made from."""

    curriculum: Curriculum
    player: Player
    ratings: tuple[Rating, ...]


def exercise(
    name: str,
    notation: str,
    *,
    family: str = "flexibility",
    kind: str = "partials",
    meter: str = "5/8",
    span: tuple[Beat, int, int] = ("eighth", 88, 160),
    articulations: tuple[Articulation, ...] = ("slurred", "tongued"),
    keys: tuple[str, ...] = (),
    **others: object,
) -> Exercise:
    """One exercise with one pattern "a"; `others` replace single fields."""
    counted = parse_meter(meter)
    pattern = Pattern("a", read_figure(notation, counted, kind), notation)  # type: ignore[arg-type]
    fields: dict[str, object] = {
        "id": name,
        "title": name.replace("-", " ").capitalize(),
        "purpose": "",
        "family": family,
        "measure": "tempo",
        "weeks": (1,),
        "meter": counted,
        "patterns": (pattern,),
        "passes": 4,
        "rounds": 1,
        "articulations": articulations,
        "articulations_are": "alternate",
        "tempos": {word: TempoSpan(*span) for word in articulations},
        "hold": None,
        "cycle": 3 if kind == "partials" else 0,
        "starts": (1, 3, 5) if kind == "partials" else (),
        "keys": tuple(parse_key(key) for key in keys),
        "keys_are": "written",
        "octave": 0,
        "after": (),
        "instruments": (),
        "level": "beginner",
    }
    return Exercise(**(fields | others))  # type: ignore[arg-type]


FIVES = exercise("rolling-fives", "4e> 5e 6e> 5e 4e", weeks=(4, 5))
THIRDS = exercise(
    "quiet-thirds",
    "1q 3 2 4 3 5 1h",
    family="scales",
    kind="degrees",
    meter="4/4",
    span=("quarter", 60, 120),
    articulations=("tongued", "slurred"),
    keys=("C", "F", "Bb", "G"),
    passes=1,
)
BELLS = exercise(
    "long-bells",
    "3w | 3w",
    family="long tones",
    meter="4/4",
    span=("quarter", 60, 60),
    articulations=("slurred",),
    measure="seconds",
    hold=HoldSpan(8, 20),
    passes=1,
)
STEPS = exercise(
    "high-steps",
    "5q 6 5 6 6h 6h",
    family="range",
    meter="4/4",
    span=("quarter", 60, 100),
    passes=1,
    starts=(1, 3),
    weeks=(4,),
)
CURRICULUM = Curriculum("autumn", "Autumn", "Tests", "MIT", 12, (FIVES, THIRDS, BELLS, STEPS))

PLAYER = Player(
    id="ada",
    name="Ada",
    instrument="trumpet",
    level="intermediate",
    curriculum="autumn",
    starts=dt.date(2026, 8, 10),
    minutes=(30, 0, 30, 0, 20, 0, 0),
    low=54,
    high=81,
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
    spans={"kept_up_weeks": 5},
    boldness=0.84,
    blocks_a_day=6,
    minutes_a_block=12,
    families_a_day=3,
    load_per_minute=1.25,
    history="",
)


def rated(day: dt.date, combination: str, articulation: str, at: int = 0) -> Rating:
    """A clean rating at 96."""
    return Rating(day, combination, articulation, 96, None, 4, None, False, at)


RATINGS = (
    rated(dt.date(2026, 8, 3), "quiet-thirds/a/c-major", "tongued"),
    rated(dt.date(2026, 9, 2), "rolling-fives/a/5-6-7", "slurred"),
    rated(dt.date(2026, 9, 4), "rolling-fives/a/1-2-3", "tongued"),
    rated(dt.date(2026, 9, 4), "quiet-thirds/a/f-major", "slurred"),
    rated(dt.date(2026, 9, 4), "long-bells/a/1-2-3", "slurred"),
    rated(dt.date(2026, 9, 4), "high-steps/a/1-2-3", "tongued"),
)

SMALL = Inputs(CURRICULUM, PLAYER, RATINGS)

_B, _F, _T, _S = "long-bells/a/", "rolling-fives/a/", "quiet-thirds/a/", "high-steps/a/"
# Monday, Wednesday, Friday; block by block; what stands twice in a block is new and has two goes.
WEEK = {
    0: (
        (_B + "3-4-5", _B + "1-2-3", _B + "3-4-5"),
        (_F + "3-4-5", _F + "5-6-7", _F + "3-4-5"),
        (_T + "c-major",),
    ),
    2: (
        (_S + "1-2-3",),
        (_B + "5-6-7", _B + "3-4-5", _B + "5-6-7", _B + "3-4-5"),
        (_F + "5-6-7", _F + "1-2-3"),
    ),
    4: (
        (_F + "1-2-3",),
        (_T + "g-major", _T + "b-flat-major", _T + "g-major", _T + "b-flat-major"),
    ),
}


def large() -> Inputs:
    """About 300 combinations of eight exercises, all but twelve met before; six days of 45 minutes."""
    words = ("4e> 5e 6e> 5e 4e", "3e> 4e 5e> 4e 3e", "4e> 3e 4e> 5e 4e", "5e> 4e 3e> 4e 5e")
    partials = [
        exercise(
            f"lips-{name}", words[0], patterns=_patterns(words, "5/8", "partials"), starts=(1, 2, 3, 4, 5)
        )
        for name in ("a", "b", "c", "d")
    ]
    keys = ("C", "F", "Bb", "Eb", "Ab", "Db", "G", "D", "A", "E", "B", "F#")
    lines = ("1q 3 2 4 3 5 1h", "5q 3 4 2 3 1 1h", "1q 2 3 4 5 3 1h", "1q 5 4 3 2 7 1h", "3q 1 4 2 5 3 1h")
    degrees = [
        exercise(
            f"scales-{name}",
            lines[0],
            family=family,
            kind="degrees",
            meter="4/4",
            span=("quarter", 60, 120),
            keys=keys,
            passes=1,
            rounds=4,
            patterns=_patterns(lines, "4/4", "degrees"),
        )
        for name, family in (("a", "scales"), ("b", "arpeggios"), ("c", "intervals"), ("d", "scales"))
    ]
    curriculum = Curriculum("shelf", "Shelf", "Tests", "MIT", 12, (*partials, *degrees))
    player = replace(PLAYER, curriculum="shelf", minutes=(45, 45, 45, 45, 45, 45, 0), high=88)
    names = [
        f"{one.id}/{pattern.name}/{place}"
        for one in curriculum.exercises
        for pattern in one.patterns
        for place in ([key.id for key in one.keys] or [f"{n}-{n + 1}-{n + 2}" for n in one.starts])
    ]
    days = [MONDAY - dt.timedelta(days=2 + index * 7 % 60) for index in range(len(names))]
    met = [
        rated(day, name, "slurred")
        for index, (day, name) in enumerate(zip(days, names, strict=True))
        if index % 25
    ]
    return Inputs(curriculum, player, tuple(met))


def _patterns(lines: tuple[str, ...], meter: str, kind: str) -> tuple[Pattern, ...]:
    return tuple(
        Pattern(name, read_figure(line, parse_meter(meter), kind), line)  # type: ignore[arg-type]
        for name, line in zip("abcdefgh", lines, strict=False)
    )
