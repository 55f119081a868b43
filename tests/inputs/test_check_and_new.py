"""`planner check` and `planner new` as they are typed."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path

import pytest
from inputs.files import PLAYER, TERM, changed

from planner.cli import app, files
from planner.cli.run import run
from planner.inputs.read import read_player

MONDAY = date(2026, 9, 7)
FLAGS = ("--name", "Anna", "--instrument", "trumpet", "--minutes", "mon-fri 30", "--curriculum", "term")


@dataclass(frozen=True)
class Said:
    code: int
    out: str
    err: str


Planner = Callable[..., Said]


@pytest.fixture
def planner(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> Planner:
    """The program in an empty folder with one curriculum, on Monday 7 September 2026."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(files, "_monday", lambda: MONDAY)
    Path("term.toml").write_text(TERM, encoding="utf-8")

    def call(*words: str) -> Said:
        code = run(app, list(words))
        captured = capsys.readouterr()
        return Said(code, captured.out, captured.err)

    return call


def answering(monkeypatch: pytest.MonkeyPatch, *answers: str) -> list[str]:
    """Lets a terminal answer; returns the questions, filled as they are asked."""
    asked: list[str] = []
    left = iter(answers)

    def prompt(question: str, **_: object) -> str:
        asked.append(question)
        return next(left)

    monkeypatch.setattr(files, "_terminal", lambda: True)
    monkeypatch.setattr(files.typer, "prompt", prompt)
    return asked


def test_sound_files_are_named_one_a_line(planner: Planner) -> None:
    Path("mina.toml").write_text(PLAYER, encoding="utf-8")
    said = planner("check", "term.toml", "mina.toml")
    assert said.code == 0
    assert said.out == (
        "term.toml: a curriculum without a fault: 2 exercises in 6 weeks\n"
        "mina.toml: a player without a fault: trumpet, 65 minutes on 2 days a week\n"
    )


@pytest.fixture
def mina() -> Path:
    """A player file that names a curriculum and a file of earlier ratings."""
    Path("mina.toml").write_text(PLAYER.replace("\n\n", '\nratings = "old.csv"\n\n', 1), encoding="utf-8")
    Path("old.csv").write_text("day,combination,articulation,grade\n-5,fives/a/1-2-3,slurred,3\n")
    return Path("mina.toml")


def test_a_player_file_is_checked_with_what_it_names(planner: Planner, mina: Path) -> None:
    assert planner("check", "mina.toml").out.splitlines() == [
        "mina.toml: a player without a fault: trumpet, 65 minutes on 2 days a week",
        "term.toml: a curriculum without a fault: 2 exercises in 6 weeks",
        "old.csv: earlier ratings without a fault: 1 rating on 1 day",
    ]


def test_the_faults_of_everything_a_player_names_are_told_at_once(planner: Planner, mina: Path) -> None:
    mina.write_text(changed(mina.read_text(), '"intermediate"', '"middle"'), encoding="utf-8")
    Path("term.toml").write_text(changed(TERM, "passes = 4", "passes = 0"), encoding="utf-8")
    Path("old.csv").write_text("day,combination,articulation,grade\nsoon,fives/a/1-2-3,slurred,9\n")
    said = planner("check", "mina.toml")
    assert (said.code, said.out) == (65, "")
    assert [line.partition(" ")[0] for line in said.err.splitlines()] == [
        "mina.toml:4:9:",
        "term.toml:14:10:",
        "old.csv:2:1:",
        "old.csv:2:28:",  # 4 + 13 + 7 letters and three commas before it
    ]


def test_check_warns_of_two_files_with_one_id(planner: Planner, mina: Path) -> None:
    Path("mina-horn.toml").write_text(PLAYER, encoding="utf-8")
    said = planner("check", "mina.toml")
    assert said.code == 0
    assert said.err.replace(f"{Path.cwd()}/", "") == (
        "mina.toml:1:1: the id mina is that of mina-horn.toml too: both would write into one diary "
        "(give one of them another id)\n"
    )


def test_a_curriculum_that_two_players_name_is_told_once(planner: Planner, mina: Path) -> None:
    Path("term.toml").write_text(changed(TERM, "passes = 4", "passes = 0"), encoding="utf-8")
    Path("ben.toml").write_text(changed(PLAYER, '"mina"', '"ben"'), encoding="utf-8")
    assert planner("check", "mina.toml", "ben.toml", "term.toml").err.count("term.toml:14:10:") == 1


