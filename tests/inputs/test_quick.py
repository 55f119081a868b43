"""The few words of a player file that a stored routine needs, and what reading them may not load."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest
from inputs.files import PLAYER, changed

from planner.errors import BadData, NoInput
from planner.inputs.quick import quick_player

ROOT = Path(__file__).resolve().parents[2]


def written(folder: Path, text: str) -> Path:
    path = folder / "mina.toml"
    path.write_text(text, encoding="utf-8")
    return path


def test_the_quick_words_are_id_curriculum_and_ratings(tmp_path: Path) -> None:
    path = written(tmp_path, changed(PLAYER, 'name = "Mina"', 'ratings = "past.csv"'))
    assert quick_player(path) == ("mina", "term", str(tmp_path / "past.csv"))


def test_without_ratings_the_path_is_empty(tmp_path: Path) -> None:
    assert quick_player(written(tmp_path, PLAYER)).history == ""


def test_a_player_without_an_id_is_told(tmp_path: Path) -> None:
    path = written(tmp_path, changed(PLAYER, 'id = "mina"\n', ""))
    with pytest.raises(
        BadData, match=r"mina\.toml:1:1: 'id' is missing or no text \(planner check says more\)"
    ):
        quick_player(path)


def test_an_id_that_is_a_number_is_told(tmp_path: Path) -> None:
    path = written(tmp_path, changed(PLAYER, 'id = "mina"', "id = 7"))
    with pytest.raises(BadData, match="'id' is missing or no text"):
        quick_player(path)


def test_a_broken_player_file_is_told_with_its_line(tmp_path: Path) -> None:
    path = written(tmp_path, changed(PLAYER, 'name = "Mina"', "name ="))
    with pytest.raises(BadData, match=r"mina\.toml:2:7: this is no value"):
        quick_player(path)


def test_a_player_file_that_is_gone_is_no_input(tmp_path: Path) -> None:
    with pytest.raises(NoInput, match="there is no such file"):
        quick_player(tmp_path / "mina.toml")


def test_reading_the_quick_words_loads_nothing_slow() -> None:
    code = """
import sys
from pathlib import Path
from planner.inputs.quick import quick_player
quick_player(Path("sample_profiles/ruben.toml"))
slow = {"pydantic", "pydantic_core", "tree_sitter", "tree_sitter_toml", "rich", "numpy", "typer"}
print(sorted(name for name in sys.modules if name in slow or name.startswith("planner.brass")))
"""
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
