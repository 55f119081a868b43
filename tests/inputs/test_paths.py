"""Where files are looked for; nothing is ever made by looking."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from inputs.files import PLAYER, TERM

from planner.errors import NoInput
from planner.paths import (
    data_folder,
    find_curriculum,
    find_player,
    id_inside,
    of_one_id,
    shipped_curricula,
    shipped_players,
    words_for,
)


def put(path: Path, text: str) -> Path:
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(text, encoding="utf-8")
    return path


@pytest.fixture
def cwd(tmp_path: Path) -> Path:
    folder = tmp_path / "here"
    folder.mkdir()
    return folder


@pytest.fixture
def data(tmp_path: Path) -> Path:
    return tmp_path / "data"


def test_a_named_data_folder_comes_before_all_others() -> None:
    assert data_folder("mine", {"PLANNER_DATA": "other", "XDG_DATA_HOME": "/x"}) == Path("mine")


def test_planner_data_comes_before_the_usual_place() -> None:
    assert data_folder(None, {"PLANNER_DATA": "other", "XDG_DATA_HOME": "/x"}) == Path("other")


def test_an_empty_planner_data_counts_as_none(tmp_path: Path) -> None:
    assert data_folder(None, {"PLANNER_DATA": "", "XDG_DATA_HOME": str(tmp_path)}) == tmp_path / "planner"


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="the usual place of Linux")
def test_a_relative_xdg_data_home_is_passed_over(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    # XDG Base Directory Specification: relative paths are invalid and ignored; default $HOME/.local/share
    monkeypatch.setenv("HOME", str(tmp_path))
    assert data_folder(None, {"XDG_DATA_HOME": "share"}) == tmp_path / ".local" / "share" / "planner"


def test_without_a_home_folder_a_data_folder_is_asked_for(monkeypatch: pytest.MonkeyPatch) -> None:
    def no_home() -> Path:
        raise RuntimeError("Could not determine home directory.")

    monkeypatch.setattr(Path, "home", no_home)
    with pytest.raises(NoInput, match="there is no home folder to keep the diary in") as caught:
        data_folder(None, {})
    assert caught.value.hint == "name a folder with --diary"


def test_asking_for_the_data_folder_makes_none(tmp_path: Path) -> None:
    data_folder(None, {"PLANNER_DATA": str(tmp_path / "data")})
    assert list(tmp_path.iterdir()) == []


def test_curricula_and_sample_players_ship_with_the_program() -> None:
    assert list(shipped_curricula().glob("*.toml"))
    assert list(shipped_players().glob("*.toml"))


def test_a_player_is_found_by_the_path_of_the_file(cwd: Path, data: Path) -> None:
    path = put(cwd / "class" / "anna.toml", PLAYER)
    assert find_player("class/anna.toml", cwd, data) == path
    assert find_player(str(path), cwd, data) == path


@pytest.mark.parametrize("place", ["here/anna.toml", "here/players/anna.toml", "data/players/anna.toml"])
def test_a_player_is_found_by_id_in_three_places(cwd: Path, data: Path, tmp_path: Path, place: str) -> None:
    path = put(tmp_path / place, PLAYER)
    assert find_player("anna", cwd, data) == path


def test_a_sample_player_is_found_by_id(cwd: Path, data: Path) -> None:
    sample = next(iter(sorted(shipped_players().glob("*.toml"))))
    assert find_player(sample.stem, cwd, data) == sample


def test_an_own_player_comes_before_a_sample_of_the_same_id(cwd: Path, data: Path) -> None:
    sample = next(iter(sorted(shipped_players().glob("*.toml"))))
    path = put(cwd / sample.name, PLAYER)
    assert find_player(sample.stem, cwd, data) == path


def test_an_unknown_player_is_told_with_those_known(cwd: Path, data: Path) -> None:
    put(data / "players" / "anna.toml", PLAYER)
    with pytest.raises(NoInput, match="there is no player ana") as caught:
        find_player("ana", cwd, data)
    assert caught.value.hint.startswith("did you mean anna? known players: anna, ")


def test_a_player_file_that_is_not_there_is_told(cwd: Path, data: Path) -> None:
    with pytest.raises(NoInput, match=r"there is no player file x/anna\.toml"):
        find_player("x/anna.toml", cwd, data)


@pytest.mark.parametrize("text", ["a\0b", "x" * 5000, "\x1b[2J", "..", "", "\udcff"], ids=ascii)
def test_a_text_that_cannot_be_a_file_is_no_player(cwd: Path, data: Path, text: str) -> None:
    with pytest.raises(NoInput, match="there is no player") as caught:
        find_player(text, cwd, data)
    assert caught.value.message.isprintable()


def test_without_a_name_player_toml_here_is_taken(cwd: Path, data: Path) -> None:
    put(cwd / "anna.toml", PLAYER)
    path = put(cwd / "player.toml", PLAYER)
    assert find_player(None, cwd, data) == path


def test_without_a_name_the_only_player_here_is_taken(cwd: Path, data: Path) -> None:
    put(cwd / "term.toml", TERM)
    put(cwd / "pyproject.toml", '[project]\nname = "x"\n')
    path = put(cwd / "anna.toml", PLAYER)
    assert find_player(None, cwd, data) == path


def test_without_a_name_the_only_player_of_the_data_folder_is_taken(cwd: Path, data: Path) -> None:
    path = put(data / "players" / "anna.toml", PLAYER)
    assert find_player(None, cwd, data) == path


def test_a_faulty_player_file_is_found_so_that_its_faults_are_told(cwd: Path, data: Path) -> None:
    path = put(cwd / "anna.toml", 'instrument = "trumpet\n')
    assert find_player(None, cwd, data) == path


def test_of_several_players_one_has_to_be_named(cwd: Path, data: Path) -> None:
    put(cwd / "anna.toml", PLAYER)
    put(cwd / "ben.toml", PLAYER)
    with pytest.raises(NoInput, match="several players are here") as caught:
        find_player(None, cwd, data)
    assert caught.value.hint == "name one with --player: anna, ben"


def test_where_no_player_is_the_way_to_begin_is_told(cwd: Path, data: Path) -> None:
    with pytest.raises(NoInput, match="there is no player file here") as caught:
        find_player(None, cwd, data)
    assert caught.value.hint.startswith("name one with --player, or begin with: planner new; known players: ")


@pytest.mark.parametrize("place", ["a/term.toml", "a/curricula/term.toml", "curricula/term.toml"])
def test_a_curriculum_is_found_by_id_near_the_player(tmp_path: Path, place: str) -> None:
    path = put(tmp_path / place, TERM)
    assert find_curriculum("term", tmp_path / "a" / "anna.toml") == path


def test_a_curriculum_is_found_by_its_path_from_the_player(tmp_path: Path) -> None:
    path = put(tmp_path / "terms" / "spring.toml", TERM)
    assert find_curriculum("terms/spring.toml", tmp_path / "anna.toml") == path


def test_a_shipped_curriculum_is_found_by_id(tmp_path: Path) -> None:
    shipped = next(iter(sorted(shipped_curricula().glob("*.toml"))))
    assert find_curriculum(shipped.stem, tmp_path / "anna.toml") == shipped


def test_an_unknown_curriculum_is_told_with_those_known(tmp_path: Path) -> None:
    put(tmp_path / "curricula" / "my-term.toml", TERM)
    with pytest.raises(NoInput, match="there is no curriculum my-trem") as caught:
        find_curriculum("my-trem", tmp_path / "anna.toml")
    assert caught.value.hint.startswith("did you mean my-term? known curricula: my-term, ")


def test_a_folder_is_no_curriculum(tmp_path: Path) -> None:
    (tmp_path / "term.toml").mkdir()
    with pytest.raises(NoInput, match=r"there is no curriculum term\.toml"):
        find_curriculum("term.toml", tmp_path / "anna.toml")


# --- an id and the name of its file


def with_id(player_id: str) -> str:
    return f'id = "{player_id}"\ninstrument = "trumpet"\n'


def test_a_player_is_found_by_the_id_inside_a_file_of_another_name(cwd: Path, data: Path) -> None:
    file = put(cwd / "trumpet-2026.toml", with_id("anna"))
    assert find_player("anna", cwd, data) == file


def test_the_name_of_a_file_comes_before_the_id_inside_another(cwd: Path, data: Path) -> None:
    put(cwd / "aa.toml", with_id("anna"))
    file = put(cwd / "anna.toml", with_id("ben"))
    assert find_player("anna", cwd, data) == file


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ('# mine\nid = "anna"\n', ("anna", 2)),
        ("name = 'A'\nid='anna'\n", ("anna", 2)),
        ('[[music]]\nid = "march"\n', ("", 0)),
        ("", ("", 0)),
    ],
)
def test_the_id_is_the_one_at_the_top_of_a_file(cwd: Path, text: str, found: tuple[str, int]) -> None:
    assert id_inside(put(cwd / "x.toml", text)) == found


def test_the_only_player_here_needs_no_word(cwd: Path, data: Path) -> None:
    file = put(cwd / "trumpet-2026.toml", with_id("anna"))
    assert words_for(file, "anna", cwd, data) is None


def test_one_of_several_players_is_named_by_its_id(cwd: Path, data: Path) -> None:
    put(cwd / "ben.toml", with_id("ben"))
    file = put(cwd / "trumpet-2026.toml", with_id("anna"))
    assert words_for(file, "anna", cwd, data) == "anna"


def test_an_id_that_leads_to_another_file_is_not_the_word_for_it(cwd: Path, data: Path) -> None:
    put(cwd / "anna.toml", with_id("ben"))
    file = put(cwd / "trumpet-2026.toml", with_id("anna"))
    assert words_for(file, "anna", cwd, data) == "trumpet-2026"


def test_a_file_elsewhere_is_named_by_its_path(cwd: Path, data: Path, tmp_path: Path) -> None:
    file = put(tmp_path / "elsewhere" / "anna.toml", with_id("anna"))
    assert words_for(file, "anna", cwd, data) == str(file)


def test_two_files_with_one_id_are_found(cwd: Path, data: Path) -> None:
    file = put(cwd / "anna.toml", with_id("anna"))
    other = put(cwd / "players" / "anna-horn.toml", with_id("anna"))
    assert of_one_id(file, "anna", cwd, data) == other.absolute()


def test_a_file_is_not_another_one_by_another_path(cwd: Path, data: Path) -> None:
    file = put(cwd / "anna.toml", with_id("anna"))
    (cwd / "players").symlink_to(cwd)
    assert of_one_id(file, "anna", cwd, data) is None
