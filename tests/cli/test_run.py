"""How a run ends: words on standard error, the exit code, quiet pipes, outputs without music signs."""

from __future__ import annotations

import io
import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
import typer

from planner import errors
from planner.cli.run import Screen, put, run, screen

ROOT = Path(__file__).parents[2]
NO_DEVICE = not Path("/dev/full").exists()


def program(work: Callable[[], Any]) -> typer.Typer:
    """A program whose one command does `work`."""
    app = typer.Typer(add_completion=False, rich_markup_mode=None)

    @app.command()
    def go(number: int = 0) -> None:
        work()

    return app


def failing(error: BaseException) -> typer.Typer:
    def work() -> None:
        raise error

    return program(work)


@pytest.mark.parametrize(
    "error",
    [
        errors.UsageError("which player?"),
        errors.DoesNotFit("the pins take 50 of 45 minutes"),
        errors.NoInput("no player anna"),
        errors.Refused("rule 1 is broken"),
        errors.CannotWrite("the folder is read-only"),
        errors.DiaryTrouble("the diary is damaged"),
        errors.Busy("another program holds the diary"),
    ],
    ids=lambda error: type(error).__name__,
)
def test_an_error_ends_with_its_own_exit_code(error: errors.PlannerError) -> None:
    assert run(failing(error), []) == error.code


def test_the_exit_codes_of_all_errors_stand_in_the_table() -> None:
    codes = {error.code for error in errors.PlannerError.__subclasses__()}
    assert codes <= set(errors.EXIT_CODES)


def test_an_error_says_what_and_what_next_in_one_line(capsys: pytest.CaptureFixture[str]) -> None:
    run(failing(errors.NoInput("no player is called anna", "planner new makes one")), [])
    assert capsys.readouterr().err == "no player is called anna (planner new makes one)\n"


def test_an_error_cannot_steer_the_terminal(capsys: pytest.CaptureFixture[str]) -> None:
    run(failing(errors.NoInput("no player \x1b[2J\u202eanna\x07")), [])
    assert capsys.readouterr().err == "no player [2Janna\n"


def test_every_fault_of_a_file_has_its_line(capsys: pytest.CaptureFixture[str]) -> None:
    faults = (errors.Fault("a.toml", 3, 1, "unknown word"), errors.Fault("a.toml", 9, 5, "no such key"))
    assert run(failing(errors.BadData(faults)), []) == 65
    assert capsys.readouterr().err == "a.toml:3:1: unknown word\na.toml:9:5: no such key\n"


def test_an_error_leaves_standard_output_empty(capsys: pytest.CaptureFixture[str]) -> None:
    run(failing(errors.NoInput("no player")), [])
    assert capsys.readouterr().out == ""


def test_a_fault_of_the_program_itself_ends_with_one() -> None:
    assert run(failing(ZeroDivisionError("division by zero")), []) == 1


def test_a_fault_of_the_program_itself_is_one_line(capsys: pytest.CaptureFixture[str]) -> None:
    run(failing(ZeroDivisionError("division\nby zero")), [])
    said = capsys.readouterr().err
    assert said.startswith("planner stopped on a fault of its own: ZeroDivisionError: division by zero (")
    assert said.count("\n") == 1


