"""A small shelf for the coverage view, worked by hand for a B flat trumpet with the days of `sample_plan`.

Rolling fives stand on three cycles of positions; five steps (degrees 1 to 5) in six keys: their positions are
the standard fingerings of the five notes (open 1, valve 2: 2, valve 1: 3, 12: 4, 23: 5, 13: 6, 123: 7).
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date


@dataclass(frozen=True, slots=True)
class Covered:
    """One combination as the coverage view wants it."""

    combination: str
    exercise: str
    keys: tuple[str, ...]
    positions: tuple[int, ...]
    touched: tuple[tuple[str, int], ...]
    last_met: date | None


TUBES = {1: "C major", 2: "B major", 3: "B-flat major", 4: "A major", 5: "A-flat major", 6: "G major",
         7: "F-sharp major"}  # fmt: skip


def cycle(first: int, last_met: date | None) -> Covered:
    """Rolling fives on three neighbouring positions: every tube gives its own key."""
    positions = (first, first + 1, first + 2)
    keys = tuple(TUBES[position] for position in positions)
    name = "rolling-fives/a/" + "-".join(str(position) for position in positions)
    return Covered(name, "Rolling fives", keys, positions, tuple(zip(keys, positions, strict=True)), last_met)


def steps(key: str, positions: tuple[int, ...], last_met: date | None) -> Covered:
    """Five steps in one key."""
    place = key.lower().replace(" ", "-")
    touched = tuple((key, position) for position in positions)
    return Covered(f"five-steps/up/{place}", "Five steps and back", (key,), positions, touched, last_met)


SHELF = [
    cycle(1, date(2026, 8, 19)),
    cycle(3, date(2026, 8, 22)),  # planned on Monday
    cycle(5, date(2026, 9, 7)),
    steps("C major", (1, 3, 4, 6), None),  # C4 0, D4 13, E4 12, F4 1, G4 0
    steps("D major", (2, 4, 6, 1), date(2026, 9, 7)),  # D4 13, E4 12, F sharp 4 2, G4 0, A4 12
    steps("E-flat major", (5, 3, 1), date(2026, 8, 30)),  # E flat 4 23, F4 1, G4 0, A flat 4 23, B flat 4 1
    steps("A-flat major", (5, 3, 1, 7), None),  # A flat 3 23, B flat 3 1, C4 0, D flat 4 123, E flat 4 23
    steps("D-flat major", (7, 5, 3, 2), None),  # D flat 4 123, E flat 4 23, F4 1, G flat 4 2, A flat 4 23
    steps("F-sharp melodic minor", (7, 5, 4, 2), date(2026, 9, 4)),
]
