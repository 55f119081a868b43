"""What a day tells beside its items: its title, and what limits leave out."""

from __future__ import annotations

from collections.abc import Iterator

from planner.plan.verify.breach import Breach
from planner.plan.verify.case import Case, breach


def titles(case: Case) -> Iterator[Breach]:
    """A day is called by its concert or audition, and by nothing else."""
    for day in case.days:
        right = ", ".join(
            special.title
            for special in case.player.dates
            if special.kind in ("concert", "audition") and special.title
            if special.first <= day.date <= special.last
        )
        if day.plan.title != right:
            yield breach("titles", day, f"title is {day.plan.title!r}, should be {right!r}")


def left_out(case: Case) -> Iterator[Breach]:
    """The families that a day is told to go without are those that its limits leave out."""
    for day in case.days:
        if list(day.plan.without) != sorted(day.facts.without):
            right = ", ".join(sorted(day.facts.without)) or "nothing"
            yield breach("left out", day, f"left out {', '.join(day.plan.without)}, should be {right}")
