"""What cannot all be had in a week, why, and what would help, as text. Pure functions."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from planner.show.layout import Faces, clean, indent, page, wrap
from planner.show.words import pretty, spoken

NOTHING = "Nothing clashes: every turn can have its place, on its day."
STEPS = {
    "music": "Own music that is fixed on a day has no room.",
    "pins": "What is pinned cannot stand: there is no plan.",
    "turns": "Not every turn can have its place this week; the plan gives up as little as it can.",
    "timely": "Every turn has its place; some come on another day than they should.",
}
ENDED = {
    "work": "The search was cut at its limit of work: there may be other clashes, or smaller ones.",
    "Ctrl-C": "The search was stopped: there may be other clashes, smaller ones, or more that helps.",
}
NOT_KNOWN = "No clash was found before the search ended; whether everything can be had is not known."
UNSURE = "A smaller set may do: not every rule in it is proven to be necessary."


def clashes_text(found: dict[str, Any], *, width: int = 80, colour: bool = False, plain: bool = False) -> str:
    """What `horizon.ways_out.clashes` found, for people. `plain`: one fact a line, for reading aloud."""
    if plain:
        return page(spoken(fact) for fact in _facts(found))
    return page(_screen(found, width, Faces(colour)))


def _facts(found: dict[str, Any]) -> Iterator[str]:
    yield f"{clean(found['name'])}, {found['first_day']} to {found['last_day']}"
    clash = found["clash"]
    if clash is None:
        yield NOT_KNOWN if found["ended"] else NOTHING
        return
    yield STEPS[clash["step"]]
    yield pretty(clean(clash["headline"]))
    yield from (f"Because: {pretty(clean(line))}" for line in clash["because"])
    if not clash["smallest"]:
        yield UNSURE
    yield from (f"Tried: {pretty(clean(way['sentence']))}" for way in clash["ways"])
    for other in found["further"]:
        yield f"Another clash: {pretty(clean(other['headline']))}"
        yield from (f"Because: {pretty(clean(line))}" for line in other["because"])
    if found["ended"]:
        yield ENDED[found["ended"]]


def _screen(found: dict[str, Any], width: int, faces: Faces) -> Iterator[str]:
    clash = found["clash"]
    head = f"{clean(found['name'])}, {found['first_day']} to {found['last_day']}"
    yield from (faces.bold(line) for line in wrap(head, width))
    if clash is None:
        yield from wrap(NOT_KNOWN if found["ended"] else NOTHING, width)
        return
    yield from wrap(STEPS[clash["step"]], width)
    yield ""
    yield from (faces.bold(line) for line in wrap(pretty(clean(clash["headline"])), width))
    for line in clash["because"]:
        yield from indent(wrap(pretty(clean(line)), width - 3), "", "   ")
    if not clash["smallest"]:
        yield from wrap(UNSURE, width)
    if clash["ways"]:
        yield ""
        yield "Tried, and it helps:"
        for way in clash["ways"]:
            yield from indent(wrap(pretty(clean(way["sentence"])), width - 3), "", "   ")
    yield from _others(found, width)


def _others(found: dict[str, Any], width: int) -> Iterator[str]:
    """Clashes below the first, and that there may be more."""
    for other in found["further"]:
        yield ""
        yield from wrap(f"Another clash, with other wishes: {pretty(clean(other['headline']))}", width)
        for line in other["because"]:
            yield from indent(wrap(pretty(clean(line)), width - 3), "", "   ")
    if found["ended"]:
        yield from ("", *wrap(ENDED[found["ended"]], width))
