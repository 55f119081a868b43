"""Lists and numbers as they stand in a sentence."""

from __future__ import annotations

from collections.abc import Iterable


def listed(parts: Iterable[str]) -> str:
    """Words as a list in a sentence: "one, two and three"; there is at least one."""
    *others, last = parts
    return f"{', '.join(others)} and {last}" if others else last


def counted(number: int, noun: str) -> str:
    """A number with its noun: "1 block", "2 blocks"."""
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"
