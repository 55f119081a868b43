"""The report of a simulation as text: a table for every condition, every policy in it, also where ours loses.

A pure function from the report to text. Scores are of 1 (at the goal; 0 at half its tempo), differences those
to round robin on the same seeds, 14 days after the end, in thousandths with their standard errors.
"""

from __future__ import annotations

from collections.abc import Iterator

from planner.show.layout import Faces, indent, page, wrap
from planner.show.tables import Row, Table, table_lines
from planner.simulate.report import OURS, Condition, Difference, Line, Report, losses, way_to
from planner.simulate.studies import QUESTIONS

HEAD = (
    "policy",
    "mean\nat the end",
    "weakest\ntenth",
    "mean\n+14 days",
    "weakest\ntenth",
    "mean to\nround robin",
    "weakest to\nround robin",
    "wins",
    "all met\non day",
    "longest\ngap",
    "minutes",
)
WITHOUT_END = "–"


def simulation_text(report: Report, width: int, faces: Faces, *, boxes: bool = False) -> str:
    """The whole report in lines of at most `width` columns."""
    return page(_lines(report, width, faces, boxes=boxes))


def _lines(report: Report, width: int, faces: Faces, *, boxes: bool) -> Iterator[str]:
    yield faces.bold(f"Simulation: {report.study}")
    yield from wrap(QUESTIONS[report.study] + ".", width)
    for condition in report.conditions:
        yield ""
        yield from (faces.bold(line) for line in wrap(_title(condition), width))
        table = Table(HEAD, (tuple(_row(line) for line in condition.lines),))
        yield from table_lines(table, width, faces, boxes=boxes)
        for told in _told(condition):
            yield from indent(wrap(told, width - 2), "", "  ")
    yield ""
    yield from wrap(
        "Scores: 1 at the goal, 0 at half its tempo. Differences in thousandths, the same players and dice, "
        "± one standard error; wins: seeds on which the weakest tenth is above that of round robin. Gaps in "
        "spans granted. These are simulated players: what a real one learns nobody knows from this.",
        width,
    )


def _title(condition: Condition) -> str:
    seeds = len(condition.seeds)
    players = "1 seed" if seeds == 1 else f"{seeds} seeds"
    return f"{condition.title}; {players}, span {condition.span_days} days"


def _row(line: Line) -> Row:
    return (
        line.policy,
        f"{line.mean_end:.3f}",
        f"{line.weakest_end:.3f}",
        f"{line.mean_later:.3f}",
        f"{line.weakest_later:.3f}",
        _thousandths(line.mean_difference),
        _thousandths(line.weakest_difference),
        f"{line.weakest_difference.wins}/{line.weakest_difference.seeds}",
        f"{line.covered:.0f}" if line.covered else WITHOUT_END,
        f"{line.longest_gap:.2f}",
        f"{line.minutes:,.0f}",
    )


def _thousandths(difference: Difference) -> str:
    mean, error = (round(1000 * value) for value in (difference.mean, difference.error))
    return f"{mean:+d} ± {error}"


def _told(condition: Condition) -> Iterator[str]:
    """Where ours loses, and how much of the reference's lead it has."""
    behind = losses(condition)
    if condition.line(OURS) is not None:
        yield "Ours is surely behind: " + ("; ".join(behind) if behind else "nobody here") + "."
    shares = [(name, way_to(condition, name)) for name in (OURS, f"{OURS}, true state")]
    told = [f"{name} {100 * share:.0f} %" for name, share in shares if share is not None]
    if told:
        yield f"Of the reference's lead on the weakest tenth: {', '.join(told)}."
