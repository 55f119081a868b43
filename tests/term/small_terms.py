"""A small term, planned once and shared: five notes over the turn of the year, a holiday, a concert."""

from __future__ import annotations

import copy
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from planner.horizon.term import plan_term
from planner.horizon.term_request import TermRequest
from planner.inputs.read import curriculum_from, player_from
from planner.paths import shipped_curricula

STARTS = date(2026, 11, 30)
"""Eight weeks from here pass the calendar's week 53 of 2026 (28 December to 3 January)."""

SHA = "0" * 64
PLAYER = """
id = "lena"
name = "Lena"
instrument = "cornet"
level = "beginner"
known_notes = ["C4", "D4", "E4", "F4", "G4"]
curriculum = "first-year-five-notes"
starts = 2026-11-30
minutes = { monday = 20, tuesday = 20, thursday = 20, saturday = 20, sunday = 20 }
"""
DATES = """

[[date]]
kind = "holiday"
week = 4
title = "Christmas"

[[date]]
kind = "concert"
week = 7
days = ["saturday"]
title = "winter concert"
"""


@cache
def request(starts: date = STARTS, dates: str = DATES, title: str = "First year, five notes") -> TermRequest:
    """The request for Lena's term."""
    text = (shipped_curricula() / "first-year-five-notes.toml").read_text(encoding="utf-8")
    text = text.replace('title = "First year, five notes"', f'title = "{title}"')
    bell = text.index('id = "dinner-bell"')  # the one exercise whose articulations alternate
    text = text[:bell] + text[bell:].replace('["tongued"]', '["slurred", "tongued"]', 1)
    player = PLAYER.replace("2026-11-30", starts.isoformat())
    return TermRequest(
        curriculum_from(text + dates, "five.toml"),
        player_from(player, "lena.toml", Path(), starts),
        (),
        starts,
        starts,
        ({"name": "player", "sha256": SHA}, {"name": "curriculum", "sha256": SHA}),
        SHA,
        "none",
    )


@cache
def _made(starts: date, dates: str, title: str) -> dict[str, Any]:
    return plan_term(request(starts, dates, title), lambda _: None, lambda _: None)


def small_term(
    starts: date = STARTS, dates: str = DATES, title: str = "First year, five notes"
) -> dict[str, Any]:
    """Lena's term as JSON, a copy of its own."""
    return copy.deepcopy(_made(starts, dates, title))
