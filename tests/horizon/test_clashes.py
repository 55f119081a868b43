"""A clash in sentences with numbers, and ways out that hold when the week is planned again."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from horizon.sample_weeks import (
    MONDAY,
    SUNDAY,
    planned,
    player_file,
    program,
    request_from,
    sample_request,
    small_player,
)
from plan.solve.weeks import week as generated_week

from planner.errors import DoesNotFit
from planner.horizon import clashes as module
from planner.horizon.clash_words import told
from planner.horizon.clashes import Explained, explain, further
from planner.horizon.music_clash import music_clash, music_told
from planner.horizon.ways_out import clashes, with_ways_out
from planner.horizon.week import Request, week_of
from planner.plan.solve.conflict import clash_of
from planner.show.clashes import clashes_text

HAYDN = '[[music]]\nid = "haydn"\ntitle = "Haydn"\nminutes = {}\ndays = ["tuesday"]\n'
HYMN = '[[music]]\nid = "hymn"\ntitle = "Hymn"\nminutes = {}\ndays = ["tuesday"]\n'


def request(folder: Path, more: str = "", **facts: str) -> Request:
    return request_from(small_player(folder, more=more, **facts), MONDAY, SUNDAY, MONDAY)


def found_in(request: Request) -> dict[str, Any]:
    clash = clashes(request)["clash"]
    assert clash is not None
    return clash


def pinned(monkeypatch: pytest.MonkeyPatch, *pins: tuple[str, date]) -> None:
    """Weeks are made with these pins."""

    def with_pins(request: Request) -> Any:
        week, shelf = week_of(request)
        return replace(week, pins=frozenset(pins)), shelf

    monkeypatch.setattr(module, "week_of", with_pins)


def test_music_without_room_is_told_in_minutes_needed_and_given(tmp_path: Path) -> None:
    # By hand: 8 warm-up + 40 Haydn + 3 warm-down = 51.
    assert (
        found_in(request(tmp_path, HAYDN.format(40)))["headline"]
        == "Tuesday needs 51 minutes; you gave it 45."
    )


def test_only_the_pieces_that_are_too_much_are_in_the_set(tmp_path: Path) -> None:
    # By hand: 34 minutes are left beside the frame; 36 alone are too much, 20 more are not needed.
    clash = music_clash(request(tmp_path, HAYDN.format(36) + HYMN.format(20)))
    assert clash is not None
    assert clash.pieces == (("haydn", 36),)


def test_two_pieces_that_clash_together_are_both_named(tmp_path: Path) -> None:
    clash = music_clash(request(tmp_path, HAYDN.format(20) + HYMN.format(20)))
    assert clash is not None
    assert {name for name, _ in clash.pieces} == {"haydn", "hymn"}


def test_music_for_which_no_day_is_long_enough_clashes_too(tmp_path: Path) -> None:
    # 400 and 400 minutes of music; a day has 600 minutes at the most
    clash = music_clash(request(tmp_path, HAYDN.format(400) + HYMN.format(400)))
    assert clash is not None
    assert (clash.needed, [kind for _, kind, _ in clash.ways if kind == "minutes"]) == (0, [])
    told = music_told(clash, {"haydn": "Haydn", "hymn": "Hymn"})
    assert told["headline"] == "Tuesday needs more than 600 minutes; you gave it 45."


def test_music_that_has_room_does_not_clash(tmp_path: Path) -> None:
    assert music_clash(request(tmp_path, HAYDN.format(20))) is None


def test_the_minutes_that_music_needs_are_enough_when_planned_again(tmp_path: Path) -> None:
    asked = request(tmp_path, HAYDN.format(40))
    ways = found_in(asked)["ways"]
    assert "Give Tuesday 51 minutes: then all of it can be had." in [way["sentence"] for way in ways]
    longer = replace(asked.player, minutes=(45, 51, 45, 45, 45, 45, 45))
    assert planned(replace(asked, player=longer))["days"]


def test_music_for_as_long_as_there_is_room_is_offered_and_works(tmp_path: Path) -> None:
    asked = request(tmp_path, HAYDN.format(40))
    assert any("Play Haydn for 34 minutes" in way["sentence"] for way in found_in(asked)["ways"])
    assert planned(request(tmp_path, HAYDN.format(34)))["days"]


def test_the_error_of_a_week_that_does_not_fit_names_what_was_tried(tmp_path: Path) -> None:
    asked = request(tmp_path, HAYDN.format(40))
    with pytest.raises(DoesNotFit, match="need 6 minutes more") as caught:
        planned(asked)
    lines = with_ways_out(asked, caught.value).lines()
    assert lines[1] == "Tuesday needs 51 minutes; you gave it 45."
    assert any(line.startswith("tried, and it works: Give Tuesday 51 minutes") for line in lines)


def test_a_pin_twice_running_is_told_and_both_ways_out_are_offered(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = request(tmp_path)
    week, _ = week_of(asked)
    heavy = sorted(w.id for w in week.wishes if w.combination.exercise.family == "range")
    monday, tuesday = MONDAY, MONDAY.replace(day=8)
    pinned(monkeypatch, (heavy[0], monday), (heavy[1], tuesday))
    clash = found_in(asked)
    assert clash["step"] == "pins"
    assert clash["because"] == [
        f"{heavy[0]} is pinned to Monday.",
        f"{heavy[1]} is pinned to Tuesday.",
        "Range work never comes on two days running (Monday, Tuesday).",
    ]
    assert {way["kind"] for way in clash["ways"]} == {"pin"}
    assert any("Unpin" in way["sentence"] for way in clash["ways"])
    assert any("instead of" in way["sentence"] for way in clash["ways"])


def test_every_way_out_with_minutes_holds_when_the_week_is_made_again(tmp_path: Path) -> None:
    # Five minutes a day for eleven new combinations, all asked for within the week.
    few = "monday=10, tuesday=10, wednesday=10"
    asked = request(tmp_path, minutes=few)
    explained = explain(asked)
    assert explained is not None
    for way in explained.ways:
        if way.kind == "minutes" and way.whole:
            player = module._with_minutes(asked.player, way.minutes)
            again = explain(replace(asked, player=player), (explained.clash.step,))
            assert again is None


def test_a_sample_players_clash_is_smallest_and_has_a_way_out() -> None:
    explained = explain(sample_request("pia"))
    assert explained is not None
    assert explained.clash.smallest
    assert explained.ways


def test_a_week_with_room_for_everything_has_no_clash() -> None:
    assert clashes(sample_request("jonah"))["clash"] is None


def test_the_rules_of_a_clash_are_named_with_their_days() -> None:
    explained = explain(sample_request("pia"))
    assert explained is not None
    rules = told(explained)["rules"]
    assert {rule["rule"] for rule in rules} == {rule.kind for rule in explained.clash.rules}
    assert all(MONDAY.isoformat() <= day <= SUNDAY.isoformat() for rule in rules for day in rule["days"])


def test_further_clashes_come_beside_the_first_and_have_no_ways_out() -> None:
    # a generated week that wants 2.5 times what its days carry
    problem = generated_week(40, 2.5, seed=1)
    first = clash_of(problem)
    assert first is not None
    week = week_of(sample_request("pia"))[0]
    found = list(further(Explained(week, problem, first, (), False, ())))
    assert found
    assert all(not set(one.clash.wishes) & set(first.wishes) and one.ways == () for one in found)


def test_a_week_with_one_clash_names_no_further_ones() -> None:
    found = clashes(sample_request("pia"))
    assert found["clash"] is not None
    assert found["further"] == []


@pytest.mark.parametrize(
    ("plain", "line"),
    [(True, "Another clash: Monday is full."), (False, "Another clash, with other wishes: Monday is full.")],
)
def test_further_clashes_stand_below_the_first(plain: bool, line: str) -> None:
    first = {"step": "turns", "headline": "Sunday is full.", "because": [], "smallest": True, "ways": []}
    other = first | {"headline": "Monday is full.", "because": ["Two turns want it."]}
    days = {"name": "Pia", "first_day": "2026-09-07", "last_day": "2026-09-13"}
    found = days | {"clash": first, "further": [other], "ended": ""}
    text = clashes_text(found, plain=plain).splitlines()
    assert line in text
    assert "Two turns want it." in text[-1]


@pytest.mark.parametrize("width", [60, 80, 120])
def test_no_line_of_a_clash_is_wider_than_the_screen(width: int) -> None:
    text = clashes_text(clashes(sample_request("pia")), width=width)
    assert max(len(line) for line in text.splitlines()) <= width


def test_a_clash_of_music_ends_the_program_with_three_and_says_what_helps(tmp_path: Path) -> None:
    small_player(tmp_path, more=HAYDN.format(40))
    done = program(tmp_path, "week", "--date", "2026-09-07")
    assert done.returncode == DoesNotFit.code
    assert "Tuesday needs 51 minutes; you gave it 45." in done.stderr
    assert "tried, and it works: Give Tuesday 51 minutes" in done.stderr


def test_clashes_as_json_hold_the_set_and_the_ways_out(tmp_path: Path) -> None:
    small_player(tmp_path, more=HAYDN.format(40))
    done = program(tmp_path, "week", "--date", "2026-09-07", "--clashes", "--json")
    assert done.returncode == DoesNotFit.code
    clash = json.loads(done.stdout)["clash"]
    assert [rule["rule"] for rule in clash["rules"]] == ["own music", "frame", "minutes"]
    assert clash["ways"][0]["sentence"].startswith("Give Tuesday 51 minutes")


def test_a_week_without_a_clash_says_so(tmp_path: Path) -> None:
    jonah = ("--player", str(player_file("jonah")))
    done = program(tmp_path, "week", *jonah, "--date", "2026-09-07", "--clashes", "--plain")
    assert done.returncode == 0
    assert "Nothing clashes" in done.stdout
