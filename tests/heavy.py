"""How often the heavy tests run: (quick, full). `pytest` takes the first, `pytest -m full` the second."""

from __future__ import annotations

import pytest

HEAVY: dict[str, tuple[int, int]] = {
    "sample weeks planned again": (3, 8),
    "weeks of chance": (40, 3000),
    "kills during a write": (6, 300),
    "changed bytes of a diary": (80, 5000),
    "tiny weeks by enumeration": (25, 3000),
    "over-full weeks with a known cause": (20, 500),
    "runs of the same week": (3, 20),
    "hash seeds of the same week": (2, 3),
    "sample weeks changed without meaning": (2, 8),
    "weeks changed with a known effect": (5, 60),
    "medium weeks in two halves": (6, 300),
    "medium weeks by another solver": (4, 100),
    "diaries of chance": (200, 10_000),
    "terms of chance": (3, 30),
    "seeds of the solver benchmark": (1, 5),
    "combinations engraved": (120, 1_000_000),
    "combinations as MusicXML": (150, 1_000_000),
    "combinations as MIDI": (150, 1_000_000),
    "figures of chance": (15, 300),
    "brass parts of real scores": (6, 1000),
    "missed stretches of chance": (8, 205),
    "sample weeks checked a second time": (2, 8),
    "weeks of chance checked a second time": (16, 60),
    "plans judged by both checks": (40, 1000),
    "plans broken": (3, 200),
}


def wants_full(config: pytest.Config) -> bool:
    """Whether the full counts were asked for by `-m full`."""
    expression = str(config.getoption("markexpr") or "")
    return "full" in expression and "not full" not in expression


def heavy_count(config: pytest.Config, name: str) -> int:
    """How often this heavy test runs in this session."""
    quick, full = HEAVY[name]
    return full if wants_full(config) else quick
