"""Every place of every sample curriculum on every instrument that has its notes, read back from outside."""

from __future__ import annotations

import math

import pytest
from engrave.physics import OPEN, lowered_cents, may_sound, natural
from engrave.reading import as_heard, as_printed, fingerings, lengths, meter_quarters
from engrave.scores import Case, every_case
from heavy import heavy_count

from planner.engrave.mei import mei_text
from planner.engrave.score import Style, write_score
from planner.engrave.svg import engrave

pytestmark = pytest.mark.timeout(3000)  # all of them take minutes, more on a busy computer

# semitones of the scale degrees over the tonic: any theory book; melodic minor has two sixths and sevenths
SCALES = {
    "major": {0: {0}, 1: {2}, 2: {4}, 3: {5}, 4: {7}, 5: {9}, 6: {11}},
    "natural minor": {0: {0}, 1: {2}, 2: {3}, 3: {5}, 4: {7}, 5: {8}, 6: {10}},
    "harmonic minor": {0: {0}, 1: {2}, 2: {3}, 3: {5}, 4: {7}, 5: {8}, 6: {11}},
    "melodic minor": {0: {0}, 1: {2}, 2: {3}, 3: {5}, 4: {7}, 5: {8, 9}, 6: {10, 11}},
    "chromatic": {0: {0}, 1: {2}, 2: {4}, 3: {5}, 4: {7}, 5: {9}, 6: {11}},
}


@pytest.fixture(scope="module")
def cases(request: pytest.FixtureRequest) -> list[Case]:
    """All of them under -m full, else so many evenly spread over the whole list."""
    found = list(every_case())
    wanted = min(heavy_count(request.config, "combinations engraved"), len(found))
    return [found[index * len(found) // wanted] for index in range(wanted)]


def meis(case: Case) -> list[str]:
    """The MEI of every bar of a case: of each position of a cycle, or of its key."""
    return [mei_text(write_score(passage, case.instrument, case.meter, Style())) for passage in case.passages]


def semitones(mei: str) -> list[int | None]:
    return [midi for bar in as_heard(mei) for midi in bar]


def by_physics(case: Case, position: int) -> list[int | None]:
    """What the tube sounds at a position, from the partials of the figure alone."""
    doubled = 2 if case.instrument.id in ("horn", "horn-f") else 1
    base = OPEN[case.instrument.id] - (position - 1)
    tokens = case.pattern.figure.tokens
    return [None if one.number is None else base + natural(one.number * doubled) for one in tokens]


def by_theory(case: Case, heard: list[int | None]) -> list[str]:
    """The notes of a degree figure that are not what their degree is in the scale."""
    key = case.passages[0].key
    scale = SCALES[key.mode]
    wrong = []
    tokens = case.pattern.figure.tokens
    steps = [None if one.number is None else one.number - (one.number > 0) for one in tokens]
    for token, step, midi in zip(tokens, steps, heard, strict=True):
        if step is None or midi is None:
            wrong += [] if step is midi else ["a rest is no rest"]
            continue
        tonic = (key.fifths * 7 - case.instrument.transposition.chromatic * -1) % 12
        allowed = {(tonic + base + token.alter) % 12 for base in scale[step % 7]}
        if token.alter and key.mode == "melodic minor":
            allowed |= {(tonic + base + token.alter) % 12 for base in SCALES["natural minor"][step % 7]}
        if midi % 12 not in allowed:
            wrong.append(f"degree {token.number} sounds {midi}")
    return wrong


@pytest.mark.heavy
def test_every_combination_is_engraved_without_a_warning(
    cases: list[Case], capfd: pytest.CaptureFixture[str]
) -> None:
    for case in cases:
        for passage in case.passages:
            style = Style(repeated=case.exercise.passes > 1, alternates=True)
            drawn = engrave(write_score(passage, case.instrument, case.meter, style))
            assert drawn.width > 1, case.name
    assert capfd.readouterr().err == ""


@pytest.mark.heavy
def test_partial_figures_sound_what_the_tube_gives(cases: list[Case]) -> None:
    some = [case for case in cases if case.place.positions]
    wrong = [
        f"{case.name} at {position}"
        for case in some
        for position, mei in zip(case.place.positions, meis(case), strict=True)
        if semitones(mei) != by_physics(case, position)
    ]
    assert some
    assert wrong == []


@pytest.mark.heavy
def test_degree_figures_sound_the_degrees_of_their_scale(cases: list[Case]) -> None:
    some = [case for case in cases if not case.place.positions]
    wrong = [(case.name, by_theory(case, semitones(meis(case)[0]))) for case in some]
    assert some
    assert [one for one in wrong if one[1]] == []


@pytest.mark.heavy
def test_every_printed_fingering_gives_the_note_under_it(cases: list[Case]) -> None:
    wrong = []
    for case in cases:
        for mei in meis(case):
            heard, over = as_heard(mei), fingerings(mei)
            pairs = [pair for bar in zip(heard, over, strict=True) for pair in zip(*bar, strict=True)]
            wrong += [
                (case.name, fingering, midi)
                for midi, fingering in pairs
                if fingering and (midi is None or not may_sound(case.instrument.id, fingering, midi))
            ]
    assert wrong == []


@pytest.mark.heavy
def test_what_is_printed_is_what_sounds(cases: list[Case]) -> None:
    """A player who knows nothing but the signature and the accidentals plays the same notes."""
    wrong = []
    for case in cases:
        down = case.instrument.transposition.chromatic
        for mei in meis(case):
            printed = [[None if one is None else one + down for one in bar] for bar in as_printed(mei)]
            wrong += [] if printed == as_heard(mei) else [case.name]
    assert wrong == []


@pytest.mark.heavy
def test_every_bar_is_as_long_as_its_meter(cases: list[Case]) -> None:
    wrong = [case.name for case in cases for mei in meis(case) if set(lengths(mei)) != {meter_quarters(mei)}]
    assert wrong == []


def test_natural_notes_are_rounded_from_their_ratio() -> None:
    # 1200 log2(3) = 1901.96, 1200 log2(5) = 2786.31, 1200 log2(7) = 3368.83 cents
    assert [natural(one) for one in (1, 2, 3, 5, 7)] == [0, 12, 19, 28, 34]
    assert math.isclose(1200 * math.log2(3), 1901.955, abs_tol=0.001)


def test_valves_together_are_shorter_than_their_sum() -> None:
    # published: 1-3 is 30.3 and 1-2-3 53.6 cents sharp of five and six semitones where each valve is in tune
    # (JMU, "Why the math doesn't add up", 2016, recomputed)
    assert lowered_cents("trumpet", "13") == pytest.approx(500 - 30.32, abs=0.01)
    assert lowered_cents("trumpet", "123") == pytest.approx(600 - 53.56, abs=0.01)


def test_a_tube_that_is_too_short_does_not_sound_the_note() -> None:
    # written C4 of a trumpet is open; with the second valve down it is a semitone lower
    assert [may_sound("trumpet", fingering, 58) for fingering in ("0", "2", "1")] == [True, False, False]
