"""Tempo and seconds: the 39 marks, notches, and what an item takes with its rests.

README.md, "How it decides" and "Words": a notch is a sixteenth of an octave of tempo; between breaths 3 s;
light items rest half their playing, middle ones as long, from intensity 4 on one and a half times the
breath after every breath; before another exercise at least 45 s.
"""

from __future__ import annotations

from fractions import Fraction
from math import erf, log2, sqrt

from checker.breach import Item

# the common metronome: by 2 to 60, by 3 to 72, by 4 to 120, by 6 to 144, by 8 to 208; common practice
MARKS: tuple[int, ...] = (
    *range(40, 60, 2),
    *range(60, 72, 3),
    *range(72, 120, 4),
    *range(120, 144, 6),
    *range(144, 209, 8),
)
EIGHTHS = {"eighth": 1, "quarter": 2, "dotted quarter": 3, "half": 4}
BETWEEN_BREATHS, SET_UP = 3, 45


def notches(tempo: float, goal: float) -> float:
    """How far a tempo lies above (+) or below (-) a goal."""
    return 16 * log2(tempo / goal)


def nearest_mark(tempo: float) -> int:
    """The mark nearest to a tempo, measured in notches; of two the lower."""
    return min(MARKS, key=lambda mark: (abs(notches(mark, tempo)), mark))


def mark_below(tempo: float) -> int:
    """The highest mark that is not above a tempo, else the lowest there is."""
    return max((mark for mark in MARKS if mark <= tempo + 1e-9), default=MARKS[0])


def success(mean: float, sd: float, distance: float) -> float:
    """Probability that a tempo `distance` notches from the goal comes out clean; 2 notches of noise."""
    return (1 + erf((mean - distance) / sqrt(sd * sd + 4) / sqrt(2))) / 2


def one_pass(item: Item) -> Fraction:
    """Exact seconds of the figure once, at the tempo of the item."""
    eighths = Fraction(item["eighths_per_bar"]).limit_denominator(64) * int(item["bars"])
    return eighths * 60 / int(item["tempo"] * EIGHTHS[item["beat"]])


def breath(item: Item) -> Fraction:
    """Exact seconds of one breath, without what `measure` seconds asks for."""
    return one_pass(item) * int(item["passes"])


def breaths(item: Item) -> int:
    """How many breaths an item has: each place of the round once, every round."""
    return int(item["rounds"]) * max(1, len(item["fingerings"]))
