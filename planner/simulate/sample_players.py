"""Who stands behind the earlier ratings of the sample players: strengths, habits and weak spots.

Conventions: levels are notches from the goal (16 to the octave of tempo, negative below it); positions are
1 to 7; keys are written tonics on the circle of fifths, clockwise: C 0, G 1, ... F sharp 6, D flat 7, ...
F 11. All of it is invented, and none of it is read by the planner.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class SimulatedPlayer:
    """One player as the simulation plays them.

    `weeks` of practice are drawn before the planned week. `level` is where the player stood on an easy
    combination at the beginning, `ceiling` what practice leads to, both in notches from the goal. Each
    weak key costs `key_cost` notches; a figure wholly on weak tubing costs `position_cost`. Articulations
    not named cost nothing. `learning` multiplies every gain. `items_a_day` are played at most, `rated` is
    the share of them written down, `marks` the share of those that name a clean mark, `missed` the share of
    days without practice.
    """

    weeks: int
    level: float
    ceiling: float
    weak_keys: frozenset[int]
    key_cost: float
    weak_positions: frozenset[int]
    position_cost: float
    articulation_costs: Mapping[str, float]
    learning: float
    items_a_day: int
    rated: float
    marks: float
    missed: float


PLAYERS: Mapping[str, SimulatedPlayer] = {
    # The sharp keys and the third finger.
    "tobias": SimulatedPlayer(
        weeks=7,
        level=-7.0,
        ceiling=1.0,
        weak_keys=frozenset({3, 4, 5, 6}),
        key_cost=4.5,
        weak_positions=frozenset({5, 6, 7}),
        position_cost=4.0,
        articulation_costs={"staccato": 1.5, "double": 3.0, "K": 2.0},
        learning=1.0,
        items_a_day=14,
        rated=0.75,
        marks=0.35,
        missed=0.06,
    ),
    # The outer slide, and four flats and more; he tongues better than he slurs.
    "ruben": SimulatedPlayer(
        weeks=5,
        level=-7.5,
        ceiling=0.0,
        weak_keys=frozenset({5, 6, 7, 8}),
        key_cost=3.5,
        weak_positions=frozenset({5, 6, 7}),
        position_cost=5.0,
        articulation_costs={"slurred": 2.0},
        learning=0.8,
        items_a_day=12,
        rated=0.85,
        marks=0.25,
        missed=0.1,
    ),
    # Close to ready; the flat side of the written keys lags behind.
    "ingrid": SimulatedPlayer(
        weeks=7,
        level=-5.0,
        ceiling=1.5,
        weak_keys=frozenset({6, 7, 8}),
        key_cost=4.0,
        weak_positions=frozenset({6, 7}),
        position_cost=3.0,
        articulation_costs={"staccato": 1.0, "legato": 0.5},
        learning=1.0,
        items_a_day=12,
        rated=0.7,
        marks=0.4,
        missed=0.05,
    ),
    # Strong fingers; the middle tubing and the sharp keys of a brass band player.
    "nerys": SimulatedPlayer(
        weeks=8,
        level=-6.0,
        ceiling=1.0,
        weak_keys=frozenset({4, 5, 6, 7}),
        key_cost=5.0,
        weak_positions=frozenset({3, 4, 5}),
        position_cost=3.0,
        articulation_costs={"staccato": 1.0, "tongued": 0.5},
        learning=1.0,
        items_a_day=14,
        rated=0.7,
        marks=0.35,
        missed=0.08,
    ),
    # Began at fifty on a large tube: everything long is hard, and he misses more days than he says.
    "wilf": SimulatedPlayer(
        weeks=4,
        level=-7.5,
        ceiling=-1.0,
        weak_keys=frozenset({2, 3, 4, 5, 6}),
        key_cost=3.5,
        weak_positions=frozenset({4, 5, 6, 7}),
        position_cost=4.0,
        articulation_costs={"slurred": 2.5},
        learning=0.7,
        items_a_day=10,
        rated=0.9,
        marks=0.1,
        missed=0.15,
    ),
    # Good ear, soft tongue.
    "pia": SimulatedPlayer(
        weeks=7,
        level=-6.5,
        ceiling=0.5,
        weak_keys=frozenset(),
        key_cost=0.0,
        weak_positions=frozenset({6, 7}),
        position_cost=3.0,
        articulation_costs={"tongued": 1.0},
        learning=1.0,
        items_a_day=5,
        rated=0.8,
        marks=0.0,
        missed=0.1,
    ),
    # Big sound, slow arm.
    "jonah": SimulatedPlayer(
        weeks=7,
        level=-7.5,
        ceiling=0.0,
        weak_keys=frozenset(),
        key_cost=0.0,
        weak_positions=frozenset({4, 5}),
        position_cost=4.0,
        articulation_costs={"slurred": 1.5},
        learning=0.8,
        items_a_day=5,
        rated=0.7,
        marks=0.0,
        missed=0.15,
    ),
    # Plays a little of everything; the remote minors and five sharps are hardly touched.
    "hester": SimulatedPlayer(
        weeks=8,
        level=-8.0,
        ceiling=0.0,
        weak_keys=frozenset({5, 6, 7, 8}),
        key_cost=4.0,
        weak_positions=frozenset({6, 7}),
        position_cost=4.0,
        articulation_costs={"staccato": 1.5, "double": 4.0, "triple": 3.0, "K": 3.0},
        learning=0.9,
        items_a_day=12,
        rated=0.8,
        marks=0.3,
        missed=0.06,
    ),
}
