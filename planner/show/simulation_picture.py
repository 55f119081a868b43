"""What came of simulated terms as one picture: every policy's difference to round robin, as plain SVG.

One panel a condition, one line a policy; on the left the mean of all combinations, on the right the weakest
tenth, two weeks after the end. A dot stands at the mean difference, its bar reaches two standard errors to
each side; what lies beyond FURTHEST below round robin is an arrow with its figure. All panels share one
scale, so that they can be laid side by side. Lengths are SVG units; no clock, no chance: the same report
gives the same bytes.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from xml.sax.saxutils import escape

from planner.simulate.report import BASELINE, OURS, Condition, Difference, Line, Report

NAMES, SIDE, BETWEEN, MARGIN = 190, 300, 60, 24
WIDTH = NAMES + 2 * SIDE + BETWEEN + 2 * MARGIN
LINE, TITLE, GAP, HEAD, FOOT = 19, 26, 16, 74, 44
STEPS = (0.01, 0.02, 0.05, 0.1, 0.2)
MOST_STEPS = 8
BARS = 2.0
FURTHEST = 0.20
FOOT_WORDS = (
    "Score: 1 at the goal's tempo, 0 at half of it. Bars reach two standard errors to each side; "
    "arrows: further left."
)
INK, QUIET, RULE, OURS_INK = "#222222", "#666666", "#d8d8d8", "#a3361b"
STYLE = f'font-family="sans-serif" font-size="12" fill="{INK}"'


def picture(report: Report, question: str) -> str:
    """The picture of a report."""
    scale = _Scale(report)
    heights = [TITLE + LINE * len(_policies(one)) + GAP for one in report.conditions]
    height = HEAD + sum(heights) + FOOT
    parts = [_opening(height, question), *_head(question)]
    top = float(HEAD)
    for condition, tall in zip(report.conditions, heights, strict=True):
        parts += _panel(condition, scale, top)
        top += tall
    parts += [*_foot(scale, top), "</svg>"]
    return "\n".join(parts) + "\n"


class _Scale:
    """From differences to places on one of the two sides; marks at round numbers."""

    def __init__(self, report: Report) -> None:
        shown = [
            end
            for condition in report.conditions
            for line in _policies(condition)
            for found in (line.mean_difference, line.weakest_difference)
            for end in (found.mean - BARS * found.error, found.mean + BARS * found.error)
        ]
        low, high = max(min([0.0, *shown]), -FURTHEST), max([0.0, *shown])
        self.step = next((s for s in STEPS if (high - low) / s <= MOST_STEPS), STEPS[-1])
        self.low = math.floor(low / self.step) * self.step
        self.high = max(self.low + self.step, math.ceil(high / self.step) * self.step)

    def marks(self) -> list[float]:
        """Where the scale is marked."""
        count = round((self.high - self.low) / self.step)
        return [self.low + number * self.step for number in range(count + 1)]

    def at(self, value: float, side: int) -> float:
        """The place of a difference on the left (0) or the right side (1)."""
        left = MARGIN + NAMES + side * (SIDE + BETWEEN)
        return left + SIDE * (value - self.low) / (self.high - self.low)


def _policies(condition: Condition) -> list[Line]:
    return [line for line in condition.lines if line.policy != BASELINE]


def _opening(height: float, question: str) -> str:
    size = f'width="{WIDTH}" height="{height:.0f}" viewBox="0 0 {WIDTH} {height:.0f}"'
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" {size} {STYLE} role="img">'
        f"<title>{escape(question)}</title>"
        f'<rect width="{WIDTH}" height="{height:.0f}" fill="#ffffff"/>'
    )


def _head(question: str) -> Iterator[str]:
    yield _text(MARGIN, 24, question[:1].upper() + question[1:], 'font-size="15" font-weight="bold"')
    yield _text(
        MARGIN, 43, "Score two weeks after the end, minus that of round robin on the same players", _QUIET
    )
    for side, words in enumerate(("all combinations, mean", "weakest tenth")):
        middle = MARGIN + NAMES + side * (SIDE + BETWEEN) + SIDE / 2
        yield _text(middle, 66, words, 'font-weight="bold" text-anchor="middle"')


def _panel(condition: Condition, scale: _Scale, top: float) -> Iterator[str]:
    lines = _policies(condition)
    bottom = top + TITLE + LINE * len(lines)
    yield _text(MARGIN, top + 16, condition.title, 'font-weight="bold"')
    for side in (0, 1):
        for mark in scale.marks():
            x = scale.at(mark, side)
            ink = QUIET if abs(mark) < scale.step / 2 else RULE
            yield f'<path d="M{x:.1f} {top + TITLE - 4:.1f}V{bottom:.1f}" stroke="{ink}"/>'
    for number, line in enumerate(lines):
        y = top + TITLE + LINE * number + LINE / 2
        ours = line.policy == OURS
        face = f'text-anchor="end" fill="{OURS_INK if ours else INK}"' + (
            ' font-weight="bold"' if ours else ""
        )
        yield _text(MARGIN + NAMES - 12, y + 4, line.policy, face)
        for side, found in enumerate((line.mean_difference, line.weakest_difference)):
            yield _dot(found, scale, side, y, OURS_INK if ours else INK)


def _dot(found: Difference, scale: _Scale, side: int, y: float, ink: str) -> str:
    if found.mean < scale.low:
        return _beyond(found, scale.at(scale.low, side), y, ink)
    ends = (max(scale.low, found.mean + bars * found.error) for bars in (-BARS, 0.0, BARS))
    low, x, high = (scale.at(end, side) for end in ends)
    bar = f'<path d="M{low:.1f} {y:.1f}H{high:.1f}" stroke="{ink}" stroke-width="2"/>'
    return f'{bar}<circle cx="{x:.1f}" cy="{y:.1f}" r="4" fill="{ink}"/>'


def _beyond(found: Difference, x: float, y: float, ink: str) -> str:
    arrow = f'<path d="M{x:.1f} {y:.1f}l9 -5v10z" fill="{ink}"/>'
    return arrow + _text(x + 14, y + 4, f"{found.mean:+.2f}".replace("-", "−"), _SMALL)


def _foot(scale: _Scale, top: float) -> Iterator[str]:
    for side in (0, 1):
        for mark in scale.marks():
            words = f"{mark:+.2f}".replace("-", "−") if abs(mark) > scale.step / 2 else "0"
            yield _text(scale.at(mark, side), top + 2, words, f'text-anchor="middle" {_SMALL}')
    yield _text(MARGIN, top + 30, FOOT_WORDS, _QUIET)


_SMALL = f'font-size="11" fill="{QUIET}"'
_QUIET = f'fill="{QUIET}"'


def _text(x: float, y: float, words: str, face: str) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" {face}>{escape(words)}</text>'
