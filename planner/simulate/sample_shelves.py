"""Shelves that the simulation practises: the synthetic ones, and those of the sample players.

Conventions: a sample player's shelf is everything the curriculum brings within reach over its weeks, with
the items a day that the player's own minutes carry; in the simulation all items are equally long.
"""

from __future__ import annotations

from datetime import date, timedelta

from planner.inputs.read import read_curriculum, read_player
from planner.need.capacity import capacity
from planner.need.clean_tempo import estimate
from planner.need.combinations import scope
from planner.paths import find_curriculum, shipped_players
from planner.simulate.catalogue import Catalogue, grid, real_shelf
from planner.simulate.studies import GRIDS

ANY_MONDAY = date(2026, 9, 7)
"""Relative dates make every Monday the same; this one is only somewhere to count from."""


def shelf_of(name: str) -> Catalogue:
    """The shelf of a job by its name. NoInput or BadData where a sample player's files are not sound."""
    if name in GRIDS:
        return grid(int(name), GRIDS[name])
    return sample_shelf(name)


def sample_shelf(player_id: str) -> Catalogue:
    """The shelf of a sample player over the whole curriculum."""
    path = shipped_players() / f"{player_id}.toml"
    player = read_player(path, ANY_MONDAY)
    curriculum = read_curriculum(find_curriculum(player.curriculum, path))
    first = player.starts + timedelta(weeks=curriculum.weeks - 1)
    whole = scope(curriculum, player, first)
    room = capacity(whole, estimate(whole.written, (), first, player), (), player, first)
    tempo = [one for one in whole.playable if one.exercise.measure == "tempo"]
    items = max(1, room.items_per_week * len(tempo) // len(whole.playable) // max(1, room.practice_days))
    return real_shelf(player_id, tempo, items)