def test_faults_go_to_standard_error_with_code_65(planner: Planner) -> None:
    Path("bad.toml").write_text(changed(TERM, "passes = 4", "passes = 0"), encoding="utf-8")
    said = planner("check", "bad.toml")
    assert (said.code, said.out) == (65, "")
    assert said.err == "bad.toml:14:10: passes should be a whole number from 1 to 32, not 0\n"


def test_the_faults_of_all_files_are_told_at_once(planner: Planner) -> None:
    Path("bad.toml").write_text(changed(TERM, "passes = 4", "passes = 0"), encoding="utf-8")
    Path("mina.toml").write_text(changed(PLAYER, '"intermediate"', '"middle"'), encoding="utf-8")
    said = planner("check", "bad.toml", "nowhere.toml", "mina.toml")
    assert said.code == 65
    assert [line.split(": ")[0] for line in said.err.splitlines()] == [
        "bad.toml:14:10",
        "nowhere.toml",
        "mina.toml:4:9",
    ]


def test_a_sound_file_is_named_beside_a_faulty_one(planner: Planner) -> None:
    Path("bad.toml").write_text("x =", encoding="utf-8")
    assert planner("check", "bad.toml", "term.toml").out.startswith("term.toml: a curriculum")


def test_files_that_are_not_there_have_code_66(planner: Planner) -> None:
    said = planner("check", "nowhere.toml", ".")
    assert said.code == 66
    assert said.err == "nowhere.toml cannot be read: there is no such file\n. is a folder, not a file\n"


def test_a_player_whose_curriculum_is_not_there_is_told_at_its_place(planner: Planner) -> None:
    Path("mina.toml").write_text(changed(PLAYER, '"term"', '"trem"'), encoding="utf-8")
    said = planner("check", "mina.toml")
    assert said.code == 65
    assert said.err.startswith("mina.toml:5:14: there is no curriculum trem (")


def test_a_player_whose_ratings_are_not_there_is_told_at_its_place(planner: Planner) -> None:
    Path("mina.toml").write_text(
        changed(PLAYER, 'name = "Mina"', 'ratings = "past.csv"\nname = "Mina"'), "utf-8"
    )
    said = planner("check", "mina.toml")
    assert said.err == "mina.toml:2:11: there is no such file beside this one\n"


def test_checking_nothing_is_a_slip_of_the_command_line(planner: Planner) -> None:
    assert planner("check").code == 2


def test_six_flags_make_a_player_file(planner: Planner) -> None:
    said = planner("new", *FLAGS, "--level", "advanced", "--breath", "12.5", "--no-input")
    assert (said.code, said.err) == (0, "")
    assert said.out == "anna.toml is written; next: planner today --player anna.toml\n"
    read = read_player(Path("anna.toml"), MONDAY)
    assert (read.id, read.name, read.instrument, read.level) == ("anna", "Anna", "trumpet", "advanced")
    assert (read.curriculum, read.starts, read.breath_seconds) == ("term", MONDAY, 12.5)
    assert read.minutes == (30, 30, 30, 30, 30, 0, 0)


def test_a_new_player_file_passes_the_check(planner: Planner) -> None:
    planner("new", *FLAGS, "--no-input")
    assert planner("check", "anna.toml").code == 0


def test_level_and_breath_may_be_left_to_the_usual(planner: Planner) -> None:
    planner("new", *FLAGS, "--no-input")
    read = read_player(Path("anna.toml"), MONDAY)
    # teaching-defaults.md: a beginner's breath 6 s. common practice, no source
    assert (read.level, read.breath_seconds) == ("beginner", 6.0)


def test_a_file_name_gives_the_id(planner: Planner) -> None:
    Path("players").mkdir()
    planner("new", "players/anna-b.toml", *FLAGS[:-1], "trumpet-cornet", "--no-input")
    assert read_player(Path("players/anna-b.toml"), MONDAY).id == "anna-b"


def test_a_file_name_without_ending_gets_one(planner: Planner) -> None:
    planner("new", "anna", *FLAGS, "--no-input")
    assert Path("anna.toml").is_file()


