"""The shipped curricula keep what their first lines promise; the numbers are the teacher's plan for them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import replace
from datetime import date
from fractions import Fraction
from itertools import accumulate, pairwise
from pathlib import Path

import pytest

from planner.brass.instruments import instrument
from planner.brass.notation import Figure, Token
from planner.inputs.curriculum import Curriculum, Pattern
from planner.inputs.player import Player
from planner.inputs.read import read_curriculum
from planner.need.combinations import drafts, scope

MONDAY = date(2026, 9, 7)
FOLDER = Path(__file__).resolve().parents[2] / "curricula"
IDS = sorted(path.stem for path in FOLDER.glob("*.toml"))

# Who tries every combination: one sample player a curriculum, at the range of an advanced player.
TRIED_BY = {
    "everything": "hester",
    "first-year-five-notes": "pia",
    "horn-audition": "ingrid",
    "low-brass-term": "nerys",
    "trumpet-cornet": "tobias",
}
# Beginners of a mixed group and their five notes, concert B flat to F.
# from memory: transpositions B flat -2, F -7, E flat -9 (or as it sounds in the bass clef)
FIVE_NOTES = {
    "trumpet": (60, 62, 64, 65, 67),
    "horn": (65, 67, 69, 70, 72),
    "alto-horn": (67, 69, 71, 72, 74),
    "trombone": (46, 48, 50, 51, 53),
    "euphonium": (46, 48, 50, 51, 53),
    "tuba-bb": (34, 36, 38, 39, 41),
    "tuba-eb": (46, 48, 50, 51, 53),
}
MAJOR_SEMITONES = (0, 2, 4, 5, 7, 9, 11)
# Semitones of partials 1 to 16 above the first, equal temperament (the harmonic series, 12 log2 n rounded).
PARTIAL_SEMITONES = (0, 12, 19, 24, 28, 31, 34, 36, 38, 40, 42, 43, 44, 46, 47, 48)


def patterns(curriculum: Curriculum) -> Iterator[tuple[str, Pattern]]:
    for exercise in curriculum.exercises:
        for pattern in exercise.patterns:
            yield f"{exercise.id}/{pattern.name}", pattern


def sounded(figure: Figure) -> list[tuple[Token, Fraction]]:
    """The notes with their lengths, tied ones as one, rests left out."""
    notes: list[tuple[Token, Fraction]] = []
    tied = False
    for token in figure.tokens:
        if token.number is None:
            tied = False
            continue
        if tied:
            notes[-1] = (notes[-1][0], notes[-1][1] + token.eighths)
        else:
            notes.append((token, token.eighths))
        tied = token.tie
    return notes


def steps(figure: Figure, token: Token) -> int:
    """A head as a number of steps: partials as they are, degrees without the gap at 0."""
    assert token.number is not None
    return token.number if figure.kind == "partials" or token.number < 0 else token.number - 1


def semitones(figure: Figure, token: Token) -> int:
    if figure.kind == "partials":
        return PARTIAL_SEMITONES[steps(figure, token) - 1]
    octave, degree = divmod(steps(figure, token), 7)
    return 12 * octave + MAJOR_SEMITONES[degree] + token.alter


def relative_lengths(figure: Figure) -> tuple[Fraction, ...]:
    notes = sounded(figure)
    return tuple(length / notes[0][1] for _, length in notes)


def contour(figure: Figure) -> tuple[object, ...]:
    """Partials or degrees counted from the first note, with lengths relative to it."""
    notes = sounded(figure)
    first = steps(figure, notes[0][0])
    shape = tuple((steps(figure, token) - first, token.alter) for token, _ in notes)
    return figure.kind, shape, relative_lengths(figure)


def melody(figure: Figure) -> tuple[object, ...]:
    """The same in semitones, partials on one tube and degrees in major side by side."""
    notes = sounded(figure)
    first = semitones(figure, notes[0][0])
    return tuple(semitones(figure, token) - first for token, _ in notes), relative_lengths(figure)


def wheel(figure: Figure) -> tuple[object, ...]:
    """A contour that goes round: the same for every note at which it may begin."""
    notes = [(steps(figure, token), length) for token, length in sounded(figure)]
    turns = (notes[at:] + notes[:at] for at in range(len(notes)))
    return min(tuple((step - turn[0][0], length / turn[0][1]) for step, length in turn) for turn in turns)


def twice(keyed: Iterator[tuple[str, object]]) -> list[str]:
    """Names whose key has stood before."""
    seen: dict[object, str] = {}
    return [f"{name} as {seen[key]}" for name, key in keyed if seen.setdefault(key, name) != name]


def group_starts(figure: Figure) -> set[Fraction]:
    """Where the groups of every bar begin, in eighths from the start."""
    unit = Fraction(8, figure.meter.unit)
    in_bar = [unit * at for at in accumulate((0, *figure.meter.grouping[:-1]))]
    bar = figure.meter.eighths_per_bar
    return {bar * number + at for number in range(figure.bars) for at in in_bar}


def accents(figure: Figure) -> tuple[set[Fraction], set[Fraction]]:
    """Where accented notes begin, and where any notes begin."""
    at = Fraction(0)
    accented, begun = set(), set()
    for token in figure.tokens:
        if token.number is not None:
            begun.add(at)
        if token.accent:
            accented.add(at)
        at += token.eighths
    return accented, begun


def at_full_reach(player: Player, curriculum: Curriculum) -> Player:
    """The player grown up: advanced, with the whole range, without limits, the curriculum behind them."""
    low, high = instrument(player.instrument).range_at("advanced")
    return replace(
        player,
        level="advanced",
        low=low,
        high=high,
        known_notes=(),
        limits=(),
        starts=date(2024, 1, 1),
        curriculum=curriculum.id,
    )


@pytest.mark.parametrize("name", IDS)
def test_the_id_of_a_curriculum_is_the_name_of_its_file(name: str) -> None:
    assert read_curriculum(FOLDER / f"{name}.toml").id == name


@pytest.mark.parametrize("name", IDS)
def test_every_combination_can_be_played_on_a_sample_instrument(
    name: str, curricula: Mapping[str, Curriculum], players: Mapping[str, Player]
) -> None:
    curriculum = curricula[name]
    found = scope(curriculum, at_full_reach(players[TRIED_BY[name]], curriculum), MONDAY)
    assert found.excluded == ()
    assert len(found.playable) == sum(len(drafts(exercise)) for exercise in curriculum.exercises)


@pytest.mark.parametrize("name", IDS)
def test_no_two_figures_of_a_curriculum_share_a_contour(
    name: str, curricula: Mapping[str, Curriculum]
) -> None:
    assert twice((at, contour(pattern.figure)) for at, pattern in patterns(curricula[name])) == []


@pytest.mark.parametrize("name", IDS)
def test_no_two_figures_of_a_curriculum_sound_alike_transposed(
    name: str, curricula: Mapping[str, Curriculum]
) -> None:
    assert twice((at, melody(pattern.figure)) for at, pattern in patterns(curricula[name])) == []


@pytest.mark.parametrize("name", IDS)
def test_no_round_figure_is_another_one_begun_elsewhere(
    name: str, curricula: Mapping[str, Curriculum]
) -> None:
    rounds = (
        (at, wheel(pattern.figure))
        for at, pattern in patterns(curricula[name])
        if pattern.figure.kind == "partials" and len(sounded(pattern.figure)) > 4
    )
    assert twice(rounds) == []


@pytest.mark.parametrize("name", IDS)
def test_accents_of_irregular_meters_show_the_grouping(
    name: str, curricula: Mapping[str, Curriculum]
) -> None:
    wrong = []
    for at, pattern in patterns(curricula[name]):
        if len(set(pattern.figure.meter.grouping)) > 1:
            accented, begun = accents(pattern.figure)
            if accented != group_starts(pattern.figure) & begun:
                wrong.append(at)
    assert wrong == []


@pytest.mark.parametrize("name", IDS)
def test_no_slur_between_partials_repeats_a_note(name: str, curricula: Mapping[str, Curriculum]) -> None:
    repeating = []
    for exercise in curricula[name].exercises:
        for pattern in exercise.patterns:
            notes = [token.number for token, _ in sounded(pattern.figure)]
            if exercise.passes > 1:
                notes.append(notes[0])
            again = any(first == second for first, second in pairwise(notes))
            if pattern.figure.kind == "partials" and exercise.family == "flexibility" and again:
                repeating.append(f"{exercise.id}/{pattern.name}")
    assert repeating == []


@pytest.mark.parametrize("name", IDS)
def test_what_must_come_first_is_met_weeks_before(name: str, curricula: Mapping[str, Curriculum]) -> None:
    curriculum = curricula[name]
    too_soon = [
        (exercise.id, before)
        for exercise in curriculum.exercises
        for before in exercise.after
        if max(curriculum.exercise(before).weeks) >= min(exercise.weeks)
    ]
    assert too_soon == []


@pytest.mark.parametrize("name", IDS)
def test_every_exercise_says_its_own_purpose(name: str, curricula: Mapping[str, Curriculum]) -> None:
    purposes = Counter(exercise.purpose for exercise in curricula[name].exercises)
    assert "" not in purposes
    assert purposes.most_common(1)[0][1] == 1


@pytest.mark.parametrize(("name", "level"), [("ruben", "intermediate"), ("nerys", "advanced")])
def test_the_low_brass_term_ends_with_a_sound_shelf(
    name: str, level: str, curricula: Mapping[str, Curriculum], players: Mapping[str, Player]
) -> None:
    player = replace(players[name], starts=date(2024, 1, 1))
    assert player.level == level
    # reference, teaching defaults: a sound shelf is 160 to 240 combinations
    assert 160 <= len(scope(curricula["low-brass-term"], player, MONDAY).playable) <= 240


def test_the_low_brass_term_brings_about_twenty_a_week(curricula: Mapping[str, Curriculum]) -> None:
    exercises = curricula["low-brass-term"].exercises
    new = Counter(draft.intro_week for exercise in exercises for draft in drafts(exercise))
    assert sorted(new) == list(range(1, 13))
    # reference, teaching defaults: at most 25 new a week
    assert all(14 <= number <= 25 for number in new.values())
    assert 18 <= sum(new.values()) / 12 <= 21


def test_everything_is_more_than_four_hundred_for_its_player(
    curricula: Mapping[str, Curriculum], players: Mapping[str, Player]
) -> None:
    assert len(scope(curricula["everything"], players["hester"], MONDAY).playable) >= 400


@pytest.mark.parametrize("name", sorted(FIVE_NOTES))
def test_a_first_year_pupil_has_eight_to_twelve_combinations(
    name: str, curricula: Mapping[str, Curriculum], players: Mapping[str, Player]
) -> None:
    known = FIVE_NOTES[name]
    pupil = replace(
        players["pia"],
        instrument=name,
        known_notes=known,
        low=known[0],
        high=known[-1],
        limits=(),
        starts=date(2024, 1, 1),
    )
    assert 8 <= len(scope(curricula["first-year-five-notes"], pupil, MONDAY).playable) <= 12


def test_an_arm_short_of_sixth_position_leaves_eight_figures(
    curricula: Mapping[str, Curriculum], players: Mapping[str, Player]
) -> None:
    # Concert C3 is in sixth position only: the Wikibooks trombone chart.
    assert len(scope(curricula["first-year-five-notes"], players["jonah"], MONDAY).playable) == 8


def test_the_trumpet_weeks_hold_a_scale_in_every_major_key(curricula: Mapping[str, Curriculum]) -> None:
    ridge_path = curricula["trumpet-cornet"].exercise("ridge-path")
    assert {key.fifths % 12 for key in ridge_path.keys if key.mode == "major"} == set(range(12))


def test_the_samples_use_every_measure_that_is_rated(curricula: Mapping[str, Curriculum]) -> None:
    measures = {exercise.measure for curriculum in curricula.values() for exercise in curriculum.exercises}
    assert measures == {"tempo", "seconds", "top note", "bend", "band"}
