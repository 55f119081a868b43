"""The tube: natural notes, valves and slide, computed from physics.

Conventions: partials count from 1 (the fundamental); a position is how far the tube is lengthened, 1 to 7
(12) for 0 to 6 (11) semitones down; cents are positive where the tube is sharp of equal temperament.
Model: a valve adds tubing that alone lowers the open tube by 2 (first), 1 (second), 3 (third) or 5 (fourth)
semitones exactly; added lengths add, so combinations come out sharp; a compensating fourth valve sends the
air through loops on the other valves that are longer by its own ratio.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from itertools import combinations
from typing import Final, Literal

Side = Literal["F", "B flat"]
Mechanism = Literal[
    "three valves",
    "four valves",
    "four valves compensating",
    "slide",
    "slide with F attachment",
    "single horn",
    "double horn",
]

VALVE_SEMITONES: Final = {"1": 2, "2": 1, "3": 3, "4": 5}
F_ATTACHMENT_SEMITONES: Final = 5
B_FLAT_SIDE_RAISED: Final = 5  # the B flat side of a double horn stands a fourth above the F side
SLIDE_POSITIONS: Final = 7
HIGHEST_PARTIAL: Final = 16


@dataclass(frozen=True, slots=True)
class Tube:
    """One way to set the length of the tube.

    `raised` is how many semitones the open tube of this side stands above the instrument's own;
    `second_choice` marks a fingering that is used only beside another of the same length (3 beside 12).
    """

    fingering: str
    position: int
    cents: float
    side: Side
    raised: int
    second_choice: bool

    @property
    def semitones_down(self) -> int:
        """Semitones below the instrument's own open tube; negative on the B flat side of the horn."""
        return self.position - 1 - self.raised


def partial_semitones(partial: int) -> int:
    """Semitones of a partial above the fundamental, to the nearest semitone.

    >>> [partial_semitones(n) for n in range(1, 13)]
    [0, 12, 19, 24, 28, 31, 34, 36, 38, 40, 42, 43]
    """
    return round(12 * math.log2(partial))


def partial_cents(partial: int) -> float:
    """How far a natural note is sharp (+) or flat (-) of that semitone, in cents; the 11th counts from 42."""
    return 1200 * math.log2(partial) - 100 * partial_semitones(partial)


def lowering_cents(added_lengths: Iterable[float]) -> float:
    """Cents by which added lengths lower a tube of length 1.

    >>> round(lowering_cents([1 / 8, 1 / 15]))
    304
    """
    return 1200 * math.log2(1 + sum(added_lengths))


def valve_cents(valves: str, *, compensating: bool = False) -> float:
    """Cents by which a combination like "124" lowers the open tube; "0" is the open tube."""
    scale = _ratio(VALVE_SEMITONES["4"]) if compensating and "4" in valves else 1.0
    pressed = [valve for valve in valves if valve != "0"]
    return lowering_cents(
        (_ratio(VALVE_SEMITONES[valve]) - 1) * (scale if valve != "4" else 1.0) for valve in pressed
    )


def f_attachment_slide(semitones: int) -> float:
    """Where the slide stands, in ordinary positions, for semitones below the F attachment's open tube."""
    return 1 + 12 * math.log2(1 + _ratio(F_ATTACHMENT_SEMITONES) * (_ratio(semitones) - 1))


@cache
def tubes(mechanism: Mechanism) -> tuple[Tube, ...]:
    """Every length of a mechanism, the usual fingering of each position before its second choices."""
    if mechanism == "slide":
        return _slide(with_attachment=False)
    if mechanism == "slide with F attachment":
        return _slide(with_attachment=True) + _attachment()
    if mechanism == "double horn":
        return _valves("123", prefix="F") + _valves(
            "123", prefix="T", side="B flat", raised=B_FLAT_SIDE_RAISED
        )
    if mechanism in ("three valves", "single horn"):
        return _valves("123")
    return _valves("1234", compensating=mechanism == "four valves compensating")


def _ratio(semitones: float) -> float:
    """The length ratio of an equal-tempered interval."""
    return math.exp2(semitones / 12)


def _slide(*, with_attachment: bool) -> tuple[Tube, ...]:
    """Positions 1 to 7; with an F attachment 6 and 7 give way to its first two for single notes."""
    return tuple(
        Tube(str(place), place, 0.0, "F", 0, with_attachment and place > F_ATTACHMENT_SEMITONES)
        for place in range(1, SLIDE_POSITIONS + 1)
    )


def _attachment() -> tuple[Tube, ...]:
    """T1 to T6: on the longer tube the slide has room for six steps, the last at full stretch."""
    return tuple(
        Tube(f"T{step}", F_ATTACHMENT_SEMITONES + step, 0.0, "F", 0, second_choice=False)
        for step in range(1, SLIDE_POSITIONS)
    )


def _valves(
    keys: str, *, prefix: str = "", side: Side = "F", raised: int = 0, compensating: bool = False
) -> tuple[Tube, ...]:
    """Every combination of the valves at the semitone it really gives, the best of each length first."""
    counts = range(len(keys) + 1)
    pressed = ["".join(some) or "0" for count in counts for some in combinations(keys, count)]
    found = sorted(_length(valves, compensating=compensating) for valves in pressed)
    result = []
    for index, (down, _, cents, valves) in enumerate(found):
        second = index > 0 and found[index - 1][0] == down
        result.append(Tube(prefix + valves, down + 1, cents, side, raised, second))
    return tuple(result)


def _length(valves: str, *, compensating: bool) -> tuple[int, tuple[bool, bool, bool, float], float, str]:
    """Semitones down, how willingly the combination is chosen, cents sharp, and the combination.

    A combination counts for the sum of its valves as long as it is not sharper than 1-2-3 on three valves,
    which every player corrects; beyond that it counts for the semitone it is nearest to. So four valves that
    do not compensate reach nine semitones, compensating ones eleven.
    """
    lowered = valve_cents(valves, compensating=compensating)
    nominal = sum(VALVE_SEMITONES[valve] for valve in valves if valve != "0")
    is_nominal = 100 * nominal - lowered <= _cents_of_all_three() + 1e-6
    down = nominal if is_nominal else round(lowered / 100)
    sharp = 100 * down - lowered
    third_for_both = "3" in valves and "1" not in valves and "2" not in valves
    return down, (not is_nominal, third_for_both, "4" not in valves, abs(sharp)), sharp, valves


def _cents_of_all_three() -> float:
    """How sharp 1-2-3 is: 53.6 cents."""
    return 600 - valve_cents("123")
