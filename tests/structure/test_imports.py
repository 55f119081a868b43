"""The one-way order of the program's parts, and the one home of each outside library."""

from __future__ import annotations

import ast
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest
from structure.tree import ROOT, imports, modules, outside_libraries, reached, within

# A module imports only from its own row and the rows above it (`planner` is the package's own __init__).
ORDER = (
    "planner",
    "planner.errors",
    "planner.paths",
    "planner.brass",
    "planner.inputs",
    "planner.diary",
    "planner.need",
    "planner.plan",
    "planner.plan.solve",
    "planner.horizon",
    "planner.simulate",
    "planner.show",
    "planner.cli",
    "planner.__main__",
)
VERIFY = "planner.plan.verify"
# The second road shares only facts and types with the first.
VERIFY_MAY_IMPORT = (
    "planner.errors",
    "planner.brass",
    "planner.inputs.curriculum",
    "planner.inputs.player",
    "planner.diary.rating",
    "planner.plan.weekplan",
    VERIFY,
)
THE_FIRST_ROAD = ("planner.need", "planner.plan.problem", "planner.plan.solve")

HOMES: dict[str, tuple[str, ...]] = {
    "ortools": ("planner.plan.solve",),
    "highspy": ("planner.plan.solve",),
    "numpy": ("planner.need", "planner.plan.solve", "planner.simulate"),
    "scipy": ("planner.need",),
    "pandas": ("planner.diary", "planner.need", "planner.horizon", "planner.show"),
    "sqlalchemy": ("planner.diary",),
    "alembic": ("planner.diary",),
    "pydantic": ("planner.inputs",),
    "pydantic_core": ("planner.inputs",),
    "tree_sitter": ("planner.inputs",),
    "tree_sitter_toml": ("planner.inputs",),
    "rich": ("planner.show", "planner.cli"),
    "typer": ("planner.cli",),
}

# The facts of the trade know neither files nor the clock nor chance.
NOT_IN_BRASS = {
    "datetime",
    "io",
    "os",
    "pathlib",
    "random",
    "secrets",
    "shutil",
    "sqlite3",
    "subprocess",
    "time",
}
# The names by which a module would ask for the day or the hour.
THE_CLOCK = [
    ["date", "today"],
    ["datetime", "today"],
    ["datetime", "now"],
    ["datetime", "utcnow"],
    ["time", "time"],
]


def place(name: str) -> int | None:
    """The row of a module in ORDER: the longest name it stands in."""
    if name == ORDER[0]:
        return 0
    rows = [row for row, part in enumerate(ORDER) if row and within(name, part)]
    return max(rows, key=lambda row: len(ORDER[row]), default=None)


def upward(root: Path = ROOT) -> list[str]:
    """The imports that go against the order."""
    wrong = []
    for name, found in imports(root).items():
        for target in sorted(one for one in found if within(one, ORDER[0])):
            here, there = place(name), place(target)
            if here is None or there is None or there > here:
                wrong.append(f"{name} imports {target}")
    return wrong


def cycle(root: Path = ROOT) -> list[str]:
    """The modules of one import cycle, the first again at the end; [] where there is none."""
    try:
        TopologicalSorter(imports(root)).prepare()
    except CycleError as error:
        return list(error.args[1])
    return []


def program(tmp_path: Path, **sources: str) -> Path:
    """A program of a few files; `brass__keys` is planner/brass/keys.py."""
    for name, source in sources.items():
        path = tmp_path.joinpath("planner", *name.split("__")).with_suffix(".py")
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(source, encoding="utf-8")
    return tmp_path


def test_every_module_has_a_place_in_the_order() -> None:
    assert [name for name in modules() if place(name) is None] == []


def test_no_module_imports_from_a_part_below_it() -> None:
    assert upward() == []


def test_an_upward_import_inside_a_function_is_found(tmp_path: Path) -> None:
    root = program(tmp_path, brass__keys="def f():\n    from planner.cli import app\n", cli__app="")
    assert upward(root) == ["planner.brass.keys imports planner.cli.app"]


def test_an_upward_import_for_types_alone_is_found(tmp_path: Path) -> None:
    source = "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    import planner.need.weigh\n"
    root = program(tmp_path, diary__rating=source, need__weigh="")
    assert upward(root) == ["planner.diary.rating imports planner.need.weigh"]


def test_a_relative_upward_import_is_found(tmp_path: Path) -> None:
    root = program(tmp_path, plan__problem="from .solve import rules\n", plan__solve__rules="")
    assert upward(root) == ["planner.plan.problem imports planner.plan.solve.rules"]


def test_no_modules_import_each_other_in_a_circle() -> None:
    assert " is imported by ".join(cycle()) == ""


def test_a_circle_of_imports_is_found(tmp_path: Path) -> None:
    root = program(
        tmp_path, brass__keys="import planner.brass.tempo", brass__tempo="from planner.brass import keys"
    )
    assert set(cycle(root)) == {"planner.brass.keys", "planner.brass.tempo"}


def test_the_check_of_a_plan_imports_only_facts_and_types() -> None:
    found = {
        f"{name} imports {target}"
        for name, targets in imports().items()
        if within(name, VERIFY)
        for target in targets
        if within(target, ORDER[0]) and not any(within(target, home) for home in VERIFY_MAY_IMPORT)
    }
    assert found == set()


def test_the_check_of_a_plan_never_loads_the_first_road() -> None:
    graph = imports()
    loaded = {name for start in graph if within(start, VERIFY) for name in reached(start, graph)}
    assert loaded, f"{VERIFY} is not there"
    assert sorted(name for name in loaded if any(within(name, road) for road in THE_FIRST_ROAD)) == []


def test_every_outside_library_has_a_home() -> None:
    homeless = {
        f"{name} imports {library}"
        for name, libraries in outside_libraries().items()
        for library in libraries
        if library not in HOMES
    }
    assert homeless == set()


@pytest.mark.parametrize("library", HOMES)
def test_an_outside_library_is_used_only_in_its_home(library: str) -> None:
    users = {name for name, libraries in outside_libraries().items() if library in libraries}
    assert sorted(name for name in users if not any(within(name, home) for home in HOMES[library])) == []


def test_a_library_away_from_its_home_is_found(tmp_path: Path) -> None:
    root = program(tmp_path, show__week="def f():\n    import ortools.sat.python.cp_model\n")
    assert outside_libraries(root) == {"planner.show.week": frozenset({"ortools"})}


def test_the_facts_of_brass_know_no_file_and_no_clock() -> None:
    wrong = {
        f"{name} imports {target}"
        for name, found in imports().items()
        if within(name, "planner.brass")
        for target in found
        if target.split(".")[0] in NOT_IN_BRASS
    }
    assert wrong == set()


def test_only_the_command_line_asks_what_day_it_is() -> None:
    askers = {
        f"{name}:{node.lineno}"
        for name, path in modules().items()
        if not within(name, "planner.cli")
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Attribute) and ast.unparse(node).split(".")[-2:] in THE_CLOCK
    }
    assert askers == set()
