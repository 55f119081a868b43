"""Whether a stored plan still stands, fact by fact."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from horizon.sample_weeks import MONDAY, planned, player_file, sample_request, sample_week

from planner.diary.rating import Rating
from planner.errors import NoInput
from planner.horizon.stored import NO_RATINGS, input_digests, what_changed
from planner.paths import find_curriculum
from planner.plan.weekplan import dumps

NAME = "jonah"
NOWHERE = Path("no such folder")


def files() -> dict[str, Path]:
    """The files that Jonah's week is made from."""
    request = sample_request(NAME)
    found = {"player": player_file(NAME)}
    found["curriculum"] = find_curriculum(request.player.curriculum, player_file(NAME))
    return found | {"ratings": Path(request.player.history)}


def holds(anchor: date = MONDAY, **changes: object) -> bool:
    """Whether Jonah's week, with these fields changed, still stands beside an empty diary."""
    return not what_changed({**sample_week(NAME), **changes}, files(), NOWHERE, NAME, MONDAY, anchor)


def test_a_plan_stands_while_nothing_has_changed() -> None:
    assert holds()


def test_a_plan_counted_from_another_monday_does_not_stand() -> None:
    # "in 12 days" of the player file is another day then.
    assert not holds(anchor=date(2026, 8, 31))


def test_a_plan_of_another_version_does_not_stand() -> None:
    assert not holds(made_with={"planner": "0.0.0", "ortools": "9"})


def test_a_plan_from_a_diary_that_is_empty_now_does_not_stand() -> None:
    assert not holds(ratings_from="diary")


def test_a_plan_from_a_diary_without_earlier_ratings_stands() -> None:
    assert holds(ratings_from="diary", diary_digest=NO_RATINGS)


def test_a_plan_from_other_files_does_not_stand() -> None:
    assert not holds(inputs=sample_week(NAME)["inputs"][:2])


def test_the_digest_of_a_file_is_that_of_its_bytes() -> None:
    digest = hashlib.sha256(player_file(NAME).read_bytes()).hexdigest()
    assert input_digests({"player": player_file(NAME)}) == ({"name": "player", "sha256": digest},)


def test_a_file_that_cannot_be_read_is_named(tmp_path: Path) -> None:
    with pytest.raises(NoInput, match=r"gone\.toml cannot be read: No such file or directory"):
        input_digests({"player": tmp_path / "gone.toml"})


def test_ratings_of_the_days_that_are_planned_do_not_count() -> None:
    request = sample_request(NAME)
    today = Rating(MONDAY, "dinner-bell/a/b-flat-major", "tongued", 60, None, 1, None)
    assert dumps(planned(replace(request, ratings=(*request.ratings, today)))) == dumps(sample_week(NAME))
