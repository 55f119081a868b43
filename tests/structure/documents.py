"""The documents as data: their sections, their fenced blocks, and what the commands in them print.

The first word after a fence says what a block is, the others how it is proven:

    sh                a command block: it is run, and must end with exit code 0
    sh exit=3         it is run, and must end with that exit code
    sh setup          makes an environment: its lines must be those of .ci/run; run by the full tests
    sh check          for developers: it must stand in .ci/run, or be a pytest command that finds tests
    sh lock           makes the lock files again: checked for its options
    console           like sh; lines after `$ ` are commands, the others what they print
    text              directly after a command block: exactly what it prints, both streams as on a terminal
    text excerpt      directly after a command block: lines that stand together in what it prints
    toml, json        must parse; `toml whole` is a file as somebody writes it and must pass `planner check`

Blocks of one document are run in its order in one folder with a data folder of its own, so that a later
block finds what an earlier one wrote.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import zip_longest
from pathlib import Path
from tempfile import TemporaryDirectory

from structure.tree import ROOT

DOCUMENTS = ("README.md", "DEVELOPERS.md")
NOT_RUN = {"setup", "check", "lock"}
SECONDS = 240
_FENCE = re.compile(r"^(`{3,}|~{3,})(.*)$")
_BESIDE_THE_READER = ("curricula", "sample_profiles")  # what somebody who reads the documents has at hand


@dataclass(frozen=True, slots=True)
class Block:
    """One fenced block: where its first fence stands, the words after it, its text."""

    document: str
    line: int
    words: tuple[str, ...]
    text: str

    @property
    def kind(self) -> str:
        """The first word after the fence."""
        return self.words[0] if self.words else ""

    @property
    def script(self) -> str:
        """What to run: the whole block, or the lines after `$ ` of a console block."""
        if self.kind != "console":
            return self.text
        return "\n".join(line[2:] for line in self.text.splitlines() if line.startswith("$ "))

    @property
    def exit_code(self) -> int:
        """The exit code it must end with."""
        found = [word.removeprefix("exit=") for word in self.words if word.startswith("exit=")]
        return int(found[0]) if found else 0

    @property
    def is_run(self) -> bool:
        """Whether it is run with its document."""
        return self.kind in {"sh", "console"} and not NOT_RUN & set(self.words)

    @property
    def place(self) -> str:
        """file:line"""
        return f"{self.document}:{self.line}"


@dataclass(frozen=True, slots=True)
class Ran:
    """What a block did: its exit code and all it printed."""

    block: Block
    code: int
    printed: str


@dataclass(frozen=True, slots=True)
class Shown:
    """What a document says that a command block prints: all of it, or lines that stand together in it."""

    block: Block
    text: str
    excerpt: bool


def text_of(document: str) -> str:
    """A document as it stands."""
    return (ROOT / document).read_text(encoding="utf-8")


def flowing(text: str) -> str:
    """The text with line ends and repeated blanks as one blank, so that a wrapped sentence is found."""
    return " ".join(text.split())


def sections(text: str) -> dict[str, str]:
    """The parts under each heading of the second level, "" for what stands before the first."""
    found = {"": ""}
    title = ""
    inside = False
    for line in text.splitlines():
        inside ^= bool(_FENCE.match(line))
        if line.startswith("## ") and not inside:
            title = line[3:].strip()
            found[title] = ""
        else:
            found[title] += line + "\n"
    return found


def blocks(document: str, text: str) -> list[Block]:
    """Every fenced block; raises ValueError where the last fence is not closed."""
    found: list[Block] = []
    start, fence, words = 0, "", ()
    lines: list[str] = []
    for number, line in enumerate(text.splitlines(), 1):
        match = _FENCE.match(line)
        if not fence and match:
            start, fence, words, lines = number, match[1], tuple(match[2].split()), []
        elif fence and line.rstrip() == fence:
            found.append(Block(document, start, words, "".join(one + "\n" for one in lines)))
            fence = ""
        else:
            lines.append(line)
    if fence:
        raise ValueError(f"{document}:{start}: the block is not closed")
    return found


def all_blocks() -> list[Block]:
    """The blocks of every document that is there."""
    return [block for name in DOCUMENTS if (ROOT / name).is_file() for block in blocks(name, text_of(name))]


def shown_outputs(found: list[Block]) -> Iterator[Shown]:
    """What the documents say that a command block prints: in a console block, or in a text block below."""
    for block, after in zip_longest(found, found[1:]):
        if block.is_run and block.kind == "console":
            kept = (line for line in block.text.splitlines(keepends=True) if not line.startswith("$ "))
            yield Shown(block, "".join(kept), excerpt=False)
        elif block.is_run and after and after.kind == "text" and directly_below(block, after):
            yield Shown(block, after.text, excerpt="excerpt" in after.words)


def directly_below(block: Block, after: Block) -> bool:
    """Whether nothing but blank lines stands between the two blocks."""
    if block.document != after.document:
        return False
    end = block.line + block.text.count("\n") + 1
    return not any(line.strip() for line in text_of(block.document).splitlines()[end : after.line - 1])


@cache
def ran(document: str) -> dict[int, Ran]:
    """Run the blocks of a document in their order; each result by the line of its block."""
    with TemporaryDirectory() as folder:
        place = Path(folder)
        for name in _BESIDE_THE_READER:
            shutil.copytree(ROOT / name, place / "reader" / name)
        environment = _environment(place)
        return {
            block.line: run(block, place / "reader", environment)
            for block in blocks(document, text_of(document))
            if block.is_run
        }


def run(block: Block, folder: Path, environment: dict[str, str]) -> Ran:
    """Run one block with bash, stopping at its first failing command."""
    done = subprocess.run(
        ["bash", "-euo", "pipefail", "-c", block.script],
        cwd=folder,
        env=environment,
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        timeout=SECONDS,
        check=False,
    )
    return Ran(block, done.returncode, done.stdout)


def _environment(place: Path) -> dict[str, str]:
    """A reader's own home, the `planner` of this tree on the path, a screen of 80 columns."""
    programs = place / "programs"
    programs.mkdir()
    planner = programs / "planner"
    planner.write_text(f'#!/bin/sh\nexec "{sys.executable}" -m planner "$@"\n', encoding="utf-8")
    planner.chmod(0o755)
    kept = {name: value for name, value in os.environ.items() if name.startswith("OPENBLAS_")}
    return kept | {
        "PATH": f"{programs}:{Path(sys.executable).parent}:{os.environ['PATH']}",
        "PYTHONPATH": str(ROOT),
        "PYTHONUNBUFFERED": "1",  # both streams in the order in which they were written
        "PLANNER_DATA": str(place / "data"),
        "HOME": str(place),
        "LC_ALL": "C.UTF-8",
        "COLUMNS": "80",
    }
