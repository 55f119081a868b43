"""What a curriculum never touches: keys, positions, partials, meters, articulations, and pairs of them.

Conventions: keys are written tonics, as pitch classes from C = 0; positions are tube lengthenings; partials
are counted on the tube that sounds. What counts as a gap is what some figure of `gap_figures` could touch on
that instrument and no exercise of the curriculum does: a pair that no figure can make is none.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import combinations
from typing import Any

from planner.brass.figures import Passage, write_degrees, write_partials
from planner.brass.instruments import Instrument, instrument, positions
from planner.brass.tempo import Meter
from planner.horizon.gap_figures import CYCLE, Proposal, meters, proposals
from planner.inputs.curriculum import LEVELS, Curriculum, Level
from planner.inputs.player import Player
from planner.need.combinations import drafts, written_out

KINDS = ("key", "position", "partial", "meter", "articulation")
BRASS = ("slurred", "tongued", "staccato")
SLIDE = ("legato", "tongued", "staccato")
USUAL = ("trumpet", "horn", "trombone", "euphonium", "tuba-bb")
BEST = 3
Touch = tuple[str, str]
Pair = tuple[Touch, Touch]


@dataclass(frozen=True, slots=True)
class Best:
    """One figure that might be added to a curriculum, and how many gaps it would close on one instrument."""

    name: str
    notation: str
    kind: str
    meter: str
    starts: tuple[int, ...]
    keys: tuple[str, ...]
    articulations: tuple[str, ...]
    closes: int
    singles: tuple[Touch, ...]


@dataclass(frozen=True, slots=True)
class Gaps:
    """What one instrument never meets: single things, pairs, and the figures that would close most."""

    instrument: str
    exercises: int
    singles: tuple[Touch, ...]
    pairs: tuple[Pair, ...]
    possible_pairs: int
    best: tuple[Best, ...]


def gaps(curriculum: Curriculum, names: Iterable[str]) -> tuple[Gaps, ...]:
    """The gaps of a curriculum on each of these instruments."""
    level = LEVELS[max((LEVELS.index(e.level) for e in curriculum.exercises), default=len(LEVELS) - 1)]
    return tuple(_gaps(curriculum, instrument(name), level) for name in names)


def instruments_of(curriculum: Curriculum) -> tuple[str, ...]:
    """The instruments that a curriculum names; one of every kind where it is for all."""
    named = dict.fromkeys(name for exercise in curriculum.exercises for name in exercise.instruments)
    return tuple(named) or USUAL


def _gaps(curriculum: Curriculum, tool: Instrument, level: Level) -> Gaps:
    player = typical(tool, level)
    touched, exercises = _touched(curriculum, player)
    offers = [offer for proposal in proposals() for offer in _offers(proposal, tool, player)]
    possible = set(touched)
    for _, cells in offers:
        possible |= _expanded(cells)
    open_ = possible - touched
    return Gaps(
        instrument=tool.id,
        exercises=exercises,
        singles=_sorted(one for one in open_ if isinstance(one[0], str)),
        pairs=tuple(sorted(one for one in open_ if not isinstance(one[0], str))),
        possible_pairs=sum(1 for one in possible if not isinstance(one[0], str)),
        best=_best(offers, open_),
    )


def _sorted(found: Iterable[Any]) -> tuple[Touch, ...]:
    return tuple(sorted(found, key=lambda one: (KINDS.index(one[0]), _number(one[1]))))


def _number(word: str) -> tuple[int, str]:
    return (int(word), "") if word.isdigit() else (0, word)


def articulations_of(tool: Instrument) -> tuple[str, ...]:
    """The articulations that every player of an instrument meets."""
    return SLIDE if tool.is_slide else BRASS


def _touched(curriculum: Curriculum, player: Player) -> tuple[set[Any], int]:
    """Everything that the exercises touch for a player, single and in pairs; how many exercises do."""
    found: set[Any] = set()
    reached: set[str] = set()
    for exercise in curriculum.exercises:
        meter = f"{exercise.meter.beats}/{exercise.meter.unit}"
        for draft in drafts(exercise):
            combination, _ = written_out(draft, player)
            if combination is None:
                continue
            reached.add(exercise.id)
            words = [str(word) for word in draft.articulations]
            for cell in _cells(combination.passages):
                for word in words:
                    found |= _of_cell((*cell, ("meter", meter), ("articulation", word)))
    return found, len(reached)


def _cells(passages: Iterable[Passage]) -> set[tuple[Touch, Touch, Touch]]:
    """Key, position and partial of every note."""
    return {
        (
            ("key", str(7 * passage.key.fifths % 12)),
            ("position", str(note.position)),
            ("partial", str(note.partial)),
        )
        for passage in passages
        for note in passage.notes
        if note.position is not None and note.partial is not None
    }


def _of_cell(cell: tuple[Touch, ...]) -> set[Any]:
    return {*cell, *combinations(cell, 2)}


Offer = tuple[tuple[Proposal, Meter, tuple[str, ...]], frozenset[tuple[Touch, ...]]]


def _offers(proposal: Proposal, tool: Instrument, player: Player) -> Iterator[Offer]:
    """A figure in every meter and with two articulations, with the cells its notes touch."""
    notes = _notes_of(proposal, tool, player)
    if not notes:
        return
    for meter in meters():
        for pair in combinations(articulations_of(tool), 2):
            cells = frozenset(
                (*cell, ("meter", f"{meter.beats}/{meter.unit}"), ("articulation", word))
                for cell in notes
                for word in pair
            )
            yield (proposal, meter, pair), cells


def _notes_of(proposal: Proposal, tool: Instrument, player: Player) -> set[tuple[Touch, Touch, Touch]]:
    """Key, position, partial of every note, wherever the figure stands within the range."""
    figure = proposal.figure(meters()[0])
    if proposal.kind == "degrees":
        passages = [write_degrees(figure, tool, key, player.low, player.high) for key in proposal.keys]
    else:
        ends = {place for start in proposal.starts for place in range(start, start + CYCLE)}
        there = sorted(ends & set(positions(tool)))
        passages = [write_partials(figure, tool, position) for position in there]
    fit = [p for p in passages if not p.missing and player.low <= p.lowest and p.highest <= player.high]
    return _cells(fit)


def _expanded(cells: Iterable[tuple[Touch, ...]]) -> set[Any]:
    found: set[Any] = set()
    for cell in cells:
        found |= _of_cell(cell)
    return found


def _best(offers: list[Offer], open_: set[Any]) -> tuple[Best, ...]:
    """The figures that close most gaps, the best of every shape once."""
    ranked: list[tuple[int, int, Offer]] = []
    for number, offer in enumerate(offers):
        ranked.append((-len(_expanded(offer[1]) & open_), number, offer))
    ranked.sort(key=lambda one: one[:2])
    seen: Counter[str] = Counter()
    best: list[Best] = []
    for minus, _, ((proposal, meter, pair), cells) in ranked:
        if not minus or len(best) == BEST:
            break
        seen[proposal.name] += 1
        if seen[proposal.name] == 1:
            closed = _expanded(cells) & open_
            best.append(_told(proposal, meter, pair, -minus, closed))
    return tuple(best)


def _told(proposal: Proposal, meter: Meter, pair: tuple[str, ...], closes: int, closed: set[Any]) -> Best:
    return Best(
        name=proposal.name,
        notation=proposal.notation(meter),
        kind=proposal.kind,
        meter=f"{meter.beats}/{meter.unit}",
        starts=proposal.starts,
        keys=tuple(key.name for key in proposal.keys),
        articulations=pair,
        closes=closes,
        singles=_sorted(one for one in closed if isinstance(one[0], str)),
    )


def typical(tool: Instrument, level: Level) -> Player:
    """A player of an instrument and a level with the range usual for it, for looking at notes alone."""
    low, high = tool.range_at(level)
    return Player(
        id="typical",
        name="",
        instrument=tool.id,
        level=level,
        curriculum="",
        starts=date(2026, 1, 5),
        minutes=(30, 30, 30, 30, 30, 30, 0),
        low=low,
        high=high,
        known_notes=(),
        breath_seconds=tool.default_breath_seconds(level),
        longest_position=max(positions(tool)),
        side="F",
        dates=(),
        limits=(),
        music=(),
        playing=(),
        warm_up=None,
        articulation_order=(),
        spans={},
        boldness=0.84,
        blocks_a_day=6,
        minutes_a_block=12,
        families_a_day=3,
        load_per_minute=1.25,
        history="",
    )


def gaps_json(curriculum: Curriculum, found: Iterable[Gaps]) -> Mapping[str, Any]:
    """Gaps as plain JSON values (`planner.gaps/1`)."""
    from planner.plan.weekplan import plain

    return {
        "format": "planner.gaps/1",
        "curriculum": curriculum.id,
        "instruments": [plain(one) for one in found],
    }
