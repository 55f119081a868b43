"""What a term is made from, and the span it was granted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from fractions import Fraction
from typing import Any

from planner import __version__
from planner.diary.rating import Rating
from planner.inputs.curriculum import Curriculum
from planner.inputs.player import Player
from planner.need.parts import DEFAULT, Scales
from planner.plan.term.problem import Tally, TermProblem


@dataclass(frozen=True, slots=True)
class TermRequest:
    """What a term is made from: as for a week, with the first day that is planned."""

    curriculum: Curriculum
    player: Player
    ratings: tuple[Rating, ...]
    first_day: date
    anchor: date
    inputs: tuple[Mapping[str, str], ...]
    diary_digest: str
    ratings_from: str
    seed: int = 0
    scales: Scales = DEFAULT


@dataclass(frozen=True, slots=True)
class Granted:
    """The span of the term and how it was found: whether everything fits, and the bounds that prove it.

    `kept` is the even term that keeps everything where one was found on the way.
    """

    weeks: int
    fits: bool
    free: Fraction
    problem: TermProblem
    proof: str
    kept: Tally | None = None


@dataclass(frozen=True, slots=True)
class Proven:
    """What the minutes carry in words and numbers with the proof of the span, and the least given up."""

    capacity: Mapping[str, Any]
    floor: int


def versions() -> dict[str, str]:
    """The program and the solvers a term is made with."""
    from importlib.metadata import version

    return {"planner": __version__, "ortools": version("ortools"), "highspy": version("highspy")}
