"""What is predicted against what comes out, on few simulated diaries; all of them by the module itself."""

from __future__ import annotations

from xml.etree import ElementTree as ET

import pytest

from planner.simulate.calibrate import Summary, Trial, picture, run, summary_of, table


@pytest.fixture(scope="module")
def few() -> Summary:
    """Six simulated players with 150 ratings, who gain 0.7 notches a week: 7,344 trials."""
    [(_, found)] = run([150], [0.7], {150: 6})
    return found


def test_success_is_foretold_within_five_points_on_six_diaries(few: Summary) -> None:
    # within 4 points is asked of each tenth over all diaries; six leave more to chance
    assert few.worst < 0.05


def test_intervals_of_ninety_in_a_hundred_hold_about_so_often_on_six_diaries(few: Summary) -> None:
    assert 0.86 < few.inside < 0.97


def test_a_tenth_counts_its_own_trials() -> None:
    # by hand: two of three come out in the tenth from 80 to 90 %, one of one above
    trials = [
        Trial(p, c, False, False, True) for p, c in ((0.82, True), (0.86, True), (0.84, False), (0.95, True))
    ]
    tenths = summary_of(trials).tenths
    assert [(n, t.trials, t.predicted, t.observed) for n, t in tenths.items()] == [
        (8, 3, pytest.approx(0.84), pytest.approx(2 / 3)),
        (9, 1, 0.95, 1.0),
    ]


def test_what_a_clamp_holds_is_left_out_of_the_free_items() -> None:
    trials = [Trial(0.5, False, True, False, True), Trial(0.84, True, False, True, False)]
    found = summary_of(trials)
    assert (found.free, found.inside) == (1.0, 0.5)


def test_few_trials_are_not_told_apart_from_chance() -> None:
    assert summary_of([Trial(0.9, False, False, False, True)] * 199).worst == 0


def test_the_picture_is_well_formed_and_shows_every_tenth(few: Summary) -> None:
    root = ET.fromstring(picture({(150, 0.7): few}))
    dots = root.findall("{http://www.w3.org/2000/svg}circle")
    assert len(dots) == len(few.tenths) + 1  # and one for the trend's name


def test_the_table_names_ratings_and_trend(few: Summary) -> None:
    # 12 weeks of 6 days with 17 items, six players
    assert f"150 ratings, trend 0.7 notches a week: {6 * 12 * 6 * 17} trials" in table({(150, 0.7): few})
