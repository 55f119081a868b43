"""Which notes of a bar are joined by beams: by the accents of the bar in eighths, by beats in quarters.

All lengths are in eighths. In meters over 8 and 16 a beam never crosses a group of the meter. In quarters and
halves eighths are joined in half bars (4/4), whole bars (3/4, 2/4) or beats, shorter notes by beats.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import accumulate
from typing import Literal

from planner.brass.tempo import Meter

Beam = Literal["start", "inside", "end", ""]
Timed = tuple[Fraction, bool]  # length and whether it is a rest

_EIGHTH = Fraction(1)


def beams(notes: Sequence[Timed], meter: Meter) -> tuple[Beam, ...]:
    """Where each note or rest of one bar stands in a beam; "" for none."""
    starts = tuple(accumulate((length for length, _ in notes), initial=Fraction(0)))[:-1]
    edges = _edges(notes, starts, meter)
    group = [sum(edge <= start for edge in edges) for start in starts]
    flagged = [not rest and length < 2 for length, rest in notes]
    found: list[Beam] = []
    for index, flag in enumerate(flagged):
        after = index + 1 < len(notes) and flagged[index + 1] and group[index + 1] == group[index]
        before = index > 0 and flagged[index - 1] and group[index - 1] == group[index]
        found.append(_place(before=flag and before, after=flag and after))
    return tuple(found)


def _place(*, before: bool, after: bool) -> Beam:
    if before:
        return "inside" if after else "end"
    return "start" if after else ""


def _edges(notes: Sequence[Timed], starts: Sequence[Fraction], meter: Meter) -> list[Fraction]:
    """Where a new beam begins inside the bar."""
    if meter.unit >= 8:
        sizes = [Fraction(group * 8, meter.unit) for group in meter.grouping]
        return list(accumulate(sizes))
    edges: list[Fraction] = []
    at = Fraction(0)
    for size in _halves(meter):
        inside = [
            length
            for (length, rest), start in zip(notes, starts, strict=True)
            if at <= start < at + size and not rest
        ]
        plain = all(length >= _EIGHTH and length.denominator == 1 for length in inside)
        step = size if plain else Fraction(8, meter.unit)
        edges += [at + step * (count + 1) for count in range(int(size / step))]
        at += size
    return edges


def _halves(meter: Meter) -> list[Fraction]:
    """The parts of a bar over 4 or 2 within which plain eighths are joined."""
    beat = Fraction(8, meter.unit)
    if meter.unit < 4:
        return [beat] * meter.beats
    parts: list[int] = []
    for group in meter.grouping:
        parts += [2] * (group // 2) if group % 2 == 0 else [group] if group == 3 else [1] * group
    return [beat * part for part in parts]
