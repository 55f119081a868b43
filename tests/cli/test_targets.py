"""Where --to may write: no other file is lost, whatever the command."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest
from cli.plan_player import MONDAY, AtHome, at_home, run_here

from planner.cli.target import put_file, target
from planner.errors import CannotWrite, UsageError

EXPORTS = (
    ("diary", "export"),
    ("export", "today"),
    ("click",),
    ("sheet", "--chart", "trumpet"),
    ("figure", "4q 5 6 5"),
)


@pytest.fixture(scope="module")
def hester(tmp_path_factory: pytest.TempPathFactory) -> AtHome:
    """Hester, whose diary can be given out."""
    return at_home("hester", tmp_path_factory.mktemp("hester"))


@pytest.mark.parametrize("words", EXPORTS)
def test_no_command_writes_over_a_player_file(
    hester: AtHome, words: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(hester.folder)
    before = hester.player.read_bytes()
    more = ("--pdf",) if words[0] == "figure" else ()
    who = ("--player", "hester.toml", "--diary", str(hester.data)) if words[0] in ("diary", "export") else ()
    said = run_here(*words, *more, *who, "--to", "hester.toml")
    assert (said.code, "end it in" in said.err) == (2, True)
    assert hester.player.read_bytes() == before


def test_an_export_takes_the_place_of_an_earlier_one(hester: AtHome, tmp_path: Path) -> None:
    to = tmp_path / "diary.csv"
    first = hester.planner("diary", "export", "--to", str(to))
    again = hester.planner("diary", "export", "--to", str(to))
    assert (first.code, again.code) == (0, 0)


def test_a_table_of_another_kind_is_left_alone(hester: AtHome, tmp_path: Path) -> None:
    to = tmp_path / "pupils.csv"
    to.write_text("name,lesson\nAnna,Tuesday\n", encoding="utf-8")
    said = hester.planner("diary", "export", "--to", str(to))
    assert (said.code, "holds something else: it is left alone" in said.err) == (73, True)
    assert to.read_text(encoding="utf-8") == "name,lesson\nAnna,Tuesday\n"


def test_the_ratings_that_the_player_file_names_are_left_alone(hester: AtHome) -> None:
    before = hester.ratings.read_bytes()
    said = hester.planner("diary", "export", "--to", str(hester.ratings))
    assert said.code == 73
    assert hester.ratings.read_bytes() == before


def test_an_empty_file_may_be_filled(tmp_path: Path) -> None:
    (tmp_path / "a.wav").touch()
    put_file(tmp_path / "a.wav", b"RIFF and more")
    assert (tmp_path / "a.wav").read_bytes() == b"RIFF and more"


def test_a_pipe_is_no_file_to_write_over(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "a.wav")
    with pytest.raises(CannotWrite, match="no ordinary file"):
        target(str(tmp_path / "a.wav"), (".wav",), "a click")
    assert (tmp_path / "a.wav").is_fifo()


def test_a_name_that_leads_to_a_device_is_no_file_to_write_over(tmp_path: Path) -> None:
    (tmp_path / "a.csv").symlink_to("/dev/null")
    with pytest.raises(CannotWrite, match="no ordinary file"):
        put_file(tmp_path / "a.csv", b"day\n")


def test_a_folder_is_no_file_to_write_over(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="names no file"):
        target(f"{tmp_path}/", (".wav",), "a click")


def test_no_folder_is_made_for_a_slip_of_the_finger(tmp_path: Path) -> None:
    said = run_here("click", "--to", str(tmp_path / "nowhere" / "a.wav"))
    assert (said.code, "there is no folder" in said.err) == (73, True)
    assert not (tmp_path / "nowhere").exists()


def test_a_new_player_file_makes_no_folder(tmp_path: Path) -> None:
    words = ("--name", "Anna", "--instrument", "trumpet", "--minutes", "mon-fri 30", "--no-input")
    to = tmp_path / "nowhere" / "anna.toml"
    said = run_here("new", str(to), *words, "--curriculum", "trumpet-cornet")
    assert (said.code, to.parent.exists()) == (73, False)


def test_a_new_player_file_has_no_other_ending(tmp_path: Path) -> None:
    said = run_here("new", str(tmp_path / "anna.txt"), "--no-input")
    assert (said.code, "end it in .toml" in said.err) == (2, True)


def test_a_sheet_has_no_other_ending(tmp_path: Path) -> None:
    said = run_here("sheet", "--chart", "trumpet", "--to", str(tmp_path / "a.txt"))
    assert (said.code, list(tmp_path.iterdir())) == (2, [])


def test_a_line_stands_for_standard_output(hester: AtHome) -> None:
    shown = hester.planner("diary", "export", "--to", "-")
    assert (shown.code, shown.out) == (0, hester.planner("diary", "export").out)


def test_a_week_on_standard_output_needs_its_kind(hester: AtHome) -> None:
    said = hester.planner("export", "week", "--to", "-", "--date", MONDAY)
    assert (said.code, "--format ics or csv or json" in said.err) == (2, True)


def test_a_week_goes_to_standard_output(hester: AtHome) -> None:
    said = hester.planner("export", "week", "--to", "-", "--format", "json", "--date", MONDAY)
    assert json.loads(said.out)["first_day"] == MONDAY


def test_a_click_is_no_text(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.chdir(tmp_path)
    said = run_here("click", "--to", "-")
    assert (said.code, "is no text for standard output" in said.err) == (2, True)
    assert not list(tmp_path.iterdir())
