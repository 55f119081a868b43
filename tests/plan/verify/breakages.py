"""Ways of breaking a sound plan, each with the rule that should say so.

The plan is the one built from `shelf.SMALL` and `shelf.WEEK`; a change works on a copy of it.
"""

from __future__ import annotations

import copy
import dataclasses
from collections.abc import Callable

from plan.verify.changes import (
    Plan,
    apart,
    day,
    doubled,
    inside,
    item,
    listed,
    music_item,
    put,
    range_last,
    shift,
    swapped,
    tuesday_item,
    without,
)


@dataclasses.dataclass(frozen=True)
class Breakage:
    """What is done to the plan, in words and as a function, and the rule that notices."""

    words: str
    rule: str
    change: Callable[[Plan], object]

    def broken(self, plan: Plan) -> Plan:
        """A broken copy."""
        other = copy.deepcopy(plan)
        self.change(other)
        return other


def heavier(plan: Plan) -> None:
    """Monday's first item weighs a hundredth more than it does."""
    one = item(plan, "Mon B1")
    one["load"] = round(one["load"] + 0.01, 3)


PLANS = (
    Breakage("the format is not named", "shape", lambda plan: plan.pop("format")),
    Breakage("an item lacks a field", "shape", lambda plan: item(plan, "Mon B1").pop("keys")),
    Breakage("a day lacks a field", "shape", lambda plan: day(plan, 6).pop("load")),
    Breakage("the list of combinations is missing", "shape", lambda plan: plan.pop("combinations")),
    Breakage("a tempo is a text", "shape", put("Mon B1", "tempo", "108")),
    Breakage("a go is true", "shape", put("Mon B1", "go", True)),
    Breakage("a load is not a number", "shape", put("Mon B1", "load", float("nan"))),
    Breakage("a date is a week number", "shape", inside("days", 0, "date", value="2026-W37-1")),
    Breakage("two days change places", "shape", lambda plan: plan["days"].reverse()),
    Breakage("the week has six days", "shape", lambda plan: plan["days"].pop()),
    Breakage("coverage does not say what is met", "shape", lambda plan: plan["coverage"].pop("met")),
    Breakage("a day runs over its minutes", "minutes", put("Mon A1", "seconds", 1000)),
    Breakage("seconds_used is not the sum", "day sums", inside("days", 0, "seconds_used", value=1000)),
    Breakage("seconds_free is another day's", "day sums", inside("days", 4, "seconds_free", value=1800)),
    Breakage(
        "available_seconds forgets the warm-down",
        "day sums",
        inside("days", 0, "available_seconds", value=1320),
    ),
    Breakage("an item begins a second early", "clock", put("Mon B2", "at", 700)),
    Breakage("a second of playing is left out", "seconds", put("Mon B1", "play_seconds", 33)),
    Breakage("the set-up is left out", "seconds", put("Mon B3", "pause_seconds", 34)),
    Breakage("the warm-up is shorter", "seconds", put("Mon warm-up", "seconds", 400)),
    Breakage("an item weighs half", "loads", put("Mon B1", "load", 0.8)),
    Breakage("a day weighs less than its items", "loads", inside("days", 0, "load", value=12.0)),
    Breakage("the load limit is raised", "loads", inside("days", 0, "load_limit", value=40.0)),
    Breakage(
        "the two days' load forgets the day before", "loads", inside("days", 3, "load_two_days", value=0.0)
    ),
    Breakage(
        "the two days' limit has no nine tenths",
        "loads",
        inside("days", 0, "load_two_days_limit", value=37.5),
    ),
    Breakage("there is playing nobody has", "loads", inside("days", 1, "playing_load", value=30.0)),
    Breakage("there is no warm-up", "frame", shift(0, without(0))),
    Breakage("there is no warm-down", "frame", shift(0, without(-1))),
    Breakage("the warm-down stands before the last block", "frame", shift(0, swapped(-1, -2))),
    Breakage("something stands on a day without minutes", "frame", tuesday_item),
    Breakage("there is own music nobody has", "music", music_item),
    Breakage("an exercise stands in two places", "blocks", shift(0, apart)),
    Breakage("a block has another's letter", "letters", put("Mon C1", "block", "D")),
    Breakage("two items have one id", "letters", put("Mon B2", "id", "B1")),
    Breakage("an item stands in no block", "letters", put("Mon B2", "block", "")),
    Breakage("range is the last block", "order", shift(2, range_last)),
    Breakage("a new combination has one go", "goes", shift(0, without(3))),
    Breakage("the two goes touch", "goes", shift(0, swapped(2, 3))),
    Breakage("a go is called two goes", "goes", put("Mon B1", "goes", 2)),
    Breakage("what was met before has a second go", "goes", put("Mon B2", "go", 2)),
    Breakage("a combination stands three times a day", "once a day", shift(0, doubled(1))),
    Breakage(
        "what is listed is in no curriculum",
        "scope",
        listed("high-steps/a/3-4-5", "combination", "x/a/1-2-3"),
    ),
    Breakage("what is in scope is not listed", "scope", lambda plan: plan["combinations"].pop()),
    Breakage(
        "a combination is listed twice",
        "scope",
        lambda plan: plan["combinations"].append(plan["combinations"][0]),
    ),
    Breakage(
        "an item's combination is in no curriculum", "scope", put("Mon C1", "combination", "quiet-thirds/a/x")
    ),
    Breakage(
        "what is playable is called excluded",
        "excluded",
        lambda plan: plan["excluded"].append({"combination": "long-bells/a/1-2-3", "reason": "range"}),
    ),
    Breakage(
        "a pin is not in the plan",
        "pins",
        lambda plan: plan["pins"].append({"date": "2026-09-07", "combination": "long-bells/a/5-6-7"}),
    ),
    Breakage("an item is called pinned and no pin says so", "pins", put("Mon B2", "pinned", True)),
    Breakage("a key is another", "facts", put("Mon B2", "keys", ["A-flat major", "G major", "G-flat major"])),
    Breakage("a position is left out", "facts", put("Mon B2", "positions", [5, 6])),
    Breakage("a fingering is another", "facts", put("Mon B2", "fingerings", ["23", "13", "3"])),
    Breakage("the lowest note is an octave down", "facts", put("Mon B2", "lowest", 54)),
    Breakage("the highest note is sounding, not written", "facts", put("Mon B2", "highest", 73)),
    Breakage("the first note is spelled the other way", "facts", put("Mon B2", "first_note", "G♯4")),
    Breakage("the intensity is lower", "facts", put("Mon B2", "intensity", 2)),
    Breakage("a pass is left out", "facts", put("Mon B2", "passes", 3)),
    Breakage("a breath is longer", "facts", put("Mon B2", "breath_seconds", 12.5)),
    Breakage("a bar has four eighths", "facts", put("Mon B2", "eighths_per_bar", 4.0)),
    Breakage("the accents fall otherwise", "facts", put("Mon B2", "grouping", [3, 2])),
    Breakage("the family is another", "facts", put("Mon B2", "family", "scales")),
    Breakage("the goal is lower", "facts", put("Mon B2", "tempo_goal", 152)),
    Breakage("the place is another's", "facts", put("Mon B2", "place", "1-2-3")),
    Breakage("the warm-up has a tempo", "blanks", put("Mon warm-up", "tempo", 60)),
    Breakage("the warm-up goes above the player's range", "blanks", put("Mon warm-up", "highest", 84)),
    Breakage("the warm-down is wanted", "blanks", put("Mon warm-down", "wanted", True)),
    Breakage("the warm-up is heavy", "blanks", put("Mon warm-up", "intensity", 4)),
    Breakage("the item's state is not the list's", "wishes", put("Mon B2", "state", "kept up")),
    Breakage("the item's turn_by is not the list's", "wishes", put("Mon B2", "turn_by", None)),
    Breakage("no reason is given", "reasons", put("Mon B2", "reasons", [])),
    Breakage("the articulation does not change", "alternation", put("Wed C1", "articulation", "tongued")),
    Breakage("a tempo is no mark", "tempos", put("Mon B2", "tempo", 107)),
    Breakage("a tempo is above the goal", "tempos", put("Mon B2", "tempo", 168)),
    Breakage("a tempo is far below the first", "tempos", put("Mon B2", "tempo", 63)),
    Breakage("a tempo is missing", "tempos", put("Mon B2", "tempo", None)),
    Breakage("a tempo is a mark faster than the target", "targets", put("Mon B2", "tempo", 112)),
    Breakage(
        "success does not follow",
        "targets",
        inside("days", 0, "items", 5, "clean_tempo", "success", value=0.9),
    ),
    Breakage("a need is a hundredth lower", "needs", put("Mon B2", "need", 0.49)),
    Breakage("the list's need is lower", "needs", listed("rolling-fives/a/5-6-7", "need", 499)),
    Breakage("a need is over one", "needs", listed("rolling-fives/a/5-6-7", "need", 1001)),
    Breakage("there is no estimate", "estimates", put("Mon B2", "clean_tempo", None)),
    Breakage(
        "an estimate has no spread",
        "estimates",
        inside("days", 0, "items", 5, "clean_tempo", "sd", value=0.0),
    ),
    Breakage("a tone is held beyond the goal", "estimates", put("Mon A1", "target", 21.0)),
    Breakage("what was met is called new", "states", listed("quiet-thirds/a/c-major", "state", "new")),
    Breakage(
        "what is needed most is not in work", "states", listed("rolling-fives/a/5-6-7", "state", "kept up")
    ),
    Breakage("a state has no name", "states", listed("quiet-thirds/a/c-major", "state", "old")),
    Breakage(
        "a turn may wait a day longer",
        "wanted turns",
        listed("quiet-thirds/a/c-major", "turn_by", "2026-09-08"),
    ),
    Breakage(
        "the last turn is another's",
        "wanted turns",
        listed("quiet-thirds/a/c-major", "last_played", "2026-09-04"),
    ),
    Breakage(
        "the order begins with what was last",
        "wanted turns",
        listed("quiet-thirds/a/c-major", "articulations", ["tongued", "slurred"]),
    ),
    Breakage("since counts every day", "wanted turns", listed("quiet-thirds/a/c-major", "since", 35)),
    Breakage(
        "what is wanted is not called so", "wanted turns", listed("quiet-thirds/a/c-major", "wanted", False)
    ),
    Breakage("a value is a point higher", "values", listed("rolling-fives/a/5-6-7", "value", 234)),
    Breakage(
        "a second turn has the value of the first",
        "values",
        listed("rolling-fives/a/5-6-7", "value_again", 233),
    ),
    Breakage(
        "the week carries three times as much", "capacity", inside("capacity", "items_per_week", value=183)
    ),
    Breakage("the week carries next to nothing", "capacity", inside("capacity", "items_per_week", value=3)),
    Breakage("the span is not the player's", "capacity", inside("capacity", "granted_span_days", value=28)),
    Breakage("the plan is another player's", "head", inside("player", value="bea")),
    Breakage("the week is another", "head", inside("curriculum_week", value=4)),
    Breakage("an input has no digest", "digests", inside("inputs", 0, "sha256", value="")),
    Breakage("no inputs are named", "digests", inside("inputs", value=[])),
    Breakage("the diary has no digest", "digests", inside("diary_digest", value="none")),
    Breakage("the solver's version is not named", "digests", lambda plan: plan["made_with"].pop("ortools")),
    Breakage(
        "a hard rule is broken by its own account",
        "rule notes",
        inside("rules", "minutes", "broken", value=1),
    ),
    Breakage(
        "a soft rule costs less than it does", "rule notes", inside("rules", "block size", "cost", value=600)
    ),
    Breakage(
        "a soft rule is broken more often", "rule notes", inside("rules", "block size", "broken", value=9)
    ),
    Breakage(
        "a soft rule has another price",
        "rule notes",
        inside("rules", "block size", "parameters", value={"each": 301}),
    ),
    Breakage("a day is called a concert", "titles", inside("days", 0, "title", value="Concert")),
    Breakage(
        "a limit nobody has leaves out range", "left out", inside("days", 0, "without", value=["range"])
    ),
    Breakage(
        "what is left is expected a day later",
        "coverage",
        inside("coverage", "left", 0, "expected", value="2026-09-15"),
    ),
    Breakage("an item weighs a hundredth more", "loads", heavier),
    Breakage("a hard rule is called soft", "rule notes", inside("rules", "minutes", "hard", value=False)),
    Breakage("more is met than was", "coverage", inside("coverage", "met", value=99)),
    Breakage("what is left is not named", "coverage", lambda plan: plan["coverage"]["left"].pop()),
    Breakage("what is left has no reason", "coverage", inside("coverage", "left", 0, "reason", value="")),
    Breakage(
        "what is left is expected this week",
        "coverage",
        inside("coverage", "left", 0, "expected", value="2026-09-13"),
    ),
    Breakage("the day before is another", "day before", inside("before", "date", value="2026-09-05")),
    Breakage("the day before weighs something", "day before", inside("before", "load", value=5.0)),
    Breakage("the day before was heavy", "day before", inside("before", "heavy", value=True)),
    Breakage("the turns are one cheaper", "stages", inside("solver", "stages", 0, "value", value=1)),
    Breakage("the value is one higher", "stages", inside("solver", "stages", 1, "value", value=9999)),
    Breakage("the value is over its bound", "stages", inside("solver", "stages", 1, "bound", value=1)),
    Breakage(
        "the turns are under their bound", "stages", inside("solver", "stages", 0, "bound", value=10**6)
    ),
    Breakage(
        "what is short of its bound is called proven",
        "stages",
        inside("solver", "stages", 1, "status", value="proven"),
    ),
    Breakage("the first stage is missing", "stages", lambda plan: plan["solver"]["stages"].pop(0)),
)
