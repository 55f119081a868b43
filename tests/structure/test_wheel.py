"""What is installed: the whole program, the files that ship with it, and nothing else."""

from __future__ import annotations

import os
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from structure.tree import ROOT, modules

SHIPPED = ("curricula", "sample_profiles")


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel of this tree, built with the build back end that is installed, without the network."""
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, encoding="utf-8", check=False)
    assert done.returncode == 0, done.stderr
    return next(folder.glob("planner-*.whl"))


@pytest.fixture(scope="module")
def unpacked(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder like the one into which pip unpacks a wheel."""
    folder = tmp_path_factory.mktemp("unpacked")
    with zipfile.ZipFile(wheel) as archive:
        archive.extractall(folder)
    return folder


def installed(unpacked: Path, folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Run the unpacked program in an empty folder."""
    return subprocess.run(
        [sys.executable, "-m", "planner", *words],
        cwd=folder,
        env=os.environ | {"PYTHONPATH": str(unpacked), "PLANNER_DATA": str(folder)},
        capture_output=True,
        encoding="utf-8",
        check=False,
    )


def files(folder: Path) -> dict[str, bytes]:
    """Every file below a folder by its name there."""
    return {str(path.relative_to(folder)): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def test_the_wheel_has_every_module_of_the_program(unpacked: Path) -> None:
    sources = {str(path.relative_to(ROOT)) for path in modules().values()}
    assert sources - set(files(unpacked)) == set()


@pytest.mark.parametrize("name", SHIPPED)
def test_the_wheel_carries_the_files_that_ship_unchanged(unpacked: Path, name: str) -> None:
    sources = files(ROOT / name)
    assert sources
    assert files(unpacked / "planner" / "_shipped" / name) == sources


def test_the_wheel_has_nothing_beside_the_program(unpacked: Path) -> None:
    assert {path.name.split("-")[0] for path in unpacked.iterdir()} == {"planner"}


def test_the_wheel_has_no_tests_and_no_byte_code(unpacked: Path) -> None:
    assert [name for name in files(unpacked) if "test" in Path(name).name or name.endswith(".pyc")] == []


def test_the_wheel_carries_the_licence(unpacked: Path) -> None:
    assert [name for name in files(unpacked) if name.endswith("licenses/LICENSE")]


def test_the_wheel_makes_the_command(unpacked: Path) -> None:
    points = next(unpacked.glob("planner-*.dist-info")) / "entry_points.txt"
    assert "planner = planner.__main__:main" in points.read_text(encoding="utf-8")


def test_the_installed_program_knows_a_fingering(unpacked: Path, tmp_path: Path) -> None:
    done = installed(unpacked, tmp_path, "fingerings", "trumpet", "C4")
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("name", SHIPPED)
def test_the_installed_program_reads_the_files_that_ship(unpacked: Path, tmp_path: Path, name: str) -> None:
    shipped = sorted(str(path) for path in (unpacked / "planner" / "_shipped" / name).glob("*.toml"))
    done = installed(unpacked, tmp_path, "check", *shipped)
    assert done.returncode == 0, done.stderr
