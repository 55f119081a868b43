"""Differences, standard errors, wins and losses, worked by hand on four players."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from simulate.results import by_hand

from planner.simulate.report import Condition, Line, losses, to_json, way_to

FIRST, SECOND = by_hand().conditions


def line(policy: str, condition: Condition = FIRST) -> Line:
    found = condition.line(policy)
    assert found is not None
    return found


def test_a_difference_is_paired_by_player() -> None:
    # -.02 -.01 -.01 .00: mean -.01; standard deviation .0081650, of the mean .0040825
    found = line("ours").mean_difference
    assert (found.mean, found.error) == pytest.approx((-0.01, 0.0040825), abs=1e-6)


def test_a_win_is_a_player_on_whom_the_difference_is_above_nothing() -> None:
    # +.10 +.08 +.06 +.04, and +.02 -.01 +.01 +.01
    assert [line(name).weakest_difference.wins for name in ("ours", "random")] == [4, 3]


def test_round_robin_differs_from_itself_by_nothing() -> None:
    found = line("round robin").weakest_difference
    assert (found.mean, found.error, found.wins) == (0.0, 0.0, 0)


def test_the_day_of_coverage_is_the_median_and_none_where_a_player_was_never_covered() -> None:
    assert [line(name).covered for name in ("ours", "random")] == [10.5, 0.0]


def test_the_longest_gap_is_that_of_all_players() -> None:
    assert line("ours").longest_gap == 1.0


def test_where_ours_is_behind_is_told_with_the_figure() -> None:
    # the rival's mean is +.02 without any error, ours -.01
    assert losses(replace(FIRST, seeds=FIRST.seeds[:3])) == ()
    assert losses(FIRST) == ("mean 0.010 behind round robin", "mean 0.030 behind random")


def test_policies_that_see_the_true_state_are_no_rivals() -> None:
    assert not any("reference" in told or "true" in told for told in losses(FIRST))


def test_the_way_to_the_reference_is_measured_on_the_weakest_tenth() -> None:
    # ours +.07 on average, the reference +.12
    assert way_to(FIRST, "ours") == pytest.approx(0.07 / 0.12)


def test_there_is_no_way_to_a_reference_that_was_not_run() -> None:
    assert way_to(FIRST, "ours", "another") is None


def test_a_condition_says_what_is_unlike_the_usual() -> None:
    assert SECOND.title == (
        "learner B, 84 combinations, mixed starting levels, week 4 missed, 36 ratings, no first hearing"
    )


def test_the_report_as_json_has_every_policy_with_its_differences() -> None:
    found = json.loads(json.dumps(to_json(by_hand())))
    policies = found["conditions"][0]["policies"]
    assert [one["policy"] for one in policies] == [
        "round robin", "random", "ours", "ours, true state", "reference",
    ]  # fmt: skip
    assert policies[2]["weakest_difference"]["wins"] == 4
