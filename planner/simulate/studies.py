"""The studies: which terms are simulated, for which question, on which shelf, with which seeds.

Conventions: a job is one policy in one setting on one shelf for a few seeds. Seeds 1 to 20 report; whatever
was chosen (weights, the reference's steepness, the learners' constants) was chosen on seeds from
CHOOSING_FROM on.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from planner.simulate.players import Kind, Start
from planner.simulate.policies import POLICIES
from planner.simulate.term import Setting

REPORTING = tuple(range(1, 21))
CHOOSING_FROM = 1001
MISSED_WEEK = 4
GRIDS: Mapping[str, int] = {"84": 12, "400": 18}
"""Items a day on each synthetic shelf, by its size."""

SEEDS_IN_JOB: Mapping[str, int] = {"84": 20, "400": 5}
OTHER_SEEDS_IN_JOB = 5
SAMPLES = ("ingrid", "nerys", "ruben", "tobias")
FEW = ("round robin", "weakest first, spans kept", "ours")
REAL = ("same week", "round robin", "random", *FEW[1:], "ours, true state", "reference")
LEARNERS: tuple[Kind, ...] = ("A", "B", "C")
TWO_LEARNERS: tuple[Kind, ...] = ("A", "B")
STARTS: tuple[Start, ...] = ("mixed", "equal")

QUESTIONS: Mapping[str, str] = {
    "policies": "84 combinations, 12 items a day, the tempo neutral",
    "wide": "400 combinations, 18 items a day, the tempo neutral",
    "missed": f"week {MISSED_WEEK} missed, both shelves, the tempo neutral",
    "tempo": "the tempo counts: outside 70 to 95 % success a turn teaches half, both shelves",
    "ratings": "36, 150 and all ratings, with and without a first hearing, 84 combinations",
    "marks": "grades alone, and clean marks alone, 84 combinations",
    "curricula": "shelves of the sample players, the tempo neutral",
    "quick": "84 combinations, two learners, mixed starts: a first look",
}


@dataclass(frozen=True, slots=True)
class Job:
    """One policy's terms: `shelf` is the size of a synthetic shelf or the id of a sample player."""

    study: str
    shelf: str
    setting: Setting
    policy: str
    seeds: tuple[int, ...]

    @property
    def condition(self) -> tuple[str, Setting]:
        """What this job has in common with those it is compared with."""
        return self.shelf, self.setting


def jobs(study: str, seeds: Sequence[int]) -> tuple[Job, ...]:
    """All jobs of a study, one policy after the other; KeyError for an unknown study."""
    found = []
    for shelf, setting, policies in _conditions(study):
        size = SEEDS_IN_JOB.get(shelf, OTHER_SEEDS_IN_JOB)
        for policy in policies:
            groups = [tuple(seeds[first : first + size]) for first in range(0, len(seeds), size)]
            found += [Job(study, shelf, setting, policy, group) for group in groups]
    return tuple(found)


Condition = tuple[str, Setting, tuple[str, ...]]


def _conditions(study: str) -> Iterator[Condition]:
    """Shelf, setting and policies of every condition of a study."""
    every = tuple(POLICIES)
    base = {
        "policies": _learners(("84",), every),
        "wide": _learners(("400",), every),
        "missed": _learners(tuple(GRIDS), every, missed_week=MISSED_WEEK),
        "tempo": _learners(tuple(GRIDS), every, neutral=False),
        "ratings": _ratings(),
        "marks": _marks(),
        "curricula": ((shelf, Setting(kind), REAL) for shelf in SAMPLES for kind in TWO_LEARNERS),
        "quick": ((shelf, Setting(kind), every) for shelf in ("84",) for kind in TWO_LEARNERS),
    }
    yield from base[study]


def _learners(
    shelves: Sequence[str], policies: tuple[str, ...], *, neutral: bool = True, missed_week: int | None = None
) -> Iterator[Condition]:
    for shelf in shelves:
        for start in STARTS:
            for kind in LEARNERS:
                yield shelf, Setting(kind, start, neutral=neutral, missed_week=missed_week), policies


def _ratings() -> Iterator[Condition]:
    for kind in TWO_LEARNERS:
        for start in STARTS:
            for hearing in (True, False):
                for count in (36, 150, None):
                    setting = Setting(kind, start, ratings=count, first_hearing=hearing)
                    yield "84", setting, FEW


def _marks() -> Iterator[Condition]:
    for kind in TWO_LEARNERS:
        for share in (0.0, 1.0):
            yield "84", replace(Setting(kind), marks=share), FEW
