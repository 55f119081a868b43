"""The sizes of the parts of clean tempo, in notches, and how they change with time. Plain numbers.

Conventions: sizes are standard deviations in notches (1/16 octave of tempo), all of them assumptions that
ratings correct; times are days.
"""

from __future__ import annotations

PLAYER = 4.0
EXERCISE = 2.0
PATTERN = 1.0
KEY = 1.5
POSITIONS = 1.5
ARTICULATION = 1.5
FRESH = 2.5
"""The combination itself: what is gained by practising it, and forgotten."""

NOISE = 2.0
"""How much one hearing differs from the next."""

NEIGHBOUR_POSITION = 0.7
"""How much of a cycle of positions goes for a cycle one position further."""

LASTING_HALF_LIFE_DAYS = 3 * 365.0
FORGETTING_PER_DAY = 1 / 66
"""Half of what was gained is gone after 198 days: Tatel & Ackerman 2025, Psychological Bulletin, accuracy."""
