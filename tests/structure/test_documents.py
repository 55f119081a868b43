"""What the documents say is so: every command in them runs, every rule and exit code stands in them."""

from __future__ import annotations

import json
import shlex
import shutil
import subprocess
import sys
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from structure.documents import (
    NOT_RUN,
    Block,
    Shown,
    all_blocks,
    blocks,
    flowing,
    ran,
    sections,
    shown_outputs,
    text_of,
)
from structure.tree import ROOT

from planner.cli import COMMANDS, app
from planner.errors import EXIT_CODES
from planner.plan.solve.rules import RULES
from planner.plan.verify import day_rules, week_rules

SECTIONS = [
    "A day",
    "Set up",
    "Common jobs",
    "The files you write",
    "How it decides",
    "When it does not fit",
    "Where the diary lives",
    "Cautions",
    "Words",
    "Exit codes",
    "Licences",
]
KINDS = {"sh", "console", "text", "toml", "json", "csv", "python"}
# Hard rules that are kept while the week is laid out, so that the solver never meets them.
LAID_OUT = (
    day_rules.frame,
    day_rules.music,
    day_rules.goes,
    day_rules.order,
    week_rules.once_a_day,
    week_rules.concerts,
    week_rules.limits,
)
LOCK_OPTIONS = {"--universal", "--generate-hashes", "--no-header", "--no-annotate", "--no-emit-index-url"}
SETTING_UP_SECONDS = 3600
BLOCKS = all_blocks()
SHOWN = list(shown_outputs(BLOCKS))


def of(*words: str) -> list[Block]:
    """The blocks with all these words after their fence."""
    return [block for block in BLOCKS if set(words) <= set(block.words)]


def placed(found: list[Block]) -> pytest.MarkDecorator:
    """Parametrise by blocks, each named by its place."""
    return pytest.mark.parametrize("block", found, ids=[block.place for block in found])


def lines(block: Block) -> list[str]:
    """The commands of a block: continued lines joined, without comments and the environment's folder."""
    joined = block.script.replace("\\\n", " ").splitlines()
    kept = (line.split(" #")[0].strip() for line in joined)
    return [
        " ".join(line.replace(".venv/bin/", "").split()) for line in kept if line and not line.startswith("#")
    ]


