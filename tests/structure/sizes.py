"""A report of long files and long functions, run by itself: a prompt to think, not a gate."""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path
from statistics import median, quantiles

ROOT = Path(__file__).resolve().parents[2]
LONGEST_FILE = 300
LONGEST_BODY = 40
SHOWN = 12


def bodies(source: str) -> Iterator[tuple[str, int]]:
    """Each function and how many lines its body has, the docstring not counted."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            first = node.body[1:] if ast.get_docstring(node) is not None else node.body
            yield node.name, (first[-1].end_lineno or 0) - first[0].lineno + 1 if first else 0


def summary(name: str, sizes: list[int]) -> str:
    """One line: how many, the median, the ninth decile, the longest."""
    if len(sizes) < 2:
        return f"{name:<22} {len(sizes):>5}"
    ninth = quantiles(sizes, n=10, method="inclusive")[-1]
    figures = f"median {median(sizes):>5.0f}   90 % {ninth:>5.0f}   longest {max(sizes):>5}"
    return f"{name:<22} {len(sizes):>5}   {figures}"


def report(folder: Path) -> list[str]:
    """The lines of the report on one folder."""
    texts = {
        path.relative_to(ROOT): path.read_text(encoding="utf-8") for path in sorted(folder.rglob("*.py"))
    }
    lines = {str(path): text.count("\n") for path, text in texts.items()}
    functions = {f"{path} {name}": size for path, text in texts.items() for name, size in bodies(text)}
    long = [(size, f"{name}: {size} lines") for name, size in lines.items() if size > LONGEST_FILE]
    long += [(size, f"{name}(): body of {size}") for name, size in functions.items() if size > LONGEST_BODY]
    return [
        summary(f"{folder.name} files", list(lines.values())),
        summary(f"{folder.name} functions", list(functions.values())),
        *(f"  {words}" for _, words in sorted(long, reverse=True)[:SHOWN]),
    ]


if __name__ == "__main__":
    for part in ("planner", "tests"):
        sys.stdout.write("\n".join(report(ROOT / part)) + "\n")
