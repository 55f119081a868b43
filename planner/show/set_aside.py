"""What a player cannot play, counted by its reason. Standard library only."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence

from planner.show.words import pretty


def by_reason(excluded: Iterable[Mapping[str, str]]) -> list[str]:
    """Each reason behind its number, the commonest first: "16 (above the level: for advanced players)"."""
    counts = Counter(_without_its_note(pretty(one["reason"])) for one in excluded)
    return [f"{number} ({reason})" for reason, number in counts.most_common()]


def set_aside(excluded: Sequence[Mapping[str, str]], told: Iterable[str]) -> Iterator[str]:
    """How many combinations of a curriculum this player cannot play, of how many, and why; none if none.

    `told`: the combinations that are planned; what a limit bars for a time only is among them.
    """
    planned = set(told)
    out = [one for one in excluded if one["combination"] not in planned]
    if out:
        reasons = "; ".join(by_reason(out))
        yield f"Set aside as out of reach: {len(out)} of {len(planned) + len(out)} combinations: {reasons}."


def _without_its_note(reason: str) -> str:
    """The same reason for every note that it is given for, so that they are counted together."""
    reason = re.sub(r"written (top|bottom) note \S+", r"\1 note", reason)
    return re.sub(r"needs \S+, which", "needs a note which", reason)
