"""The dates of a curriculum as the checker reads them: days of its weeks, counted from the player's Monday.

Reading: an assessment is an audition; a date that the player's own file has as well counts once.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from planner.inputs.curriculum import Curriculum
from planner.inputs.player import Player, SpecialDate


def with_dates(player: Player, curriculum: Curriculum) -> Player:
    """The player's calendar with everything that the curriculum says of its weeks."""
    added: list[SpecialDate] = []
    for told in curriculum.dates:
        for weekday in told.days:
            day = player.starts + dt.timedelta(weeks=told.week - 1, days=weekday)
            title = told.title or told.kind
            if told.kind == "concert":
                added.append(SpecialDate("concert", day, day, title, None))
            elif told.kind == "assessment":
                added.append(SpecialDate("audition", day, day, title, None))
            else:
                added.append(SpecialDate("free", day, day, title, None))
    missing = [one for one in added if one not in player.dates]
    return replace(player, dates=(*player.dates, *missing)) if missing else player
