"""What a curriculum never touches, for a teacher who plans one: instrument by instrument."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from planner.brass.instruments import INSTRUMENTS, valves_of
from planner.horizon.gaps import KINDS, Best, Gaps, Touch
from planner.show.layout import Faces, clean, indent, page, wrap
from planner.show.words import spoken

KEYS = ("C", "D♭", "D", "E♭", "E", "F", "F♯", "G", "A♭", "A", "B♭", "B")
MANY = {"key": "keys", "position": "positions", "partial": "partials", "meter": "meters"}
MANY |= {"articulation": "articulations"}
SHOWN = 8


def gaps_text(
    title: str, found: Sequence[Gaps], *, width: int = 80, colour: bool = False, plain: bool = False
) -> str:
    """The gaps of a curriculum as text."""
    lines = list(_lines(title, found))
    if plain:
        return page(spoken(line) for line in lines)
    return page(_screen(lines, width, Faces(colour)))


def _screen(lines: Sequence[str], width: int, faces: Faces) -> Iterator[str]:
    for number, line in enumerate(lines):
        head = number == 0 or line.endswith(":")
        if head and number:
            yield ""
        wrapped = wrap(line, width if head else width - 3)
        yield from (faces.bold(one) for one in wrapped) if head else indent(wrapped, "", "   ")


def _lines(title: str, found: Sequence[Gaps]) -> Iterator[str]:
    yield f"What {clean(title)} never touches (keys as written)"
    for one in found:
        tool = INSTRUMENTS[one.instrument]
        yield f"{tool.name}, {one.exercises} {'exercise' if one.exercises == 1 else 'exercises'} for it:"
        if not one.exercises:
            yield "Nothing in this curriculum is written for it."
            continue
        yield from _singles(one)
        yield from _pairs(one)
        yield from _best(one)


def _singles(one: Gaps) -> Iterator[str]:
    for kind in KINDS:
        names = [_short(touch, one.instrument) for touch in one.singles if touch[0] == kind]
        if names:
            yield f"No exercise touches the {MANY[kind] if len(names) > 1 else kind} {', '.join(names)}."
    if not one.singles:
        yield "Every key, position, partial, meter and articulation is met."


def _pairs(one: Gaps) -> Iterator[str]:
    met = one.possible_pairs - len(one.pairs)
    yield f"Pairs of them: {met} of {one.possible_pairs} that a figure can make are met."
    alone = set(one.singles)
    pairs = [pair for pair in one.pairs if not alone & set(pair)]
    counts = Counter((first[0], second[0]) for first, second in pairs)
    for (first, second), count in counts.most_common():
        examples = [
            f"{word(a, one.instrument)} with {word(b, one.instrument)}"
            for a, b in pairs
            if (a[0], b[0]) == (first, second)
        ]
        more = f" and {count - SHOWN} more" if count > SHOWN else ""
        yield f"Not met together, {first} and {second}: {', '.join(examples[:SHOWN])}{more}."


def _best(one: Gaps) -> Iterator[str]:
    for place, best in enumerate(one.best):
        what = "One figure more that closes most" if not place else "Or"
        words = " and ".join(best.articulations)
        yield f"{what}: {best.name}, {_where(best)}, {words}. It closes {best.closes} of them."
        yield f'{best.kind} = "{best.notation}", meter = "{best.meter}"'


def _where(best: Best) -> str:
    if best.starts:
        return f"{best.meter}, from positions {', '.join(map(str, best.starts))}"
    return f"{best.meter}, in all {len(best.keys)} keys"


def _short(touch: Touch, instrument: str) -> str:
    """The same without its kind, for a list of one kind."""
    return word(touch, instrument).removeprefix(f"{touch[0]} ")


def word(touch: Touch, instrument: str) -> str:
    """One key, position, partial, meter or articulation as a player says it."""
    kind, name = touch
    if kind == "key":
        return KEYS[int(name)]
    if kind == "position":
        return f"position {name} ({valves_of(INSTRUMENTS[instrument], int(name), 'F')})"
    return f"partial {name}" if kind == "partial" else name