def ci_lines() -> list[str]:
    """What .ci/run runs, the names of its steps left out."""
    found = (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()
    return [line.strip().rpartition('" ')[2] if line.startswith("step ") else line.strip() for line in found]


def output_of(*command: str, cwd: Path = ROOT) -> subprocess.CompletedProcess[str]:
    """Run a command and keep what it prints."""
    return subprocess.run(command, cwd=cwd, capture_output=True, encoding="utf-8", check=False)


def test_a_block_is_read_with_its_line_and_its_words() -> None:
    text = "# x\n\n```sh exit=3\nplanner week\n```\n"
    assert blocks("x.md", text) == [Block("x.md", 3, ("sh", "exit=3"), "planner week\n")]


def test_a_block_that_is_not_closed_is_refused() -> None:
    with pytest.raises(ValueError, match=r"x\.md:2: the block is not closed"):
        blocks("x.md", "\n```sh\nplanner\n")


def test_the_readme_opens_with_one_paragraph() -> None:
    title, *rest = [part for part in sections(text_of("README.md"))[""].split("\n\n") if part.strip()]
    assert title.startswith("# ")
    assert len(rest) == 1


def test_the_readme_has_its_sections_in_their_order() -> None:
    assert [title for title in sections(text_of("README.md")) if title] == SECTIONS


def test_the_documents_have_commands_to_run() -> None:
    assert "README.md" in {block.document for block in BLOCKS if block.is_run}


def test_every_block_says_what_it_is() -> None:
    assert [block.place for block in BLOCKS if block.kind not in KINDS] == []


def test_no_command_block_is_left_unproven() -> None:
    commands = [block for block in BLOCKS if block.kind in {"sh", "console"}]
    unknown = {
        word for block in commands for word in block.words[1:] if not word.startswith("exit=")
    } - NOT_RUN
    assert unknown == set()


@pytest.mark.timeout(900)  # the first of these runs the whole document
@placed([block for block in BLOCKS if block.is_run])
def test_a_command_of_the_documents_runs(block: Block) -> None:
    result = ran(block.document)[block.line]
    assert result.code == block.exit_code, result.printed


@pytest.mark.timeout(900)  # the first of these runs the whole document
@pytest.mark.parametrize("shown", SHOWN, ids=[shown.block.place for shown in SHOWN])
def test_a_command_prints_what_the_document_shows(shown: Shown) -> None:
    printed = ran(shown.block.document)[shown.block.line].printed
    assert shown.text in printed if shown.excerpt else shown.text == printed


def test_every_file_shown_in_the_documents_can_be_read() -> None:
    assert of("toml")
    assert [block.place for block in of("toml") if not tomllib.loads(block.text)] == []
    assert [block.place for block in of("json") if not json.loads(block.text)] == []


def test_the_whole_files_of_the_documents_pass_the_check(tmp_path: Path) -> None:
    paths = [tmp_path / f"{block.line}.toml" for block in of("toml", "whole")]
    for block, path in zip(of("toml", "whole"), paths, strict=True):
        path.write_text(block.text, encoding="utf-8")
    done = output_of(sys.executable, "-m", "planner", "check", *map(str, paths))
    assert done.returncode == 0, done.stderr


def test_the_documents_say_how_to_set_up_and_to_check() -> None:
    assert of("sh", "setup")
    assert of("sh", "check")
    assert of("sh", "lock")


@placed(of("sh", "setup"))
def test_setting_up_installs_as_the_checks_do(block: Block) -> None:
    allowed = {*ci_lines(), "pip install --require-hashes -r requirements.lock"}
    first, *rest = [line for line in lines(block) if not line.endswith("/activate")]
    assert first == "python3 -m venv .venv"
    assert [line for line in rest if line.startswith("pip") and line not in allowed] == []


@pytest.mark.full
@pytest.mark.timeout(SETTING_UP_SECONDS)
@placed(of("sh", "setup"))
def test_setting_up_works_in_a_fresh_copy(block: Block, tmp_path: Path) -> None:
    copy = tmp_path / "planner"
    shutil.copytree(ROOT, copy, ignore=shutil.ignore_patterns(".git", ".venv*", "*_cache", "__pycache__"))
    tracked = "git init -q && git add -A\n"  # some tests ask git what is tracked
    script = tracked + block.script + "\n.venv/bin/planner --version\n"
    done = output_of("bash", "-euo", "pipefail", "-c", script, cwd=copy)
    assert done.returncode == 0, done.stdout + done.stderr


def _checks() -> Iterator[str]:
    return (line for block in of("sh", "check") for line in lines(block))


@pytest.mark.parametrize("command", sorted(set(_checks())))
def test_a_check_of_the_documents_is_one_that_works(command: str) -> None:
    if command in {*ci_lines(), "bash .ci/run", ".ci/run"}:
        return
    words = shlex.split(command)
    assert words[:3] == ["python", "-m", "pytest"], "neither in .ci/run nor a pytest command"
    done = output_of(sys.executable, *words[1:], "--collect-only", "-q")
    assert done.returncode == 0, done.stdout


def test_the_documents_and_the_checks_run_the_same_tests() -> None:
    assert "python -m pytest" in set(_checks())
    assert "python -m pytest" in ci_lines()


@placed(of("sh", "lock"))
def test_the_lock_files_are_made_with_hashes_and_no_address(block: Block) -> None:
    made = [shlex.split(line.rpartition("|")[2]) for line in lines(block)]
    assert [words[words.index("-o") + 1] for words in made] == [
        "requirements.lock",
        "tests/requirements.lock",
    ]
    assert [sorted(LOCK_OPTIONS - set(words)) for words in made] == [[], []]


@pytest.mark.parametrize("rule", [*RULES, *LAID_OUT], ids=lambda rule: rule.__name__)
def test_a_rule_stands_in_the_readme_in_its_own_words(rule: Any) -> None:
    sentence = flowing(rule.__doc__.split("\n\n")[0])
    assert sentence in flowing(sections(text_of("README.md"))["How it decides"])


@pytest.mark.parametrize(("code", "meaning"), EXIT_CODES.items())
def test_an_exit_code_stands_in_the_readme(code: int, meaning: str) -> None:
    rows = sections(text_of("README.md"))["Exit codes"].splitlines()
    assert [row for row in rows if str(code) in row.replace("|", " ").split() and meaning in row]


def _commands() -> Iterator[tuple[str, Any]]:
    for name in (name for part in COMMANDS.values() for name in part):
        yield from _named(f"planner {name}", name)


def _named(called: str, name: str) -> Iterator[tuple[str, Any]]:
    import typer

    command: Any = typer.main.get_command(app).get_command(None, name)  # type: ignore[attr-defined]
    inner = getattr(command, "commands", None)
    if inner:
        yield from ((f"{called} {one}", below) for one, below in inner.items())
    else:
        yield called, command


def test_every_command_is_documented() -> None:
    text = flowing(text_of("README.md"))
    assert [called for called, _ in _commands() if called not in text] == []


def test_every_command_says_what_it_does() -> None:
    assert [called for called, command in _commands() if not (command.help or "").strip()] == []
