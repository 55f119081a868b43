"""What is installed is what was tried: every distribution pinned, hashed, and the same in both lock files."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from structure.pins import RUNTIME, TESTS, pins, versions
from structure.tree import ROOT

BOTH = pytest.mark.parametrize("path", [RUNTIME, TESTS], ids=["runtime", "tests"])
PROJECT: dict[str, Any] = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
FOR_THE_PROGRAM = [*PROJECT["project"]["dependencies"], *PROJECT["build-system"]["requires"]]
FOR_THE_TESTS = [*FOR_THE_PROGRAM, *PROJECT["dependency-groups"]["dev"]]


def unmet(asked: list[str], path: Path) -> list[str]:
    """What pyproject.toml asks for and the lock file does not give."""
    found = versions(path)
    wanted = [Requirement(one) for one in asked]
    return [
        str(one)
        for one in wanted
        if not one.specifier.contains(found.get(canonicalize_name(one.name), "0.dev0"))
    ]


@BOTH
def test_every_pinned_distribution_names_one_version(path: Path) -> None:
    assert [str(pin.requirement) for pin in pins(path) if not pin.version] == []


@BOTH
def test_every_pinned_distribution_is_hashed(path: Path) -> None:
    assert [pin.name for pin in pins(path) if not pin.hashes] == []


@BOTH
def test_no_distribution_is_pinned_twice(path: Path) -> None:
    names = [pin.name for pin in pins(path)]
    assert sorted(names) == sorted(set(names))


@pytest.mark.parametrize(
    "line",
    ["--index-url elsewhere", "typer==0.28.0 --hash=md5:0", "typer==0.28.0 --config-settings x=y"],
    ids=["an index", "a weak hash", "another option"],
)
def test_a_lock_file_holds_nothing_but_pins_and_hashes(tmp_path: Path, line: str) -> None:
    path = tmp_path / "requirements.lock"
    path.write_text(line, encoding="utf-8")
    with pytest.raises(ValueError, match=r"not a hash|Expected"):
        pins(path)


def test_the_runtime_lock_gives_what_the_program_asks_for() -> None:
    assert unmet(FOR_THE_PROGRAM, RUNTIME) == []


def test_the_test_lock_gives_what_the_tests_ask_for() -> None:
    assert unmet(FOR_THE_TESTS, TESTS) == []


def test_a_version_outside_what_is_asked_for_is_found(tmp_path: Path) -> None:
    path = tmp_path / "requirements.lock"
    path.write_text("typer==0.29.0 \\\n    --hash=sha256:" + "0" * 64 + "\n", encoding="utf-8")
    assert unmet(["typer<0.29", "rich>=13"], path) == ["typer<0.29", "rich>=13"]


def test_the_tests_run_with_the_versions_a_player_gets() -> None:
    both, tests = versions(RUNTIME), versions(TESTS)
    assert {name: tests.get(name) for name in both} == both


def test_every_python_the_program_claims_gets_the_same_versions() -> None:
    markers = {pin.name: str(pin.requirement.marker or "") for pin in pins(TESTS)}
    assert [
        name for name, marker in markers.items() if "python_version" in marker or "python_full" in marker
    ] == []
