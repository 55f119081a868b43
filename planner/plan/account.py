"""What a finished plan says of itself: what was met, what was left and why, how every rule stands."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from planner.need.combinations import Scope
from planner.need.days import practice_day_after
from planner.need.weigh import Wish
from planner.plan.problem import (
    DAY_PAST,
    MISSING_FAMILY,
    MISSING_TOUCH,
    PROMISED,
    SINGLE_COMBINATION_BLOCK,
    SMALL_SHELF,
    TURN,
    Turns,
    WeekProblem,
    breaches,
)
from planner.plan.week import Week
from planner.plan.windows import OTHER_WINDOW

HARD: tuple[tuple[str, str], ...] = (
    ("minutes", "A day holds no more than its free minutes, pauses and own music included."),
    ("frame", "Every day opens with a warm-up and closes gently; a short day is a warm-up and one block."),
    ("once a day", "A combination comes once a day, and what is kept up not on two days running."),
    ("load", "The lip is not overloaded in a day or over two days running, rehearsals counted."),
    ("blocks", "A day has at most so many blocks, and no block is too long."),
    ("pins", "What is pinned stays, and the past stays."),
    ("order", "An exercise comes only after the exercises that lead to it, within the player's limits."),
)
SOFT: tuple[tuple[str, str, Mapping[str, int]], ...] = (
    (
        "turns",
        "Every combination has its turn within its span.",
        {"without": TURN, "each_day_past": DAY_PAST},
    ),
    (
        "pairs",
        "Every exercise is met in each of its keys and on each of its positions within two weeks.",
        {"without": TURN, "each_day_past": DAY_PAST},
    ),
    ("delay", "A turn does not come later than its day.", {"each_day": DAY_PAST}),
    ("rhythm", "What is in work comes back within three practice days.", {"each_gap": OTHER_WINDOW}),
    (
        "small shelf",
        "On a small shelf every combination comes at least once a week.",
        {"each": SMALL_SHELF},
    ),
    ("families", "Every day works at several families.", {"each_missing": MISSING_FAMILY}),
    (
        "block size",
        "A block has at least two combinations where the exercise has them.",
        {"each": SINGLE_COMBINATION_BLOCK},
    ),
    (
        "touches",
        "Every position and key group in scope is touched during the week.",
        {"each_missing": MISSING_TOUCH},
    ),
)

TERM_SENTENCE = "What the term promised for the week has its turn in it."
"""Only a week that follows a term has this rule; it names the turns that were promised."""


def rule_account(problem: WeekProblem, turns: Turns) -> dict[str, dict[str, Any]]:
    """Every rule: hard or soft, its sentence, how often it is broken and what that costs."""
    found = breaches(problem, turns)
    broken = Counter(rule for rule, _, _ in found)
    cost: Counter[str] = Counter()
    for rule, _, price in found:
        cost[rule] += price
    account: dict[str, dict[str, Any]] = {
        name: {"hard": True, "broken": 0, "cost": 0, "sentence": sentence, "parameters": {}}
        for name, sentence in HARD
    }
    for name, sentence, parameters in SOFT:
        account[name] = {
            "hard": False,
            "broken": broken[name],
            "cost": cost[name],
            "sentence": sentence,
            "parameters": dict(parameters),
        }
    promised = [problem.candidates[w.candidates[0]].id for w in problem.windows if w.kind == "term"]
    if promised:
        account["term"] = term_rule(promised, broken["term"], cost["term"])
    return account


def term_rule(promised: Sequence[str], broken: int, cost: int) -> dict[str, Any]:
    """How a week that follows a term stands to it."""
    parameters = {"each": PROMISED, "turns": list(promised)}
    return {
        "hard": False,
        "broken": broken,
        "cost": cost,
        "sentence": TERM_SENTENCE,
        "parameters": parameters,
    }


def coverage(week: Week, turns: Turns) -> dict[str, Any]:
    """How many combinations want a turn this week, how many get it, and what is left with its reason."""
    placed = {week.wishes[candidate].id for candidate, _ in turns}
    wanted = [wish for wish in week.wishes if wish.wanted]
    left = [wish for wish in wanted if wish.id not in placed]
    expected = _first_practice_day_after(week)
    return {
        "wanted": len(wanted),
        "met": len(wanted) - len(left),
        "left": tuple(
            {"combination": wish.id, "reason": _why_left(week, wish), "expected": expected} for wish in left
        ),
    }


def _first_practice_day_after(week: Week) -> date | None:
    return practice_day_after(week.player, week.last_day, 1)


def _why_left(week: Week, wish: Wish) -> str:
    if wish.waits_for:
        return f"comes after {', '.join(wish.waits_for)}"
    if wish.state == "new" and not any(day.allows_new for day in week.days):
        return "nothing new so close to a concert"
    if not any(day.most_blocks for day in week.days):
        return "no practice day"
    past = wish.turn_by is not None and wish.turn_by < week.first_day
    since = f", waiting since {wish.turn_by}" if past else ""
    return f"no room beside what needs it more (need {wish.need / 1000:.2f}{since})"


def excluded(shelf: Scope) -> tuple[dict[str, str], ...]:
    """What the player cannot play, each with its reason."""
    return tuple({"combination": name, "reason": reason} for name, reason in shelf.excluded)
