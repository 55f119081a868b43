"""What every item says about itself, against the curriculum, the notes and the estimate behind it.

Readings where the specification leaves room:
- keys and fingerings stand once for every place of the cycle, in playing order; positions are all that are
  touched, each once, rising;
- warm-up, warm-down and own music have go and goes 0 or 1, measure "none" or "", and everything about
  combinations blank; a warm-up has intensity 1; own music with a tempo band has it in quarters;
- `target` is checked only where the measure is "seconds": there it lies between the first and the last hold;
- the articulation of the first turn in the week is the first of the week's order, of the next turn the next.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from planner.plan.verify.breach import Breach
from planner.plan.verify.case import FRAME, OWN_MUSIC, Case, Day, breach
from planner.plan.verify.days import exact
from planner.plan.verify.repertoire import Combination
from planner.plan.verify.time_rules import item_lasting
from planner.plan.weekplan import PlanItem

BREATH_ROUNDED = Fraction(1, 20)
KINDS = ("play", "rest")
BLANK: tuple[tuple[str, object], ...] = (
    *((name, "") for name in ("pattern", "place", "articulation", "state", "first_note", "notation")),
    *((name, 0) for name in ("breath_pauses_seconds", "breath_seconds", "rounds", "passes", "passes_wanted")),
    *((name, 0) for name in ("bars", "eighths_per_bar")),
    *((name, ()) for name in ("keys", "positions", "fingerings", "grouping")),
    *((name, None) for name in ("tempo", "clean_tempo", "turn_by", "last_played")),
    ("meter", ""),
    ("need", 0),
    ("wanted", False),
)


def facts(case: Case) -> Iterator[Breach]:
    """An item says of its combination what the curriculum and the notes say."""
    for day, item, one in case.played():
        for name, found, right in (*_from_file(item, one), *_from_notes(case, item, one)):
            if found != right:
                yield breach("facts", day, f"{item.id} {name} is {found!r}, should be {right!r}")


def _from_file(item: PlanItem, one: Combination) -> Iterator[tuple[str, object, object]]:
    exercise = one.exercise
    yield "kind", item.kind, "play"
    yield "exercise", item.exercise, exercise.id
    yield "title", item.title, exercise.title
    yield "pattern", item.pattern, one.pattern.name
    yield "place", item.place, one.place
    yield "family", item.family, exercise.family
    yield "measure", item.measure, exercise.measure
    yield "rounds", item.rounds, exercise.rounds
    yield "passes_wanted", item.passes_wanted, exercise.passes
    yield "meter", item.meter, f"{exercise.meter.beats}/{exercise.meter.unit}"
    yield "grouping", item.grouping, exercise.meter.grouping
    yield "notation", item.notation, one.pattern.source
    yield "articulation", item.articulation in one.articulations, True
    if item.articulation in one.articulations:
        span = exercise.tempos[next(word for word in exercise.tempos if word == item.articulation)]
        yield "beat", item.beat, span.beat
        yield "tempo_first", item.tempo_first, span.first
        yield "tempo_goal", item.tempo_goal, span.goal


def _from_notes(case: Case, item: PlanItem, one: Combination) -> Iterator[tuple[str, object, object]]:
    assert one.part is not None
    lasts = item_lasting(case, item, one)
    yield "passes", item.passes, lasts.passes
    yield "breath_seconds", abs(exact(item.breath_seconds) - lasts.breath) <= BREATH_ROUNDED, True
    yield "bars", item.bars, one.part.bars
    meter = one.exercise.meter
    yield "eighths_per_bar", exact(item.eighths_per_bar), Fraction(8 * meter.beats, meter.unit)
    yield "keys", item.keys, one.part.keys
    yield "positions", item.positions, one.part.positions
    yield "fingerings", item.fingerings, one.part.fingerings
    yield "first_note", item.first_note, one.part.first_note
    yield "lowest", item.lowest, one.part.lowest
    yield "highest", item.highest, one.part.highest
    yield "intensity", item.intensity, one.part.intensity


def blanks(case: Case) -> Iterator[Breach]:
    """Warm-up, warm-down, own music and rests leave blank what does not apply to them."""
    for day in case.days:
        for item in day.plan.items:
            if item.combination:
                continue
            for name, right in (*BLANK, *_band(day, item), *_compass(case, day, item)):
                found = getattr(item, name)
                if found != right:
                    yield breach("blanks", day, f"{item.id} {name} is {found!r}, should be {right!r}")
            yield from _plain_item(day, item)


def _band(day: Day, item: PlanItem) -> tuple[tuple[str, object], ...]:
    """The tempo band of a piece of own music, in quarters; blank for everything else."""
    bands = {piece.id: piece.band for piece in day.facts.music}
    band = bands.get(item.exercise) if item.family == OWN_MUSIC else None
    low, high = band or (0, 0)
    return ("beat", "quarter" if band else ""), ("tempo_first", low), ("tempo_goal", high)


def _compass(case: Case, day: Day, item: PlanItem) -> tuple[tuple[str, object], ...]:
    """The notes that the warm-up keeps within: the player's own, below the lowest top note of the limits."""
    if item.family != "warm-up":
        return ("lowest", 0), ("highest", 0)
    notes = case.player.known_notes or (case.player.low, case.player.high)
    top = day.facts.top_note
    highest = max(notes) if top is None else max((one for one in notes if one <= top), default=top)
    if top is not None and not case.player.known_notes:
        highest = min(case.player.high, top)
    return ("lowest", min(notes)), ("highest", highest)


def _plain_item(day: Day, item: PlanItem) -> Iterator[Breach]:
    """The few fields that such an item does have."""
    pieces = {piece.id: piece.intensity for piece in day.facts.music}
    frame, music = item.family in FRAME, item.family == OWN_MUSIC
    intensity = 1 if frame else pieces.get(item.exercise, item.intensity if music else 0)
    for name, fine in (
        ("kind", item.kind == ("play" if frame or music else "rest")),
        ("exercise", item.exercise == item.family if frame else music or item.exercise == ""),
        ("intensity", item.intensity == intensity),
        ("go", item.go in (0, 1) and item.goes in (0, 1)),
        ("measure", item.measure in ("none", "", "band" if music else "none")),
    ):
        if not fine:
            yield breach("blanks", day, f"{item.id} {name} is {getattr(item, name)!r}")


def wishes(case: Case) -> Iterator[Breach]:
    """An item repeats what the week's list says of its combination."""
    for day, item, one in case.played():
        entry = case.playable.get(one.id)
        if entry is None:
            continue
        for name in ("state", "turn_by", "last_played", "wanted"):
            found, right = getattr(item, name), getattr(entry, name)
            if found != right:
                yield breach("wishes", day, f"{item.id} {name} is {found}, the list says {right}")


def reasons(case: Case) -> Iterator[Breach]:
    """Every item of a combination says why it is there."""
    for day, item, _ in case.played():
        if not item.reasons or not all(item.reasons):
            yield breach("reasons", day, f"{item.id} gives no reason")


def alternation(case: Case) -> Iterator[Breach]:
    """The articulation changes with each return, in the order of the week."""
    for name, days in case.turns.items():
        entry = case.playable.get(name)
        if entry is None or not entry.articulations:
            continue
        for turn, index in enumerate(days):
            right = entry.articulations[turn % len(entry.articulations)]
            items = (item for item in case.days[index].plan.items if item.combination == name)
            if any(item.articulation != right for item in items):
                yield breach("alternation", case.days[index], f"{name} should be {right}")
