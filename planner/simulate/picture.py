"""The report as one picture (plain SVG): for every condition and policy the difference to round robin.

Across: thousandths of the score, 14 days after the end. A filled dot is the weakest tenth, an open one the
mean; the line through a dot reaches two standard errors to each side.
"""

from __future__ import annotations

from html import escape

from planner.simulate.report import BASELINE, Condition, Difference, Report

WIDE, LEFT, ROW, HEAD = 560, 190, 17, 30
MOST = 150
"""Thousandths to each side; what lies beyond is drawn at the edge with its number."""

INK, GRID, OWN, MEAN = "#222222", "#cccccc", "#0b5394", "#b45f06"


def picture(report: Report) -> str:
    """The picture as SVG text, conditions in two columns."""
    tall = max((_height(condition) for condition in report.conditions), default=0)
    rows = -(-len(report.conditions) // 2)
    width, height = 2 * (LEFT + WIDE) + 60, 60 + rows * tall
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" {_look()}>',
        f'<text x="10" y="22" font-size="16" fill="{INK}">{escape(_title(report))}</text>',
        f'<text x="10" y="42" fill="{INK}">{escape(_key())}</text>',
    ]
    for number, condition in enumerate(report.conditions):
        x, y = number % 2 * (LEFT + WIDE + 40) + 10, 60 + number // 2 * tall
        parts += [f'<g transform="translate({x},{y})">', *_condition(condition), "</g>"]
    return "\n".join([*parts, "</svg>"]) + "\n"


def _look() -> str:
    return 'style="max-width:100%;height:auto;background:#ffffff" font-family="sans-serif" font-size="12"'


def _title(report: Report) -> str:
    return f"Simulation “{report.study}”: difference to round robin, 14 days after the end, thousandths"


def _key() -> str:
    return "filled: weakest tenth; open: mean of all; lines: two standard errors to each side"


def _height(condition: Condition) -> int:
    return HEAD + ROW * len(condition.lines) + 34


def _condition(condition: Condition) -> list[str]:
    lines = [line for line in condition.lines if line.policy != BASELINE]
    bottom = HEAD + ROW * len(lines)
    parts = [f'<text x="0" y="14" font-weight="bold" fill="{INK}">{escape(condition.title)}</text>']
    for mark in range(-MOST, MOST + 1, 50):
        x = _across(mark)
        parts.append(f'<path d="M{x:g},{HEAD - 8} V{bottom}" stroke="{INK if mark == 0 else GRID}"/>')
        parts.append(f'<text x="{x:g}" y="{bottom + 14}" text-anchor="middle" fill="{INK}">{mark:+d}</text>')
    for row, line in enumerate(lines):
        y = HEAD + ROW * row + 4
        parts.append(f'<text x="{LEFT - 10}" y="{y + 4}" text-anchor="end" fill="{INK}">{line.policy}</text>')
        parts += _dot(line.mean_difference, y + 2, MEAN, "#ffffff", f"{line.policy}, mean")
        parts += _dot(line.weakest_difference, y - 2, OWN, OWN, f"{line.policy}, weakest tenth")
    return parts


def _dot(difference: Difference, y: int, ink: str, fill: str, words: str) -> list[str]:
    mean, reach = 1000 * difference.mean, 2000 * difference.error
    x = _across(mean)
    found = [
        f'<path d="M{_across(mean - reach):.1f},{y} H{_across(mean + reach):.1f}" stroke="{ink}"/>',
        f'<circle cx="{x:.1f}" cy="{y}" r="3.5" fill="{fill}" stroke="{ink}">',
        f"<title>{escape(words)}: {mean:+.0f}</title></circle>",
    ]
    if abs(mean) > MOST:
        anchor, shift = ("end", -7) if mean > 0 else ("start", 7)
        number = f'<text x="{x + shift:.1f}" y="{y + 4}" text-anchor="{anchor}" font-size="10" fill="{ink}">'
        found.append(f"{number}{mean:+.0f}</text>")
    return found


def _across(thousandths: float) -> float:
    """Where a number of thousandths stands, in the picture's units."""
    inside = max(-MOST, min(MOST, thousandths))
    return LEFT + WIDE * (inside + MOST) / (2 * MOST)
