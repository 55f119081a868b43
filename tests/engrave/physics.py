"""What a tube sounds, worked out from lengths alone: no table of the program is used.

Fundamentals of the open tubes, sounding: JMU Brass Pedagogy, "Fundamentals" (2016) for B flat trumpet, horn,
trombone, euphonium and tuba; the other keys by their interval. A valve lowers by 2, 1, 3, 5 semitones; a
slide position by one each; the F attachment by 5.
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
VALVES = {"0": 0, "1": 2, "2": 1, "3": 3, "4": 5}
B_FLAT_SIDE = 5  # the B flat side of a double horn stands a fourth higher
SLIDES = ("trombone", "trombone-treble", "trombone-f", "bass-trombone")
# four valves that do not compensate are sharp in sum, by up to 175 cents (1-2-3-4): lengths add, not pitches
SHARP_IN_SUM = ("euphonium-4", "euphonium-4-treble", "tuba-bb", "tuba-c", "tuba-f")


def natural(partial: int) -> int:
    """Semitones of a natural note over the fundamental."""
    return round(12 * math.log2(partial))


def fundamentals(instrument: str, fingering: str) -> set[int]:
    """The sounding MIDI number of partial 1 with this fingering; two where valves are sharp in sum."""
    base = OPEN[instrument]
    if instrument in SLIDES:
        position = int(re.sub("^T", "", fingering))
        return {base - (position - 1) - (5 if fingering.startswith("T") else 0)}
    side = B_FLAT_SIDE if fingering.startswith("T") else 0
    pressed = fingering.lstrip("FT")
    down = sum(VALVES[valve] for valve in pressed)
    short = {down - 1} if instrument in SHARP_IN_SUM and "4" in pressed and len(pressed) > 1 else set()
    return {base + side - one for one in {down, *short}}


def may_sound(instrument: str, fingering: str, sounding: int) -> bool:
    """Whether a tube of this length has the note among its first sixteen partials."""
    return any(
        sounding == base + natural(partial)
        for base in fundamentals(instrument, fingering)
        for partial in range(1, 17)
    )
