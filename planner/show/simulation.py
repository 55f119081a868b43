"""What came of simulated terms, as tables: every policy, differences to round robin, where ours is behind.

Pure functions from a report to text. Scores are 1 at the goal's tempo and 0 at half of it; differences are
"policy minus round robin" two weeks after the end, with their standard errors and on how many players of all
they are above nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from planner.show.layout import Faces, page, wrap
from planner.show.tables import Row, Table, table_lines
from planner.show.words import counted
from planner.simulate.report import FEWEST, OURS, Condition, Difference, Line, Report, losses, way_to
from planner.simulate.weeks import Week

HEAD: Row = (
    "policy",
    "mean\nend",
    "mean\n+14 days",
    "weakest\nend",
    "weakest\n+14 days",
    "mean to\nrobin",
    "ahead\non",
    "weakest\nto robin",
    "ahead\non",
    "all met\non day",
    "longest\ngap",
    "off by",
)
LEGEND = (
    "Mean and weakest: the mean score of all combinations and of the weakest tenth, 1.000 at the goal and 0 "
    "at half its tempo. To robin: the mean difference to round robin over the same players two weeks after "
    "the end, ± its standard error, both in thousandths, and on how many of the players it is above nothing. "
    "Longest gap: in spans granted, the longest of all players; 1.00 or less keeps the promise. Off by: the "
    "error of the estimate at the end, in notches."
)
WEEK_LEGEND = (
    "Soft rules: the cost of turns, pairs and touches that are missed, a turn 1000 and its need; no plan can "
    "have less than the next column says. Value: practice days since the last turn × (0.1 + need)⁴, in "
    "thousandths; the full solve may spend 0.3 % of it on evenness, which the reduced one hardly looks at. "
    "Shared: how many of the combinations of the week solved in full stand in it."
)
WEEK_HEAD: Row = ("way", "turns", "soft\nrules", "not\nless\nthan", "value", "shared")


def report_text(report: Report, question: str, width: int, faces: Faces, *, boxes: bool = False) -> str:
    """The whole report."""
    lines = wrap(question[:1].upper() + question[1:] + ".", width)
    for condition in report.conditions:
        lines += ["", *(faces.bold(line) for line in wrap(_heading(condition), width))]
        table = Table(HEAD, (tuple(_row(line) for line in condition.lines),))
        lines += table_lines(table, width, faces, boxes=boxes)
        for sentence in _sentences(condition):
            lines += wrap(sentence, width)
    return page([*lines, "", *wrap(LEGEND, width)])


def weeks_text(weeks: Sequence[Week], width: int, faces: Faces, *, boxes: bool = False) -> str:
    """Weeks solved in full beside the ways that stand for it."""
    groups = tuple(tuple(_week_rows(week)) for week in weeks)
    lines = table_lines(Table(WEEK_HEAD, groups), width, faces, boxes=boxes)
    return page([*lines, "", *wrap(WEEK_LEGEND, width)])


def _week_rows(week: Week) -> Iterator[Row]:
    name = f"learner {week.setting.learner}, {week.setting.start}, week {week.number}"
    for way in week.ways:
        yield (
            f"{name}: {way.name}",
            str(way.turns),
            str(way.cost),
            str(week.bound),
            str(way.value),
            f"{100 * way.shared:.0f} %",
        )


def _heading(condition: Condition) -> str:
    title = condition.title[:1].upper() + condition.title[1:]
    minutes = " or ".join(dict.fromkeys(f"{line.minutes:.0f}" for line in condition.lines))
    weeks, players = counted(condition.setting.weeks, "week"), counted(len(condition.seeds), "player")
    return f"{title}; {weeks} of {minutes} minutes in all, {players}, spans of {condition.span_days} days"


def _row(line: Line) -> Row:
    scores = (line.mean_end, line.mean_later, line.weakest_end, line.weakest_later)
    return (
        line.policy,
        *(f"{score:.3f}" for score in scores),
        *_difference(line.mean_difference),
        *_difference(line.weakest_difference),
        f"{line.covered:.0f}" if line.covered else "never",
        f"{line.longest_gap:.2f}",
        f"{line.missed_by:.2f}",
    )


def _difference(found: Difference) -> Row:
    error = f" ± {1000 * found.error:.1f}" if found.seeds > 1 else ""
    return f"{1000 * found.mean:+.0f}{error}", f"{found.wins}/{found.seeds}"


def _sentences(condition: Condition) -> Iterator[str]:
    """Where ours is behind, and how much of the way to the reference it goes."""
    if condition.line(OURS) is None:
        return
    if not condition.tells:
        players = counted(len(condition.seeds), "player")
        says = "says" if len(condition.seeds) == 1 else "say"
        yield f"{players} {says} nothing about chance: who is ahead is told from {FEWEST} on (--seeds)."
        return
    behind = losses(condition)
    yield f"Ours is behind: {'; '.join(behind)}." if behind else "Ours is behind nobody by more than chance."
    own, true = way_to(condition, OURS), way_to(condition, "ours, true state")
    if own is not None and true is not None:
        yield (
            "Of the way from round robin to the reference, on the weakest tenth, ours goes "
            f"{100 * own:.0f} % with its own estimate and {100 * true:.0f} % when it sees the true state."
        )


def studies_text(questions: Mapping[str, str], width: int) -> str:
    """The studies there are, one in a line or two."""
    room = max(len(name) for name in questions)
    lines: list[str] = []
    for name, question in questions.items():
        first, *rest = wrap(question, width - room - 2)
        lines += [f"{name:<{room}}  {first}", *(" " * (room + 2) + line for line in rest)]
    return page(lines)
