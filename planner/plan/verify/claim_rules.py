"""What the plan says about itself: head, digests, coverage, the day before, the solver's figures.

Readings where the specification leaves room:
- coverage: "wanted" are combinations with a turn_by inside the week or past; "met" are those of them with a
  turn in it; "left" names the others, each expected on the first practice day after the week or, without one
  in sight, on no date;
- the load of the day before must lie between what the slowest and the fastest tempos of the combinations
  rated on it make, because their tempos of today cannot be told from the plan; it may count that day's
  warm-up, own music and warm-down, and what was new in its week may have been played in two goes;
- a soft rule that is not named in "rules" is one that is nowhere broken;
- a last stage after "turns" and "value" may spend 0.3 % of the value; "turns" is minimised and every later
  stage but "value" too; a proven stage has its bound as its value.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping
from fractions import Fraction

from planner.plan.verify.breach import Breach
from planner.plan.verify.case import Case, breach
from planner.plan.verify.days import exact, monday
from planner.plan.verify.lasting import extremes
from planner.plan.verify.repertoire import curriculum_week
from planner.plan.verify.soft import (
    FAMILY,
    LATER_DAY,
    MISSED,
    OTHER_WINDOW,
    PAST_DAY,
    PROMISED,
    SHELF,
    SINGLE,
    TOUCH,
    soft_costs,
)
from planner.plan.verify.time_rules import ROUNDED
from planner.plan.verify.week_rules import heavy_before
from planner.plan.weekplan import Stage

SHA256 = re.compile(r"[0-9a-f]{64}")
VALUE_KEPT = Fraction(997, 1000)
TERM_WORDS = ("turns", "span_weeks")
"""What the rule of a term says beside its price."""
PRICES: Mapping[str, Mapping[str, int]] = {
    "turns": {"without": MISSED, "each_day_past": PAST_DAY},
    "pairs": {"without": MISSED, "each_day_past": PAST_DAY},
    "delay": {"each_day": LATER_DAY},
    "rhythm": {"each_gap": OTHER_WINDOW},
    "small shelf": {"each": SHELF},
    "families": {"each_missing": FAMILY},
    "block size": {"each": SINGLE},
    "touches": {"each_missing": TOUCH},
    "term": {"each": PROMISED},
}
HARD_NAMES = ("minutes", "frame", "once a day", "load", "blocks", "pins", "order")


def head(case: Case) -> Iterator[Breach]:
    """The head names the player, the instrument, the curriculum and its week."""
    plan, player, curriculum = case.plan, case.player, case.curriculum
    for name, found, right in (
        ("player", plan.player, player.id),
        ("name", plan.name, player.name),
        ("instrument", plan.instrument, player.instrument),
        ("curriculum", plan.curriculum, curriculum.id),
        ("curriculum_title", plan.curriculum_title, curriculum.title),
        ("curriculum_week", plan.curriculum_week, curriculum_week(player, plan.first_day)),
        ("curriculum_weeks", plan.curriculum_weeks, curriculum.weeks),
        ("highest", plan.highest, max(player.known_notes, default=player.high)),
        ("longest_position", plan.longest_position, player.longest_position),
        ("anchor", plan.anchor, monday(plan.anchor)),
    ):
        if found != right:
            yield breach("head", None, f"{name} is {found}, should be {right}")


def digests(case: Case) -> Iterator[Breach]:
    """The plan says what it was made from and with."""
    for note in case.notes.inputs:
        if not note.name or not SHA256.fullmatch(note.sha256):
            yield breach("digests", None, f"input {note.name!r} has no sha256")
    if not case.notes.inputs:
        yield breach("digests", None, "no inputs are named")
    if not SHA256.fullmatch(case.plan.diary_digest):
        yield breach("digests", None, "diary_digest is no sha256")
    for name in ("planner", "ortools"):
        if not case.plan.made_with.get(name):
            yield breach("digests", None, f"made_with names no {name}")


def rule_notes(case: Case) -> Iterator[Breach]:
    """By the plan's own account no hard rule is broken."""
    for name, note in case.notes.rules.items():
        if note.broken < 0 or (note.hard and note.broken):
            yield breach("rule notes", None, f"{name} is broken {note.broken} times")
        if note.hard != (name in HARD_NAMES):
            yield breach("rule notes", None, f"{name} is called {'hard' if note.hard else 'soft'}")
    if not case.notes.rules:
        yield breach("rule notes", None, "the plan names no rules")


def rule_costs(case: Case) -> Iterator[Breach]:
    """By the plan's own account the soft rules are broken as often as they are and cost what they cost."""
    told = {name: rule for name, rule in case.plan.rules.items() if not rule["hard"]}
    costs, broken = _counted(case)
    for name in sorted({*told, *costs}):
        rule = told.get(name, {})
        if rule.get("cost", 0) != costs[name]:
            yield breach("rule notes", None, f"{name} cost {rule.get('cost', 0)}, should cost {costs[name]}")
        if rule.get("broken", 0) != broken[name]:
            often = f"{rule.get('broken', 0)} times, should be {broken[name]}"
            yield breach("rule notes", None, f"{name} broken {often}")


