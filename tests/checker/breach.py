"""What the second checker finds: one breach with the rule it is of, where it stands and a sentence."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

Plan = Mapping[str, Any]
Day = Mapping[str, Any]
Item = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Breach:
    """A rule that the plan does not keep: `where` is a date, an item of a day or a field of the plan."""

    rule: str
    where: str
    sentence: str

    def __str__(self) -> str:
        return f"{self.rule}: {self.where}: {self.sentence}"


Breaches = Iterator[Breach]


def place(day: Day, item: Item | None = None) -> str:
    """Where a breach stands: 2026-09-07 B2."""
    return f"{day['date']} {item['id']}" if item else str(day["date"])


def differs(rule: str, where: str, what: str, stands: object, is_really: object) -> Breach:
    """The breach of a figure that was counted again and came out otherwise."""
    return Breach(rule, where, f"{what} stands as {stands}, counted again it is {is_really}")
