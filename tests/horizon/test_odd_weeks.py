"""Weeks of players who are seldom met: each is planned, and the second road through the rules agrees."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest
from horizon.sample_weeks import DAILY, MONDAY, SMALL_CURRICULUM, Plan, small_player, small_week


def week_of(folder: Path, more: str = "", *, minutes: str = DAILY, instrument: str = "trumpet") -> Plan:
    """Mara's checked week with more words in her file; Refused where the two roads do not agree."""
    path = small_player(folder, minutes=minutes, more=more)
    path.write_text(
        path.read_text(encoding="utf-8").replace('"trumpet"', f'"{instrument}"'), encoding="utf-8"
    )
    return small_week(path, MONDAY)


def test_a_short_arm_plays_on_the_attachment(tmp_path: Path) -> None:
    # F2 and C3 are T1 on an F attachment: the slide stays in (Georgia State University, Brass Methods)
    plan = week_of(tmp_path, "longest_position = 5", instrument="trombone-f")
    assert "stairs/up/f-major" in {one["combination"] for one in plan["combinations"]}


def test_a_day_of_sixty_short_excerpts_is_lettered_through(tmp_path: Path) -> None:
    pieces = "\n".join(f'[[music]]\ntitle = "excerpt {n}"\nminutes = 1' for n in range(60))
    plan = week_of(tmp_path, pieces, minutes="monday=90")
    assert plan["days"][0]["items"][-1]["block"] == "BJ"  # the 62nd: warm-up, 60 pieces, warm-down


@pytest.mark.parametrize(("away", "turn_by"), [(200, "2027-03-28"), (500, None)])
def test_a_long_time_away_leaves_the_next_turn_behind_it(
    tmp_path: Path, away: int, turn_by: str | None
) -> None:
    """In work, last played on Sunday: Monday and the two days after those away are the practice days."""
    (tmp_path / "mara.csv").write_text(
        "day,combination,articulation,tempo,clean,grade,value\n-1,stairs/up/c-major,tongued,60,,2,\n"
    )
    last = MONDAY + timedelta(days=away)
    free = f'ratings = "mara.csv"\n[[date]]\nkind = "free"\nfrom = 2026-09-08\nto = {last}'
    (one,) = (
        one for one in week_of(tmp_path, free)["combinations"] if one["combination"] == "stairs/up/c-major"
    )
    assert (one["state"], one["turn_by"]) == ("in work", turn_by)


def test_a_rehearsal_that_is_only_listened_to_is_named_as_well(tmp_path: Path) -> None:
    # it still takes range and a part of the load from the day, so the day says why
    playing = '[[playing]]\ntitle = "score reading"\ndays = ["tuesday"]\nminutes = 90\non_the_lip = 0'
    assert "score reading, 90 minutes" in week_of(tmp_path, playing)["days"][1]["notes"]


def test_an_exercise_waits_while_a_limit_keeps_out_what_leads_to_it(tmp_path: Path) -> None:
    """Scales are left out all week, so what comes after the stairs does not come either."""
    limit = '[[limit]]\ntitle = "rest"\nfrom = 2026-09-07\nuntil = 2026-09-13\nwithout = ["scales"]'
    order = SMALL_CURRICULUM.replace('id = "bells"', 'id = "bells"\nafter = ["stairs"]')
    plan = small_week(small_player(tmp_path, more=limit, curriculum=order), MONDAY)
    played = {item["exercise"] for day in plan["days"] for item in day["items"]}
    assert played & {"fives", "stairs", "bells"} == {"fives"}
