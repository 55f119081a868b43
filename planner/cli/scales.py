"""The sizes with which a player's estimates are made, and the threads they are made with."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from planner.cli.desk import Desk
from planner.cli.run import say

if TYPE_CHECKING:
    from planner.need.parts import Scales

BLAS_THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")


def quiet_threads() -> None:
    """One thread for numpy, where it is not loaded yet: sums in one order, so one plan."""
    for threads in BLAS_THREADS:
        os.environ.setdefault(threads, "1")


def written_so_far(place: Desk) -> str:
    """A mark of all that was written for a player by now: ratings, pins, and what was told of missed days."""
    from planner.diary.digest import diary_digest
    from planner.diary.pins import last_step
    from planner.diary.told import tellings

    data, player = place.data, place.player_id
    return f"{diary_digest(data, player)}/{last_step(data, player)}/{len(tellings(data, player))}"


def taken_scales(place: Desk) -> Scales:
    """The sizes that hold for the player; a file that cannot be used is told, and the usual ones hold."""
    from planner.diary.sizes import taken_sizes
    from planner.errors import DiaryTrouble
    from planner.need.parts import DEFAULT, Scales

    try:
        taken = taken_sizes(place.data, place.player_id)
        return DEFAULT if taken is None else Scales.from_json(taken)
    except DiaryTrouble as trouble:
        say("\n".join(trouble.lines()))
    except ValueError as trouble:
        say(f"the fitted sizes are left out: {trouble} (planner refit --default puts the usual ones back)")
    return DEFAULT
