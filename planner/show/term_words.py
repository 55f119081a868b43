"""What every view of a term says in the same words: whose it is, its exercises, the sums of a week.

Pure functions from a term (`planner.term/1`) to text.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from planner.show.layout import clean
from planner.show.words import date_in_words, humanised

Term = Mapping[str, Any]
SHOWN = 6
"""So many combinations are named in a sentence, the rest counted."""

NONE = "–"


def heading(term: Term) -> str:
    """Whose term, of which curriculum, from when to when."""
    name, title = clean(term["name"] or term["player"]), clean(term["curriculum_title"])
    begins = date_in_words(term["first_day"], year=term["first_day"][:4] != term["last_day"][:4])
    return f"{name}, {title}: {begins} to {date_in_words(term['last_day'])}"


def exercise_title(exercise: Mapping[str, Any]) -> str:
    """The title of an exercise, its id in words where it has none."""
    return clean(exercise["title"]) or humanised(exercise["exercise"])


def week_name(iso: str) -> str:
    """A week of ISO 8601 in words: "2026-W53" is "calendar week 53"."""
    return f"calendar week {int(iso[-2:])}"


def week_sums(week: Mapping[str, Any]) -> list[str]:
    """What a week adds up to: new, coming back, minutes, load."""
    return [
        f"{len(week['new'])} new",
        f"{len(week['returning'])} coming back",
        f"{round(week['seconds_used'] / 60)} of {round(week['seconds_free'] / 60)} min",
        f"load {week['load']:.0f} of {week['load_limit']:.0f}",
    ]