def test_a_traceback_is_shown_only_when_asked_for(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("PLANNER_DEBUG", "1")
    run(failing(ZeroDivisionError("division by zero")), [])
    assert "Traceback (most recent call last)" in capsys.readouterr().err


def test_ctrl_c_ends_with_130_and_says_so(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(failing(KeyboardInterrupt()), []) == 130
    assert capsys.readouterr().err == "stopped by Ctrl-C\n"


def test_an_exit_keeps_its_code() -> None:
    assert run(failing(typer.Exit(75)), []) == 75


def test_a_question_without_a_terminal_is_a_usage_error(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(sys, "stdin", io.StringIO())
    assert run(program(lambda: typer.prompt("name")), []) == 2
    assert "there is no terminal to answer it" in capsys.readouterr().err


def test_a_wrong_word_is_one_line_that_names_the_help(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(program(lambda: None), ["--number", "many"]) == 2
    assert capsys.readouterr().err == (
        "--number many is no whole number (digits alone, like 20; planner -h shows what is understood)\n"
    )


def test_a_reader_that_stops_reading_is_no_fault() -> None:
    reader, writer = os.pipe()
    os.close(reader)
    done = subprocess.run(
        [sys.executable, "-m", "planner", "--help"],
        env=os.environ | {"PYTHONPATH": str(ROOT)},
        stdout=writer,
        stderr=subprocess.PIPE,
        text=True,
    )
    os.close(writer)
    assert (done.returncode, done.stderr) == (0, "")


@pytest.mark.skipif(NO_DEVICE, reason="no /dev/full here")
@pytest.mark.parametrize("words", [("--help",), ("fingerings", "trumpet")], ids=" ".join)
def test_a_full_disk_under_the_output_is_one_line(words: tuple[str, ...]) -> None:
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "planner", *words],
            env=os.environ | {"PYTHONPATH": str(ROOT)},
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
        )
    said = (done.returncode, done.stderr)
    assert said == (73, "the output could not be written: No space left on device\n")


# cp1252 has the middle dot and the half, and no flat, arrow or note
@pytest.mark.parametrize(
    ("encoding", "printed"),
    [
        ("ascii", "Bb F# > - eighth = 96 2 1/2"),
        ("cp1252", "Bb F# > · eighth = 96 2½"),
        ("utf-8", "B♭ F♯ → · ♪ = 96 2½"),
    ],
)
def test_an_output_without_music_signs_gets_stand_ins(
    encoding: str, printed: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    raw = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, encoding=encoding))
    run(program(lambda: put("B♭ F♯ → · ♪ = 96 2½")), [])
    assert raw.getvalue().decode(encoding) == printed + "\n"


def test_a_sign_without_stand_in_is_a_question_mark(monkeypatch: pytest.MonkeyPatch) -> None:
    raw = io.BytesIO()
    monkeypatch.setattr(sys, "stdout", io.TextIOWrapper(raw, encoding="ascii"))
    run(program(lambda: put("小川")), [])
    assert raw.getvalue() == b"??\n"


def test_a_closed_output_is_no_fault(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdout", None)
    assert run(program(lambda: put("routine")), []) == 0


class Terminal(io.TextIOWrapper):
    """An output that says it is a terminal."""

    def isatty(self) -> bool:
        return True


def shown_on(encoding: str = "utf-8", *, terminal: bool = True) -> Screen:
    kind = Terminal if terminal else io.TextIOWrapper
    return screen(kind(io.BytesIO(), encoding=encoding))


@pytest.fixture(autouse=True)
def _plain_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "xterm")
    monkeypatch.setenv("COLUMNS", "100")
    for name in ("NO_COLOR", "PLANNER_DEBUG"):
        monkeypatch.delenv(name, raising=False)


def test_a_terminal_may_have_bold_words_and_drawn_lines() -> None:
    assert shown_on() == Screen(100, colour=True, boxes=True)


def test_a_pipe_has_neither_bold_words_nor_drawn_lines() -> None:
    assert shown_on(terminal=False) == Screen(100, colour=False, boxes=False)


# the standard of no-color.org: "when present and not an empty string"
@pytest.mark.parametrize(("value", "colour"), [("1", False), ("", True)], ids=["set", "empty"])
def test_no_color_counts_when_it_is_not_empty(
    value: str, colour: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("NO_COLOR", value)
    assert shown_on().colour is colour


def test_a_dumb_terminal_is_treated_like_a_pipe(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("TERM", "dumb")
    assert shown_on() == Screen(100, colour=False, boxes=False)


def test_a_terminal_without_line_signs_gets_no_lines() -> None:
    assert shown_on("cp1252").boxes is False


def test_a_very_wide_terminal_is_not_filled(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "300")
    assert shown_on().width == 120