def _counted(case: Case) -> tuple[Counter[str], Counter[str]]:
    """What every soft rule costs, and how often it is broken."""
    costs: Counter[str] = Counter()
    broken: Counter[str] = Counter()
    for cost in soft_costs(case):
        costs[cost.rule] += cost.cost
        broken[cost.rule] += cost.times
    return costs, broken


def prices(case: Case) -> Iterator[Breach]:
    """The prices that the plan tells are those it was counted with."""
    for name, note in case.notes.rules.items():
        told = {key: price for key, price in note.parameters.items() if key not in TERM_WORDS}
        if told != PRICES.get(name, {}):
            yield breach("rule notes", None, f"{name} is priced {told}, should be {PRICES.get(name, {})}")


def coverage(case: Case) -> Iterator[Breach]:
    """Every wanted turn is met or left with its reason."""
    wanted = {name for name, entry in case.playable.items() if entry.wanted}
    met = {name for name in wanted if name in case.turns}
    note = case.notes.coverage
    left = [one.combination for one in note.left]
    if (note.wanted, note.met) != (len(wanted), len(met)):
        yield breach("coverage", None, f"{note.met} of {note.wanted}, should be {len(met)} of {len(wanted)}")
    if sorted(left) != sorted(wanted - met):
        yield breach("coverage", None, f"left {left}, should be {sorted(wanted - met)}")
    expected = case.calendar.nth_after(case.last_day, 1)
    for one in note.left:
        if not one.reason:
            yield breach("coverage", None, f"{one.combination} left without a reason")
        if one.expected != expected:
            yield breach("coverage", None, f"{one.combination} expected {one.expected}, should be {expected}")


def day_before(case: Case) -> Iterator[Breach]:
    """The day before the week is what the diary says of it."""
    note, names = case.notes.before, {rating.combination for rating in case.rated_before}
    for name, found, right in (
        ("date", note.date, case.before.date),
        ("heavy", note.heavy, heavy_before(case)),
        ("combinations", sorted(note.combinations), sorted(names)),
    ):
        if found != right:
            yield breach("day before", None, f"{name} is {found}, should be {right}")
    known = [case.known[name] for name in sorted(names) if name in case.known and case.known[name].part]
    breath = case.player.breath_seconds
    twice = {one.id: 2 if one.id in case.new_before else 1 for one in known}
    most = sum((twice[one.id] * extremes(one, breath).most_load for one in known), case.before.fixed)
    playable = [one for one in known if one.id in case.playable]
    least = sum((extremes(one, breath).least_load for one in playable), case.before.playing)
    if not least - ROUNDED <= exact(note.load) <= most + ROUNDED:
        between = f"{float(least):.3f} to {float(most):.3f}"
        yield breach("day before", None, f"load {note.load}, should be {between}")


def stages(case: Case) -> Iterator[Breach]:
    """The solver's stages carry the recomputed values, each on the right side of its bound."""
    found = tuple(stage for stage in case.notes.solver.stages if stage.goal != "changes")
    if [stage.goal for stage in found[:2]] != ["turns", "value"]:
        yield breach("stages", None, f"stages are {[stage.goal for stage in found]}")
        return
    turns, value = found[0], found[1]
    cost, worth = sum(cost.cost for cost in soft_costs(case)), plan_value(case)
    if turns.value != cost:
        yield breach("stages", None, f"turns are {turns.value}, should be {cost}")
    least = VALUE_KEPT * value.value if len(found) > 2 else value.value
    if worth < least or (len(found) == 2 and worth != value.value):
        yield breach("stages", None, f"value is {value.value}, the plan's is {worth}")
    if value.bound < max(worth, value.value):
        yield breach("stages", None, f"value {max(worth, value.value)} over its bound {value.bound}")
    yield from _bounds(case.notes.solver.stages)


def _bounds(found: tuple[Stage, ...]) -> Iterator[Breach]:
    for stage in found:
        if stage.goal != "value" and stage.value < stage.bound:
            yield breach("stages", None, f"{stage.goal} {stage.value} under its bound {stage.bound}")
        if stage.status == "proven" and stage.value != stage.bound:
            yield breach("stages", None, f"{stage.goal} is called proven at {stage.value} of {stage.bound}")


def plan_value(case: Case) -> int:
    """Value of the plan's turns: the first of a combination at its value, further ones at value_again."""
    known = [(case.playable[name], len(days)) for name, days in case.turns.items() if name in case.playable]
    return sum(entry.value + (count - 1) * entry.value_again for entry, count in known)
