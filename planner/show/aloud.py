"""Today's routine for reading aloud: one fact a line, every sign written out ("A flat", "then").

Made for screen readers and for scripts that read lines. Standard library only.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from typing import Any

from planner.show import day as about
from planner.show import items as say
from planner.show.items import Item
from planner.show.layout import NO_BREAK, clean, page
from planner.show.unused import unused
from planner.show.warmup import is_slide
from planner.show.words import date_in_words, in_words, is_cycle, minutes, pretty, spoken

_FINGERING = re.compile(r"([TF]?)(\d+)")


def routine_aloud(plan: dict[str, Any], day: dict[str, Any], rate_with: str, notes_with: str) -> str:
    """The routine of one day, one fact a line; `rate_with` takes ratings, `notes_with` writes its notes."""
    facts = [*_heading(plan, day), *_day(plan, day)]
    lines = [spoken(fact) for fact in facts]
    examples = about.rating_examples(day["items"])
    if examples:  # a command is typed as it stands
        lines.append(f"Afterwards type: {rate_with}, {about.ENTER}")
        lines.append(f"Or item by item: {' '.join([rate_with, *examples])}")
        lines += about.rating_key(examples)
        lines.append(f"{about.NOTES}: {notes_with}")
    return page(lines)


def _heading(plan: dict[str, Any], day: dict[str, Any]) -> Iterator[str]:
    yield f"Player: {clean(plan.get('name') or plan['player'])}"
    yield f"Day: {date_in_words(day['date'])}"
    for name, fact in about.heading_facts(plan, day):
        yield f"{name}: {fact.removeprefix(name.lower()).strip()}"
    yield from (f"Note: {note}" for note in about.day_notes(day))
    yield from filter(None, [unused(plan, day)])


def _day(plan: dict[str, Any], day: dict[str, Any]) -> Iterator[str]:
    if not day["items"]:
        yield about.NO_PRACTICE
        return
    twice = say.in_two_goes(day["items"])
    slide = is_slide(plan["instrument"])
    for letter, members in say.blocks(day["items"]):
        if members[0]["kind"] == "rest":
            yield f"Rest: {in_words(sum(item['seconds'] for item in members))}"
            continue
        yield from _block(plan, day, letter, members)
        for item in members:
            if item["combination"]:
                yield from _item(item, members, twice, "position" if slide else "fingering")
    yield f"Caution: {about.CAUTION}"


def _block(plan: dict[str, Any], day: dict[str, Any], letter: str, members: Sequence[Item]) -> Iterator[str]:
    seconds = sum(item["seconds"] for item in members)
    rests = ", rests included" if members[0]["combination"] else ""
    yield f"Block {letter}: {say.block_title(members)}, {minutes(seconds)}{rests}"
    yield from (f"Block {letter}: {fact}" for fact in say.block_facts(members))
    if members[0]["family"] == "warm-up":
        for step in about.warm_up_steps(plan, day, members[0]):
            yield f"Block {letter}: {in_words(step.half_minutes * 30)}, {_tubes_apart(step.text)}"


def _item(item: Item, members: Sequence[Item], twice: frozenset[str], tube: str) -> Iterator[str]:
    where = f"{tube} {_cycle(item)}" if is_cycle(item) else say.where(item)
    facts = [where, say.first_note(item, "from written"), *say.differences(item, members)]
    facts += [_keys(item), say.why(item, twice), f"play {in_words(item['play_seconds'])}"]
    if item["pause_seconds"]:
        facts.append(f"then rest {in_words(item['pause_seconds'])}")
    yield from (f"{clean(item['id'])}: {fact}" for fact in facts if fact)


def _cycle(item: Item) -> str:
    """A cycle of fingerings, "2-3, then 1-3"."""
    return ", then ".join(_valves_apart(clean(name)) for name in item["fingerings"])


def _valves_apart(name: str) -> str:
    """Valves one by one, "12" as "1-2", so that they are not read as twelve; "0" is open."""
    found = _FINGERING.fullmatch(name)
    if not found:
        return name
    valves = "open" if found[2] == "0" else "-".join(found[2])
    return f"{found[1]} {valves}".strip()


def _tubes_apart(text: str) -> str:
    """The list of tubes at the end of a warm-up line, with its valves one by one."""
    line, colon, last = text.partition(": ")
    tubes = last.split(NO_BREAK)
    apart = (
        ", ".join(_valves_apart(name) for name in tubes) if all(map(_FINGERING.fullmatch, tubes)) else last
    )
    return line + colon + apart


def _keys(item: Item) -> str:
    """The keys of a cycle of positions in full."""
    return "keys " + ", ".join(pretty(key) for key in item["keys"]) if is_cycle(item) and item["keys"] else ""
