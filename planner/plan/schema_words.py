"""What every field of a plan is, in words with its unit: the text of the plan's JSON Schema.

A field's limits (least, most, the words it may take) stand beside its text.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, get_args

from planner.brass.tempo import Beat
from planner.inputs.curriculum import Articulation, Family, Measure
from planner.plan.schema_types import (
    Before,
    CapacityNote,
    CoverageNote,
    Excluded,
    InputFile,
    Left,
    MadeWith,
    RuleNote,
    SolverNote,
)
from planner.plan.weekplan import (
    FORMAT,
    CleanTempoFigures,
    CombinationState,
    PlanDay,
    PlanItem,
    Stage,
    WeekPlan,
)

SHA256 = "^[0-9a-f]{64}$"

HEAD = (
    f"One plan of one player's practice, from first_day to last_day ({FORMAT}). Seconds are whole unless "
    "said otherwise; dates are ISO dates; notes are written MIDI numbers; load is minutes of playing x "
    "intensity (1 to 5). Every field is always there: one that does not apply is 0, an empty text or list, "
    "or null where null is allowed. Fields may be added within this format; none is taken away or changed."
)


def _words(text: str, **limits: Any) -> dict[str, Any]:
    return {"description": text, **{name.rstrip("_"): limit for name, limit in limits.items()}}


def _one_of(text: str, *words: str) -> dict[str, Any]:
    return {"description": text, "enum": list(words)}


_COMBINATION = "id of the combination: exercise/pattern/place, with /articulation where those are kept apart"
_TURN_BY = "last day of the span of this combination"
_LAST = "day of its last rating, null before the first"
_STATES = ("new", "in work", "kept up")

FIELDS: Mapping[type, Mapping[str, dict[str, Any]]] = {
    PlanItem: {
        "id": _words("block letter and number in it, as on the stand: B2", pattern="^[A-Z]{1,2}[0-9]+$"),
        "block": _words("rehearsal letter of the block", pattern="^[A-Z]{1,2}$"),
        "kind": _one_of("play; rest is kept for a pause that is an entry of its own", "play", "rest"),
        "family": _one_of("family of the exercise", *get_args(Family)),
        "measure": _one_of("what a rating of it is about", *get_args(Measure)),
        "exercise": _words("id of the exercise, of the own music, or warm-up, warm-down"),
        "title": _words("title as printed"),
        "pattern": _words("name of the pattern"),
        "place": _words("cycle of positions (5-6-7) or key (a-flat-major) as the curriculum names it"),
        "combination": _words(f"{_COMBINATION}; empty for warm-up, warm-down and own music"),
        "articulation": _one_of("articulation of this turn", "", *get_args(Articulation)),
        "at": _words("seconds from the beginning of the routine"),
        "seconds": _words("seconds in all: playing, pauses between breaths, pause after it"),
        "play_seconds": _words("seconds of playing"),
        "breath_pauses_seconds": _words("seconds between its breaths"),
        "pause_seconds": _words("seconds after it: rest, or the set-up of the next exercise if longer"),
        "breath_seconds": _words("seconds of one breath, three decimals"),
        "go": _words("1, or 2 for the second go of a combination on one day", minimum=1, maximum=2),
        "goes": _words("goes in this entry, always 1", const=1),
        "rounds": _words("how often each place of the cycle is played"),
        "passes": _words("passes of the figure in one breath"),
        "passes_wanted": _words("passes in a breath that the exercise asks for"),
        "bars": _words("bars of one pass"),
        "eighths_per_bar": _words("eighths in a bar"),
        "meter": _words("meter as written: 5/8"),
        "grouping": _words("beats of a bar as they are grouped: 2, 3"),
        "notation": _words("figure as the curriculum writes it"),
        "keys": _words("written keys in playing order: A-flat major"),
        "positions": _words("positions its notes touch, from 1 for the open tube", items_minimum=1),
        "fingerings": _words("valves or slide of the first note at each place"),
        "first_note": _words("written first note: B♭4"),
        "beat": _one_of("beat of the tempo", "", *get_args(Beat)),
        "tempo": _words("mark to play at, in beats a minute; null without one", minimum=40, maximum=208),
        "tempo_first": _words("first tempo of the exercise, in beats a minute; of own music the slowest"),
        "tempo_goal": _words("goal of the exercise, in beats a minute; of own music the fastest"),
        "target": _words("seconds to hold (measure seconds), top note (measure top note), else 0"),
        "lowest": _words("lowest written note, MIDI", maximum=127),
        "highest": _words("highest written note, MIDI", maximum=127),
        "intensity": _words("lip work, 1 light to 5 heavy", minimum=1, maximum=5),
        "load": _words("minutes of playing x intensity, three decimals"),
        "need": _words("how much it wants practice, thousandths of 1", maximum=1),
        "clean_tempo": _words("estimate behind the target; null where there is none"),
        "state": _one_of("state of the combination this week", "", *_STATES),
        "wanted": _words("whether its span ends within the week"),
        "turn_by": _words(f"{_TURN_BY}; null without one"),
        "last_played": _words(_LAST),
        "pinned": _words("whether a pin holds it on this day"),
        "reasons": _words("why it is here, most telling first"),
    },
    CleanTempoFigures: {
        "mean": _words("mean, in notches (1/16 octave of tempo) from the goal", signed=True),
        "sd": _words("spread, in notches"),
        "success": _words("probability that it is clean at the target", maximum=1),
    },
    PlanDay: {
        "date": _words("the day"),
        "title": _words("concert or audition of the day, empty on an ordinary one"),
        "seconds_free": _words("seconds there are, pauses included"),
        "available_seconds": _words("seconds for blocks, beside warm-up, warm-down and own music"),
        "seconds_used": _words("seconds of all items"),
        "load": _words("load of everything played that day, rehearsals included, three decimals"),
        "load_limit": _words("most load of the day, three decimals"),
        "load_two_days": _words("load of the day before and this day, three decimals"),
        "load_two_days_limit": _words("most load of the two, three decimals"),
        "playing_load": _words("load of rehearsals and lessons, three decimals"),
        "notes": _words("what is special about the day"),
        "without": _words("families that limits leave out"),
        "items": _words("routine in playing order; entries of one block stand together"),
    },
    Stage: {
        "goal": _words(
            "what the stage looked for: turns (cost), changes (after a missed stretch), value, evenness"
        ),
        "value": _words("figure reached", signed=True),
        "bound": _words("proven bound: no plan is better than this", signed=True),
        "status": _one_of("whether value and bound meet", "proven", "not proven", "stopped"),
    },
    CombinationState: {
        "combination": _words(_COMBINATION),
        "state": _one_of("state this week", *_STATES),
        "need": _words("need in thousandths", maximum=1000),
        "since": _words("practice days since its last turn, at most 60; 24 where never met", maximum=60),
        "value": _words("what its first turn of the week is worth, thousandths"),
        "value_again": _words("what each further turn is worth, thousandths"),
        "turn_by": _words(f"{_TURN_BY}; null where no practice day is in sight"),
        "last_played": _words(_LAST),
        "articulations": _words("articulations in the order of this week's turns"),
        "wanted": _words("whether its span ends within the week"),
    },
    MadeWith: {"planner": _words("version of the program"), "ortools": _words("version of the solver")},
    InputFile: {
        "name": _words("player, curriculum or ratings"),
        "sha256": _words("digest of the file's bytes", pattern=SHA256),
    },
    CapacityNote: {
        "items_per_week": _words("items that the week carries"),
        "granted_span_days": _words("days that what is kept up may rest"),
        "sentence": _words("the same for the player"),
        "proof": _words("the arithmetic behind it"),
        "fits": _words("whether a quarter of the items stays free"),
    },
    RuleNote: {
        "hard": _words("hard rules are never broken"),
        "broken": _words("breaches"),
        "cost": _words("what the breaches cost"),
        "sentence": _words("the rule as a teacher says it"),
        "parameters": _words("prices of a breach"),
    },
    SolverNote: {
        "stages": _words("stages in their order"),
        "work": _words("work of the solver, in its own repeatable units"),
        "stopped_by": _words("what ended it: proof, work limit, safety clock, Ctrl-C"),
    },
    Left: {
        "combination": _words(_COMBINATION),
        "reason": _words("why it has no turn"),
        "expected": _words("first practice day after the week, null where none is in sight"),
    },
    CoverageNote: {
        "wanted": _words("combinations that want a turn"),
        "met": _words("those that get one"),
        "left": _words("the others"),
    },
    Excluded: {"combination": _words(_COMBINATION), "reason": _words("why it is not for this player now")},
    Before: {
        "date": _words("the day"),
        "load": _words("its load, rehearsals included, three decimals"),
        "heavy": _words("whether a heavy family was played"),
        "combinations": _words("combinations with a rating"),
    },
    WeekPlan: {
        "player": _words("id of the player"),
        "name": _words("name of the player"),
        "instrument": _words("id of the instrument"),
        "curriculum": _words("id of the curriculum"),
        "curriculum_title": _words("its title"),
        "curriculum_week": _words("week of the curriculum, from 1; below before it starts", signed=True),
        "curriculum_weeks": _words("weeks it has", minimum=1),
        "highest": _words("highest written note the player has, MIDI", maximum=127),
        "known_notes": _words("written notes a beginner has, MIDI; empty where a range says it"),
        "longest_position": _words("longest position within reach", minimum=1),
        "anchor": _words("Monday from which the player's relative dates count"),
        "first_day": _words("first day planned"),
        "last_day": _words("last day planned, at most six days later"),
        "seed": _words("seed of the solver; the same inputs, version and seed give the same plan"),
        "made_with": _words("versions"),
        "inputs": _words("files the plan was made from"),
        "diary_digest": _words("digest over the ratings of earlier days", pattern=SHA256),
        "ratings_from": _one_of("where those ratings stand", "diary", "file", "none"),
        "capacity": _words("what the minutes carry"),
        "rules": _words("every rule by its name"),
        "solver": _words("how the plan was found"),
        "coverage": _words("turns wanted and met"),
        "combinations": _words("every combination in scope and what the week wants of it"),
        "pairs": _words("kept for pairs of exercise and key or position; empty"),
        "excluded": _words("what is out of scope"),
        "pins": _words("what the player fixed on a day"),
        "before": _words("the day before"),
        "days": _words("the days in order", minItems=1, maxItems=7),
    },
}
"""Text and limits of every field of every object. Numbers are not negative unless `signed`."""
