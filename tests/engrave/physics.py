"""What a tube sounds, worked out from lengths alone: no table of the program is used.

Fundamentals of the open tubes, sounding: JMU Brass Pedagogy, "Fundamentals" (2016) for B flat trumpet, horn,
trombone, euphonium and tuba; the other keys by their interval. A valve alone lowers by 2, 1, 3, 5 semitones,
and added lengths add (JMU, "Why the math doesn't add up", 2016); on a compensating instrument the fourth
valve lengthens the loops of the others by its own ratio. A slide position lowers by one semitone each, the F
attachment by 5; a raised one ("♯2") is shorter by what the seventh natural note is flat.
"""

from __future__ import annotations

import math
import re

OPEN = {
    "trumpet": 46, "cornet": 46, "flugelhorn": 46, "trumpet-c": 48, "soprano-cornet": 51,
    "horn": 29, "horn-f": 29, "alto-horn": 39,
    "baritone": 34, "baritone-treble": 34, "euphonium": 34, "euphonium-treble": 34, "euphonium-3": 34,
    "euphonium-3-treble": 34, "euphonium-4": 34, "euphonium-4-treble": 34,
    "trombone": 34, "trombone-treble": 34, "trombone-f": 34, "bass-trombone": 34,
    "tuba-bb": 22, "tuba-bb-treble": 22, "tuba-c": 24, "tuba-eb": 27, "tuba-eb-treble": 27, "tuba-f": 29,
}  # fmt: skip
VALVES = {"1": 2, "2": 1, "3": 3, "4": 5}
B_FLAT_SIDE = 5  # the B flat side of a double horn stands a fourth higher
SLIDES = ("trombone", "trombone-treble", "trombone-f", "bass-trombone")
COMPENSATING = ("euphonium", "euphonium-treble", "tuba-eb", "tuba-eb-treble", "tuba-bb-treble")
# Every player corrects 1-2-3, which is 53.6 cents sharp by these lengths, so this much is allowed.
CORRECTED_CENTS = 54
SEVENTH_FLAT_CENTS = 3400 - 1200 * math.log2(7)  # 31.2


def natural(partial: int) -> int:
    """Semitones of a natural note over the fundamental."""
    return round(12 * math.log2(partial))


def lowered_cents(instrument: str, fingering: str) -> float:
    """Cents by which the open tube of this side is lowered."""
    if instrument in SLIDES:
        position = int(re.sub("^[T♯]", "", fingering))
        raised = SEVENTH_FLAT_CENTS * fingering.startswith("♯")
        return 100 * (position - 1 + 5 * fingering.startswith("T")) - raised
    pressed = [valve for valve in fingering.lstrip("FT") if valve != "0"]
    scale = 2 ** (5 / 12) if instrument in COMPENSATING and "4" in pressed else 1
    added = sum((2 ** (VALVES[valve] / 12) - 1) * (1 if valve == "4" else scale) for valve in pressed)
    return 1200 * math.log2(1 + added)


def may_sound(instrument: str, fingering: str, sounding: int) -> bool:
    """Whether a tube of this length has the note, lipped a little, among its first sixteen partials."""
    side = B_FLAT_SIDE if instrument not in SLIDES and fingering.startswith("T") else 0
    tube = 100 * (OPEN[instrument] + side) - lowered_cents(instrument, fingering)
    return any(
        abs(tube + 100 * natural(partial) - 100 * sounding) < CORRECTED_CENTS for partial in range(1, 17)
    )
