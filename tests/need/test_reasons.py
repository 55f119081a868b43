from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest
from need.shelf import MAJORS, flexibility, player, rated, scales, shelf, wanted

from planner.brass.figures import read_figure
from planner.brass.tempo import parse_meter
from planner.diary.rating import Rating
from planner.inputs.curriculum import Exercise, HoldSpan, Pattern
from planner.need.lags import fingerings_of

FIVES, SCALE, FAR_SCALE = "fives/a/1-2-3", "scales/up/c-major", "scales/up/f-sharp-major"


def why(
    combination: str, ratings: Sequence[Rating] = (), *exercises: Exercise, **changes: Any
) -> tuple[str, ...]:
    return wanted(ratings, *exercises, who=player(**changes))[combination].reasons


def test_a_combination_of_this_week_is_new_this_week() -> None:
    assert why(FIVES)[0] == "new this week"


def test_what_was_not_met_in_its_week_names_the_week() -> None:
    assert wanted(weeks_on=2)[FIVES].reasons[0] == "in the curriculum since week 1, not met yet"


def test_a_combination_nobody_has_heard_says_so() -> None:
    assert "not heard yet: the estimate is wide" in why(FIVES)


def test_what_has_been_heard_is_not_called_unheard() -> None:
    assert not any("not heard" in reason for reason in why(FIVES, [rated(FIVES, grade=3, tempo=120)]))


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"grade": 1, "tempo": 96}, "fell apart at 96 on 4 Sep, the goal is 160"),
        ({"grade": 2, "tempo": 96}, "uneven at 96 on 4 Sep, the goal is 160"),
        ({"grade": 3, "tempo": 96}, "nearly clean at 96 on 4 Sep, the goal is 160"),
        ({"grade": 5, "tempo": 160}, "comfortable at 160 on 4 Sep"),
        ({"clean": 104}, "clean up to 104 on 4 Sep, the goal is 160"),
        ({"clean": 104, "grade": 4, "tempo": 96}, "clean up to 104 on 4 Sep, the goal is 160"),
    ],
    ids=["1", "2", "3", "5", "clean mark", "clean mark and 4"],
)
def test_the_last_rating_is_told_in_words(fields: dict[str, Any], words: str) -> None:
    assert why(FIVES, [rated(FIVES, 3, **fields)])[0] == words


def test_a_rating_of_another_year_names_the_year() -> None:
    assert why(FIVES, [rated(FIVES, 300, grade=2, tempo=96)])[0].startswith("uneven at 96 on 11 Nov 2025")


def test_a_held_tone_is_told_in_seconds() -> None:
    tone = scales(measure="seconds", hold=HoldSpan(8, 16))
    found = why(SCALE, [rated(SCALE, 3, value=9)], tone)
    assert found[0] == "held 9 s on 4 Sep, the goal is 16 s"


def test_an_excerpt_outside_its_band_says_so() -> None:
    assert why(SCALE, [rated(SCALE, 3, value=0)], scales(measure="band"))[0] == "not in its band on 4 Sep"


def test_a_break_is_counted_in_days() -> None:
    assert "not played for 12 days" in why(FIVES, [rated(FIVES, 12, grade=4, tempo=120)])


def test_six_days_are_no_break() -> None:
    assert not any("not played" in reason for reason in why(FIVES, [rated(FIVES, 6, grade=4, tempo=120)]))


def lagging() -> list[Rating]:
    """Three uneven ratings far down in F sharp, nine comfortable ones at the goal in the other keys."""
    weak = [rated(FAR_SCALE, ago, grade=1, tempo=60) for ago in (2, 3, 4)]
    others = [name for name in MAJORS if name != "f-sharp"]
    strong = [
        rated(f"scales/up/{name}-major", ago, grade=5, tempo=120) for name in others for ago in (2, 3, 4)
    ]
    return weak + strong


def behind(reasons: Sequence[str]) -> list[str]:
    return [reason for reason in reasons if "behind" in reason]


def test_a_key_that_lags_is_named_with_its_ratings() -> None:
    [words] = behind(why(FAR_SCALE, lagging()))
    assert words.startswith("written F♯ major about ")
    assert words.endswith(" notches behind your other keys, on 3 ratings")


def test_a_lagging_key_is_a_reason_for_what_was_not_heard_in_it() -> None:
    found = why("more/up/f-sharp-major", lagging(), scales(), scales("more"))
    assert len(behind(found)) == 1


def test_the_other_keys_are_not_called_behind() -> None:
    assert behind(why(SCALE, lagging())) == []


def test_a_lag_is_gone_with_the_ratings_that_caused_it() -> None:
    kept = [rating for rating in lagging() if rating.combination != FAR_SCALE]
    assert behind(why(FAR_SCALE, kept)) == []


