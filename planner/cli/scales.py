"""The sizes with which a player's estimates are made, and the threads they are made with."""

from __future__ import annotations

import os
from typing import TYPE_CHECKING

from planner.cli.desk import Desk
from planner.cli.run import say

if TYPE_CHECKING:
    from planner.need.parts import Scales

BLAS_THREADS = ("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS")


def one_thread() -> None:
    """Ask for sums in one order, so that one question has one answer; before numpy is imported."""
    for threads in BLAS_THREADS:
        os.environ.setdefault(threads, "1")


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
