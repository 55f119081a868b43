"""A click track as WAV: 16 bit, mono, 44,100 a second; the accents of the grouping are heard.

Every onset is rounded from its exact time, never added up from rounded steps, so that it cannot drift. numpy
is imported when a track is made.
"""

from __future__ import annotations

import io
import math
import wave
from fractions import Fraction

from planner.brass.tempo import Meter
from planner.exports.score import group_starts

RATE = 44_100
CLICK_SECONDS = 0.03
FADE = 200.0
"""How fast a click fades, a second."""

BAR_HZ, GROUP_HZ, PLAIN_HZ = 1760.0, 1320.0, 880.0
BAR_LEVEL, GROUP_LEVEL, PLAIN_LEVEL = 0.8, 0.6, 0.35


def onsets(meter: Meter, eighths_per_minute: Fraction, bar_count: int) -> list[tuple[Fraction, int]]:
    """Every click with its exact second and its rank: 0 begins a bar, 1 a group, 2 neither."""
    unit = Fraction(8, meter.unit)
    groups = group_starts(meter) if len(meter.grouping) > 1 else (Fraction(0),)
    found = []
    for bar in range(bar_count):
        for beat in range(meter.beats):
            at = bar * meter.eighths_per_bar + beat * unit
            rank = 0 if beat == 0 else 1 if beat * unit in groups else 2
            found.append((at * 60 / eighths_per_minute, rank))
    return found


def click_track(meter: Meter, eighths_per_minute: Fraction, bar_count: int) -> bytes:
    """The bytes of a WAV file of so many bars, count-in included."""
    import numpy as np

    clicks = onsets(meter, eighths_per_minute, bar_count)
    seconds = bar_count * meter.eighths_per_bar * 60 / eighths_per_minute
    sound = np.zeros(math.ceil(seconds * RATE) + int(RATE * CLICK_SECONDS))
    time = np.arange(int(RATE * CLICK_SECONDS)) / RATE
    shapes = [
        level * np.sin(2 * np.pi * hertz * time) * np.exp(-FADE * time)
        for hertz, level in ((BAR_HZ, BAR_LEVEL), (GROUP_HZ, GROUP_LEVEL), (PLAIN_HZ, PLAIN_LEVEL))
    ]
    for at, rank in clicks:
        start = round(at * RATE)
        sound[start : start + len(time)] += shapes[rank]
    out = io.BytesIO()
    with wave.open(out, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes((np.clip(sound, -1, 1) * 32767).astype("<i2").tobytes())
    return out.getvalue()
