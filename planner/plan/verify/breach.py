"""What the checker reports: a rule, the day where it is broken, and the two figures that differ."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Breach:
    """One thing that is not as the rules or the recomputed figures say.

    `rule` is the rule in a word or two ("minutes", "two days' load", "shape" for a misshapen plan); `date` is
    the day, None where it is about the week; `what` says in one line what was found and what it should be.
    """

    rule: str
    date: dt.date | None
    what: str

    def __str__(self) -> str:
        return f"{self.date or 'the week'}: {self.rule}: {self.what}"