def test_a_lag_is_gone_with_the_ratings_it_was_measured_by() -> None:
    kept = [rating for rating in lagging() if rating.combination == FAR_SCALE]
    assert behind(why(FAR_SCALE, kept)) == []


def test_two_ratings_make_no_lag() -> None:
    assert behind(why(FAR_SCALE, lagging()[1:])) == []


def test_two_ratings_of_the_others_measure_no_lag() -> None:
    others = [rating for rating in lagging() if rating.combination != FAR_SCALE]
    kept = [rating for rating in lagging() if rating.combination == FAR_SCALE]
    assert behind(why(FAR_SCALE, kept + others[:2])) == []


def test_a_cycle_that_lags_is_named_with_its_valves() -> None:
    # positions 5, 6, 7 are 2-3, 1-3, 1-2-3 on three valves (brass.md table 1.2)
    weak = [rated("fives/a/5-6-7", ago, grade=1, tempo=88) for ago in (2, 3, 4)]
    strong = [rated("fives/a/1-2-3", ago, grade=5, tempo=160) for ago in (2, 3, 4)]
    [words] = behind(why("fives/a/5-6-7", weak + strong, flexibility(starts=(1, 5))))
    assert words.startswith("valves 23, 13, 123 about ")
    assert words.endswith(" notches behind your other fingerings, on 3 ratings")


def test_a_slide_has_positions_that_lag() -> None:
    slide = {"instrument": "trombone", "low": 40, "high": 70}
    weak = [rated("fives/a/5-6-7", ago, grade=1, tempo=88) for ago in (2, 3, 4)]
    strong = [rated("fives/a/1-2-3", ago, grade=5, tempo=160) for ago in (2, 3, 4)]
    [words] = behind(why("fives/a/5-6-7", weak + strong, flexibility(starts=(1, 5)), **slide))
    assert words.startswith("positions 5, 6, 7 about ")


def test_a_double_horn_names_the_fingerings_of_both_sides() -> None:
    # C4 to C5: open and 1 on the F side up to G4; on the B flat side A4 is 1-2, B4 is 2, C5 open (a chart of
    # the double horn in F and B flat as published for US bands, see planner/brass/fingerings.py)
    who = player(instrument="horn", low=60, high=72)
    notation, meter = "1e 2 3 4 5 6 7 8", parse_meter("4/4")
    line = Pattern("up", read_figure(notation, meter, "degrees"), notation)
    [one] = shelf(scales(keys=(MAJORS["c"],), patterns=(line,)), who=who)
    assert fingerings_of(one, who) == "valves F0, T0, T2, F1, T12"


def test_an_exercise_that_is_hard_is_no_lag_of_its_keys() -> None:
    # All keys of one exercise go badly, all of the other well: the exercise lags, no key does.
    hard = [rated(f"more/up/{key}-major", ago, grade=1, tempo=60) for key in MAJORS for ago in (2, 3)]
    easy = [rated(f"scales/up/{key}-major", ago, grade=5, tempo=120) for key in MAJORS for ago in (2, 3)]
    for key in MAJORS:
        assert behind(why(f"more/up/{key}-major", hard + easy, scales(), scales("more"))) == []


def test_the_uneven_rating_is_gone_once_it_is_deleted() -> None:
    ratings = [rated(FIVES, 9, grade=4, tempo=88), rated(FIVES, 3, grade=2, tempo=96)]
    assert [why(FIVES, kept)[0].split()[0] for kept in (ratings, ratings[:1])] == ["uneven", "clean"]


def test_a_break_is_gone_with_the_last_turn() -> None:
    assert not any("not played for" in reason for reason in why(FIVES, []))


def test_the_end_of_a_span_is_named() -> None:
    assert "its span ends on 8 Sep" in why(FIVES, [rated(FIVES, 3, grade=2, tempo=96)])


def test_a_span_that_has_ended_is_named() -> None:
    # Friday 28 August; Saturday, Monday, Tuesday 1 September
    assert "its span ended on 1 Sep" in why(FIVES, [rated(FIVES, 10, grade=2, tempo=96)])


def test_what_was_played_and_not_rated_still_has_a_reason() -> None:
    assert why(FIVES, [rated(FIVES, 3)]) == ("not heard yet: the estimate is wide", "its span ends on 8 Sep")


def test_the_last_word_goes_to_the_rating_given_last_that_day() -> None:
    ratings = [rated(FIVES, 3, grade=2, tempo=96, at=2), rated(FIVES, 3, grade=4, tempo=88, at=1)]
    assert why(FIVES, [replace(r) for r in ratings])[0].startswith("uneven at 96")