def test_a_file_that_is_there_is_not_written_over(planner: Planner) -> None:
    Path("anna.toml").write_text("mine\n", encoding="utf-8")
    said = planner("new", *FLAGS, "--no-input")
    assert (said.code, said.err) == (73, "anna.toml is there already (add --force to write over it)\n")
    assert Path("anna.toml").read_text(encoding="utf-8") == "mine\n"


def test_force_writes_over_a_file_that_is_there(planner: Planner) -> None:
    Path("anna.toml").write_text("mine\n", encoding="utf-8")
    assert planner("new", *FLAGS, "--no-input", "--force").code == 0
    assert read_player(Path("anna.toml"), MONDAY).name == "Anna"


def test_flags_that_are_missing_are_all_named(planner: Planner) -> None:
    said = planner("new", "--name", "Anna", "--no-input")
    assert said.code == 2
    assert (
        said.err == "nothing can be asked here; missing: --instrument, --minutes, --curriculum (add them)\n"
    )


def test_without_a_terminal_nothing_is_asked(planner: Planner, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "stdin", None)
    assert planner("new").code == 2


@pytest.mark.parametrize(
    ("flag", "value", "code", "told"),
    [
        ("--instrument", "trumpett", 2, "'trumpett' is not an instrument; allowed: trumpet, "),
        ("--minutes", "always", 2, "'always' is not days and minutes ("),
        ("--level", "expert", 2, "'expert' is not a level; allowed: beginner, intermediate, advanced"),
        ("--breath", "100", 2, "breath_seconds should be a number from 2 to 60, not 100.0"),
        ("--curriculum", "../term", 2, "'../term' is no file in the folder of the player file ("),
        ("--curriculum", "trem", 66, "there is no curriculum trem ("),
        ("--name", " ", 2, "name is empty"),
    ],
)
def test_an_answer_that_is_none_writes_nothing(
    planner: Planner, flag: str, value: str, code: int, told: str
) -> None:
    said = planner("new", *FLAGS, flag, value, "--no-input")
    assert said.code == code
    assert said.err.startswith(told)
    assert not Path("anna.toml").exists()


def test_a_terminal_is_asked_six_questions(planner: Planner, monkeypatch: pytest.MonkeyPatch) -> None:
    asked = answering(monkeypatch, "Anna", "horn", "advanced", "daily 40", "14", "term")
    assert planner("new").code == 0
    assert len(asked) == 6
    assert read_player(Path("anna.toml"), MONDAY).instrument == "horn"


def test_what_a_flag_answers_is_not_asked(planner: Planner, monkeypatch: pytest.MonkeyPatch) -> None:
    asked = answering(monkeypatch, "advanced", "14")
    assert planner("new", *FLAGS).code == 0
    assert len(asked) == 2


def test_an_answer_that_is_not_understood_is_asked_again(
    planner: Planner, monkeypatch: pytest.MonkeyPatch
) -> None:
    answering(monkeypatch, "expert", "advanced", "14")
    said = planner("new", *FLAGS)
    assert said.code == 0
    assert said.err == "'expert' is not a level; allowed: beginner, intermediate, advanced\n"


def test_a_fault_while_writing_leaves_no_file(planner: Planner, monkeypatch: pytest.MonkeyPatch) -> None:
    def full_disk(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full_disk)
    said = planner("new", *FLAGS, "--no-input")
    assert said.code == 73
    assert sorted(path.name for path in Path().iterdir()) == ["term.toml"]


def test_check_says_that_a_curriculum_has_not_begun(planner: Planner) -> None:
    planner("new", "anna.toml", *FLAGS, "--no-input")
    text = Path("anna.toml").read_text(encoding="utf-8")
    monday = re.search(r"starts = (\S+)", text)
    assert monday is not None
    begins = date.fromisoformat(monday[1]) + timedelta(weeks=51)
    Path("anna.toml").write_text(text.replace(monday[1], begins.isoformat()), encoding="utf-8")
    line = next(n for n, one in enumerate(text.splitlines(), 1) if one.startswith("starts"))
    told = planner("check", "anna.toml").out.splitlines()[1]
    assert told.startswith(f"anna.toml:{line}:10: the curriculum begins on Monday {begins.day} ")
    assert ", in 51 weeks; until then" in told


def test_check_says_nothing_of_a_curriculum_that_begins_this_week(planner: Planner) -> None:
    planner("new", "anna.toml", *FLAGS, "--no-input")
    assert "begins on" not in planner("check", "anna.toml").out
