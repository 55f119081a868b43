"""Results written down by hand for the tests of the report, its tables and its picture."""

from __future__ import annotations

from planner.simulate.report import Report, report
from planner.simulate.runner import Result
from planner.simulate.studies import Job
from planner.simulate.term import Setting

SEEDS = (1, 2, 3, 4)
ROBIN = ((0.50, 0.52, 0.54, 0.56), (0.10, 0.12, 0.14, 0.16))
OURS = ((0.48, 0.51, 0.53, 0.56), (0.20, 0.20, 0.20, 0.20))
RIVAL = ((0.52, 0.54, 0.56, 0.58), (0.12, 0.11, 0.15, 0.17))
BEST = ((0.48, 0.50, 0.52, 0.54), (0.22, 0.24, 0.26, 0.28))
"""Mean and weakest tenth two weeks after the end, a number a seed."""


def result(
    policy: str, later: tuple[tuple[float, ...], ...], setting: Setting, covered: tuple[int, ...]
) -> Result:
    """The result of one policy, on which the end is a hundredth above what is left two weeks later."""
    mean, weakest = later
    measures = {
        "mean_end": tuple(value + 0.01 for value in mean),
        "weakest_end": tuple(value + 0.01 for value in weakest),
        "mean_later": mean,
        "weakest_later": weakest,
        "covered_on": tuple(map(float, covered)),
        "longest_gap": (0.5, 1.0, 0.75, 0.25),
        "minutes": (4320.0,) * 4,
        "missed_by": (1.0, 2.0, 3.0, 2.0),
    }
    return Result(Job("policies", "84", setting, policy, SEEDS), 28, measures)


def by_hand() -> Report:
    """Four policies in two conditions."""
    found = []
    for setting in (Setting("A"), Setting("B", missed_week=4, ratings=36, first_hearing=False)):
        found += [
            result("round robin", ROBIN, setting, (8, 9, 10, 11)),
            result("random", RIVAL, setting, (30, 0, 31, 32)),
            result("ours", OURS, setting, (9, 9, 12, 12)),
            result("ours, true state", OURS, setting, (9, 9, 9, 9)),
            result("reference", BEST, setting, (9, 9, 9, 9)),
        ]
    return report("policies", found)
