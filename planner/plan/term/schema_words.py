"""What every field of a term is, in words with its unit: the text of the term's JSON Schema."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from planner.plan.term.termplan import (
    FORMAT,
    Certificate,
    Option,
    TempoStep,
    TermCombination,
    TermDay,
    TermExercise,
    TermItem,
    TermPlan,
    TermWeek,
)

Words = str | tuple[str, dict[str, Any]]

HEAD = (
    f"One term of one player ({FORMAT}): every week of a curriculum laid out in days. Seconds are whole;"
    " dates are ISO dates; load is minutes of playing x intensity (1 to 5); tempos are marks of the"
    " exercise's own beat. Every field is always there."
    " Fields may be added within this format; none is taken away or changed."
)
_COMBINATION = "id of the combination: exercise/pattern/place, with /articulation where those are kept apart"
_SHA = {"pattern": "^[0-9a-f]{64}$"}
_STATES = {"enum": ["new", "in work", "kept up"]}

FIELDS: Mapping[type, Mapping[str, Words]] = {
    TermPlan: {
        "player": "id of the player",
        "name": "name of the player",
        "instrument": "id of the instrument",
        "curriculum": "id of the curriculum",
        "curriculum_title": "title of the curriculum",
        "curriculum_weeks": ("weeks of the curriculum", {"minimum": 1}),
        "starts": "Monday of week 1",
        "anchor": "Monday from which relative dates of the player file count",
        "first_day": "first day that is planned",
        "last_day": "Sunday of the last week of the curriculum",
        "made_with": "versions of the program and its solvers",
        "inputs": "files the term was made from, each with name and sha256",
        "diary_digest": ("SHA-256 over the ratings that counted", _SHA),
        "ratings_from": ("where the ratings stand", {"enum": ["diary", "file", "none"]}),
        "span_weeks": ("weeks within which what is kept up comes back", {"minimum": 1}),
        "free_share": ("share of the minutes that is promised to nothing", {"maximum": 1}),
        "rise_a_turn": "notches by which a turn is assumed to lift a combination in the weeks ahead",
        "capacity": "turns carried by the minutes and turns asked for, proof of the span, why not all is met",
        "certificate": "what is proven",
        "options": "changes that were tried where it does not fit",
        "solver": "cost, proven bound and status of the weeks as solved before any was laid out",
        "exercises": "every exercise through the term",
        "combinations": "every combination through the term",
        "excluded": "combinations that cannot be played, each with its reason",
        "weeks": "the weeks in order",
    },
    TermWeek: {
        "week": ("week of the curriculum", {"minimum": 1}),
        "iso_week": ("week of ISO 8601", {"pattern": "^[0-9]{4}-W[0-9]{2}$"}),
        "first_day": "its first day",
        "last_day": "its Sunday",
        "notes": "what is special about it",
        "practice_days": ("days with free minutes", {"maximum": 7}),
        "items_carried": "items that its minutes carry",
        "seconds_free": "free seconds of its days",
        "seconds_used": "seconds used, pauses, warm-up and own music included",
        "load": "load of its days",
        "load_limit": "sum of the limits of its days",
        "new": "combinations first met in it",
        "returning": "combinations that come back in it",
        "in_work": "combinations in work in it",
        "promised": "combinations whose turn the term promised for it",
        "left": "promised and not laid out",
        "cuts": "turns sent back to the term because the days could not hold them",
        "pairs_missed": "times that an exercise is not met in a key or on a position within two weeks",
        "days": "its days in order",
    },
    TermDay: {
        "date": "its date",
        "title": "title of a special date, empty without one",
        "seconds_free": "free seconds of the clock",
        "seconds_used": "seconds used of them, warm-up, own music and warm-down included",
        "load": "load, warm-up, own music, warm-down and rehearsals included",
        "load_limit": "limit of the load",
        "items": "combinations in playing order",
    },
    TermItem: {
        "combination": _COMBINATION,
        "articulation": "articulation of this turn",
        "state": ("state in this week", _STATES),
        "promised": "whether the term promised this turn; else it goes to what needs it most",
        "tempo": ("metronome mark, null where the measure has none", {}),
        "target": "seconds held or top note (written MIDI) where the measure asks for them, else 0",
        "beat": "beat of the mark, empty without one",
        "at": "seconds from the beginning of the day's practice",
        "seconds": "seconds of all goes, pauses after them included",
        "play_seconds": "seconds of playing",
        "goes": ("in how many goes it is played", {"minimum": 1, "maximum": 2}),
        "load": "load of all goes",
    },
    TermCombination: {
        "combination": _COMBINATION,
        "exercise": "id of the exercise",
        "week": ("week of the curriculum in which it comes in", {"minimum": 1}),
        "meet_by": "Sunday by which it is to be met, null where it was met before the term",
        "met_before": "last day it was played before the term, null where it was not",
        "first_met": "day of its first turn, null where it was met before or never is",
        "turns": "days of its turns",
        "longest_wait_days": "longest wait between turns and to the end, without days lost to holidays",
        "weeks_behind": "weeks by which the first turn comes after its own week, or the end",
        "weeks_over_span": "weeks by which waits go beyond the span, added up",
    },
    TermExercise: {
        "exercise": "id of the exercise",
        "title": "its title",
        "family": "its family",
        "measure": "what its ratings are about",
        "beat": "beat of its marks, empty for held tones",
        "first": "first mark, or first seconds held",
        "goal": "goal",
        "combinations": "how many of its combinations are in reach",
        "turns": "turns in every week",
        "state": "state in every week: new, in work, kept up or empty",
        "steps": "its tempo from its first week on",
    },
    TempoStep: {
        "week": ("week of the curriculum", {"minimum": 1}),
        "planned": "mark (or seconds) on the even way from the first to the goal",
        "expected": "middle target of its turns as laid out, null without one",
    },
    Certificate: {
        "fits": "every combination met by its week and every span held",
        "to_meet": "combinations to be met",
        "met_by_week": "of them, met by their week",
        "met": "of them, met by the end",
        "spans": "combinations with a span to hold",
        "spans_held": "of them, never waiting longer",
        "days_over_minutes": ("days over their minutes", {"const": 0}),
        "days_over_load": ("days over their load", {"const": 0}),
        "weeks_laid_out": "weeks that hold all that is promised for them",
        "weeks_checked": "weeks whose plan passed the check of every rule",
        "cost": "what is given up: 1000 a week behind, 500 a week over the span, 100 a turn for pairs",
        "bound": "the least that any plan of these weeks gives up",
        "empty": "what a term without a turn would give up",
        "gap": "(cost - bound) / (empty - bound), 0 where cost is not above bound",
    },
    Option: {
        "kind": ("what is changed", {"enum": ["minutes", "weeks", "scope"]}),
        "fits": "whether the term fits with it",
        "sentence": "the change and its price in words",
        "amount": "minutes a day, weeks, or combinations",
    },
}
