"""How the bars of a score are counted: as the meter says, else by beams, else by accents, else as usual.

Conventions: places and groups are in the lower number of the meter (eighths in 5/8); groups are of two to
four. What is not written as 2+3 is only proposed.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from planner.brass.tempo import Meter
from planner.inputs.score_reader import Bar

SIZES = range(2, 5)
"""How long a group may be."""

UNEVEN_FROM = 5
Groups = tuple[int, ...]


def asked(meter: Meter) -> bool:
    """Whether a bar may be counted in more than one way: uneven numbers of eighths or quarters, 8/8."""
    return meter.beats >= UNEVEN_FROM and meter.beats % 3 != 0 and (meter.beats % 2 == 1 or meter.unit >= 8)


def grouping_of(bars: Sequence[Bar], meter: Meter) -> tuple[Groups | None, str]:
    """The groups of a bar with where they were taken from: "beams", "accents", or None and ""."""
    if not asked(meter):
        return None, ""
    for source, places in (("beams", _beams), ("accents", _accents)):
        found = {_groups(starts, meter) for bar in bars if (starts := list(places(bar, meter)))}
        if found:  # beams that say nothing clear leave nothing to the accents
            clear = len(found) == 1 and None not in found
            return (found.pop(), source) if clear else (None, "")
    return None, ""


def _beams(bar: Bar, meter: Meter) -> Iterator[Fraction]:
    """Where groups under one beam begin; single notes lie between them."""
    place, inside, beamed = Fraction(0), False, any(note.beam for note in bar.notes)
    for note in bar.notes if beamed else ():
        if not inside:
            yield place
        inside = note.beam in ("begin", "continue")
        place += note.eighths * meter.unit / 8


def _accents(bar: Bar, meter: Meter) -> Iterator[Fraction]:
    place = Fraction(0)
    for note in bar.notes:
        if note.accent:
            yield place
        place += note.eighths * meter.unit / 8


def _groups(starts: Iterable[Fraction], meter: Meter) -> Groups | None:
    """The groups between these places; None where they are none."""
    edges = [*sorted({Fraction(0), *starts}), Fraction(meter.beats)]
    sizes = [after - before for before, after in pairwise(edges)]
    if any(size not in SIZES for size in sizes):
        return None
    return tuple(int(size) for size in sizes)
