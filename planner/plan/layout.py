"""From the turns that were found to days as they stand on the music stand, second by second.

The frame of a day (warm-up, own music, warm-down) is fixed; blocks come in an order the lip can follow;
pauses are the rest an item wants, or the set-up of the next exercise where that is longer.
"""

from __future__ import annotations

import string
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import groupby, pairwise

from planner.brass.tempo import SET_UP_SECONDS, whole_seconds
from planner.need.capacity import TWO_DAYS
from planner.need.days import DayFacts, PlacedMusic, compass_on, day_facts
from planner.need.targets import Take
from planner.need.weigh import Wish
from planner.plan.daynotes import left_out, notes_of, title_of
from planner.plan.order import BlockFacts, interleave, order_blocks
from planner.plan.problem import Turns
from planner.plan.week import Week
from planner.plan.weekplan import CleanTempoFigures, PlanDay, PlanItem

EMPTY = PlanItem(
    id="", block="", kind="play", family="", measure="none", exercise="", title="", pattern="", place="",
    combination="", articulation="", at=0, seconds=0, play_seconds=0, breath_pauses_seconds=0,
    pause_seconds=0, breath_seconds=0.0, go=1, goes=1, rounds=0, passes=0, passes_wanted=0, bars=0,
    eighths_per_bar=0.0, meter="", grouping=(), notation="", keys=(), positions=(), fingerings=(),
    first_note="", beat="", tempo=None, tempo_first=0, tempo_goal=0, target=0.0, lowest=0, highest=0,
    intensity=1, load=0.0, need=0.0, clean_tempo=None, state="", wanted=False, turn_by=None,
    last_played=None, pinned=False, reasons=(),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Going:
    """One go of one item: the wish, how it is taken, and which go (1 or 2)."""

    wish: Wish
    take: Take
    go: int


def lay_out(week: Week, turns: Turns) -> tuple[PlanDay, ...]:
    """The days of the week with all their items in order."""
    played: dict[str, int] = {}
    days: list[PlanDay] = []
    loads = [week.before.load]
    limits = [_limit_before(week)]
    for index, facts in enumerate(week.days):
        wishes = [week.wishes[c] for c, d in sorted(turns) if d == index]
        goes = _goes(wishes, played, slow=facts.slow)
        items = _items(week, facts, goes)
        load = _load(facts, goes)
        days.append(_day(week, facts, items, load, (loads[-1], *limits[-1])))
        loads.append(load)
        limits.append((facts.load_limit, facts.fixed_load + facts.playing_load))
        for wish in wishes:
            played[wish.id] = played.get(wish.id, 0) + 1
    return tuple(days)


def _limit_before(week: Week) -> tuple[Fraction, Fraction]:
    """Load limit of the day before the first day, and the load it had: nothing of that can be taken back."""
    return day_facts(week.player, week.before.date).load_limit, week.before.load


def _goes(wishes: Sequence[Wish], played: Mapping[str, int], *, slow: bool) -> list[list[_Going]]:
    """The blocks of a day in their order, each with its goes in theirs."""
    by_exercise = sorted(wishes, key=lambda wish: wish.combination.exercise.id)
    blocks = [list(group) for _, group in groupby(by_exercise, key=lambda wish: wish.combination.exercise.id)]
    facts = [
        BlockFacts(
            family=block[0].combination.exercise.family,
            intensity=max(wish.combination.intensity for wish in block),
            new_work=any(wish.state == "new" for wish in block),
        )
        for block in blocks
    ]
    return [_block(blocks[index], played, slow=slow) for index in order_blocks(facts)]


def _block(block: Sequence[Wish], played: Mapping[str, int], *, slow: bool) -> list[_Going]:
    twice = [wish for wish in block if wish.goes == 2]
    known = [wish for wish in block if wish.goes == 1]
    return [
        _Going(wish, wish.take(played.get(wish.id, 0), slow=slow), go)
        for wish, go in interleave(known, twice)
    ]


def _items(week: Week, facts: DayFacts, blocks: Sequence[Sequence[_Going]]) -> tuple[PlanItem, ...]:
    """Warm-up, blocks, own music, warm-down; then letters, pauses and starting seconds."""
    parts: list[list[PlanItem]] = []
    if facts.warm_up_seconds:
        parts.append([_warm_up(week, facts)])
    flat = [going for block in blocks for going in block]
    after = iter([*flat[1:], None])
    last_of_day = not facts.music and not facts.warm_down_seconds
    parts += [
        [_item(week, facts, going, _pause(going, next(after), last_of_day)) for going in block]
        for block in blocks
    ]
    parts += [[_music(piece)] for piece in facts.music]
    if facts.warm_down_seconds:
        parts.append([_frame("warm-down", "Warm-down", facts.warm_down_seconds)])
    return _lettered(parts)


def _pause(going: _Going, following: _Going | None, last_of_day: bool) -> Fraction:
    """The rest after a go, or the set-up of what comes next; nothing after the last item of the day."""
    rest = going.take.timing.rest_seconds
    if following is None:
        return Fraction(0) if last_of_day else max(rest, Fraction(SET_UP_SECONDS))
    same = following.wish.combination.exercise.id == going.wish.combination.exercise.id
    return rest if same else max(rest, Fraction(SET_UP_SECONDS))


def _lettered(parts: Sequence[Sequence[PlanItem]]) -> tuple[PlanItem, ...]:
    at, items = 0, []
    for place, part in enumerate(parts):
        letter = _letter(place)
        for number, item in enumerate(part, start=1):
            items.append(replace(item, id=f"{letter}{number}", block=letter, at=at))
            at += item.seconds
    return tuple(items)


def _letter(place: int) -> str:
    """Rehearsal letter of a place from 0: A to Z, then AA to AZ, BA and so on."""
    before, last = divmod(place, len(string.ascii_uppercase))
    return (_letter(before - 1) if before else "") + string.ascii_uppercase[last]


def _frame(family: str, title: str, seconds: int) -> PlanItem:
    return replace(
        EMPTY,
        family=family,
        exercise=family,
        title=title,
        seconds=seconds,
        play_seconds=seconds // 2,
        pause_seconds=seconds - seconds // 2,
        load=round(seconds / 120, 3),
    )


def _warm_up(week: Week, facts: DayFacts) -> PlanItem:
    own = week.player.warm_up
    frame = _frame("warm-up", own.title if own else "Warm-up", facts.warm_up_seconds)
    lowest, highest = compass_on(week.player, facts.date)
    return replace(frame, lowest=lowest, highest=highest)


def _music(piece: PlacedMusic) -> PlanItem:
    music = piece.music
    first, goal = music.band or (0, 0)
    part = f", {music.part}" if music.part else ""
    return replace(
        EMPTY,
        family="own music",
        measure="band" if music.band else "none",
        exercise=music.id,
        title=music.title + part,
        seconds=piece.seconds,
        play_seconds=piece.play_seconds,
        pause_seconds=piece.seconds - piece.play_seconds,
        beat="quarter" if music.band else "",
        tempo_first=first,
        tempo_goal=goal,
        intensity=music.intensity,
        load=round(float(piece.load), 3),
        reasons=(f"until {music.until.isoformat()}",) if music.until else (),
    )


def _item(week: Week, facts: DayFacts, going: _Going, pause: Fraction) -> PlanItem:
    wish, take, combination = going.wish, going.take, going.wish.combination
    exercise, first = combination.exercise, combination.passages[0]
    span = exercise.tempos.get(take.articulation)
    play, breaths, rest, seconds = whole_seconds(take.timing, pause)
    return replace(
        EMPTY,
        family=exercise.family,
        measure=exercise.measure,
        exercise=exercise.id,
        title=exercise.title,
        pattern=combination.pattern.name,
        place=combination.place.id,
        combination=combination.id,
        articulation=take.articulation,
        seconds=seconds,
        play_seconds=play,
        breath_pauses_seconds=breaths,
        pause_seconds=rest,
        breath_seconds=round(float(take.timing.breath_seconds), 3),
        go=going.go,
        rounds=exercise.rounds,
        passes=take.passes,
        passes_wanted=exercise.passes,
        bars=first.bars,
        eighths_per_bar=float(exercise.meter.eighths_per_bar),
        meter=f"{exercise.meter.beats}/{exercise.meter.unit}",
        grouping=exercise.meter.grouping,
        notation=combination.pattern.source,
        keys=tuple(key.name for key in combination.keys),
        positions=combination.positions,
        fingerings=tuple(passage.fingering_first for passage in combination.passages),
        first_note=next((note.pitch.name for note in first.notes if note.pitch), ""),
        beat=span.beat if span else "",
        tempo=take.tempo,
        tempo_first=span.first if span else 0,
        tempo_goal=span.goal if span else 0,
        target=_target(wish, take),
        lowest=combination.lowest,
        highest=combination.highest,
        intensity=combination.intensity,
        load=round(float(take.load), 3),
        need=take.need / 1000,
        clean_tempo=CleanTempoFigures(round(take.mean, 3), round(take.sd, 3), round(take.success, 3)),
        state=wish.state,
        wanted=wish.wanted,
        turn_by=wish.turn_by,
        last_played=wish.last_played,
        pinned=(wish.id, facts.date) in week.pins,
        reasons=wish.reasons,
    )


def _target(wish: Wish, take: Take) -> float:
    """What the measure asks for in its own terms: seconds held, top note as written MIDI, else 0."""
    if take.hold_seconds is not None:
        return float(take.hold_seconds)
    measure = wish.combination.exercise.measure
    return float(wish.combination.highest) if measure == "top note" else 0.0


def _load(facts: DayFacts, blocks: Sequence[Sequence[_Going]]) -> Fraction:
    own = sum((going.take.load for block in blocks for going in block), Fraction(0))
    return own + facts.fixed_load + facts.playing_load


def _day(
    week: Week,
    facts: DayFacts,
    items: tuple[PlanItem, ...],
    load: Fraction,
    before: tuple[Fraction, Fraction, Fraction],
) -> PlanDay:
    """`before`: load, limit and fixed load of the day before."""
    load_before, limit_before, fixed_before = before
    both = max(
        TWO_DAYS * (limit_before + facts.load_limit),
        fixed_before + facts.fixed_load + facts.playing_load,
    )
    assert all(one.at + one.seconds == other.at for one, other in pairwise(items))
    return PlanDay(
        date=facts.date,
        title=title_of(week.player, facts.date),
        seconds_free=facts.free_minutes * 60,
        available_seconds=facts.available_seconds,
        seconds_used=sum(item.seconds for item in items),
        load=round(float(load), 3),
        load_limit=round(float(facts.load_limit), 3),
        load_two_days=round(float(load_before + load), 3),
        load_two_days_limit=round(float(both), 3),
        playing_load=round(float(facts.playing_load), 3),
        notes=notes_of(week.player, facts),
        without=left_out(week.player, facts.date),
        items=items,
    )
