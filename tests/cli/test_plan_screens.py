"""What goes where: data on standard output, messages on standard error, and how it looks on which output."""

from __future__ import annotations

import json
import os
import pty
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from cli.plan_player import MONDAY, AtHome, Said, at_home, run_here
from horizon.sample_weeks import ROOT, program

from planner.plan.schema import FILE

ESC = "\x1b"
BOLD = "\x1b[1m"
COMMANDS = ("today", "week", "coverage")
FORMATS = {"today": "planner.plan/1", "week": "planner.plan/1", "coverage": "planner.coverage/1"}


@pytest.fixture(scope="module")
def jonah(tmp_path_factory: pytest.TempPathFactory) -> AtHome:
    """Jonah with his week planned."""
    found = at_home("jonah", tmp_path_factory.mktemp("jonah"))
    found.week(MONDAY)
    return found


def on_a_terminal(player: AtHome, *words: str, **environment: str) -> str:
    """What a command shows on a terminal."""
    main, other = pty.openpty()
    command = [sys.executable, "-m", "planner", *words, "--player", str(player.player), "--date", MONDAY]
    with subprocess.Popen(
        [*command, "--diary", str(player.data)],
        cwd=player.folder,
        env=os.environ | {"PYTHONPATH": str(ROOT), "TERM": "xterm-256color", "COLUMNS": "100"} | environment,
        stdin=other,
        stdout=other,
        stderr=subprocess.PIPE,
        close_fds=True,
    ) as child:
        os.close(other)
        text = b"".join(_until_closed(main)).decode()
        assert child.wait(timeout=60) == 0
    os.close(main)
    return text


def _until_closed(main: int) -> Iterator[bytes]:
    while True:
        try:
            found = os.read(main, 65536)
        except OSError:  # the other side is closed
            return
        if not found:
            return
        yield found


def shown(player: AtHome, *words: str) -> Said:
    return player.planner(words[0], "--date", MONDAY, *words[1:])


@pytest.mark.parametrize("command", COMMANDS)
def test_a_command_that_succeeds_says_nothing_on_standard_error(jonah: AtHome, command: str) -> None:
    said = shown(jonah, command)
    assert (said.code, said.err) == (0, "")
    assert said.out.endswith("\n")


@pytest.mark.parametrize("command", COMMANDS)
def test_json_is_one_object_of_a_named_format(jonah: AtHome, command: str) -> None:
    said = shown(jonah, command, "--json")
    assert (json.loads(said.out)["format"], said.err) == (FORMATS[command], "")


def test_todays_json_holds_the_one_day(jonah: AtHome) -> None:
    assert [day["date"] for day in shown(jonah, "today", "--json").plan["days"]] == [MONDAY]


def test_todays_json_is_that_day_of_the_weeks_json(jonah: AtHome) -> None:
    assert shown(jonah, "today", "--json").plan["days"] == shown(jonah, "week", "--json").plan["days"][:1]


def test_json_keeps_flats_as_they_are(jonah: AtHome) -> None:
    assert "B♭" in shown(jonah, "week", "--json").out


@pytest.mark.parametrize("command", COMMANDS)
def test_through_a_pipe_there_is_no_escape_sign(jonah: AtHome, command: str) -> None:
    words = ("--player", str(jonah.player), "--date", MONDAY, "--diary", str(jonah.data))
    done = program(jonah.folder, command, *words, TERM="xterm-256color", FORCE_COLOR="1")
    assert done.returncode == 0, done.stderr
    assert ESC not in done.stdout + done.stderr


@pytest.mark.parametrize("command", ["today", "week"])
def test_a_terminal_gets_bold_headings(jonah: AtHome, command: str) -> None:
    assert BOLD in on_a_terminal(jonah, command)


@pytest.mark.parametrize("command", COMMANDS)
def test_a_terminal_with_no_color_gets_no_escape_sign(jonah: AtHome, command: str) -> None:
    assert ESC not in on_a_terminal(jonah, command, NO_COLOR="1")


@pytest.mark.parametrize("command", COMMANDS)
def test_a_dumb_terminal_gets_no_escape_sign(jonah: AtHome, command: str) -> None:
    assert ESC not in on_a_terminal(jonah, command, TERM="dumb")


def test_an_empty_no_color_is_as_if_it_were_not_there(jonah: AtHome) -> None:
    assert BOLD in on_a_terminal(jonah, "today", NO_COLOR="")


@pytest.mark.parametrize("command", COMMANDS)
def test_json_on_a_terminal_has_no_escape_sign(jonah: AtHome, command: str) -> None:
    assert ESC not in on_a_terminal(jonah, command, "--json")


def test_an_output_without_music_signs_gets_letters(jonah: AtHome) -> None:
    words = ("--player", str(jonah.player), "--date", MONDAY, "--diary", str(jonah.data))
    done = program(jonah.folder, "today", *words, PYTHONIOENCODING="ascii")
    assert (done.returncode, done.stderr) == (0, "")
    assert "Bb" in done.stdout


def test_plain_has_one_fact_a_line_and_no_music_sign(jonah: AtHome) -> None:
    text = shown(jonah, "today", "--plain").out
    assert "Player: Jonah" in text.splitlines()
    assert not set("♭♯♪♩→·") & set(text)


def test_the_routine_ends_with_how_to_rate_it(jonah: AtHome) -> None:
    assert "planner rate" in shown(jonah, "today").out


def test_todays_routine_is_that_of_the_wall_calendar(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, jonah: AtHome
) -> None:
    from datetime import date

    from planner.cli import desk

    class Tuesday(date):
        @classmethod
        def today(cls) -> Tuesday:
            return cls(2026, 9, 8)

    monkeypatch.setattr(desk, "date", Tuesday)
    assert jonah.planner("today", "--json").plan["days"][0]["date"] == "2026-09-08"


# --- planner schema


def test_schema_prints_the_file_that_ships() -> None:
    assert run_here("schema") == Said(0, FILE.read_text(encoding="utf-8"), "")


def test_schema_loads_no_slow_library(tmp_path: Path) -> None:
    words = [sys.executable, "-X", "importtime", "-m", "planner", "schema"]
    environment = os.environ | {"PYTHONPATH": str(ROOT)}
    done = subprocess.run(words, cwd=tmp_path, env=environment, capture_output=True, check=True)
    loaded = {line.rpartition(b"|")[2].strip() for line in done.stderr.splitlines()}
    assert b"typer" in loaded
    assert not loaded & {b"pydantic", b"numpy", b"ortools", b"sqlalchemy", b"rich", b"planner.plan.schema"}


def test_the_hint_names_a_player_whose_file_has_another_name(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # the id alone would lead to the sample player of that name
    own = at_home("jonah", tmp_path)
    own.player.rename(tmp_path / "trombone-2026.toml")
    (tmp_path / "pia.toml").write_text('id = "pia"\ninstrument = "cornet"\n')
    monkeypatch.chdir(tmp_path)
    out = run_here("today", "--player", "trombone-2026", "--date", MONDAY).out
    hint = next(line for line in out.splitlines() if line.startswith("Afterwards: "))
    assert hint == "Afterwards: planner rate --player trombone-2026 --date 2026-09-07"
    assert run_here(*hint.split()[2:], "--rest-clean").code == 0
