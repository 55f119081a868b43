"""What the simulation asks of a learner: what practice leaves, and what time takes away.

Conventions: S players (one a seed) learn N combinations side by side; levels are notches from the goal, shape
(S, N). A turn is one item of five minutes. Nobody sees a learner's state but the learner itself and the
reference policy. Costs (S, N) are what weak keys, weak tubing and the figure itself take away for good. The
models, activation.py and states.py, are others than the estimate's. Needs numpy.
"""

from __future__ import annotations

from typing import Protocol

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Codes = NDArray[np.int64]
Mask = NDArray[np.bool_]

TURN_SECONDS = 300.0
"""From the beginning of one item to the next in the learners' own time."""


class Learner(Protocol):
    """What the simulation asks of a learner; a day begins at `day` and ends with `sleep`."""

    def level(self) -> Array:
        """Levels now, (S, N)."""

    def level_of(self, chosen: Codes) -> Array:
        """Levels now of one combination for each player, (S,)."""

    def practise(self, chosen: Codes, worth: Array) -> None:
        """One turn of one combination for each player, (S,); `worth` scales what it leaves (1 in full)."""

    def sleep(self, days: int) -> None:
        """So many nights pass, the days between them without practice."""

    def ahead(self, days: int) -> tuple[Array, Array]:
        """Levels after so many days without practice, and the same with one turn of each today, (S, N)."""
