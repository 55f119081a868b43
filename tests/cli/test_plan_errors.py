"""Every way in which today, week and coverage can fail: one line, an exit code, and no data printed."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from cli.plan_player import MONDAY, AtHome, Said, at_home, edit, run_here
from horizon.sample_weeks import start

from planner.diary import digest
from planner.horizon import week as horizon
from planner.plan.verify.breach import Breach

COMMANDS = ("today", "week", "coverage")
KNOWN = "hester, ingrid, jonah, nerys, pia, ruben, tobias, wilf"
MUSIC = """
[[music]]
id = "march"
title = "Quay March"
minutes = {minutes}
days = ["{day}"]
"""


@pytest.fixture
def jonah(tmp_path: Path) -> AtHome:
    """Jonah with files of his own and nothing planned."""
    return at_home("jonah", tmp_path)


@pytest.fixture
def in_tmp(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """An empty current folder."""
    monkeypatch.chdir(tmp_path)
    return tmp_path


def week(player: AtHome) -> Said:
    return player.planner("week", "--date", MONDAY)


def message(said: Said, code: int) -> str:
    """The one line of a run that failed with this code and printed no data; of a clash its first line."""
    assert (said.code, said.out) == (code, "")
    assert said.err.endswith("\n")
    first, *more = said.err.splitlines()
    assert not more or (code == 3 and more[-1].startswith("tried, and it works: "))
    return first


# --- 2: a word on the command line


@pytest.mark.parametrize("command", COMMANDS)
@pytest.mark.parametrize("text", ["7.9.2026", "20260907", "someday", ""])
def test_a_date_that_is_none_is_named(command: str, text: str) -> None:
    line = message(run_here(command, "--player", "jonah", "--date", text), 2)
    assert line == f"{text!r} is no date (write it like 2026-09-07, or yesterday, today or tomorrow)"


def test_a_day_that_no_calendar_has_is_told_as_that() -> None:
    line = message(run_here("today", "--player", "jonah", "--date", "2026-02-30"), 2)
    assert line == "2026-02-30 is not in the calendar (look at its month and day)"


def test_a_start_that_is_no_date_is_named() -> None:
    line = message(run_here("week", "--player", "jonah", "--start", "soon"), 2)
    assert line == "'soon' is no date (write it like 2026-09-07, or yesterday, today or tomorrow)"


def test_two_player_files_with_one_id_are_refused_with_both_names(jonah: AtHome) -> None:
    other = jonah.folder / "jonah-horn.toml"
    other.write_text(jonah.player.read_text())
    assert message(jonah.planner("rate", "--date", MONDAY, "--rest-clean"), 65) == (
        f"{jonah.player}:2:1: the id jonah is that of {other} too: both would write into one diary "
        "(give one of them another id)"
    )


def test_a_copy_named_by_its_path_can_be_looked_at(jonah: AtHome) -> None:
    (jonah.folder / "jonah-longer.toml").write_text(jonah.player.read_text())
    assert week(jonah).code == 0


def test_of_two_files_with_one_id_none_is_found_by_it(jonah: AtHome, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("bo.toml", "bo-horn.toml"):
        (jonah.folder / name).write_text(jonah.player.read_text().replace('id = "jonah"', 'id = "bo"'))
    monkeypatch.chdir(jonah.folder)
    line = message(run_here("today", "--player", "bo"), 65)
    assert line.startswith(f"{jonah.folder / 'bo.toml'}:2:1: the id bo is that of bo-horn.toml too:")


def test_a_start_before_the_date_is_refused() -> None:
    words = ("week", "--player", "jonah", "--date", "2026-09-07", "--start", "2026-09-01")
    assert message(run_here(*words), 2) == (
        "--start 2026-09-01 lies before --date 2026-09-07 (leave one of them out)"
    )


@pytest.mark.parametrize("minutes", ["0", "-5", "601"])
def test_minutes_that_are_no_length_of_a_day_are_refused(jonah: AtHome, minutes: str) -> None:
    line = message(jonah.planner("today", "--date", MONDAY, "--minutes", minutes), 2)
    assert line == f"--minutes {minutes} is no length of a day (1 to 600)"


@pytest.mark.parametrize("minutes", ["x", "12.5", "1e3"])
def test_minutes_that_are_no_number_are_refused(minutes: str) -> None:
    line = message(run_here("today", "--player", "jonah", "--minutes", minutes), 2)
    assert line.startswith(f"--minutes {minutes} is no whole number (digits alone, like 20; planner today -h")


def test_an_option_that_is_not_known_points_to_the_help() -> None:
    line = message(run_here("week", "--loud"), 2)
    assert "--loud" in line
    assert "planner week -h" in line


# --- 3: it does not fit


def test_fixed_music_without_room_names_the_day_and_the_minutes(jonah: AtHome) -> None:
    # Monday has 15 minutes: 4 of warm-up, 2 of warm-down, 9 left. A march of 12 needs 3 more.
    jonah.player.write_text(jonah.player.read_text() + MUSIC.format(minutes=12, day="monday"))
    assert message(week(jonah), 3) == (
        "2026-09-07: Quay March and the warm-up need 3 minutes more than there are "
        "(shorten the music of that day or give it another weekday)"
    )


def test_fixed_music_that_fills_the_day_to_the_second_fits(jonah: AtHome) -> None:
    jonah.player.write_text(jonah.player.read_text() + MUSIC.format(minutes=9, day="monday"))
    monday = jonah.week(MONDAY)["days"][0]
    assert (monday["seconds_used"], monday["available_seconds"]) == (900, 0)


def test_the_day_that_does_not_fit_is_named_by_its_own_date(jonah: AtHome) -> None:
    jonah.player.write_text(jonah.player.read_text() + MUSIC.format(minutes=30, day="saturday"))
    assert message(week(jonah), 3).startswith("2026-09-12: ")


def test_a_week_that_does_not_fit_leaves_no_plan(jonah: AtHome) -> None:
    jonah.player.write_text(jonah.player.read_text() + MUSIC.format(minutes=12, day="monday"))
    week(jonah)
    assert jonah.stored() == []


# --- 65: a file holds something that is not understood


def test_a_fault_of_the_curriculum_is_named_with_line_and_column(jonah: AtHome) -> None:
    edit(jonah.curriculum, 'family = "scales"', 'family = "scalse"')
    line = message(week(jonah), 65)
    number = jonah.curriculum.read_text().splitlines().index('family = "scalse"') + 1
    assert line.startswith(f"{jonah.curriculum}:{number}:")
    assert "scalse" in line


def test_a_fault_of_the_player_file_is_named_with_its_line(jonah: AtHome) -> None:
    edit(jonah.player, "monday = 15", "mondy = 15")
    line = message(week(jonah), 65)
    number = jonah.player.read_text().splitlines().index("mondy = 15") + 1
    assert line.startswith(f"{jonah.player}:{number}:")


def test_two_faults_are_two_lines(jonah: AtHome) -> None:
    edit(jonah.player, "monday = 15", "mondy = 15")
    edit(jonah.player, 'level = "beginner"', 'level = "begginer"')
    said = week(jonah)
    assert (said.code, said.out, said.err.count("\n")) == (65, "", 2)


def test_a_fault_of_the_earlier_ratings_is_named_with_its_line(jonah: AtHome) -> None:
    lines = jonah.ratings.read_text().splitlines()
    jonah.ratings.write_text("\n".join([lines[0], lines[1].replace(",", ";"), *lines[2:]]) + "\n")
    assert f"{jonah.ratings.name}:2" in message(week(jonah), 65)


def test_an_edit_with_a_fault_does_not_show_the_old_plan(jonah: AtHome) -> None:
    jonah.week(MONDAY)
    edit(jonah.player, "monday = 15", "mondy = 15")
    assert message(jonah.planner("today", "--date", MONDAY), 65)


# --- 66: a file, player or curriculum is not there


@pytest.mark.parametrize("command", COMMANDS)
def test_an_unknown_player_gets_the_known_ones(in_tmp: Path, command: str) -> None:
    line = message(run_here(command, "--player", "nobody"), 66)
    assert line == f"there is no player nobody (known players: {KNOWN})"


def test_a_mistyped_player_gets_the_nearest_one(in_tmp: Path) -> None:
    line = message(run_here("today", "--player", "jonh"), 66)
    assert line == f"there is no player jonh (did you mean jonah? known players: {KNOWN})"


def test_a_player_file_that_is_not_there_is_named(in_tmp: Path) -> None:
    line = message(run_here("today", "--player", "players/anna.toml"), 66)
    assert line.startswith("there is no player file players/anna.toml")


def test_without_a_player_the_way_to_one_is_told(in_tmp: Path) -> None:
    line = message(run_here("today"), 66)
    assert line.startswith("there is no player file here (name one with --player, or begin with: planner new")


def test_an_unknown_curriculum_gets_the_nearest_one(jonah: AtHome) -> None:
    edit(jonah.player, 'curriculum = "first-year-five-notes"', 'curriculum = "first-year-five-nots"')
    line = message(week(jonah), 66)
    assert line.startswith("there is no curriculum first-year-five-nots (did you mean first-year-five-notes?")


def test_a_file_of_earlier_ratings_that_is_gone_is_named(jonah: AtHome) -> None:
    jonah.ratings.unlink()
    assert jonah.ratings.name in message(week(jonah), 66)


# --- 70: the check refuses


@pytest.fixture
def broken_rule(monkeypatch: pytest.MonkeyPatch) -> None:
    """A checker that finds five rules broken in any plan."""
    found = tuple(Breach(f"rule {n}", date(2026, 9, 7), "too much") for n in range(5))
    monkeypatch.setattr(horizon, "verify", lambda *args, **more: found)


def test_a_plan_that_breaks_a_rule_is_not_shown(jonah: AtHome, broken_rule: None) -> None:
    line = message(week(jonah), 70)
    assert line.startswith("the plan was made but its check failed, so it is not shown: ")
    assert "please report it" in line


def test_a_plan_that_breaks_a_rule_is_not_stored(jonah: AtHome, broken_rule: None) -> None:
    week(jonah)
    assert jonah.stored() == []


def test_of_many_broken_rules_three_are_named(jonah: AtHome, broken_rule: None) -> None:
    line = message(week(jonah), 70)
    assert "rule 2" in line
    assert "rule 3" not in line
    assert "and 2 more" in line


# --- 73, 74, 75: files and the diary


def test_a_file_in_the_place_of_the_data_folder_is_named(jonah: AtHome) -> None:
    jonah.data.write_text("not a folder")
    said = week(jonah)
    assert (said.code, "cannot be made" in said.err, said.err.count("\n")) == (73, True, 1)


def test_that_nothing_can_be_stored_is_said_before_anything_is_planned(
    jonah: AtHome, monkeypatch: pytest.MonkeyPatch
) -> None:
    said: list[str] = []
    monkeypatch.setattr("planner.cli.planning.say", said.append)
    monkeypatch.setattr(horizon, "plan_week", lambda *_: said.append("planned"))
    jonah.data.write_text("not a folder")
    week(jonah)
    assert said[0].endswith("(the plan is shown and not stored; --diary names another folder)")
    assert said[1] == "planned"


def test_a_rebalance_that_cannot_be_stored_plans_nothing(
    jonah: AtHome, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("planner.cli.rebalance._planned", lambda *_: pytest.fail("planned"))
    jonah.data.write_text("not a folder")
    line = message(jonah.planner("rebalance", "--missed", MONDAY, "--date", "2026-09-08"), 73)
    assert "cannot be made" in line


def test_a_plan_that_cannot_be_stored_is_shown_all_the_same(jonah: AtHome) -> None:
    jonah.data.write_text("not a folder")
    assert "Dinner bell" in week(jonah).out


@pytest.mark.parametrize(
    "content", [b"", b"garbage", b"SQLite format 3\0" + bytes(4000)], ids=["empty", "text", "zeros"]
)
def test_a_damaged_diary_is_said_with_the_way_back(jonah: AtHome, content: bytes) -> None:
    jonah.data.mkdir()
    (jonah.data / "diary.sqlite").write_bytes(content)
    assert "there are no copies: move this file away" in message(week(jonah), 74)


def test_a_diary_that_another_program_holds_is_busy(jonah: AtHome, monkeypatch: pytest.MonkeyPatch) -> None:
    jonah.week(MONDAY)
    jonah.rate(MONDAY, "--rest-clean")
    monkeypatch.setattr(digest.connect_to_read, "__defaults__", (0.05,))
    holder = sqlite3.connect(jonah.data / "diary.sqlite", isolation_level=None)
    holder.execute("PRAGMA journal_mode = DELETE")
    holder.execute("BEGIN EXCLUSIVE")
    line = message(week(jonah), 75)
    holder.close()
    assert line.startswith("another program holds the diary")


# --- 1: a fault of the program itself


def test_a_fault_of_the_program_is_one_line_without_a_trace(
    jonah: AtHome, monkeypatch: pytest.MonkeyPatch
) -> None:
    def broken(*args: object) -> None:
        raise RuntimeError("the cat sat\non the keys")

    monkeypatch.setattr(horizon, "plan_week", broken)
    line = message(week(jonah), 1)
    assert line.startswith("planner stopped on a fault of its own: RuntimeError: the cat sat on the keys (")


# --- whatever is wrong, --json prints no half of an object


@pytest.mark.parametrize(
    "spoil",
    [
        lambda player: edit(player.player, "monday = 15", "mondy = 15"),
        lambda player: edit(player.curriculum, 'family = "scales"', 'family = "scalse"'),
        lambda player: player.ratings.unlink(),
        lambda player: player.curriculum.write_bytes(b"\xff\xfe"),
        lambda player: player.player.write_text(
            player.player.read_text() + MUSIC.format(minutes=12, day="monday")
        ),
    ],
    ids=["player", "curriculum", "ratings", "no text", "no room"],
)
@pytest.mark.parametrize("command", COMMANDS)
def test_json_of_a_failed_run_is_empty(
    jonah: AtHome, command: str, spoil: Callable[[AtHome], object]
) -> None:
    spoil(jonah)
    said = jonah.planner(command, "--date", MONDAY, "--json")
    assert said.code in (3, 65, 66)
    assert said.out == ""


def test_a_reader_that_stops_early_is_no_fault(jonah: AtHome) -> None:
    jonah.week(MONDAY)
    words = ("--player", str(jonah.player), "--date", MONDAY, "--diary", "data")
    child = start(jonah.folder, "week", *words, "--json")
    assert child.stdout
    assert child.stdout.read(1) == "{"
    child.stdout.close()
    assert child.stderr
    assert (child.stderr.read(), child.wait(timeout=60)) == ("", 0)
    child.stderr.close()
