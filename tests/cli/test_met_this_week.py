"""Coverage after days that were rated: the whole calendar week counts."""

from __future__ import annotations

from pathlib import Path

from cli.plan_player import MONDAY, TUESDAY, WEDNESDAY, at_home


def test_what_was_met_on_monday_is_met_on_wednesday_too(tmp_path: Path) -> None:
    tobias = at_home("tobias", tmp_path)
    rated = {item["combination"] for item in tobias.today(MONDAY)["items"] if item["combination"]}
    tobias.rate(MONDAY, "--rest-clean")
    tobias.planner("today", "--date", TUESDAY)
    said = tobias.planner("coverage", "--date", WEDNESDAY)
    shelf = tobias.planner("coverage", "--date", WEDNESDAY, "--json").plan["combinations"]
    met = {one["combination"] for one in shelf if one["last_met"] == MONDAY}
    assert met != set()
    assert met <= rated
    assert f"{len(met)} met" in said.out.replace("\N{NO-BREAK SPACE}", " ")
