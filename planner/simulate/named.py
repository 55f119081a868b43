"""The policies by their names; each is made anew for every run.

The plain names are those of policies.py. "Solved" are weeks of the real solver within a reduced work limit
(solved.py): planned anew every morning, as the planner does when ratings come in, or on Mondays alone.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace

from planner.simulate.policies import (
    AS_BUILT,
    Ours,
    Policy,
    Reference,
    at_random,
    blocked,
    gain_only,
    round_robin,
    same_week,
    spans_kept,
    weakest_first,
)

REFERENCE_STEEPNESS = 12.0
"""How much more the reference cares for the weakest; chosen on seeds that do not report."""


def _solved(*, weekly: bool) -> Policy:
    from planner.simulate.solved import OursSolved  # the solver's own library is slow to load

    return OursSolved(weekly=weekly)


POLICIES: Mapping[str, Callable[[], Policy]] = {
    "blocked": lambda: blocked,
    "same week": lambda: same_week,
    "round robin": lambda: round_robin,
    "random": lambda: at_random,
    "weakest first": lambda: weakest_first,
    "gain only": lambda: gain_only,
    "random, spans kept": lambda: spans_kept(at_random),
    "weakest first, spans kept": lambda: spans_kept(weakest_first),
    "gain only, spans kept": lambda: spans_kept(gain_only),
    "ours": Ours,
    "ours, dial 5": lambda: Ours(replace(AS_BUILT, power=5.0)),
    "ours, true state": lambda: Ours(truth=True),
    "ours, solved daily": lambda: _solved(weekly=False),
    "ours, solved weekly": lambda: _solved(weekly=True),
    "reference": lambda: Reference(REFERENCE_STEEPNESS),
}

SOLVED = ("ours, solved daily", "ours, solved weekly")
"""Policies that solve weeks: dear, and therefore in a study of their own."""
