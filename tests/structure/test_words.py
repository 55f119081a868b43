"""Words and addresses that stand nowhere: other programs' words, registries, machine paths."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from structure.tree import ROOT, modules, project_files, project_lines

# The patterns are spelled so that none of them finds its own line.
REGISTRY = re.compile(
    r"py(?:pi|thonhoste[d])[.]org|registry[.]npm|deb[.]debia[n]|anacond[a][.]|crate[s][.]io"
)
MACHINE_PATH = re.compile(
    r"(?<![\w.)}])/(?:wor[k]|roo[t]|hom[e]|op[t]|User[s])/\w|/tm[p]/\w|[A-Z]:\\\\?User[s]"
)
WORKPLACE = re.compile(r"far[m]-\w|[.]librar[y]\b|see[d] document")
INSTALL_FILES = ("requirements.lock", "tests/requirements.lock", "pyproject.toml", ".ci/run")
ADDRESS = re.compile(r"://|index-url|find-links")

# The vocabulary of programs that hand out tasks and prizes; this one speaks of turns, spans and need.
OTHER_WORDS = re.compile(
    r"\b(?:due|late|owe[ds]?|review(?:s|ed|ing)?|decks?|cards?|streaks?|rewards?|level(?:s|led)?[- ]up)\b",
    re.IGNORECASE,
)
WRITTEN = ("README.md", "DEVELOPERS.md", "curricula", "sample_profiles")


def places(pattern: re.Pattern[str]) -> list[str]:
    """Where a pattern stands in the project's files, as file:line."""
    return [place for place, line in project_lines() if pattern.search(line)]


def said(source: str) -> Iterator[tuple[int, str]]:
    """The strings, docstrings and names of a module, each with its line; `turn_by` is read as two words."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            yield node.lineno, node.value.replace("_", " ")
        elif isinstance(node, ast.Name):
            yield node.lineno, node.id.replace("_", " ")
        elif isinstance(node, ast.FunctionDef | ast.ClassDef):
            yield node.lineno, node.name.replace("_", " ")


def other_words(source: str) -> list[str]:
    """The words of other programs that a module says, with their lines."""
    return [f"{line} {found[0]}" for line, text in said(source) if (found := OTHER_WORDS.search(text))]


@pytest.mark.parametrize(
    ("pattern", "line"),
    [
        (REGISTRY, "files.py" + "thonhosted.org"),
        (MACHINE_PATH, "see /wo" + "rk/main"),
        (MACHINE_PATH, "a file in /t" + "mp/day"),
        (WORKPLACE, "." + "library/x"),
        (ADDRESS, "--extra-index-url here"),
    ],
    ids=["a registry", "a home on a machine", "a temporary folder", "a workplace", "an index option"],
)
def test_a_line_that_must_not_stand_there_is_found(pattern: re.Pattern[str], line: str) -> None:
    assert pattern.search(line)


@pytest.mark.parametrize(
    ("source", "found"),
    [
        ('"""What is due today."""', ["1 due"]),
        ('say(f"{n} cards left")', ["1 cards"]),
        ("def late_items():\n    pass", ["1 late"]),
        ("turn_by = duet.lately", []),
    ],
    ids=["a docstring", "a message", "a name", "words that only begin alike"],
)
def test_a_word_of_another_program_is_found(source: str, found: list[str]) -> None:
    assert other_words(source) == found


def test_the_project_has_files_to_read() -> None:
    assert ROOT / "pyproject.toml" in project_files()


def test_no_file_of_the_project_names_a_registry() -> None:
    assert places(REGISTRY) == []


def test_no_file_of_the_project_names_a_place_on_a_machine() -> None:
    assert places(MACHINE_PATH) == []


def test_no_file_of_the_project_names_where_it_was_written() -> None:
    assert places(WORKPLACE) == []


@pytest.mark.parametrize("name", INSTALL_FILES)
def test_no_file_used_to_install_holds_an_address(name: str) -> None:
    assert ADDRESS.findall((ROOT / name).read_text(encoding="utf-8")) == []


def test_the_program_says_no_word_of_another_program() -> None:
    wrong = {
        name: found
        for name, path in modules().items()
        if (found := other_words(path.read_text(encoding="utf-8")))
    }
    assert wrong == {}


def _written() -> Iterator[Path]:
    for name in WRITTEN:
        path = ROOT / name
        yield from sorted(path.rglob("*.*")) if path.is_dir() else [path]


def test_what_people_read_says_no_word_of_another_program() -> None:
    wrong = [
        f"{path.relative_to(ROOT)}:{number} {found[0]}"
        for path in _written()
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1)
        if (found := OTHER_WORDS.search(line))
    ]
    assert wrong == []
