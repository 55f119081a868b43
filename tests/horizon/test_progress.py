"""planner progress: groups of one player, what is said on little, and the screens."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from horizon.sample_weeks import MONDAY, sample_request

from planner.horizon.progress import progress
from planner.show.layout import cells
from planner.show.progress import progress_text

FOUR_WEEKS = MONDAY - timedelta(weeks=4)


def told(
    name: str, since: date = FOUR_WEEKS, keep: int | None = None, today: date = MONDAY
) -> dict[str, Any]:
    """The progress of a sample player, on the first `keep` ratings where that is given."""
    request = sample_request(name)
    return progress(request.curriculum, request.player, request.ratings[:keep], since, today)


JONAH = told("jonah")


def test_every_measure_has_one_group_of_everything() -> None:
    kinds = [(group["measure"], group["kind"]) for group in JONAH["groups"]]
    assert kinds.count(("tempo", "all")) == kinds.count(("seconds", "all")) == 1


def test_ratings_of_exercises_add_up_to_all() -> None:
    for measure in ("tempo", "seconds"):
        inside = [group for group in JONAH["groups"] if group["measure"] == measure]
        everything = next(group["ratings_since"] for group in inside if group["kind"] == "all")
        for kind in ("exercise", "articulation"):
            assert sum(group["ratings_since"] for group in inside if group["kind"] == kind) == everything


def test_ratings_since_the_day_are_counted_with_its_own() -> None:
    ratings = sample_request("jonah").ratings
    assert JONAH["ratings"] == len(ratings)
    assert JONAH["ratings_since"] == sum(rating.day >= FOUR_WEEKS for rating in ratings)


def test_a_change_is_the_difference_of_its_levels() -> None:
    for group in JONAH["groups"]:
        expected = group["now"]["mean"] - group["then"]["mean"]
        assert group["change"]["mean"] == pytest.approx(expected, abs=0.002)


def test_moved_means_two_spreads() -> None:
    for group in JONAH["groups"]:
        assert group["moved"] == (abs(group["change"]["mean"]) >= 2 * group["change"]["sd"])


def test_a_trombone_has_positions_and_a_trumpet_valves() -> None:
    assert {g["name"] for g in JONAH["groups"] if g["kind"] == "position"} <= {
        f"position {n}" for n in range(1, 8)
    }
    pia = {group["name"] for group in told("pia")["groups"] if group["kind"] == "position"}
    assert all(name == "open" or name.startswith("valves ") for name in pia)


def test_every_surprise_lies_two_spreads_away() -> None:
    found = told("pia")["surprises"]
    assert found
    assert all(abs(one["residual"]) >= 2 for one in found)
    assert [abs(one["residual"]) for one in found] == sorted(
        (abs(one["residual"]) for one in found), reverse=True
    )


def test_later_ratings_are_left_out() -> None:
    early = told("jonah", FOUR_WEEKS, None, FOUR_WEEKS + timedelta(days=7))
    assert early["ratings"] < JONAH["ratings"]


# --- on little


def test_an_empty_diary_says_so() -> None:
    screen = progress_text(told("jonah", keep=0))
    assert "Nothing is rated yet, so nothing can be seen to move." in screen
    assert "notches" not in screen


def test_no_rating_since_the_day_says_so() -> None:
    screen = progress_text(told("jonah", since=MONDAY - timedelta(days=1), keep=20))
    assert "No rating since that day, so nothing can be seen to move" in screen
    assert "All together" not in screen


def test_few_ratings_say_that_they_are_few() -> None:
    assert "So few ratings say little" in progress_text(told("jonah", since=MONDAY - timedelta(days=3)))


def test_many_ratings_do_not() -> None:
    assert "So few ratings" not in progress_text(JONAH)


def test_groups_on_fewer_than_three_ratings_are_counted_and_not_shown() -> None:
    screen = progress_text(told("jonah", since=MONDAY - timedelta(days=3)))
    assert "Fewer than 3 ratings since then, so not shown: " in screen


# --- screens


@pytest.mark.parametrize("width", [60, 80, 120])
@pytest.mark.parametrize("name", ["jonah", "pia"])
def test_no_line_is_wider_than_its_screen(name: str, width: int) -> None:
    lines = progress_text(told(name), width=width).splitlines()
    assert max(cells(line) for line in lines) <= width


@pytest.mark.parametrize("width", [60, 80, 120])
def test_every_row_stays_in_one_table(width: int) -> None:
    lines = [
        line for line in progress_text(told("pia"), width=width).splitlines() if line.startswith("everything")
    ]
    assert len(lines) == 2  # tempo and held tones, none of them continued below


def test_a_wide_screen_draws_the_way_to_the_goal() -> None:
    line = next(
        line for line in progress_text(JONAH, width=120).splitlines() if line.startswith("everything")
    )
    assert line.endswith("|")
    assert line.count("x") == 1


def test_read_aloud_it_holds_no_sign_of_its_own() -> None:
    assert not set(progress_text(JONAH, plain=True)) & set("♭♯♪♩→·–½|±")


def test_a_piped_screen_has_no_escapes() -> None:
    assert "\x1b" not in progress_text(JONAH)
