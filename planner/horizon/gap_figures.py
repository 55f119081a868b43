"""Figures that might be added to a curriculum: made by rule, so that "what one more would close" is a sum.

Partial figures walk over neighbouring partials in one window after another, through the cycles from 1, 3 and
5; degree figures are the first five notes, the octave, thirds and the broken chord, in all twelve major and
harmonic minor keys. Each stands in every meter, in eighths.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import cycle, islice

from planner.brass.figures import Figure, read_figure
from planner.brass.keys import MAJOR_KEYS, Key
from planner.brass.tempo import Meter, parse_meter

METERS = ("2/4", "3/4", "4/4", "2/2", "5/8", "6/8", "7/8", "9/8")
"""The meters a band part is met in [common practice]."""

LOWEST, HIGHEST = 2, 8
WIDTHS = (2, 3, 4)
STARTS = (1, 3, 5)
MINOR_TONICS = range(-4, 8)
"""Tonics of the twelve minor keys on the line of fifths, from A flat to C sharp."""

CYCLE = 3
DEGREES = {
    "five notes": (1, 2, 3, 4, 5, 4, 3, 2),
    "an octave": (1, 2, 3, 4, 5, 6, 7, 8, 7, 6, 5, 4, 3, 2),
    "thirds": (1, 3, 2, 4, 3, 5, 4, 2),
    "a broken chord": (1, 3, 5, 8, 5, 3),
}


@dataclass(frozen=True, slots=True)
class Proposal:
    """One figure that might be added: what it is called, its numbers in order; a meter is chosen later.

    kind "partials": `starts` are the first positions of its cycles. "degrees": it is played in `keys`.
    """

    name: str
    kind: str
    numbers: tuple[int, ...]
    starts: tuple[int, ...]
    keys: tuple[Key, ...]

    def notation(self, meter: Meter) -> str:
        """The figure in eighths that fill one bar of a meter, or two where one is too short for it."""
        bar = meter.eighths_per_bar
        bars = 1 if bar >= Fraction(len(set(self.numbers))) else 2
        count = int(bar * bars)
        numbers = list(islice(cycle(self.numbers), count))
        return " ".join(f"{number}e" if place == 0 else str(number) for place, number in enumerate(numbers))

    def figure(self, meter: Meter) -> Figure:
        """The same, read as a curriculum's figure."""
        return read_figure(self.notation(meter), meter, "partials" if self.kind == "partials" else "degrees")


def proposals() -> Iterator[Proposal]:
    """Every figure, partials first."""
    for width in WIDTHS:
        for low in range(LOWEST, HIGHEST - width + 2):
            window = tuple(range(low, low + width))
            walk = window + window[-2:0:-1]
            name = f"partials {low} to {low + width - 1}"
            yield Proposal(name, "partials", walk, STARTS, ())
    minors = tuple(Key(fifths, "harmonic minor") for fifths in MINOR_TONICS)
    for mode, keys in (("major", MAJOR_KEYS), ("minor", minors)):
        for name, numbers in DEGREES.items():
            yield Proposal(f"{name} in {mode}", "degrees", numbers, (), tuple(keys))


def meters() -> tuple[Meter, ...]:
    """The meters as they are usually grouped."""
    return tuple(parse_meter(text) for text in METERS)
