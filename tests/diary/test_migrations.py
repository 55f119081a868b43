"""Tables of older versions are brought up, and a new diary gets the very tables the program reads."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from pathlib import Path

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.operations import Operations
from diary.some_ratings import rating
from sqlalchemy import Column, String

import planner.diary.migrations as migrations
from planner.diary import database, rows
from planner.diary.backup import backups
from planner.diary.schema import META
from planner.diary.store import Diary

ROOT = Path(__file__).resolve().parents[2]


def version_in(folder: Path) -> list[tuple[int]]:
    connection = sqlite3.connect(folder / "diary.sqlite")
    found = connection.execute("SELECT version FROM schema_version").fetchall()
    connection.close()
    return found


def add_a_column(operations: Operations) -> None:
    with operations.batch_alter_table("batch") as table:
        table.add_column(Column("mood", String))


def test_the_steps_lead_to_the_tables_the_program_reads(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating()], "rate")
        with diary._file.reading() as connection:
            # alembic's own comparison: no table, column or index differs
            assert compare_metadata(MigrationContext.configure(connection), META) == []


def test_the_newest_step_leads_to_the_version_of_the_program() -> None:
    assert sorted(migrations.STEPS) == list(range(1, rows.VERSION + 1))


def test_a_new_diary_carries_one_version_row(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating()], "rate")
    assert version_in(tmp_path) == [(rows.VERSION,)]


def test_an_older_diary_is_brought_up_with_all_its_rows(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating(), rating(day=8)], "rate")
    steps = {1: migrations.STEPS[1], 2: add_a_column}
    monkeypatch.setattr(database, "VERSION", 2)
    monkeypatch.setattr("planner.diary.digest.VERSION", 2)
    monkeypatch.setattr(migrations.bring_up, "__defaults__", (steps,))
    with Diary.open(tmp_path) as diary:
        assert diary.ratings("anna") == (rating(), rating(day=8))
    assert version_in(tmp_path) == [(2,)]
    assert [path.name.partition("-before")[1] for path in backups(tmp_path)] == ["-before"]


def test_a_step_that_fails_leaves_the_diary_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating()], "rate")

    def fails(operations: Operations) -> None:
        add_a_column(operations)
        raise RuntimeError("the step broke off")

    monkeypatch.setattr(migrations.bring_up, "__defaults__", ({1: migrations.STEPS[1], 2: fails},))
    with monkeypatch.context() as later, Diary.open(tmp_path) as diary:
        later.setattr(database, "VERSION", 2)
        with pytest.raises(RuntimeError, match="the step broke off"):
            diary.ratings("anna")
    with Diary.open(tmp_path) as diary:
        assert diary.ratings("anna") == (rating(),)
    assert version_in(tmp_path) == [(1,)]


def test_an_ordinary_write_does_not_load_the_migration_tool(tmp_path: Path) -> None:
    with Diary.open(tmp_path) as diary:
        diary.add("anna", [rating()], "rate")
    code = (
        "import sys; from pathlib import Path; from planner.diary.store import Diary\n"
        "assert 'sqlalchemy' not in sys.modules, 'loaded before the first use'\n"
        f"with Diary.open(Path({str(tmp_path)!r})) as diary: diary.undo('anna')\n"
        "assert 'sqlalchemy' in sys.modules\n"
        "print(sorted({'alembic', 'pandas'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout == "[]\n"


def test_the_short_road_loads_the_standard_library_alone() -> None:
    code = (
        f"import sys; sys.path.insert(0, {str(ROOT)!r}); before = set(sys.modules)\n"
        "import planner.diary.digest, planner.diary.plans\n"
        "loaded = {name.split('.')[0] for name in set(sys.modules) - before}\n"
        "print(sorted(loaded - set(sys.stdlib_module_names)))"
    )
    done = subprocess.run([sys.executable, "-I", "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "['planner']\n"
