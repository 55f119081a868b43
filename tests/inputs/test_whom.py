"""Whom a word behind --player means: players, and pupils of a class."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from cli.class_profile import CLASS, put
from inputs.files import PLAYER

from planner.errors import BadData, NoInput
from planner.inputs.class_file import read_class
from planner.inputs.quick import quick_player
from planner.inputs.read import kind_of, read_player
from planner.inputs.whom import Whom, all_named, find_class, find_whom, words_for_whom
from planner.paths import find_player, is_class, is_player

MONDAY = date(2026, 9, 7)


@pytest.fixture
def cwd(tmp_path: Path) -> Path:
    folder = tmp_path / "here"
    folder.mkdir()
    return folder


@pytest.fixture
def data(tmp_path: Path) -> Path:
    return tmp_path / "data"


@pytest.mark.parametrize(
    "word",
    ["first-years/cornets", "club/cornets", "club.toml/cornets", "cornets"],
    ids=["by the class's id", "by the file's name", "by the file", "alone"],
)
def test_a_pupil_is_found(cwd: Path, data: Path, word: str) -> None:
    path = put(cwd / "club.toml")
    assert find_whom(word, cwd, data) == Whom(path, "cornets")


def test_a_class_in_the_folder_of_players_is_found(cwd: Path, data: Path) -> None:
    path = put(data / "players" / "club.toml")
    assert find_whom("first-years/trombones", cwd, data) == Whom(path, "trombones")


def test_a_class_beside_the_only_player_is_no_second_player(cwd: Path, data: Path) -> None:
    put(cwd / "club.toml")
    path = put(cwd / "anna.toml", PLAYER)
    assert find_whom(None, cwd, data) == Whom(path, "")


def test_a_class_with_the_instrument_for_all_is_no_player(cwd: Path) -> None:
    path = put(cwd / "club.toml", 'instrument = "cornet"\n' + CLASS)
    assert (is_class(path), is_player(path)) == (True, False)


def test_a_player_comes_before_a_pupil_of_the_same_id(cwd: Path, data: Path) -> None:
    put(cwd / "club.toml")
    path = put(cwd / "cornets.toml", PLAYER)
    assert find_whom("cornets", cwd, data) == Whom(path, "")


@pytest.mark.parametrize("word", ["club", "club.toml", "first-years"])
def test_a_class_without_a_pupil_is_answered_with_its_pupils(cwd: Path, data: Path, word: str) -> None:
    put(cwd / "club.toml")
    with pytest.raises(NoInput, match=r"^club\.toml is a class$") as told:
        find_whom(word, cwd, data)
    assert told.value.hint == "name a pupil with --player: first-years/cornets, first-years/trombones"


def test_only_a_class_here_asks_for_a_pupil(cwd: Path, data: Path) -> None:
    put(cwd / "club.toml")
    with pytest.raises(NoInput, match="a class is here and no player file"):
        find_whom(None, cwd, data)


def test_a_misspelt_pupil_is_guessed(cwd: Path, data: Path) -> None:
    put(cwd / "club.toml")
    with pytest.raises(NoInput, match="has no pupil cornet") as told:
        find_whom("first-years/cornet", cwd, data)
    assert told.value.hint == "did you mean cornets? known pupils: cornets, trombones"


def test_a_pupil_of_two_classes_is_named_with_the_class(cwd: Path, data: Path) -> None:
    put(cwd / "one.toml")
    put(cwd / "two.toml", CLASS.replace("first-years", "second-years"))
    with pytest.raises(NoInput, match="several classes have a pupil cornets") as told:
        find_whom("cornets", cwd, data)
    assert told.value.hint == "name one: first-years/cornets, second-years/cornets"


def test_an_unknown_player_is_told_the_pupils_too(cwd: Path, data: Path) -> None:
    put(cwd / "club.toml")
    with pytest.raises(NoInput, match="there is no player ella") as told:
        find_whom("ella", cwd, data)
    assert told.value.hint.endswith("; pupils: first-years/cornets, first-years/trombones")


def test_the_words_of_a_pupil_lead_back(cwd: Path, data: Path) -> None:
    whom = Whom(put(cwd / "club.toml"), "cornets")
    words = words_for_whom(whom, cwd, data)
    assert words == "first-years/cornets"
    assert find_whom(words, cwd, data) == whom


def test_a_class_elsewhere_is_named_by_its_file(cwd: Path, data: Path, tmp_path: Path) -> None:
    whom = Whom(put(tmp_path / "there" / "club.toml"), "cornets")
    assert find_whom(words_for_whom(whom, cwd, data), cwd, data) == whom


def test_a_class_stands_for_all_its_pupils(cwd: Path, data: Path) -> None:
    put(cwd / "club.toml")
    assert all_named("club.toml", cwd, data) == ("club.toml/cornets", "club.toml/trombones")


def test_a_player_stands_for_one(cwd: Path, data: Path) -> None:
    assert all_named("anna", cwd, data) == ("anna",)


def test_an_unknown_class_is_told_with_those_known(cwd: Path, data: Path) -> None:
    put(cwd / "club.toml")
    with pytest.raises(NoInput, match="there is no class clubs") as told:
        find_class("clubs", cwd, data)
    assert told.value.hint == "did you mean club? known classes: club"


def test_a_player_file_is_found_as_before(cwd: Path, data: Path) -> None:
    path = put(cwd / "anna.toml", PLAYER)
    assert find_whom("anna", cwd, data).file == find_player("anna", cwd, data) == path


def test_two_classes_may_have_pupils_of_one_id(cwd: Path) -> None:
    path = put(cwd / "club.toml")
    assert (
        read_player(path, MONDAY, "cornets").id == quick_player(path, "cornets").id == "first-years/cornets"
    )


def test_a_pupil_without_a_name_is_called_after_class_and_id(cwd: Path) -> None:
    assert read_player(put(cwd / "club.toml"), MONDAY, "cornets").name == "First years, cornets"


def test_known_notes_of_a_pupil_stand_instead_of_the_range_of_the_class(cwd: Path) -> None:
    path = put(cwd / "club.toml", 'range = ["C4", "C5"]\n' + CLASS)
    found = read_player(path, MONDAY, "cornets")
    assert (found.low, found.high) == (60, 67)  # C4 and G4, MIDI: C4 = 60


def test_a_file_with_pupils_is_a_class(cwd: Path) -> None:
    assert kind_of(put(cwd / "club.toml")) == "class"


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ('id = "first-years"\n', "", r":1:1: the class has no id"),
        ('id = "first-years"', 'id = "First Years"', r":1:6: id 'First Years' is not made of"),
        ('level = "beginner"', 'ratings = "all.csv"\nlevel = "beginner"', r":5:1: earlier ratings are one"),
        ('level = "beginner"\n', "", r":1:1: 'level' is missing \(write it above the pupils"),
        ('instrument = "cornet"\n', "", r":8:1: 'instrument' is missing in pupil"),
        ('instrument = "cornet"', 'instrument = "kornet"', r":10:14: 'kornet' is not an instrument"),
    ],
)
def test_a_fault_of_a_class_is_told_at_its_place(cwd: Path, old: str, new: str, said: str) -> None:
    path = put(cwd / "club.toml", CLASS.replace(old, new, 1))
    with pytest.raises(BadData, match=said):
        read_class(path, MONDAY)
