"""The studies: which terms are simulated, for which question, on which shelf, with which seeds.

Conventions: a job is one policy in one setting on one shelf for a few seeds. Seeds 1 to 20 report; whatever
was chosen (weights, the reference's steepness, the learners' constants) was chosen on seeds from 1001 on.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from planner.simulate.named import POLICIES, SOLVED
from planner.simulate.players import Kind, Start
from planner.simulate.term import Setting

MISSED_WEEK = 4
GRIDS: Mapping[str, int] = {"84": 12, "400": 18}
"""Items a day on each synthetic shelf, by its size."""

SEEDS_IN_JOB: Mapping[str, int] = {"84": 20, "400": 5}
OTHER_SEEDS_IN_JOB = 5
SAMPLES = ("ingrid", "nerys", "ruben", "tobias")
EVERY = tuple(name for name in POLICIES if name not in SOLVED)
FEW = ("round robin", "weakest first, spans kept", "ours")
REAL = ("same week", "round robin", "random", *FEW[1:], "ours, true state", "reference")
LEARNERS: tuple[Kind, ...] = ("A", "B", "C")
TWO_LEARNERS: tuple[Kind, ...] = ("A", "B")
STARTS: tuple[Start, ...] = ("mixed", "equal")

QUESTIONS: Mapping[str, str] = {
    "policies": "which policy leaves what: 84 combinations, 12 items a day, the tempo neutral",
    "wide": "the same with 400 combinations and 18 items a day",
    "missed": f"the same with week {MISSED_WEEK} missed, both shelves",
    "tempo": "the tempo counts: outside 70 to 95 % success a turn teaches half, both shelves",
    "ratings": "36, 150 and all ratings, with and without a first hearing, 84 combinations",
    "solved": "the fast rule beside weeks of the real solver, 84 combinations",
    "marks": "grades alone, and clean marks alone, 84 combinations",
    "curricula": "shelves of the sample players, the tempo neutral",
    "quick": "a first look: 84 combinations, two learners, mixed starts",
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


@dataclass(frozen=True, slots=True)
class Choice:
    """The part of a study that is wanted; empty is all of it. `weeks` is the length of the term."""

    shelves: tuple[str, ...] = ()
    learners: tuple[str, ...] = ()
    starts: tuple[str, ...] = ()
    policies: tuple[str, ...] = ()
    weeks: int = 12

    def wants(self, shelf: str, setting: Setting) -> bool:
        """Whether a condition belongs to the choice."""
        return (
            shelf in (self.shelves or (shelf,))
            and setting.learner in (self.learners or LEARNERS)
            and setting.start in (self.starts or STARTS)
        )


ALL_OF_IT = Choice()


def jobs(study: str, seeds: Sequence[int], choice: Choice = ALL_OF_IT) -> tuple[Job, ...]:
    """The jobs of a study, one policy after the other; KeyError for an unknown study.

    Round robin is always among the policies: everything else is measured from it.
    """
    found = []
    for shelf, setting, policies in CONDITIONS[study]():
        if not choice.wants(shelf, setting):
            continue
        size = SEEDS_IN_JOB.get(shelf, OTHER_SEEDS_IN_JOB)
        groups = [tuple(seeds[first : first + size]) for first in range(0, len(seeds), size)]
        wanted = {"round robin", *(choice.policies or policies)}
        chosen = [policy for policy in policies if policy in wanted]
        long = replace(setting, weeks=choice.weeks)
        found += [Job(study, shelf, long, policy, group) for policy in chosen for group in groups]
    return tuple(found)


Condition = tuple[str, Setting, tuple[str, ...]]


def _learners(
    shelves: Sequence[str], kinds: Sequence[Kind] = LEARNERS, starts: Sequence[Start] = STARTS
) -> Iterator[Condition]:
    for shelf in shelves:
        for start in starts:
            for kind in kinds:
                yield shelf, Setting(kind, start), EVERY


def _changed(**changes: bool | int) -> Iterator[Condition]:
    """Every learner, start and synthetic shelf in other circumstances."""
    for shelf, setting, policies in _learners(tuple(GRIDS)):
        yield shelf, replace(setting, **changes), policies  # type: ignore[arg-type]


def _ratings() -> Iterator[Condition]:
    for kind in TWO_LEARNERS:
        for start in STARTS:
            for hearing in (True, False):
                for count in (36, 150, None):
                    yield "84", Setting(kind, start, ratings=count, first_hearing=hearing), FEW


def _solved() -> Iterator[Condition]:
    for _, setting, _ in _learners(("84",), TWO_LEARNERS):
        yield "84", setting, ("round robin", "ours", *SOLVED, "reference")


def _marks() -> Iterator[Condition]:
    for kind in TWO_LEARNERS:
        for share in (0.0, 1.0):
            yield "84", Setting(kind, marks=share), FEW


def _curricula() -> Iterator[Condition]:
    for shelf in SAMPLES:
        for kind in TWO_LEARNERS:
            yield shelf, Setting(kind), REAL


CONDITIONS: Mapping[str, Callable[[], Iterator[Condition]]] = {
    "policies": lambda: _learners(("84",)),
    "wide": lambda: _learners(("400",)),
    "missed": lambda: _changed(missed_week=MISSED_WEEK),
    "tempo": lambda: _changed(neutral=False),
    "ratings": _ratings,
    "solved": _solved,
    "marks": _marks,
    "curricula": _curricula,
    "quick": lambda: _learners(("84",), TWO_LEARNERS, ("mixed",)),
}


def shelves_in(study: str) -> tuple[str, ...]:
    """The shelves of a study."""
    return tuple(dict.fromkeys(shelf for shelf, _, _ in CONDITIONS[study]()))
