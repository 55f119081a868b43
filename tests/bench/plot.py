"""A plain SVG of measured points on two logarithmic axes, with the straight line fitted to them."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape

WIDTH, HEIGHT, EDGE = 420, 300, 56


@dataclass(frozen=True, slots=True)
class Curve:
    """One panel: what is measured, its unit, the sizes, the measured values."""

    title: str
    unit: str
    sizes: tuple[int, ...]
    values: tuple[float, ...]


def fitted(curve: Curve) -> tuple[float, float]:
    """Exponent and factor of value = factor x size^exponent, least squares of the logarithms."""
    x = [math.log(size) for size in curve.sizes]
    y = [math.log(value) for value in curve.values]
    mean_x, mean_y = sum(x) / len(x), sum(y) / len(y)
    spread = sum((one - mean_x) ** 2 for one in x)
    exponent = sum((a - mean_x) * (b - mean_y) for a, b in zip(x, y, strict=True)) / spread
    return exponent, math.exp(mean_y - exponent * mean_x)


def svg(curves: Sequence[Curve], caption: str) -> str:
    """The curves side by side."""
    panels = "".join(_panel(curve, number * WIDTH) for number, curve in enumerate(curves))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH * len(curves)}" height="{HEIGHT + 30}"'
        ' font-family="sans-serif" font-size="12">'
        f'<title>{escape(caption)}</title><rect width="100%" height="100%" fill="white"/>{panels}'
        f'<text x="{EDGE}" y="{HEIGHT + 20}">{escape(caption)}</text></svg>\n'
    )


def _panel(curve: Curve, left: int) -> str:
    exponent, factor = fitted(curve)
    ends = (curve.sizes[0], curve.sizes[-1])
    line = [(size, factor * size**exponent) for size in ends]
    every = [*curve.values, *(value for _, value in line)]
    low, high = min(every) / 1.3, max(every) * 1.3

    def at(size: float, value: float) -> tuple[float, float]:
        across = math.log(size / ends[0]) / math.log(ends[1] / ends[0])
        up = math.log(value / low) / math.log(high / low)
        return left + EDGE + across * (WIDTH - 2 * EDGE), HEIGHT - EDGE - up * (HEIGHT - 2 * EDGE)

    (x1, y1), (x2, y2) = (at(*point) for point in line)
    parts = [f'<text x="{left + EDGE}" y="24">{escape(curve.title)}: size^{exponent:.2f}</text>']
    parts.append(
        f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="gray"'
        ' stroke-dasharray="4 3"/>'
    )
    for size, value in zip(curve.sizes, curve.values, strict=True):
        x, y = at(size, value)
        parts.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4"/>')
        parts.append(f'<text x="{x + 6:.1f}" y="{y - 6:.1f}">{value:.3g} {escape(curve.unit)}</text>')
        parts.append(f'<text x="{x:.1f}" y="{HEIGHT - EDGE + 18}" text-anchor="middle">{size}</text>')
    return "".join(parts)
