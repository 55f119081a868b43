"""The command `simulate`, through typer's runner on a small program of its own."""

from __future__ import annotations

import json
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
import typer
from typer.testing import CliRunner, Result

from planner.cli.simulate import simulate
from planner.errors import CannotWrite, UsageError
from planner.simulate import runner
from planner.simulate.studies import QUESTIONS

app = typer.Typer()
app.command()(simulate)
ONE_WEEK = ("quick", "--weeks", "1", "--learner", "a", "--policy", "ours", "--seeds", "1001-1002")


def run(*words: str) -> Result:
    """A command that succeeds."""
    result = CliRunner().invoke(app, list(words), env={"COLUMNS": "100"}, catch_exceptions=False)
    assert result.exit_code == 0
    return result


def refuse(*words: str) -> UsageError:
    """The refusal of a command that does not."""
    result = CliRunner().invoke(app, list(words), env={"COLUMNS": "100"})
    assert isinstance(result.exception, UsageError)
    return result.exception


def test_without_a_study_it_names_what_there_is() -> None:
    listed = run().stdout
    assert all(name in listed for name in (*QUESTIONS, "solver"))


def test_a_study_prints_a_row_a_policy_and_its_progress_beside_it() -> None:
    result = run(*ONE_WEEK)
    rows = result.stdout.splitlines()
    assert all(any(row.startswith(f"{name} ") for row in rows) for name in ("round robin", "ours"))
    assert "2 of 2 terms done" in result.stderr
    assert "done" not in result.stdout


def test_json_has_the_seeds_and_the_setting_that_were_asked_for() -> None:
    found = json.loads(run(*ONE_WEEK, "--json").stdout)
    (condition,) = found["conditions"]
    assert condition["seeds"] == [1001, 1002]
    assert condition["setting"]["weeks"] == 1
    assert [one["policy"] for one in condition["policies"]] == ["round robin", "ours"]


def test_the_picture_is_written_as_svg(tmp_path: Path) -> None:
    path = tmp_path / "terms.svg"
    run(*ONE_WEEK, "--picture", str(path))
    assert ET.parse(path).getroot().tag == "{http://www.w3.org/2000/svg}svg"


def test_a_picture_of_round_robin_alone_is_drawn(tmp_path: Path) -> None:
    path = tmp_path / "terms.svg"
    run(*ONE_WEEK, "--policy", "round robin", "--picture", str(path))
    assert ET.parse(path).getroot().tag == "{http://www.w3.org/2000/svg}svg"


def test_finished_parts_are_kept_in_the_folder_named(tmp_path: Path) -> None:
    run(*ONE_WEEK, "--keep", str(tmp_path / "parts"))
    assert len(list((tmp_path / "parts").glob("*.json"))) == 2


@pytest.mark.parametrize(
    ("words", "kept"),
    [((), "--keep FOLDER keeps them"), (("--keep", "parts"), "kept in parts,")],
    ids=["", "kept"],
)
def test_ctrl_c_says_how_many_terms_were_done(
    words: tuple[str, ...], kept: str, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.chdir(tmp_path)
    made = runner.run
    calls: list[int] = []

    def pressed(job: runner.Job) -> runner.Result:
        calls.append(1)
        if len(calls) == 2:
            raise KeyboardInterrupt
        return made(job)

    monkeypatch.setattr(runner, "run", pressed)
    result = CliRunner().invoke(app, [*ONE_WEEK, *words])
    assert (result.exit_code, result.stdout) == (130, "")
    assert f"stopped by Ctrl-C: 1 of 2 terms were done ({kept}" in result.stderr


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("polices",), "there is no study 'polices'"),
        (("quick", "--learner", "D"), "there is no learner 'D'"),
        (("quick", "--catalogue", "400"), "there is no catalogue '400'"),
        (("quick", "--start", "low"), "there is no start 'low'"),
        (("quick", "--policy", "mine"), "there is no policy 'mine'"),
        (("quick", "--start", "equal"), "nothing of quick is left with these choices"),
        (("quick", "--seeds", "many"), "seeds 'many' are no numbers"),
        (("quick", "--seeds", "9-3"), "seeds '9-3' are none, or too many"),
        (("solver", "--picture", "weeks.svg"), "solver has no picture"),
    ],
)
def test_what_is_not_understood_is_named(words: tuple[str, ...], message: str) -> None:
    assert refuse(*words).message == message


def test_a_file_is_no_folder_to_keep_parts_in(tmp_path: Path) -> None:
    (tmp_path / "parts").touch()
    result = CliRunner().invoke(app, [*ONE_WEEK, "--keep", str(tmp_path / "parts")])
    assert isinstance(result.exception, CannotWrite)
    assert "cannot be made" in result.exception.message


def test_a_picture_is_drawn_as_svg_alone(tmp_path: Path) -> None:
    assert "end it in .svg" in refuse(*ONE_WEEK, "--picture", str(tmp_path / "terms.png")).hint
