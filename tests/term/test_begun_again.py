"""A curriculum begun again by a pupil who has met later weeks of it already."""

from __future__ import annotations

from pathlib import Path

import pytest
from cli.plan_player import run_here

MONDAY = "2026-09-07"


def test_what_was_met_before_waits_for_its_own_week(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PLANNER_DATA", str(tmp_path))
    # Jonah's ratings are of all eight weeks of his curriculum; garden-swing comes in its sixth week
    said = run_here("term", "--player", "jonah", "--date", MONDAY, "--starts", MONDAY, "--json")
    assert said.code == 0, said.err
    weeks = said.plan["weeks"]
    played = {
        week["week"]
        for week in weeks
        for day in week["days"]
        for item in day["items"]
        if item["combination"].startswith("garden-swing/")
    }
    assert min(played) == 6
    assert all(not week["left"] for week in weeks)
