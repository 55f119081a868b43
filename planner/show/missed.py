"""What was planned and not played, in one sentence. Standard library only."""

from __future__ import annotations

from collections.abc import Sequence

from planner.horizon.follow import Missed
from planner.inputs.dates import WEEKDAYS
from planner.show.layout import wrap
from planner.show.words import date_in_words


def missed_text(missed: Sequence[Missed], first_day: str, rate_with: str, *, width: int = 80) -> str:
    """The days that were not played, from which day on the plan was made anew, how the first can be rated.

    `rate_with` is the command without its date. No line end at the end.
    """
    told = ", ".join(_told(one) for one in missed)
    since = date_in_words(first_day, year=False)
    words = (
        f"Not played as planned: {told}. The plan from {since} on is made anew; nothing has to be made up."
    )
    after_all = (
        f"Played after all: {rate_with} --date {missed[0].date.isoformat()}"  # never broken over lines
    )
    return "\n".join((*wrap(words, width), after_all))


def _told(one: Missed) -> str:
    name = f"{WEEKDAYS[one.date.weekday()]} {one.date.day}"
    return f"{name} ({one.played} of {one.planned})" if one.played else name
