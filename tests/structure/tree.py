"""What the structure tests read: the modules of the program, what each imports, the files of the project."""

from __future__ import annotations

import ast
import subprocess
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from sys import stdlib_module_names

ROOT = Path(__file__).resolve().parents[2]
PROGRAM = "planner"


def modules(root: Path = ROOT) -> dict[str, Path]:
    """Every module of the program by its dotted name; a package goes by the name of its folder."""
    found = {}
    for path in sorted((root / PROGRAM).rglob("*.py")):
        parts = path.relative_to(root).with_suffix("").parts
        found[".".join(parts[:-1] if parts[-1] == "__init__" else parts)] = path
    return found


@cache
def imports(root: Path = ROOT) -> dict[str, frozenset[str]]:
    """What each module imports, anywhere in it: inside functions and under TYPE_CHECKING too.

    `from planner.brass import keys` is an import of planner.brass.keys where that is a module, otherwise
    of planner.brass. `import_module("name")` with the name written out counts as well.
    """
    known = modules(root)
    return {name: frozenset(_imports_of(name, path, known)) for name, path in known.items()}


def outside_libraries(root: Path = ROOT) -> dict[str, frozenset[str]]:
    """The outside libraries that each module imports, by their top-level name."""
    own = {*stdlib_module_names, PROGRAM}
    return {
        name: frozenset(one.split(".")[0] for one in found if one.split(".")[0] not in own)
        for name, found in imports(root).items()
    }


def _imports_of(name: str, path: Path, known: Mapping[str, Path]) -> Iterator[str]:
    package = name if path.name == "__init__.py" else name.rpartition(".")[0]
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = _absolute(node, package)
            for alias in node.names:
                inner = f"{base}.{alias.name}"
                yield inner if inner in known else base
        elif isinstance(node, ast.Call):
            yield from _by_name(node)


def _absolute(node: ast.ImportFrom, package: str) -> str:
    if not node.level:
        return node.module or ""
    above = package.split(".")[: len(package.split(".")) - node.level + 1]
    return ".".join([*above, *([node.module] if node.module else [])])


def _by_name(node: ast.Call) -> Iterator[str]:
    called = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
    if called in {"import_module", "__import__"} and node.args and isinstance(node.args[0], ast.Constant):
        yield str(node.args[0].value)


def reached(start: str, graph: Mapping[str, frozenset[str]]) -> frozenset[str]:
    """Every module of the program that is loaded when `start` is, the packages above them included."""
    seen: set[str] = set()
    waiting = [start]
    while waiting:
        name = waiting.pop()
        if name in seen or name not in graph:
            continue
        seen.add(name)
        waiting += graph[name]
        waiting.append(name.rpartition(".")[0])
    return frozenset(seen)


def within(name: str, home: str) -> bool:
    """Whether a module is `home` or stands inside it."""
    return name == home or name.startswith(home + ".")


def project_files(root: Path = ROOT) -> list[Path]:
    """Every file that git keeps, or would keep when added."""
    listed = subprocess.run(
        ["git", "-c", "safe.directory=*", "ls-files", "-z", "--cached", "--others", "--exclude-standard"],
        cwd=root,
        capture_output=True,
        text=True,
        check=True,
    ).stdout
    return sorted(root / name for name in set(listed.split("\0")) if name and (root / name).is_file())


def project_lines(root: Path = ROOT) -> Iterator[tuple[str, str]]:
    """Every line of every text file of the project, with its place `file:line`."""
    for path in project_files(root):
        try:
            text = path.read_text(encoding="utf-8")
        except UnicodeDecodeError:
            continue  # a picture or another file without lines
        for number, line in enumerate(text.splitlines(), 1):
            yield f"{path.relative_to(root)}:{number}", line
