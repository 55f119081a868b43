"""The table of commands and the help that comes from it."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

import pytest
import typer

from planner import __version__
from planner.cli import COMMANDS, app
from planner.cli.run import run
from planner.errors import EXIT_CODES

ROOT = Path(__file__).parents[2]
ALL = {name: command for part in COMMANDS.values() for name, command in part.items()}
HERE = [name for name, command in ALL.items() if find_spec(command.source.split(":")[0])]
SLOW = (
    "rich",
    "pandas",
    "numpy",
    "scipy",
    "ortools",
    "highspy",
    "sqlalchemy",
    "alembic",
    "pydantic",
    "tree_sitter",
)
_IMPORTED = re.compile(r"^import time:[^|]*\|[^|]*\|\s*(\S+)$", re.MULTILINE)


def shown(*words: str, capsys: pytest.CaptureFixture[str]) -> str:
    assert run(app, list(words)) == 0
    return capsys.readouterr().out


@pytest.mark.parametrize("word", ["--help", "-h"])
def test_help_begins_with_examples(word: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert shown(word, capsys=capsys).splitlines()[2].startswith("  planner new ")


def test_a_call_without_words_shows_the_help(capsys: pytest.CaptureFixture[str]) -> None:
    assert shown(capsys=capsys) == shown("--help", capsys=capsys)


@pytest.mark.parametrize("name", ALL)
def test_help_names_every_command_with_its_line(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    assert re.search(rf"^  {name} +{re.escape(ALL[name].line)}$", shown("-h", capsys=capsys), re.MULTILINE)


@pytest.mark.parametrize("code", EXIT_CODES)
def test_help_names_every_exit_code(code: int, capsys: pytest.CaptureFixture[str]) -> None:
    assert re.search(rf"^ +{code}  {re.escape(EXIT_CODES[code])}$", shown("-h", capsys=capsys), re.MULTILINE)


@pytest.mark.parametrize("name", HERE)
def test_every_command_begins_its_help_with_an_example(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    help_text = shown(name, "-h", capsys=capsys)
    assert f"\n  planner {name}" in help_text.partition("Options:")[0]


@pytest.mark.parametrize("name", ALL)
def test_every_command_of_the_table_is_there(name: str) -> None:
    module, attribute = ALL[name].source.split(":")
    __import__(module)
    assert hasattr(sys.modules[module], attribute)


def test_version_names_the_program_and_its_version(capsys: pytest.CaptureFixture[str]) -> None:
    assert shown("--version", capsys=capsys) == f"planner {__version__}\n"


def test_a_mistyped_command_gets_the_nearest_one(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(app, ["tody"]) == 2
    assert capsys.readouterr().err == (
        "there is no command tody (did you mean today?; planner -h shows what is understood)\n"
    )


def test_a_command_is_not_understood_by_its_first_letters() -> None:
    assert run(app, ["wee"]) == 2


def test_a_wrong_option_names_the_help_of_its_command(capsys: pytest.CaptureFixture[str]) -> None:
    assert run(app, ["fingerings", "trumpet", "--loud"]) == 2
    assert capsys.readouterr().err == (
        "there is no option --loud (planner fingerings -h shows what is understood)\n"
    )


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("today", "--minutes"), "--minutes is followed by nothing (write its value behind it;"),
        (("today", "--json=5"), "--json takes no value (write it alone;"),
        (("today", "--minute", "5"), "there is no option --minute (did you mean --minutes?;"),
        (("why",), "COMBINATION is missing (planner why"),
        (("today", "at", "once"), "too much was typed: at once (a text with spaces goes in quotation"),
        (("click", "--tempo", "5"), "--tempo 5 is out of range (20 to 400;"),
        (("click", "--tempo", "fast"), "--tempo fast is no whole number (digits alone, like 20;"),
        (("diary", "foo"), "there is no command foo (planner diary"),
        (("--nope",), "there is no option --nope (planner -h"),
    ],
)
def test_every_fault_of_a_command_line_is_one_line_of_our_words(
    words: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(app, list(words)) == 2
    line = capsys.readouterr().err
    assert line.startswith(said)
    assert line.count("\n") == 1


def test_the_program_can_be_driven_by_typers_own_runner() -> None:
    from typer.testing import CliRunner

    assert CliRunner().invoke(app, ["--version"]).output == f"planner {__version__}\n"


def test_help_imports_no_module_of_any_command() -> None:
    done = subprocess.run(
        [sys.executable, "-X", "importtime", "-m", "planner", "--help"],
        env=os.environ | {"PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
        check=True,
    )
    modules = {command.source.split(":")[0] for command in ALL.values()}
    loaded = set(_IMPORTED.findall(done.stderr))
    assert {"typer", "planner.cli"} <= loaded
    assert not loaded & (modules | set(SLOW))


def test_a_command_is_built_with_its_own_name() -> None:
    group = typer.main.get_command(app)
    assert group.get_command(None, "fingerings").name == "fingerings"  # type: ignore[attr-defined]
