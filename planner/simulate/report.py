"""From results to a report: means, differences to round robin with their standard errors, wins, losses.

Conventions: differences are paired by seed (the same players and dice) and stand for "policy minus round
robin"; a standard error is that of the mean of the paired differences. A win is a seed on which the
difference is above 0. Where ours loses is said by the same rule that says where it wins: more than two
standard errors.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict, dataclass
from math import sqrt
from statistics import mean, median, stdev
from typing import Any

from planner.simulate.runner import Result
from planner.simulate.studies import QUESTIONS
from planner.simulate.term import Setting

BASELINE = "round robin"
OURS = "ours"
SURE = 2.0
"""Standard errors from which a difference is called one."""

FEWEST = 4
"""Fewer players than these say nothing about chance: their spread is itself a guess."""

FORMAT = "planner.simulation/1"
SEES_MORE = ("ours, true state", "reference")
"""Policies that see what nobody can: no rivals."""


@dataclass(frozen=True, slots=True)
class Difference:
    """A paired difference: its mean, standard error (0 for one seed), and on how many seeds it is above 0."""

    mean: float
    error: float
    wins: int
    seeds: int

    @property
    def sure(self) -> bool:
        """Whether it is further from 0 than chance explains, on seeds enough to tell."""
        return self.seeds >= FEWEST and abs(self.mean) > SURE * self.error


@dataclass(frozen=True, slots=True)
class Line:
    """One policy in one condition: means over the seeds; `covered` is the median day, 0 where never.

    `longest_gap` is the longest of all seeds, in spans; `missed_by` the estimate's root mean square error in
    notches. Differences are those of the scores 14 days after the end.
    """

    policy: str
    mean_end: float
    weakest_end: float
    mean_later: float
    weakest_later: float
    covered: float
    longest_gap: float
    minutes: float
    missed_by: float
    mean_difference: Difference
    weakest_difference: Difference


@dataclass(frozen=True, slots=True)
class Condition:
    """All policies in one setting on one shelf."""

    shelf: str
    setting: Setting
    span_days: int
    seeds: tuple[int, ...]
    lines: tuple[Line, ...]

    def line(self, policy: str) -> Line | None:
        """The line of a policy, None where it was not run."""
        return next((line for line in self.lines if line.policy == policy), None)

    @property
    def tells(self) -> bool:
        """Whether there are seeds enough to tell a difference from chance."""
        return len(self.seeds) >= FEWEST

    @property
    def title(self) -> str:
        """The condition in words."""
        setting = self.setting
        words = [
            f"learner {setting.learner}",
            f"{self.shelf} combinations" if self.shelf.isdigit() else f"shelf of {self.shelf}",
            f"{setting.start} starting levels",
            "" if setting.neutral else "the tempo counts",
            f"week {setting.missed_week} missed" if setting.missed_week else "",
            f"{'all' if setting.ratings is None else setting.ratings} ratings",
            "first hearing" if setting.first_hearing else "no first hearing",
            {0.0: "grades alone", 1.0: "clean marks alone"}.get(setting.marks, ""),
        ]
        return ", ".join(word for word in words if word)


@dataclass(frozen=True, slots=True)
class Report:
    """A study's conditions, in their order."""

    study: str
    conditions: tuple[Condition, ...]


def report(study: str, results: Sequence[Result]) -> Report:
    """The report of a study."""
    groups: dict[tuple[str, Setting], dict[str, list[Result]]] = {}
    for result in results:
        groups.setdefault(result.job.condition, {}).setdefault(result.job.policy, []).append(result)
    return Report(study, tuple(_condition(*key, policies) for key, policies in groups.items()))


def losses(condition: Condition) -> tuple[str, ...]:
    """Where ours is surely behind a policy that sees no more than it does, in words."""
    ours = condition.line(OURS)
    if ours is None:
        return ()
    found = []
    for line in condition.lines:
        if line.policy.startswith((OURS, *SEES_MORE)):
            continue
        for what, mine, theirs in (
            ("mean", ours.mean_difference, line.mean_difference),
            ("weakest tenth", ours.weakest_difference, line.weakest_difference),
        ):
            behind = theirs.mean - mine.mean
            if condition.tells and behind > SURE * sqrt(mine.error**2 + theirs.error**2):
                found.append(f"{what} {behind:.3f} behind {line.policy}")
    return tuple(found)


def way_to(condition: Condition, policy: str, reference: str = "reference") -> float | None:
    """How much of the reference's lead over round robin on the weakest tenth a policy has, 1 being all."""
    line, best = condition.line(policy), condition.line(reference)
    if line is None or best is None or best.weakest_difference.mean <= 0:
        return None
    return line.weakest_difference.mean / best.weakest_difference.mean


def to_json(found: Report) -> dict[str, Any]:
    """The report as JSON values."""
    return {
        "format": FORMAT,
        "study": found.study,
        "question": QUESTIONS[found.study],
        "conditions": [
            {
                "shelf": condition.shelf,
                "setting": asdict(condition.setting),
                "span_days": condition.span_days,
                "seeds": list(condition.seeds),
                "policies": [asdict(line) for line in condition.lines],
                "ours_behind": list(losses(condition)),
            }
            for condition in found.conditions
        ],
    }


def _condition(shelf: str, setting: Setting, policies: Mapping[str, Iterable[Result]]) -> Condition:
    joined = {policy: _joined(results) for policy, results in policies.items()}
    first = next(iter(next(iter(policies.values()))))
    seeds = tuple(seed for result in next(iter(policies.values())) for seed in result.job.seeds)
    lines = tuple(_line(policy, measures, joined[BASELINE]) for policy, measures in joined.items())
    return Condition(shelf, setting, first.span_days, seeds, lines)


Measures = dict[str, list[float]]


def _joined(results: Iterable[Result]) -> Measures:
    """The measures of all jobs of a policy, seed after seed."""
    found: Measures = {}
    for result in results:
        for name, values in result.measures.items():
            found.setdefault(name, []).extend(values)
    return found


def _line(policy: str, found: Measures, base: Measures) -> Line:
    covered = found["covered_on"]
    return Line(
        policy=policy,
        mean_end=mean(found["mean_end"]),
        weakest_end=mean(found["weakest_end"]),
        mean_later=mean(found["mean_later"]),
        weakest_later=mean(found["weakest_later"]),
        covered=median(covered) if all(covered) else 0.0,
        longest_gap=max(found["longest_gap"]),
        minutes=mean(found["minutes"]),
        missed_by=mean(found["missed_by"]),
        mean_difference=_difference(found["mean_later"], base["mean_later"]),
        weakest_difference=_difference(found["weakest_later"], base["weakest_later"]),
    )


def _difference(ours: Sequence[float], theirs: Sequence[float]) -> Difference:
    paired = [a - b for a, b in zip(ours, theirs, strict=True)]
    error = stdev(paired) / sqrt(len(paired)) if len(paired) > 1 else 0.0
    return Difference(mean(paired), error, sum(one > 0 for one in paired), len(paired))
