"""The physics of the tube: partials, valve sums, slide. Numbers from formulas or published examples."""

from __future__ import annotations

import pytest

from planner.brass.tubes import (
    f_attachment_slide,
    lowering_cents,
    partial_cents,
    partial_semitones,
    tubes,
    valve_cents,
)


def test_partials_lie_so_many_semitones_up() -> None:
    # 12 * log2(n), rounded: octave, twelfth, double octave, ...
    known = [0, 12, 19, 24, 28, 31, 34, 36, 38, 40, 42, 43, 44, 46, 47, 48]
    assert [partial_semitones(n) for n in range(1, 17)] == known


@pytest.mark.parametrize(
    ("partial", "cents"),
    # 1200 * log2(n) - 100 * semitones; the 11th is 48.68 below 42 semitones (51.32 above 41)
    [
        (3, 1.96),
        (5, -13.69),
        (7, -31.17),
        (9, 3.91),
        (10, -13.69),
        (11, -48.68),
        (13, 40.53),
        (15, -11.73),
        (16, 0),
    ],
)
def test_cents_of_a_partial_against_equal_temperament(partial: int, cents: float) -> None:
    assert partial_cents(partial) == pytest.approx(cents, abs=0.005)


@pytest.mark.parametrize(
    ("loops", "cents"),
    # table by Monzo quoted at en.xen.wiki/Trumpet: loops 1/15, 1/8, 1/5 of the open tube
    [
        ([1 / 15], 112),
        ([1 / 8], 204),
        ([1 / 8, 1 / 15], 304),
        ([1 / 5], 316),
        ([1 / 15, 1 / 5], 409),
        ([1 / 8, 1 / 5], 487),
        ([1 / 8, 1 / 15, 1 / 5], 572),
    ],
)
def test_valve_sums_agree_with_the_published_loop_table(loops: list[float], cents: int) -> None:
    assert round(lowering_cents(loops)) == cents


@pytest.mark.parametrize(
    ("semitones", "short"),
    # JMU Brass Pedagogy, "Why the math doesn't add up" (2016): 100-inch tube, 6 % a semitone, inches missing
    [((2, 1), 0.74), ((2, 3), 2.37), ((1, 3), 1.15), ((2, 1, 3), 4.40)],
)
def test_missing_inches_agree_with_the_published_example(semitones: tuple[int, ...], short: float) -> None:
    added = [100 * (1.06**step - 1) for step in semitones]
    wanted = 100 * (1.06 ** sum(semitones) - 1)
    # our sum of lengths gives the same tube as theirs
    length = 100 * (2 ** (lowering_cents(part / 100 for part in added) / 1200) - 1)
    assert wanted - length == pytest.approx(short, abs=0.01)


@pytest.mark.parametrize(
    ("valves", "sharp"),
    # each valve exact alone: 1200 * log2(1 + sum of (2 ** (s / 12) - 1)), by hand
    [("12", 10.63), ("23", 15.53), ("13", 30.32), ("123", 53.56), ("1", 0), ("2", 0), ("3", 0)],
)
def test_three_valve_combinations_come_out_sharp(valves: str, sharp: float) -> None:
    steps = {"1": 2, "2": 1, "3": 3}
    assert 100 * sum(steps[valve] for valve in valves) - valve_cents(valves) == pytest.approx(
        sharp, abs=0.005
    )


@pytest.mark.parametrize(
    ("valves", "down", "sharp"),
    # four valves, not compensating, each exact alone
    [
        ("4", 5, 0.0),
        ("24", 6, 24.5),
        ("14", 7, 48.0),
        ("124", 8, 78.8),
        ("234", 9, 104.2),
        ("1234", 11, 175.3),
    ],
)
def test_fourth_valve_without_compensation_is_sharp(valves: str, down: int, sharp: float) -> None:
    assert 100 * down - valve_cents(valves) == pytest.approx(sharp, abs=0.05)


@pytest.mark.parametrize(
    ("valves", "down", "sharp"),
    # compensating: the other loops grow by 2 ** (5 / 12), so the errors are those of three valves
    [
        ("24", 6, 0.0),
        ("14", 7, 0.0),
        ("124", 8, 10.6),
        ("234", 9, 15.5),
        ("134", 10, 30.3),
        ("1234", 11, 53.6),
    ],
)
def test_compensating_fourth_valve_repeats_the_three(valves: str, down: int, sharp: float) -> None:
    assert 100 * down - valve_cents(valves, compensating=True) == pytest.approx(sharp, abs=0.05)


def test_seven_positions_of_three_valves_in_order() -> None:
    # open, 2, 1, 1-2, 2-3, 1-3, 1-2-3: any trumpet method
    first = [tube.fingering for tube in tubes("three valves") if not tube.second_choice]
    assert first == ["0", "2", "1", "12", "23", "13", "123"]


def test_four_valves_reach_at_most_925_cents() -> None:
    # 1234 without compensation lowers by 924.7 cents
    assert max(tube.position for tube in tubes("four valves")) == 10
    assert max(valve_cents(tube.fingering) for tube in tubes("four valves")) == pytest.approx(924.7, abs=0.05)


def test_compensating_valves_reach_eleven_semitones() -> None:
    assert max(tube.position for tube in tubes("four valves compensating")) == 12


@pytest.mark.parametrize(
    ("semitones", "place"),
    # 1 + 12 * log2(1 + 2 ** (5 / 12) * (2 ** (k / 12) - 1)): F2, E2, E flat 2, D2, C sharp 2, C2, B1
    [(0, 1.00), (1, 2.32), (2, 3.62), (3, 4.90), (4, 6.16), (5, 7.40), (6, 8.62)],
)
def test_f_attachment_needs_longer_slide_steps(semitones: int, place: float) -> None:
    assert f_attachment_slide(semitones) == pytest.approx(place, abs=0.005)


def test_f_attachment_has_six_positions() -> None:
    places = [tube.fingering for tube in tubes("slide with F attachment") if tube.fingering.startswith("T")]
    assert places == ["T1", "T2", "T3", "T4", "T5", "T6"]
