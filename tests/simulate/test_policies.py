"""Every policy keeps the rules it claims to keep, and none sees more than it should."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from planner.need.capacity import FREE_SHARE
from planner.simulate.catalogue import Catalogue, grid
from planner.simulate.policies import POLICIES, Ours, places_in_work
from planner.simulate.rules import PRACTICE_DAYS, Morning, calendar, granted_weeks, items_a_week
from planner.simulate.term import Outcome, Setting, Term

SHELF = grid(84, 12)
SEEDS = (2001,)
KEEPING = ("random, spans kept", "weakest first, spans kept", "gain only, spans kept", "ours", "reference")


def played(policy: str, setting: Setting, shelf: Catalogue = SHELF) -> Outcome:
    """A term by one policy."""
    return Term(setting, shelf, SEEDS, places_in_work(items_a_week(shelf))).run(POLICIES[policy]())


@pytest.mark.parametrize("policy", KEEPING)
def test_no_gap_is_longer_than_the_span_granted(policy: str) -> None:
    outcome = played(policy, Setting(missed_week=4))
    assert float(outcome.longest_gap.max()) <= 1.0


@pytest.mark.parametrize("policy", ["blocked", "weakest first"])
def test_without_the_rule_some_gaps_outlive_the_span(policy: str) -> None:
    assert float(played(policy, Setting()).longest_gap.max()) > 1.0


def test_round_robin_meets_everything_in_a_week() -> None:
    # 84 combinations at 12 a day: seven practice days, the last of them the Monday of week 2, day 8
    assert played("round robin", replace(Setting(), weeks=2)).covered_on.tolist() == [8]


@pytest.mark.parametrize("policy", POLICIES)
def test_every_policy_has_the_same_minutes(policy: str) -> None:
    # 12 weeks of six days of twelve items of five minutes
    assert played(policy, replace(Setting(), weeks=1)).minutes.tolist() == [6 * 12 * 5]


@pytest.mark.parametrize("policy", ["random", "ours"])
def test_the_same_seeds_give_the_same_term(policy: str) -> None:
    short = replace(Setting("B"), weeks=2)
    first, again = played(policy, short), played(policy, short)
    assert first.weakest_later.tolist() == again.weakest_later.tolist()


def test_ours_never_looks_at_the_learner() -> None:
    term = Term(replace(Setting(), weeks=1), SHELF, SEEDS, places_in_work(items_a_week(SHELF)))
    ours = Ours()

    def blind(morning: Morning) -> np.ndarray:
        return ours(replace(morning, learner=None))  # type: ignore[arg-type]

    term.run(blind)


def test_a_missed_week_has_no_practice_day() -> None:
    days = calendar(12, 4)
    assert int(days.between(20, 27)) == 0
    assert int(days.between(-1, 83)) == 11 * PRACTICE_DAYS


def test_a_span_is_longer_by_the_days_missed_in_it() -> None:
    days = calendar(12, 4)
    assert int(days.span_end(np.array(10), 14)) == 10 + 14 + 7


@pytest.mark.parametrize(("size", "items"), [(84, 12), (400, 18)])
def test_the_granted_span_leaves_a_quarter_free(size: int, items: int) -> None:
    # practice notes, second simulation: the smallest whole number of weeks that leaves about a quarter free
    shelf = grid(size, items)
    week = items_a_week(shelf)
    in_work = places_in_work(week)
    weeks = granted_weeks(shelf, in_work)
    kept = (1 - in_work / size) * size / weeks
    assert in_work * PRACTICE_DAYS / 3 + kept <= float(1 - FREE_SHARE) * week


def test_the_grid_has_every_key_on_every_position_once() -> None:
    cells = {(int(k.argmax()), int(p.argmax())) for k, p in zip(SHELF.keys, SHELF.positions, strict=True)}
    assert len(cells) == 84
