"""What all tests share: the full counts, and a home of their own so that no test touches a real diary."""

from __future__ import annotations

import subprocess
from pathlib import Path

import pytest
from heavy import HEAVY, wants_full

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture(autouse=True)
def own_data_folder(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path_factory.mktemp("data")
    monkeypatch.setenv("PLANNER_DATA", str(folder))
    monkeypatch.delenv("NO_COLOR", raising=False)
    return folder


@pytest.hookimpl(tryfirst=True)
def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    if wants_full(config):
        for item in items:
            if item.get_closest_marker("heavy"):
                item.add_marker("full")


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter, config: pytest.Config) -> None:
    if not wants_full(config):
        return
    commit = subprocess.run(
        ["git", "rev-parse", "--short", "HEAD"], cwd=ROOT, capture_output=True, text=True, check=False
    ).stdout.strip()
    terminalreporter.write_line(f"full counts at commit {commit or 'unknown'}")
    for name, (quick, full) in sorted(HEAVY.items()):
        terminalreporter.write_line(f"  {name:<40} {full:>7} (quick {quick})")
