"""The reliability plot: predicted against observed success, one small square for each line of the table.

Plain SVG. Points lie on the diagonal where prediction and observation agree; their area grows with the trials
behind them. The grey band is 4 points to each side.
"""

from __future__ import annotations

from collections.abc import Sequence
from math import sqrt
from typing import Protocol

SIDE, GAP, LEFT, TOP = 190, 46, 60, 60
COLUMNS = 3
BAND = 0.04
INK, PALE, BLUE = "#222222", "#dddddd", "#0b5394"


class Point(Protocol):
    """What is drawn of a tenth."""

    @property
    def trials(self) -> int: ...  # noqa: D102 - named by the protocol's own line
    @property
    def predicted(self) -> float: ...  # noqa: D102
    @property
    def observed(self) -> float: ...  # noqa: D102


class Panel(Protocol):
    """What is drawn of a line of the table."""

    @property
    def trend(self) -> float: ...  # noqa: D102
    @property
    def ratings(self) -> int: ...  # noqa: D102
    @property
    def tenths(self) -> Sequence[Point]: ...  # noqa: D102


def plot(panels: Sequence[Panel]) -> str:
    """The picture as SVG text."""
    rows = -(-len(panels) // COLUMNS)
    width, height = LEFT + COLUMNS * (SIDE + GAP), TOP + rows * (SIDE + GAP) + 20
    look = 'style="max-width:100%;height:auto;background:#ffffff" font-family="sans-serif" font-size="12"'
    title = "Success at the tempo shown: predicted (across) and observed (up), in %"
    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width} {height}" {look}>',
        f'<text x="{LEFT}" y="24" font-size="15" fill="{INK}">{title}</text>',
    ]
    for number, panel in enumerate(panels):
        x = LEFT + number % COLUMNS * (SIDE + GAP)
        y = TOP + number // COLUMNS * (SIDE + GAP)
        parts += _panel(panel, x, y)
    return "\n".join([*parts, "</svg>"]) + "\n"


def _panel(panel: Panel, x: int, y: int) -> list[str]:
    band = BAND * SIDE
    edge = f"M0,{SIDE} L{band},{SIDE} L{SIDE},{band} L{SIDE},0 L{SIDE - band},0 L0,{SIDE - band} Z"
    lines = [
        f'<g transform="translate({x},{y})">',
        f'<text x="0" y="-6" fill="{INK}">{panel.trend:g} notches a week, {panel.ratings:,} ratings</text>',
        f'<path d="{edge}" fill="{PALE}"/>',
        f'<rect width="{SIDE}" height="{SIDE}" fill="none" stroke="{INK}"/>',
        f'<path d="M0,{SIDE} L{SIDE},0" stroke="{INK}" stroke-dasharray="3 3"/>',
    ]
    for share in (0, 50, 100):
        at = SIDE * share / 100
        lines.append(f'<text x="{at:g}" y="{SIDE + 15}" text-anchor="middle" fill="{INK}">{share}</text>')
        lines.append(f'<text x="-6" y="{SIDE - at + 4:g}" text-anchor="end" fill="{INK}">{share}</text>')
    lines += [_point(tenth) for tenth in panel.tenths]
    return [*lines, "</g>"]


def _point(tenth: Point) -> str:
    radius = min(9.0, max(1.5, sqrt(tenth.trials) / 12))
    x, y = SIDE * tenth.predicted, SIDE * (1 - tenth.observed)
    words = (
        f"{100 * tenth.predicted:.1f} % predicted, {100 * tenth.observed:.1f} % of {tenth.trials} observed"
    )
    return (
        f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:.1f}" fill="{BLUE}" fill-opacity="0.75">'
        f"<title>{words}</title></circle>"
    )
